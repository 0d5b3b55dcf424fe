package survey

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Trend is what readings along a line look like before any fit: their least-squares line, from sums
// about the first of them, in which little cancels, and the outermost two.
type Trend struct {
	N                        int     // how many readings
	LowX, LowY, HighX, HighY float64 // those with the least x and the greatest
	x0, y0                   float64
	sumX, sumY, sumXX, sumXY float64
}

func (t *Trend) add(x, y float64) {
	if t.N == 0 || x < t.LowX {
		t.LowX, t.LowY = x, y
	}
	if t.N == 0 || x > t.HighX {
		t.HighX, t.HighY = x, y
	}
	if t.N == 0 {
		t.x0, t.y0 = x, y
	}
	t.N++
	x -= t.x0
	y -= t.y0
	t.sumX += x
	t.sumY += y
	t.sumXX += x * x
	t.sumXY += x * y
}

func (t *Trend) meanX() float64 { return t.x0 + t.sumX/float64(t.N) }
func (t *Trend) meanY() float64 { return t.y0 + t.sumY/float64(t.N) }

// slope of the least-squares line is false where the points have one x but for rounding.
func (t *Trend) slope() (slope float64, ok bool) {
	const rounding = 1e-12
	if t.N < 2 {
		return 0, false
	}
	n := float64(t.N)
	spread := t.sumXX - t.sumX*t.sumX/n
	if !(spread > rounding*(t.sumXX+t.x0*t.x0)) {
		return 0, false
	}
	return (t.sumXY - t.sumX*t.sumY/n) / spread, true
}

// steepness is the slope between the outermost readings: good enough for weights.
func (t *Trend) steepness() float64 {
	if t.HighX <= t.LowX {
		return 0
	}
	return (t.HighY - t.LowY) / (t.HighX - t.LowX)
}

// start is a line's slope at first sight, 0 where its readings tell none. It is the solution itself
// but for what frets and widths say of it.
func (t *Trend) start() float64 {
	slope, _ := t.slope()
	return slope
}

// Side is a line y = a + b (x - c): offset over station for a side of a part, station over offset for
// an end, and the gap over either for what is beside them.
type Side struct {
	adjust.Side
	Trend
	Local  // of gaps
	key    SideKey
	across *Width     // what ties it to its partner; nil when there is nothing
	bow    *Bow       // of the fingerboard that it is an edge of; nil where the readings tell none
	bent   [2]float64 // the line that its readings take out of the parabola: at 0, and its slope
	last   float64    // of an edge, where it passes the last fret
	Last   int        // unknown: how far it is off its line and bow there; -1 where nobody asks for that, or it was not read
}

func (s *Survey) side(key SideKey) *Side {
	on := s.Sides.Put(key)
	on.key = key
	return on
}

// of is where a side's reading was taken and what it read.
func (on *Side) of(r *measure.Reading) (x, y float64) {
	x, y = r.Station, r.Offset
	if on.end() {
		x, y = y, x
	}
	if on.key.Gap() {
		y = r.Room()
	}
	return x, y
}

// At is the unknown of a gap's own deviation at x; false where there is none.
func (on *Side) At(x float64) (unknown int, ok bool) { return on.Local.at(&on.Trend, x) }

func (on *Side) end() bool {
	f := on.key.Feature()
	return f == measure.HeelEnd || f == measure.PocketEnd
}

func (on *Side) note(r *measure.Reading) { on.add(on.of(r)) }

// write: y = a + b (x - c). A place that is out by one mm moves what is read by the slope, the other
// way. Of a gap at an end nobody tells with what its offset was read; it enters by the slope only.
func (on *Side) write(s *Survey, r *measure.Reading) {
	x, y := on.of(r)
	row := sum{terms: s.linear(on.On(x)...)}
	if on.HighX-on.LowX <= samePlace { // one place tells no slope
		row.terms = s.one(on.A)
	}
	if bow, by, ok := on.Bent(x); ok {
		row.terms = s.linear(append(row.terms, adjust.Term{Unknown: bow, Coef: by})...)
	}
	ofLast := adjust.Term{Unknown: on.Last, Coef: 1}
	if on.Last >= 0 && x == on.HighX {
		s.hold(r, EdgeForm, ofLast)
	}
	switch {
	case on.key.Gap():
		s.localOrPlace(on, on.Local, &on.Trend, x, r, &row)
	case on.Last >= 0 && math.Abs(x-on.last) <= besideFret:
		row.terms = s.linear(append(row.terms, ofLast)...)
	default:
		row.place = s.placeOf(on, r, adjust.Point{X: x}, sideForm(r.Feature))
	}
	switch {
	case !on.end():
		s.add(r, y, row, own(r.Gauge), errorOf{r.StationGauge, -on.steepness()})
	case on.key.Gap():
		s.add(r, y, row, own(r.Gauge))
	default:
		s.add(r, y, row, own(r.StationGauge), errorOf{r.Gauge, -on.steepness()})
	}
}

