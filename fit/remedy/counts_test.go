package remedy

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// resultOf is a result of some characteristics by their IDs, all measured.
func resultOf(way fit.Way, values map[fit.ID][2]float64) *fit.Result {
	r := &fit.Result{Way: way, Verdict: fit.Pass}
	for _, id := range fit.IDs() {
		c := fit.Characteristic{ID: id, Verdict: fit.NotMeasured, Missing: fit.Missing{Want: fit.WantPlateHoles}}
		if v, ok := values[id]; ok {
			c = fit.Characteristic{ID: id, Value: v[0], StdUncertainty: v[1], Verdict: fit.Pass}
		}
		r.Characteristics = append(r.Characteristics, c)
	}
	return r
}

// Laboratories compared, by hand: 0.5 apart with uncertainties of 0.3 and 0.4 at k = 1.96 are 0.51 of what they may be, 1 apart 1.02 of it. A micrometre stands
// for none. Hidden is only a heel set anew that was measured apart.
func TestCompareByHand(t *testing.T) {
	ids := []fit.ID{fit.CentreLineError, fit.BridgeSkew, fit.ScaleLength, fit.NutError}
	before := resultOf(fit.LooseParts, map[fit.ID][2]float64{ids[0]: {3, 0.2}, ids[1]: {1, 0.2}, ids[2]: {5, 0}, ids[3]: {0, 1}})
	after := resultOf(fit.LooseParts, map[fit.ID][2]float64{ids[0]: {0.5, 0.4}, ids[1]: {-1, 0.4}, ids[2]: {5.001, 0}})
	p := &Plan{Predicted: []Predicted{
		{Index: int(ids[0]), Value: 0, StdUncertainty: 0.3, P: 0.7, Changed: true}, {Index: int(ids[1]), Value: 0, StdUncertainty: 0.3}, {Index: int(ids[2]), Value: 5}, {Index: int(ids[3])},
	}}
	list, hidden := Compare(before, p, after)
	for i, want := range []Compared{
		{ID: ids[0], Before: 3, En: 0.5 / 0.98, Agrees: true, Changed: true}, {ID: ids[1], Before: 1, En: -1 / 0.98}, {ID: ids[2], Before: 5, En: 1 / 1.96, Agrees: true},
	} {
		got := list[i]
		if got.ID != want.ID || got.Before != want.Before || math.Abs(got.En-want.En) > 2e-4*math.Abs(want.En) || got.Agrees != want.Agrees || got.Changed != want.Changed { // 1.96 has three digits
			t.Errorf("%+v, by hand %+v", got, want)
		}
	}
	if len(list) != 3 || hidden || list[0].Predicted.Value != 0 || list[0].Predicted.StdUncertainty != 0.3 || list[0].Predicted.P != 0.7 || list[0].Measured.Value != 0.5 {
		t.Errorf("%d, hidden %v: %+v", len(list), hidden, list[0])
	}
	for _, c := range []struct {
		work   measure.Work
		way    fit.Way
		hidden bool
	}{{measure.Reseat, fit.LooseParts, true}, {measure.Reseat, fit.DryFit, false}, {measure.BridgeMove, fit.LooseParts, false}} {
		after.Way, p.Actions = c.way, []Action{{Work: c.work}}
		if _, hidden := Compare(before, p, after); hidden != c.hidden {
			t.Errorf("%+v: hidden %v", c, hidden)
		}
	}
}

