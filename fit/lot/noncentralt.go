package lot

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/integrate/quad"
)

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
	breaks := make([]float64, 0, int(count)+11)
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
	step := 4 + 4*math.Abs(t)/math.Sqrt(2*nu) // several standard deviations of T about its middle
	low, high := t-step, t+step
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
	step := 4 + 4*math.Abs(delta)/math.Sqrt(2*nu)
	low, high := delta-step, delta+step
	for f(low) > 0 {
		low -= step
		step *= 2
	}
	for f(high) < 0 {
		high += step
		step *= 2
	}
	return root(f, low, high, quantileTolerance*(1+math.Abs(delta)))
}

// quantileTolerance is relative: far below the four digits that are printed of any limit or factor,
// and above what the error of the distribution function leaves.
const quantileTolerance = 1e-9
