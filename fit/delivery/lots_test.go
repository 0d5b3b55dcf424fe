package delivery

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Of a checked kit what was measured is kept, as it was; a gauge without a row in gauges.csv is one that was assumed.
func TestWhatIsKeptOfAKit(t *testing.T) {
	at := func(line int) *measure.Reading {
		return &measure.Reading{Place: measure.Place{File: "readings.csv", Line: line}}
	}
	known := &measure.Gauge{ID: "cal", Place: measure.Place{File: "gauges.csv", Line: 2}}
	r := &fit.Result{Kit: "K", Info: measure.Info{Lot: "L", Supplier: "works"}, Verdict: fit.Unsure, People: []string{"P"}, Gauges: []*measure.Gauge{known, {ID: "rule"}}, Suspects: []fit.Suspect{{Reading: at(7), Rivals: []*measure.Reading{at(18), at(20)}}}, Characteristics: []fit.Characteristic{
		{ID: fit.CentreLineError, Dimension: measure.Length, Class: measure.Critical, Lower: -1, Upper: 2, Value: 0.5, StdUncertainty: 0.3, Common: 0.2, Verdict: fit.Unsure},
		{ID: fit.BridgeSkew, Verdict: fit.NotMeasured, Missing: fit.Missing{Want: fit.WantPlateHoles}},
	}}
	want := Kit{Name: "K", Lot: "L", Supplier: "works", Verdict: fit.Unsure, Assumed: []string{"rule"}, Gauges: []string{"cal", "rule"}, People: []string{"P"}, Suspect: []Row{{at(7).Place, []int{18, 20}}}, Found: []Found{
		{Name: "centre-line-error", Dimension: measure.Length, Class: measure.Critical, Lower: -1, Upper: 2, Value: 0.5, StdUncertainty: 0.3, Common: 0.2, Verdict: fit.Unsure},
	}}
	if diff := cmp.Diff(want, Of(r)); diff != "" {
		t.Error(diff)
	}
}

// The recommendation is the first plan's; none where nothing is advised.
func TestWorkOfAnAdvice(t *testing.T) {
	plan := remedy.Plan{Actions: []remedy.Action{{Work: measure.SideShim}, {Work: measure.Reseat}}, Minutes: 35, P: 0.9, Return: []measure.Part{measure.NeckPart}, OneOf: true}
	drills := remedy.Plan{Actions: []remedy.Action{{Work: measure.PlugBridge}}, Asks: []remedy.Ask{remedy.HolesUnread}}
	for _, c := range []struct {
		a    *remedy.Advice
		want *Work
	}{
		{nil, nil}, {&remedy.Advice{}, nil},
		{&remedy.Advice{Plans: []remedy.Plan{plan, {Minutes: 1}}}, &Work{Kinds: []measure.Work{measure.SideShim, measure.Reseat}, Return: plan.Return, OneOf: true, Minutes: 35, P: 0.9}},
		{&remedy.Advice{Plans: []remedy.Plan{plan}, Waits: make([]remedy.Wait, 1)}, &Work{Kinds: []measure.Work{measure.SideShim, measure.Reseat}, Return: plan.Return, OneOf: true, Minutes: 35, P: 0.9, Waits: true}},
		{&remedy.Advice{Plans: []remedy.Plan{plan}, Untried: make([]remedy.Untried, 1)}, &Work{Kinds: []measure.Work{measure.SideShim, measure.Reseat}, Return: plan.Return, OneOf: true, Minutes: 35, P: 0.9}},
		{&remedy.Advice{Plans: []remedy.Plan{drills}, Untried: make([]remedy.Untried, 1)}, &Work{Kinds: []measure.Work{measure.PlugBridge}, Spares: true, Asks: true}},
	} {
		if diff := cmp.Diff(c.want, WorkOf(c.a)); diff != "" {
			t.Error(diff)
		}
	}
}

