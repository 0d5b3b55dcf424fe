package measure

import "math"

// plainKey is sameReading packed, with the one number that may belong to it.
type plainKey struct{ marks, number uint64 }

// plainRepeats is repeats without allocation: an open table of the keys of one kit. Clearing it
// is only to count up.
type plainRepeats struct {
	slots []repeatSlot // a power of two
	used  int
	kit   uint32
}

type repeatSlot struct {
	key plainKey
	kit uint32 // 0 for never used
}

// begin starts a kit.
func (p *plainRepeats) begin() {
	p.used = 0
	p.kit++
	if p.kit == 0 || p.slots == nil {
		const enough = 256
		p.slots, p.kit = make([]repeatSlot, max(enough, len(p.slots))), 1
	}
}

// repeatKey is what is known of a row's key before its numbers are.
type repeatKey struct {
	key plainKey
	of  keySort
}

type keySort uint8

const (
	noKey    keySort = iota // the reading may be there several times
	wordsKey                // no number belongs to the key
	numberKey
)

func repeatKeyOf(g *Reading) repeatKey {
	if !g.Feature.rule().mark.numbered() || g.Kind == Height {
		return repeatKey{}
	}
	r := repeatKey{keyOf(g), wordsKey}
	if r.key.marks&withNumber != 0 {
		r.of = numberKey
	}
	return r
}

// add is false for a reading that is there already.
func (p *plainRepeats) add(g *Reading) bool {
	r := repeatKeyOf(g)
	return p.addKey(&r, g)
}

// addKey is add for a reading whose key may be known.
func (p *plainRepeats) addKey(r *repeatKey, g *Reading) bool {
	switch r.of {
	case noKey:
		return true
	case numberKey:
		return p.room().put(keyOf(g))
	}
	return p.room().put(r.key)
}

func (p *plainRepeats) room() *plainRepeats {
	if 2*p.used >= len(p.slots) {
		p.grow()
	}
	return p
}

// none tells whether no kit has a reading twice.
func (p *plainRepeats) none(kits map[string]*Kit) bool {
	for _, k := range kits {
		p.begin()
		for i := range k.Readings {
			if !p.add(&k.Readings[i]) {
				return false
			}
		}
	}
	return true
}

func (p *plainRepeats) put(key plainKey) bool {
	for i := key.hash() & uint64(len(p.slots)-1); ; i = (i + 1) & uint64(len(p.slots)-1) {
		s := &p.slots[i]
		if s.kit != p.kit {
			*s = repeatSlot{key, p.kit}
			p.used++
			return true
		}
		if s.key == key {
			return false
		}
	}
}

func (p *plainRepeats) grow() {
	old := p.slots
	p.slots, p.used = make([]repeatSlot, 2*len(old)), 0
	for _, s := range old {
		if s.kit == p.kit {
			p.put(s.key)
		}
	}
}

// withNumber marks a key that a number belongs to.
const withNumber = 1 << 63

// keyOf packs what sameReading holds. Of station and offset no feature leaves both open.
func keyOf(g *Reading) plainKey {
	mark, to := g.Mark.Number, g.To.Number
	if to > 0 && to < mark {
		mark, to = to, mark
	}
	key := plainKey{marks: uint64(g.Datum) | uint64(g.Feature)<<8 | uint64(g.Kind)<<16 |
		uint64(mark)<<24 | uint64(to)<<32 | uint64(g.Trial)<<40 | uint64(g.Stage)<<56}
	kinds := needsTable[g.Feature]
	switch {
	case kinds[Station].offset == Optional && g.HasOffset:
		key.marks |= withNumber
		key.number = math.Float64bits(g.Offset)
	case kinds[Offset].station == Optional && g.Kind == Offset && g.HasStation:
		key.marks |= withNumber
		key.number = math.Float64bits(g.Station)
	}
	return key
}

func (k plainKey) hash() uint64 {
	const odd = 0x9E3779B97F4A7C15 // as in wordTable
	h := (k.marks ^ k.number*odd) * odd
	return h ^ h>>32
}
