// Package survey writes a kit's readings as equations. Each reading is of one object, a side, a width,
// the frets, a place, a corner, a plane or a height, and goes one way: the object takes note of it, gets
// its unknowns when all have been noted, and writes the reading's equations in them.
package survey

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Survey is a kit's readings as equations: it knows which unknowns describe what. The zero Survey is
// ready to use.
type Survey struct {
	Kit     *measure.Kit
	Problem adjust.Problem
	Source  []*measure.Reading // the reading behind each row; nil for a row that only fixes a frame
	Gauges  []*measure.Gauge   // by cause
	Used    []*measure.Gauge   // whose errors may enter some row
	Forms   []FormRow          // rows without a source that say how far places may be from their line
	Pasted  []*measure.Reading // the same row again, word for word: not counted
	Strings int                // how many, from kits.csv or the highest string marked; 0 when nothing tells
	Fan     Fan

	Edges     bool // some reading is from an edge datum
	Fitted    bool // some place of the neck was read from the body's datum
	AlongNeck bool // frets were read without an edge: their straightedge is taken to lie along the neck
	NoCircle  bool // the points on a corner do not lie on a circle

	Sides   Map[SideKey, Side]
	Widths  Map[SideKey, Width] // feature fingerboard, heel or pocket
	Boards  Map[measure.Datum, Board]
	Bows    Map[measure.Datum, Bow]
	Points  Map[PointKey, Point]
	Corners Map[CornerKey, Corner]
	Planes  Map[SideKey, Plane]
	Heights Map[PointKey, Height]

	readings   []*measure.Reading // in an order of their own
	ranked     []ranked           // room for it
	objects    []object           // of each; nil for what carries no equations
	spots      []spot             // where objects were read
	trebleZero int                // 1 + the unknown zero of the straightedge along the treble edge, once it is needed
	marked     [frames]uint64
	seats      [2]touch     // of the straightedges along the bass edge and the treble edge
	errors     []errorOf    // the latest
	edgeAt     [2][]float64 // stations of the readings of a board's edges, and how far those are bent there
	bend       []float64
	terms      []adjust.Term  // room of all rows'
	shifts     []adjust.Shift // likewise
}

// object is what a reading is of.
type object interface {
	note(r *measure.Reading)
	write(s *Survey, r *measure.Reading)
}

// Frame is the frame in which a datum's places are unknown. Both edge datums share the frame of the
// bass edge's straightedge; every other datum is a frame of its own.
func Frame(d measure.Datum) measure.Datum {
	if d == measure.DatumEdgeTreble {
		return measure.DatumEdgeBass
	}
	return d
}

// frames is one more than the highest frame's number.
const frames = int(measure.DatumEdgeTreble) + 1

// Assemble writes a kit's readings over those of another.
func (s *Survey) Assemble(kit *measure.Kit) {
	s.Reset(kit)
	// A row that is there again, word for word, trial and person included, is one pasted twice, and no second reading.
	s.readings = slices.CompactFunc(s.inOrder(kit), func(r, former *measure.Reading) bool {
		if r.Station != former.Station || r.Offset != former.Offset || r.Size != former.Size {
			return false
		}
		again := *former
		again.Place = r.Place
		if *r != again || r.Place == former.Place { // which readings made up without a table have
			return false
		}
		s.Pasted = append(s.Pasted, r)
		return true
	})
	for _, r := range s.readings {
		s.Edges = s.Edges || r.Datum.Edge()
		s.Fitted = s.Fitted || r.Datum == measure.DatumBody && r.Kind != measure.Width && r.Feature.Part() == measure.NeckPart
		of := s.objectOf(r)
		if of != nil {
			of.note(r)
		}
		s.objects = append(s.objects, of)
	}
	for _, key := range s.Points.Keys() {
		if key.Feature().Marks() == measure.MarkString {
			s.Strings = max(s.Strings, key.Mark())
		}
	}
	s.Strings = cmp.Or(kit.Info.Strings, s.Strings)
	s.touches()
	s.number()
	for i, of := range s.objects {
		if of != nil {
			of.write(s, s.readings[i])
		}
	}
	if s.Edges { // the bass edge is the zero of its own straightedge's offsets
		bass := s.Sides.Get(SideAt(measure.DatumEdgeBass, measure.EdgeBass))
		*s.row(nil) = adjust.Row{Sigma: pinnedOffset, Terms: s.one(bass.A)}
		*s.row(nil) = adjust.Row{Sigma: pinnedSlope, Terms: s.one(bass.B)}
	}
}