// A hand, by hand: four kits whose re-seat of 0.04 mm did to the centre-line error 0.08, read before with 0.03 and after with 0.04, and that came out 0.1, 0.3, -0.2 and
// 0.2 mm off: the squares less 0.0025, over four, come to a mean of 0.010625, and their spread over four kits to its uncertainty.
func TestLearnByHand(t *testing.T) {
	worked := func(work measure.Work, off float64) Worked {
		id := fit.CentreLineError
		return Worked{
			Before: resultOf(fit.DryFit, map[fit.ID][2]float64{id: {3, 0.03}}), After: resultOf(fit.DryFit, map[fit.ID][2]float64{id: {1 + off, 0.04}}),
			Plan: &Plan{Actions: []Action{{Work: work, Std: 0.04}}, Predicted: []Predicted{{Index: int(id), Value: 1, StdUncertainty: math.Sqrt(0.03*0.03 + 0.08*0.08), Changed: true}}},
		}
	}
	lot := func(work measure.Work) (list []Worked) {
		for _, off := range []float64{0.1, 0.3, -0.2, 0.2} {
			list = append(list, worked(work, off))
		}
		return list
	}
	squares := []float64{0.0075 / 4, 0.0875 / 4, 0.0375 / 4, 0.0375 / 4}
	const mean = 0.010625
	spread := 0.0
	for _, s := range squares {
		spread += (s - mean) * (s - mean) / 3
	}
	by := 3 * math.Sqrt(mean)
	u := 3*math.Sqrt(mean+1.96*math.Sqrt(spread/4)) - by
	check := func(name string, got []Accuracy, work measure.Work, worst, u float64) {
		t.Helper()
		if len(got) != 1 || got[0].Work != work || got[0].Kits != 4 || math.Abs(got[0].Worst-worst) > 1e-9 || math.Abs(got[0].U/u-1) > 1e-4 { // 1.96 has three digits
			t.Errorf("%s: %+v, by hand %v of %g ± %g", name, got, work, worst, u)
		}
	}
	check("re-seat", Learn(lot(measure.Reseat)), measure.Reseat, by, u)
	// A bridge's squares stand as they are, whatever hole is drilled by.
	check("a bridge drilled anew", Learn(lot(measure.PlugBridge)), measure.BridgeMove, 2*by, 2*u)
	exact := lot(measure.Reseat)
	for i := range exact { // no farther off than the readings may be: no error is seen
		exact[i].After.Characteristics[fit.CentreLineError].Value = 1
	}
	if got := Learn(exact); len(got) != 1 || got[0].Worst != 0 || got[0].U != 0 {
		t.Errorf("an exact hand: %+v", got)
	}
	for name, spoil := range map[string]func(w *Worked){
		"of three":         func(w *Worked) { w.Plan.Actions = nil },
		"of two works":     func(w *Worked) { w.Plan.Actions = append(w.Plan.Actions, Action{Work: measure.EaseCorner}) },
		"unmeasured after": func(w *Worked) { w.After = resultOf(fit.DryFit, nil) },
		"unchanged":        func(w *Worked) { w.Plan.Predicted[0].Changed = false },
		"of no error":      func(w *Worked) { w.Plan.Actions[0].Std = 0 },
		"without a hand":   func(w *Worked) { w.Plan.Predicted[0].StdUncertainty = 0.03 },
		"of another":       func(w *Worked) { w.Plan.Actions[0].Work = measure.EaseCorner },
		"that none shows":  func(w *Worked) { w.Plan.Actions[0].Work = measure.LevelFloor },
	} {
		list := lot(measure.Reseat)
		if spoil(&list[2]); len(Learn(list)) != 0 {
			t.Errorf("%s: %+v", name, Learn(list))
		}
	}
}

// A plan of one's own stands first, and what the others name as next moves on by one.
func TestOwnPlanBeforeTheOthers(t *testing.T) {
	a := &Advice{Plans: []Plan{{Minutes: 1, Next: 1}, {Minutes: 2, Next: -1}, {Minutes: 3, Next: 0}}}
	got := a.Before(&Plan{Minutes: 9, Next: -1})
	for i, want := range [][2]int{{9, -1}, {1, 2}, {2, -1}, {3, 1}} {
		if p := got.Plans[i]; int(p.Minutes) != want[0] || p.Next != want[1] {
			t.Errorf("plan %d: %g min, then %d", i, p.Minutes, p.Next)
		}
	}
	if !got.Own || a.Own || len(a.Plans) != 3 || a.Plans[0].Next != 1 {
		t.Errorf("%+v, and what it came from %+v", got, a)
	}
}

// Of each kind the plan stays that costs least, a failure counted as the return of the part, by hand: 480 minutes of it.
func TestBestOfKinds(t *testing.T) {
	k := kitOf(bass())
	of := func(kind measure.Work, minutes, price, curable float64) weighed {
		return weighed{plan: &Plan{Kind: kind, Minutes: minutes, Price: price, Curable: curable}}
	}
	got := k.bestOfKinds([]weighed{
		of(measure.SideShim, 20, 5, 0.5), of(measure.Reseat, 10, 0, 0.9), of(measure.SideShim, 30, 10, 0.54), of(measure.SideShim, 30, 10, 0.52), of(measure.Reseat, 10, 48, 0.99), of(measure.PlugBridge, 90, 150, 1),
	})
	var minutes []float64
	for _, w := range got {
		minutes = append(minutes, w.plan.Minutes, w.plan.Price)
	}
	if want := []float64{30, 10, 10, 0, 90, 150}; !slices.Equal(minutes, want) || got[0].plan.Curable != 0.54 { // 225.8 + 35 against 240 + 25; 58 + 48 against 58 + 4.8 is dearer
		t.Errorf("%v, by hand %v", minutes, want)
	}
}

