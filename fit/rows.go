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
		s.writeSide(r, s.sides.get(sideAt(frame, r.Feature)), r.Station, r.Offset)
	case measure.PocketBass, measure.PocketTreble:
		s.writeWall(r, frame)
	case measure.HeelEnd, measure.PocketEnd:
		s.writeEnd(r, frame)
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		s.writeWidth(r, frame)
	case measure.Nut, measure.Fret:
		s.writeFret(r, s.boards.get(frame))
	case measure.HeelCorner, measure.PocketCorner:
		s.writeCorner(r, s.corners.get(cornerKey{frame, r.Feature, r.Mark.Name}))
	case measure.FretTop, measure.PocketFloor, measure.Top:
		s.writePlane(r, s.planes.get(sideAt(frame, r.Feature)))
	case measure.SaddleLow, measure.SaddleHigh:
		h := s.heights.get(pointAt(frame, r.Feature, r.Mark.Number))
		s.add(r, r.Size, s.one(h.unknown), own(r.Gauge))
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

func own(g *measure.Gauge) errorOf { return errorOf{g, 1} }

// sum is the right-hand side of an equation: terms, and a model where it is not linear.
type sum struct {
	terms []adjust.Term
	model adjust.Model
}

// add writes a row with the variance and the common causes of its gauges.
func (s *survey) add(r *measure.Reading, value float64, of sum, errors ...errorOf) {
	variance := 0.0
	from := len(s.shifts)
	for _, e := range errors {
		variance += e.coef * e.coef * ownVariance(e.gauge)
		if e.coef != 0 && e.gauge.MaxError > 0 {
			s.shifts = append(s.shifts, adjust.Shift{Cause: s.cause(e.gauge), Coef: e.coef})
		}
	}
	s.problem.Rows = append(s.problem.Rows, adjust.Row{
		Value: value, Sigma: max(math.Sqrt(variance), leastSigma), Shifts: s.shifts[from:], Terms: of.terms, Model: of.model,
	})
	s.source = append(s.source, r)
}

func modelled(m adjust.Model) sum { return sum{model: m} }

// one is the sum of a single unknown, two and three those of several.
func (s *survey) one(unknown int) sum {
	s.terms = append(s.terms, adjust.Term{Unknown: unknown, Coef: 1})
	return s.latest(1)
}

func (s *survey) two(unknown, second int, coef float64) sum {
	s.terms = append(s.terms, adjust.Term{Unknown: unknown, Coef: 1}, adjust.Term{Unknown: second, Coef: coef})
	return s.latest(2)
}

// latest is the sum of the last n terms.
func (s *survey) latest(n int) sum { return sum{terms: s.terms[len(s.terms)-n:]} }

// on is what is read at x of a side.
func (s *survey) on(side adjust.Side, x float64) sum {
	s.terms = append(s.terms, side.On(x)...)
	return s.latest(2)
}

// leastSigma stands in for a gauge that claims no noise of its own, only a common error: a tenth
// of a micrometre is far below what wood lets anybody read, and keeps the weights finite.
const leastSigma = 1e-4

// writeSide: offset = a + b (station - c). A station that is out by one mm moves the offset by the
// slope, the other way.
func (s *survey) writeSide(r *measure.Reading, on *side, x, y float64) {
	s.add(r, y, s.on(on.Side, x), own(r.Gauge), errorOf{r.StationGauge, -on.slope()})
}

func (s *survey) writeWall(r *measure.Reading, frame measure.Datum) {
	if r.Kind == measure.Gap {
		s.writeSide(r, s.sides.get(besideWall(frame, r.Feature)), r.Station, r.Size)
		return
	}
	s.writeSide(r, s.sides.get(sideAt(frame, r.Feature)), r.Station, r.Offset)
}

// writeEnd: station = a + b (offset - c). Of a gap nobody tells with what its offset was read; it
// is taken as the gauge of the gap, and enters by the slope only.
func (s *survey) writeEnd(r *measure.Reading, frame measure.Datum) {
	if r.Kind == measure.Gap {
		on := s.sides.get(besideWall(frame, r.Feature))
		s.add(r, r.Size, s.on(on.Side, r.Offset), own(r.Gauge))
		return
	}
	on := s.sides.get(sideAt(frame, r.Feature))
	s.add(r, r.Station, s.on(on.Side, r.Offset), own(r.StationGauge), errorOf{r.Gauge, -on.slope()})
}

func (s *survey) writeWidth(r *measure.Reading, frame measure.Datum) {
	pair := partners(r.Feature)
	bass := s.sides.get(sideAt(frame, pair[0]))
	treble := s.sides.get(sideAt(frame, pair[1]))
	taper := s.widths.get(sideAt(frame, r.Feature)).slope()
	s.add(r, r.Size, modelled(adjust.WidthAcross(bass.Side, treble.Side, r.Station)),
		own(r.Gauge), errorOf{r.StationGauge, -taper})
}

// writeFret: along the centre line, s0 + L (1 - 2^(-n/12)). Where no edge was read, the
// straightedge is taken to lie along the neck: one degree off makes the scale 0.015 % too long.
func (s *survey) writeFret(r *measure.Reading, b *board) {
	n := r.Mark.Number
	lean := 0.0
	if r.HasOffset && b.edged && !r.Datum.Edge() {
		lean = (s.sides.get(sideAt(frameOf(r.Datum), measure.EdgeBass)).slope() +
			s.sides.get(sideAt(frameOf(r.Datum), measure.EdgeTreble)).slope()) / 2
	}
	var of sum
	switch {
	case r.Datum == measure.DatumEdgeTreble:
		edge := adjust.Beside{Side: b.Second, Zero: s.trebleZero()}
		of.model = adjust.FretBeside(b.Fretboard, edge, n, -r.Offset)
	case r.Datum == measure.DatumEdgeBass:
		of.model = adjust.FretAt(b.Fretboard, n, r.Offset)
	case !b.edged:
		s.warn(Warning{Kind: AlongNeck})
		of = s.two(b.S0, b.L, adjust.FretShare(n))
	case r.HasOffset:
		of.model = adjust.FretAt(b.Fretboard, n, r.Offset)
	default:
		of.model = adjust.FretOnCentre(b.Fretboard, n)
	}
	s.add(r, r.Station, of, own(r.StationGauge), errorOf{r.Gauge, lean})
}

func (s *survey) writeCorner(r *measure.Reading, c *corner) {
	if r.Kind == measure.Radius {
		s.add(r, r.Size, s.one(c.radius), own(r.Gauge))
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
	s.terms = append(s.terms, adjust.OnPlane(p.a, p.b, p.c, r.Station-p.x0, r.Offset-p.y0)...)
	s.add(r, r.Size, s.latest(3), own(r.Gauge))
}
