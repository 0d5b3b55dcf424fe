package delivery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// kit has one critical characteristic with a verdict.
func kit(name, lot string, v fit.Verdict, value float64) Kit {
	return Kit{Name: name, Lot: lot, Supplier: "works", Verdict: v, Found: []Found{{
		Name: "centre-line-error", Dimension: measure.Length, Class: measure.Critical, Lower: -1, Upper: 1,
		Value: value, StdUncertainty: 0.05, Common: 0.03, Verdict: v,
	}}}
}

// lotOf has so many kits of each verdict, in that order.
func lotOf(t *testing.T, pass, fails, unsure int) *Delivery {
	t.Helper()
	d := &Delivery{}
	n := 0
	for _, group := range []struct {
		n     int
		v     fit.Verdict
		value float64
	}{{pass, fit.Pass, 0}, {fails, fit.Fail, 2}, {unsure, fit.Unsure, 1}} {
		for range group.n {
			n++
			if err := d.Add(kit(fmt.Sprintf("K%03d", n), "L", group.v, group.value)); err != nil {
				t.Fatal(err)
			}
		}
	}
	return d
}

// critical looks at critical characteristics alone.
func critical(aql float64) Options {
	o := Options{Seed: 1}
	o.AQL[measure.Critical] = aql
	return o
}

func judge1(t *testing.T, d *Delivery, o Options) *Lot {
	t.Helper()
	r, err := d.Judge(o)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Lots) != 1 {
		t.Fatalf("%d lots, want 1", len(r.Lots))
	}
	return r.Lots[0]
}

// The plan is MIL-STD-105E's: 30 kits, level II, letter D; at AQL 1.0 an arrow leads to letter E,
// 13 kits, 0 accepted (Tables I and II-A; testdata/published-lot/mil_std_105e_single_sampling_resolved.csv).
func TestPlanIsTheStandards(t *testing.T) {
	a := judge1(t, lotOf(t, 30, 0, 0), critical(1.0)).Acceptance
	c := a.ByClass[0]
	if a.Decision != Accept || c.Plan.Letter != "E" || c.Plan.Sample != 13 || c.Plan.Accept != 0 || len(a.Drawn) != 13 {
		t.Errorf("decision %v, plan %+v, %d drawn", a.Decision, c.Plan, len(a.Drawn))
	}
}

// Unsure kits are never good by silence.
func TestUnsureKits(t *testing.T) {
	bad := critical(1.0)
	bad.UnsureBad = true
	for _, c := range []struct {
		name                string
		pass, fails, unsure int
		separate, counted   Decision
	}{
		{"all good", 10, 0, 0, Accept, Accept},
		{"one unsure", 9, 0, 1, Undecided, Reject},
		{"all unsure", 0, 0, 10, Undecided, Reject},
		{"one bad", 9, 1, 0, Reject, Reject},
		{"one bad, one unsure", 8, 1, 1, Reject, Reject},
		{"one kit, good", 1, 0, 0, Accept, Accept},
		{"one kit, bad", 0, 1, 0, Reject, Reject},
		{"one kit, unsure", 0, 0, 1, Undecided, Reject},
	} {
		got := judge1(t, lotOf(t, c.pass, c.fails, c.unsure), critical(1.0))
		if got.Acceptance.Decision != c.separate || len(got.Acceptance.ByClass[0].UnsureKits) != c.unsure {
			t.Errorf("%s: %v with unsure kits %v, want %v", c.name, got.Acceptance.Decision, got.Acceptance.ByClass[0].UnsureKits, c.separate)
		}
		if got := judge1(t, lotOf(t, c.pass, c.fails, c.unsure), bad).Acceptance; got.Decision != c.counted {
			t.Errorf("%s, unsure as bad: %v, want %v", c.name, got.Decision, c.counted)
		}
	}
}

// Of many lots from a process with a share p of bad kits, the share accepted is the plan's operating
// curve (sampling.AcceptProcess, which is checked against published curves there).
func TestAcceptedShareIsTheOperatingCurve(t *testing.T) {
	const lots, size, p = 1500, 60, 0.05
	rng := rand.New(rand.NewPCG(3, 1))
	d := &Delivery{}
	for l := range lots {
		for i := range size {
			v := fit.Pass
			if rng.Float64() < p {
				v = fit.Fail
			}
			if err := d.Add(kit(fmt.Sprintf("%d-%d", l, i), fmt.Sprint(l), v, 0)); err != nil {
				t.Fatal(err)
			}
		}
	}
	o := critical(1.0)
	o.Fixed = true
	r, err := d.Judge(o)
	if err != nil {
		t.Fatal(err)
	}
	accepted := 0
	for _, l := range r.Lots {
		if l.Acceptance.Decision == Accept {
			accepted++
		}
	}
	want := r.Lots[0].Acceptance.ByClass[0].Plan.AcceptProcess(p)
	spread := math.Sqrt(want * (1 - want) / lots)
	if got := float64(accepted) / lots; math.Abs(got-want) > 4*spread { // four standard deviations: once in 16,000 seeds
		t.Errorf("%.3f of the lots accepted, the curve says %.3f +/- %.3f", got, want, spread)
	}
}

