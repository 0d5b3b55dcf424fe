package survey

import (
	"math"
	"testing"

	"neckfit/measure"
)

// laidOut is a fanned board drawn string by string. Its centre line's normal from the frame's zero is so far from it and turned so;
// along it the straight fret, the 7th, lies at 400 mm.
type laidOut struct{ nut, bridge float64 } // how far the outer strings are apart there

const (
	fanBass, fanTreble = 863.6, 838.2 // scales of the outer strings
	fanMean            = (fanBass + fanTreble) / 2
	fanTurn, fanOff    = 0.02, 1.5
	fanSquare          = 400.0
)

func fretPart(n float64) float64 { return 1 - math.Exp2(-n/12) }

// place is where the line through one share of the scale of both outer strings lies: part 0 is on the bass string, 1 on the treble.
func (f laidOut) place(share, part float64) (x, y float64) {
	along := func(scale float64) float64 { return fanSquare + scale*(share-fretPart(7)) }
	spread := f.nut + (f.bridge-f.nut)*share
	u, v := along(fanBass)+part*(along(fanTreble)-along(fanBass)), fanOff+spread*(part-0.5)
	return u*math.Cos(fanTurn) - v*math.Sin(fanTurn), u*math.Sin(fanTurn) + v*math.Cos(fanTurn)
}

// edges of the board, symmetric about the centre line, each by two readings.
func fanEdges() (list []measure.Reading) {
	for _, u := range []float64{20, 560} {
		for f, side := range map[measure.Feature]float64{measure.EdgeBass: -1, measure.EdgeTreble: 1} {
			v := fanOff + side*(21+math.Tan(0.012)*u)
			list = append(list, read(measure.DatumNeck, f, measure.Offset, u*math.Cos(fanTurn)-v*math.Sin(fanTurn), u*math.Sin(fanTurn)+v*math.Cos(fanTurn), 0))
		}
	}
	return list
}

