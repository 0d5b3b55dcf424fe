package delivery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/measure"
)

// The product's own spread is found behind the measurement's; an error that all kits share does not
// count, for it spreads nothing.
func TestProductSpread(t *testing.T) {
	const kits, product, own, common = 2000, 0.20, 0.15, 0.5
	rng := rand.New(rand.NewPCG(3, 2))
	shift := common * rng.NormFloat64()
	d := &Delivery{}
	for i := range kits {
		k := kit(fmt.Sprint(i), "L", fit.Pass, shift+product*rng.NormFloat64()+own*rng.NormFloat64())
		k.Found[0].StdUncertainty, k.Found[0].Common = math.Hypot(own, common), common
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	p := judge1(t, d, critical(1.0)).Processes[0]
	// The variance of 0.0625 is good to sqrt(2/2000), 3 %; so the product's 0.04 to 5 %, its root to
	// 2.5 %: four times that.
	if math.Abs(p.Spread.Product-product) > 0.1*product || math.Abs(p.Spread.Measurement-own) > 1e-9 { // own is given, not estimated
		t.Errorf("product %.3f, measurement %.3f; truly %.3f, %.3f", p.Spread.Product, p.Spread.Measurement, product, own)
	}
	if truth := (1 - math.Abs(shift)) / (3 * product); math.Abs(p.Product.Value/truth-1) > 0.05 || p.Product.Low > p.Product.Value || p.Product.Low > (1-common)/(3*product) {
		t.Errorf("the product's index is %+v, without the gauges it is %.3f", p.Product, truth)
	}
	if p.Spread.MostlyGauge {
		t.Error("0.15 of 0.25 is not most of the variance")
	}
}

func TestProcessesOfFewKits(t *testing.T) {
	one := judge1(t, lotOf(t, 1, 0, 0), critical(1.0)).Processes[0]
	if one.Spread != nil || one.Chart != nil || one.Tolerance != nil || one.Mean != 0 || len(one.Warnings) == 0 {
		t.Errorf("of one kit: %+v", one)
	}
	equal := judge1(t, lotOf(t, 5, 0, 0), critical(1.0)).Processes[0]
	if equal.SD != 0 || equal.Capability.Ppk.Known || equal.Tolerance != nil || len(equal.Warnings) == 0 {
		t.Errorf("of equal kits: %+v", equal)
	}
	d := lotOf(t, 2, 0, 0)
	other := kit("other", "L", fit.Pass, 0.5)
	other.Found[0].Upper = 3
	if err := d.Add(other); err != nil {
		t.Fatal(err)
	}
	differ := judge1(t, d, critical(1.0)).Processes[0]
	if differ.Capability != nil || !slices.Contains(differ.Warnings, lot.Warning{Kind: lot.LimitsDiffer}) {
		t.Errorf("with other limits: %+v", differ)
	}
}

// A supplier whose process creeps is told by how much a kit, and where the level moved is named.
func TestDriftIsTold(t *testing.T) {
	d := &Delivery{}
	for i := range 24 {
		value := 0.02*float64(i) + 0.03*float64(i*7%5-2) // a slope of 0.02 mm a kit; the scatter repeats every five
		if err := d.Add(kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, value)); err != nil {
			t.Fatal(err)
		}
	}
	p := judge1(t, d, critical(1.0)).Processes[0]
	if !p.Drifts || math.Abs(p.Trend.Slope-0.02) > p.Trend.U || p.Trend.U > 0.005 {
		t.Errorf("drifts %v, trend %+v", p.Drifts, p.Trend)
	}
	last := p.Signals[len(p.Signals)-1]
	if last.Rule != lot.LevelShift || last.Kits[0] != "K12" || math.Abs(last.Step-0.24) > 0.02 { // 12 kits at 0.02 mm
		t.Errorf("signals %+v", p.Signals)
	}
}

