package fit

import (
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// The places at which a part's sides are looked at.
const (
	mouth = iota // where it was read farthest from the tail
	end          // nearest to it
)

// play is the pocket's clearance: what a heel can move at the pocket's mouth and at its end.
type play struct {
	placed     bool                 // whether mouth and end are known in the assembled frame
	mouth, end autodiff.Vector      // where the pocket's middle is at the two
	bass       [2]autodiff.Variable // free beside the bass wall at mouth and end, negative where it interferes
	treble     [2]autodiff.Variable
	adrift     bool // where between the walls the heel lies is not known
	basis      Basis
}

// length is from mouth to end.
func (p *play) length() autodiff.Variable { return p.end.Minus(p.mouth).Length() }

func (p *play) gap(i int) autodiff.Variable { return p.bass[i].Plus(p.treble[i]) }

// findPlay takes gaps felt on both walls; or the widths of pocket and seated heel; or, when the
// heel cannot be seated, the widths in the order in which they were read along each part.
func (a *assembly) findPlay() (*play, Missing) {
	if !a.played {
		a.played = true
		if !a.feltPlay(&a.play) {
			a.unplayed = a.playOfWidths(&a.play)
		}
	}
	return &a.play, a.unplayed
}

// feltPlay: feeler gauges beside both walls, the neck in the pocket.
func (a *assembly) feltPlay(p *play) bool {
	bass := a.body.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketBass))
	treble := a.body.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketTreble))
	if bass == nil || treble == nil || bass.HighX-bass.LowX <= leastApart || treble.HighX-treble.LowX <= leastApart {
		return false
	}
	at := [2]float64{min(bass.LowX, treble.LowX), max(bass.HighX, treble.HighX)}
	p.basis.Kind = GapsFelt
	if a.way == DryFit && a.uncentred.None() { // the middle of the heel will do for the pocket's
		p.placed, p.mouth, p.end = true, a.centre.AtX(at[0]), a.centre.AtX(at[1])
	}
	for i, x := range at {
		p.bass[i], _ = a.body.gapAt(measure.PocketBass, x)
		p.treble[i], _ = a.body.gapAt(measure.PocketTreble, x)
	}
	return true
}

// playOfWidths: by the seat rule half of the clearance is on each side. Lacking the seat, the first width along the pocket against the first along the heel, the last against
// the last. A heel that tapers by t a mm is taken d mm off its place, and its gap is out by t d.
// Where both were read from one datum the heel is taken beside the pocket's places; widths alone do
// not tell how the pocket is turned in that datum, which leaves its place out by the turn's square. From an
// edge of the fingerboard their places along the neck are known, and the middle of the fingerboard will do
// for the pocket's; where in the gap the heel lies is not.
func (a *assembly) playOfWidths(p *play) Missing {
	pocket, ok := a.body.sleeve(a.pocketFrame(), measure.Pocket)
	if !ok {
		return Missing{Want: WantWidths, Feature: measure.Pocket, Datum: a.pocketFrame()}
	}
	if a.seat != nil {
		p.basis.Kind = HeelSeated
		p.placed, p.mouth, p.end = true, autodiff.Vector{X: pocket.ends[0]}, autodiff.Vector{X: pocket.ends[1]} // the assembled frame is the pocket's own
		heel, _ := a.neck.sleeve(measure.DatumNeck, measure.Heel)
		for i := range pocket.ends {
			half := a.seat.clear(pocket, heel, i).Scaled(0.5)
			p.bass[i], p.treble[i] = half, half
		}
		return Missing{}
	}
	heel, ok := a.neck.sleeve(a.heelFrame(), measure.Heel)
	if !ok {
		return Missing{Want: WantWidths, Feature: measure.Heel, Datum: a.heelFrame()}
	}
	p.basis.Kind = WidthsInOrder
	p.adrift = true
	together := a.heelFrame() == a.pocketFrame()
	switch {
	case a.way == EdgeCheck && together && a.uncentred.None():
		onBoard := func(x autodiff.Variable) autodiff.Vector {
			return a.centre.AtX(pocket.own.Undo(autodiff.Vector{X: x}).X.Value)
		}
		p.placed, p.mouth, p.end = true, onBoard(pocket.ends[0]), onBoard(pocket.ends[1])
	case a.way == DryFit:
		p.placed, p.mouth, p.end = true, pocket.own.Undo(autodiff.Vector{X: pocket.ends[0]}), pocket.own.Undo(autodiff.Vector{X: pocket.ends[1]})
	}
	heelAt := heel.ends
	for i, x := range pocket.ends {
		if together {
			heelAt[i] = heel.own.X(pocket.own.Undo(autodiff.Vector{X: x}))
		}
		half := pocket.wide[i].Minus(heel.Width(heelAt[i]).Plus(heel.local[i])).Scaled(0.5)
		p.bass[i], p.treble[i] = half, half
	}
	return Missing{}
}

