package survey

import (
	"cmp"
	"math"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// touch is a straightedge along an edge of the fingerboard: it touches that at two places, near the nut and near the
// last fret, and at each stands off the edge's straight line by the edge's own form and by how it seated. Each place
// is a common error of every offset that is read from it, with more than the whole of it beyond the board's end, and turns the square by which
// stations are read out from it.
type touch struct {
	nut, last float64 // stations of the two places
	errors    [2]*measure.Gauge
}

// SeatKind is the kind of the gauges that stand for a straightedge's two touching places.
const SeatKind = "seat"

// Where a straightedge touches when the frets do not tell: a bridge's distance from the last fret and from the
// nut, in mm, of a guitar or a short bass. Common practice, no source.
const (
	fromLast = 200.0
	fromNut  = 680.0
)

// usualFrets is how many frets a fingerboard has of which nobody says.
const usualFrets = 21

// touches finds where the straightedges touched.
func (s *Survey) touches() {
	if !s.Edges {
		return
	}
	straightedge := Straightedge(s.Kit)
	std := math.Hypot(EdgeForm, math.Sqrt(straightedge.Variance()))
	for i := range s.seats {
		t := &s.seats[i]
		t.nut, t.last = s.touching(measure.DatumEdgeBass + measure.Datum(i))
		for k := range t.errors {
			t.errors[k] = &measure.Gauge{ID: straightedge.ID, Kind: SeatKind, MaxError: std * math.Sqrt(3)} // a rectangle of that deviation
		}
	}
}

// Straightedge is what a kit's straightedges along edges seat like: as gauges.csv says, or as built in.
func Straightedge(kit *measure.Kit) *measure.Gauge {
	if kit.Straightedge != nil {
		return kit.Straightedge
	}
	for _, g := range measure.BuiltInGauges() {
		if g.ID == measure.Straightedge {
			return &g
		}
	}
	panic("survey: no straightedge is built in")
}

// touching are the stations of the nut and of the last fret from an edge datum.
func (s *Survey) touching(datum measure.Datum) (nut, last float64) {
	var low, high *measure.Reading
	n, sum := 0.0, 0.0
	for _, r := range s.readings {
		switch {
		case r.Datum != datum || !r.HasStation:
		case r.Feature == measure.Nut || r.Feature == measure.Fret:
			if low == nil || r.Mark.Number < low.Mark.Number {
				low = r
			}
			if high == nil || r.Mark.Number > high.Mark.Number {
				high = r
			}
		case r.Feature.Part() == measure.BridgePart || r.Feature == measure.BridgeScrew:
			n, sum = n+1, sum+r.Station
		}
	}
	if low == nil || high.Mark.Number == low.Mark.Number || high.Station <= low.Station {
		at := sum / max(n, 1)
		return at - fromNut, at - fromLast
	}
	scale := (high.Station - low.Station) / (adjust.FretShare(high.Mark.Number) - adjust.FretShare(low.Mark.Number))
	nut = low.Station - scale*adjust.FretShare(low.Mark.Number)
	return nut, nut + scale*adjust.FretShare(cmp.Or(s.Kit.Info.Frets, max(high.Mark.Number, usualFrets)))
}

// seated are the errors of an offset that was read from an edge datum: its gauge's, and those of the straightedge.
func (s *Survey) seated(r *measure.Reading, sign float64) []errorOf {
	s.errors = append(s.errors[:0], errorOf{r.Gauge, sign})
	if !r.Datum.Edge() {
		return s.errors
	}
	t := &s.seats[r.Datum-measure.DatumEdgeBass]
	share := (r.Station - t.nut) / (t.last - t.nut)
	if !r.HasStation {
		share = fromNut / (fromNut - fromLast)
	}
	return append(s.errors, errorOf{t.errors[0], sign * (1 - share)}, errorOf{t.errors[1], sign * share})
}

// seatedAlong are the errors of a station that was read from an edge datum, out from the straightedge by the offset: its gauge's, and what the
// straightedge is turned by.
func (s *Survey) seatedAlong(r *measure.Reading) []errorOf {
	s.errors = append(s.errors[:0], own(r.StationGauge))
	if r.Datum.Edge() && r.HasOffset {
		t := &s.seats[r.Datum-measure.DatumEdgeBass]
		turn := r.Offset / (t.last - t.nut)
		s.errors = append(s.errors, errorOf{t.errors[0], turn}, errorOf{t.errors[1], -turn})
	}
	return s.errors
}
