// Package lot answers questions about a delivery: is the supplier's process centred, steady and
// capable, are our gauges good enough to say so, how many kits pass, and which neck should go with
// which body. It takes plain numbers, knows no necks and imports nothing of ours. Acceptance by
// sampling is in lot/sampling.
//
// Values may be in any one unit (the program uses mm and degrees); standard deviations come back in
// that unit, indices and percentages have none. Bad data is an error. Data that says nothing, such
// as one value or values that are all equal, gives a result that says so in its Warnings.
package lot

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// Chart is an individuals and moving-range chart. Its limits are the values' own.
type Chart struct {
	Values    []float64 // in the order made or received
	Ranges    []float64 // Ranges[i] = |Values[i+1] - Values[i]|
	Centre    float64   // mean of the values
	MeanRange float64
	Sigma     float64 // MeanRange/d2: spread from one value to the next
	Reach     float64 // of the limits, in sigmas: what the rate of false alarms asks for
	Lower     float64 // Centre - Reach Sigma
	Upper     float64
	RangeTop  float64 // D4 MeanRange; the lower limit of the ranges is 0
	Signals   []Signal
	Warnings  []Warning
}

// Warning is what the reader of a result has to know. The zero Warning is none.
type Warning struct {
	Kind WarningKind
	N    int // values on which the result rests, for FewForLimits and FewForIndices
}

// WarningKind is a kind of warning.
type WarningKind uint8

// The warnings.
const (
	NoWarning         WarningKind = iota
	OneValue                      // has no spread
	AllEqual                      // all values are equal: too coarse a gauge to see a spread
	FewForLimits                  // fewer than SettledChart values
	FewForIndices                 // fewer than SettledIndices values
	NotSteady                     // the process is not: indices say nothing of the next lot
	NotNormal                     // nor are the values: shares and indices that rest on the normal distribution do not hold
	LimitsDiffer                  // from kit to kit, so that there are no indices
	LimitsWithoutRoom             // between them, likewise
	OnePerson                     // read everything in a gauge study
)

// SettledChart is how many values a chart should have before its limits are taken as settled
// (common practice, no source).
const SettledChart = 20

// IndividualsChart draws up the chart of at least two finite values (NIST/SEMATECH e-Handbook
// 6.3.2.2, with d2 and D4 unrounded) and looks for what a steady process does not do. Rate is the share of
// steady processes of this length that it may accuse: its limits are wide enough for that, and besides points
// beyond them it looks for a shift of level. A page of charts that may be wrong once in twenty gives each 0.05
// over their number. Values that are all equal have no spread to judge by: the chart then has a warning and no
// signals.
func IndividualsChart(values []float64, rate float64) (*Chart, error) {
	switch {
	case len(values) < 2:
		return nil, fmt.Errorf("a chart needs 2 or more values, there are %d", len(values))
	case !(rate > 0 && rate < 1):
		return nil, fmt.Errorf("a rate of false alarms of %g does not lie between 0 and 1", rate)
	}
	if err := checkFinite(values); err != nil {
		return nil, err
	}
	c := &Chart{Values: values, Ranges: make([]float64, len(values)-1)}
	for i := range c.Ranges {
		c.Ranges[i] = math.Abs(values[i+1] - values[i])
	}
	c.Centre, _ = MeanSD(values)
	c.MeanRange, _ = MeanSD(c.Ranges)
	two := factorsOfTwo()
	steady := thresholdsFor(len(values), rate)
	c.Sigma, c.Reach, c.RangeTop = c.MeanRange/two.RangeMean, steady.point, two.D4*c.MeanRange
	c.Lower, c.Upper = c.Centre-c.Reach*c.Sigma, c.Centre+c.Reach*c.Sigma
	if len(values) < SettledChart {
		c.Warnings = append(c.Warnings, Warning{Kind: FewForLimits, N: len(values)})
	}
	if c.MeanRange == 0 {
		c.Warnings = append(c.Warnings, Warning{Kind: AllEqual})
		return c, nil
	}
	c.Signals = c.unsteady(steady)
	return c, nil
}

