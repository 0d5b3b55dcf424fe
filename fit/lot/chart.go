package lot

import (
	"fmt"
	"math"
)

// Chart is an individuals and moving-range chart. Its limits are the values' own.
type Chart struct {
	Values    []float64 // in the order made or received
	Ranges    []float64 // Ranges[i] = |Values[i+1] - Values[i]|
	Centre    float64   // mean of the values
	MeanRange float64
	Sigma     float64 // MeanRange/d2: spread from one value to the next
	Lower     float64 // Centre - 3 Sigma
	Upper     float64
	RangeTop  float64 // D4 MeanRange; the lower limit of the ranges is 0
	Signals   []Signal
	Warnings  []string
}

// settledChart is how many values a chart should have before its limits are taken as settled
// (common practice, no source).
const settledChart = 20

// IndividualsChart draws up the chart of at least two finite values (NIST/SEMATECH e-Handbook
// 6.3.2.2, with d2 and D4 unrounded) and applies the run rules. Values that are all equal have no
// spread to judge by: the chart then has a warning and no signals.
func IndividualsChart(values []float64) (*Chart, error) {
	if len(values) < 2 {
		return nil, fmt.Errorf("a chart needs 2 or more values, there are %d", len(values))
	}
	if err := checkFinite(values); err != nil {
		return nil, err
	}
	c := &Chart{Values: values, Ranges: movingRanges(values)}
	c.Centre, _ = meanSD(values)
	c.MeanRange, _ = meanSD(c.Ranges)
	two := factorsOfTwo()
	c.Sigma = c.MeanRange / two.RangeMean
	c.Lower, c.Upper = c.Centre-3*c.Sigma, c.Centre+3*c.Sigma
	c.RangeTop = two.D4 * c.MeanRange
	if len(values) < settledChart {
		c.Warnings = append(c.Warnings, fmt.Sprintf("the limits rest on %d values: %d or more settle them", len(values), settledChart))
	}
	if c.MeanRange == 0 {
		c.Warnings = append(c.Warnings, "all values are equal: read them with a finer gauge to see a spread")
		return c, nil
	}
	c.Signals = append(RunRules(values, c.Centre, c.Sigma), rangeSignals(c.Ranges, c.RangeTop)...)
	return c, nil
}

// InControl reports that no rule was broken. A chart without spread is in control for want of
// anything against it; see its Warnings.
func (c *Chart) InControl() bool { return len(c.Signals) == 0 }

func movingRanges(values []float64) []float64 {
	r := make([]float64, len(values)-1)
	for i := range r {
		r[i] = math.Abs(values[i+1] - values[i])
	}
	return r
}

func checkFinite(values []float64) error {
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("value %d is %v: only finite numbers can be judged", i+1, v)
		}
	}
	return nil
}

// meanSD returns the mean and the standard deviation (n-1) in two passes; the standard deviation of
// fewer than two values is 0. Values that are all equal have exactly that mean and no deviation.
func meanSD(values []float64) (mean, sd float64) {
	if len(values) == 0 {
		return 0, 0
	}
	first, n := values[0], float64(len(values))
	var shift, squares float64
	for _, v := range values {
		shift += v - first
	}
	mean = first + shift/n
	if len(values) < 2 {
		return mean, 0
	}
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(squares / (n - 1))
}
