package fit

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

type conformityFile struct {
	Examples []struct {
		What       string
		Y, U       float64
		Lower      *float64
		Upper      *float64
		Published  string
		Recomputed float64
	} `json:"conformance_examples"`
	Table []struct {
		PC string  `json:"pc"`
		Z  string  `json:"z_published"`
		ZR float64 `json:"z_recomputed"`
	} `json:"table_1_z_for_conformance_probability"`
}

func published(t *testing.T) conformityFile {
	t.Helper()
	raw, err := os.ReadFile("../testdata/published/jcgm106_conformity.json")
	if err != nil {
		t.Fatal(err)
	}
	var f conformityFile
	if err := json.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	if len(f.Examples) == 0 || len(f.Table) == 0 {
		t.Fatal("the published examples are not there")
	}
	return f
}

// JCGM 106:2012, examples of 7.3.2, 7.3.3 and 7.4: to the two digits printed, and to the digits
// recomputed from the same inputs.
func TestConformanceOfPublishedExamples(t *testing.T) {
	for _, e := range published(t).Examples {
		lower, upper := math.Inf(-1), math.Inf(1)
		if e.Lower != nil {
			lower = *e.Lower
		}
		if e.Upper != nil {
			upper = *e.Upper
		}
		p := Conformance(e.Y, e.U, lower, upper)
		if got := strconv.FormatFloat(p, 'f', 2, 64); got != e.Published {
			t.Errorf("%s: %s, published %s", e.What, got, e.Published)
		}
		if math.Abs(p-e.Recomputed) > 1e-8 { // eight digits are given
			t.Errorf("%s: %.10f, recomputed %.8f", e.What, p, e.Recomputed)
		}
	}
}

// JCGM 106:2012, table 1: a value z standard uncertainties inside one limit conforms with the
// probability pc. The two digits of z printed leave the third digit of pc open.
func TestConformanceTable(t *testing.T) {
	for _, row := range published(t).Table {
		z, err := strconv.ParseFloat(row.Z, 64)
		if err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(row.PC, 64)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []float64{Conformance(-z, 1, math.Inf(-1), 0), Conformance(z, 1, 0, math.Inf(1))} {
			if math.Abs(p-want) > 0.002 {
				t.Errorf("z = %s: %.4f, published %s", row.Z, p, row.PC)
			}
		}
		if p := Conformance(row.ZR, 1, 0, math.Inf(1)); math.Abs(p-want) > 1e-7 { // z to eight digits
			t.Errorf("z = %g: %.9f, published %s", row.ZR, p, row.PC)
		}
	}
}

// ISO 14253-1:2017 with 95 %: one limit and a small uncertainty give a guard band of 1.645 u; the
// same band on the far side fails.
func TestGuardedRule(t *testing.T) {
	const u = 0.1
	for _, c := range []struct {
		y    float64
		want Verdict
	}{
		{1 - 1.66*u, Pass}, {1 - 1.63*u, Unsure}, {1, Unsure}, {1 + 1.63*u, Unsure}, {1 + 1.66*u, Fail},
		{-1 + 1.66*u, Pass}, {-1 - 1.66*u, Fail},
	} {
		if got := decided(Guarded, c.y, u, -1, 1); got != c.want {
			t.Errorf("y = %g: %s, want %s", c.y, got, c.want)
		}
	}
	if got := decided(Simple, 1.01, u, -1, 1); got != Fail {
		t.Errorf("simple rule outside: %s", got)
	}
	if got := decided(Simple, 1+4e-15, u, -1, 1); got != Pass {
		t.Errorf("simple rule on the limit but for rounding: %v", got)
	}
	if got := decided(Simple, 0.99, u, -1, 1); got != Pass {
		t.Errorf("simple rule inside: %s", got)
	}
	// An uncertainty ten times the limits' distance: hardly a chance of lying inside, and yet no
	// evidence against the value.
	if p, got := Conformance(0.5, 20, -1, 1), decided(Guarded, 0.5, 20, -1, 1); p > 0.05 || got != TooCoarse {
		t.Errorf("a useless reading: P = %.3f, %s", p, got)
	}
	if math.Abs(guard-1.6448536) > 1e-7 { // JCGM 106 table 1, recomputed
		t.Errorf("guard %g", guard)
	}
	if Verdict(0) == Pass || Verdict(0).String() != "not measured" {
		t.Error("the zero verdict must not be pass")
	}
}

// A table of verdicts has the same ones, though it takes for certain what lies half as far again inside both limits as U.
func TestTerseVerdicts(t *testing.T) {
	for _, dof := range []float64{0, 1, 3, 30} {
		for y := -1.2; y < 1.2; y += 0.01 {
			full, a := Characteristic{Value: y, StdUncertainty: 0.03, DOF: dof, Lower: -1, Upper: 1}, new(assembly)
			terse := full
			a.judge(&full)
			a.options.Terse = true
			a.judge(&terse)
			want := full.P
			if min(y+1, 1-y) > 1.5*1.96*full.StdUncertainty {
				want = 1
			}
			if terse.Verdict != full.Verdict || terse.P != want || want-full.P > 0.05 {
				t.Errorf("%g with %g degrees of freedom is %s at %g, tersely %s at %g", y, dof, full.Verdict, full.P, terse.Verdict, terse.P)
			}
		}
	}
}

// Without uncertainty a value is inside or not.
func TestConformanceWithoutUncertainty(t *testing.T) {
	if Conformance(1, 0, 0, 1) != 1 || Conformance(1.1, 0, 0, 1) != 0 {
		t.Error("u = 0 must decide")
	}
}