func checkFinite(values []float64) error {
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("value %d is %v: only finite numbers can be judged", i+1, v)
		}
	}
	return nil
}

// MeanSD returns the mean and the standard deviation (n-1) in two passes; the standard deviation of
// fewer than two values is 0. Values that are all equal have exactly that mean and no deviation.
func MeanSD(values []float64) (mean, sd float64) {
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

// RunRule is a pattern that a steady process hardly ever shows.
type RunRule uint8

// The rules. The zero RunRule is none.
const (
	NoRunRule    RunRule = iota
	BeyondLimits         // one point beyond the chart's limits
	LevelShift           // the mean differs before and after a point
)

// Signal is one breaking of a rule.
type Signal struct {
	Rule   RunRule
	Points []int   // indices of the values that break it, ascending; of a LevelShift the first value of the new level
	Step   float64 // of a LevelShift: the mean from there on less that before; else 0
}

// MaxSubgroup is the largest sample that Factors are given for: the range of more than 25 values
// is a poor measure of spread, and the published tables end there too.
const MaxSubgroup = 25

// Factors are the control-chart factors for samples of N independent normal values.
type Factors struct {
	N         int
	RangeMean float64 // d2: mean of the range over sigma
	RangeSD   float64 // d3: standard deviation of the range over sigma
	D4        float64 // upper limit of a range over the mean range
}

// FactorsFor computes the factors for samples of n values, 2 <= n <= MaxSubgroup; it panics on
// other n. d2 and d3 are the first two moments of the range (L. H. C. Tippett 1925); D4 follows as in
// ASTM MNL 7.
func FactorsFor(n int) Factors {
	if n < 2 || n > MaxSubgroup {
		panic("lot: control-chart factors are for 2 to 25 values")
	}
	d2, d3 := rangeMoments(n, rangePoints)
	return Factors{N: n, RangeMean: d2, RangeSD: d3, D4: 1 + 3*d3/d2}
}

// factorsOfTwo serves the moving ranges; worked out once.
var factorsOfTwo = sync.OnceValue(func() Factors { return FactorsFor(2) })

// sdMean is the mean of chi/sqrt(nu) with nu degrees of freedom, which need not be whole: c4 of a
// standard deviation that has nu of them.
func sdMean(nu float64) float64 {
	above, _ := math.Lgamma((nu + 1) / 2)
	below, _ := math.Lgamma(nu / 2)
	return math.Sqrt(2/nu) * math.Exp(above-below)
}

// normalReach is where the normal distribution is cut off: less than 1e-16 lies beyond it.
const normalReach = 8.3

// rangePoints is the number of Gauss-Legendre points in each direction. With it d2 and d3 agree to
// better than 1e-9 with twice as many points for every n up to MaxSubgroup (see the test).
const rangePoints = 96

// rangeMoments returns mean and standard deviation of the range of n standard normal values, from
// its distribution function F: E[w] = integral of 1-F, E[w^2] = integral of 2w(1-F). F(w) is n times the
// integral of phi(x) [Phi(x+w) - Phi(x)]^(n-1) over x, the smallest value (H. O. Hartley 1942).
func rangeMoments(n, points int) (mean, sd float64) {
	x, wx := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(x, wx, -normalReach, normalReach)
	w, ww := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(w, ww, 0, 2*normalReach)
	var second float64
	for i := range w {
		var sum float64
		for k := range x {
			sum += wx[k] * normalPDF(x[k]) * math.Pow(normalCDF(x[k]+w[i])-normalCDF(x[k]), float64(n-1))
		}
		beyond := 1 - float64(n)*sum
		mean += ww[i] * beyond
		second += ww[i] * 2 * w[i] * beyond
	}
	return mean, math.Sqrt(second - mean*mean)
}

func normalPDF(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }

func normalCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