// Reset leaves of another kit only the room that it took.
func (s *Survey) Reset(kit *measure.Kit) {
	s.Problem = adjust.Problem{
		Start: s.Problem.Start[:0], Rows: s.Problem.Rows[:0], Causes: s.Problem.Causes[:0], Reach: s.Problem.Reach[:0],
		Places: s.Problem.Places[:0], Steps: s.Problem.Steps[:0],
	}
	s.Fan = FanOf(&kit.Info)
	s.spots, s.Forms = s.spots[:0], s.Forms[:0]
	s.Kit, s.Strings, s.trebleZero, s.marked = kit, 0, 0, [frames]uint64{}
	s.Edges, s.Fitted, s.AlongNeck, s.NoCircle, s.Pasted = false, false, false, false, nil
	s.Source, s.Gauges, s.Used, s.objects, s.terms, s.shifts = s.Source[:0], s.Gauges[:0], s.Used[:0], s.objects[:0], s.terms[:0], s.shifts[:0]
	s.Sides.Clear()
	s.Widths.Clear()
	s.Boards.Clear()
	s.Bows.Clear()
	s.Points.Clear()
	s.Corners.Clear()
	s.Planes.Clear()
	s.Heights.Clear()
}

// objectOf is what a reading is of. Cavities, outlines and plate edges are kept for drawings and carry no
// equations.
func (s *Survey) objectOf(r *measure.Reading) object {
	frame := Frame(r.Datum)
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.HeelBass, measure.HeelTreble,
		measure.PocketBass, measure.PocketTreble, measure.HeelEnd, measure.PocketEnd, measure.BodyCentre:
		if r.Kind == measure.Gap {
			return s.side(GapBeside(frame, r.Feature))
		}
		return s.side(SideAt(frame, r.Feature))
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		w, sides := s.Widths.Put(SideAt(frame, r.Feature)), Partners(r.Feature)
		w.bass, w.treble = s.side(SideAt(frame, sides[0])), s.side(SideAt(frame, sides[1]))
		w.bass.across, w.treble.across = w, w
		return w
	case measure.Nut, measure.Fret:
		return s.board(frame)
	case measure.HeelCorner, measure.PocketCorner:
		return s.Corners.Put(CornerKey{frame, r.Feature, r.Mark.Name})
	case measure.FretTop, measure.PocketFloor, measure.Top:
		return s.Planes.Put(SideAt(frame, r.Feature))
	case measure.SaddleLow, measure.SaddleHigh:
		return s.Heights.Put(PointAt(frame, r.Feature, r.Mark.Number))
	case measure.NutSlot, measure.HeelScrew, measure.BridgeScrew, measure.StringHole, measure.NeckScrew,
		measure.Ferrule, measure.Pickup, measure.PlateScrew, measure.PlateHole, measure.Saddle, measure.SaddleFront, measure.SaddleBack:
		return s.pointOf(frame, r)
	}
	return nil
}

// number gives every object its unknowns, in a fixed order.
func (s *Survey) number() {
	if s.Edges {
		s.side(SideAt(measure.DatumEdgeBass, measure.EdgeBass))
		s.side(SideAt(measure.DatumEdgeBass, measure.EdgeTreble))
	}
	s.Sides.sort(cmp.Compare)
	for i, key := range s.Sides.Keys() {
		s.numberSide(key, s.Sides.At(i))
	}
	for _, frame := range []measure.Datum{measure.DatumBody, measure.DatumNeck} {
		s.numberBow(frame)
	}
	for i, key := range s.Widths.Keys() {
		w := s.Widths.At(i)
		if w.Local = (Local{-1, -1}); key.Feature() != measure.Fingerboard {
			w.Local = s.numberLocal(&w.Trend)
		}
	}
	s.Boards.sort(cmp.Compare)
	for i, frame := range s.Boards.Keys() {
		s.numberBoard(frame, s.Boards.At(i))
	}
	s.Points.sort(cmp.Compare)
	for i, key := range s.Points.Keys() {
		p := s.Points.At(i)
		p.Station, p.Offset, p.Diameter, p.Astray = s.unknown(p.firstStation, LengthReach), s.unknown(p.firstOffset, LengthReach), -1, [2]int{-1, -1}
		if (p.HasStation || p.HasOffset) && s.standsForBridge(key) {
			p.Astray = [2]int{s.unknown(0, LengthReach), s.unknown(0, LengthReach)}
		}
		if p.HasDiameter || p.byEdge {
			p.Diameter = s.unknown(p.firstDia, LengthReach)
		}
	}
	s.Corners.sort(func(a, b CornerKey) int {
		return cmp.Or(cmp.Compare(a.Frame, b.Frame), cmp.Compare(a.Feature, b.Feature), cmp.Compare(a.Name, b.Name))
	})
	for i := range s.Corners.Keys() {
		s.numberCorner(s.Corners.At(i))
	}
	s.Planes.sort(cmp.Compare)
	for i := range s.Planes.Keys() {
		p := s.Planes.At(i)
		if key := s.Planes.Keys()[i]; key.Feature() == measure.FretTop {
			if p.crown = s.Kit.Info.BoardRadius; math.IsInf(p.crown, 1) {
				p.crown = 0
			}
			p.bass, p.treble = s.Sides.Get(SideAt(key.Frame(), measure.EdgeBass)), s.Sides.Get(SideAt(key.Frame(), measure.EdgeTreble))
		}
		p.A, p.B, p.C, p.Hollow = s.unknown(p.Z0, LengthReach), s.unknown(0, slopeReach), s.unknown(0, slopeReach), -1
		if bits.OnesCount64(p.frets) > 2 {
			p.Hollow = s.unknown(0, LengthReach)
		}
	}
	s.Heights.sort(cmp.Compare)
	for i := range s.Heights.Keys() {
		h := s.Heights.At(i)
		h.Unknown = s.unknown(h.first, LengthReach)
	}
}

