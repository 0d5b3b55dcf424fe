package lot

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Whatever is refused is named by its place, from 1, and its value.
func TestRefusalsNameThePlace(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	of := func(_ any, err error) error { return err }
	two := func(values ...float64) (readings []GaugeReading) {
		for i, v := range values {
			readings = append(readings, GaugeReading{fmt.Sprint(i / 2 % 2), "A", v})
		}
		return readings
	}
	for _, c := range []struct {
		err  error
		want string
	}{
		{of(Assign(nil)), "nothing to match: the table of costs is empty"}, {of(Assign([][]float64{{}})), "nothing to match: the table of costs is empty"},
		{of(Assign([][]float64{{1, 2}, {3, 4}, {5}})), "row 3 has 1 costs, the first has 2"},
		{of(Assign([][]float64{{1, 2}, {3, nan}})), "cost of row 2, column 2 is NaN"}, {of(Assign([][]float64{{-inf}})), "cost of row 1, column 1 is -Inf"},
		{of(IndividualsChart([]float64{1, 2, inf}, 0.05)), "value 3 is +Inf: only finite numbers can be judged"},
		{of(IndividualsChart([]float64{1}, 0.05)), "a chart needs 2 or more values, there are 1"},
		{of(SeparateMeasurement([]float64{1, 2}, []float64{0.1, -1}, 0.9)), "standard uncertainty 2 is negative: -1"},
		{of(SeparateMeasurement([]float64{1}, []float64{1}, 0.9)), "a spread needs 2 or more values, there are 1"},
		{of(SeparateMeasurement([]float64{1, 2}, []float64{0, 0}, 0)), "confidence level 0 must lie between 0 and 1"},
		{of(SeparateMeasurement([]float64{1, 2}, []float64{0, 0}, 1)), "confidence level 1 must lie between 0 and 1"},
		{of(FirstPassYield(-1, 0, 0, 0.9)), "counts -1, 0, 0 must not be negative"}, {of(FirstPassYield(0, -1, 0, 0.9)), "counts 0, -1, 0 must not be negative"},
		{of(FirstPassYield(0, 0, -1, 0.9)), "counts 0, 0, -1 must not be negative"}, {of(FirstPassYield(2, 0, 1, 1)), "confidence level 1 must lie between 0 and 1"},
		{of(OneSidedFactor(1, 0.9, 0.9)), "a tolerance factor needs 2 or more values, there are 1"},
		{of(TwoSidedFactor(2, 0, 0.9)), "coverage 0 and confidence 0.9 must lie between 0 and 1"}, {of(TwoSidedFactor(2, 1, 0.9)), "coverage 1 and confidence 0.9 must lie between 0 and 1"},
		{of(OneSidedFactor(2, 0.9, 0)), "coverage 0.9 and confidence 0 must lie between 0 and 1"}, {of(OneSidedFactor(2, 0.9, 1)), "coverage 0.9 and confidence 1 must lie between 0 and 1"},
		{of(NewTrend([]float64{1, 2}, 0.9)), "a trend needs 3 or more values, there are 2"}, {of(NewTrend([]float64{1, 2, 3}, 1)), "a confidence lies between 0 and 1"},
		{of(NewTrend([]float64{1, 2, 3}, 0)), "a confidence lies between 0 and 1"}, {of(NewTrend([]float64{1, nan, 3}, 0.9)), "value 2 is NaN: only finite numbers can be judged"},
		{of(NewCapability([]float64{1, 2}, 3, 2, 0.9)), "lower limit 3 must be below upper limit 2"}, {of(NewCapability([]float64{1, 2}, inf, inf, 0.9)), "limits +Inf and +Inf are not limits"},
		{of(NewCapability([]float64{1, 2}, -inf, -inf, 0.9)), "limits -Inf and -Inf are not limits"}, {of(NewCapability([]float64{1, 2}, 0, 2, 0)), "confidence level 0 must lie between 0 and 1"},
		{of(GaugeANOVA(two(1, 2, 3, nan), 0)), "reading 4 is NaN: only finite numbers can be judged"},
		{of(GaugeANOVA(two(1, 2), 0)), "a gauge study needs 2 or more parts and 2 or more trials of each, there are 1 and 2"},
		{of(GaugeANOVA(two(1, 2, 3), 0)), `unbalanced gauge study: "A" read part "1" 1 times, "A" read part "0" 2 times; every person must read every part equally often`},
		{of(GaugeANOVA(two(1, 2, 3, 4), inf)), "tolerance +Inf must be a positive width, or 0 for none"},
		{of(GaugeANOVA(two(1, 2, 3, 4), nan)), "tolerance NaN must be a positive width, or 0 for none"},
	} {
		if fmt.Sprint(c.err) != c.want {
			t.Errorf("got %v, want %s", c.err, c.want)
		}
	}
	if s, err := GaugeANOVA(two(1, 2, 3, 5), 0); err != nil || s.Parts != 2 || s.Trials != 2 || s.Appraisers != 1 {
		t.Errorf("the least study: %+v, %v", s, err)
	}
	many := func(parts int) (readings []GaugeReading) {
		for i := range 2 * parts {
			readings = append(readings, GaugeReading{fmt.Sprint(i / 2), "A", float64(i)})
		}
		return readings
	}
	if _, err := GaugeAverageRange(many(25), 0); err != nil {
		t.Error(err)
	}
	if _, err := GaugeAverageRange(many(26), 0); err == nil {
		t.Error("26 parts have no factor")
	}
}

