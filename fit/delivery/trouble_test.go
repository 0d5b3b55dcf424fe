package delivery

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

func lengthOf(name string, value, std float64, v fit.Verdict) Found {
	return Found{Name: name, Dimension: measure.Length, Class: measure.Critical, Lower: -1, Upper: 1, Value: value, StdUncertainty: std, Verdict: v}
}

// Of an error at the bridge the part that brings more of it is off, where the shares differ by more than they are
// sure to; else nobody knows which. What two parts make together speaks of both, what is one part's of that one.
func TestWhichPartIsOff(t *testing.T) {
	neck, body, bridge := measure.NeckPart, measure.BodyPart, measure.BridgePart
	for _, c := range []struct {
		off               string
		heel, bridge, std float64
		want              []measure.Part
		shares            bool
		left, right       string // the shares' names
	}{
		{"centre-line-error", 0.1, 1.3, 0.1, []measure.Part{body}, true, "heel-offset", "bridge-off-pocket"},
		{"centre-line-error", -1.3, 0.1, 0.1, []measure.Part{neck}, true, "heel-offset", "bridge-off-pocket"},
		{"centre-line-error", 0.6, 0.8, 0.1, []measure.Part{neck, body}, true, "heel-offset", "bridge-off-pocket"},
		{"centre-line-error", 0.5, -0.79, 0.1, []measure.Part{body}, true, "heel-offset", "bridge-off-pocket"}, // 0.29 against 1.96 * 0.1414
		{"centre-line-error", 0.5, -0.77, 0.1, []measure.Part{neck, body}, true, "heel-offset", "bridge-off-pocket"},
		{"bridge-skew", 0.9, 0.1, 0.05, []measure.Part{neck}, true, "heel-skew", "bridge-turn"},
		{"centre-line-error", 0.9, 0.1, 0.05, []measure.Part{neck, body}, false, "heel-offset", "another"},
		{"pocket-gap-end", 0.9, 0.1, 0.05, []measure.Part{neck, body}, false, "heel-offset", "bridge-off-pocket"},
		{"scale-length", 0, 0, 1, []measure.Part{neck}, false, "heel-offset", "bridge-off-pocket"},
		{"string-hole-pitch", 0, 0, 1, []measure.Part{body}, false, "heel-offset", "bridge-off-pocket"},
		{"bridge-hole-mismatch", 0, 0, 1, []measure.Part{body, bridge}, false, "heel-offset", "bridge-off-pocket"},
		{"saddle-height-reserve-low", 0, 0, 1, []measure.Part{neck, body, bridge}, false, "heel-offset", "bridge-off-pocket"},
	} {
		got := troubleOf(&Kit{Name: "K", Verdict: fit.Fail, Found: []Found{
			lengthOf(c.left, c.heel, c.std, fit.NotJudged), lengthOf("roll", 0, 0.1, fit.Unsure), lengthOf(c.off, 1.4, 0.05, fit.Fail), lengthOf(c.right, c.bridge, c.std, fit.NotJudged),
		}})
		if !slices.Equal(got.Off, c.want) || (got.Shares[0] != nil) != c.shares || got.Found[0].Name != c.off || len(got.Found) != 2 {
			t.Errorf("%s with %v and %v: %+v", c.off, c.heel, c.bridge, got)
		}
		if want := !c.shares && c.off == "centre-line-error"; got.Unparted() != want {
			t.Errorf("%s: unparted %v", c.off, got.Unparted())
		}
		if c.shares && (got.Shares[0].Value != c.heel || got.Shares[1].Value != c.bridge) {
			t.Errorf("%s: shares %v and %v", c.off, got.Shares[0], got.Shares[1])
		}
	}
	if got := troubleOf(&Kit{Verdict: fit.Incomplete}); got.Off != nil || got.Found != nil || got.Unparted() {
		t.Errorf("of what was not measured: %+v", got)
	}
}

