package lot

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Index is a capability index with its confidence limits; all zero when not Known.
type Index struct {
	Known            bool
	Value, Low, High float64
}

// Capability compares a process's spread and centre with its limits. Cp and Pp need both limits;
// with one limit only Cpk and Ppk are known.
type Capability struct {
	N         int
	Mean      float64
	SDOverall float64 // of all values together, n-1
	SDWithin  float64 // from one value to the next: mean moving range / d2
	Cp, Cpk   Index   // with SDWithin: what the process could do if it held its centre
	Pp, Ppk   Index   // with SDOverall: what it did
	Warnings  []Warning
}

// SettledIndices is where indices are still too uncertain to speak of capability: below it the 95 %
// limits of Pp are further than 28 % from it. The number is common practice, no source.
const SettledIndices = 25

// NewCapability judges values, in the order made or received, against limits; an open end is an
// infinity, level the confidence of the limits of each index. Formulas: NIST/SEMATECH e-Handbook 6.1.6;
// confidence limits by chi-square for Cp and Pp and by noncentral t for Cpk and Ppk, as told at widthIndex
// and nearestIndex; those of Cp and Cpk are approximate (see withinSpread). One value, or values that are all
// equal, have no indices, and a warning. Whether the values are steady and normal, without which an index says
// little, is for the caller to ask.
func NewCapability(values []float64, lower, upper, level float64) (*Capability, error) {
	if err := checkCapabilityArguments(values, lower, upper, level); err != nil {
		return nil, err
	}
	c := &Capability{N: len(values)}
	c.Mean, c.SDOverall = MeanSD(values)
	switch {
	case c.N == 1:
		c.Warnings = []Warning{{Kind: OneValue}}
		return c, nil
	case c.SDOverall == 0:
		c.Warnings = []Warning{{Kind: AllEqual}}
		return c, nil
	case c.N < SettledIndices:
		c.Warnings = []Warning{{Kind: FewForIndices, N: c.N}}
	}
	for i := range c.N - 1 {
		c.SDWithin += math.Abs(values[i+1]-values[i]) / float64(c.N-1) / factorsOfTwo().RangeMean
	}
	tail := (1 - level) / 2
	overall, within := overallSpread(c.N, c.SDOverall), withinSpread(c.N, c.SDWithin)
	c.Pp, c.Ppk = overall.widthIndex(lower, upper, tail), overall.nearestIndex(c.N, c.Mean, lower, upper, tail)
	c.Cp, c.Cpk = within.widthIndex(lower, upper, tail), within.nearestIndex(c.N, c.Mean, lower, upper, tail)
	return c, nil
}

func checkCapabilityArguments(values []float64, lower, upper, level float64) error {
	switch {
	case len(values) == 0:
		return errors.New("capability needs values, there are none")
	case math.IsNaN(lower) || math.IsNaN(upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1):
		return fmt.Errorf("limits %v and %v are not limits", lower, upper)
	case math.IsInf(lower, -1) && math.IsInf(upper, 1):
		return errors.New("capability needs at least one limit")
	case lower >= upper:
		return fmt.Errorf("lower limit %g must be below upper limit %g", lower, upper)
	case !(level > 0 && level < 1):
		return fmt.Errorf("confidence level %g must lie between 0 and 1", level)
	}
	return checkFinite(values)
}

// spread is an estimate of sigma that is distributed as bias * sigma * chi/sqrt(nu).
type spread struct {
	sd, bias, nu float64
}

// overallSpread is the standard deviation of n values: exactly so, with n-1 degrees of freedom.
func overallSpread(n int, sd float64) spread { return spread{sd, 1, float64(n - 1)} }

// withinSpread is the mean of n-1 overlapping moving ranges over d2. Its mean is sigma; its variance
// over sigma^2 is V below, from the exact variance and covariance of |x1-x2| and |x2-x3| for normal
// values (the closed form behind J. D. Cryer, T. P. Ryan, J. Quality Technology 22 (1990) 187). It is
// taken as a scaled chi with the same first two moments (P. B. Patnaik, Biometrika 37 (1950) 78). That
// is exact for n = 2 and else an approximation: in 40000 simulations each of 3, 5, 10, 25 and 50 values,
// limits of 95 % left out 4.3 to 4.8 % in all, and 1.3 to 3.3 % at one end.
func withinSpread(n int, sd float64) spread {
	steps := float64(n - 1)
	own := math.Pi/2 - 1
	neighbours := math.Sqrt(3)/2 + math.Pi/12 - 1
	v := (steps*own + 2*(steps-1)*neighbours) / (steps * steps)
	bias := math.Sqrt(1 + v)
	f := func(nu float64) float64 { return sdMean(nu) - 1/bias }
	return spread{sd, bias, root(f, 0.5, 2+4/v, quantileTolerance)}
}

