package remedy

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A shop that lays bridges twice as badly as costs.csv says, and shims as it says, is found out from kits
// that it measured again: within the stated uncertainty, widened to four standard deviations.
func TestLearnFindsTheHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	costs := newStock(Options{}).costs
	clumsy := costs[measure.BridgeMove]
	clumsy.Worst *= 3
	costs[measure.BridgeMove] = clumsy
	o := fit.Options{Model: true}
	var list []Worked
	for i := range 90 {
		in := simulate.ShortScaleBass()
		action := Action{Work: measure.PlugBridge, Across: -3}
		if in.CentreLineError = 3; i%2 == 0 {
			in.CentreLineError, in.PocketMouth, in.PocketEnd = 0, in.HeelMouth+0.9, in.HeelEnd+0.9
			action = Action{Work: measure.SideShim, Wall: Bass, Mouth: 0.5, End: 0.5}
		}
		o.Compensation = in.Compensation
		before := fit.Check(in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup())), o)
		p, _ := Try(before, []Action{action}, Options{})
		w := carryOut(in, p, &hand{rng, costs, 80})
		after := w.Instrument()
		t := w.Truth()
		after.PocketMouth += t.PocketGapMouth - after.Truth().PocketGapMouth // the packed pocket is what is measured
		after.PocketEnd += t.PocketGapEnd - after.Truth().PocketGapEnd
		list = append(list, Worked{before, fit.Check(after.Kit("K", simulate.LooseParts(after, rng, simulate.DefaultSetup())), o), p})
	}
	got := map[measure.Work]Accuracy{}
	for _, a := range Learn(list) {
		got[a.Work] = a
	}
	for work, want := range map[measure.Work]float64{measure.BridgeMove: 0.75, measure.SideShim: 0.05} {
		a := got[work]
		if a.Kits < 40 || !(a.U > 0) || math.Abs(a.Worst-want) > 2*a.U+0.1*want {
			t.Errorf("%v: %.3f ± %.3f from %d kits, it was %.3f", work, a.Worst, a.U, a.Kits, want)
		}
	}
}

// Three kits say nothing, nor do plans of several works.
func TestLearnWantsKitsOfOneWork(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 3
	r, _ := adviceOf(in)
	one, _ := Try(r, []Action{{Work: measure.PlugBridge, Across: -3}}, Options{})
	two, _ := Try(r, []Action{{Work: measure.PlugBridge, Across: -3}, {Work: measure.EaseCorner, Size: 1}}, Options{})
	var few, mixed []Worked
	for range 3 {
		few = append(few, Worked{r, r, one})
	}
	for range 9 {
		mixed = append(mixed, Worked{r, r, two})
	}
	if a := Learn(few); len(a) != 0 {
		t.Errorf("%+v", a)
	}
	if a := Learn(mixed); len(a) != 0 {
		t.Errorf("%+v", a)
	}
	if a := Learn(append(few, few...)); len(a) != 1 || a[0].Work != measure.BridgeMove || a[0].Kits != 6 || !(a[0].Worst > 8) {
		t.Errorf("a bridge that stayed 3 mm off: %+v", a)
	}
}
