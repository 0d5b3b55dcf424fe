package sampling

import (
	"math"
	"strconv"
	"testing"
)

// Source: NIST/SEMATECH e-Handbook 6.2.3.2, n 52, c 3; lots of 10000 for the total inspection, which
// the handbook cuts to whole pieces.
func TestOperatingCurvePublished(t *testing.T) {
	p := Plan{LotSize: 10000, AQL: 1, Sample: 52, Accept: 3, Reject: 4}
	checked := 0
	for _, row := range readTable(t, "ehandbook_oc_n52_c3.csv") {
		quality := number(t, row["p"])
		got := p.AcceptProcess(quality)
		if printed := row["pa_published"]; printed != "" {
			if want := strconv.FormatFloat(got, 'f', 3, 64); want != printed {
				t.Errorf("quality %v: accepted with %s, published %s", quality, want, printed)
			}
			checked++
		}
		if want := number(t, row["pa_binomial_recomputed"]); math.Abs(got-want) > 5e-9 { // eight printed places
			t.Errorf("quality %v: accepted with %v, recomputed %v", quality, got, want)
		}
		// The handbook's average total inspection is n + (1 - Pa)(N - n): Pa once more, with other digits.
		if got, want := 52+(1-got)*(10000-52), number(t, row["ati_published_N10000"]); math.Abs(got-want) >= 1 {
			t.Errorf("quality %v: %v inspected, published %v", quality, got, want)
		}
		if back := p.QualityAt(got); math.Abs(back/quality-1) > 1e-7 { // ten digits of the beta integral
			t.Errorf("quality %v came back as %v", quality, back)
		}
	}
	if checked != 10 {
		t.Errorf("%d probabilities checked, want 10", checked)
	}
}

// In reduced inspection the gap between Ac and Re accepts.
func TestReducedGapAccepts(t *testing.T) {
	p := Plan{LotSize: 1000, AQL: 1, Severity: Reduced, Sample: 2, Accept: 0, Reject: 2}
	if got := p.AcceptProcess(0.3); math.Abs(got-(1-0.09)) > 1e-12 { // 1 - p^2, by hand
		t.Errorf("%v", got)
	}
}

// Every plan of the tables: what its risks say lies on its curve.
func TestRisksOfEveryPlan(t *testing.T) {
	for _, lot := range []int{40, 1000, 600000} {
		for _, aql := range aqls {
			for _, s := range []Severity{Normal, Tightened, Reduced} {
				p, err := For(lot, LevelII, aql, s)
				if err != nil {
					t.Fatal(err)
				}
				r := p.Risks()
				if r.AQL != aql/100 || math.Abs(p.AcceptProcess(aql/100)+r.ProducersRisk-1) > 1e-12 || r.ProducersRisk > 0.5 { // a plan that mostly rejects its own AQL is wrong
					t.Errorf("%+v: %+v", p, r)
				}
				// Ten digits of the inverse, times the slope of the curve, which is below a few thousand.
				if r.LimitingQuality < 1 && math.Abs(p.AcceptProcess(r.LimitingQuality)-0.1) > 1e-6 {
					t.Errorf("%+v: %+v does not lie on the curve", p, r)
				}
			}
		}
	}
}

// Poisson by hand: Ac and the sample as the plan says, half a fault a piece.
func TestAcceptProcessOfFaults(t *testing.T) {
	p, err := For(100, LevelII, 25, Normal)
	if err != nil {
		t.Fatal(err)
	}
	var want float64
	term := math.Exp(-0.5 * float64(p.Sample))
	for k := 0; k <= p.Accept; k++ {
		want += term
		term *= 0.5 * float64(p.Sample) / float64(k+1)
	}
	if got := p.AcceptProcess(0.5); math.Abs(got-want) > 1e-12 {
		t.Errorf("%v, by hand %v", got, want)
	}
}

// A plan that accepts whatever it finds has quality 1 wherever it is asked.
func TestPlanThatAcceptsEverything(t *testing.T) {
	p := Plan{LotSize: 10, AQL: 10, Sample: 2, Accept: 2, Reject: 3}
	if p.AcceptProcess(0.9) != 1 || p.QualityAt(0.1) != 1 {
		t.Errorf("accepted with %v, quality %v", p.AcceptProcess(0.9), p.QualityAt(0.1))
	}
}