// By hand: 1 2 3 4 has the mean 2.5 and the squares 2.25 + 0.25 twice, over 3.
func TestMeanSDByHand(t *testing.T) {
	for _, c := range []struct {
		values   []float64
		mean, sd float64
	}{{nil, 0, 0}, {[]float64{3}, 3, 0}, {[]float64{1, 2, 3, 4}, 2.5, math.Sqrt(5.0 / 3)}, {[]float64{0.1, 0.1, 0.1}, 0.1, 0}, {[]float64{-1, 1}, 0, math.Sqrt2}} {
		if mean, sd := MeanSD(c.values); mean != c.mean || math.Abs(sd-c.sd) > 1e-15 {
			t.Errorf("%v: %v, %v", c.values, mean, sd)
		}
	}
}

// The largest change of level is that of the largest t of two samples with one standard deviation, worked out for each
// place by itself, a quarter of the values at the least on either side.
func TestLargestShiftAgainstEveryT(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 13))
	for trial := range 300 {
		values := normalSample(rng, 4+trial%17, 3, 0.5)
		for i := range values {
			if i >= len(values)/2 {
				values[i] += float64(trial%3) - 1
			}
		}
		n, where, most := float64(len(values)), 0, 0.0
		for k := 1; k < len(values); k++ {
			before, after := values[:k], values[k:]
			if 4*len(before) < len(values) || 4*len(after) < len(values) {
				continue
			}
			m1, s1 := MeanSD(before)
			m2, s2 := MeanSD(after)
			b, a := float64(len(before)), float64(len(after))
			pooled := math.Sqrt((s1*s1*(b-1) + s2*s2*(a-1)) / (n - 2))
			if d := math.Abs(m2-m1) / (pooled * math.Sqrt(1/b+1/a)); d > most {
				where, most = k, d
			}
		}
		if first, size := largestShift(values); first != where || math.Abs(size-most) > 1e-9*most {
			t.Fatalf("%v: at %d by %v, by t at %d by %v", values, first, size, where, most)
		}
	}
	if first, size := largestShift([]float64{2, 2, 2, 2}); first != 0 || size != 0 {
		t.Errorf("no change: at %d by %v", first, size)
	}
}

// The chart's signals: a value on a limit is inside, one beyond is not; a step is later less earlier.
func TestSignalsByHand(t *testing.T) {
	c := &Chart{Values: []float64{1, 3, -1, 3.01, -1.01, 1}, Lower: -1, Upper: 3}
	got := c.unsteady(thresholds{shift: math.Inf(1)})
	if len(got) != 2 || got[0].Rule != BeyondLimits || !slices.Equal(got[0].Points, []int{3}) || !slices.Equal(got[1].Points, []int{4}) {
		t.Errorf("%+v", got)
	}
	c = &Chart{Values: []float64{5, 5.2, 5, 5.2, 4, 4.2, 4, 4.2}, Lower: 0, Upper: 9}
	_, size := largestShift(c.Values)
	if got := c.unsteady(thresholds{shift: size * 1.001}); len(got) > 0 {
		t.Errorf("below its threshold: %+v", got)
	}
	if got := c.unsteady(thresholds{shift: size * 0.999}); len(got) != 1 || got[0].Rule != LevelShift || got[0].Points[0] != 4 || math.Abs(got[0].Step+1) > 1e-12 {
		t.Errorf("%+v", got)
	}
}