// Frets of a fan lie where the strings' own scales put them, whichever way the strings' spread is known: by nut slots or kits.csv, and by
// saddles read from the bridge or the body, that stand along their strings or on a bridge slanted otherwise; without, by the board's edges.
func TestFretsOfAFanAsLaidOut(t *testing.T) {
	slots := func(f laidOut) (list []measure.Reading) {
		for mark, part := range map[int]float64{4: 0, 3: 0.4, 1: 1} {
			x, y := f.place(0, part)
			list = append(list, marked(mark, read(measure.DatumNeck, measure.NutSlot, measure.Point, x, y, 0)))
		}
		return list
	}
	saddles := func(d measure.Datum, along, across float64) (list []measure.Reading) {
		for mark, k := range map[int]float64{1: 1, 2: 0.3, 4: 0} { // in a frame with a turn of its own, 3 to 4
			list = append(list, marked(mark, read(d, measure.Saddle, measure.Point, 7-0.8*along*k-0.6*across*k, 0.8*across*k-0.6*along*k, 0)))
		}
		return list
	}
	fanned := measure.Info{ScaleBass: fanBass, ScaleTreble: fanTreble, StraightFret: 7, Strings: 4}
	given, slanted, steep := fanned, fanned, fanned
	given.NutSpread, given.Strings = 30, 0           // the highest saddle read is the bass string's
	slanted.Slant, steep.Slant = 5, 60               // more than the saddles are apart
	lag := (fanBass - fanTreble) * (1 - fretPart(7)) // how far along the bass saddle lies behind the treble
	// Edges that start where they are: at the nut, 0.8 of what lies between them along its station; beyond by their opening over the scale.
	s := surveyed(fanned, fanEdges()...)
	bass, treble := s.Sides.Get(SideAt(measure.DatumNeck, measure.EdgeBass)), s.Sides.Get(SideAt(measure.DatumNeck, measure.EdgeTreble))
	nutX, _ := laidOut{}.place(0, 0.5)
	board := laidOut{nut: 0.8 * (s.startOf(treble, nutX) - s.startOf(bass, nutX))}
	open := (s.startOf(treble, 500) - s.startOf(bass, 500) - s.startOf(treble, 0) + s.startOf(bass, 0)) / 500
	board.bridge = board.nut + open*fanMean
	lone := saddles(measure.DatumBridge, lag, 42)
	for i := range lone {
		lone[i].HasOffset = lone[i].Mark.Number != 1
	}
	for what, c := range map[string]struct {
		info  measure.Info
		f     laidOut
		extra []measure.Reading
	}{
		"slots, saddles from the bridge": {fanned, laidOut{30, 42}, saddles(measure.DatumBridge, lag, 42)},
		"kits.csv, saddles in the body":  {given, laidOut{30, 42}, saddles(measure.DatumBody, lag, 42)},
		"a slant that cannot be":         {steep, laidOut{30, 30 + open*fanMean}, saddles(measure.DatumBridge, 5, 42)},
		"a bridge slanted by 5 mm":       {slanted, laidOut{30, 42}, saddles(measure.DatumBridge, 5, 42)},
		"the bridge's before the body's": {fanned, laidOut{30, 42}, append(saddles(measure.DatumBody, lag, 50), saddles(measure.DatumBridge, lag, 42)...)},
		"no saddles":                     {fanned, laidOut{30, 30 + open*fanMean}, nil},
		"one saddle half read":           {fanned, laidOut{30, 30 + open*fanMean}, lone},
		"neither slots nor saddles":      {fanned, board, nil},
	} {
		list := append(fanEdges(), c.extra...)
		if what != "neither slots nor saddles" && c.info.NutSpread == 0 {
			list = append(list, slots(c.f)...)
		}
		for n, part := range map[int]float64{0: 0.5, 1: 0.1, 5: 0.9, 7: 0.2, 12: 0.8, 20: 0.3} {
			x, y := c.f.place(fretPart(float64(n)), part)
			f := measure.Fret
			if n == 0 {
				f = measure.Nut
			}
			list = append(list, marked(n, read(measure.DatumNeck, f, measure.Station, x, y, 0)))
		}
		s := surveyed(c.info, list...)
		b := s.Boards.Get(measure.DatumNeck)
		s0 := fanSquare - fanMean*fretPart(7)
		truth := map[int]float64{b.S0: s0, b.Nut: s0, b.L: fanMean}
		for i := range s.Points.Keys() {
			p := s.Points.At(i)
			truth[p.Station], truth[p.Offset] = p.firstStation, p.firstOffset
		}
		meets(t, what, s, truth)
	}
}

// A fret lies where it was read where the frets are square, where nobody tells how far across it was read, where its board's edges
// were not read, and along an edge, whose place is told otherwise.
func TestFretsWithoutALead(t *testing.T) {
	fanned := measure.Info{ScaleBass: fanBass, ScaleTreble: fanTreble, StraightFret: 7, NutSpread: 30}
	fret := marked(12, read(measure.DatumNeck, measure.Fret, measure.Station, 420, -15, 0))
	bare := fret
	bare.HasOffset = false
	along := fret
	along.Datum = measure.DatumEdgeBass
	for what, c := range map[string]struct {
		info  measure.Info
		r     measure.Reading
		edges []measure.Reading
		leads bool
	}{
		"square":      {measure.Info{NutSpread: 30, StraightFret: 7}, fret, fanEdges(), false},
		"no offset":   {fanned, bare, fanEdges(), false},
		"no edges":    {fanned, fret, nil, false},
		"by an edge":  {fanned, along, []measure.Reading{read(measure.DatumEdgeBass, measure.Fingerboard, measure.Width, 100, 0, 50)}, false},
		"by 1 mm":     {measure.Info{ScaleBass: 763, ScaleTreble: 762, StraightFret: 7, NutSpread: 30}, fret, fanEdges(), true},
		"with a lead": {fanned, fret, fanEdges(), true},
	} {
		s := surveyed(c.info, append(c.edges, c.r)...)
		for i, row := range s.Problem.Rows {
			if s.Source[i] != nil && s.Source[i].Feature == measure.Fret && (row.Value != 420) != c.leads {
				t.Errorf("%s: read at 420 mm, taken for %v", what, row.Value)
			}
		}
	}
}

