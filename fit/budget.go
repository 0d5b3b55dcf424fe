package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/measure"
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
	byReading := map[*measure.Reading]float64{}
	var order []*measure.Reading
	for i, c := range s.fit.Sensitivity(g) {
		r := s.source[i]
		if r == nil || c == 0 {
			continue
		}
		if _, ok := byReading[r]; !ok {
			order = append(order, r)
		}
		std := c * s.problem.Rows[i].Sigma * s.fit.Scale
		byReading[r] += std * std
	}
	var list []Contribution
	add := func(what string, place measure.Place, std float64) {
		if share := std * std / (u.Std * u.Std); share >= least {
			list = append(list, Contribution{What: what, Place: place, Std: std, Share: share})
		}
	}
	for _, r := range order {
		add(r.Describe(), r.Place, math.Sqrt(byReading[r]))
	}
	for i, std := range u.Common {
		add("error common to all readings by "+s.gauges[i].ID, measure.Place{}, std)
	}
	slices.SortStableFunc(list, func(a, b Contribution) int { return cmp.Compare(b.Share, a.Share) })
	return list
}
