package fit

import (
	"neckfit/fit/adjust"
	"neckfit/measure"
)

// writePoint writes what a reading says of a hole or a string's place: its coordinates, its
// diameter or its distance from another.
func (s *survey) writePoint(r *measure.Reading, frame measure.Datum) {
	p := s.points.get(pointAt(frame, r.Feature, r.Mark.Number))
	switch r.Kind {
	case measure.Diameter:
		if p.diameter >= 0 {
			s.add(r, r.Size, s.one(p.diameter), own(r.Gauge))
		}
	case measure.Distance:
		q := s.points.get(pointAt(frame, r.Feature, r.To.Number))
		s.add(r, r.Size, modelled(adjust.DistanceBetween(
			adjust.At(p.station), adjust.At(p.offset), adjust.At(q.station), adjust.At(q.offset))), own(r.Gauge))
	default:
		s.writeCoordinates(r, p)
	}
}

// rims is how far from a hole's centre, in diameters, the spot lies that a kind reads along the
// station or along the offset: near is the rim at the smaller coordinate, far that at the larger.
func rims(k measure.Kind) float64 {
	switch k {
	case measure.StationNear, measure.OffsetNear:
		return -0.5
	case measure.StationFar, measure.OffsetFar:
		return 0.5
	}
	return 0
}

// spot is the sum for the spot of a hole's coordinate.
func (s *survey) spot(r *measure.Reading, p *point, centre int) sum {
	if half := rims(r.Kind); half != 0 {
		return s.two(centre, p.diameter, half)
	}
	return s.one(centre)
}

// writeCoordinates writes a station and an offset, each where the reading gives it. From the edge
// datums the offset is the distance inward.
func (s *survey) writeCoordinates(r *measure.Reading, p *point) {
	if r.Datum == measure.DatumEdgeTreble {
		s.writeFromTreble(r, p)
		return
	}
	if stationOf(r) {
		s.add(r, r.Station, s.spot(r, p, p.station), own(r.StationGauge))
	}
	if offsetOf(r) {
		s.add(r, r.Offset, s.spot(r, p, p.offset), own(r.Gauge))
	}
}

// writeFromTreble writes the coordinates from the straightedge along the treble edge. Near is the
// spot at the smaller distance inward, so at the larger offset.
func (s *survey) writeFromTreble(r *measure.Reading, p *point) {
	if stationOf(r) {
		of := s.rim(p, rims(r.Kind))
		of.model = adjust.Beside{Side: s.trebleEdge(), Zero: s.trebleZero()}.Station(p.station, p.offset)
		s.add(r, r.Station, of, own(r.StationGauge))
	}
	if offsetOf(r) {
		of := s.rim(p, -rims(r.Kind))
		of.model = s.trebleEdge().From(p.station, p.offset)
		s.add(r, -r.Offset, of, errorOf{r.Gauge, -1})
	}
}

// rim is what a spot's distance from the centre adds to it.
func (s *survey) rim(p *point, half float64) sum {
	if half == 0 {
		return sum{}
	}
	s.terms = append(s.terms, adjust.Term{Unknown: p.diameter, Coef: half})
	return s.latest(1)
}

// trebleEdge is the treble edge of the fingerboard in the frame of the bass edge's straightedge.
func (s *survey) trebleEdge() adjust.Side {
	return s.sides.get(sideAt(measure.DatumEdgeBass, measure.EdgeTreble)).Side
}

// trebleZero is the unknown zero of the straightedge along the treble edge.
func (s *survey) trebleZero() int {
	if s.zero == 0 {
		s.zero = 1 + s.unknown(0, lengthReach)
	}
	return s.zero - 1
}

// How tightly the bass edge is held where its own straightedge is the frame: over a metre both
// stay ten thousand times below any reading's uncertainty, so that it is exact for all that is
// reported.
const (
	pinnedOffset = 1e-6 // mm
	pinnedSlope  = 1e-9 // mm per mm
)

// pinFrame makes the bass edge the zero of its own straightedge's offsets.
func (s *survey) pinFrame() {
	if !s.edges {
		return
	}
	bass := s.sides.get(sideAt(measure.DatumEdgeBass, measure.EdgeBass))
	s.pin(bass.A, pinnedOffset)
	s.pin(bass.B, pinnedSlope)
}

// pin holds an unknown at zero.
func (s *survey) pin(unknown int, sigma float64) {
	s.problem.Rows = append(s.problem.Rows, adjust.Row{Sigma: sigma, Terms: s.one(unknown).terms})
	s.source = append(s.source, nil)
}
