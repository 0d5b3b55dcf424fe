package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// survey is a kit's readings as equations: it knows which unknowns describe what.
type survey struct {
	kit     *measure.Kit
	problem adjust.Problem
	source  []*measure.Reading // the reading behind each row; nil for a row that only fixes a frame
	edges   bool               // some reading is from an edge datum
	fitted  bool               // some place of the neck was read from the body's datum
	strings int                // number of strings, 0 when nothing tells
	marked  [frames]uint64     // a bit a feature of which places were read, by frame
	warned  []Warning
	zero    int // 1 + the unknown zero of the straightedge along the treble edge, once it is needed

	gauges  []*measure.Gauge // by cause
	sides   shelf[sideKey, side]
	points  shelf[pointKey, point]
	boards  shelf[measure.Datum, board]
	widths  shelf[sideKey, side] // a calliper's readings by station; feature fingerboard, heel or pocket
	corners shelf[cornerKey, corner]
	planes  shelf[sideKey, plane]
	heights shelf[pointKey, height]

	terms  []adjust.Term  // room of all rows'
	shifts []adjust.Shift // likewise
}

// frameOf is the frame in which a datum's places are unknown. Both edge datums share the frame of
// the bass edge's straightedge; every other datum is a frame of its own.
func frameOf(d measure.Datum) measure.Datum {
	if d == measure.DatumEdgeTreble {
		return measure.DatumEdgeBass
	}
	return d
}

// frames is one more than the highest frame's number.
const frames = int(measure.DatumEdgeTreble) + 1

// point is a place, nil where it was not read; most that are asked for were not.
func (s *survey) point(frame measure.Datum, f measure.Feature, mark int) *point {
	if s.marked[frame]>>f&1 == 0 {
		return nil
	}
	return s.points.get(pointAt(frame, f, mark))
}

// sideKey names a line in a frame: a side or an end of a part, or the gap beside a wall. Keys are
// single numbers, which are quick to compare; they rise by frame, feature and mark.
type sideKey uint32

func sideAt(frame measure.Datum, f measure.Feature) sideKey {
	return sideKey(frame)<<16 | sideKey(f)<<8
}

// besideWall is the key of the gap beside a wall.
func besideWall(frame measure.Datum, f measure.Feature) sideKey { return sideAt(frame, f) | 1 }

func (k sideKey) frame() measure.Datum     { return measure.Datum(k >> 16) }
func (k sideKey) feature() measure.Feature { return measure.Feature(k >> 8) }
func (k sideKey) gap() bool                { return k&1 != 0 }

// pointKey names a place in a frame.
type pointKey uint64

func pointAt(frame measure.Datum, f measure.Feature, mark int) pointKey {
	return pointKey(frame)<<40 | pointKey(f)<<32 | pointKey(uint32(mark))
}

func (k pointKey) frame() measure.Datum     { return measure.Datum(k >> 40) }
func (k pointKey) feature() measure.Feature { return measure.Feature(k >> 32) }
func (k pointKey) mark() int                { return int(uint32(k)) }

type cornerKey struct {
	frame   measure.Datum
	feature measure.Feature
	name    string
}

// side is a line y = a + b (x - c) with what its readings look like before any fit.
type side struct {
	adjust.Side
	trend
	lowX, lowY   float64 // the reading with the least x
	highX, highY float64 // and with the greatest

	line  autodiff.Line // its normal form, once it has been asked for
	drawn bool
}

// see takes in a reading's place for the approximate slope.
func (s *side) see(x, y float64) {
	if s.n == 0 || x < s.lowX {
		s.lowX, s.lowY = x, y
	}
	if s.n == 0 || x > s.highX {
		s.highX, s.highY = x, y
	}
	s.trend.see(x, y)
}

// slope is that between the outermost readings: good enough for weights.
func (s *side) slope() float64 {
	if s.n < 2 || s.highX <= s.lowX {
		return 0
	}
	return (s.highY - s.lowY) / (s.highX - s.lowX)
}

// start is the slope of the least-squares line, which is the solution itself but for what frets and
// widths say of it.
func (s *side) start() float64 {
	slope, _ := s.trend.slope()
	return slope
}

