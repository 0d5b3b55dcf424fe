package words

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

func accepted(d delivery.Decision) *delivery.Acceptance {
	return &delivery.Acceptance{Decision: d, Size: 50, ByClass: []delivery.ClassAcceptance{
		{Class: measure.Critical, AQL: 0.65, Judged: true, Plan: sampling.Plan{Sample: 20, Accept: 0}, Bad: 2, Outcome: sampling.Rejected},
		{Class: measure.Major, AQL: 2.5, Judged: true, Plan: sampling.Plan{Sample: 13, Accept: 1}, Bad: 1, Outcome: sampling.Undecided, UnsureKits: []string{"U1"}, BlankKits: []string{"B1", "U1"}},
	}}
}

// What to do with a lot comes first, with the figures it rests on.
func TestLotHeadline(t *testing.T) {
	counts := [fit.Fail + 1]int{fit.Pass: 15, fit.Fail: 3, fit.Unsure: 1, fit.NotMeasured: 1}
	stopped := accepted(delivery.Stopped)
	stopped.Why = sampling.Cause{Kind: sampling.RejectedTightened, Rejected: 5}
	unread := accepted(delivery.Undecided)
	unread.Unread, unread.Short = []string{"R1", "R2"}, 1
	nothing := accepted(delivery.Undecided)
	nothing.ByClass = nil
	odd := []*delivery.Trouble{{Kit: "B1", Verdict: fit.Implausible}, {Kit: "U1", Verdict: fit.Implausible}}
	for _, c := range []struct {
		lot  delivery.Lot
		want string
	}{
		{delivery.Lot{Name: "L", Supplier: "S", Acceptance: accepted(delivery.Accept)}, "L of S: the sample has no more bad kits than the plan allows."},
		{delivery.Lot{Acceptance: accepted(delivery.Accept), Bad: []string{"K1"}}, "the lot without a name: the sample has no more bad kits than the plan allows. Set aside 1 kit that fails: K1."},
		{delivery.Lot{Name: "L", Kits: 20, Verdicts: counts, Acceptance: accepted(delivery.Reject)},
			"L: 2 bad for critical characteristics among 20, 0 allowed. Send it back, or sort it: of the kits checked 15 pass, 3 fail, 2 open; 30 are still to be checked."},
		{delivery.Lot{Name: "L", Kits: 50, Verdicts: counts, Acceptance: accepted(delivery.Reject)},
			"L: 2 bad for critical characteristics among 20, 0 allowed. Send it back, or sort it: every kit is checked, 15 pass, 3 fail, 32 open."},
		{delivery.Lot{Name: "L", Kits: 20, Verdicts: counts, Acceptance: stopped},
			"L: no acceptance by sampling before the supplier has cured the cause (5 lots were rejected under tightened inspection). Send it back"},
		{delivery.Lot{Name: "L", Acceptance: unread}, "L: check the kits drawn first: R1, R2; check 1 kit more, drawn at random; read again what is unsure or missing of U1, B1."},
		{delivery.Lot{Name: "L", Acceptance: unread, Troubles: odd[:1]}, "L: check the kits drawn first: R1, R2; check 1 kit more, drawn at random; read again what is unsure, missing or cannot be so of U1, B1."},
		{delivery.Lot{Name: "L", Acceptance: unread, Troubles: odd}, "L: check the kits drawn first: R1, R2; check 1 kit more, drawn at random; read again what cannot be so of U1, B1."},
		{delivery.Lot{Name: "L", Acceptance: accepted(delivery.Accept), Doubtful: []*delivery.Trouble{{Kit: "P", Suspect: []delivery.Row{{Place: measure.Place{File: "r.csv", Line: 7}, Or: []int{9}}}}}},
			"L: read again first what does not agree with other readings: P (r.csv line 7 or 9). As it was read: the sample has no more bad kits"},
		{delivery.Lot{Name: "L", Acceptance: nothing}, "L: nothing that has a limit was measured, so nothing can be said of it."},
	} {
		if got := LotHeadline(&c.lot); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	r := &delivery.Report{Lots: []*delivery.Lot{
		{Name: "L1", Acceptance: accepted(delivery.Reject)}, {Acceptance: accepted(delivery.Accept)}, {Name: "L3", Acceptance: accepted(delivery.Reject)},
	}}
	if got, want := DeliveryHeadline(r), "3 lots: accept (no name); reject L1, L3."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestLotCounts(t *testing.T) {
	l := &delivery.Lot{Kits: 4, Verdicts: [fit.Fail + 1]int{fit.Pass: 2, fit.Fail: 1, fit.Unsure: 1}, Acceptance: &delivery.Acceptance{Size: 1}}
	if got, want := LotCounts(l), "4 of 1 kit checked: 2 pass, 1 fail, 1 unsure."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	l.Yield = lot.Yield{Known: true, Share: lot.Interval{Low: 0.5, High: 0.75}, Process: lot.Interval{Low: 0.0672, High: 0.999}}
	if got, want := LotCounts(l), "4 of 1 kit checked: 2 pass, 1 fail, 1 unsure. First-pass yield 50 %; of the process behind it 7 % to 99.9 %."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	l.Yield.Unsure = 1
	if got, want := LotCounts(l), "First-pass yield 50 % (open kits failing) to 75 % (passing);"; !strings.Contains(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// The risks are those of the plan: with n = 20 and Ac = 1 a process of 2.5 % bad has 1 - 0.975^20 - 20 x
// 0.025 x 0.975^19 = 8.8 % of its lots rejected; 18 % bad still pass one time in ten (0.82^20 + 20 x 0.18 x 0.82^19 = 0.10).
func TestRisks(t *testing.T) {
	c := &delivery.ClassAcceptance{Class: measure.Major, AQL: 2.5, Judged: true, Plan: sampling.Plan{LotSize: 500, AQL: 2.5, Sample: 20, Accept: 1, Reject: 2}}
	want := "Risk, major: a process with just 2.5 % bad kits has 8.8 % of its lots rejected all the same; one with 18 % bad kits still has 1 lot in 10 accepted."
	if got := Risks(c); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	rows := CurveRows(&delivery.Acceptance{ByClass: []delivery.ClassAcceptance{{Class: measure.Minor}, *c}})
	if len(rows) != 2 || strings.Join(rows[0], " ") != "accepted 99 % 95 % 75 % 50 % 25 % 10 % 5 %" || rows[1][0] != "major" || rows[1][6] != "18 %" {
		t.Errorf("%q", rows)
	}
	c.Plan.All = true
	if got := Risks(c); !strings.Contains(got, "looks at every kit") {
		t.Error(got)
	}
	c.AQL = 0
	if got := Risks(c); got != "" {
		t.Error(got)
	}
}

func TestOutcomes(t *testing.T) {
	for outcome, want := range map[sampling.Outcome]string{
		sampling.Undecided: "undecided", sampling.Accepted: "accepted", sampling.AcceptedNormalNext: "accepted, normal inspection next", sampling.Rejected: "rejected",
	} {
		if got := Outcome(&delivery.ClassAcceptance{AQL: 1, Judged: true, Outcome: outcome}); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Outcome(&delivery.ClassAcceptance{Judged: true}) + ", " + Outcome(&delivery.ClassAcceptance{AQL: 1}); got != "not inspected, nothing measured" {
		t.Error(got)
	}
}

// A note that holds for all is said once; a kit that breaks a rule twice is named once.
func TestLotNotesAndSignals(t *testing.T) {
	few := []lot.Warning{{Kind: lot.FewForIndices, N: 5}}
	p := func(name string, n int, w []lot.Warning, own bool) *delivery.Process {
		return &delivery.Process{Name: name, N: n, Warnings: w, Spread: &lot.Parts{MostlyGauge: own}}
	}
	got := LotNotes(&delivery.Lot{Processes: []*delivery.Process{p("a", 5, few, true), p("b", 5, few, false), p("c", 1, few, false)}})
	want := []string{"a: more than half of the variance is our own measuring", "a, b: the indices rest on 5 values", "c: one kit tells nothing of a spread."}
	for i := range want {
		if len(got) != len(want) || !strings.HasPrefix(got[i], want[i]) {
			t.Fatalf("%q, want %q", got, want)
		}
	}
	if got := LotNotes(&delivery.Lot{Processes: []*delivery.Process{p("a", 5, few, false), p("b", 5, few, false)}}); !strings.HasPrefix(got[0], "every characteristic: ") {
		t.Error(got)
	}
	odd := &delivery.Process{Dimension: measure.Length, N: 11, Signals: []delivery.Signal{
		{Rule: lot.BeyondLimits, Kits: []string{"A"}}, {Rule: lot.LevelShift, Kits: []string{"B"}, Step: -0.25}, {Rule: lot.BeyondLimits, Kits: []string{"A", "C"}},
	}, Trend: &lot.Trend{Slope: -0.02, U: 0.0049, First: 0.1, Last: -0.1}, Chart: &lot.Chart{Centre: 0.1, Lower: -0.2, Upper: 0.4}, Name: "margin", Drifts: true}
	if got, want := Signals(odd), "beyond the chart's limits: A, C; the level goes down by 0.250 mm from there on: B"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	want = []string{"margin (0.100, from -0.200 to 0.400 mm): it drifts by -0.0200 ± 0.0049 mm a kit, down by 0.200 mm over the 11 kits; " + Signals(odd) + "."}
	if diff := cmp.Diff(want, Unsteady(&delivery.Lot{Processes: []*delivery.Process{odd, p("steady", 9, nil, false)}})); diff != "" {
		t.Error(diff)
	}
	if got, want := SignalCounts(odd), "beyond the chart's limits (2 kits); its level moves on the way; it drifts by -0.0200 ± 0.0049 mm a kit, down by 0.200 mm over the 11 kits"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := Steadiness(odd) + ", " + Steadiness(p("few", 24, nil, false)) + ", " + Steadiness(p("many", 25, nil, false)); got != "not steady, few kits, steady" {
		t.Error(got)
	}
	if got := Index(lot.Index{Value: 3.01, Known: true}) + " " + Index(lot.Index{Value: 3, Low: 2, High: 4, Known: true}); got != ">3 3.00 2.0..4.0" {
		t.Error(got)
	}
	if got := Index(lot.Index{Value: 1.234, Low: 0.96, High: 1.54, Known: true}) + " " + Index(lot.Index{Value: 1}); got != "1.23 1.0..1.5 -" {
		t.Error(got)
	}
	if got := ToDraw(&delivery.Draw{Size: 1, Kits: []int{0}, Seed: 7}) + " " + ToDraw(&delivery.Draw{Size: 90, Kits: []int{2, 7}, Severity: sampling.Tightened, Seed: 7}); got !=
		"Take 1 kit: at this size the sample is the whole lot. Draw 2 of 90 kits (tightened inspection, seed 7), counted in the order of their names: 3, 8." {
		t.Error(got)
	}
}
