package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// Compared is a characteristic as a plan predicted it and as it was measured after the work.
type Compared struct {
	ID                  fit.ID
	Before              float64 // as measured before the work
	Predicted, Measured fit.Characteristic
	En                  float64 // difference over its expanded uncertainty; see Compare
	Agrees              bool    // |En| <= 1
	Changed             bool    // the plan was to change it
}

// Compare holds what was measured after the work against what the plan predicted, for every
// characteristic that both have. En is the difference over the root of the sum of the squares of
// the two expanded uncertainties (k = 1.96), as laboratories are compared (ISO/IEC 17043): at most 1
// in 95 of 100 cases. Gauges used both times share their errors, which makes it smaller still.
//
// Hidden tells that a heel was set anew and the parts were measured apart, which does not show where:
// it must be measured in the pocket.
func Compare(before *fit.Result, p *Plan, after *fit.Result) (list []Compared, hidden bool) {
	const k = fit.Coverage
	for _, q := range p.Predicted {
		predicted := before.Characteristics[q.Index]
		one := Compared{ID: predicted.ID, Before: predicted.Value, Measured: after.Characteristics[q.Index], Changed: q.Changed}
		if !one.Measured.Measured() {
			continue
		}
		predicted.Value, predicted.StdUncertainty, predicted.P = q.Value, q.StdUncertainty, q.P
		one.Predicted = predicted
		u := math.Hypot(q.StdUncertainty, one.Measured.StdUncertainty)
		one.En = (one.Measured.Value - q.Value) / (k * max(u, leastStd))
		one.Agrees = math.Abs(one.En) <= 1
		list = append(list, one)
	}
	for _, a := range p.Actions {
		if a.Work == measure.Reseat && after.Way == fit.LooseParts {
			hidden = true
		}
	}
	return list, hidden
}