func TestDrawDoesNotDependOnTheOrderOfFiles(t *testing.T) {
	kits := make([]Kit, 80)
	for i := range kits {
		kits[i] = kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, 0)
	}
	drawn := func() []string {
		d := &Delivery{}
		for _, k := range kits {
			if err := d.Add(k); err != nil {
				t.Fatal(err)
			}
		}
		return judge1(t, d, critical(0.65)).Acceptance.Drawn
	}
	first := drawn()
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(kits), func(i, j int) { kits[i], kits[j] = kits[j], kits[i] })
	if diff := cmp.Diff(first, drawn()); diff != "" {
		t.Error(diff)
	}
}

// A kit that is listed and not checked takes part in the draw, before and after.
func TestListedKitsAreDrawnAndMissed(t *testing.T) {
	listed := func(checked []string) *Lot {
		d := &Delivery{}
		for _, name := range checked {
			if err := d.Add(kit(name, "L", fit.Pass, 0)); err != nil {
				t.Fatal(err)
			}
		}
		for i := range 60 {
			d.List(fmt.Sprintf("K%02d", i), "L", "works")
		}
		return judge1(t, d, critical(0.65))
	}
	before := listed(nil)
	if before.Acceptance.Decision != Undecided || len(before.Acceptance.Unread) != 20 || before.Acceptance.Size != 60 {
		t.Fatalf("before anything is checked: %v, %d to check of %d", before.Acceptance.Decision, len(before.Acceptance.Unread), before.Acceptance.Size)
	}
	after := listed(before.Acceptance.Drawn)
	if after.Acceptance.Decision != Accept || len(after.Acceptance.Unread) != 0 {
		t.Errorf("with the drawn kits checked: %v, %v still to check", after.Acceptance.Decision, after.Acceptance.Unread)
	}
	if diff := cmp.Diff(before.Acceptance.Drawn, after.Acceptance.Drawn); diff != "" {
		t.Error(diff)
	}
	if almost := listed(before.Acceptance.Drawn[1:]); almost.Acceptance.Decision != Undecided {
		t.Errorf("with one of them left: %v", almost.Acceptance.Decision)
	}
}

