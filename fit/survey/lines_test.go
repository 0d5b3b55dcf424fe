package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"neckfit/fit/adjust"
	"neckfit/fit/simulate"
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
