package fit

import (
	"neckfit/fit/adjust"
	"neckfit/measure"
)

// margins are the distances from the outer strings to the fingerboard's edges at the last fret,
// square to the centre line. Strings run straight from the nut's slots to the saddles.
type margins struct{ bass, treble quantity }

func (a *assembly) margins() (margins, string) {
	if !a.looked {
		a.strung, a.unstrung = a.newMargins()
		a.looked = true
	}
	return a.strung, a.unstrung
}

func (a *assembly) newMargins() (margins, string) {
	if lack := a.lack(); lack != "" {
		return margins{}, lack
	}
	nut, scale, lack := a.nut()
	if lack != "" {
		return margins{}, lack
	}
	last := a.lastFret()
	if last == 0 {
		return margins{}, "the last fret, or frets in kits.csv"
	}
	if a.bridge.carry.frame == measure.NoDatum {
		return margins{}, "saddle 1 and the last: in place, or on the bridge with plate-screw and bridge-screw"
	}
	fret := nut.plus(scale.scaled(adjust.FretShare(last)))
	bass, lackBass := a.stringAt(a.strings, nut, fret)
	treble, lackTreble := a.stringAt(1, nut, fret)
	if lackBass+lackTreble != "" {
		return margins{}, lackBass + lackTreble
	}
	return margins{
		bass:   bass.minus(a.centre.crossing(a.edges[0], fret)),
		treble: a.centre.crossing(a.edges[1], fret).minus(treble),
	}, ""
}

// lastFret is kits.csv's, or the highest that was read; 0 when there is neither.
func (a *assembly) lastFret() int {
	last := a.kit.Info.Frets
	if b := a.boards.get(a.neck.frame); b != nil && last == 0 {
		for _, n := range b.frets {
			last = max(last, n)
		}
	}
	return last
}

// stringAt is how far toward treble of the centre line a string runs at a distance along it.
func (a *assembly) stringAt(mark int, nut, along quantity) (quantity, string) {
	slot, ok := a.slot(mark, nut)
	if !ok {
		return quantity{}, "nut-slot 1 and the last (datum " + a.neck.frame.String() + "), or nut_spread in kits.csv"
	}
	saddle, _ := a.contact(a.bridge.carry, measure.Saddle, mark)
	return straight(a.onCentre(slot), a.onCentre(saddle), along), ""
}

// onCentre is a place as seen from the centre line: how far along it and how far beside.
func (a *assembly) onCentre(p vector) vector { return vector{a.along.dot(p), a.centre.beside(p)} }

// straight is the y at x of the straight through two places.
func straight(p, q vector, x quantity) quantity {
	slope := (q.y.v - p.y.v) / (q.x.v - p.x.v)
	share := (x.v - p.x.v) / (q.x.v - p.x.v)
	return join(p.y.v+slope*(x.v-p.x.v), by{p.y, 1 - share}, by{q.y, share},
		by{x, slope}, by{p.x, -slope * (1 - share)}, by{q.x, -slope * share})
}

// slot is where an outer string leaves the nut: its slot, on the nut's line where only its offset
// was read; or, lacking slots, half the outer strings' spread from the centre line.
func (a *assembly) slot(mark int, nut quantity) (vector, bool) {
	if p, ok := a.neckPlace(measure.NutSlot, mark); ok {
		return p, true
	}
	at := a.point(a.neck.frame, measure.NutSlot, mark)
	if at != nil && at.hasOffset && a.way != EdgeCheck {
		return a.onNut(at, nut), true
	}
	half := a.kit.Info.NutSpread / 2
	if half == 0 {
		return vector{}, false
	}
	if mark != 1 {
		half = -half
	}
	return a.centre.at(nut).plus(a.centre.n.scaled(half)), true
}

// onNut is the place on the nut's line that has a slot's offset in the neck's own frame.
func (a *assembly) onNut(at *point, nut quantity) vector {
	lineOfNut := line{n: a.along, d: nut}
	// the two ends of the offset's line in the own frame, carried along
	y := a.x(at.offset)
	p, q := a.neck.place(vector{constant(0), y}), a.neck.place(vector{constant(lengthReach), y})
	share := lineOfNut.d.minus(lineOfNut.n.dot(p)).over(lineOfNut.n.dot(q.minus(p)))
	return p.plus(q.minus(p).times(share))
}

func (a *assembly) marginBass() finding {
	m, lack := a.margins()
	return either(m.bass, lack)
}

func (a *assembly) marginTreble() finding {
	m, lack := a.margins()
	return either(m.treble, lack)
}

// marginBalance is the bass margin less the treble's.
func (a *assembly) marginBalance() finding {
	m, lack := a.margins()
	return either(m.bass.minus(m.treble), lack)
}

func either(q quantity, lack string) finding {
	if lack != "" {
		return missing(lack)
	}
	return found(q)
}
