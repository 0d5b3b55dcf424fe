package lot

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// withMeanSD returns n values with exactly this mean and standard deviation.
func withMeanSD(n int, mean, sd float64) []float64 {
	values := normalSample(rand.New(rand.NewPCG(2, 7)), n, 0, 1)
	m, s := MeanSD(values)
	for i := range values {
		values[i] = mean + sd*(values[i]-m)/s
	}
	return values
}

// Source: NIST/SEMATECH e-Handbook 6.1.6.
func TestCapabilityPublished(t *testing.T) {
	var ref struct {
		USL, LSL, Mean, SD float64
		Published          struct{ Cp, Cpk, Cpu string }
	}
	readPublished(t, "ehandbook_process_capability.json", &ref)
	values := withMeanSD(30, ref.Mean, ref.SD)
	c, err := NewCapability(values, ref.LSL, ref.USL, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	checkPrinted(t, "Cp", c.Pp.Value, ref.Published.Cp)
	checkPrinted(t, "Cpk", c.Ppk.Value, ref.Published.Cpk)
	upperOnly, err := NewCapability(values, math.Inf(-1), ref.USL, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	checkPrinted(t, "Cpu", upperOnly.Ppk.Value, ref.Published.Cpu)
	if upperOnly.Pp.Known || upperOnly.Cp.Known {
		t.Error("one limit gave a Cp")
	}
}

// Second way: A. F. Bissell, Applied Statistics 39 (1990) 331, Cpk -/+ z sqrt(1/(9n) + Cpk^2/(2 nu)).
// It is a large-sample formula: at n = 200 it should agree within 1 %.
func TestCpkLimitsNearBissell(t *testing.T) {
	const n = 200
	c, err := NewCapability(withMeanSD(n, 1, 0.2), math.Inf(-1), 1.7, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	k := c.Ppk.Value
	half := 1.959964 * math.Sqrt(1/(9.0*n)+k*k/(2*(n-1)))
	if math.Abs(c.Ppk.Low/(k-half)-1) > 0.01 || math.Abs(c.Ppk.High/(k+half)-1) > 0.01 {
		t.Errorf("%+v, Bissell %v to %v", c.Ppk, k-half, k+half)
	}
}

// Limits on one side: the noncentral t law is exact, and so are the chi-square limits of Pp.
func TestCapabilityLimitsCover(t *testing.T) {
	const trials, n, level = 400, 12, 0.9
	r := rand.New(rand.NewPCG(11, 4))
	outside := map[string]float64{}
	miss := func(name string, x Index, truth float64) {
		if truth < x.Low {
			outside[name+" low"]++
		}
		if truth > x.High {
			outside[name+" high"]++
		}
	}
	for range trials {
		values := normalSample(r, n, 0, 1)
		both, err := NewCapability(values, -3, 4.5, level)
		if err != nil {
			t.Fatal(err)
		}
		one, err := NewCapability(values, math.Inf(-1), 3, level)
		if err != nil {
			t.Fatal(err)
		}
		miss("Pp", both.Pp, 1.25)
		miss("Cp", both.Cp, 1.25)
		miss("Ppk", one.Ppk, 1)
		miss("Cpk", one.Cpk, 1)
	}
	const want = (1 - level) / 2
	// Four standard deviations of a simulated proportion; Cp and Cpk may be 0.01 further off, since
	// the law of the mean moving range is approximate.
	limit := 4 * math.Sqrt(want*(1-want)/trials)
	for _, name := range []string{"Pp low", "Pp high", "Ppk low", "Ppk high", "Cp low", "Cp high", "Cpk low", "Cpk high"} {
		allowed := limit
		if name[0] == 'C' {
			allowed += 0.01
		}
		if got := outside[name] / trials; math.Abs(got-want) > allowed {
			t.Errorf("%s misses %v of times, want %v", name, got, want)
		}
	}
}

// The claim at nearestIndex for a process midway between its limits.
func TestNearestIndexMidway(t *testing.T) {
	const trials, n, tail = 300, 12, 0.1
	r := rand.New(rand.NewPCG(12, 4))
	if x := overallSpread(n, 1).nearestIndex(n, 0, -3, 3, tail); !x.Known || x.Value != 1 {
		t.Errorf("%+v, want 1", x)
	}
	if x := overallSpread(n, 0).nearestIndex(n, 0, -3, 3, tail); x.Known {
		t.Errorf("%+v of values that are all the same", x)
	}
	var low, high float64
	for range trials {
		mean, sd := MeanSD(normalSample(r, n, 0, 1))
		x := overallSpread(n, sd).nearestIndex(n, mean, -3, 3, tail)
		if x.Low > 1 {
			low++
		}
		if x.High < 1 {
			high++
		}
	}
	// The bounds themselves, and four standard deviations of a simulated proportion.
	slack := func(p float64) float64 { return 4 * math.Sqrt(p*(1-p)/trials) }
	if low/trials > tail+slack(tail) || high/trials > 2*tail+slack(2*tail) {
		t.Errorf("low end fails %v, high end %v of times", low/trials, high/trials)
	}
}

// The claims at withinSpread: unbiased, with that variance.
func TestWithinSpreadMoments(t *testing.T) {
	const trials, n = 20000, 6
	r := rand.New(rand.NewPCG(6, 6))
	estimates := make([]float64, trials)
	for i := range estimates {
		c, err := IndividualsChart(normalSample(r, n, 0, 1), 0.05)
		if err != nil {
			t.Fatal(err)
		}
		estimates[i] = c.Sigma
	}
	mean, sd := MeanSD(estimates)
	s := withinSpread(n, 1)
	wantSD := math.Sqrt(s.bias*s.bias - 1)
	// Four standard errors of a mean; for the standard deviation, 4 % is more than four of its own.
	if math.Abs(mean-1) > 4*sd/math.Sqrt(trials) || math.Abs(sd/wantSD-1) > 0.04 {
		t.Errorf("mean %v, sd %v, want 1 and %v", mean, sd, wantSD)
	}
	if two := withinSpread(2, 1); math.Abs(two.nu-1) > 1e-6 { // a half-normal is chi with one degree of freedom
		t.Errorf("two values: %v degrees of freedom", two.nu)
	}
}

// Of two values the moving range and the standard deviation tell the same, so the confidence limits of
// the indices must agree although the indices, one with d2 and one without, do not.
func TestLimitsOfTwoValuesAgree(t *testing.T) {
	c, err := NewCapability([]float64{1, 1.4}, 0, 3, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]Index{{c.Cp, c.Pp}, {c.Cpk, c.Ppk}} {
		x, y := pair[0], pair[1]
		// The degrees of freedom of the mean range come from a root found to nine digits.
		if math.Abs(x.Low-y.Low) > 1e-6 || math.Abs(x.High-y.High) > 1e-6 || math.Abs(x.Value-y.Value) < 0.1 {
			t.Errorf("%+v and %+v", x, y)
		}
	}
}

func TestCapabilityMovesAndMirrors(t *testing.T) {
	values := withMeanSD(40, 5, 0.3)
	mirrored := make([]float64, len(values))
	for i, v := range values {
		mirrored[i] = 100 - 2*v
	}
	a, errA := NewCapability(values, 4, 5.8, 0.95)
	b, errB := NewCapability(mirrored, 100-2*5.8, 100-2*4, 0.95)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	for _, pair := range [][2]Index{{a.Cp, b.Cp}, {a.Cpk, b.Cpk}, {a.Pp, b.Pp}, {a.Ppk, b.Ppk}} {
		x, y := pair[0], pair[1]
		// Roundings at the size of 100, and the tolerance of the inverted distribution.
		if math.Abs(x.Value-y.Value)+math.Abs(x.Low-y.Low)+math.Abs(x.High-y.High) > 1e-7 {
			t.Errorf("%+v became %+v", x, y)
		}
		if !(x.Low < x.Value && x.Value < x.High) {
			t.Errorf("limits do not hold the value: %+v", x)
		}
	}
}

func TestCapabilityWarnings(t *testing.T) {
	few, err := NewCapability(withMeanSD(24, 0, 1), -3, 3, 0.95)
	if err != nil || !slices.Equal(few.Warnings, []Warning{{Kind: FewForIndices, N: 24}}) {
		t.Errorf("24 values: %v, %v", few.Warnings, err)
	}
	enough := withMeanSD(25, 0, 1)
	c, err := NewCapability(enough, -3, 3, 0.95)
	if err != nil || len(c.Warnings) > 0 {
		t.Errorf("25 values: %v, %v", c.Warnings, err)
	}
}

func TestCapabilityEdges(t *testing.T) {
	for kind, values := range map[WarningKind][]float64{OneValue: {4}, AllEqual: {4, 4, 4, 4}} {
		c, err := NewCapability(values, 1, 5, 0.95)
		if err != nil || c.Mean != 4 || c.Cp.Known || c.Cpk.Known || c.Pp.Known || c.Ppk.Known || !slices.Equal(c.Warnings, []Warning{{Kind: kind}}) {
			t.Errorf("%v: %+v, %v", values, c, err)
		}
	}
	inf := math.Inf(1)
	for _, bad := range []struct {
		values       []float64
		lower, upper float64
		level        float64
	}{
		{nil, 0, 1, 0.9}, {[]float64{1, math.NaN()}, 0, 1, 0.9}, {[]float64{1, 2}, -inf, inf, 0.9},
		{[]float64{1, 2}, 3, 3, 0.9}, {[]float64{1, 2}, math.NaN(), 3, 0.9}, {[]float64{1, 2}, 0, 3, 1},
	} {
		if _, err := NewCapability(bad.values, bad.lower, bad.upper, bad.level); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
	two, err := NewCapability([]float64{1, 2}, 0, 3, 0.95)
	if err != nil || !two.Cpk.Known || !(two.Cpk.Low < two.Cpk.Value && two.Cpk.Value < two.Cpk.High) {
		t.Errorf("two values: %+v, %v", two, err)
	}
}

// Values that hardly differ, limits far off or on the wrong side: finite limits in order all the same.
func TestCapabilityExtremes(t *testing.T) {
	values := withMeanSD(400, 50, 1e-6)
	for _, limits := range [][2]float64{{0, 100}, {49.9999999, 50.0000001}, {200, 300}, {-300, -200}, {50, math.Inf(1)}} {
		c, err := NewCapability(values, limits[0], limits[1], 0.95)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []Index{c.Cpk, c.Ppk} {
			if !(x.Low < x.Value && x.Value < x.High) || math.IsInf(x.High-x.Low, 0) {
				t.Errorf("limits %v: %+v", limits, x)
			}
		}
	}
}

func TestSeparateMeasurement(t *testing.T) {
	const n = 4000
	r := rand.New(rand.NewPCG(8, 8))
	values, u := make([]float64, n), make([]float64, n)
	var noise float64
	for i := range values {
		u[i] = 0.05 + 0.1*r.Float64() // every value with its own uncertainty
		values[i] = 57 + 0.2*r.NormFloat64() + u[i]*r.NormFloat64()
		noise += u[i] * u[i] / n
	}
	p, err := SeparateMeasurement(values, u, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	// Four standard errors of a standard deviation of 4000 values, and what the subtraction adds.
	if limit := 4 * 0.2 / math.Sqrt(2*n) * (0.04 + noise) / 0.04; math.Abs(p.Product-0.2) > limit || p.MostlyGauge {
		t.Errorf("%+v, want a product spread of 0.2 within %v", p, limit)
	}
	if !(p.Range.Low < p.Product && p.Product < p.Range.High) {
		t.Errorf("range %v does not hold %v", p.Range, p.Product)
	}
}

func TestSeparateMeasurementEdges(t *testing.T) {
	p, err := SeparateMeasurement([]float64{1, 1.1, 0.9}, []float64{0.3, 0.3, 0.3}, 0.95)
	if err != nil || p.Product != 0 || !p.MostlyGauge || p.Range.Low != 0 {
		t.Errorf("all gauge: %+v, %v", p, err)
	}
	p, err = SeparateMeasurement([]float64{1, 2, 3}, []float64{0, 0, 0}, 0.95)
	if err != nil || p.Product != 1 || p.MostlyGauge {
		t.Errorf("no gauge: %+v, %v", p, err)
	}
	for u, want := range map[float64]bool{0.7: false, 0.71: true} { // half of the variance 1 is 0.7071 squared
		p, err = SeparateMeasurement([]float64{1, 2, 3}, []float64{u, u, u}, 0.95)
		if err != nil || p.MostlyGauge != want || math.Abs(p.Product*p.Product+u*u-1) > 1e-12 { // rounding
			t.Errorf("uncertainty %v: %+v, %v", u, p, err)
		}
	}
	for _, bad := range [][2][]float64{{nil, nil}, {{1}, {1}}, {{1, 2}, {0.1, -0.1}}, {{1, 2}, {0.1, math.Inf(1)}}} {
		if _, err := SeparateMeasurement(bad[0], bad[1], 0.95); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
}

// The product's index: what the gauges share moves the mean and is in the limits of confidence, not in the
// spread; these hold the truth in 95 of 100 at the least, and where the gauge is small the index is Ppk.
func TestProductIndexHoldsTheTruth(t *testing.T) {
	const product, gauge, common, lower, upper, trials, n = 0.10, 0.06, 0.04, -0.4, 0.7, 3000, 30
	const truth = 0.4 / (3 * product) // the process lies at 0
	rng := rand.New(rand.NewPCG(14, 3))
	u := make([]float64, n)
	for i := range u {
		u[i] = gauge
	}
	held, below := 0, 0
	for range trials {
		values := normalSample(rng, n, common*rng.NormFloat64(), math.Hypot(product, gauge))
		parts, err := SeparateMeasurement(values, u, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		mean, _ := MeanSD(values)
		x := parts.Ppk(n, mean, common, lower, upper, 0.95)
		if x.Low <= truth && truth <= x.High {
			held++
		}
		if x.Value < truth {
			below++
		}
		if bare := parts.Ppk(n, mean, 0, lower, upper, 0.95); !(x.Low < bare.Low && bare.High <= x.High && bare.Value == x.Value) {
			t.Fatalf("a common error changes %+v to %+v", bare, x)
		}
	}
	// No fewer than stated but for the draw, nor so many that the limits would be idle; as many below as above.
	if share := float64(held) / trials; share < 0.95-0.012 || share > 0.999 {
		t.Errorf("%.3f hold the truth", share)
	}
	if share := float64(below) / trials; share < 0.35 || share > 0.65 {
		t.Errorf("%.2f below", share)
	}
	fine := Parts{Total: 0.1, Product: 0.1}.Ppk(400, 0.2, 0, 0, math.Inf(1), 0.95)
	checkPrinted(t, "0.2 over three times 0.1", fine.Value, "0.6667")
	if exact := overallSpread(400, 0.1).nearestIndex(400, 0.2, 0, math.Inf(1), 0.025); fine.Low > exact.Low || fine.Low < exact.Low-0.04 || fine.High < exact.High || fine.High > exact.High+0.04 {
		t.Errorf("%+v, by noncentral t %+v", fine, exact)
	}
	coarse := Parts{Total: 0.1, Measurement: 0.2}.Ppk(10, 0.2, 0, 0, 1, 0.95)
	if !math.IsInf(coarse.Value, 1) || coarse.Low <= 0 || math.IsInf(coarse.Low, 0) {
		t.Errorf("nothing but the gauge: %+v", coarse)
	}
	beyond := Parts{Total: 0.1, Measurement: 0.05, Product: math.Sqrt(0.0075)}.Ppk(10, -0.5, 0, 0, 1, 0.95)
	if !(beyond.Low < beyond.Value && beyond.Value < beyond.High && beyond.High < 0) {
		t.Errorf("beyond its limit: %+v", beyond)
	}
}
