package fit

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
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
	if p, got := Conformance(0.5, 20, -1, 1), decided(Guarded, 0.5, 20, -1, 1); p > 0.05 || got != Unsure {
		t.Errorf("a useless reading: P = %.3f, %s", p, got)
	}
	if math.Abs(guard-1.6448536) > 1e-7 { // JCGM 106 table 1, recomputed
		t.Errorf("guard %g", guard)
	}
	if Verdict(0) == Pass || Verdict(0).String() != "not measured" {
		t.Error("the zero verdict must not be pass")
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
		return kitVerdict(list)
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
	return decide(rule, &Characteristic{Value: y, StdUncertainty: u, Lower: lower, Upper: upper, P: Conformance(y, u, lower, upper)})
}