// What a share of the values exceeds: counted where enough do, else carried on as an exponential tail, which is exact
// for values of that law.
func TestUpperQuantile(t *testing.T) {
	const n = 10000
	whole, tail := make([]float64, n), make([]float64, n)
	for i := range n {
		whole[(i*7)%n] = float64(i + 1)
		tail[i] = -math.Log1p(-(float64(i) + 0.5) / n)
	}
	for share, want := range map[float64]float64{0.5: 5000, 0.01: 9900, 0.0025: 9975} {
		if got := upperQuantile(whole, share); got != want {
			t.Errorf("%g of %d lie beyond %g, counted %g", share, n, got, want)
		}
	}
	for _, share := range []float64{0.002, 0.001, 1e-4, 1e-6} {
		if got, want := upperQuantile(tail, share), -math.Log(share); math.Abs(got-want) > 0.01*want { // 25 and 100 counted to half a value
			t.Errorf("%g lies beyond %.3f, by the law %.3f", share, got, want)
		}
	}
}

// A measurement's share by hand: values of variance 1 with uncertainties of 0.6 leave the product 0.8; the nearer limit is 2.4 off,
// which is one of three times that.
func TestProductIndexByHand(t *testing.T) {
	p, err := SeparateMeasurement([]float64{4, 5, 6}, []float64{0.6, 0.6, 0.6}, 0.95)
	if err != nil || p.Total != 1 || math.Abs(p.Measurement-0.6) > 1e-12 || math.Abs(p.Product-0.8) > 1e-12 || p.MostlyGauge {
		t.Fatalf("%+v, %v", p, err)
	}
	// Chi-square limits of two degrees of freedom are in closed form: the quantile of q is -2 ln(1-q).
	for end, q := range map[float64]float64{p.Range.Low: 0.975, p.Range.High: 0.025} {
		if want := math.Sqrt(max(0, 2/(-2*math.Log(1-q))-0.36)); math.Abs(end-want) > 1e-9 {
			t.Errorf("range %v, by hand %v", end, want)
		}
	}
	for _, c := range []struct{ mean, lower, upper, want float64 }{{5, 2.6, 100, 1}, {5, -100, 7.4, 1}, {5, 2.6, 6.2, 0.5}, {5, 6.2, 100, -0.5}} {
		if got := p.Ppk(3, c.mean, 0, c.lower, c.upper, 0.95); !got.Known || math.Abs(got.Value-c.want) > 1e-12 || got.Low > got.Value || got.High < got.Value {
			t.Errorf("%+v: %+v", c, got)
		}
	}
	// The limits of confidence of three values: chi-square and Student's t of two degrees of freedom are in closed form, at an eightieth each.
	const tail = 0.0125
	parts := Parts{Total: 1, Measurement: 0.3, Product: math.Sqrt(0.91)}
	least, most := math.Sqrt(1/-math.Log(tail)-0.09), math.Sqrt(1/-math.Log1p(-tail)-0.09)
	half := (1 - 2*tail) / math.Sqrt(2*tail*(1-tail)) / math.Sqrt(3)
	for _, c := range []struct{ distance, low, high float64 }{{20, (20 - half) / (3 * most), (20 + half) / (3 * least)}, {2, (2 - half) / (3 * least), (2 + half) / (3 * least)}, {-20, (-20 - half) / (3 * least), (-20 + half) / (3 * most)}} {
		if got := parts.Ppk(3, 5, 0, 5-c.distance, 1000, 0.95); math.Abs(got.Low-c.low) > 1e-6*math.Abs(c.low) || math.Abs(got.High-c.high) > 1e-6*math.Abs(c.high) {
			t.Errorf("%g off: %+v, by hand %v to %v", c.distance, got, c.low, c.high)
		}
	}
	if none := (Parts{}).Ppk(3, 5, 0, 0, 9, 0.95); none.Known {
		t.Errorf("values without spread: %+v", none)
	}
	// What all values share moves the mean: with all else known exactly the half width is its normal quantile at an eighth of 5 %.
	fine := Parts{Total: 1e-3, Product: 1e-3}.Ppk(1000000, 5, 0.2, 2.6, 100, 0.95)
	if want := (2.4 - 2.2414*0.2) / 3e-3; math.Abs(fine.Low/want-1) > 0.005 { // the normal quantile of 0.9875 is 2.2414
		t.Errorf("low end %v, by hand %v", fine.Low, want)
	}
}