// What is not normal is said before its indices, and so is what is not steady; a steady normal process has
// no such warning.
func TestWhatIndicesRestOn(t *testing.T) {
	warnings := func(value func(i int) float64) (kinds []lot.WarningKind) {
		d := &Delivery{}
		for i := range 30 {
			if err := d.Add(kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, value(i))); err != nil {
				t.Fatal(err)
			}
		}
		for _, w := range judge1(t, d, critical(1.0)).Processes[0].Warnings {
			kinds = append(kinds, w.Kind)
		}
		return kinds
	}
	score := func(i int) float64 { return math.Erfinv(2*(float64(i*7%30)+0.5)/30 - 1) } // normal scores, well mixed
	for _, c := range []struct {
		name  string
		value func(i int) float64
		want  []lot.WarningKind
	}{
		{"normal and steady", score, nil},
		{"skewed", func(i int) float64 { return math.Exp(1.2*score(i)) / 10 }, []lot.WarningKind{lot.NotNormal}},
		{"drifting", func(i int) float64 { return score(i)/10 + 0.02*float64(i) }, []lot.WarningKind{lot.NotSteady}},
	} {
		if got := warnings(c.value); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Whoever reads otherwise than the rest is named, with the difference and its uncertainty by hand; not one whose
// kits do not differ, nor one who read all or hardly any.
func TestSplitNamesWhoReadsOtherwise(t *testing.T) {
	judge := func(people func(i int) []string, gauges func(i int) []string, step float64) *Split {
		d := &Delivery{}
		for i := range 20 {
			k := kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, 0.4+0.01*float64(i*7%5-2)) // 0.02 about 0.4, evenly
			if k.People, k.Gauges = people(i), gauges(i); i%2 == 1 {
				k.Found[0].Value += step
			}
			if err := d.Add(k); err != nil {
				t.Fatal(err)
			}
		}
		return judge1(t, d, critical(1.0)).Processes[0].Split
	}
	odd := func(i int) []string { return []string{[]string{"P", "Q"}[i%2], "R"} }
	same := func(int) []string { return []string{"cal"} }
	s := judge(odd, same, -0.3)
	// Either half has two of each of the five values: a standard deviation of 0.01 sqrt(20/9), so that the difference
	// has one of 0.01 sqrt(20/9 * 2/10), times Student's 2.101 of 18 degrees of freedom.
	if s == nil || s.Person == "" || s.Person == "R" || s.Gauge != "" || s.Kits != 10 || math.Abs(math.Abs(s.Diff)-0.3) > 1e-12 || math.Abs(s.U-2.101*0.01*math.Sqrt(4.0/9)) > 1e-5 {
		t.Fatalf("%+v", s)
	}
	if s.Person == "Q" != (s.Diff < 0) {
		t.Errorf("%+v", s)
	}
	if s := judge(same, odd, 0.3); s == nil || s.Person != "" || s.Gauge == "" {
		t.Errorf("by gauge: %+v", s)
	}
	few := func(i int) []string {
		if i < 6 && i%2 == 1 {
			return []string{"Q"}
		}
		return nil
	}
	for name, s := range map[string]*Split{"alike": judge(odd, same, 0.01), "too few": judge(few, same, 0.3), "nobody": judge(func(int) []string { return nil }, same, 0.3)} {
		if s != nil {
			t.Errorf("%s: %+v", name, s)
		}
	}
}

// The kits that break a rule are named.
func TestSignalsNameKits(t *testing.T) {
	d := &Delivery{}
	for i := range 20 {
		value := 0.01 * float64(i%2)
		if i == 12 {
			value = 0.9
		}
		if err := d.Add(kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, value)); err != nil {
			t.Fatal(err)
		}
	}
	var found []string
	for _, s := range judge1(t, d, critical(1.0)).Processes[0].Signals {
		if s.Rule == lot.BeyondLimits {
			found = append(found, s.Kits...)
		}
	}
	if diff := cmp.Diff([]string{"K12"}, found); diff != "" {
		t.Error(diff)
	}
}

func TestPareto(t *testing.T) {
	d := &Delivery{}
	found := func(name string, c measure.Class, v fit.Verdict) Found {
		return Found{Name: name, Class: c, Lower: 0, Upper: 1, Verdict: v}
	}
	for i := range 4 {
		k := Kit{Name: fmt.Sprint(i), Verdict: fit.Fail, Found: []Found{
			found("minor-often", measure.Minor, fit.Fail), found("major-once", measure.Major, fit.Pass),
			found("critical-once", measure.Critical, fit.Pass), found("major-twice", measure.Major, fit.Pass), found("fine", measure.Major, fit.Pass),
		}}
		if i == 0 {
			k.Found[1].Verdict, k.Found[2].Verdict = fit.Fail, fit.Fail
		}
		if i < 2 {
			k.Found[3].Verdict = fit.Fail
		}
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	odd := Kit{Name: "odd", Verdict: fit.Fail, Found: []Found{found("no class", measure.NoClass, fit.Fail)}}
	if err := d.Add(odd); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range judge1(t, d, critical(1.0)).Failing {
		got = append(got, fmt.Sprint(f.Name, " ", f.Fail))
	}
	if diff := cmp.Diff([]string{"critical-once 1", "major-twice 2", "major-once 1", "minor-often 4", "no class 1"}, got); diff != "" {
		t.Error(diff)
	}
}

// A tolerance interval is open where there is no limit. Published factors for 95 % of a normal process
// with 95 % confidence and n = 10: 2.911 to one side, 3.393 to both (exact factors of
// testdata/published-lot/normal_tolerance_factors_95_95.csv, whose README has the sources).
func TestToleranceIsOpenWhereThereIsNoLimit(t *testing.T) {
	const oneSided, twoSided = 2.911, 3.393
	inf := math.Inf(1)
	for _, c := range []struct {
		lower, upper, low, high float64
	}{
		{-1, 1, -twoSided, twoSided}, {-inf, inf, -twoSided, twoSided}, {-1, inf, -oneSided, inf}, {-inf, 1, -inf, oneSided},
	} {
		d := &Delivery{}
		for i := range 10 {
			k := kit(fmt.Sprint(i), "L", fit.Pass, 0.1*float64(i%2))
			k.Found[0].Lower, k.Found[0].Upper = c.lower, c.upper
			if err := d.Add(k); err != nil {
				t.Fatal(err)
			}
		}
		p := judge1(t, d, critical(1.0)).Processes[0]
		const mean, sd = 0.05, 0.0527046 // of five zeros and five tenths: sqrt(10 * 0.05^2 / 9)
		for _, end := range [][2]float64{{p.Tolerance.Low, mean + c.low*sd}, {p.Tolerance.High, mean + c.high*sd}} {
			if got, want := end[0], end[1]; got != want && !(math.Abs(got-want) < 1e-4) { // factors have four digits
				t.Errorf("limits %v to %v: tolerance %+v, want %v to %v times %v about %v", c.lower, c.upper, *p.Tolerance, c.low, c.high, sd, mean)
			}
		}
	}
}
