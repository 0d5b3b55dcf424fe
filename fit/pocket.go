package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// play is the pocket's clearance: what a heel can move at the pocket's mouth and at its end.
type play struct {
	placed     bool                 // whether mouth and end are known in the assembled frame
	mouth, end autodiff.Vector      // where the pocket's middle is at the two
	bass       [2]autodiff.Variable // free beside the bass wall at mouth and end, negative where it interferes
	treble     [2]autodiff.Variable
	basis      Basis
}

// length is from mouth to end.
func (p *play) length() autodiff.Variable { return p.end.Minus(p.mouth).Length() }

func (p *play) gap(i int) autodiff.Variable { return p.bass[i].Plus(p.treble[i]) }

// findPlay takes gaps felt on both walls; or the widths of pocket and seated heel; or, when the
// heel cannot be seated, the widths in the order in which they were read along each part.
func (a *assembly) findPlay() (*play, Missing) {
	if !a.played {
		a.unplayed, a.played = a.newPlay(&a.play), true
	}
	return &a.play, a.unplayed
}

func (a *assembly) newPlay(p *play) Missing {
	if a.feltPlay(p) || a.way == LooseParts && a.seat != nil && a.seatedPlay(p) {
		return Missing{}
	}
	return a.orderedPlay(p)
}

// feltPlay: feeler gauges beside both walls, the neck in the pocket.
func (a *assembly) feltPlay(p *play) bool {
	bass := a.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketBass))
	treble := a.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketTreble))
	if bass == nil || treble == nil {
		return false
	}
	at := [2]float64{min(bass.LowX, treble.LowX), max(bass.HighX, treble.HighX)}
	if at[1]-at[0] <= leastApart {
		return false
	}
	p.basis.Kind = GapsFelt
	if a.way == DryFit && a.uncentred.None() { // the middle of the heel will do for the pocket's
		p.placed, p.mouth, p.end = true, a.centre.AtX(at[0]), a.centre.AtX(at[1])
	}
	for i, x := range at {
		p.bass[i], _ = a.gapAt(measure.PocketBass, x)
		p.treble[i], _ = a.gapAt(measure.PocketTreble, x)
	}
	return true
}

// seatedPlay: by the seat rule half of the clearance is on each side.
func (a *assembly) seatedPlay(p *play) bool {
	pocket, ok := a.sleeve(measure.DatumBody, measure.Pocket)
	if !ok {
		return false
	}
	p.basis.Kind = HeelSeated
	p.placed, p.mouth, p.end = true, autodiff.Vector{X: pocket.ends[0]}, autodiff.Vector{X: pocket.ends[1]} // the assembled frame is the pocket's own
	for i, x := range pocket.ends {
		half := a.seat.gap(x).Scaled(0.5)
		p.bass[i], p.treble[i] = half, half
	}
	return true
}

// orderedPlay: the first width along the pocket against the first along the heel, the last against
// the last. A heel that tapers by t a mm is taken d mm off its place, and its gap is out by t d.
// Where both were read from one datum the heel is taken beside the pocket's places; widths alone do
// not tell how the pocket is turned in that datum, which leaves its place out by the turn's square.
func (a *assembly) orderedPlay(p *play) Missing {
	pocket, ok := a.sleeve(measure.DatumBody, measure.Pocket)
	if !ok {
		return Missing{Want: WantWidths, Feature: measure.Pocket, Datum: measure.DatumBody}
	}
	heel, ok := a.sleeve(a.heelFrame(), measure.Heel)
	if !ok {
		return Missing{Want: WantWidths, Feature: measure.Heel, Datum: a.heelFrame()}
	}
	p.basis.Kind = WidthsInOrder
	if a.way == DryFit {
		p.placed, p.mouth, p.end = true, pocket.own.Undo(autodiff.Vector{X: pocket.ends[0]}), pocket.own.Undo(autodiff.Vector{X: pocket.ends[1]})
	}
	heelAt := heel.ends
	for i, x := range pocket.ends {
		if a.way == DryFit {
			heelAt[i] = heel.own.Place(pocket.own.Undo(autodiff.Vector{X: x})).X
		}
		half := pocket.Width(x).Minus(heel.Width(heelAt[i])).Scaled(0.5)
		p.bass[i], p.treble[i] = half, half
	}
	return Missing{}
}

func (a *assembly) pocketGap(i int) finding {
	p, lack := a.findPlay()
	if !lack.None() {
		return missing(lack)
	}
	return foundOn(p.gap(i), p.basis)
}

func (a *assembly) pocketGapMouth() finding { return a.pocketGap(0) }
func (a *assembly) pocketGapEnd() finding   { return a.pocketGap(1) }

// sizeAt is a part's width at the first or last place at which it was read.
func (a *assembly) sizeAt(frame measure.Datum, f measure.Feature, i int) finding {
	sl, ok := a.sleeve(frame, f)
	if !ok {
		return missing(Missing{Want: WantTwoWidths, Feature: f, Datum: frame})
	}
	return found(sl.Width(sl.ends[i]))
}

func (a *assembly) heelFrame() measure.Datum {
	if a.way == DryFit {
		return measure.DatumBody
	}
	return measure.DatumNeck
}

func (a *assembly) pocketWidthMouth() finding { return a.sizeAt(measure.DatumBody, measure.Pocket, 0) }
func (a *assembly) pocketWidthEnd() finding   { return a.sizeAt(measure.DatumBody, measure.Pocket, 1) }
func (a *assembly) heelWidthMouth() finding   { return a.sizeAt(a.heelFrame(), measure.Heel, 0) }
func (a *assembly) heelWidthEnd() finding     { return a.sizeAt(a.heelFrame(), measure.Heel, 1) }
