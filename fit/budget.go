package fit

import (
	"cmp"
	"math"
	"slices"
)

// budget lists what makes up the uncertainty of the quantity with gradient g, largest first: a
// line a reading (a point's two numbers together) and a line a gauge's common error. Lines below a
// ten-thousandth of the variance are left out.
func (s *solved) budget(g []float64) []Contribution {
	const least = 1e-4
	u := s.fit.Uncertainty(g)
	if u.Std == 0 {
		return nil
	}
	var list []Contribution
	add := func(c Contribution) {
		if c.Share = c.Std * c.Std / (u.Std * u.Std); c.Share >= least {
			list = append(list, c)
		}
	}
	// The rows of one reading stand together.
	sensitivity, variance := s.fit.Sensitivity(g), 0.0
	for i, r := range s.source {
		if r == nil {
			continue
		}
		std := sensitivity[i] * s.problem.Rows[i].Sigma * s.fit.Scale
		variance += std * std
		if i+1 == len(s.source) || s.source[i+1] != r {
			add(Contribution{Reading: r, Std: math.Sqrt(variance)})
			variance = 0
		}
	}
	for i, std := range u.Common {
		add(Contribution{Gauge: s.gauges[i], Std: std})
	}
	// Those that weigh the same but for rounding stay in the order of the readings.
	rounded := func(c Contribution) float64 { return math.Round(c.Share * 1e9) }
	slices.SortStableFunc(list, func(a, b Contribution) int { return cmp.Compare(rounded(b), rounded(a)) })
	return list
}
