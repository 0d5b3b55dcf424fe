package fit

import (
	"math"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// write turns a reading into its equations.
func (s *survey) write(r *measure.Reading) {
	frame := frameOf(r.Datum)
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.HeelBass, measure.HeelTreble:
		s.writeSide(r, s.sides[sideKey{frame, r.Feature, false}], r.Station, r.Offset)
	case measure.PocketBass, measure.PocketTreble:
		s.writeWall(r, frame)
	case measure.HeelEnd, measure.PocketEnd:
		s.writeEnd(r, frame)
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		s.writeWidth(r, frame)
	case measure.Nut, measure.Fret:
		s.writeFret(r, s.boards[frame])
	case measure.HeelCorner, measure.PocketCorner:
		s.writeCorner(r, s.corners[cornerKey{frame, r.Feature, r.Mark.Name}])
	case measure.FretTop, measure.PocketFloor, measure.Top:
		s.writePlane(r, s.planes[sideKey{frame, r.Feature, false}])
	case measure.SaddleLow, measure.SaddleHigh:
		h := s.heights[pointKey{frame, r.Feature, r.Mark.Number}]
		s.add(r, r.Size, own(r.Gauge), adjust.Row{Terms: []adjust.Term{{Unknown: h.unknown, Coef: 1}}})
	case measure.NutSlot, measure.HeelScrew, measure.BridgeScrew, measure.StringHole, measure.NeckScrew,
		measure.PlateScrew, measure.Saddle, measure.SaddleFront, measure.SaddleBack:
		s.writePoint(r, frame)
	}
}

// errorOf is one gauge's part in a row: by how much the row's value moves when the gauge shows
// one millimetre too much.
type errorOf struct {
	gauge *measure.Gauge
	coef  float64
}

func own(g *measure.Gauge) []errorOf { return []errorOf{{g, 1}} }

// add writes a row with the variance and the common causes of its gauges.
func (s *survey) add(r *measure.Reading, value float64, errors []errorOf, row adjust.Row) {
	variance := 0.0
	row.Value = value
	for _, e := range errors {
		variance += e.coef * e.coef * ownVariance(e.gauge)
		if e.coef != 0 && e.gauge.MaxError > 0 {
			row.Shifts = append(row.Shifts, adjust.Shift{Cause: s.cause(e.gauge), Coef: e.coef})
		}
	}
	row.Sigma = max(math.Sqrt(variance), leastSigma)
	s.problem.Rows = append(s.problem.Rows, row)
	s.source = append(s.source, r)
}

// leastSigma stands in for a gauge that claims no noise of its own, only a common error: a tenth
// of a micrometre is far below what wood lets anybody read, and keeps the weights finite.
const leastSigma = 1e-4

// writeSide: offset = a + b (station - c). A station that is out by one mm moves the offset by the
// slope, the other way.
func (s *survey) writeSide(r *measure.Reading, on *side, x, y float64) {
	s.add(r, y, []errorOf{{r.Gauge, 1}, {r.StationGauge, -on.slope()}}, adjust.Row{Terms: on.On(x)})
}

func (s *survey) writeWall(r *measure.Reading, frame measure.Datum) {
	if r.Kind == measure.Gap {
		s.writeSide(r, s.sides[sideKey{frame, r.Feature, true}], r.Station, r.Size)
		return
	}
	s.writeSide(r, s.sides[sideKey{frame, r.Feature, false}], r.Station, r.Offset)
}

// writeEnd: station = a + b (offset - c). Of a gap nobody tells with what its offset was read; it
// is taken as the gauge of the gap, and enters by the slope only.
func (s *survey) writeEnd(r *measure.Reading, frame measure.Datum) {
	if r.Kind == measure.Gap {
		on := s.sides[sideKey{frame, r.Feature, true}]
		s.add(r, r.Size, own(r.Gauge), adjust.Row{Terms: on.On(r.Offset)})
		return
	}
	on := s.sides[sideKey{frame, r.Feature, false}]
	s.add(r, r.Station, []errorOf{{r.StationGauge, 1}, {r.Gauge, -on.slope()}}, adjust.Row{Terms: on.On(r.Offset)})
}

func (s *survey) writeWidth(r *measure.Reading, frame measure.Datum) {
	pair := partners[r.Feature]
	bass := s.sides[sideKey{frame, pair[0], false}]
	treble := s.sides[sideKey{frame, pair[1], false}]
	taper := s.widths[sideKey{frame, r.Feature, false}].slope()
	s.add(r, r.Size, []errorOf{{r.Gauge, 1}, {r.StationGauge, -taper}},
		adjust.Row{Model: adjust.WidthAcross(bass.Side, treble.Side, r.Station)})
}

// writeFret: along the centre line, s0 + L (1 - 2^(-n/12)). Where no edge was read, the
// straightedge is taken to lie along the neck: one degree off makes the scale 0.015 % too long.
func (s *survey) writeFret(r *measure.Reading, b *board) {
	n := r.Mark.Number
	errors := own(r.StationGauge)
	if r.HasOffset && b.edged && !r.Datum.Edge() {
		lean := (s.sides[sideKey{frameOf(r.Datum), measure.EdgeBass, false}].slope() +
			s.sides[sideKey{frameOf(r.Datum), measure.EdgeTreble, false}].slope()) / 2
		errors = append(errors, errorOf{r.Gauge, lean})
	}
	row := adjust.Row{}
	switch {
	case r.Datum == measure.DatumEdgeTreble:
		edge := adjust.Beside{Side: b.Second, Zero: s.trebleZero()}
		row.Model = adjust.FretBeside(b.Fretboard, edge, n, -r.Offset)
	case r.Datum == measure.DatumEdgeBass:
		row.Model = adjust.FretAt(b.Fretboard, n, r.Offset)
	case !b.edged:
		s.warn("no fingerboard edge was read with the frets: their straightedge is taken to lie along the neck")
		row.Terms = []adjust.Term{{Unknown: b.S0, Coef: 1}, {Unknown: b.L, Coef: adjust.FretShare(n)}}
	case r.HasOffset:
		row.Model = adjust.FretAt(b.Fretboard, n, r.Offset)
	default:
		row.Model = adjust.FretOnCentre(b.Fretboard, n)
	}
	s.add(r, r.Station, errors, row)
}

func (s *survey) writeCorner(r *measure.Reading, c *corner) {
	if r.Kind == measure.Radius {
		s.add(r, r.Size, own(r.Gauge), adjust.Row{Terms: []adjust.Term{{Unknown: c.radius, Coef: 1}}})
		return
	}
	if !c.round {
		return
	}
	// On a small arc a common shift of all points moves the centre and leaves the radius.
	variance := (ownVariance(r.Gauge) + ownVariance(r.StationGauge)) / 2
	s.problem.Rows = append(s.problem.Rows, adjust.Row{
		Sigma: max(math.Sqrt(variance), leastSigma),
		Model: adjust.OnCircle(adjust.Point{X: r.Station, Y: r.Offset}, c.x, c.y, c.radius),
	})
	s.source = append(s.source, r)
}

func (s *survey) writePlane(r *measure.Reading, p *plane) {
	s.add(r, r.Size, own(r.Gauge), adjust.Row{Terms: adjust.OnPlane(p.a, p.b, p.c, r.Station-p.x0, r.Offset-p.y0)})
}
