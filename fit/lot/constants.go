package lot

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// MaxSubgroup is the largest sample that Factors are given for: the range of more than 25 values
// is a poor measure of spread, and the published tables end there too.
const MaxSubgroup = 25

// Factors are the control-chart factors for samples of N independent normal values.
type Factors struct {
	N         int
	RangeMean float64 // d2: mean of the range over sigma
	RangeSD   float64 // d3: standard deviation of the range over sigma
	SDMean    float64 // c4: mean of the sample standard deviation over sigma
	A2, A3    float64 // limits of means from ranges, from standard deviations
	B3, B4    float64 // limits of standard deviations
	D3, D4    float64 // limits of ranges
}

// FactorsFor computes the factors for samples of n values, 2 <= n <= MaxSubgroup; it panics on
// other n. d2 and d3 are the first two moments of the range (L. H. C. Tippett 1925), c4 is in
// closed form; the others follow as in ASTM MNL 7.
func FactorsFor(n int) Factors {
	if n < 2 || n > MaxSubgroup {
		panic("lot: control-chart factors are for 2 to 25 values")
	}
	d2, d3 := rangeMoments(n)
	c4 := sdMean(float64(n - 1))
	root := math.Sqrt(float64(n))
	spreadS, spreadR := 3*math.Sqrt(1-c4*c4)/c4, 3*d3/d2
	return Factors{
		N: n, RangeMean: d2, RangeSD: d3, SDMean: c4,
		A2: 3 / (d2 * root), A3: 3 / (c4 * root),
		B3: math.Max(0, 1-spreadS), B4: 1 + spreadS,
		D3: math.Max(0, 1-spreadR), D4: 1 + spreadR,
	}
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
// its distribution function F: E[w] = integral of 1-F, E[w^2] = integral of 2w(1-F).
func rangeMoments(n int) (mean, sd float64) { return rangeMomentsWith(n, rangePoints) }

func rangeMomentsWith(n, points int) (mean, sd float64) {
	x, wx := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(x, wx, -normalReach, normalReach)
	w, ww := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(w, ww, 0, 2*normalReach)
	var second float64
	for i := range w {
		beyond := 1 - rangeCDF(w[i], n, x, wx)
		mean += ww[i] * beyond
		second += ww[i] * 2 * w[i] * beyond
	}
	return mean, math.Sqrt(second - mean*mean)
}

// rangeCDF is P(range <= w): n times the integral of phi(x) [Phi(x+w) - Phi(x)]^(n-1) over x, the
// smallest value (H. O. Hartley 1942), with the points and weights given.
func rangeCDF(w float64, n int, x, weight []float64) float64 {
	var sum float64
	for i := range x {
		sum += weight[i] * normalPDF(x[i]) * math.Pow(normalCDF(x[i]+w)-normalCDF(x[i]), float64(n-1))
	}
	return float64(n) * sum
}

func normalPDF(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }

func normalCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
