package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// seat is how a neck surveyed alone goes into a pocket surveyed alone: the heel's bisector on the
// pocket's, which makes the side gaps equal everywhere along it, and the heel slid tailward until
// the first corner of its end touches the pocket's end.
//
// The assembled frame is the pocket's: x along its bisector, y from it toward treble.
type seat struct {
	neck, body autodiff.Motion
	pocket     autodiff.Taper    // how its sides lie along its bisector
	heel       autodiff.Taper    // and the heel's along its own, which comes to lie on the pocket's
	home       autodiff.Variable // how far the heel is slid tailward for that
	slack      autodiff.Variable // between the other corner and the pocket's end
}

// findSeat needs the sides of both parts and both ends and tells what is missing.
func (s *solved) findSeat(st *seat) Missing {
	pocket, heel := s.pair(measure.DatumBody, measure.Pocket), s.pair(measure.DatumNeck, measure.Heel)
	if !pocket.there {
		return s.lackingSide(measure.DatumBody, measure.Pocket)
	}
	if !heel.there {
		return s.lackingSide(measure.DatumNeck, measure.Heel)
	}
	pocketEnd, okPocket := s.endLine(measure.DatumBody, measure.PocketEnd)
	heelEnd, okHeel := s.endLine(measure.DatumNeck, measure.HeelEnd)
	switch {
	case !okHeel:
		return Missing{Want: WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}
	case !okPocket:
		return Missing{Want: WantEnd, Feature: measure.PocketEnd, Datum: measure.DatumBody}
	}
	st.put(pocket, heel, pocketEnd, heelEnd)
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
func (st *seat) put(pocket, heel *sleeve, pocketEnd, heelEnd autodiff.Line) {
	stop, butt := pocket.own.Line(pocketEnd), heel.own.Line(heelEnd)
	// Where the heel's end meets its own two sides, measured from the bisector.
	var travel [2]autodiff.Variable
	for i, side := range heel.Taper.Sides() {
		travel[i] = stop.Ahead(autodiff.Meet(side, butt))
	}
	st.home = autodiff.Least(travel[:]...) // the first corner to touch
	st.body, st.neck, st.slack = pocket.own, heel.own, autodiff.Greatest(travel[:]...).Minus(st.home)
	st.neck.ShiftX = st.home
	st.pocket, st.heel = pocket.Taper, heel.Taper
}

// gap is how much wider the pocket is than the heel at x.
func (st *seat) gap(x autodiff.Variable) autodiff.Variable {
	return st.pocket.Width(x).Minus(st.heel.Width(x.Minus(st.home)))
}

// lines are the sides of pocket and heel, bass and treble, in the assembled frame.
func (st *seat) lines() (pocket, heel [2]autodiff.Line) {
	heel = st.heel.Sides()
	for i := range heel {
		heel[i].D = heel[i].D.Plus(heel[i].N.X.Times(st.home))
	}
	return st.pocket.Sides(), heel
}
