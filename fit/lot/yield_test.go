package lot

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// By definition the low end is the p at which this many hits or more have probability alpha/2, the
// high end that at which this many or fewer have (Clopper and Pearson 1934).
func TestProportionTails(t *testing.T) {
	for _, c := range []struct{ hits, n int }{{1, 7}, {4, 20}, {19, 20}, {50, 400}} {
		p, err := Proportion(c.hits, c.n, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		low := 1 - distuv.Binomial{N: float64(c.n), P: p.Low}.CDF(float64(c.hits-1))
		high := distuv.Binomial{N: float64(c.n), P: p.High}.CDF(float64(c.hits))
		// The inverse of the beta integral is good to about ten digits.
		if math.Abs(low-0.025) > 1e-9 || math.Abs(high-0.025) > 1e-9 {
			t.Errorf("%d of %d: tails %v and %v", c.hits, c.n, low, high)
		}
	}
}

// With no hits in n the high end is 1-(alpha/2)^(1/n), in closed form; all hits mirror it.
func TestProportionEnds(t *testing.T) {
	none, _ := Proportion(0, 12, 0.95)
	all, _ := Proportion(12, 12, 0.95)
	want := 1 - math.Pow(0.025, 1.0/12)
	if none.Low != 0 || all.High != 1 || math.Abs(none.High-want) > 1e-9 || math.Abs(1-all.Low-want) > 1e-9 {
		t.Errorf("none %v, all %v, want high end %v", none, all, want)
	}
}

// Exact coverage, summed over all outcomes, is never below the level.
func TestProportionCovers(t *testing.T) {
	const n, level = 15, 0.9
	for _, truth := range []float64{0.03, 0.2, 0.5, 0.77, 0.99} {
		var covered float64
		for hits := 0; hits <= n; hits++ {
			p, err := Proportion(hits, n, level)
			if err != nil {
				t.Fatal(err)
			}
			if p.Low <= truth && truth <= p.High {
				covered += distuv.Binomial{N: n, P: truth}.Prob(float64(hits))
			}
		}
		if covered < level {
			t.Errorf("p %v is covered with %v only", truth, covered)
		}
	}
}

func TestProportionRefuses(t *testing.T) {
	for _, c := range []struct {
		hits, n int
		level   float64
	}{{-1, 3, 0.95}, {4, 3, 0.95}, {1, 3, 0}, {1, 3, 1}, {1, 3, math.NaN()}} {
		if _, err := Proportion(c.hits, c.n, c.level); err == nil {
			t.Errorf("no error for %v", c)
		}
	}
}

func TestYieldWithoutKnowledge(t *testing.T) {
	for _, unsure := range []int{0, 1, 9} {
		y, err := FirstPassYield(0, 0, unsure, 0.95)
		everything := Interval{0, 1}
		if err != nil || y.Share != everything || y.Process != everything || y.Known != (unsure > 0) {
			t.Errorf("%d unsure kits: %+v, %v", unsure, y, err)
		}
	}
}

func TestYieldTakesUnsureBothWays(t *testing.T) {
	y, err := FirstPassYield(6, 1, 3, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	low, _ := Proportion(6, 10, 0.95)
	high, _ := Proportion(9, 10, 0.95)
	if y.Share != (Interval{0.6, 0.9}) || y.Process != (Interval{low.Low, high.High}) {
		t.Errorf("%+v", y)
	}
	if _, err := FirstPassYield(1, -1, 0, 0.95); err == nil {
		t.Error("no error for a negative count")
	}
}