// The deviation that a fret's offset brings into its station is by the middle's slope, where it has one that is known.
func TestLeanOfAFret(t *testing.T) {
	offset := &measure.Gauge{ID: "o", Repeatability: 0.05, MaxError: 0.03}
	fret := marked(12, read(measure.DatumNeck, measure.Fret, measure.Station, 420, -15, 0))
	fret.Gauge = offset
	bare := fret
	bare.HasOffset = false
	along := fret
	along.Datum = measure.DatumEdgeBass
	middle := (math.Tan(fanTurn+0.012) + math.Tan(fanTurn-0.012)) / 2
	for what, c := range map[string]struct {
		r    measure.Reading
		list []measure.Reading
		lean float64
	}{
		"across": {fret, fanEdges(), middle}, "on the middle": {bare, fanEdges(), 0}, "no edges": {fret, nil, 0},
		"by an edge": {along, []measure.Reading{
			read(measure.DatumEdgeBass, measure.EdgeTreble, measure.Offset, 0, 40, 0), read(measure.DatumEdgeBass, measure.EdgeTreble, measure.Offset, 500, 52, 0)}, 0},
	} {
		s := surveyed(measure.Info{}, append(c.list, c.r)...)
		for i, row := range s.Problem.Rows {
			if s.Source[i] == nil || s.Source[i].Feature != measure.Fret {
				continue
			}
			is(t, what+": a row's deviation", row.Sigma, math.Sqrt(ownVariance+c.lean*c.lean*0.05*0.05))
			by := 0.0
			for _, shift := range row.Shifts {
				by += shift.Coef
			}
			is(t, what+": what the offset's gauge shifts", by, c.lean)
		}
	}
}

// Where any edge of a board's frame was read, or a width between both, its frets' direction is known.
func TestEdgedBoards(t *testing.T) {
	edge := func(d measure.Datum, f measure.Feature) measure.Reading {
		return read(d, f, measure.Offset, 100, 20, 0)
	}
	for _, c := range []struct {
		what  string
		datum measure.Datum
		list  []measure.Reading
		edged bool
	}{
		{"nothing", measure.DatumNeck, nil, false},
		{"the bass edge", measure.DatumNeck, []measure.Reading{edge(measure.DatumNeck, measure.EdgeBass)}, true},
		{"the treble edge", measure.DatumNeck, []measure.Reading{edge(measure.DatumNeck, measure.EdgeTreble)}, true},
		{"a width", measure.DatumNeck, []measure.Reading{read(measure.DatumNeck, measure.Fingerboard, measure.Width, 100, 0, 42)}, true},
		{"the other frame's edge", measure.DatumBody, []measure.Reading{edge(measure.DatumNeck, measure.EdgeBass)}, false},
		{"an edge's straightedge", measure.DatumEdgeBass, nil, true},
		{"an edge's straightedge beside the board", measure.DatumBody, []measure.Reading{marked(3, read(measure.DatumEdgeBass, measure.Fret, measure.Station, 120, 0, 0))}, false},
	} {
		s := surveyed(measure.Info{Scale: 762}, append(c.list, marked(12, read(c.datum, measure.Fret, measure.Station, 385, 0, 0)))...)
		if got := s.Boards.Get(Frame(c.datum)).Edged; got != c.edged || s.AlongNeck == c.edged {
			t.Errorf("%s: edged %v, along the neck %v", c.what, got, s.AlongNeck)
		}
	}
}