// A further finding that neck and body share in the same way is of the part that is off; any other of its own.
func TestPartsOfFurtherFindings(t *testing.T) {
	neck, body, bridge := measure.NeckPart, measure.BodyPart, measure.BridgePart
	k := &Kit{Name: "K", Verdict: fit.Fail, Found: []Found{
		lengthOf("centre-line-error", 1.4, 0.05, fit.Fail), lengthOf("margin-balance", 1.4, 0.05, fit.Fail), lengthOf("bridge-skew", 1, 0.05, fit.Fail),
		lengthOf("scale-length", 1, 0.05, fit.Fail), lengthOf("saddle-reserve-front", 1, 0.05, fit.Fail), lengthOf("pocket-gap-end", 1, 0.05, fit.Unsure),
		lengthOf("heel-offset", 0.1, 0.05, fit.NotJudged), lengthOf("bridge-off-pocket", 1.3, 0.05, fit.NotJudged),
	}}
	got := troubleOf(k)
	for i, want := range [][]measure.Part{{body}, {body}, {neck, body}, {neck}, {body, bridge}, {neck, body}} {
		if parts := got.PartsOf(i); !slices.Equal(parts, want) {
			t.Errorf("%s: %v, want %v", got.Found[i].Name, parts, want)
		}
	}
	k.Found[0] = lengthOf("scale-length", 5, 0.05, fit.Fail)
	if got := troubleOf(k); !slices.Equal(got.PartsOf(0), []measure.Part{neck}) || !slices.Equal(got.PartsOf(1), []measure.Part{neck, body}) {
		t.Errorf("beside a neck that is off: %v, %v", got.PartsOf(0), got.PartsOf(1))
	}
	// Where pocket and bridge lie beside the body's middle is shown beside an error at the bridge.
	k.Found = append([]Found{lengthOf("centre-line-error", 1.4, 0.05, fit.Fail), lengthOf("bridge-off-centre", 0.9, 0.05, fit.NotJudged), lengthOf("pocket-off-centre", -0.4, 0.05, fit.NotJudged)}, k.Found[6:]...)
	if got := troubleOf(k); got.OffCentre[0] == nil || got.OffCentre[0].Value != -0.4 || got.OffCentre[1] == nil || got.OffCentre[1].Value != 0.9 {
		t.Errorf("%+v", got.OffCentre)
	}
}

// What fails stands before what is unsure, either the worst class first, in the order of the catalogue else.
func TestOrderOfFindings(t *testing.T) {
	found := func(name string, c measure.Class, v fit.Verdict) Found {
		return Found{Name: name, Class: c, Verdict: v}
	}
	got := troubleOf(&Kit{Verdict: fit.Fail, Found: []Found{
		found("a", measure.Critical, fit.Unsure), found("b", measure.NoClass, fit.Fail), found("c", measure.Minor, fit.Fail), found("d", measure.Critical, fit.Fail),
		found("e", measure.Major, fit.Fail), found("f", measure.Major, fit.Fail), found("g", measure.Critical, fit.Pass), found("h", measure.Minor, fit.TooCoarse), found("i", measure.NoClass, fit.Unsure),
	}})
	var names string
	for _, f := range got.Found {
		names += f.Name
	}
	if names != "defcbai" {
		t.Errorf("%s", names)
	}
}