func (a *assembly) pocketGap(i int) finding {
	p, lack := a.findPlay()
	if !lack.None() {
		return missing(lack)
	}
	basis := p.basis
	if stop, ok := a.body.endLine(measure.DatumBody, measure.PocketEnd); ok && p.placed && a.way != EdgeCheck {
		if a.seat != nil {
			stop = a.seat.stop
		}
		at := [2]*autodiff.Vector{&p.mouth, &p.end}[i]
		basis.Length = -stop.Off(at.X.Value, at.Y.Value)
	}
	return foundOn(p.gap(i), basis)
}

// sizeAt is a part's width at the first or last place at which it was read.
func (a *assembly) sizeAt(frame measure.Datum, f measure.Feature, i int) finding {
	sl, ok := a.sleeve(frame, f)
	if !ok {
		return missing(Missing{Want: WantTwoWidths, Feature: f, Datum: frame})
	}
	return found(sl.wide[i])
}

// heelFrame and pocketFrame are where heel and pocket were read: in an edge check from the straightedge, or
// each part's own datum.
func (a *assembly) heelFrame() measure.Datum {
	if a.way == DryFit {
		return measure.DatumBody
	}
	return a.fromEdge(measure.Heel, measure.DatumNeck)
}

func (a *assembly) pocketFrame() measure.Datum { return a.fromEdge(measure.Pocket, measure.DatumBody) }

// fromEdge is the frame in which a part's widths were read, or would be where nothing was read from the part's own datum.
func (a *assembly) fromEdge(across measure.Feature, otherwise measure.Datum) measure.Datum {
	if a.way == EdgeCheck {
		_, ok := a.sleeve(measure.DatumEdgeBass, across)
		if ok || !slices.ContainsFunc(a.Kit.Readings, func(r measure.Reading) bool { return r.Datum == otherwise }) {
			return measure.DatumEdgeBass
		}
	}
	return otherwise
}

// endGap is the widest gap between the heel's end and the pocket's: felt, or what the seat rule
// leaves at the corner that does not touch.
func (a *assembly) endGap() finding {
	if felt := a.body.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketEnd)); felt != nil {
		low, _ := a.body.gapAt(measure.PocketEnd, felt.LowX)
		high, _ := a.body.gapAt(measure.PocketEnd, felt.HighX)
		if felt.HighX-felt.LowX <= leastApart { // the other corner may stand farther off
			return missing(Missing{Want: WantEndGap})
		}
		f := foundOn(autodiff.Greatest(low, high), Basis{Kind: EndFelt})
		f.rivals = []autodiff.Variable{low, high}
		return f
	}
	if a.seat == nil {
		if !a.unseated.None() {
			return missing(a.unseated)
		}
		return missing(Missing{Want: WantEndGap})
	}
	// By the seat rule the heel is home: what is left is how far both ends are from square, and no fault of its own.
	f := foundOn(a.seat.slack, Basis{Kind: FirstCorner})
	f.bound = &bound{-inf, inf, LimitSource{Origin: CommonPractice}}
	return f
}

// squareness is the angle of an end's normal from its part's bisector, in degrees, positive when
// it is turned toward treble.
func (a *assembly) squareness(frame measure.Datum, end, across measure.Feature) finding {
	sides := a.pair(frame, across)
	stop, ok := a.endLine(frame, end)
	if !sides.there || !ok {
		return missing(Missing{Want: WantSquareEnd, Feature: end, Datum: frame})
	}
	return found(sides.mid.Direction().AngleTo(stop.N))
}

// cornerReserve is the heel's corner radius less the pocket's, the smaller of the two sides':
// below zero the heel's corner meets the pocket's fillet before the end is home.
func (a *assembly) cornerReserve() finding {
	var room [usualStrings]autodiff.Variable
	left := room[:0]
	var roomMarks [usualStrings]int
	marks := roomMarks[:0]
	var without Marks
	for i, name := range []string{"bass", "treble"} {
		pocket := a.body.Corners.Get(survey.CornerKey{Frame: measure.DatumBody, Feature: measure.PocketCorner, Name: name})
		heel := a.neck.Corners.Get(survey.CornerKey{Frame: a.heelFrame(), Feature: measure.HeelCorner, Name: name})
		if heel == nil { // with the neck in the pocket a gauge cannot come at them
			heel = a.neck.Corners.Get(survey.CornerKey{Frame: measure.DatumNeck, Feature: measure.HeelCorner, Name: name})
		}
		if pocket != nil && heel != nil && pocket.Known() && heel.Known() {
			left, marks = append(left, a.neck.x(heel.Radius).Minus(a.body.x(pocket.Radius))), append(marks, i)
		} else {
			without.add(i + 1)
		}
	}
	if len(left) == 0 {
		return missing(Missing{Want: WantCorners})
	}
	if without != (Marks{}) {
		return missing(Missing{Want: WantCorners, Marks: without})
	}
	return found(autodiff.Least(left...)).from(a, LeastOf, left, marks)
}
