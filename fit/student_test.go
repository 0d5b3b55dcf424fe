package fit

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
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
			// What Hill leaves falls as the sixth power: 3e-4 of the tail at four degrees of freedom, 1e-7 at twelve.
			if got, want := studentTail(x, dof), exact.CDF(-x); math.Abs(got-want) > (5e-4*math.Pow(enoughDOF/dof, 6)+2e-7)*want {
				t.Errorf("%.1f degrees of freedom: %.6g beyond %.2f, want %.6g", dof, got, x, want)
			}
		}
	}
}

// With one, two and three degrees of freedom Student's tails are elementary: the Cauchy distribution's, an algebraic one, and one with both.
func TestStudentOfFewDegrees(t *testing.T) {
	for x := -6.0; x <= 6; x += 0.7 {
		about(t, "one", studentTail(x, 1), 0.5-math.Atan(x)/math.Pi, 1e-12)
		about(t, "two", studentTail(x, 2), 0.5-x/(2*math.Sqrt(2+x*x)), 1e-12)
		about(t, "three", studentTail(x, 3), 0.5-(math.Sqrt(3)*x/(3+x*x)+math.Atan(x/math.Sqrt(3)))/math.Pi, 1e-12)
	}
}

// The expansion of Student's quantile in h = 1/dof, order by order, by what defines it: that t of z has as much of Student's distribution below it as
// the normal one has below z. Of both densities, dt/dz (1 + h t^2)^-(1/h+1)/2 times a constant is exp(-z^2/2) times another; by Stirling's series
// the logarithm of their ratio is -h/4 + h^3/24.
func TestStudentsExpansionByItsDensity(t *testing.T) {
	const orders = 5
	for dof := 50.0; dof < 100; dof += 10 {
		above, _ := math.Lgamma((dof + 1) / 2)
		below, _ := math.Lgamma(dof / 2)
		about(t, "Stirling's series", above-below-math.Log(dof/2)/2, -1/(4*dof)+1/(24*dof*dof*dof), 1e-9)
	}
	for _, z := range []float64{1.3, 2, 2.8} {
		// The coefficients are those of a polynomial of four degrees through five values.
		coefficients := func(z float64) (b [orders]float64) {
			var rows [orders * orders]float64
			var sides [orders]float64
			for i, more := range []float64{0.1, 1, 3, 7, 20} {
				h := 1 / (z*z + 1 + more)
				for k := range orders {
					rows[i*orders+k] = math.Pow(h, float64(k))
				}
				sides[i] = studentQuantile(z, 1/h)
			}
			var x mat.VecDense
			if err := x.SolveVec(mat.NewDense(orders, orders, rows[:]), mat.NewVecDense(orders, sides[:])); err != nil {
				t.Fatal(err)
			}
			copy(b[:], x.RawVector().Data)
			return b
		}
		const step = 0.05
		b, slope := coefficients(z), [orders]float64{}
		for i, weight := range []float64{4. / 5, -1. / 5, 4. / 105, -1. / 280} { // exact to eight degrees, of the nine that there are at most
			off := step * float64(i+1)
			after, before := coefficients(z+off), coefficients(z-off)
			for k := range slope {
				slope[k] += weight * (after[k] - before[k]) / step
			}
		}
		type series [orders + 1]float64
		times := func(a, b series) (c series) {
			for i, x := range a {
				for j, y := range b[:len(b)-i] {
					c[i+j] += x * y
				}
			}
			return c
		}
		log1p := func(x series) (sum series) { // of one without a constant
			power := series{1}
			for n := 1; n <= orders; n++ {
				power = times(power, x)
				for k := range sum {
					sum[k] -= math.Pow(-1, float64(n)) * power[k] / float64(n)
				}
			}
			return sum
		}
		var at, rises series
		copy(at[:], b[:])
		copy(rises[:], slope[:])
		about(t, "to begin with", at[0], z, 1e-9)
		about(t, "which rises", rises[0], 1, 1e-9)
		rises[0] = 0
		wide, steep := log1p(times(series{0, 1}, times(at, at))), log1p(rises)
		constant := [orders]float64{0, -0.25, 0, 1. / 24, 0}
		for k := range orders { // (1/h + 1) of wide is its next order and its own
			left := constant[k] + steep[k] - (wide[k+1]+wide[k])/2
			if k == 0 {
				left += z * z / 2
			}
			about(t, fmt.Sprintf("at %v, order %d", z, k), left, 0, 1e-6)
		}
	}
}