// Reaches: how far an unknown can lie from where it is started (adjust.Problem.Reach). Places on
// an instrument are within 1 m of each other; a straightedge that is laid more than some 20
// degrees off its part was not laid beside it.
const (
	LengthReach = 1000.0 // mm
	slopeReach  = 0.3    // mm per mm
)

// unknown adds one that starts at start.
func (s *Survey) unknown(start, reach float64) int {
	s.Problem.Start = append(s.Problem.Start, start)
	s.Problem.Reach = append(s.Problem.Reach, reach)
	return len(s.Problem.Start) - 1
}

// errorOf is one gauge's part in a row: by how much the row's value moves when the gauge shows
// one millimetre too much.
type errorOf struct {
	gauge *measure.Gauge
	coef  float64
}

func own(g *measure.Gauge) errorOf { return errorOf{g, 1} }

// sum is the right-hand side of an equation: terms, and a model where it is not linear; and the place that it is of,
// where that may leave the ideal form.
type sum struct {
	terms []adjust.Term
	model adjust.Model
	place int
}

// add writes a row with the variance and the common causes of its gauges.
func (s *Survey) add(r *measure.Reading, value float64, of sum, errors ...errorOf) {
	variance := 0.0
	from := len(s.shifts)
	for _, e := range errors {
		variance += e.coef * e.coef * e.gauge.Variance()
		if !slices.Contains(s.Used, e.gauge) {
			s.Used = append(s.Used, e.gauge)
		}
		if e.coef != 0 && e.gauge.MaxError > 0 {
			cause := slices.Index(s.Gauges, e.gauge)
			if cause < 0 {
				cause, s.Gauges = len(s.Gauges), append(s.Gauges, e.gauge)
				s.Problem.Causes = append(s.Problem.Causes, e.gauge.MaxError/math.Sqrt(3)) // rectangular
			}
			s.shifts = append(s.shifts, adjust.Shift{Cause: cause, Coef: e.coef})
		}
	}
	row := s.row(r)
	row.Value, row.Sigma, row.Place = value, max(math.Sqrt(variance), LeastSigma), of.place
	if of.place > 0 {
		row.Group = groupOf(r.Feature)
	}
	row.Shifts, row.Terms, row.Model = s.shifts[from:], of.terms, of.model
	s.shareStep(errors[0])
}

// row adds an empty row of a reading, to be filled where it stands: to copy a row that was just put together costs more than to write it.
func (s *Survey) row(source *measure.Reading) *adjust.Row {
	s.Source = append(s.Source, source)
	s.Problem.Rows = append(s.Problem.Rows, adjust.Row{})
	return &s.Problem.Rows[len(s.Problem.Rows)-1]
}

// linear are terms in the room of all rows'.
func (s *Survey) linear(terms ...adjust.Term) []adjust.Term {
	from := len(s.terms)
	s.terms = append(s.terms, terms...)
	return s.terms[from:]
}

// one is a single unknown itself.
func (s *Survey) one(unknown int) []adjust.Term {
	s.terms = append(s.terms, adjust.Term{Unknown: unknown, Coef: 1})
	return s.terms[len(s.terms)-1:]
}

// LeastSigma stands in for a gauge that claims no noise of its own, only a common error: a tenth
// of a micrometre is far below what wood lets anybody read, and keeps the weights finite.
const LeastSigma = 1e-4 // mm

// How tightly the bass edge is held where its own straightedge is the frame: over a metre both
// stay ten thousand times below any reading's uncertainty, so that it is exact for all that is
// reported.
const (
	pinnedOffset = 1e-6 // mm
	pinnedSlope  = 1e-9 // mm per mm
)