// The yield takes what is unsure, lacking or implausible both ways and leaves kits without limits out, by hand; the list of what
// fails counts either sort of kit, in lots of one name alone where one asks for it.
func TestYieldAndListOfALot(t *testing.T) {
	d := &Delivery{}
	for i, v := range []fit.Verdict{fit.Pass, fit.Pass, fit.Pass, fit.Fail, fit.Unsure, fit.Incomplete, fit.NotJudged, fit.NotJudged, fit.TooCoarse} {
		k := kit(fmt.Sprint(i), "L", v, 0.1)
		if v == fit.Incomplete || v == fit.NotJudged {
			k.Found[0].Verdict = fit.Pass
		}
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"M", "N"} {
		if err := d.Add(kit(name, name, fit.Fail, 2)); err != nil {
			t.Fatal(err)
		}
	}
	r, err := d.Judge(critical(1.0))
	if err != nil || len(r.Lots) != 3 || r.Accepted() {
		t.Fatal(err, len(r.Lots))
	}
	l := r.Lots[0]
	if y := l.Yield; y.Pass != 3 || y.Fail != 1 || y.Unsure != 3 || math.Abs(y.Share.Low-3.0/7) > 1e-12 || math.Abs(y.Share.High-6.0/7) > 1e-12 {
		t.Errorf("%+v", y)
	}
	if want := []Failing{{"centre-line-error", measure.Critical, 1, 2}}; !slices.Equal(l.Failing, want) || !slices.Equal(l.Bad, []string{"3"}) || len(l.Troubles) != 6 {
		t.Errorf("%+v, bad %v, %d troubles", l.Failing, l.Bad, len(l.Troubles))
	}
	if !d.Only("M") || len(d.lots) != 1 || d.lots[0].lot != "M" || d.Only("L") || len(d.lots) != 0 {
		t.Errorf("%d lots are left", len(d.lots))
	}
	if r := judge1(t, lotOf(t, 20, 0, 0), critical(1.0)); r.Acceptance.Decision != Accept || !(&Report{Lots: []*Lot{r, r}}).Accepted() {
		t.Error("good lots are not accepted")
	}
	if bad := judge1(t, lotOf(t, 0, 9, 0), critical(1.0)); (&Report{Lots: []*Lot{judge1(t, lotOf(t, 9, 0, 0), critical(1.0)), bad}}).Accepted() {
		t.Error("one lot of two is rejected, and all are accepted")
	}
}

// A kit that lacks a critical reading is open, not good, and counts once; before any kit is read a class counts as judged.
func TestKitsThatLackSomething(t *testing.T) {
	for v, open := range map[fit.Verdict]int{fit.Incomplete: 1, fit.Implausible: 1, fit.NotMeasured: 1, fit.NotJudged: 0, fit.Pass: 0} {
		d := lotOf(t, 7, 0, 0)
		k := kit("odd", "L", v, 0)
		k.Found[0].Verdict = fit.Pass
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
		a := judge1(t, d, critical(1.0)).Acceptance
		if c := a.ByClass[0]; c.Open != open || len(c.UnsureKits) != open || c.Bad != 0 || c.Plan.Sample != 8 {
			t.Errorf("%v: %+v", v, c)
		}
	}
	for class, want := range map[measure.Class]bool{measure.Critical: true, measure.Major: false, measure.Minor: false} {
		l := &lotKits{kits: []kitCount{{lacking: true}}}
		if got := l.judges(class); got != want || !(&lotKits{}).judges(class) {
			t.Errorf("class %v is judged: %v", class, got)
		}
	}
}

// How kits and faults are counted, by hand: a kit at most once, faults all of them and any number of a kit that was not read.
func TestCountingOfKitsAndFaults(t *testing.T) {
	for _, c := range []struct {
		aql           float64
		fail, unsure  int
		unsureBad     bool
		bad, open     int
		badK, unsureK int
	}{
		{1, 2, 1, false, 1, 0, 1, 0}, {1, 0, 2, false, 0, 1, 0, 1}, {1, 0, 2, true, 1, 0, 0, 1}, {1, 1, 1, true, 1, 0, 1, 0},
		{15, 2, 1, false, 2, 1, 1, 0}, {15, 2, 1, true, 3, 0, 1, 0}, {15, 0, 3, false, 0, 3, 0, 1},
	} {
		plan, err := sampling.For(20, sampling.LevelII, c.aql, sampling.Normal)
		if err != nil {
			t.Fatal(err)
		}
		class := ClassAcceptance{Class: measure.Critical, Plan: plan}
		k := &kitCount{}
		k.fail[measure.Critical], k.unsure[measure.Critical], k.known[measure.Critical] = c.fail, c.unsure, c.fail+c.unsure
		if class.count("K", k, c.unsureBad); class.Bad != c.bad || class.Open != c.open || len(class.BadKits) != c.badK || len(class.UnsureKits) != c.unsureK {
			t.Errorf("%+v: %+v", c, class)
		}
		class = ClassAcceptance{Class: measure.Critical, Plan: plan}
		want := 1
		if plan.CountsFaults() {
			want += plan.Reject
		}
		if class.count("K", nil, false); class.Open != want || class.BlankKits != nil {
			t.Errorf("not checked: %+v", class)
		}
		if class.count("K", &kitCount{}, true); class.Open != 2*want || len(class.BlankKits) != 1 {
			t.Errorf("not measured: %+v", class)
		}
	}
}

