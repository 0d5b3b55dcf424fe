package words_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
	"neckfit/report/words"
)

func TestCausesOfSeverity(t *testing.T) {
	for _, c := range []struct {
		severity sampling.Severity
		why      sampling.Cause
		want     string
	}{
		{sampling.Normal, sampling.Cause{}, "normal"},
		{sampling.Tightened, sampling.Cause{Kind: sampling.RejectedOften, Rejected: 2, Lots: 5}, "tightened (2 of the last 5 lots were rejected)"},
		{sampling.Normal, sampling.Cause{Kind: sampling.AcceptedInARow, Lots: 5}, "normal (5 lots in a row were accepted)"},
		{
			sampling.Reduced, sampling.Cause{Kind: sampling.AcceptedInARow, Lots: 10},
			"reduced (10 lots in a row were accepted; the limit number of Table VIII was not applied)",
		},
		{sampling.Tightened, sampling.Cause{Kind: sampling.CauseCured}, "tightened (resumed after the cause was cured)"},
		{sampling.Normal, sampling.Cause{Kind: sampling.LotRejected}, "normal (a lot was rejected)"},
		{sampling.Normal, sampling.Cause{Kind: sampling.BetweenNumbers}, "normal (a lot had more than its acceptance number)"},
		{sampling.Normal, sampling.Cause{Kind: sampling.ReducedNotWanted}, "normal (reduced inspection is no longer wanted)"},
		{sampling.Reduced, sampling.Cause{Kind: sampling.AskedFor}, "reduced (as asked for)"},
	} {
		if got := words.Severity(&delivery.Acceptance{Severity: c.severity, Why: c.why}); got != c.want {
			t.Errorf("%v for %+v is said as %q, want %q", c.severity, c.why, got, c.want)
		}
	}
}

func TestNextLot(t *testing.T) {
	for _, c := range []struct {
		a    delivery.Acceptance
		want string
	}{
		{delivery.Acceptance{Decision: delivery.Accept}, ""},
		{delivery.Acceptance{Decision: delivery.Undecided}, "this lot does not count toward the switching rules before it is decided"},
		{delivery.Acceptance{Decision: delivery.Undecided, Why: sampling.Cause{Kind: sampling.AskedFor}}, ""},
		{
			delivery.Acceptance{Decision: delivery.Reject, Next: &sampling.Step{Severity: sampling.Tightened, Cause: sampling.Cause{Kind: sampling.RejectedOften, Rejected: 2, Lots: 2}}},
			"tightened inspection, because 2 of the last 2 lots were rejected",
		},
		{
			delivery.Acceptance{Decision: delivery.Reject, Next: &sampling.Step{Stopped: true, Cause: sampling.Cause{Kind: sampling.RejectedTightened, Rejected: 5}}},
			"no acceptance by sampling before the supplier has cured the cause, because 5 lots were rejected under tightened inspection",
		},
	} {
		if got := words.NextLot(&c.a); got != c.want {
			t.Errorf("%+v is said as %q, want %q", c.a, got, c.want)
		}
	}
}

func TestLotWarnings(t *testing.T) {
	for _, c := range []struct {
		w    lot.Warning
		want string
	}{
		{lot.Warning{Kind: lot.OneValue}, "one value has no spread: 2 or more give one, 25 or more a useful one"},
		{lot.Warning{Kind: lot.AllEqual}, "all values are equal: read them with a finer gauge to see a spread"},
		{lot.Warning{Kind: lot.FewForLimits, N: 7}, "the limits rest on 7 values: 20 or more settle them"},
		{lot.Warning{Kind: lot.FewForIndices, N: 7}, "the indices rest on 7 values: 25 or more are needed to speak of capability"},
		{
			lot.Warning{Kind: lot.NotSteady},
			"the process is not steady: find the cause before the indices say anything of the next lot",
		},
		{lot.Warning{Kind: lot.LimitsDiffer}, "its limits differ from kit to kit, so there are no indices"},
		{lot.Warning{Kind: lot.LimitsWithoutRoom}, "its limits leave no room, so there are no indices"},
		{lot.Warning{Kind: lot.OnePerson}, "one person read everything: a second shows whether persons differ"},
	} {
		if got := words.LotWarning(c.w); got != c.want {
			t.Errorf("%+v is said as %q, want %q", c.w, got, c.want)
		}
	}
}

// What a plan by variables rests on is said first, then the plan, the kits, and what came of them.
func TestByVariables(t *testing.T) {
	p := &delivery.Process{Dimension: measure.Length, Lower: math.Inf(-1), Upper: 209, Drifts: true, NotNormal: true}
	v := &delivery.Variables{
		Name: "pitch", Process: p, Drawn: []string{"A", "B"}, Mean: 195, SD: 8.803, Above: 0.02188, Outcome: sampling.Accepted,
		Plan: sampling.VariablesPlan{AQL: 1, Letter: "D", Sample: 5, Most: 0.0333, K: 1.5247},
	}
	want := []string{
		"The process is not steady: what the sample tells of it need not hold for the rest.",
		"The values do not lie as normal ones would (Shapiro-Wilk), so that this plan does not hold: count bad kits instead.",
		"Plan (MIL-STD-414, standard deviation method): AQL 1 %, normal inspection, letter D, 5 kits, k = 1.52; at most 3.3 % of the process may be estimated to lie outside.",
		"Drawn with seed 7: A, B.",
		"accepted: mean 195.00, standard deviation 8.803 mm, 1.59 standard deviations to the upper limit of 209; 2.2 % estimated outside.",
	}
	if diff := cmp.Diff(want, words.ByVariables(v, 7)); diff != "" {
		t.Error(diff)
	}
	p.Drifts, p.NotNormal, v.Blank, v.Outcome = false, false, []string{"B"}, sampling.Undecided
	if got := words.ByVariables(v, 7); len(got) != 3 || got[2] != "undecided: read it first of B." {
		t.Error(got)
	}
	v.Process = nil
	if got := words.ByVariables(v, 7); len(got) != 1 || !strings.Contains(got[0], "not measured") {
		t.Error(got)
	}
}

// Each person or gauge that reads otherwise is named once, and before anything is done.
func TestSplitsAreSaidFirst(t *testing.T) {
	l := &delivery.Lot{Name: "L", Acceptance: &delivery.Acceptance{Decision: delivery.Accept}, Processes: []*delivery.Process{
		{Name: "pocket-gap-end", Dimension: measure.Length, Split: &delivery.Split{Gauge: "cal-2", Kits: 12, Diff: -0.25, U: 0.04}},
		{Name: "pocket-gap-mouth", Dimension: measure.Length, Split: &delivery.Split{Gauge: "cal-2", Kits: 12, Diff: -0.24, U: 0.04}},
		{Name: "roll", Dimension: measure.Angle, Split: &delivery.Split{Person: "Q", Kits: 4, Diff: 0.5, U: 0.2}},
		{Name: "pitch"},
	}}
	const ask = ": have a few of them read by somebody else with another gauge before the supplier is blamed"
	want := []string{
		"the 12 kits read with cal-2 lie 0.250 ± 0.040 mm lower in pocket-gap-end than the others" + ask,
		"the 4 kits that Q read lie 0.50 ± 0.20 deg higher in roll than the others" + ask,
	}
	if diff := cmp.Diff(want, words.Splits(l)); diff != "" {
		t.Error(diff)
	}
	if got := words.LotHeadline(l); !strings.HasSuffix(got, " First of all: "+want[0]+"; "+want[1]+".") {
		t.Error(got)
	}
}
