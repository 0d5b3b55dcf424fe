package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Coverage factors of Student's t at 95 %, as JCGM 100:2008, table G.2, prints them: two decimals, three for 100.
func TestStudentsFactorsAsPublished(t *testing.T) {
	for dof, want := range map[float64]float64{
		1: 12.71, 2: 4.30, 3: 3.18, 4: 2.78, 5: 2.57, 6: 2.45, 7: 2.36, 8: 2.31, 9: 2.26, 10: 2.23, 11: 2.20, 12: 2.18, 13: 2.16, 14: 2.14,
		15: 2.13, 16: 2.12, 17: 2.11, 18: 2.10, 19: 2.09, 20: 2.09, 25: 2.06, 30: 2.04, 35: 2.03, 40: 2.02, 45: 2.01, 50: 2.01, 100: 1.984,
	} {
		digit := 0.005
		if dof == 100 {
			digit = 0.0005
		}
		if got := factorFor(1, dof); math.Abs(got-want) > digit {
			t.Errorf("%v degrees of freedom: %.4f, printed %v", dof, got, want)
		}
	}
	if factorFor(1, 0) != Coverage {
		t.Errorf("without an end: %v", factorFor(1, 0))
	}
}

// unwidened is a characteristic's standard deviation, before Student's distribution makes more of it.
func unwidened(c *Characteristic) float64 {
	return c.StdUncertainty * Coverage / factorFor(1, c.DOF)
}

// Factors and tails in closed form against gonum's incomplete beta function.
func TestStudentInClosedForm(t *testing.T) {
	for dof := enoughDOF; dof < 3000; dof *= 1.13 {
		exact := distuv.StudentsT{Sigma: 1, Nu: dof}
		for _, p := range []float64{0.9, 0.95, 0.975, 0.995, 0.9985} {
			z := distuv.UnitNormal.Quantile(p)
			if got, want := studentQuantile(z, dof), exact.Quantile(p); math.Abs(got-want) > 1e-9+0.001*want*math.Pow(max(enoughDOF, z*z)/dof, 4) {
				t.Errorf("%.1f degrees of freedom: quantile %.6f of %v, want %.6f", dof, got, p, want)
			}
		}
		for x := -6.0; x <= 6; x += 0.37 {
			if got, want := studentTail(x, dof), exact.CDF(-x); math.Abs(got-want) > 1e-3*want {
				t.Errorf("%.1f degrees of freedom: %.6g beyond %.2f, want %.6g", dof, got, x, want)
			}
		}
	}
}
