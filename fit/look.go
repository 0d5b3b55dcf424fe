package fit

import (
	"maps"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// partners are the two sides that a calliper across a feature ties together.
var partners = map[measure.Feature][2]measure.Feature{
	measure.Fingerboard: {measure.EdgeBass, measure.EdgeTreble},
	measure.Heel:        {measure.HeelBass, measure.HeelTreble},
	measure.Pocket:      {measure.PocketBass, measure.PocketTreble},
}

// look notes what a reading is of, and what it says at first sight; nothing is numbered yet.
// Cavities, outlines, plate edges and plate holes are kept for drawings and carry no equations.
func (s *survey) look(r *measure.Reading) {
	frame := frameOf(r.Datum)
	s.edges = s.edges || r.Datum.Edge()
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.HeelBass, measure.HeelTreble:
		s.side(sideKey{frame, r.Feature, false}).see(r.Station, r.Offset)
	case measure.PocketBass, measure.PocketTreble:
		s.lookAtWall(frame, r)
	case measure.HeelEnd, measure.PocketEnd:
		s.lookAtEnd(frame, r)
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		s.width(sideKey{frame, r.Feature, false}).see(r.Station, r.Size)
		for _, p := range partners[r.Feature] {
			s.side(sideKey{frame, p, false})
		}
	case measure.Nut, measure.Fret:
		s.lookAtFret(frame, r)
	case measure.HeelCorner, measure.PocketCorner:
		s.lookAtCorner(frame, r)
	case measure.FretTop, measure.PocketFloor, measure.Top:
		s.lookAtPlane(frame, r)
	case measure.SaddleLow, measure.SaddleHigh:
		key := pointKey{frame, r.Feature, r.Mark.Number}
		if s.heights[key] == nil {
			s.heights[key] = &height{first: r.Size}
		}
	case measure.NutSlot, measure.HeelScrew, measure.BridgeScrew, measure.StringHole, measure.NeckScrew,
		measure.PlateScrew, measure.Saddle, measure.SaddleFront, measure.SaddleBack:
		s.lookAtPoint(frame, r)
	}
}

func (s *survey) side(key sideKey) *side    { return entry(s.sides, key) }
func (s *survey) width(key sideKey) *side   { return entry(s.widths, key) }
func (s *survey) point(key pointKey) *point { return entry(s.points, key) }

// entry is the map's value at key, made when it is not there.
func entry[K comparable, V any](m map[K]*V, key K) *V {
	v := m[key]
	if v == nil {
		v = new(V)
		m[key] = v
	}
	return v
}

func (s *survey) lookAtWall(frame measure.Datum, r *measure.Reading) {
	if r.Kind == measure.Gap {
		s.side(sideKey{frame, r.Feature, true}).see(r.Station, r.Size)
		return
	}
	s.side(sideKey{frame, r.Feature, false}).see(r.Station, r.Offset)
}

func (s *survey) lookAtEnd(frame measure.Datum, r *measure.Reading) {
	if r.Kind == measure.Gap {
		s.side(sideKey{frame, r.Feature, true}).see(r.Offset, r.Size)
		return
	}
	s.side(sideKey{frame, r.Feature, false}).see(r.Offset, r.Station)
}

func (s *survey) lookAtFret(frame measure.Datum, r *measure.Reading) {
	b := entry(s.boards, frame)
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
	c := entry(s.corners, cornerKey{frame, r.Feature, r.Mark.Name})
	if r.Kind == measure.Radius {
		c.n++
		c.sum += r.Size
		return
	}
	c.points = append(c.points, adjust.Point{X: r.Station, Y: r.Offset})
}

func (s *survey) lookAtPlane(frame measure.Datum, r *measure.Reading) {
	p := entry(s.planes, sideKey{frame, r.Feature, false})
	k := float64(p.n)
	p.n++
	p.x0 = (p.x0*k + r.Station) / (k + 1)
	p.y0 = (p.y0*k + r.Offset) / (k + 1)
	p.z0 = (p.z0*k + r.Size) / (k + 1)
}

func (s *survey) lookAtPoint(frame measure.Datum, r *measure.Reading) {
	p := s.point(pointKey{frame, r.Feature, r.Mark.Number})
	if r.To.Number > 0 {
		s.point(pointKey{frame, r.Feature, r.To.Number})
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
	for _, frame := range slices.Sorted(maps.Keys(s.boards)) {
		s.numberBoard(frame, s.boards[frame])
	}
	for _, key := range slices.SortedFunc(maps.Keys(s.points), comparePoints) {
		s.numberPoint(s.points[key])
	}
	for _, key := range slices.SortedFunc(maps.Keys(s.corners), compareCorners) {
		s.numberCorner(s.corners[key])
	}
	for _, key := range slices.SortedFunc(maps.Keys(s.planes), compareSides) {
		p := s.planes[key]
		p.a, p.b, p.c = s.unknown(p.z0, lengthReach), s.unknown(0, slopeReach), s.unknown(0, slopeReach)
	}
	for _, key := range slices.SortedFunc(maps.Keys(s.heights), comparePoints) {
		h := s.heights[key]
		h.unknown = s.unknown(h.first, lengthReach)
	}
}