// The three ways by hand: sending back costs 30 + 450 minutes a kit, a kit lost 600, reading 10, unless costs.csv
// has other figures.
func TestCostsOfTheWays(t *testing.T) {
	mend := func(p float64, kinds ...measure.Work) *Work { return &Work{Kinds: kinds, Minutes: 40, P: p} }
	l := Lot{Kits: 9, Acceptance: &Acceptance{Size: 12}, Troubles: []*Trouble{
		{Verdict: fit.Fail, Work: mend(0.9, measure.SideShim)},                      // 40 + 0.1 * 480
		{Verdict: fit.Fail, Work: mend(0.75, measure.SideShim, measure.PlugBridge)}, // 40 + 0.25 * 600
		{Verdict: fit.Fail, Work: &Work{Return: []measure.Part{measure.NeckPart}, Minutes: 30}},
		{Verdict: fit.Unsure, Work: &Work{Kinds: []measure.Work{measure.Leave}}},
		{Verdict: fit.Incomplete},
	}}
	check := func(costs []measure.Cost, want Rework) {
		t.Helper()
		got := l.rework(costs)
		for _, pair := range [][2]*float64{{&got.MendAll, &want.MendAll}, {&got.Sort, &want.Sort}, {&got.SendBack, &want.SendBack}, {&got.Hopes, &want.Hopes}} {
			if math.Abs(*pair[0]-*pair[1]) < 1e-9 { // rounding of sums of a few numbers
				*pair[0] = *pair[1]
			}
		}
		if got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
	// Three kits are not checked yet, which takes 10 minutes each where the lot stays.
	check(nil, Rework{
		Mend: 2, Return: 1, Look: 1, Unplanned: 1, Minutes: 80, Hopes: 1.65,
		MendAll: 88 + 190 + 480 + 10 + 10 + 30, Sort: 3*480 + 2*10 + 30, SendBack: 12 * 480,
	})
	check([]measure.Cost{
		{Work: measure.SendBack, Minutes: 10, Price: 50}, {Work: measure.Scrap, Price: 200}, {Work: measure.ReadAgain, Minutes: 5}, {Work: measure.Hour, Minutes: 60, Price: 30},
	}, Rework{
		Mend: 2, Return: 1, Look: 1, Unplanned: 1, Minutes: 80, Hopes: 1.65, Hour: 30,
		MendAll: 40 + 6 + 40 + 50 + 60 + 5 + 5 + 15, Sort: 3*60 + 2*5 + 15, SendBack: 12 * 60,
	})
	// A reading that another contradicts, one that may save a cut and a question that is open come first, which takes 10 minutes;
	// what would follow then costs as much as before. What fails by what is in doubt is not sent back unread.
	for i, first := range []*Trouble{
		{Verdict: fit.Fail, Work: mend(0.9, measure.SideShim), Suspect: make([]Row, 1)},
		{Verdict: fit.Unsure, Work: mend(0.75, measure.PlugBridge)},
		{Verdict: fit.Fail, Work: &Work{Return: []measure.Part{measure.NeckPart}, Minutes: 30}, Odd: make([]measure.Place, 1)},
		{Verdict: fit.Fail, Work: &Work{Kinds: []measure.Work{measure.SideShim}, Minutes: 40, P: 0.9, Asks: true}},
		{Verdict: fit.Fail, Work: &Work{Kinds: []measure.Work{measure.PlugBridge}, Minutes: 40, P: 0.75, Spares: true}},
		{Verdict: fit.Fail, Work: &Work{Kinds: []measure.Work{measure.SideShim}, Minutes: 40, P: 0.9, Waits: true}},
	} {
		l = Lot{Kits: 1, Acceptance: &Acceptance{Size: 1}, Troubles: []*Trouble{first}}
		check(nil, Rework{
			Look: 1, MendAll: 10 + []float64{88, 190, 480, 88, 190, 88}[i], Sort: []float64{490, 10, 490, 480, 480, 480}[i], SendBack: 480,
		})
	}
	for _, w := range measure.Works() {
		reversible := slices.Contains([]measure.Work{
			measure.Leave, measure.ReadAgain, measure.Reseat, measure.SideShim, measure.PitchShim, measure.RiseShim, measure.BridgeMove, measure.SendBack,
		}, w)
		if got := (&Work{Kinds: []measure.Work{measure.Leave, w}}).Cuts(); got == reversible {
			t.Errorf("%s cuts: %v", w, got)
		}
	}
}

// Kits whose readings disagree are told of, passing or not; only one that does not pass is a trouble.
func TestDoubtfulKits(t *testing.T) {
	d := &Delivery{}
	for i, v := range []fit.Verdict{fit.Pass, fit.Pass, fit.Fail, fit.Fail} {
		k := kit(fmt.Sprint(i), "L", v, 0)
		k.Suspect = make([]Row, i%2)
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	l := judge1(t, d, critical(1))
	if len(l.Doubtful) != 2 || l.Doubtful[0].Kit != "1" || l.Doubtful[1].Kit != "3" || len(l.Troubles) != 2 || l.Troubles[0].Kit != "2" {
		t.Errorf("%v, %v", l.Doubtful, l.Troubles)
	}
}

// A judged delivery has its troubles and costs, with the lot's own size.
func TestJudgeAddsUpTheWork(t *testing.T) {
	d := &Delivery{}
	for i := range 4 {
		k := kit(fmt.Sprint(i), "L", fit.Pass, 0)
		if i == 2 {
			k = kit("2", "L", fit.Fail, 1.5)
			k.Work = &Work{Kinds: []measure.Work{measure.Reseat}, Minutes: 10, P: 1}
		}
		if err := d.Add(k); err != nil {
			t.Fatal(err)
		}
	}
	o := critical(1.0)
	o.Costs = []measure.Cost{{Work: measure.SendBack, Minutes: 1}}
	l := judge1(t, d, o)
	if r := l.Rework; r.Mend != 1 || r.MendAll != 10 || r.Sort != 1 || r.SendBack != 4 || l.Troubles[0].Kit != "2" {
		t.Errorf("%+v", r)
	}
}
