package lot

import (
	"math"
	"math/rand/v2"
	"testing"
)

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
		m, s := meanSD(normalSample(r, n, 0, 1))
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