// A lot that is larger than what is known of it by name is sampled from what was read, and says how many are to be read still.
func TestLargerLotsThanAreKnown(t *testing.T) {
	o := critical(0.65) // letter F by the arrow: 20 kits
	o.Size = 60
	a := judge1(t, lotOf(t, 12, 0, 0), o).Acceptance
	if a.Decision != Undecided || !a.FromRead || a.Short != 8 || a.Size != 60 || len(a.Drawn) != 12 || a.ByClass[0].Open != 8 {
		t.Errorf("%+v", a)
	}
	o.Size = 12
	if a := judge1(t, lotOf(t, 12, 0, 0), o).Acceptance; a.Decision != Accept || a.FromRead || a.Short != 0 {
		t.Errorf("%+v", a)
	}
	for i, want := range []string{"undecided", "accept", "reject", "stopped"} {
		if got := Decision(i).String(); got != want {
			t.Errorf("decision %d is %q", i, got)
		}
	}
}

// A person is told apart by four kits at the least on either side; limits that differ from kit to kit, or leave no room, judge no process, and an open end is no difference.
func TestWhatAProcessNeeds(t *testing.T) {
	judge := func(change func(i int, k *Kit)) *Process {
		d := &Delivery{}
		for i := range 20 {
			k := kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, 0.01*float64(i*7%5-2))
			change(i, &k)
			if err := d.Add(k); err != nil {
				t.Fatal(err)
			}
		}
		return judge1(t, d, critical(1.0)).Processes[0]
	}
	for n, found := range map[int]bool{3: false, 4: true, 16: true, 17: false} {
		p := judge(func(i int, k *Kit) {
			if i < n {
				k.People, k.Found[0].Value = []string{"Q"}, k.Found[0].Value+0.5
			}
		})
		if s := p.Split; (s != nil) != found || found && (s.Person != "Q" || s.Kits != n || math.Abs(s.Diff-0.5) > 0.02) {
			t.Errorf("%d of 20 kits: %+v", n, s)
		}
	}
	inf := math.Inf(1)
	for name, c := range map[string]struct {
		lower, upper func(i int) float64
		limited      bool
		warning      lot.WarningKind
	}{
		"both":       {func(int) float64 { return -1 }, func(int) float64 { return 1 }, true, lot.FewForIndices},
		"one":        {func(int) float64 { return -inf }, func(int) float64 { return 1 }, true, lot.FewForIndices},
		"none":       {func(int) float64 { return -inf }, func(int) float64 { return inf }, false, lot.NoWarning},
		"other ones": {func(i int) float64 { return -1 - float64(i/19) }, func(int) float64 { return 1 }, false, lot.LimitsDiffer},
		"no room":    {func(int) float64 { return 0.5 }, func(int) float64 { return 0.5 }, false, lot.LimitsWithoutRoom},
	} {
		p := judge(func(i int, k *Kit) { k.Found[0].Lower, k.Found[0].Upper = c.lower(i), c.upper(i) })
		var kinds []lot.WarningKind
		for _, w := range p.Warnings {
			kinds = append(kinds, w.Kind)
		}
		if p.Limited != c.limited || (p.Capability != nil) != c.limited || p.Product.Known != c.limited || c.warning != lot.NoWarning && !slices.Contains(kinds, c.warning) || c.warning == lot.NoWarning && len(kinds) > 0 {
			t.Errorf("%s: limited %v, warnings %v", name, p.Limited, kinds)
		}
		if p.N != 20 || math.Abs(p.Mean) > 1e-12 || p.Chart == nil || p.Trend == nil || p.Drifts || math.Abs(p.SD-0.01*math.Sqrt(40.0/19)) > 1e-12 { // each of -2 to 2 four times
			t.Errorf("%s: %+v", name, p)
		}
	}
}