// The order of plans: what they are expected to cost, then how drastic they are, the likelier, the smaller worst case.
func TestRankByHand(t *testing.T) {
	swing := func(low, high float64) *fit.Swing { return &fit.Swing{Low: low, High: high} }
	plans := []*Plan{
		{Expected: 50, Level: Redrilled}, {Expected: 40, Level: Trimmed, P: 0.9}, {Expected: 40, Level: Trimmed, P: 0.95, Swing: swing(-0.4, 1)}, {Expected: 40, Level: Trimmed, P: 0.95, Swing: swing(-0.9, 0.1)}, {Expected: 40, Level: Reversible}, {Expected: 40, Level: Trimmed, P: 0.95},
	}
	var list []weighed
	for _, p := range plans {
		list = append(list, weighed{plan: p})
	}
	if got := rank(list); !slices.Equal(got, []int{4, 5, 3, 2, 1, 0}) {
		t.Errorf("%v", got)
	}
}

// Where no part goes back after all, what is spent then is nothing, and a plan that hopes for nothing is none to begin with.
func TestExpectWithoutAReturn(t *testing.T) {
	one, two, dear := planned(measure.Reseat, 10, 0, passedIn(0, 1500)), planned(measure.SideShim, 20, 5, passedIn(1000, 2500)), planned(measure.PlugBridge, 90, 150, passedIn(0, 2500))
	list := []weighed{one, two, dear}
	expect(list, 10)
	if p := one.plan; math.Abs(p.Expected-(20+0.4*35)) > 1e-9 || math.Abs(p.Then-35) > 1e-9 || math.Abs(p.Fails-0.4) > 1e-12 || p.Next != 1 {
		t.Errorf("%+v", p)
	}
	if p := dear.plan; p.Fails != 0 || math.Abs(p.Expected-250) > 1e-9 {
		t.Errorf("%+v", p)
	}
	hopeless := planned(measure.Reseat, 10, 0, passedIn(0, 100))
	hopeless.plan.Curable = 0.04
	back := planned(measure.SendBack, 30, 450, nil)
	list = []weighed{hopeless, two, back}
	expect(list, 10)
	if p := hopeless.plan; math.Abs(p.Fails-0.96) > 1e-12 || p.Then != 480 || p.Next != 2 || math.Abs(p.Expected-(20+0.96*480)) > 1e-9 {
		t.Errorf("%+v", p)
	}
	// Three plans at most are tried before a part goes back: each passes in a quarter of the draws of its own.
	list = nil
	for i, w := range []measure.Work{measure.Reseat, measure.SideShim, measure.EaseCorner, measure.RelieveWall} {
		list = append(list, planned(w, float64(10*i), 0, passedIn(625*i, 625*(i+1))))
	}
	list = append(list, planned(measure.SendBack, 0, 10000, nil))
	expect(list, 1)
	// first the re-seat, 1; in three of four the shim, 11; in two of three of those the corner, 21; in half of those the part goes back
	if p := list[0].plan; math.Abs(p.Expected-(1+0.75*(11+2.0/3*(21+0.5*10000)))) > 1e-9 {
		t.Errorf("%.4f", p.Expected)
	}
}

// How drastic works are, and in which order they are done.
func TestLevelsAndOrder(t *testing.T) {
	levels := map[Level][]measure.Work{
		Untouched: {measure.NoWork, measure.Leave, measure.ReadAgain}, Reversible: {measure.Reseat, measure.SideShim, measure.PitchShim, measure.RiseShim, measure.BridgeMove},
		Trimmed:   {measure.ReamScrews, measure.SlotScrews, measure.EaseCorner, measure.SquareCorner, measure.SlotStrings, measure.SlotBridge, measure.RelieveWall, measure.LevelFloor, measure.DeepenFloor, measure.TrimHeel},
		Redrilled: {measure.PlugNeck, measure.PlugStrings, measure.PlugBridge}, Returned: {measure.SendBack},
	}
	for want, works := range levels {
		for _, w := range works {
			if got := (Action{Work: w}).Level(); got != want {
				t.Errorf("%v: %v, want %v", w, got, want)
			}
		}
	}
	got := inOrder([]Action{{Work: measure.PlugBridge}, {Work: measure.Reseat}, {Work: measure.SideShim, Wall: Treble}, {Work: measure.SideShim, Wall: Bass}, {Work: measure.RelieveWall}, {Work: measure.TrimHeel}})
	if diff := cmp.Diff([]Action{{Work: measure.TrimHeel}, {Work: measure.RelieveWall}, {Work: measure.SideShim, Wall: Treble}, {Work: measure.SideShim, Wall: Bass}, {Work: measure.Reseat}, {Work: measure.PlugBridge}}, got); diff != "" {
		t.Error(diff)
	}
	for _, c := range []struct {
		p    Plan
		want bool
	}{
		{Plan{}, false}, {Plan{Asks: []Ask{FarBridge}}, false}, {Plan{Asks: []Ask{BridgeScrewSize}}, false}, {Plan{Asks: []Ask{FarBridge, HolesUnread}}, true}, {Plan{Asks: []Ask{FloorThickness}}, true}, {Plan{Drilling: &Schedule{Holes: []Hole{{}, {}}}}, false},
		{Plan{Drilling: &Schedule{Holes: []Hole{{}, {Refused: Remark{Kind: NoBit}}}}}, true}, {Plan{Drilling: &Schedule{Holes: []Hole{{Refused: Remark{Kind: NoBit, Need: 2}}}}}, false}, {Plan{Drilling: &Schedule{Holes: []Hole{{Refused: Remark{Kind: InCavity}}}}}, false},
	} {
		if got := c.p.Waits(); got != c.want {
			t.Errorf("%+v waits: %v", c.p, got)
		}
	}
}

