package lot

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a range of values with closed ends.
type Interval struct {
	Low, High float64
}

// Proportion returns the exact two-sided confidence interval of a proportion after seeing hits in
// n independent trials (C. J. Clopper, E. S. Pearson 1934); level is the confidence, between 0 and 1.
// No trials leave everything possible: 0 to 1.
func Proportion(hits, n int, level float64) (Interval, error) {
	if hits < 0 || n < hits {
		return Interval{}, fmt.Errorf("%d out of %d is not a proportion", hits, n)
	}
	if !(level > 0 && level < 1) {
		return Interval{}, fmt.Errorf("confidence level %g must lie between 0 and 1", level)
	}
	p := Interval{0, 1}
	tail := (1 - level) / 2
	if hits > 0 {
		p.Low = mathext.InvRegIncBeta(float64(hits), float64(n-hits+1), tail)
	}
	if hits < n {
		p.High = mathext.InvRegIncBeta(float64(hits+1), float64(n-hits), 1-tail)
	}
	return p, nil
}

// Yield is the share of kits that pass at first measurement.
type Yield struct {
	Pass, Fail, Unsure int
	Known              bool     // some kit was judged
	Share              Interval // of these kits: every unsure one failing, every unsure one passing
	Process            Interval // of the process behind them, with confidence, unsure kits taken both ways
}

// FirstPassYield counts the kits; unsure are those of which nobody knows whether they are good, for want of
// readings or of finer gauges. The interval for the process holds whatever the unsure kits turn out to be: its low end counts them
// as failing, its high end as passing. Without kits, Known is false and both intervals are 0 to 1.
func FirstPassYield(pass, fail, unsure int, level float64) (Yield, error) {
	if pass < 0 || fail < 0 || unsure < 0 {
		return Yield{}, fmt.Errorf("counts %d, %d, %d must not be negative", pass, fail, unsure)
	}
	n := pass + fail + unsure
	worst, err := Proportion(pass, n, level)
	if err != nil {
		return Yield{}, err
	}
	best, err := Proportion(pass+unsure, n, level)
	if err != nil {
		return Yield{}, err
	}
	y := Yield{Pass: pass, Fail: fail, Unsure: unsure, Known: n != 0, Share: Interval{0, 1}}
	y.Process = Interval{worst.Low, best.High}
	if y.Known {
		y.Share = Interval{float64(pass) / float64(n), float64(pass+unsure) / float64(n)}
	}
	return y, nil
}

// OneSidedFactor returns k such that mean + k s (or mean - k s) of n >= 2 normal values leaves at
// least the share coverage of the process on its inner side with the given confidence (both between
// 0 and 1). Exact: k sqrt(n) is the quantile of noncentral t with n-1 degrees of freedom and
// noncentrality z sqrt(n) (M. G. Natrella, NBS Handbook 91, chapter 2; ISO 16269-6).
func OneSidedFactor(n int, coverage, confidence float64) (float64, error) {
	if err := checkToleranceArguments(n, coverage, confidence); err != nil {
		return 0, err
	}
	root := math.Sqrt(float64(n))
	z := distuv.UnitNormal.Quantile(coverage)
	return noncentralTQuantile(confidence, float64(n-1), z*root) / root, nil
}

// TwoSidedFactor returns k such that mean -/+ k s of n >= 2 normal values holds at least the share
// coverage of the process between its ends with the given confidence (both between 0 and 1). Exact
// by quadrature over the error of the mean (R. E. Odeh, D. B. Owen 1980; ISO 16269-6).
func TwoSidedFactor(n int, coverage, confidence float64) (float64, error) {
	if err := checkToleranceArguments(n, coverage, confidence); err != nil {
		return 0, err
	}
	f := func(k float64) float64 { return twoSidedConfidence(n, k, coverage) - confidence }
	low, high := 0.0, 4.0
	for f(high) < 0 {
		low, high = high, 2*high
	}
	return root(f, low, high, quantileTolerance*high), nil
}

func checkToleranceArguments(n int, coverage, confidence float64) error {
	if n < 2 {
		return fmt.Errorf("a tolerance factor needs 2 or more values, there are %d", n)
	}
	if !(coverage > 0 && coverage < 1 && confidence > 0 && confidence < 1) {
		return fmt.Errorf("coverage %g and confidence %g must lie between 0 and 1", coverage, confidence)
	}
	return nil
}

// toleranceReach cuts off the error of the mean, in its standard deviations: 2e-14 lies beyond.
const toleranceReach = 7.6

// tolerancePoints of Gauss-Legendre over the error of the mean; the integrand is smooth.
const tolerancePoints = 64

// twoSidedConfidence is the probability that mean -/+ k s covers: the mean over its error z/sqrt(n)
// of P(k s >= r), where r is half the width about that mean that covers just enough.
func twoSidedConfidence(n int, k, coverage float64) float64 {
	if k == 0 {
		return 0
	}
	nu := float64(n - 1)
	chi := distuv.ChiSquared{K: nu}
	within := distuv.UnitNormal.Quantile((1 + coverage) / 2) // half the width where the mean has no error
	f := func(z float64) float64 {
		offset := z / math.Sqrt(float64(n))
		beside := func(r float64) float64 { return normalCDF(offset+r) - normalCDF(offset-r) - coverage }
		r := root(beside, 0, math.Abs(offset)+within+1, quantileTolerance) / k
		return 2 * normalPDF(z) * chi.Survival(nu*r*r)
	}
	return quad.Fixed(f, 0, toleranceReach, tolerancePoints, quad.Legendre{}, 0)
}

