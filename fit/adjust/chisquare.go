package adjust

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// mostSummed is up to how many degrees of freedom survival sums term by term.
	mostSummed = 60
	// mostExponent keeps exp(-x) well away from the smallest numbers.
	mostExponent = 500
)

// survival is the chance of a chi-square of dof degrees of freedom above x, 1 without any. For
// whole dof it is a finite sum of positive terms (Abramowitz and Stegun 26.4.4 and 26.4.5): with
// y = x/2, exp(-y) (1 + y + y^2/2! + ...), dof/2 terms, where dof is even; where it is odd
// erfc(sqrt y) + exp(-y) (y^(1/2)/Gamma(3/2) + y^(3/2)/Gamma(5/2) + ...), (dof-1)/2 terms.
func survival(x float64, dof int) float64 {
	y := x / 2
	switch {
	case dof <= 0:
		return 1
	case dof > mostSummed || !(y < mostExponent):
		return distuv.ChiSquared{K: float64(dof)}.Survival(x)
	}
	sum, term, n := 0.0, math.Exp(-y), 0.0
	if dof%2 == 1 {
		root := math.Sqrt(y)
		sum = math.Erfc(root)
		term *= 2 * root / math.SqrtPi
		n = 0.5
	}
	for range dof / 2 {
		sum += term
		n++
		term *= y / n
	}
	return min(1, sum)
}
