package lot

import (
	"math"
	"math/rand/v2"
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

// Source: M. G. Natrella, NBS Handbook 91, Table A-7; Odeh and Owen 1980; 95 %/95 %.
func TestToleranceFactorsPublished(t *testing.T) {
	factor := map[string]func(int, float64, float64) (float64, error){
		"one-sided exact": OneSidedFactor, "two-sided exact": TwoSidedFactor,
	}
	checked := 0
	for _, row := range readTable(t, "normal_tolerance_factors_95_95.csv") {
		f, ok := factor[row["kind"]]
		if !ok {
			continue // Howe's approximation, which we have no use for
		}
		k, err := f(int(number(t, row["n"])), 0.95, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		checkPrinted(t, row["kind"]+" "+row["n"], k, row["published"])
		checkPrinted(t, row["kind"]+" "+row["n"], k, row["recomputed"])
		checked++
	}
	if checked != 12 {
		t.Errorf("%d factors checked, want 12", checked)
	}
}

func TestToleranceIntervalsCover(t *testing.T) {
	const trials, n, coverage, confidence = 4000, 7, 0.9, 0.8
	one, err1 := OneSidedFactor(n, coverage, confidence)
	two, err2 := TwoSidedFactor(n, coverage, confidence)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	r := rand.New(rand.NewPCG(7, 1))
	var hitOne, hitTwo float64
	for range trials {
		m, s := MeanSD(normalSample(r, n, 0, 1))
		if normalCDF(m+one*s) >= coverage {
			hitOne++
		}
		if normalCDF(m+two*s)-normalCDF(m-two*s) >= coverage {
			hitTwo++
		}
	}
	// Four standard deviations of a simulated proportion.
	limit := 4 * math.Sqrt(confidence*(1-confidence)/trials)
	if math.Abs(hitOne/trials-confidence) > limit || math.Abs(hitTwo/trials-confidence) > limit {
		t.Errorf("one-sided covers %v, two-sided %v, want %v", hitOne/trials, hitTwo/trials, confidence)
	}
}

func TestToleranceFactorsOfFewValues(t *testing.T) {
	for _, f := range []func(int, float64, float64) (float64, error){OneSidedFactor, TwoSidedFactor} {
		k2, err := f(2, 0.95, 0.95)
		k3, err3 := f(3, 0.95, 0.95)
		if err != nil || err3 != nil || !(k2 > k3 && k3 > 1.64) {
			t.Errorf("factors of 2 and 3 values: %v (%v), %v (%v)", k2, err, k3, err3)
		}
		for _, bad := range [][3]float64{{1, 0.95, 0.95}, {5, 1, 0.95}, {5, 0.95, 0}, {5, math.NaN(), 0.9}} {
			if _, err := f(int(bad[0]), bad[1], bad[2]); err == nil {
				t.Errorf("no error for %v", bad)
			}
		}
	}
}

// The CDF limit is what the comment at noncentralTCDF claims.
const cdfError = 1e-10

// Second way: algorithm AS 243 (R. V. Lenth, Applied Statistics 38 (1989) 185), as in gonum, which
// checks it against R.
func TestNoncentralTAgreesWithAS243(t *testing.T) {
	for _, nu := range []float64{1, 1.7, 4, 9, 24, 100, 400} {
		for _, delta := range []float64{-6, -1, 0, 0.5, 3, 12, 30} {
			for _, at := range []float64{-5, -0.3, 0, 0.01, 1, 4, 13, 31, 60} {
				got := noncentralTCDF(at, nu, delta)
				want := distuv.NoncentralT{Nu: nu, Mu: delta}.CDF(at)
				if math.Abs(got-want) > cdfError {
					t.Errorf("nu %v delta %v t %v: %v, AS 243 %v", nu, delta, at, got, want)
				}
			}
		}
	}
}

func TestNoncentralTWithoutShiftIsStudent(t *testing.T) {
	for _, nu := range []float64{1, 2.5, 30, 2000} {
		for _, at := range []float64{-3, 0.2, 1, 40} {
			got, want := noncentralTCDF(at, nu, 0), distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.CDF(at)
			if math.Abs(got-want) > cdfError {
				t.Errorf("nu %v t %v: %v, Student %v", nu, at, got, want)
			}
		}
	}
}

// Where the series underflows there is no published figure at hand: simulate the definition.
func TestNoncentralTFarOut(t *testing.T) {
	const draws, nu, delta, at = 200000, 99.0, 40.0, 41.0
	src := rand.NewPCG(5, 99)
	normal, chi := rand.New(src), distuv.ChiSquared{K: nu, Src: src}
	below := 0
	for range draws {
		if (normal.NormFloat64()+delta)/math.Sqrt(chi.Rand()/nu) <= at {
			below++
		}
	}
	p := noncentralTCDF(at, nu, delta)
	// Four standard deviations of a simulated proportion.
	if got := float64(below) / draws; math.Abs(got-p) > 4*math.Sqrt(p*(1-p)/draws) {
		t.Errorf("computed %v, simulated %v", p, got)
	}
}

func TestNoncentralTInverses(t *testing.T) {
	for _, nu := range []float64{1, 9.3, 200} {
		for _, p := range []float64{0.025, 0.5, 0.975} {
			at := noncentralTQuantile(p, nu, 5)
			if got := noncentralTCDF(at, nu, 5); math.Abs(got-p) > 1e-8 { // root tolerance times the density
				t.Errorf("nu %v: quantile of %v has P %v", nu, p, got)
			}
			delta := noncentralityAt(6, nu, p)
			if got := noncentralTCDF(6, nu, delta); math.Abs(got-p) > 1e-8 {
				t.Errorf("nu %v: noncentrality at %v has P %v", nu, p, got)
			}
		}
	}
}
