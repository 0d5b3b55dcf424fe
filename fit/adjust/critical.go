package adjust

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// spreadAlpha is the chance of error to allow each of n independent tests, so that all together
// make one with probability alpha (Šidák 1967).
func spreadAlpha(alpha float64, n int) float64 {
	return -math.Expm1(math.Log1p(-alpha) / float64(n))
}

// baarda is the two-sided critical value of a residual over its standard deviation where that is
// known: standard normal (Baarda, A Testing Procedure for Use in Geodetic Networks, 1968).
func baarda(alpha float64) float64 {
	return distuv.UnitNormal.Quantile(1 - alpha/2)
}

// popeTau is the two-sided critical value of the same ratio where the standard deviation is
// estimated from the dof redundant rows, that residual among them: with t Student's at dof-1,
// tau = t sqrt(dof) / sqrt(dof-1+t^2) (Pope, The Statistics of Residuals and the Detection of
// Outliers, 1976). It needs dof of 2 or more; with 1 the ratio is always 1 and tests nothing.
func popeTau(alpha float64, dof int) float64 {
	n := float64(dof)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(1 - alpha/2)
	return t * math.Sqrt(n) / math.Sqrt(n-1+t*t)
}