// Which trouble a study has, at the edges: a gauge of 10 % of what it is held against is none any more; of two causes alike the
// gauge comes first.
func TestTroubleAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		v         Variation
		tolerance float64
		want      Trouble
		classes   int
	}{
		{Variation{Equipment: 0.0999, Part: math.Sqrt(1 - 0.0999*0.0999)}, 0, NoTrouble, 14},
		{Variation{Equipment: 0.1001, Part: math.Sqrt(1 - 0.1001*0.1001)}, 0, GaugeTrouble, 14},
		{Variation{Equipment: 1, Part: 100}, 61, NoTrouble, 141}, {Variation{Equipment: 1, Part: 100}, 59, GaugeTrouble, 141},
		{Variation{Equipment: 1, Appraiser: 1, Part: 1}, 0, GaugeTrouble, 1}, {Variation{Equipment: 1, Appraiser: 1, Interaction: 1, Part: 1}, 0, GaugeTrouble, 1},
		{Variation{Appraiser: 2, Interaction: 2, Part: 1}, 0, PersonTrouble, 1}, {Variation{Interaction: 1, Part: 4}, 0, FeatureTrouble, 5},
		{Variation{Equipment: 1, Part: 1.42}, 0, GaugeTrouble, 2}, {Variation{Equipment: 1, Part: 1.41}, 0, GaugeTrouble, 1}, {Variation{Part: 3}, 0, NoTrouble, 0}, {Variation{}, 0, TroubleUnknown, 0},
	} {
		s := &GaugeStudy{Appraisers: 2, Variation: c.v, Tolerance: c.tolerance}
		s.combine()
		if s.judge(); s.Trouble != c.want || s.Categories != c.classes {
			t.Errorf("%+v: %v, %d classes", c, s.Trouble, s.Categories)
		}
		gauge, person, feature := s.GaugeShares()
		if sum := gauge + person + feature; s.Gauge == 0 && sum != 0 || s.Gauge > 0 && math.Abs(sum-1) > 1e-12 || s.Gauge > 0 && math.Abs(gauge-square(c.v.Equipment)/square(s.Gauge)) > 1e-12 {
			t.Errorf("%+v: shares %v, %v, %v", c, gauge, person, feature)
		}
	}
	none := &GaugeStudy{}
	if none.ShareOfTotal(1) != 0 {
		t.Error("a share of nothing")
	}
	for i, want := range []string{"unknown", "none", "gauge", "person", "feature"} {
		if got := Trouble(i).String(); got != want {
			t.Errorf("trouble %d is %q", i, got)
		}
	}
	if GaugeAdequate != 0.10 || GaugeInadequate != 0.30 { // AIAG, Measurement Systems Analysis, chapter III
		t.Error("not the guideline's limits")
	}
}

// The interaction is pooled where so large an F would come by chance in more than a quarter of studies.
func TestPoolingAtAQuarter(t *testing.T) {
	f := distuv.F{D1: 4, D2: 18}.Quantile(0.75)
	for by, pooled := range map[float64]bool{0.99: true, 1.01: false} {
		a := ANOVA{Appraiser: ANOVALine{SumOfSquares: 6, DOF: 2}, Part: ANOVALine{SumOfSquares: 8, DOF: 2}, Interaction: ANOVALine{SumOfSquares: 4 * by * f, DOF: 4}, Equipment: ANOVALine{SumOfSquares: 18, DOF: 18}}
		a.test()
		if a.Pooled != pooled || math.Abs(a.Interaction.F-by*f) > 1e-9 || math.Abs(a.Interaction.P-0.25) > 0.01 || a.Interaction.P > 0.25 != pooled || a.Appraiser.F != 3 {
			t.Errorf("%g times: %+v", by, a)
		}
		if want := (4*by*f + 18) / 22; pooled && math.Abs(a.PooledMeanSquare-want) > 1e-12 || !pooled && a.PooledMeanSquare != 0 {
			t.Errorf("pooled mean square %v, by hand %v", a.PooledMeanSquare, want)
		}
	}
	// Without equipment spread any interaction is real.
	a := ANOVA{Interaction: ANOVALine{SumOfSquares: 0.5, DOF: 4}, Equipment: ANOVALine{DOF: 18}}
	if a.test(); a.Pooled || a.Interaction.F != 0 {
		t.Errorf("%+v", a)
	}
	// One person has no interaction to test.
	a = ANOVA{Part: ANOVALine{SumOfSquares: 6, DOF: 3}, Equipment: ANOVALine{SumOfSquares: 4, DOF: 4}}
	if a.test(); !a.Pooled || a.PooledMeanSquare != 1 || a.Part.F != 2 {
		t.Errorf("%+v", a)
	}
}

