package fit

import (
	"math"

	"neckfit/fit/adjust"
)

// ledger is where budgets are drawn up; its room is used again.
type ledger struct {
	lines       []Contribution
	weights     []float64 // of the lines: shares, rounded
	sensitivity []float64
	uncertainty adjust.Uncertainty
}

// budget lists what makes up the uncertainty of the quantity with gradient g, largest first: a
// line a reading (a point's two numbers together) and a line a gauge's common error. Lines below a
// ten-thousandth of the variance are left out. It is good until the next one.
func (s *solved) budget(g []float64) []Contribution {
	l := &s.ledger
	l.lines, l.weights = l.lines[:0], l.weights[:0]
	s.fit.UncertaintyInto(g, &l.uncertainty)
	if l.uncertainty.Std == 0 {
		return nil
	}
	// The rows of one reading stand together.
	l.sensitivity = s.fit.SensitivityInto(g, l.sensitivity)
	variance := 0.0
	for i, r := range s.Source {
		if r == nil {
			continue
		}
		std := l.sensitivity[i] * s.Problem.Rows[i].Sigma * s.fit.Scale
		variance += std * std
		if i+1 == len(s.Source) || s.Source[i+1] != r {
			l.add(Contribution{Reading: r}, math.Sqrt(variance))
			variance = 0
		}
	}
	for i, std := range l.uncertainty.Common {
		l.add(Contribution{Gauge: s.Gauges[i]}, std)
	}
	return l.lines
}

// add puts a line where it belongs. Those that weigh the same but for rounding stay in the order of
// the readings.
func (l *ledger) add(c Contribution, std float64) {
	const least = 1e-4
	c.Std, c.Share = std, std*std/(l.uncertainty.Std*l.uncertainty.Std)
	if c.Share < least {
		return
	}
	weight := math.Round(c.Share * 1e9)
	l.lines, l.weights = append(l.lines, c), append(l.weights, weight)
	at := len(l.lines) - 1
	for ; at > 0 && l.weights[at-1] < weight; at-- {
		l.lines[at], l.weights[at] = l.lines[at-1], l.weights[at-1]
	}
	l.lines[at], l.weights[at] = c, weight
}
