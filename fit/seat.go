package fit

import "neckfit/measure"

// seat is how a neck surveyed alone goes into a pocket surveyed alone: the heel's bisector on the
// pocket's, which makes the side gaps equal everywhere along it, and the heel slid tailward until
// the first corner of its end touches the pocket's end.
//
// The assembled frame is the pocket's: x along its bisector, y from it toward treble.
type seat struct {
	neck, body motion
	pocket     [2]line  // its sides, bass and treble, in the assembled frame
	heel       [2]line  // the heel's, likewise
	slack      quantity // between the other corner and the pocket's end
}

// axes is the motion into the frame of a part whose two sides have the bisector b.
func axes(b line) motion {
	return motion{ex: b.along(), ey: b.n, sy: b.d.negated()}
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
	for i := range travel {
		corner := meet(heel.own.line(heel.sides[i]), butt)
		travel[i] = reach(stop, corner.y).minus(corner.x)
	}
	home := least(travel[:]...) // the first corner to touch
	st.body, st.neck, st.slack = pocket.own, heel.own, greatest(travel[:]...).minus(home)
	st.neck.sx = home
	for i := range st.pocket {
		st.pocket[i], st.heel[i] = st.body.line(pocket.sides[i]), st.neck.line(heel.sides[i])
	}
}

// meet is where two lines cross.
func meet(a, b line) vector {
	det := a.n.cross(b.n)
	return vector{
		vector{a.d, b.d}.cross(vector{a.n.y, b.n.y}).over(det),
		vector{a.n.x, b.n.x}.cross(vector{a.d, b.d}).over(det),
	}
}

// reach is the x at which an end line stands at y.
func reach(end line, y quantity) quantity {
	return line{vector{end.n.y, end.n.x}, end.d}.yAt(y)
}

// widthAt is the distance between two sides at x, square to the frame's x axis, which is or lies
// close to their bisector (half a degree off changes it by 0.004 %).
func widthAt(sides [2]line, x quantity) quantity {
	return sides[1].yAt(x).minus(sides[0].yAt(x))
}
