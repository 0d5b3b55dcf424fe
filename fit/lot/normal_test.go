package lot

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Source: NAG Library, example of g01ddc, data and printed results.
func TestShapiroWilkPublished(t *testing.T) {
	for _, c := range []struct {
		values []float64
		w, p   string
	}{
		{[]float64{
			0.11, 7.87, 4.61, 10.14, 7.95, 3.14, 0.46, 4.43, 0.21, 4.75,
			0.71, 1.52, 3.24, 0.93, 0.42, 4.97, 9.53, 4.55, 0.47, 6.66,
		}, "0.9005", "0.0421"},
		{[]float64{
			1.36, 1.14, 2.92, 2.55, 1.46, 1.06, 5.27, -1.11, 3.48, 1.10,
			0.88, -0.51, 1.46, 0.52, 6.20, 1.69, 0.08, 3.67, 2.81, 3.49,
		}, "0.9590", "0.5246"},
	} {
		got, ok := ShapiroWilk(c.values)
		if !ok {
			t.Fatal("not tested")
		}
		checkPrinted(t, "W", got.W, c.w)
		checkPrinted(t, "P", got.P, c.p)
	}
}

// Second way: of normal values so many fall below a probability as it says, whatever their number; and
// uniform, one-sided and two-peaked ones are told.
func TestShapiroWilkRates(t *testing.T) {
	const trials = 4000
	rng := rand.New(rand.NewPCG(19, 65))
	share := func(n int, at float64, draw func() float64) float64 {
		count := 0
		for range trials {
			values := make([]float64, n)
			for i := range values {
				values[i] = draw()
			}
			if s, ok := ShapiroWilk(values); !ok || s.P < at {
				count++
			}
		}
		return float64(count) / trials
	}
	for _, n := range []int{4, 5, 6, 8, 11, 12, 24, 60, 300} {
		for _, at := range []float64{0.05, 0.5} {
			// Four standard deviations of a count, and what the approximation may miss of P.
			if got := share(n, at, rng.NormFloat64); math.Abs(got-at) > 4*math.Sqrt(at*(1-at)/trials)+0.1*at {
				t.Errorf("%d normal values: %.3f below %v", n, got, at)
			}
		}
	}
	for _, c := range []struct {
		draw  func() float64
		least float64
	}{
		{rng.ExpFloat64, 0.99},
		{func() float64 { return math.Copysign(2, rng.Float64()-0.5) + rng.NormFloat64()/2 }, 0.99},
		{rng.Float64, 0.60},
	} {
		if got := share(50, 0.05, c.draw); got < c.least {
			t.Errorf("only %.2f found", got)
		}
	}
}

func TestShapiroWilkEdges(t *testing.T) {
	for _, bad := range [][]float64{nil, {1, 2, 3}, {4, 4, 4, 4}, make([]float64, mostForW+1)} {
		if _, ok := ShapiroWilk(bad); ok {
			t.Errorf("%d values tested", len(bad))
		}
	}
	// Far off values, moved and scaled: W keeps to what it says.
	far := []float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 1000}
	if s, ok := ShapiroWilk(far); !ok || s.P > 1e-4 {
		t.Errorf("%+v", s)
	}
	values := normalSample(rand.New(rand.NewPCG(1, 1)), 30, 0, 1)
	a, _ := ShapiroWilk(values)
	for i, v := range values {
		values[i] = 100 - 0.01*v
	}
	if b, _ := ShapiroWilk(values); math.Abs(a.W-b.W) > 1e-9 { // rounding at the size of 100
		t.Errorf("%v and %v", a, b)
	}
}