// scale returns the factors of sd between which sigma's inverse lies: sigma = sd/factor, with
// probability tail beyond either.
func (s spread) scale(tail float64) Interval {
	chi := distuv.ChiSquared{K: s.nu}
	return Interval{
		Low:  s.bias * math.Sqrt(chi.Quantile(tail)/s.nu),
		High: s.bias * math.Sqrt(chi.Quantile(1-tail)/s.nu),
	}
}

// widthIndex is (upper - lower)/(6 sd), with chi-square limits (NIST/SEMATECH e-Handbook 6.1.6).
func (s spread) widthIndex(lower, upper, tail float64) Index {
	if math.IsInf(upper-lower, 1) || s.sd == 0 {
		return Index{}
	}
	value, f := (upper-lower)/(6*s.sd), s.scale(tail)
	return Index{Known: true, Value: value, Low: value * f.Low, High: value * f.High}
}

// nearestIndex is the distance from the mean to the nearer limit over 3 sd, negative beyond it.
//
// For one limit, 3 sqrt(n) times the estimate is noncentral t, and the confidence limits are its
// exact inversion. With two limits the same is done for the nearer. The low end then fails no more often
// than it says, because the estimate never exceeds that of either limit taken alone. The high end fails
// at most twice as often, because one of two limits must fail; a process midway comes near that.
func (s spread) nearestIndex(n int, mean, lower, upper, tail float64) Index {
	if s.sd == 0 {
		return Index{}
	}
	value := math.Min(mean-lower, upper-mean) / (3 * s.sd)
	unit := 3 * math.Sqrt(float64(n))
	t := unit * value * s.bias
	return Index{
		Known: true, Value: value,
		Low:  noncentralityAt(t, s.nu, 1-tail) / unit,
		High: noncentralityAt(t, s.nu, tail) / unit,
	}
}

// Parts splits the variance of measured values into the product's own and the measurement's.
type Parts struct {
	Total       float64  // standard deviation of the values
	Measurement float64  // root mean square of their standard uncertainties
	Product     float64  // what is left: sqrt(max(0, Total^2 - Measurement^2))
	Range       Interval // of Product, with confidence
	MostlyGauge bool     // Measurement is more than half of the variance
}

// SeparateMeasurement takes n >= 2 values and the standard uncertainty of each, and returns what of
// their spread is the product's. The uncertainties must hold only what differs from value to value:
// an error that all values share, such as one gauge's maximum error, does not widen them. The range
// takes the uncertainties as known and Total's chi-square limits at level, the confidence.
func SeparateMeasurement(values, uncertainties []float64, level float64) (Parts, error) {
	if len(values) != len(uncertainties) {
		panic("lot: values and uncertainties differ in number")
	}
	if len(values) < 2 {
		return Parts{}, fmt.Errorf("a spread needs 2 or more values, there are %d", len(values))
	}
	if err := errors.Join(checkFinite(values), checkFinite(uncertainties)); err != nil {
		return Parts{}, err
	}
	if !(level > 0 && level < 1) {
		return Parts{}, fmt.Errorf("confidence level %g must lie between 0 and 1", level)
	}
	var noise float64
	for i, u := range uncertainties {
		if u < 0 {
			return Parts{}, fmt.Errorf("standard uncertainty %d is negative: %g", i+1, u)
		}
		noise += u * u / float64(len(uncertainties))
	}
	_, sd := MeanSD(values)
	left := func(total float64) float64 { return math.Sqrt(math.Max(0, total*total-noise)) }
	f := overallSpread(len(values), sd).scale((1 - level) / 2)
	return Parts{
		Total: sd, Measurement: math.Sqrt(noise), Product: left(sd),
		Range:       Interval{left(sd / f.High), left(sd / f.Low)},
		MostlyGauge: noise > sd*sd/2,
	}, nil
}

// Ppk is the index of the product alone, the measurement's share of the spread taken out: the distance from the
// mean of n values to the nearer limit over three times Product. The standard uncertainty that all values share,
// common, spreads nothing; it widens the limits of confidence by what the mean may be off. These hold at level at
// the least: the mean and the spread are each given half of what may be missed (Bonferroni). Where the
// measurement accounts for all of the spread, Value is infinite, and Low alone says something.
func (p Parts) Ppk(n int, mean, common, lower, upper, level float64) Index {
	tail := (1 - level) / 4
	f := overallSpread(n, p.Total).scale(tail)
	left := func(total float64) float64 { return math.Sqrt(math.Max(0, total*total-p.Measurement*p.Measurement)) }
	least, most := left(p.Total/f.High), left(p.Total/f.Low)
	half := math.Hypot(
		distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(1-tail)*p.Total/math.Sqrt(float64(n)),
		distuv.UnitNormal.Quantile(1-tail)*common,
	)
	distance := math.Min(mean-lower, upper-mean)
	over := func(d, small, large float64) float64 { // a mean beyond its limit is the farther from it the smaller the spread
		if d < 0 {
			small = large
		}
		return d / (3 * small)
	}
	return Index{
		Known: p.Total > 0, Value: over(distance, p.Product, p.Product),
		Low: over(distance-half, most, least), High: over(distance+half, least, most),
	}
}

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