// numberSide starts a side from its readings, or from its partner's and the width between them, with
// c amid the readings that fix it, so that a and b are nearly uncorrelated. Two sides of which only
// widths are known start symmetric about the datum, where widths do not depend on their common direction.
func (s *Survey) numberSide(key SideKey, on *Side) {
	var a, b float64
	switch w := on.across; {
	case on.N > 0:
		on.C, a, b = on.meanX(), on.meanY(), on.start()
	case w != nil:
		on.C = w.meanX()
		a, b = w.beside(on)
	case key == SideAt(measure.DatumEdgeBass, measure.EdgeTreble):
		a, b = boardWidth, boardTaper
	}
	on.A, on.B, on.Last = s.unknown(a, LengthReach), s.unknown(b, slopeReach), -1
	if on.Local = (Local{-1, -1}); key.Gap() {
		on.Local = s.numberLocal(&on.Trend)
	}
}

// besideFret is how far from the last fret an edge may be read so that it was read there.
const besideFret = 5.0 // mm

// Bent is the unknown bow of an edge and how far one of 1 takes the edge off its straight line at a station; false where there is none.
func (on *Side) Bent(station float64) (unknown int, by float64, ok bool) {
	if on.bow == nil {
		return 0, 0, false
	}
	return on.bow.Unknown, on.bendAt(station), true
}

// Where the treble edge lies from the bass edge's straightedge at first sight. Places seen from both
// edges correct it; where there are none, nothing that is reported depends on it.
const (
	boardWidth = 50    // mm
	boardTaper = 0.025 // mm per mm
)

// Width is a calliper's readings across a part by station.
type Width struct {
	Trend
	Local
	bass, treble *Side
}

// Partners are the two sides, bass and treble, that a calliper across a feature ties together.
func Partners(across measure.Feature) [2]measure.Feature {
	switch across {
	case measure.Fingerboard:
		return [2]measure.Feature{measure.EdgeBass, measure.EdgeTreble}
	case measure.Heel:
		return [2]measure.Feature{measure.HeelBass, measure.HeelTreble}
	case measure.Pocket:
		return [2]measure.Feature{measure.PocketBass, measure.PocketTreble}
	}
	panic("survey: nobody reads a width across " + across.String())
}

func (w *Width) note(r *measure.Reading) { w.add(r.Station, r.Size) }

func (w *Width) write(s *Survey, r *measure.Reading) {
	of := sum{model: adjust.WidthAcross(w.bass.Side, w.treble.Side, r.Station)}
	s.localOrPlace(w, w.Local, &w.Trend, r.Station, r, &of)
	s.add(r, r.Size, of, own(r.Gauge), errorOf{r.StationGauge, -w.steepness()})
}

// beside is where a side that was not read itself starts.
func (w *Width) beside(on *Side) (a, b float64) {
	sign, partner := 1.0, w.bass
	if on == w.bass {
		sign, partner = -1, w.treble
	}
	if partner.N == 0 {
		return sign * w.meanY() / 2, sign * w.start() / 2
	}
	at := partner.meanY() + partner.start()*(w.meanX()-partner.meanX())
	return at + sign*w.meanY(), partner.start() + sign*w.start()
}

// Board is a fingerboard's frets in one frame.
type Board struct {
	adjust.Fretboard
	Frets []int // numbers read, 0 for the nut, each once
	Edged bool  // its edges were read, so the frets' direction is known
	Nut   int   // unknown: where the nut itself lies along the centre line, near S0, where the frets' law has it; S0 itself where too few frets tell that

	bass, treble *Side
	low, high    *measure.Reading // of the outermost frets
}

// Reset empties the board.
func (b *Board) Reset() { *b = Board{Frets: b.Frets[:0]} }

func (s *Survey) board(frame measure.Datum) *Board {
	b := s.Boards.Put(frame)
	b.bass, b.treble = s.side(SideAt(frame, measure.EdgeBass)), s.side(SideAt(frame, measure.EdgeTreble))
	return b
}

func (b *Board) note(r *measure.Reading) {
	n := r.Mark.Number // 0 for the nut
	if len(b.Frets) == 0 {
		b.low, b.high = r, r
	}
	if !slices.Contains(b.Frets, n) {
		b.Frets = append(b.Frets, n)
	}
	if n < b.low.Mark.Number {
		b.low = r
	}
	if n > b.high.Mark.Number {
		b.high = r
	}
}

