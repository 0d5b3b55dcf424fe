package sampling

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/combin"
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
		if got, want := p.Inspected(quality), number(t, row["ati_published_N10000"]); math.Abs(got-want) >= 1 {
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

// By counting: every choice of 4 from 9 pieces of which the first 3 are bad.
func TestAcceptLotByCounting(t *testing.T) {
	const lot, sample, bad = 9, 4, 3
	for accept := range 4 {
		p := Plan{LotSize: lot, AQL: 10, Sample: sample, Accept: accept, Reject: accept + 1}
		accepted, all := 0, 0
		for _, choice := range combin.Combinations(lot, sample) {
			found := 0
			for _, piece := range choice {
				if piece < bad {
					found++
				}
			}
			all++
			if found <= accept {
				accepted++
			}
		}
		got, err := p.AcceptLot(bad)
		if want := float64(accepted) / float64(all); err != nil || math.Abs(got-want) > 1e-12 { // logarithms of factorials
			t.Errorf("Ac %d: %v, %v; counted %v", accept, got, err, want)
		}
	}
}

// A large lot behaves as the process behind it.
func TestAcceptLotNearsProcess(t *testing.T) {
	p := Plan{LotSize: 1000000, AQL: 1, Sample: 80, Accept: 2, Reject: 3}
	got, err := p.AcceptLot(20000)
	if want := p.AcceptProcess(0.02); err != nil || math.Abs(got-want) > 1e-4 { // of the order sample/lot
		t.Errorf("%v, %v; process %v", got, err, want)
	}
}

func TestCurveOfWholeLot(t *testing.T) {
	p, err := For(10, LevelII, 0.65, Normal)
	if err != nil || !p.All {
		t.Fatalf("%+v, %v", p, err)
	}
	for bad, want := range []float64{1, 0, 0} {
		if got, err := p.AcceptLot(bad); err != nil || math.Abs(got-want) > 1e-12 { // logarithms of factorials
			t.Errorf("%d bad: %v, %v", bad, got, err)
		}
	}
	if p.Inspected(0.3) != 10 || p.Outgoing(0.3) != 0 || p.Risks().WorstOutgoing != 0 {
		t.Errorf("a lot inspected whole: %+v", p.Risks())
	}
	if _, err := p.AcceptLot(11); err == nil {
		t.Error("no error for 11 bad of 10")
	}
}

// In reduced inspection the gap between Ac and Re accepts.
func TestReducedGapAccepts(t *testing.T) {
	p := Plan{LotSize: 1000, AQL: 1, Severity: Reduced, Sample: 2, Accept: 0, Reject: 2}
	if got := p.AcceptProcess(0.3); math.Abs(got-(1-0.09)) > 1e-12 { // 1 - p^2, by hand
		t.Errorf("%v", got)
	}
}

// Every plan of the tables: the curve falls, its marked points are in order, and the numbers agree
// with each other.
func TestRisksOfEveryPlan(t *testing.T) {
	for _, lot := range []int{40, 1000, 600000} {
		for _, aql := range AQLs() {
			for s := Normal; s < countOfSeverities; s++ {
				p, err := For(lot, LevelII, aql, s)
				if err != nil {
					t.Fatal(err)
				}
				checkRisks(t, p)
			}
		}
	}
}

func checkRisks(t *testing.T, p Plan) {
	t.Helper()
	r := p.Risks()
	if r.Indifference < 1 && r.LimitingQuality < 1 || p.CountsFaults() {
		if !(r.Indifference < r.LimitingQuality) {
			t.Errorf("%+v: %+v", p, r)
		}
		// Ten digits of the inverse, times the slope of the curve, which is below a few thousand.
		if math.Abs(p.AcceptProcess(r.LimitingQuality)-0.1) > 1e-6 || math.Abs(p.AcceptProcess(r.Indifference)-0.5) > 1e-6 {
			t.Errorf("%+v: %+v does not lie on the curve", p, r)
		}
	}
	if math.Abs(r.AcceptAtAQL+r.ProducersRisk-1) > 1e-12 || r.AcceptAtAQL < 0.5 { // rounding; a plan that mostly rejects its own AQL is wrong
		t.Errorf("%+v: %+v", p, r)
	}
	for i := range 200 {
		if q := r.LimitingQuality * float64(i) / 100; (p.CountsFaults() || q <= 1) && p.Outgoing(q) > r.WorstOutgoing*(1+1e-9) { // flat at the top
			t.Errorf("%+v: quality %v lets through %v, more than %v", p, q, p.Outgoing(q), r.WorstOutgoing)
		}
	}
}

func TestAcceptLotOfFaults(t *testing.T) {
	p, err := For(100, LevelII, 25, Normal)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.AcceptLot(3); err == nil || !strings.Contains(err.Error(), "faults") {
		t.Errorf("%v", err)
	}
	// Poisson by hand: Ac and the sample as the plan says, half a fault a piece.
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
