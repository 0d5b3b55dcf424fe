package adjust

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// survival is the chance of a chi-square of dof degrees of freedom above x, 1 without any.
func survival(x float64, dof int) float64 {
	if dof <= 0 {
		return 1
	}
	return distuv.ChiSquared{K: float64(dof)}.Survival(x)
}

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

// criticals remembers Baarda's critical values, a number of tested rows each, 0 where not known yet.
type criticals struct {
	alpha float64
	by    []float64
}

// testedRows is the chance of error for all rows that can be tested, and their number.
func (s *Solution) testedRows() (alpha float64, tested int) {
	alpha = s.options.Alpha
	if alpha == 0 {
		alpha = defaultAlpha
	}
	for _, r := range s.Redundancy {
		if r > leastRedundancy {
			tested++
		}
	}
	return alpha, max(1, tested)
}

// criticalFor is what the solution's standardised residuals are held against.
func (c *criticals) criticalFor(s *Solution) float64 {
	alpha, tested := s.testedRows()
	if alpha != c.alpha {
		c.alpha, c.by = alpha, c.by[:0]
	}
	for len(c.by) <= tested {
		c.by = append(c.by, 0)
	}
	if c.by[tested] == 0 {
		c.by[tested] = baarda(spreadAlpha(alpha, tested))
	}
	return c.by[tested]
}
