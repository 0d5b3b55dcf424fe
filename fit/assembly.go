package fit

import (
	"math"
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// assembly is the kit put together: where each part was surveyed, and the motion that carries it
// into the assembled frame. Every characteristic is read off it.
type assembly struct {
	*solved
	way  Way
	neck part
	body part

	seat     *seat   // loose parts only
	seated   seat    // its room
	unseated Missing // what the seat lacks

	centre    autodiff.Line   // of the fingerboard, in the assembled frame
	along     autodiff.Vector // the centre line's direction, tailward
	uncentred Missing         // what the centre line lacks

	bridge    reference
	bridged   bool    // it was looked for
	unbridged Missing // what the bridge lacks

	play     play    // once findPlay has looked
	played   bool    // it has looked
	unplayed Missing // what it lacks

	nutAt, scale autodiff.Variable // once nut has looked
	scaled       bool              // it has
	unscaled     Missing           // what they lack

	leastSwing float64 // mm that a swing must have to be of interest

	standing *assembly // an edge check's heights, once upright has looked
	plane    surface   // of the fret tops, once fretPlane has looked
	planed   bool      // it has
	unplaned Missing   // what it lacks

	strung   margins // once margins has looked
	looked   bool    // it has
	unstrung Missing // what they lack

	options Options
	nudges  *nudges // what a remedy would move; nil for the kit as it was measured
}

// part is where a part was surveyed, and in what solution it is: loose parts have one each.
type part struct {
	*solved
	frame measure.Datum
	autodiff.Motion
}

// seen is where a hole or a string's place of the part lies in the assembled frame; false where a coordinate was not read.
func (p *part) seen(f measure.Feature, mark int) (autodiff.Vector, bool) {
	if p.placed != nil {
		i, ok := slices.BinarySearch(p.placed.keys, survey.PointAt(p.frame, f, mark))
		if !ok {
			return autodiff.Vector{}, false
		}
		at := p.placed.at[i]
		if p.frame == measure.DatumNeck {
			at.X = at.X.Plus(p.ShiftX)
		}
		return at, true
	}
	v, ok := p.place(p.frame, f, mark)
	if !ok {
		return autodiff.Vector{}, false
	}
	return p.Place(v), true
}

// put puts the kit together as measured that way, with a remedy's moves if any, over what was there.
func (a *assembly) put(s *solved, way Way, o Options, n *nudges) *assembly {
	a.seatParts(s, s, s, way, o, n)
	a.complete()
	return a
}

// seatParts lays the neck to the body, of a kit or of two solutions.
func (a *assembly) seatParts(s, neck, body *solved, way Way, o Options, n *nudges) {
	*a = assembly{solved: s, way: way, options: o, nudges: n}
	switch a.way {
	case EdgeCheck:
		a.neck, a.body = part{neck, measure.DatumEdgeBass, autodiff.Identity()}, part{body, measure.DatumEdgeBass, autodiff.Identity()}
	case DryFit:
		a.neck, a.body = part{neck, measure.DatumBody, autodiff.Identity()}, part{body, measure.DatumBody, autodiff.Identity()}
	default:
		a.neck, a.body = part{neck, measure.DatumNeck, autodiff.Identity()}, part{body, measure.DatumBody, autodiff.Identity()}
		if a.unseated = a.findSeat(&a.seated); a.unseated.None() {
			a.seat = &a.seated
			a.neck.Motion, a.body.Motion = a.seat.neck, a.seat.body
		}
	}
	if n != nil {
		a.neck.Motion = a.neck.Then(n.neck())
	}
}

// complete finds where the centre line and the bridge are then.
func (a *assembly) complete() {
	if board := a.neck.pair(a.neck.frame, measure.Fingerboard); board.there {
		a.centre = a.neck.Line(board.mid)
		a.along = a.centre.Direction()
	} else {
		a.uncentred = Missing{Want: WantEdges, Datum: a.neck.frame}
	}
	if !a.bridged {
		a.findBridge()
	}
	if n := a.nudges; n != nil && a.bridge.known() {
		m, b := n.laid(), &a.bridge
		b.carry.Motion = b.carry.Then(m)
		b.middle, b.row = m.Place(b.middle), m.Direction(b.row)
	}
}

// edge is the fingerboard's, bass or treble, in the assembled frame, where it has a centre line.
func (a *assembly) edge(f measure.Feature) autodiff.Line {
	l, _ := a.neck.sideLine(a.neck.frame, f)
	return a.neck.Line(l)
}

// wayOf: an edge datum makes it an edge check, a neck read from the body's datum a dry fit.
func wayOf(s *survey.Survey) Way {
	switch {
	case s.Edges:
		return EdgeCheck
	case s.Fitted:
		return DryFit
	case len(s.Kit.Readings) > 0:
		return LooseParts
	}
	return NoWay
}

// nut is how far the nut stands along the centre line, and the scale length; of a fanned board where its
// middle stands, and the mean scale.
func (a *assembly) nut() (at, scale autodiff.Variable, lack Missing) {
	if !a.scaled {
		a.nutAt, a.scale, a.unscaled = a.findNut()
		a.scaled = true
	}
	return a.nutAt, a.scale, a.unscaled
}

func (a *assembly) findNut() (at, scale autodiff.Variable, lack Missing) {
	if lack := a.fanless(); !lack.None() {
		return autodiff.Variable{}, autodiff.Variable{}, lack
	}
	b := a.neck.Boards.Get(a.neck.frame)
	if b == nil || len(b.Frets) < 2 {
		return autodiff.Variable{}, autodiff.Variable{}, Missing{Want: WantNutAndFret, Datum: a.neck.frame}
	}
	if !a.uncentred.None() || !b.Edged {
		return autodiff.Variable{}, a.neck.x(b.L), Missing{}
	}
	// The nut's own line is square to the board's bisector at S0; once moved it is square to the centre.
	return autodiff.Project(a.along, autodiff.Vector{X: a.neck.ShiftX, Y: a.neck.ShiftY}, a.neck.x(b.S0)), a.neck.x(b.L), Missing{}
}

// seat is how a neck surveyed alone goes into a pocket surveyed alone: the heel's bisector on the
// pocket's, which makes the side gaps equal everywhere along it, and the heel slid tailward until
// the first corner of its end touches the pocket's end.
//
// The assembled frame is the pocket's: x along its bisector, y from it toward treble.
type seat struct {
	neck, body autodiff.Motion
	pocket     autodiff.Taper    // how its sides lie along its bisector
	heel       autodiff.Taper    // and the heel's along its own, which comes to lie on the pocket's
	stop       autodiff.Line     // the pocket's end
	home       autodiff.Variable // how far the heel is slid tailward for that
	slack      autodiff.Variable // between the other corner and the pocket's end
	corners    [2]float64        // that of each, bass and treble, one of them 0
}

// findSeat needs the sides of both parts and both ends and tells what is missing.
func (a *assembly) findSeat(st *seat) Missing {
	pocket, heel := a.body.closed(measure.DatumBody, measure.Pocket, measure.PocketEnd), a.neck.closed(measure.DatumNeck, measure.Heel, measure.HeelEnd)
	switch {
	case !pocket.there:
		return a.body.lackingSide(measure.DatumBody, measure.Pocket)
	case !heel.there:
		return a.neck.lackingSide(measure.DatumNeck, measure.Heel)
	case !heel.closed:
		return Missing{Want: WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}
	case !pocket.closed:
		return Missing{Want: WantEnd, Feature: measure.PocketEnd, Datum: measure.DatumBody}
	}
	st.put(pocket, heel)
	return Missing{}
}

// lackingSide is the first of a part's sides that was not read.
func (s *solved) lackingSide(frame measure.Datum, across measure.Feature) Missing {
	side := survey.Partners(across)[0]
	if _, ok := s.sideLine(frame, side); ok {
		side = survey.Partners(across)[1]
	}
	return Missing{Want: WantSide, Feature: side, Datum: frame}
}

// put lays the heel into the pocket.
func (st *seat) put(pocket, heel *sleeve) {
	travel := [2]autodiff.Variable{pocket.end.Ahead(heel.corners[0]), pocket.end.Ahead(heel.corners[1])}
	st.home = autodiff.Least(travel[:]...) // the first corner to touch
	st.body, st.neck, st.slack = pocket.own, heel.own, autodiff.Greatest(travel[:]...).Minus(st.home)
	st.corners = [2]float64{travel[0].Value - st.home.Value, travel[1].Value - st.home.Value}
	st.neck.ShiftX = st.home
	st.pocket, st.heel, st.stop = pocket.Taper, heel.Taper, pocket.end
}

// clear is how much wider the pocket is than the heel where it was read at its mouth or its end, with what both deviate by there,
// the heel where it was read beside the pocket's place.
func (st *seat) clear(pocket, heel *sleeve, i int) autodiff.Variable {
	x := pocket.ends[i]
	gap := pocket.wide[i].Minus(st.heel.Width(x.Minus(st.home)))
	if heel.long && math.Abs(heel.ends[i].Value+st.home.Value-x.Value) <= leastApart {
		gap = gap.Minus(heel.local[i])
	}
	return gap
}

// lines are the sides of pocket and heel, bass and treble, in the assembled frame.
func (st *seat) lines() (pocket, heel [2]autodiff.Line) {
	heel = st.heel.Sides()
	for i := range heel {
		heel[i].D = heel[i].D.Plus(heel[i].N.X.Times(st.home))
	}
	return st.pocket.Sides(), heel
}
