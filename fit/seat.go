package fit

import "neckfit/measure"

// seat is how a neck surveyed alone goes into a pocket surveyed alone: the heel's bisector on the
// pocket's, which makes the side gaps equal everywhere along it, and the heel slid tailward until
// the first corner of its end touches the pocket's end.
//
// The assembled frame is the pocket's: x along its bisector, y from it toward treble.
type seat struct {
	neck, body motion
	pocket     taper    // how its sides lie along its bisector
	heel       taper    // and the heel's along its own, which comes to lie on the pocket's
	home       quantity // how far the heel is slid tailward for that
	slack      quantity // between the other corner and the pocket's end
}

// axes is the motion into the frame of a part whose two sides have the bisector b.
func axes(b line) motion {
	return motion{cos: b.n.y, sin: b.n.x, sy: b.d.negated()}
}

// findSeat needs the sides of both parts and both ends; missing tells which readings are not there.
func (s *solved) findSeat(st *seat) (missing string) {
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
		return "heel-end at two offsets (datum neck)"
	case !okPocket:
		return "pocket-end at two offsets (datum body)"
	}
	st.put(pocket, heel, pocketEnd, heelEnd)
	return ""
}

// lackingSide is the first of a part's sides that was not read.
func (s *solved) lackingSide(frame measure.Datum, across measure.Feature) string {
	side := partners(across)[0]
	if _, ok := s.sideLine(frame, side); ok {
		side = partners(across)[1]
	}
	return side.String() + " at two stations (datum " + frame.String() + ")"
}

// put lays the heel into the pocket.
func (st *seat) put(pocket, heel *sleeve, pocketEnd, heelEnd line) {
	stop, butt := pocket.own.line(pocketEnd), heel.own.line(heelEnd)
	// Where the heel's end meets its own two sides, measured from the bisector.
	var travel [2]quantity
	for i, side := range heel.taper.sides() {
		travel[i] = stop.ahead(meet(side, butt))
	}
	st.home = least(travel[:]...) // the first corner to touch
	st.body, st.neck, st.slack = pocket.own, heel.own, greatest(travel[:]...).minus(st.home)
	st.neck.sx = st.home
	st.pocket, st.heel = pocket.taper, heel.taper
}

// ahead is how far tailward of a place an end line stands at its y.
func (l line) ahead(p vector) quantity {
	x := (l.d.v - l.n.y.v*p.y.v) / l.n.x.v
	return join(x-p.x.v, by{l.d, 1 / l.n.x.v}, by{l.n.y, -p.y.v / l.n.x.v}, by{p.y, -l.n.y.v / l.n.x.v},
		by{l.n.x, -x / l.n.x.v}, by{p.x, -1})
}

// gap is how much wider the pocket is than the heel at x.
func (st *seat) gap(x quantity) quantity {
	return st.pocket.width(x).minus(st.heel.width(x.minus(st.home)))
}

// lines are the sides of pocket and heel, bass and treble, in the assembled frame.
func (st *seat) lines() (pocket, heel [2]line) {
	heel = st.heel.sides()
	for i := range heel {
		heel[i].d = heel[i].d.plus(heel[i].n.x.times(st.home))
	}
	return st.pocket.sides(), heel
}
