package fit

import (
	"neckfit/fit/adjust"
	"neckfit/measure"
)

// writePoint writes what a reading says of a hole or a string's place: its coordinates, its
// diameter or its distance from another.
func (s *survey) writePoint(r *measure.Reading, frame measure.Datum) {
	p := s.points[pointKey{frame, r.Feature, r.Mark.Number}]
	switch r.Kind {
	case measure.Diameter:
		if p.diameter >= 0 {
			s.add(r, r.Size, own(r.Gauge), adjust.Row{Terms: []adjust.Term{{Unknown: p.diameter, Coef: 1}}})
		}
	case measure.Distance:
		q := s.points[pointKey{frame, r.Feature, r.To.Number}]
		s.add(r, r.Size, own(r.Gauge), adjust.Row{Model: adjust.DistanceBetween(
			adjust.At(p.station), adjust.At(p.offset), adjust.At(q.station), adjust.At(q.offset))})
	default:
		s.writeCoordinates(r, p)
	}
}

// spots tells which spot of a hole a kind reads along the station and along the offset.
var spots = map[measure.Kind]adjust.Edge{
	measure.StationNear: adjust.Near, measure.StationFar: adjust.Far,
	measure.OffsetNear: adjust.Near, measure.OffsetFar: adjust.Far,
}

// writeCoordinates writes a station and an offset, each where the reading gives it. From the edge
// datums the offset is the distance inward.
func (s *survey) writeCoordinates(r *measure.Reading, p *point) {
	spot := spots[r.Kind]
	if stationOf(r) {
		row := adjust.Row{Terms: spot.Terms(p.station, p.diameter)}
		if r.Datum == measure.DatumEdgeTreble {
			edge := adjust.Beside{Side: s.trebleEdge(), Zero: s.trebleZero()}
			row = adjust.Row{Terms: spot.Terms(p.station, p.diameter)[1:], Model: edge.Station(p.station, p.offset)}
		}
		s.add(r, r.Station, own(r.StationGauge), row)
	}
	if offsetOf(r) {
		if r.Datum == measure.DatumEdgeTreble {
			// Near is the spot at the smaller distance inward, so at the larger offset.
			row := adjust.Row{Terms: negated(spot.Terms(p.offset, p.diameter)[1:]), Model: s.trebleEdge().From(p.station, p.offset)}
			s.add(r, -r.Offset, []errorOf{{r.Gauge, -1}}, row)
			return
		}
		s.add(r, r.Offset, own(r.Gauge), adjust.Row{Terms: spot.Terms(p.offset, p.diameter)})
	}
}

func negated(terms []adjust.Term) []adjust.Term {
	for i := range terms {
		terms[i].Coef = -terms[i].Coef
	}
	return terms
}

// trebleEdge is the treble edge of the fingerboard in the frame of the bass edge's straightedge.
func (s *survey) trebleEdge() adjust.Side {
	return s.sides[sideKey{measure.DatumEdgeBass, measure.EdgeTreble, false}].Side
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
	bass := s.sides[sideKey{measure.DatumEdgeBass, measure.EdgeBass, false}]
	s.pin(bass.A, pinnedOffset)
	s.pin(bass.B, pinnedSlope)
}

// pin holds an unknown at zero.
func (s *survey) pin(unknown int, sigma float64) {
	s.problem.Rows = append(s.problem.Rows, adjust.Row{Sigma: sigma, Terms: []adjust.Term{{Unknown: unknown, Coef: 1}}})
	s.source = append(s.source, nil)
}
