package fit

import "slices"

// shelf keeps values by key. A kit has a few of everything, so that looking along a row of keys is
// quicker than a map; and the room is used again for the next kit.
type shelf[K comparable, V any] struct {
	keys   []K
	values []*V // those beyond the keys wait to be used again
}

// get is the value at key, nil when it is not there.
func (s *shelf[K, V]) get(key K) *V {
	for i, k := range s.keys {
		if k == key {
			return s.values[i]
		}
	}
	return nil
}

// put is the value at key, made when it is not there.
func (s *shelf[K, V]) put(key K) *V {
	if v := s.get(key); v != nil {
		return v
	}
	n := len(s.keys)
	s.keys = append(s.keys, key)
	if n == len(s.values) {
		s.values = append(s.values, new(V))
	} else {
		wipe(s.values[n])
	}
	return s.values[n]
}

// wipe makes a value as good as new. One that has room of its own to keep has a method for it.
func wipe[V any](v *V) {
	if w, ok := any(v).(interface{ wipe() }); ok {
		w.wipe()
		return
	}
	*v = *new(V)
}

// clear empties the shelf; what it held must not be used any more.
func (s *shelf[K, V]) clear() { s.keys = s.keys[:0] }

// sort brings keys and values into rising order, by insertion: they are few and mostly in order,
// since readings are written down part by part.
func (s *shelf[K, V]) sort(compare func(a, b K) int) {
	for i := 1; i < len(s.keys); i++ {
		if compare(s.keys[i-1], s.keys[i]) < 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(s.keys[:i], s.keys[i], compare)
		key, value := s.keys[i], s.values[i]
		copy(s.keys[at+1:i+1], s.keys[at:i])
		copy(s.values[at+1:i+1], s.values[at:i])
		s.keys[at], s.values[at] = key, value
	}
}