func TestClassesWithoutReadings(t *testing.T) {
	o := critical(1.0)
	o.AQL[measure.Major] = 2.5
	got := judge1(t, lotOf(t, 10, 0, 0), o).Acceptance
	if got.Decision != Accept || got.ByClass[1].Judged {
		t.Errorf("a class that nobody measured: %v", got.Decision)
	}
	// A lot of which nothing was read that matters is not good by what else was read.
	d0 := new(Delivery)
	for i := range 10 {
		k := kit(fmt.Sprintf("W%02d", i), "L", fit.Incomplete, 0)
		k.Found[0].Class, k.Found[0].Verdict = measure.Major, fit.Pass
		if err := d0.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	o.AQL[measure.Critical] = 1
	if got := judge1(t, d0, o).Acceptance; got.Decision != Undecided || !got.ByClass[0].Judged {
		t.Errorf("a lot read for widths alone: %v", got.Decision)
	}
	// One kit alone lacks what the others have: it is not good by silence.
	d := lotOf(t, 9, 0, 0)
	if err := d.Add(Kit{Name: "bare", Lot: "L", Supplier: "works", Verdict: fit.NotMeasured}); err != nil {
		t.Fatal(err)
	}
	got = judge1(t, d, critical(1.0)).Acceptance
	if got.Decision != Undecided || !slices.Equal(got.ByClass[0].BlankKits, []string{"bare"}) {
		t.Errorf("a kit without a reading: %v, %v", got.Decision, got.ByClass[0].BlankKits)
	}
}

// Above an AQL of 10 faults are counted, of which a kit may have several.
func TestFaultsAreCountedAboveTen(t *testing.T) {
	k := kit("K1", "L", fit.Fail, 2)
	more := k.Found[0]
	more.Name = "scale-length"
	k.Found = append(k.Found, more)
	count := func(aql float64) int {
		d := &Delivery{}
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
		return judge1(t, d, critical(aql)).Acceptance.ByClass[0].Bad
	}
	if got := count(10); got != 1 {
		t.Errorf("%d bad kits of one", got)
	}
	if got := count(15); got != 2 {
		t.Errorf("%d faults of two", got)
	}
}

// The switching rules, from lot to lot of this delivery and through a history.
func TestSwitching(t *testing.T) {
	d := &Delivery{}
	add := func(lot string, v fit.Verdict) {
		for i := range 5 {
			if err := d.Add(kit(fmt.Sprint(lot, i), lot, v, 0)); err != nil {
				t.Fatal(err)
			}
		}
	}
	add("a", fit.Fail)
	add("b", fit.Fail)
	add("c", fit.Pass)
	severities := func(o Options) string {
		r, err := d.Judge(o)
		if err != nil {
			t.Fatal(err)
		}
		var list []string
		for _, l := range r.Lots {
			list = append(list, l.Acceptance.Severity.String()+" "+l.Acceptance.Decision.String())
		}
		return strings.Join(list, ", ")
	}
	o := critical(1.0)
	if got, want := severities(o), "normal reject, normal reject, tightened accept"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	o.History = []Past{{Lot: "x", Accepted: false}, {Lot: "a", Accepted: false}, {Lot: "y", Supplier: "others", Accepted: false}}
	if got, want := severities(o), "normal reject, tightened reject, tightened accept"; got != want {
		t.Errorf("after one rejected lot (a is judged now, y is another's): got %s, want %s", got, want)
	}
	o.History = nil
	for i := range 10 {
		o.History = append(o.History, Past{Lot: fmt.Sprint("old", i), Accepted: true})
	}
	if got, want := severities(o), "normal reject, normal reject, tightened accept"; got != want {
		t.Errorf("ten good lots without leave to reduce: got %s, want %s", got, want)
	}
	o.AllowReduced = true
	if got, want := severities(o), "reduced reject, normal reject, normal accept"; got != want {
		t.Errorf("ten good lots with it: got %s, want %s", got, want)
	}
	o.Fixed, o.Severity = true, sampling.Tightened
	if got, want := severities(o), "tightened reject, tightened reject, tightened accept"; got != want {
		t.Errorf("as asked for: got %s, want %s", got, want)
	}
}

// The kits of a next lot of as many are drawn by the plan that it will be inspected by, with a seed that is told; none
// are where the supplier is stopped.
func TestNextLotIsDrawn(t *testing.T) {
	o := critical(1.0)
	o.Seed = 4
	a := judge1(t, lotOf(t, 50, 0, 0), o).Acceptance
	want, err := sampling.Draw(50, 13, 5) // letter D of a lot of 50 has an arrow to E: 13 kits
	if err != nil || a.ToDraw == nil || a.ToDraw.Seed != 5 || a.ToDraw.Size != 50 || a.ToDraw.Severity != sampling.Normal || !slices.Equal(a.ToDraw.Kits, want) {
		t.Errorf("%+v, %v", a.ToDraw, err)
	}
	o.History = []Past{{Lot: "1"}, {Lot: "2"}} // rejected: this one is tightened, and so is the next
	if a := judge1(t, lotOf(t, 50, 0, 0), o).Acceptance; a.ToDraw == nil || a.ToDraw.Severity != sampling.Tightened || len(a.ToDraw.Kits) != 20 {
		t.Errorf("%+v", a.ToDraw)
	}
	for range 5 {
		o.History = append(o.History, Past{Lot: "again"})
	}
	if a := judge1(t, lotOf(t, 50, 0, 0), o).Acceptance; a.Decision != Stopped || a.ToDraw != nil {
		t.Errorf("stopped: %+v", a)
	}
	if _, err := NewDraw(9, sampling.LevelII, [measure.Minor + 1]float64{}, sampling.Normal, 1); err == nil {
		t.Error("a draw without any AQL")
	}
}

func TestRefusals(t *testing.T) {
	d := lotOf(t, 3, 0, 0)
	if err := d.Add(kit("K001", "other", fit.Pass, 0)); err == nil {
		t.Error("a kit was taken twice")
	}
	if _, err := d.Judge(critical(3)); err == nil {
		t.Error("an AQL that the tables do not have was taken")
	}
	if _, err := d.Judge(Options{}); err == nil {
		t.Error("no AQL at all was taken")
	}
	o := critical(1.0)
	o.Size = 2
	if _, err := d.Judge(o); err == nil {
		t.Error("a size below what was delivered was taken")
	}
	if err := d.Add(kit("x", "second", fit.Pass, 0)); err != nil {
		t.Fatal(err)
	}
	o.Size = 20
	if _, err := d.Judge(o); err == nil {
		t.Error("one size for two lots was taken")
	}
	if r, err := (&Delivery{}).Judge(critical(1.0)); err != nil || len(r.Lots) != 0 {
		t.Errorf("of nothing: %+v, %v", r, err)
	}
}
