package words

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// A process is told by its kits, its limits and its indices, and first by what makes the indices worth little.
func TestProcess(t *testing.T) {
	p := &delivery.Process{Name: "pitch", Dimension: measure.Angle, N: 1, Lower: math.Inf(-1), Upper: math.Inf(1)}
	said(t, [2]string{Process(p), "1 kit"})
	p.N, p.Limited, p.Lower, p.Upper = 24, true, -0.5, 1.25
	said(t, [2]string{Process(p), "24 kits, limits -0.5 to 1.25 deg"})
	p.Capability = &lot.Capability{Cp: lot.Index{Value: 1.333, Low: 0.94, High: 1.72, Known: true}, Cpk: lot.Index{Value: 1.1, Low: 0.8, High: 1.4, Known: true}, Ppk: lot.Index{Value: 9, Low: 5, High: 12, Known: true}}
	p.Product = lot.Index{Value: math.Inf(1), Low: 1.55, High: math.Inf(1), Known: true}
	said(t, [2]string{Process(p), "24 kits, limits -0.5 to 1.25 deg; few kits; Cp 1.33 (0.9..1.7); Cpk 1.10 (0.8..1.4); Ppk >3; of the product >1.6"})
	p.N = 25
	if got := Process(p); !strings.HasPrefix(got, "25 kits, limits -0.5 to 1.25 deg; Cp 1.33 (") {
		t.Error(got)
	}
	p.NotNormal = true
	if got := Process(p); !strings.Contains(got, "; not normal; Cp") {
		t.Error(got)
	}
	p.Signals = []delivery.Signal{{Rule: lot.BeyondLimits, Kits: []string{"A"}}}
	if got := Process(p); !strings.Contains(got, "; not steady; Cp") {
		t.Error(got)
	}
}

func TestToleranceAndRules(t *testing.T) {
	said(t,
		[2]string{Tolerance(nil), ""},
		[2]string{Tolerance(&lot.Interval{Low: -0.1234, High: 0.5678}), "-0.123 to 0.568"},
		[2]string{Tolerance(&lot.Interval{Low: math.Inf(-1), High: 123.456}), "up to 123.46"},
		[2]string{Tolerance(&lot.Interval{Low: 0.2, High: math.Inf(1)}), "0.200 and up"},
		[2]string{RunRule(lot.BeyondLimits) + "; " + RunRule(lot.LevelShift) + "; " + RunRule(lot.NoRunRule), "beyond the chart's limits; the level moves; no rule"},
		[2]string{strings.Join(LotWarnings([]lot.Warning{{Kind: lot.OnePerson}, {Kind: lot.FewForLimits, N: 7}}), "|"),
			"one person read everything: a second shows whether persons differ|the limits rest on 7 values: 20 or more settle them"},
	)
	// An index whose limits are open on one side, or whose spread is all our own, says so.
	inf := math.Inf(1)
	for x, want := range map[lot.Index]string{
		{Known: true, Value: 1, Low: -inf, High: inf}:    "?",
		{Known: true, Value: -inf, Low: -inf, High: 0.4}: "<0.4",
		{Known: true, Value: 1.2, Low: 0.7, High: inf}:   "1.20 >0.7",
		{Known: true, Value: 1.2, Low: -inf, High: 1.9}:  "1.20 <1.9",
		{Known: true, Value: inf, Low: 2.04, High: inf}:  ">2.0",
		{Known: true, Value: 3.2, Low: 2.5, High: 4}:     ">3",
		{Known: true, Value: 2.9, Low: 3.01, High: 4}:    ">3",
	} {
		said(t, [2]string{Index(x), want})
	}
}

// A sample is told by its kits, and what is unsure or blank by how it was counted.
func TestDrawn(t *testing.T) {
	a := &delivery.Acceptance{Size: 20, Drawn: []string{"A", "C"}, ByClass: []delivery.ClassAcceptance{
		{Class: measure.Critical, UnsureKits: []string{"A"}}, {Class: measure.Major, UnsureKits: []string{"B", "C"}, BlankKits: []string{"D"}}, {Class: measure.Minor},
	}}
	said(t,
		[2]string{Drawn(&delivery.Acceptance{Size: 20}, 3), ""},
		[2]string{Drawn(&delivery.Acceptance{Size: 2, Drawn: []string{"A", "C"}}, 3), "The sample is the whole lot."},
		[2]string{Drawn(a, 3), "Drawn with seed 3: A, C."},
	)
	a.FromRead = true
	said(t, [2]string{Drawn(a, 4), "Drawn with seed 4, from the kits that were checked: A, C."})
	want := []string{
		"Open in critical characteristics, unsure or not all measured, not counted as good: they keep the decision open where they matter: A.",
		"Open in major characteristics, unsure or not all measured, not counted as good: they keep the decision open where they matter: B, C.",
		"Without a measured major characteristic, not counted as good: D.",
	}
	if diff := cmp.Diff(want, UnsureKits(a)); diff != "" {
		t.Error(diff)
	}
	a.UnsureBad = true
	said(t, [2]string{UnsureKits(a)[1], "Open in major characteristics, unsure or not all measured, counted as bad: B, C."})
	said(t, [2]string{NextDraw(a), ""})
	a.ToDraw = &delivery.Draw{Size: 9, Kits: []int{0, 4, 8}, Severity: sampling.Normal, Seed: 2}
	said(t, [2]string{NextDraw(a), "Of a next lot of as many kits: Draw 3 of 9 kits (normal inspection, seed 2), counted in the order of their names: 1, 5, 9."})
	r := &delivery.Report{Lots: []*delivery.Lot{{Assumed: []string{"rule", "feeler"}}, {Assumed: []string{"feeler", "calliper"}}}}
	said(t, [2]string{strings.Join(LotsAssumed(r), ", "), "rule, feeler, calliper"})
}

// The gravest finding stands for all of a kit's, with how many more there are.
func TestFirstFinding(t *testing.T) {
	l := badLot()
	one := l.Troubles[0]
	if got := FirstFinding(one); got != Findings(one) {
		t.Error(got)
	}
	two := *one
	other := l.Troubles[1].Found[0]
	two.Found = []delivery.Found{one.Found[0], other, other}
	if got := FirstFinding(&two); got != Finding(&one.Found[0])+"; 2 more" || strings.Contains(got, Finding(&other)) {
		t.Error(got)
	}
	if got := Findings(&two); got != Finding(&one.Found[0])+"; "+Finding(&other)+"; "+Finding(&other) {
		t.Error(got)
	}
}

// A failing kit of which something cannot be so is to be read again there first; one of which nothing else fails has its row
// corrected. Rows are told where they are known.
func TestRowsThatCannotBeSo(t *testing.T) {
	fails := *badLot().Troubles[0]
	work := WorkWords(&fails)
	odd := fails
	odd.Odd = []measure.Place{{File: "some/where/readings.csv", Line: 12}, {File: "kits.csv", Line: 3}}
	implausible := odd
	implausible.Verdict = fit.Implausible
	silent := implausible
	silent.Odd = nil
	said(t,
		[2]string{WorkWords(&odd), "read again first what cannot be so (readings.csv line 12; kits.csv line 3); what follows from the rest: " + work},
		[2]string{Findings(&odd), Findings(&fails)},
		[2]string{Findings(&implausible), "something was read that cannot be so (readings.csv line 12; kits.csv line 3)"},
		[2]string{Findings(&silent), "something was read that cannot be so"},
		[2]string{WorkWords(&implausible), "correct what check names"})
}