// Of exact readings a board starts where it is: by places on its middle, at known offsets, and with one fret by kits.csv's scale, also
// where the lowest fret read is no nut.
func TestBoardsStartWhereTheyAre(t *testing.T) {
	const s0, scale = 4.0, 762.0
	cos, sin := math.Cos(fanTurn), math.Sin(fanTurn)
	for _, middle := range []bool{false, true} {
		list := fanEdges()
		for _, n := range []int{3, 8, 12, 19} {
			u, v := s0+scale*fretPart(float64(n)), fanOff
			if !middle {
				v += 2 * float64(n-9)
			}
			r := marked(n, read(measure.DatumNeck, measure.Fret, measure.Station, u*cos-v*sin, u*sin+v*cos, 0))
			r.HasOffset = !middle
			if middle {
				r.Offset = 0
			}
			list = append(list, r)
		}
		s := surveyed(measure.Info{Scale: 700}, list...)
		b := s.Boards.Get(measure.DatumNeck)
		is(t, "the nut", s.Problem.Start[b.S0], s0)
		is(t, "the scale", s.Problem.Start[b.L], scale)
		if b.Nut != b.S0 {
			t.Error("a nut that was not read is by itself")
		}
		s = surveyed(measure.Info{Scale: scale}, list[:5]...) // fret 3 alone
		is(t, "the nut by one fret", s.Problem.Start[s.Boards.Get(measure.DatumNeck).S0], s0)
	}
	bare := marked(5, read(measure.DatumNeck, measure.Fret, measure.Station, s0+scale*fretPart(5), 0, 0))
	high := marked(17, read(measure.DatumNeck, measure.Fret, measure.Station, s0+scale*fretPart(17), 0, 0))
	s := surveyed(measure.Info{Scale: 700}, high, bare)
	b := s.Boards.Get(measure.DatumNeck)
	is(t, "the scale by two frets without edges", s.Problem.Start[b.L], scale)
	is(t, "the nut by two frets without edges", s.Problem.Start[b.S0], s0)
}

// A fret's ends along the two edges are two places of it, each read again is the same; from the treble edge the fret is read inward, at
// the station that a straightedge along that edge shows: both edges are at right angles to the fret but for their own slopes.
func TestFretsAlongBothEdges(t *testing.T) {
	const s0, scale, opening = 6.0, 762.0, 0.024
	at := func(d measure.Datum, n int, station, offset float64) measure.Reading {
		return marked(n, read(d, measure.Fret, measure.Station, station, offset, 0))
	}
	// The bass edge is the frame's axis, the treble one starts at 40 and opens; the middle's heading is half of the opening's angle.
	half := math.Atan(opening) / 2
	truth := func(n int) float64 { return s0 + scale*fretPart(float64(n)) } // along the middle
	var list []measure.Reading
	for _, n := range []int{1, 12} {
		// From a bass-edge spot inward by 2: x cos h + 2 sin h = truth. From the treble edge, inward by 3, seen along it from its zero at -5.
		list = append(list, at(measure.DatumEdgeBass, n, (truth(n)-2*math.Sin(half))/math.Cos(half), 2), at(measure.DatumEdgeBass, n, (truth(n)-2*math.Sin(half))/math.Cos(half), 2.5))
		list[len(list)-1].Station = (truth(n) - 2.5*math.Sin(half)) / math.Cos(half)
		// A point p on the fret: p.(cos h, sin h) = truth and 3 inward of the treble edge: p.(-sin 2h, cos 2h) = 40 cos 2h - 3.
		inward := 40*math.Cos(2*half) - 3
		det := math.Cos(half)*math.Cos(2*half) + math.Sin(half)*math.Sin(2*half)
		px, py := (truth(n)*math.Cos(2*half)-inward*math.Sin(half))/det, (math.Cos(half)*inward+truth(n)*math.Sin(2*half))/det
		list = append(list, at(measure.DatumEdgeTreble, n, px*math.Cos(2*half)+py*math.Sin(2*half)-5, 3))
	}
	s := surveyed(measure.Info{}, list...)
	b, treble := s.Boards.Get(measure.DatumEdgeBass), s.Sides.Get(SideAt(measure.DatumEdgeBass, measure.EdgeTreble))
	meets(t, "along both edges", s, map[int]float64{b.S0: s0, b.L: scale, treble.A: 40 + opening*treble.C, treble.B: opening, s.trebleZero - 1: -5})
	places := map[int]int{}
	for i, row := range s.Problem.Rows {
		if r := s.Source[i]; r != nil {
			places[row.Place]++
			if s.Problem.Places[row.Place-1] != 0.05 {
				t.Errorf("a fret's form is %v", s.Problem.Places[row.Place-1])
			}
		}
	}
	if len(places) != 4 {
		t.Errorf("two ends of two frets are %d places: %v", len(places), places)
	}
}
