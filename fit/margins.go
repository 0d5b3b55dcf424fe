package fit

import (
	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// margins are the distances from the outer strings to the fingerboard's edges at the last fret,
// square to the centre line. Strings run straight from the nut's slots to the saddles.
type margins struct{ bass, treble autodiff.Variable }

func (a *assembly) margins() (margins, Missing) {
	if !a.looked {
		a.strung, a.unstrung = a.newMargins()
		a.looked = true
	}
	return a.strung, a.unstrung
}

func (a *assembly) newMargins() (margins, Missing) {
	if lack := a.lack(); !lack.None() {
		return margins{}, lack
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return margins{}, lack
	}
	last := a.lastFret()
	if last == 0 {
		return margins{}, Missing{Want: WantLastFret}
	}
	if a.bridge.carry.frame == measure.NoDatum {
		return margins{}, Missing{Want: WantSaddles}
	}
	fret := nut.Plus(scale.Scaled(adjust.FretShare(last)))
	bass, lackBass := a.stringAt(a.Strings, nut, fret)
	treble, lackTreble := a.stringAt(1, nut, fret)
	for _, lack := range []Missing{lackBass, lackTreble} {
		if !lack.None() {
			return margins{}, lack
		}
	}
	return margins{
		bass:   bass.Minus(a.centre.Crossing(a.edges[0], fret)),
		treble: a.centre.Crossing(a.edges[1], fret).Minus(treble),
	}, Missing{}
}

// lastFret is kits.csv's, or the highest that was read; 0 when there is neither.
func (a *assembly) lastFret() int {
	last := a.Kit.Info.Frets
	if b := a.Boards.Get(a.neck.frame); b != nil && last == 0 {
		for _, n := range b.Frets {
			last = max(last, n)
		}
	}
	return last
}

// stringAt is how far toward treble of the centre line a string runs at a distance along it.
func (a *assembly) stringAt(mark int, nut, along autodiff.Variable) (autodiff.Variable, Missing) {
	slot, ok := a.slot(mark, nut)
	if !ok {
		return autodiff.Variable{}, Missing{Want: WantNutSlots, Datum: a.neck.frame}
	}
	saddle, _ := a.contact(a.bridge.carry, measure.Saddle, mark)
	return autodiff.Straight(a.onCentre(slot), a.onCentre(saddle), along), Missing{}
}

// onCentre is a place as seen from the centre line: how far along it and how far beside.
func (a *assembly) onCentre(p autodiff.Vector) autodiff.Vector {
	return autodiff.Vector{X: a.along.Dot(p), Y: a.centre.SignedDistance(p)}
}

// slot is where an outer string leaves the nut: its slot, on the nut's line where only its offset
// was read; or, lacking slots, half the outer strings' spread from the centre line.
func (a *assembly) slot(mark int, nut autodiff.Variable) (autodiff.Vector, bool) {
	if p, ok := a.neckPlace(measure.NutSlot, mark); ok {
		return p, true
	}
	at := a.Point(a.neck.frame, measure.NutSlot, mark)
	if at != nil && at.HasOffset && a.way != EdgeCheck {
		return a.onNut(at, nut), true
	}
	half := a.Kit.Info.NutSpread / 2
	if half == 0 {
		return autodiff.Vector{}, false
	}
	if mark != 1 {
		half = -half
	}
	return a.centre.At(nut).Plus(a.centre.N.Scaled(half)), true
}

// onNut is the place on the nut's line that has a slot's offset in the neck's own frame.
func (a *assembly) onNut(at *survey.Point, nut autodiff.Variable) autodiff.Vector {
	lineOfNut := autodiff.Line{N: a.along, D: nut}
	// the two ends of the offset's line in the own frame, carried along
	y := a.x(at.Offset)
	p, q := a.neck.Place(autodiff.Vector{X: autodiff.Constant(0), Y: y}), a.neck.Place(autodiff.Vector{X: autodiff.Constant(survey.LengthReach), Y: y})
	share := lineOfNut.D.Minus(lineOfNut.N.Dot(p)).Over(lineOfNut.N.Dot(q.Minus(p)))
	return p.Plus(q.Minus(p).Times(share))
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
	return either(m.bass.Minus(m.treble), lack)
}

func either(q autodiff.Variable, lack Missing) finding {
	if !lack.None() {
		return missing(lack)
	}
	return found(q)
}
