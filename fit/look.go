package fit

import (
	"cmp"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// partners are the two sides, bass and treble, that a calliper across a feature ties together.
func partners(across measure.Feature) [2]measure.Feature {
	switch across {
	case measure.Fingerboard:
		return [2]measure.Feature{measure.EdgeBass, measure.EdgeTreble}
	case measure.Heel:
		return [2]measure.Feature{measure.HeelBass, measure.HeelTreble}
	case measure.Pocket:
		return [2]measure.Feature{measure.PocketBass, measure.PocketTreble}
	}
	panic("fit: nobody reads a width across " + across.String())
}

// look notes what a reading is of, and what it says at first sight; nothing is numbered yet.
// Cavities, outlines, plate edges and plate holes are kept for drawings and carry no equations.
func (s *survey) look(r *measure.Reading) {
	frame := frameOf(r.Datum)
	s.edges = s.edges || r.Datum.Edge()
	s.fitted = s.fitted || r.Datum == measure.DatumBody && r.Kind != measure.Width && r.Feature.Part() == measure.NeckPart
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.HeelBass, measure.HeelTreble:
		s.sides.put(sideAt(frame, r.Feature)).see(r.Station, r.Offset)
	case measure.PocketBass, measure.PocketTreble:
		s.lookAtWall(frame, r)
	case measure.HeelEnd, measure.PocketEnd:
		s.lookAtEnd(frame, r)
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		s.widths.put(sideAt(frame, r.Feature)).see(r.Station, r.Size)
		for _, p := range partners(r.Feature) {
			s.sides.put(sideAt(frame, p))
		}
	case measure.Nut, measure.Fret:
		s.lookAtFret(frame, r)
	case measure.HeelCorner, measure.PocketCorner:
		s.lookAtCorner(frame, r)
	case measure.FretTop, measure.PocketFloor, measure.Top:
		s.lookAtPlane(frame, r)
	case measure.SaddleLow, measure.SaddleHigh:
		key := pointAt(frame, r.Feature, r.Mark.Number)
		if s.heights.get(key) == nil {
			s.heights.put(key).first = r.Size
		}
	case measure.NutSlot, measure.HeelScrew, measure.BridgeScrew, measure.StringHole, measure.NeckScrew,
		measure.PlateScrew, measure.Saddle, measure.SaddleFront, measure.SaddleBack:
		s.lookAtPoint(frame, r)
	}
}

func (s *survey) lookAtWall(frame measure.Datum, r *measure.Reading) {
	if r.Kind == measure.Gap {
		s.sides.put(besideWall(frame, r.Feature)).see(r.Station, r.Size)
		return
	}
	s.sides.put(sideAt(frame, r.Feature)).see(r.Station, r.Offset)
}

func (s *survey) lookAtEnd(frame measure.Datum, r *measure.Reading) {
	if r.Kind == measure.Gap {
		s.sides.put(besideWall(frame, r.Feature)).see(r.Offset, r.Size)
		return
	}
	s.sides.put(sideAt(frame, r.Feature)).see(r.Offset, r.Station)
}

func (s *survey) lookAtFret(frame measure.Datum, r *measure.Reading) {
	b := s.boards.put(frame)
	n := r.Mark.Number // 0 for the nut
	seen := fretSeen{n, r.Station}
	if len(b.frets) == 0 {
		b.low, b.high = seen, seen
	}
	if !slices.Contains(b.frets, n) {
		b.frets = append(b.frets, n)
	}
	if n < b.low.number {
		b.low = seen
	}
	if n > b.high.number {
		b.high = seen
	}
}

func (s *survey) lookAtCorner(frame measure.Datum, r *measure.Reading) {
	c := s.corners.put(cornerKey{frame, r.Feature, r.Mark.Name})
	if r.Kind == measure.Radius {
		c.n++
		c.sum += r.Size
		return
	}
	c.points = append(c.points, adjust.Point{X: r.Station, Y: r.Offset})
}

func (s *survey) lookAtPlane(frame measure.Datum, r *measure.Reading) {
	p := s.planes.put(sideAt(frame, r.Feature))
	k := float64(p.n)
	p.n++
	p.x0 = (p.x0*k + r.Station) / (k + 1)
	p.y0 = (p.y0*k + r.Offset) / (k + 1)
	p.z0 = (p.z0*k + r.Size) / (k + 1)
}

func (s *survey) lookAtPoint(frame measure.Datum, r *measure.Reading) {
	s.marked[frame] |= 1 << r.Feature
	p := s.points.put(pointAt(frame, r.Feature, r.Mark.Number))
	if r.To.Number > 0 {
		s.points.put(pointAt(frame, r.Feature, r.To.Number))
	}
	if !p.hasStation && stationOf(r) {
		p.hasStation, p.firstStation = true, r.Station
	}
	if !p.hasOffset && offsetOf(r) {
		p.hasOffset, p.firstOffset = true, r.Offset
	}
	switch r.Kind {
	case measure.Diameter:
		p.hasDiameter, p.firstDia = true, r.Size
	case measure.StationNear, measure.StationFar, measure.OffsetNear, measure.OffsetFar:
		p.byEdge = true
	}
}

// stationOf tells whether a reading of a place reads its station: one whose station only says
// where the straightedge was touched counts too, since places are small.
func stationOf(r *measure.Reading) bool {
	return r.Kind != measure.Distance && r.HasStation
}

func offsetOf(r *measure.Reading) bool {
	return r.Kind != measure.Distance && r.HasOffset
}

// number gives every line, place, board, corner and plane its unknowns, in a fixed order.
func (s *survey) number() {
	s.numberSides()
	s.boards.sort(cmp.Compare)
	for i, frame := range s.boards.keys {
		s.numberBoard(frame, s.boards.values[i])
	}
	s.points.sort(cmp.Compare)
	for i := range s.points.keys {
		s.numberPoint(s.points.values[i])
	}
	s.corners.sort(compareCorners)
	for i := range s.corners.keys {
		s.numberCorner(s.corners.values[i])
	}
	s.planes.sort(cmp.Compare)
	for i := range s.planes.keys {
		p := s.planes.values[i]
		p.a, p.b, p.c = s.unknown(p.z0, lengthReach), s.unknown(0, slopeReach), s.unknown(0, slopeReach)
	}
	s.heights.sort(cmp.Compare)
	for i := range s.heights.keys {
		h := s.heights.values[i]
		h.unknown = s.unknown(h.first, lengthReach)
	}
}
