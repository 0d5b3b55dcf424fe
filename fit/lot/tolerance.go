package lot

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

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
	f := func(z float64) float64 {
		r := halfWidth(z/math.Sqrt(float64(n)), coverage) / k
		return 2 * normalPDF(z) * chi.Survival(nu*r*r)
	}
	return quad.Fixed(f, 0, toleranceReach, tolerancePoints, quad.Legendre{}, 0)
}

// halfWidth is the r for which a standard normal value lies within r of offset with probability
// coverage.
func halfWidth(offset, coverage float64) float64 {
	f := func(r float64) float64 { return normalCDF(offset+r) - normalCDF(offset-r) - coverage }
	z := distuv.UnitNormal.Quantile((1 + coverage) / 2)
	return root(f, 0, math.Abs(offset)+z+1, quantileTolerance)
}
