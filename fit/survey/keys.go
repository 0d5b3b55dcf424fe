package survey

import (
	"slices"

	"neckfit/measure"
)

// SideKey names a line in a frame: a side or an end of a part, or the gap beside a wall. Keys are
// single numbers, which are quick to compare; they rise by frame, feature and mark.
type SideKey uint32

// SideAt is the key of a feature of a frame.
func SideAt(frame measure.Datum, f measure.Feature) SideKey {
	return SideKey(frame)<<16 | SideKey(f)<<8
}

// GapBeside is the key of the gap beside a wall or an end.
func GapBeside(frame measure.Datum, f measure.Feature) SideKey { return SideAt(frame, f) | 1 }

// Frame is the datum that the key was made of.
func (k SideKey) Frame() measure.Datum { return measure.Datum(k >> 16) }

// Feature is the side's.
func (k SideKey) Feature() measure.Feature { return measure.Feature(k >> 8) }

// Gap tells whether it is of the gap beside the side.
func (k SideKey) Gap() bool { return k&1 != 0 }

// PointKey names a place in a frame.
type PointKey uint64

// PointAt is the key of a feature's mark.
func PointAt(frame measure.Datum, f measure.Feature, mark int) PointKey {
	return PointKey(frame)<<40 | PointKey(f)<<32 | PointKey(uint32(mark))
}

// Frame is the datum that the key was made of.
func (k PointKey) Frame() measure.Datum { return measure.Datum(k >> 40) }

// Feature is the place's.
func (k PointKey) Feature() measure.Feature { return measure.Feature(k >> 32) }

// Mark is the place's number; 0 for none.
func (k PointKey) Mark() int { return int(uint32(k)) }

// CornerKey names a corner of a frame.
type CornerKey struct {
	Frame   measure.Datum
	Feature measure.Feature
	Name    string // bass or treble
}

// Map keeps values by key in the order in which they came. A kit has a few of everything, so that
// looking along a row of keys is quicker than hashing; and the room is used again for the next kit.
type Map[K comparable, V any] struct {
	keys   []K
	values []*V // those beyond the keys wait to be used again
}

// Keys are those in the map, in order.
func (m *Map[K, V]) Keys() []K { return m.keys }

// At is the value of the i-th key.
func (m *Map[K, V]) At(i int) *V { return m.values[i] }

// Get is the value at key, nil when it is not there.
func (m *Map[K, V]) Get(key K) *V {
	for i, k := range m.keys {
		if k == key {
			return m.values[i]
		}
	}
	return nil
}

// Put is the value at key, made when it is not there.
func (m *Map[K, V]) Put(key K) *V {
	if v := m.Get(key); v != nil {
		return v
	}
	n := len(m.keys)
	m.keys = append(m.keys, key)
	if n == len(m.values) {
		m.values = append(m.values, new(V))
	}
	v := m.values[n]
	if w, ok := any(v).(interface{ Reset() }); ok { // it has room of its own to keep
		w.Reset()
	} else {
		*v = *new(V)
	}
	return v
}

// Clear empties the map; what it held must not be used any more.
func (m *Map[K, V]) Clear() { m.keys = m.keys[:0] }

// keep takes away the values that do not meet a condition.
func (m *Map[K, V]) keep(wanted func(*V) bool) {
	n := 0
	for i, key := range m.keys {
		if wanted(m.values[i]) {
			m.keys[n], m.values[n], m.values[i] = key, m.values[i], m.values[n]
			n++
		}
	}
	m.keys = m.keys[:n]
}

// sort brings keys and values into rising order, by insertion: they are few and mostly in order,
// since readings are written down part by part.
func (m *Map[K, V]) sort(compare func(a, b K) int) {
	for i := 1; i < len(m.keys); i++ {
		if compare(m.keys[i-1], m.keys[i]) < 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(m.keys[:i], m.keys[i], compare)
		key, value := m.keys[i], m.values[i]
		copy(m.keys[at+1:i+1], m.keys[at:i])
		copy(m.values[at+1:i+1], m.values[at:i])
		m.keys[at], m.values[at] = key, value
	}
}