// What cannot be worked out for want of readings, way by way; and which characteristics that leaves without a verdict.
func TestUntriedByWhatWasRead(t *testing.T) {
	in := bass()
	without := func(read []measure.Reading, features ...measure.Feature) []measure.Reading {
		return slices.DeleteFunc(read, func(r measure.Reading) bool { return slices.Contains(features, r.Feature) })
	}
	exact := simulate.Setup{Exact: true}
	for name, c := range map[string]struct {
		read []measure.Reading
		want []Untried
	}{
		"loose":               {simulate.LooseParts(in, nil, exact), nil},
		"edge":                {simulate.EdgeCheck(in, nil, exact), []Untried{HeelUntried, ClearanceUntried}},
		"quick":               {simulate.QuickCheck(in, nil, exact), []Untried{ClearanceUntried, SaddlesUntried}},
		"no plate":            {without(simulate.LooseParts(in, nil, exact), measure.PlateScrew), []Untried{ClearanceUntried, SaddlesUntried}},
		"no saddles' stops":   {without(simulate.LooseParts(in, nil, exact), measure.SaddleFront, measure.SaddleBack), []Untried{SaddlesUntried}},
		"no pocket":           {without(simulate.LooseParts(in, nil, exact), measure.Pocket, measure.PocketBass, measure.PocketTreble), nil},
		"screws of what size": {slices.DeleteFunc(simulate.LooseParts(in, nil, exact), func(r measure.Reading) bool { return r.Feature == measure.NeckScrew && r.Kind == measure.Diameter }), []Untried{ScrewsUntried}},
	} {
		r := fit.Check(in.Kit("K", c.read), fit.Options{Model: true, Compensation: in.Compensation})
		if r.Model == nil {
			t.Fatalf("%s: no model", name)
		}
		got := newKit(r, newStock(Options{})).untried()
		if name == "no pocket" {
			if len(got) == 0 || got[0] != HeelUntried {
				t.Errorf("%s: %v", name, got)
			}
		} else if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	k := kitOf(in)
	for _, c := range []struct {
		id      fit.ID
		untried []Untried
		want    Untried
		waits   bool
	}{
		{fit.CentreLineError, []Untried{BridgeUntried, HeelUntried}, HeelUntried, true}, {fit.CentreLineError, []Untried{BridgeUntried}, BridgeUntried, true}, {fit.PocketGapEnd, []Untried{BridgeUntried}, 0, false},
		{fit.PocketGapEnd, []Untried{HeelUntried}, HeelUntried, true}, {fit.SaddleReserveBack, []Untried{BridgeUntried, ClearanceUntried}, BridgeUntried, true}, {fit.SaddleReserveBack, []Untried{HeelUntried}, 0, false}, {fit.ScaleLength, []Untried{HeelUntried, BridgeUntried}, 0, false},
	} {
		if got, waits := k.waits(&criterion{id: c.id}, c.untried); got != c.want || waits != c.waits {
			t.Errorf("%+v: %v, %v", c, got, waits)
		}
	}
}

// Why something cannot be cured, by its numbers; what goes back by what it speaks against.
func TestIncurableByHand(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(in *simulate.Instrument)
		id    fit.ID
		want  Incurable
	}{
		"another scale":      {func(in *simulate.Instrument) { in.Scale += 4.1 }, fit.ScaleLength, Incurable{Cause: OtherScale, Have: 766.1, Need: 762}},
		"a bad scale":        {func(in *simulate.Instrument) { in.Scale += 3.9 }, fit.ScaleLength, Incurable{Cause: Unchanged}},
		"a heel too wide":    {func(in *simulate.Instrument) { in.HeelMouth, in.HeelEnd = in.PocketMouth+1.4, in.PocketEnd+1.4 }, fit.PocketGapEnd, Incurable{Cause: HeelTooWide, Have: 1.4, Most: 1}},
		"no stock":           {func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+4, in.HeelEnd+4 }, fit.PocketGapMouth, Incurable{Cause: NoStockFits, Have: 3.5, Need: 3.95, Most: 1}},
		"travel":             {func(in *simulate.Instrument) { in.SaddleTravel = 1.5 }, fit.SaddleReserveFront, Incurable{Cause: TravelTooShort}},
		"a bridge too far":   {func(in *simulate.Instrument) { in.BridgeStation += 40 }, fit.SaddleReserveBack, Incurable{Cause: BridgeTooFar, Most: 15}},
		"what is not judged": {func(in *simulate.Instrument) {}, fit.CentreLineError, Incurable{Cause: NoSizeFits}},
	} {
		in := bass()
		c.spoil(&in)
		k := kitOf(in)
		got := k.incurable(k.criterion(c.id))
		if c.want.Cause == TravelTooShort { // the reserves add up to the travel less what the strings' compensations differ by
			front, back := k.criterion(fit.SaddleReserveFront), k.criterion(fit.SaddleReserveBack)
			c.want.Have, c.want.Need = k.model.Elements[0].Value, front.lower+back.lower
			c.want.Have = k.result.Characteristics[front.index].Value + k.result.Characteristics[back.index].Value
			if c.want.Have >= c.want.Need {
				t.Errorf("%s: %+v", name, c.want)
			}
		}
		if got.ID != c.id || got.Cause != c.want.Cause || math.Abs(got.Have-c.want.Have) > 0.01 || math.Abs(got.Need-c.want.Need) > 0.01 || math.Abs(got.Most-c.want.Most) > 0.25 {
			t.Errorf("%s: %+v, by hand %+v", name, got, c.want)
		}
	}
	k := kitOf(bass())
	both := []measure.Part{measure.NeckPart, measure.BodyPart}
	for name, c := range map[string]struct {
		cannot []Incurable
		want   []measure.Part
		oneOf  bool
	}{
		"one part":         {[]Incurable{{ID: fit.ScaleLength, Cause: Unchanged}}, both[:1], false},
		"each once":        {[]Incurable{{ID: fit.ScaleLength, Cause: Unchanged}, {ID: fit.FretError, Cause: Unchanged}, {ID: fit.FloorFlatness, Cause: Unchanged}}, both, false},
		"either":           {[]Incurable{{ID: fit.PocketGapMouth, Cause: NoStockFits}}, both, true},
		"one leads either": {[]Incurable{{ID: fit.PocketGapMouth, Cause: NoStockFits}, {ID: fit.FloorFlatness, Cause: Unchanged}}, both[1:], false},
		"a bridge":         {[]Incurable{{ID: fit.SaddleReserveBack, Cause: BridgeTooFar}}, []measure.Part{measure.BridgePart}, false},
	} {
		if got, oneOf := k.blamed(&Advice{Cannot: c.cannot}); !slices.Equal(got, c.want) || oneOf != c.oneOf {
			t.Errorf("%s: %v, %v", name, got, oneOf)
		}
	}
	k.criterion(fit.FloorFlatness).p, k.criterion(fit.FloorFlatness).judged = 0.01, true // together: that which is least likely to pass
	if got, oneOf := k.blamed(&Advice{Cannot: []Incurable{{ID: fit.ScaleLength, Cause: NotTogether}}}); !slices.Equal(got, both[1:]) || oneOf {
		t.Errorf("together: %v, %v", got, oneOf)
	}
	k.criterion(fit.ScaleLength).p, k.criterion(fit.ScaleLength).judged = 0.005, true
	if got, oneOf := k.blamed(&Advice{}); !slices.Equal(got, both[:1]) || oneOf {
		t.Errorf("a scale that is likelier wrong: %v, %v", got, oneOf)
	}
	// Of an error that neck and body share that which brings more of it.
	for part, share := range map[measure.Part][2]float64{measure.NeckPart: {-0.8, 0.5}, measure.BodyPart: {0.5, -0.8}} {
		k.characteristic(fit.HeelOffset).Value, k.characteristic(fit.BridgeOffPocket).Value = share[0], share[1]
		if got := k.partsFor(fit.CentreLineError); !slices.Equal(got, []measure.Part{part}) {
			t.Errorf("%v: %v", share, got)
		}
	}
}
