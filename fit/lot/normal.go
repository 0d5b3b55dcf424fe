package lot

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Normality is the test of S. S. Shapiro and M. B. Wilk (Biometrika 52 (1965) 591).
type Normality struct {
	W float64 // 1 for values that lie as normal ones are expected to
	P float64 // how often normal values would have no larger W
}

// Sizes for which the approximations to the law of W hold.
const fewestForW, mostForW = 4, 5000

// ShapiroWilk tests values by the approximations of P. Royston (Statistics and Computing 2 (1992) 117; Applied
// Statistics 44 (1995) 547, algorithm AS R94); ok is false for fewer than 4 values, for more than 5,000, and
// for values that are all equal.
func ShapiroWilk(values []float64) (t Normality, ok bool) {
	n := len(values)
	mean, sd := MeanSD(values)
	if n < fewestForW || n > mostForW || sd == 0 {
		return t, false
	}
	x := slices.Sorted(slices.Values(values))
	sum := 0.0
	for i, a := range wilkWeights(n) {
		sum += a * (x[n-1-i] - x[i])
	}
	t.W = min(1, sum*sum/(sd*sd*float64(n-1)))
	t.P = 1 - normalCDF(wilkScore(math.Log(1-t.W), float64(n)))
	if math.IsNaN(mean) || math.IsNaN(t.P) {
		return t, false
	}
	return t, true
}

// wilkWeights are those of the differences of the largest and smallest values, the outermost first: the
// expected normal scores (G. Blom 1958), the outer one or two by Royston's polynomials, all with squares that
// add up to one over both sides.
func wilkWeights(n int) []float64 {
	weights, squares := make([]float64, n/2), 0.0
	for i := range weights {
		weights[i] = -distuv.UnitNormal.Quantile((float64(i) + 5.0/8) / (float64(n) + 1.0/4))
		squares += 2 * weights[i] * weights[i]
	}
	root := 1 / math.Sqrt(float64(n))
	outer := []float64{polynomial(root, weights[0]/math.Sqrt(squares), 0.221157, -0.147981, -2.071190, 4.434685, -2.706056)}
	if n > 5 {
		outer = append(outer, polynomial(root, weights[1]/math.Sqrt(squares), 0.042981, -0.293762, -1.752461, 5.682633, -3.582633))
	}
	left, rest := 1.0, squares
	for i, a := range outer {
		left, rest = left-2*a*a, rest-2*weights[i]*weights[i]
	}
	for i := range weights {
		weights[i] *= math.Sqrt(left / rest)
	}
	copy(weights, outer)
	return weights
}

// wilkScore turns y = ln(1-W) of n values into a standard normal score, large for values that are not normal.
func wilkScore(y, n float64) float64 {
	if n <= 11 {
		most := -2.273 + 0.459*n
		if y >= most {
			return math.Inf(1)
		}
		y = -math.Log(most - y)
		return (y - polynomial(n, 0.5440, -0.39978, 0.025054, -0.0006714)) / math.Exp(polynomial(n, 1.3822, -0.77857, 0.062767, -0.0020322))
	}
	l := math.Log(n)
	return (y - polynomial(l, -1.5861, -0.31082, -0.083751, 0.0038915)) / math.Exp(polynomial(l, -0.4803, -0.082676, 0.0030302))
}

// polynomial has its coefficients in rising order.
func polynomial(x float64, coefficients ...float64) (y float64) {
	for _, c := range slices.Backward(coefficients) {
		y = y*x + c
	}
	return y
}