// point is a hole, a string's place or any other place, with which of its numbers were read.
type point struct {
	station, offset, diameter           int // unknowns
	hasStation, hasOffset, hasDiameter  bool
	byEdge                              bool // its edges were read, so its diameter takes part
	firstStation, firstOffset, firstDia float64
}

func (p *point) located() bool { return p != nil && p.hasStation && p.hasOffset }

// board is a fingerboard's frets in one frame.
type board struct {
	adjust.Fretboard
	frets []int // numbers read, 0 for the nut, each once
	edged bool  // its edges were read, so the frets' direction is known
	low   fretSeen
	high  fretSeen
}

func (b *board) wipe() { *b = board{frets: b.frets[:0]} }

type fretSeen struct {
	number  int
	station float64
}

type corner struct {
	radius, x, y int // unknowns; x and y only where it is round
	round        bool
	sum          float64
	n            int
	points       []adjust.Point
}

func (c *corner) wipe() { *c = corner{points: c.points[:0]} }

// plane is height = a + b (station - x0) + c (offset - y0).
type plane struct {
	a, b, c    int
	x0, y0, z0 float64 // means of the readings
	n          int
}

// height is one height over the datum plane.
type height struct {
	unknown int
	first   float64
}

// newSurvey writes a kit's readings as equations.
func newSurvey(kit *measure.Kit) *survey {
	s := new(survey)
	s.take(kit)
	return s
}

// take writes a kit's readings over those of another.
func (s *survey) take(kit *measure.Kit) {
	s.clear(kit)
	for i := range kit.Readings {
		s.look(&kit.Readings[i])
	}
	s.countStrings()
	s.number()
	for i := range kit.Readings {
		s.write(&kit.Readings[i])
	}
	s.pinFrame()
}

// clear leaves of another kit only the room that it took.
func (s *survey) clear(kit *measure.Kit) {
	s.kit, s.edges, s.fitted, s.strings, s.warned, s.zero = kit, false, false, 0, nil, 0
	s.marked = [frames]uint64{}
	s.problem = adjust.Problem{
		Start: s.problem.Start[:0], Rows: s.problem.Rows[:0], Causes: s.problem.Causes[:0], Reach: s.problem.Reach[:0],
	}
	s.source, s.gauges, s.terms, s.shifts = s.source[:0], s.gauges[:0], s.terms[:0], s.shifts[:0]
	s.sides.clear()
	s.points.clear()
	s.boards.clear()
	s.widths.clear()
	s.corners.clear()
	s.planes.clear()
	s.heights.clear()
}

// reaches: how far an unknown can lie from where it is started (adjust.Problem.Reach). Places on
// an instrument are within 1 m of each other; a straightedge that is laid more than some 20
// degrees off its part was not laid beside it.
const (
	lengthReach = 1000.0 // mm
	slopeReach  = 0.3    // mm per mm
)

// unknown adds one that starts at start.
func (s *survey) unknown(start, reach float64) int {
	s.problem.Start = append(s.problem.Start, start)
	s.problem.Reach = append(s.problem.Reach, reach)
	return len(s.problem.Start) - 1
}

// countStrings takes the number from kits.csv or from the highest string that was marked.
func (s *survey) countStrings() {
	marked := 0
	for _, key := range s.points.keys {
		if key.feature().Marks() == measure.MarkString {
			marked = max(marked, key.mark())
		}
	}
	s.strings = cmp.Or(s.kit.Info.Strings, marked)
}

// cause is the number of the gauge's common error.
func (s *survey) cause(g *measure.Gauge) int {
	if c := slices.Index(s.gauges, g); c >= 0 {
		return c
	}
	s.gauges = append(s.gauges, g)
	s.problem.Causes = append(s.problem.Causes, g.MaxError/math.Sqrt(3)) // rectangular
	return len(s.gauges) - 1
}

// ownVariance is the variance of one reading that no other reading shares, in mm^2: the
// resolution's rectangle and the repeatability.
func ownVariance(g *measure.Gauge) float64 {
	return g.Resolution*g.Resolution/12 + g.Repeatability*g.Repeatability
}