// The divisor of a mean range: Patnaik's for few ranges, d2 alone for more than fifteen, as AIAG's tables have it.
func TestRangeDivisor(t *testing.T) {
	d2, d3 := 2/math.Sqrt(math.Pi), math.Sqrt(2-4/math.Pi) // of two values, exactly
	for g, want := range map[int]float64{1: math.Sqrt2, 4: math.Sqrt(d2*d2 + d3*d3/4), 15: math.Sqrt(d2*d2 + d3*d3/15), 16: d2, 40: d2} {
		if got := rangeDivisor(2, g); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d ranges: %v, by hand %v", g, got, want)
		}
	}
}

// The root finder keeps to its tolerance and to few steps, whichever way the function runs and however it bends.
func TestRoot(t *testing.T) {
	for name, c := range map[string]struct {
		f         func(float64) float64
		low, high float64
		want      float64
		steps     int
	}{
		"straight": {func(x float64) float64 { return 3 - 2*x }, 0, 10, 1.5, 3}, "falling": {func(x float64) float64 { return math.Exp(-x) - 0.2 }, 0, 40, math.Log(5), 24},
		"ninth power": {func(x float64) float64 { return math.Pow(x, 9) - 0.5 }, 0, 10, math.Pow(0.5, 1.0/9), 40}, "a step": {func(x float64) float64 { return math.Tanh(1e6 * (x - 0.3)) }, -7, 11, 0.3, 40},
		"at an end": {func(x float64) float64 { return x }, 0, 1, 0, 40},
	} {
		steps := 0
		got := root(func(x float64) float64 { steps++; return c.f(x) }, c.low, c.high, 1e-9)
		if math.Abs(got-c.want) > 1e-9 || steps > c.steps {
			t.Errorf("%s: %v after %d steps, want %v", name, got, steps, c.want)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("two ends of one sign are a bracket")
		}
	}()
	root(func(float64) float64 { return 1 }, 0, 1, 1e-9)
}

// Yields by hand.
func TestYieldByHand(t *testing.T) {
	y, err := FirstPassYield(0, 3, 1, 0.95)
	if err != nil || !y.Known || y.Share != (Interval{0, 0.25}) || y.Process.Low != 0 || y.Pass != 0 || y.Fail != 3 || y.Unsure != 1 {
		t.Errorf("%+v, %v", y, err)
	}
	if y, err = FirstPassYield(1, 0, 0, 0.95); err != nil || !y.Known || y.Share != (Interval{1, 1}) || y.Process.High != 1 || math.Abs(y.Process.Low-0.025) > 1e-9 {
		t.Errorf("%+v, %v", y, err)
	}
}

// The test of normality in small numbers: the weights of eleven men, the example of Shapiro and Wilk's own paper, W 0.79
// there, with more digits and P from memory; and the ends of its range.
func TestShapiroWilkSmall(t *testing.T) {
	men := []float64{148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236}
	got, ok := ShapiroWilk(men)
	if !ok {
		t.Fatal("not tested")
	}
	checkPrinted(t, "W", got.W, "0.7888")
	checkPrinted(t, "P", got.P, "0.0067")
	large := normalSample(rand.New(rand.NewPCG(4, 4)), 5000, 0, 1)
	if s, ok := ShapiroWilk(large); !ok || s.W < 0.998 {
		t.Errorf("5,000 values: %+v, %v", s, ok)
	}
	if s, ok := ShapiroWilk([]float64{1, 2, 3, 4}); !ok || s.P < 0.5 || s.W > 1 {
		t.Errorf("four values in a row: %+v, %v", s, ok)
	}
	for _, n := range []int{4, 5, 6, 11, 12, 30} { // squares of both sides add up to one, the outermost weigh most
		weights, squares := wilkWeights(n), 0.0
		for i, w := range weights {
			squares += 2 * w * w
			if i > 0 && w >= weights[i-1] {
				t.Errorf("%d: %v", n, weights)
			}
		}
		if len(weights) != n/2 || math.Abs(squares-1) > 1e-12 {
			t.Errorf("%d: %v add up to %v", n, weights, squares)
		}
	}
}
