package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"neckfit/fit/adjust"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// The slope against gonum's regression, far from zero too.
func TestTrend(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	for range 200 {
		var seen Trend
		var x, y []float64
		from := 1000 * r.NormFloat64()
		for range 2 + r.IntN(6) {
			x, y = append(x, from+100*r.NormFloat64()), append(y, 50*r.NormFloat64())
			seen.add(x[len(x)-1], y[len(y)-1])
		}
		_, want := stat.LinearRegression(x, y, nil, false)
		if got, ok := seen.slope(); !ok || !(math.Abs(got-want) <= 1e-10*(1+math.Abs(want))) {
			t.Errorf("slope %v (%v), gonum says %v", got, ok, want)
		}
		if got, want := seen.meanX(), stat.Mean(x, nil); !(math.Abs(got-want) <= 1e-11) {
			t.Errorf("mean %v, gonum says %v", got, want)
		}
	}
}

func TestNoTrend(t *testing.T) {
	var seen Trend
	for range 3 {
		if slope, ok := seen.slope(); ok || slope != 0 {
			t.Errorf("%d points at one place have slope %v", seen.N, slope)
		}
		seen.add(470.05, 3)
	}
}

// Boards start so near that steps are short: a few gauge errors from where they end.
func TestBoardsStartNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 54))
	for range 100 {
		in := simulate.Random(rng)
		var s Survey
		s.Assemble(in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup())))
		on, err := adjust.Solve(&s.Problem, adjust.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Boards.Keys() {
			b := s.Boards.At(i)
			for _, u := range []int{b.S0, b.L, b.First.A, b.Second.A} {
				if off := on.X[u] - s.Problem.Start[u]; !b.Edged || math.Abs(off) > 0.3 {
					t.Errorf("unknown %d starts %.3f mm off", u, off)
				}
			}
		}
	}
}

// The outermost readings, whichever came first; what lies nearer together than a millionth of how far off it is has no slope, nor has a
// single reading.
func TestOutermostOfATrend(t *testing.T) {
	for _, x := range [][]float64{{5, 3, 9, 7}, {9, 7, 5, 3}, {3, 9, 5, 7}, {5, 7, 3, 9}} {
		var seen Trend
		for _, x := range x {
			seen.add(x, 2*x+1)
		}
		if seen.LowX != 3 || seen.LowY != 7 || seen.HighX != 9 || seen.HighY != 19 || seen.N != 4 {
			t.Errorf("%v: %+v", x, seen)
		}
		is(t, "between the outermost", seen.steepness(), 2)
	}
	var one Trend
	one.add(-8, 4)
	if one.LowX != -8 || one.HighX != -8 || one.LowY != 4 || one.HighY != 4 || one.steepness() != 0 || one.start() != 0 {
		t.Errorf("one reading: %+v", one)
	}
	is(t, "one reading's place", one.meanX(), -8)
	is(t, "what it reads", one.meanY(), 4)
	for apart, told := range map[float64]bool{0.00138: false, 0.00145: true} { // their squares' sum about the mean, half of apart^2, against 1e-12 of 1000^2
		var seen Trend
		seen.add(1000, 1)
		seen.add(1000+apart, 2)
		if _, ok := seen.slope(); ok != told {
			t.Errorf("%v mm apart have a slope: %v", apart, ok)
		}
	}
}

// A side that was not read starts from its partner there where the width was read, with the partner's slope and the width's.
func TestBesideAPartnerReadElsewhere(t *testing.T) {
	bass := func(x float64) float64 { return -30 + 0.01*(x-500) }
	width := func(x float64) float64 { return 63 - 0.02*(x-500) }
	for _, c := range []struct {
		partner, side measure.Feature
		sign          float64
	}{{measure.HeelBass, measure.HeelTreble, 1}, {measure.HeelTreble, measure.HeelBass, -1}} {
		var list []measure.Reading
		for _, x := range []float64{480, 500} {
			list = append(list, read(measure.DatumNeck, c.partner, measure.Offset, x, bass(x), 0), read(measure.DatumNeck, measure.Heel, measure.Width, x+60, 0, width(x+60)))
		}
		s := surveyed(measure.Info{}, list...)
		on := s.Sides.Get(SideAt(measure.DatumNeck, c.side))
		is(t, "its middle", on.C, 550)
		for _, x := range []float64{400, 600} {
			is(t, c.side.String(), s.startOf(on, x), bass(x)+c.sign*width(x))
		}
	}
	// Of neither, each starts half of the width from the datum.
	s := surveyed(measure.Info{}, read(measure.DatumNeck, measure.Heel, measure.Width, 540, 0, 61), read(measure.DatumNeck, measure.Heel, measure.Width, 560, 0, 60))
	is(t, "the bass side", s.startOf(s.Sides.Get(SideAt(measure.DatumNeck, measure.HeelBass)), 500), -63.0/2)
	is(t, "the treble side", s.startOf(s.Sides.Get(SideAt(measure.DatumNeck, measure.HeelTreble)), 500), 63.0/2)
	// Of an edge that nothing tells of the frame's own is 0, the other 50 mm off and opening by 25 mm a metre.
	s = surveyed(measure.Info{}, marked(3, read(measure.DatumEdgeBass, measure.Fret, measure.Station, 120, 0, 0)))
	for f, want := range map[measure.Feature]float64{measure.EdgeBass: 0, measure.EdgeTreble: 50 + 0.025*200} {
		is(t, f.String(), s.startOf(s.Sides.Get(SideAt(measure.DatumEdgeBass, f)), 200), want)
	}
	// Its own frame is held: to a thousandth of a micrometre and of that a metre.
	for i, sigma := range []float64{1e-6, 1e-9} {
		at := len(s.Problem.Rows) - 2 + i
		bass := s.Sides.Get(SideAt(measure.DatumEdgeBass, measure.EdgeBass))
		if row := s.Problem.Rows[at]; row.Sigma != sigma || row.Value != 0 || row.Terms[0] != (adjust.Term{Unknown: []int{bass.A, bass.B}[i], Coef: 1}) || s.Source[at] != nil {
			t.Errorf("the bass edge is held by %+v", row)
		}
	}
	if s := surveyed(measure.Info{}, read(measure.DatumNeck, measure.EdgeBass, measure.Offset, 100, -20, 0)); len(s.Problem.Rows) != 1 || s.Edges {
		t.Error("without an edge's straightedge something is held")
	}
}