// numberBoard starts the frets from those that were read: the outermost two will do where the
// equations are linear.
func (s *Survey) numberBoard(frame measure.Datum, b *Board) {
	b.Edged = s.Edges && frame == measure.DatumEdgeBass || b.bass.N+b.treble.N > 0 || b.bass.across != nil
	b.First, b.Second = b.bass.Side, b.treble.Side
	low, high := adjust.FretShare(b.low.Mark.Number), adjust.FretShare(b.high.Mark.Number)
	scale := s.Kit.Info.Scale
	if high > low {
		scale = (b.high.Station - b.low.Station) / (high - low)
	}
	s0 := b.low.Station - scale*low
	if b.Edged {
		seen := s.alongNeck(b)
		if steep, ok := seen.slope(); ok {
			scale = steep
		}
		s0 = seen.meanY() - scale*seen.meanX()
	}
	b.S0, b.L = s.unknown(s0, LengthReach), s.unknown(scale, LengthReach)
	if b.Edged && !frame.Edge() { // a straightedge touches an edge about there
		start, last := s.Problem.Start, cmp.Or(s.Kit.Info.Frets, b.high.Mark.Number)
		lean := (start[b.First.B] + start[b.Second.B]) / 2
		for _, on := range []*Side{b.bass, b.treble} {
			if on.N > 0 {
				on.last = ((s0+scale*adjust.FretShare(last))*math.Hypot(1, lean) - (start[on.A]-start[on.B]*on.C)*lean) / (1 + start[on.B]*lean)
				on.Last = s.unknown(0, LengthReach)
			}
		}
	}
	const enough = 4 // the nut and frets that fix the law without it, one to spare
	if b.Nut = b.S0; b.low.Mark.Number == 0 && len(b.Frets) >= enough {
		b.Nut = s.unknown(s0, LengthReach)
	}
}

// alongNeck are places along the neck by shares of the scale, the neck taken to lie as its edges
// start: x cos + y sin of a fret read at an offset y. One that was read on the bisector, y = e + x
// tan, lies at x/cos + e sin; and one read along the treble edge nearly where it shows.
func (s *Survey) alongNeck(b *Board) (seen Trend) {
	start := s.Problem.Start
	bass, treble := start[b.First.B], start[b.Second.B]
	h, k := math.Sqrt(1+bass*bass), math.Sqrt(1+treble*treble)
	along, across := h+k, bass*k+treble*h // of unit vectors along the edges, times h k
	unit := 1 / math.Sqrt(along*along+across*across)
	cos, sin := along*unit, across*unit
	e := ((start[b.First.A]-bass*b.First.C)*k + (start[b.Second.A]-treble*b.Second.C)*h) / along
	for i, of := range s.objects {
		if of != object(b) {
			continue
		}
		r := s.readings[i]
		place := r.Station/cos + e*sin
		switch {
		case r.Datum == measure.DatumEdgeTreble:
			place = r.Station
		case r.HasOffset || r.Datum == measure.DatumEdgeBass:
			place = r.Station*cos + r.Offset*sin
		}
		seen.add(adjust.FretShare(r.Mark.Number), place)
	}
	return seen
}

// write: along the centre line, s0 + L (1 - 2^(-n/12)), L the mean scale of a fanned board. Where no edge was read, the straightedge is
// taken to lie along the neck: one degree off makes the scale 0.015 % too long.
func (b *Board) write(s *Survey, r *measure.Reading) {
	n := r.Mark.Number
	lean := 0.0
	if r.HasOffset && b.Edged && !r.Datum.Edge() {
		lean = (b.bass.steepness() + b.treble.steepness()) / 2
	}
	var of sum
	board := b.Fretboard
	if board.S0 = b.Nut; n > 0 {
		board.S0 = b.S0
	} else if b.Nut != b.S0 {
		s.hold(r, NutForm, adjust.Term{Unknown: b.Nut, Coef: 1}, adjust.Term{Unknown: b.S0, Coef: -1})
	}
	switch {
	case r.Datum == measure.DatumEdgeTreble:
		of.model = adjust.FretBeside(board, adjust.Beside{Side: b.Second, Zero: s.zeroOfTreble()}, n, -r.Offset)
	case r.Datum == measure.DatumEdgeBass || b.Edged && r.HasOffset:
		of.model = adjust.FretAt(board, n, r.Offset)
	case b.Edged:
		of.model = adjust.FretOnCentre(board, n)
	default:
		s.AlongNeck = true
		of.terms = s.linear(adjust.Term{Unknown: board.S0, Coef: 1}, adjust.Term{Unknown: b.L, Coef: adjust.FretShare(n)})
	}
	of.place = s.placeOf(b, r, adjust.Point{Y: r.Offset}, FretForm)
	s.add(r, r.Station-b.lead(s, r), of, own(r.StationGauge), errorOf{r.Gauge, lean})
}