func TestKitVerdictIsTheWorst(t *testing.T) {
	of := func(vs ...Verdict) Verdict {
		list := make([]Characteristic, len(vs))
		for i, v := range vs {
			list[i].Verdict = v
		}
		return (&Result{Characteristics: list}).kitVerdict()
	}
	for _, c := range []struct{ got, want Verdict }{
		{of(), NotMeasured}, {of(NotMeasured, NotJudged), NotMeasured}, {of(Pass, NotMeasured), Pass},
		{of(Pass, Unsure, Pass), Unsure}, {of(Unsure, Fail, Pass), Fail},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
}

// decided is decide from numbers.
func decided(rule Rule, y, u, lower, upper float64) Verdict {
	below, above := tailsOf(y, u, 0, lower, upper)
	return decide(rule, &Characteristic{Value: y, StdUncertainty: u, Lower: lower, Upper: upper, P: Conformance(y, u, lower, upper)}, max(below, above) >= Confidence)
}

// With an uncertainty that leaves no value a pass the gauges are too coarse, not the part in doubt: the best
// value lies amid two limits, at nothing for a size, and as far as it likes from a single limit.
func TestTooCoarse(t *testing.T) {
	for _, c := range []struct {
		id              ID
		y, u            float64
		lower, upper    float64
		want            Verdict
		whatIsDecidable string
	}{
		{CentreLineError, 0, 0.5, -1, 1, Pass, "1.96 u inside both limits"},
		{CentreLineError, 0, 0.52, -1, 1, TooCoarse, "1.92 u inside both, 94.5 %"},
		{CentreLineError, 0.9, 0.5, -1, 1, Unsure, "another value would pass"},
		{CentreLineError, 3, 0.6, -1, 1, Fail, "beyond all doubt"},
		{BridgeHoleMismatch, 0.05, 0.18, math.Inf(-1), 0.3, Unsure, "a size of nothing would lie 1.67 u inside"},
		{BridgeHoleMismatch, 0.05, 0.19, math.Inf(-1), 0.3, TooCoarse, "at best 1.58 u inside"},
		{MarginBass, 2.5, 4, 2.5, math.Inf(1), Unsure, "a wider margin would pass"},
	} {
		r := &Characteristic{ID: c.id, Value: c.y, StdUncertainty: c.u, Lower: c.lower, Upper: c.upper, P: Conformance(c.y, c.u, c.lower, c.upper)}
		below, above := tailsOf(c.y, c.u, 0, c.lower, c.upper)
		if got := decide(Guarded, r, max(below, above) >= Confidence); got != c.want {
			t.Errorf("%s %g, u %g in %g to %g: %s, want %s (%s)", c.id, c.y, c.u, c.lower, c.upper, got, c.want, c.whatIsDecidable)
		}
	}
}

// A kit without a critical characteristic, or without one that it aims at, is no pass.
func TestWhatWasNotMeasuredIsNoPass(t *testing.T) {
	pass := Characteristic{ID: PocketGapMouth, Class: measure.Major, Verdict: Pass}
	critical := Characteristic{ID: CentreLineError, Class: measure.Critical}
	minor := Characteristic{ID: FretError, Class: measure.Minor}
	coarse := Characteristic{ID: BridgeSkew, Class: measure.Major, Verdict: TooCoarse}
	coarseCritical := Characteristic{ID: ScaleLength, Class: measure.Critical, Verdict: TooCoarse}
	unsure := Characteristic{ID: MarginBass, Class: measure.Major, Verdict: Unsure}
	for _, c := range []struct {
		aim  []string
		list []Characteristic
		want Verdict
	}{
		{nil, []Characteristic{pass, minor}, Pass}, {nil, []Characteristic{pass, critical}, Incomplete},
		{nil, []Characteristic{critical, minor}, NotMeasured}, {nil, []Characteristic{pass, critical, unsure}, Unsure},
		{nil, []Characteristic{pass, coarse}, Pass}, {nil, []Characteristic{pass, coarseCritical}, Unsure},
		{[]string{"pocket-gap-mouth"}, []Characteristic{pass, critical}, Pass}, {[]string{"fret-error"}, []Characteristic{pass, minor}, Incomplete},
		{[]string{"bridge-skew"}, []Characteristic{pass, coarse}, Unsure},
	} {
		r := &Result{Info: measure.Info{Aim: c.aim}, Characteristics: c.list}
		if got := r.kitVerdict(); got != c.want {
			t.Errorf("aim %v, %+v: %s, want %s", c.aim, c.list, got, c.want)
		}
	}
}

// Of the many places of a kit that is read twice some pair is always rather far apart, which makes nothing unsure: as it would, were each
// pair's gauge judged by that pair.
func TestTwoReadingsMakeNothingUnsure(t *testing.T) {
	const kits = 60
	for _, p := range plans {
		rng := rand.New(rand.NewPCG(9, 10))
		var results [kits]*Result
		least := map[ID]float64{}
		for k := range results {
			in := simulate.ShortScaleBass()
			setup := simulate.DefaultSetup()
			setup.Heights = true
			results[k] = check(in, simulate.Repeated(2, p.read, in, rng, setup))
			for _, c := range results[k].Characteristics {
				if u := c.StdUncertainty; c.Measured() && (least[c.ID] == 0 || u < least[c.ID]) {
					least[c.ID] = u
				}
			}
		}
		coarse := 0
		for _, r := range results {
			for _, c := range r.Characteristics {
				if c.Verdict == TooCoarse {
					coarse++
				}
				if c.Measured() && c.StdUncertainty > 4*least[c.ID] {
					t.Errorf("%s: %s has a U of %.3f, and others one of %.3f", p.name, c.ID, Coverage*c.StdUncertainty, Coverage*least[c.ID])
				}
			}
		}
		if coarse > 2 {
			t.Errorf("%s: %d values of %d kits are said to be read too coarsely", p.name, coarse, kits)
		}
	}
}