// noncentralTCDF returns P(T <= t) for T = (Z + delta)/S, where Z is standard normal and S is
// chi/sqrt(nu) with nu >= 1 degrees of freedom, which need not be whole.
//
// It is the mean of Phi(t S - delta) over S, by Gauss-Legendre on panels in ln S; the absolute error
// stays below 1e-10 (tested against AS 243, Lenth 1989, where that series holds). The usual series
// underflows near delta = 37, which 100 values of a process with Cpk 1.3 already reach.
func noncentralTCDF(t, nu, delta float64) float64 {
	switch {
	case t < 0:
		return 1 - noncentralTCDF(-t, nu, -delta)
	case t == 0:
		return normalCDF(-delta)
	}
	logScale := logSDScale(nu)
	f := func(x float64) float64 {
		density := math.Exp(logScale + nu*x - nu/2*math.Exp(2*x))
		return density * normalCDF(t*math.Exp(x)-delta)
	}
	var sum float64
	breaks := noncentralTBreaks(t, nu, delta)
	for i := 1; i < len(breaks); i++ {
		sum += quad.Fixed(f, breaks[i-1], breaks[i], noncentralTPoints, quad.Legendre{}, 0)
	}
	return math.Min(sum, 1)
}

// noncentralTPoints on a panel, no wider than two standard deviations of ln S.
const noncentralTPoints = 12

// logSDScale is the logarithm of the factor of the density of x = ln S, which is
// scale * exp(nu x - nu exp(2x)/2).
func logSDScale(nu float64) float64 {
	g, _ := math.Lgamma(nu / 2)
	return (1-nu/2)*math.Ln2 + nu/2*math.Log(nu) - g
}

// logTail is ln(1e-15), the probability that is left out at each end.
const logTail = -34.5

// noncentralTBreaks are the ends of the panels in ln S: even ones over all but a negligible part of
// S, and closer ones where Phi(t S - delta) climbs.
func noncentralTBreaks(t, nu, delta float64) []float64 {
	// P(S < s) <= scale s^nu/nu at the low end; chi exceeds sqrt(nu)+z with less than exp(-z^2/2).
	low := (logTail + math.Log(nu) - logSDScale(nu)) / nu
	high := math.Log1p(math.Sqrt(-2*logTail) / math.Sqrt(nu))
	count := math.Ceil((high - low) * math.Sqrt(nu/2))
	var breaks []float64
	for i := 0.0; i <= count; i++ {
		breaks = append(breaks, low+(high-low)*i/count)
	}
	for _, z := range []float64{-8, -4, -2, -1, 0, 1, 2, 4, 8} {
		if s := (delta + z) / t; s > 0 && math.Log(s) > low && math.Log(s) < high {
			breaks = append(breaks, math.Log(s))
		}
	}
	sort.Float64s(breaks)
	return breaks
}

// rootSteps halves any bracket that fits a float64 down to its last digits.
const rootSteps = 200

// root finds where f, which changes sign between low and high, does so; by the Illinois variant
// of false position (Dowell, Jarratt 1971), to within tolerance in the argument. It panics where
// the two ends have the same sign.
func root(f func(float64) float64, low, high, tolerance float64) float64 {
	fl, fh := f(low), f(high)
	if fl*fh > 0 {
		panic("lot: root is not bracketed")
	}
	for step := 0; step < rootSteps && math.Abs(high-low) > tolerance; step++ {
		x := (low*fh - high*fl) / (fh - fl)
		if step%4 == 3 || !(x > math.Min(low, high) && x < math.Max(low, high)) {
			x = (low + high) / 2 // keeps the bracket shrinking from both sides
		}
		fx := f(x)
		switch {
		case fx == 0:
			return x
		case fx*fh < 0:
			low, fl = high, fh
		default:
			fl /= 2
		}
		high, fh = x, fx
	}
	return (low + high) / 2
}

// noncentralityAt returns the delta at which P(T <= t) is p; P falls as delta grows.
func noncentralityAt(t, nu, p float64) float64 {
	f := func(delta float64) float64 { return noncentralTCDF(t, nu, delta) - p }
	step := 1 + math.Abs(t) // any will do: it is repeated
	low, high := t, t
	for f(low) < 0 {
		low -= step
	}
	for f(high) > 0 {
		high += step
	}
	return root(f, low, high, quantileTolerance*(1+math.Abs(t)))
}

// noncentralTQuantile returns the t at which P(T <= t) is p.
func noncentralTQuantile(p, nu, delta float64) float64 {
	f := func(t float64) float64 { return noncentralTCDF(t, nu, delta) - p }
	step := 1 + math.Abs(delta) // any will do: it grows
	low, high := delta, delta
	for ; f(low) > 0; step += step {
		low -= step
	}
	for ; f(high) < 0; step += step {
		high += step
	}
	return root(f, low, high, quantileTolerance*(1+math.Abs(delta)))
}

// quantileTolerance is relative: far below the four digits that are printed of any limit or factor,
// and above what the error of the distribution function leaves.
const quantileTolerance = 1e-9