// What a bow does to an edge's readings is 1 - u^2, u from -1 to 1 over all that was read of both, less the straight line through that
// edge's own readings: nothing of it is level or sloped over them, and what was taken out is straight.
func TestBowBesideTheEdgesOwnLines(t *testing.T) {
	for what, c := range map[string]struct {
		bass, treble []float64
		low, high    float64
		told         bool
	}{
		"three places":             {[]float64{10, 100, 400}, nil, 10, 400, true},
		"two and two":              {[]float64{10, 400}, []float64{10, 400}, 0, 0, false},
		"the treble reaches out":   {[]float64{100, 250, 380}, []float64{10, 400}, 10, 400, true},
		"the bass reaches out":     {[]float64{10, 400}, []float64{100, 250, 380}, 10, 400, true},
		"each reaches out":         {[]float64{10, 200, 380}, []float64{100, 250, 400}, 10, 400, true},
		"two near by are one":      {[]float64{10, 12.9, 400}, nil, 0, 0, false},
		"two not so near":          {[]float64{10, 13.1, 400}, nil, 10, 400, true},
		"near by at the far end":   {[]float64{10, 397.1, 400}, nil, 0, 0, false},
		"one place on the other":   {[]float64{50}, []float64{10, 200, 400}, 10, 400, true},
		"one place, read twice":    {[]float64{10, 200, 400}, []float64{50, 52}, 10, 400, true},
		"a place on either":        {[]float64{50}, []float64{60}, 0, 0, false},
		"four, unevenly, headward": {[]float64{-300, -290, -280, 100}, []float64{-200, 0}, -300, 100, true},
	} {
		for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody} {
			var list []measure.Reading
			for _, x := range c.bass {
				list = append(list, read(frame, measure.EdgeBass, measure.Offset, x, -20, 0))
			}
			for _, x := range c.treble {
				list = append(list, read(frame, measure.EdgeTreble, measure.Offset, x, 20, 0))
			}
			s := surveyed(measure.Info{}, list...)
			b := s.Bows.Get(frame)
			if (b != nil) != c.told {
				t.Errorf("%s tell a bow: %v", what, b != nil)
			}
			if b == nil {
				continue
			}
			if b.Low != c.low || b.High != c.high || s.Problem.Start[b.Unknown] != 0 {
				t.Errorf("%s: the bow is over %v to %v", what, b.Low, b.High)
			}
			for f, x := range map[measure.Feature][]float64{measure.EdgeBass: c.bass, measure.EdgeTreble: c.treble} {
				checkBow(t, what, s, b, f, x)
			}
		}
	}
}

func checkBow(t *testing.T, what string, s *Survey, b *Bow, f measure.Feature, x []float64) {
	t.Helper()
	level, sloped := 0.0, 0.0
	var taken []float64
	for i, row := range s.Problem.Rows {
		if r := s.Source[i]; r == nil || r.Feature != f {
			continue
		}
		last := row.Terms[len(row.Terms)-1]
		if last.Unknown != b.Unknown {
			t.Fatalf("%s: a row without the bow: %v", what, row.Terms)
		}
		at := s.Source[i].Station
		u := (at - (b.Low+b.High)/2) / ((b.High - b.Low) / 2)
		level, sloped, taken = level+last.Coef, sloped+last.Coef*(at-x[0]), append(taken, 1-u*u-last.Coef)
	}
	if len(x) == 2 && x[1]-x[0] < 3 { // one place has no slope, and as it was read there first it has no bow
		is(t, what+": what of a bow shows at a single place", 1-math.Pow((x[0]-(b.Low+b.High)/2)/((b.High-b.Low)/2), 2)-taken[0], 0)
		return
	}
	is(t, what+": a bow's level", level, 0)
	is(t, what+": a bow's slope", sloped, 0)
	for i := 2; i < len(x); i++ {
		is(t, what+": a line's slope", (taken[i]-taken[i-1])/(x[i]-x[i-1]), (taken[1]-taken[0])/(x[1]-x[0]))
	}
}
