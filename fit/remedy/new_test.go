package remedy

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// tried is one work carried out in thought on a bass, and what changes of each characteristic.
func tried(t *testing.T, in simulate.Instrument, a Action) (*Plan, map[fit.ID]float64) {
	t.Helper()
	r, _ := adviceOf(in)
	p, untried := Try(r, []Action{a}, Options{})
	if p == nil {
		t.Fatalf("%v: %v", a.Work, untried)
	}
	changes := map[fit.ID]float64{}
	for _, q := range p.Predicted {
		changes[r.Characteristics[q.Index].ID] = q.Value - r.Characteristics[q.Index].Value
	}
	return p, changes
}

// By hand: a floor cut 1.25 mm lower takes the fret plane down and the screws farther in by as much, and turns nothing.
func TestADeeperFloorByHand(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BodyThickness, in.NeckScrewLength = 45, 45
	p, changes := tried(t, in, Action{Work: measure.DeepenFloor, Size: 1.25})
	for id, want := range map[fit.ID]float64{
		fit.FretPlaneHeight: -1.25, fit.PocketDepth: 1.25, fit.SaddleHeightReserveLow: -1.25, fit.SaddleHeightReserveHigh: 1.25, fit.Pitch: 0, fit.CentreLineError: 0,
	} {
		if got := changes[id]; math.Abs(got-want) > 1e-6 { // rounding
			t.Errorf("%v changes by %.4f, by hand %.2f", id, got, want)
		}
	}
	if p.Level != Trimmed || len(p.Asks) != 0 {
		t.Errorf("%v, %v", p.Level, p.Asks)
	}
	in.BodyThickness = 0
	if p, _ := tried(t, in, Action{Work: measure.DeepenFloor, Size: 1.25}); len(p.Asks) != 1 || p.Asks[0] != FloorThickness {
		t.Errorf("a body of unknown thickness: %v", p.Asks)
	}
}

// A flat shim lifts all by its thickness, and the screws reach as much less into the heel; a wedge lifts the middle of the
// floor's readings, half way along the pocket, by half of its thick end.
func TestWhatLiesUnderTheHeelTakesFromTheScrews(t *testing.T) {
	in := simulate.ShortScaleBass()
	kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	kit.Info.Action, kit.Info.NutHeight, kit.Info.BodyThickness, kit.Info.NeckScrewLength = action, nutHeight, 45, 45
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	for _, c := range []struct {
		a    Action
		want float64
	}{
		{Action{Work: measure.RiseShim, Size: 0.5}, -0.5}, {Action{Work: measure.DeepenFloor, Size: 2}, 2},
		{Action{Work: measure.PitchShim, Size: 1, Turn: 1}, -0.5}, {Action{Work: measure.PitchShim, Size: 1, Turn: -1}, -0.5},
	} {
		p, _ := Try(r, []Action{c.a}, Options{})
		for _, q := range p.Predicted {
			one := &r.Characteristics[q.Index]
			if one.ID == fit.NeckScrewReach && math.Abs(q.Value-one.Value-c.want) > 0.01 {
				t.Errorf("%+v: the reach changes by %.3f, by hand %.3f", c.a, q.Value-one.Value, c.want)
			}
		}
	}
}

// A body is not cut through: with 27 mm of it and a pocket of 16 nothing is left to take, with 30 two millimetres.
func TestAFloorKeepsItsWood(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.FretHeight += 8.5
	for _, c := range []struct{ body, most float64 }{{27, 0}, {30, 2}, {45, 5}, {0, 5}} {
		kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
		kit.Info.Action, kit.Info.NutHeight, kit.Info.BodyThickness = action, nutHeight, c.body
		k := newKit(fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation}), newStock(Options{}))
		deepest := 0.0
		for _, d := range k.heights() {
			if a := d.actions[0]; a.Work == measure.DeepenFloor {
				deepest = max(deepest, a.Size)
			}
		}
		if deepest > c.most || deepest < c.most-0.5 {
			t.Errorf("%g mm of body: cut by %g, at most %g", c.body, deepest, c.most)
		}
	}
}

// A pocket's corners of 5 mm cut square leave a heel's of 3 mm room of 3 - 0.3, and each corner its own.
func TestSquareCornersByHand(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.HeelRadius = 3
	p, changes := tried(t, in, Action{Work: measure.SquareCorner})
	if got := changes[fit.CornerReserve]; math.Abs(got-4.7) > 1e-6 || math.Abs(p.Actions[0].Size-5) > 1e-6 {
		t.Errorf("the reserve changes by %.3f, the radius taken out is %.3f", got, p.Actions[0].Size)
	}
	r, _ := adviceOf(in)
	k := newKit(r, newStock(Options{}))
	k.model.Geometry.Corners = [2]float64{5, 4}
	d, c := k.square(), k.criterion(fit.CornerReserve)
	if a, b := k.element(c, d, c.first), k.element(c, d, c.first+1); math.Abs(a-b-1) > 1e-6 {
		t.Errorf("corners that differ by 1 mm leave %.3f and %.3f", a, b)
	}
	in.PocketRadius = 0.2
	if _, changes := tried(t, in, Action{Work: measure.SquareCorner}); changes[fit.CornerReserve] != 0 {
		t.Error("what is square already is cut")
	}
}

// Slots and wider holes let a hole be off by as much more, and by nothing else.
func TestSlotsWidenTheirLimitsAlone(t *testing.T) {
	for work, of := range map[measure.Work][]fit.ID{
		measure.SlotScrews: {fit.NeckScrewMismatch}, measure.SlotBridge: {fit.BridgeHoleMismatch}, measure.SlotStrings: {fit.StringHolePitch, fit.PlateHoleMismatch},
	} {
		r, _ := adviceOf(simulate.ShortScaleBass())
		p, _ := Try(r, []Action{{Work: work, Size: 0.3}}, Options{})
		for _, q := range p.Predicted {
			c, want := &r.Characteristics[q.Index], 0.0
			if slices.Contains(of, c.ID) {
				want = 0.3
			}
			if q.Upper != c.Upper && math.Abs(q.Upper-c.Upper-want) > 1e-9 || want > 0 && q.Upper == c.Upper {
				t.Errorf("%v: the limit of %v goes from %g to %g", work, c.ID, c.Upper, q.Upper)
			}
		}
	}
}

// One hole of five that is off is plugged alone: the bridge is laid where the four others meet.
func TestOneHoleIsPluggedAlone(t *testing.T) {
	in := spoiled(t, "hole=1.5")
	_, a := adviceOf(in)
	p := &a.Plans[0]
	if p.Kind != measure.PlugBridge {
		t.Fatalf("%v", p.Actions)
	}
	plugged := 0
	for _, h := range p.Drilling.Holes {
		if h.Work == PlugFirst {
			plugged++
		}
	}
	full := measure.BuiltInCosts()[slices.IndexFunc(measure.BuiltInCosts(), func(c measure.Cost) bool { return c.Work == measure.PlugBridge })]
	n := float64(len(p.Drilling.Holes))
	if want := full.Minutes / 3 * (1 + 2/n); plugged != 1 || math.Abs(p.Minutes-want) > 1e-9 { // a third for setting up, the rest by the hole
		t.Errorf("%d of %.0f holes are plugged in %.1f minutes, by hand %.1f", plugged, n, p.Minutes, want)
	}
}

// A neck that stands off its pocket's end, as it was felt: pushed home the greater gap is what the lesser leaves, and everything along
// the neck moves by the lesser, held against the true instrument whose neck is pushed home.
func TestANeckIsPushedHome(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.EndGap, in.PocketEndAngle = 1.2, 0.3
	kit := in.Kit("K", simulate.DryFit(in, nil, simulate.Setup{Exact: true, Heights: true}))
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	p, _ := Try(r, []Action{{Work: measure.Reseat}}, Options{})
	truth := truths(carryOut(in, p, nil))
	seen := 0
	for _, q := range p.Predicted {
		id := r.Characteristics[q.Index].ID
		want, known := truth[id]
		if !known || !slices.Contains([]fit.ID{fit.EndGap, fit.SaddleReserveFront, fit.SaddleReserveBack, fit.CentreLineError}, id) {
			continue
		}
		seen++
		if math.Abs(q.Value-want) > 0.01 {
			t.Errorf("%v predicted %.4f, is %.4f", id, q.Value, want)
		}
	}
	if seen != 4 {
		t.Errorf("%d compared", seen)
	}
}

// A heel that does not go in is not re-seated, and no plan leaves a gap below nought.
func TestAHeelThatDoesNotGoInIsNotSeated(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd, in.CentreLineError = in.HeelMouth-0.44, in.HeelEnd+0.6, 2
	for _, survey := range ways {
		r := fit.Check(in.Kit("K", survey(in, rand.New(rand.NewPCG(1, 2)), simulate.DefaultSetup())), fit.Options{Model: true, Compensation: in.Compensation})
		for _, p := range For(r, Options{}).Plans {
			set := slices.ContainsFunc(p.Actions, func(a Action) bool { return a.Work == measure.Reseat })
			if set && p.After != nil && min(p.After.Bass[0]+p.After.Treble[0], p.After.Bass[1]+p.After.Treble[1]) < -0.01 {
				t.Errorf("%v leaves %+v", p.Actions, *p.After)
			}
		}
	}
}

// What contradicts leads only where the plan rests on it: a slip at a saddle's stop, of which there is plenty, beside a plan for the
// pocket, a slip in the pocket's width before it.
func TestContradictionsLeadWhereThePlanRestsOnThem(t *testing.T) {
	for _, c := range []struct {
		slip  func(*measure.Reading) bool
		leads bool
	}{
		{func(r *measure.Reading) bool { return r.Feature == measure.SaddleBack }, false},
		{func(r *measure.Reading) bool { return r.Feature == measure.Pocket }, true},
	} {
		in := simulate.ShortScaleBass()
		in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+1
		rng := rand.New(rand.NewPCG(5, 6))
		setup := simulate.DefaultSetup()
		setup.Trials = 3
		kit := in.Kit("K", simulate.LooseParts(in, rng, setup))
		for i := range kit.Readings {
			if r := &kit.Readings[i]; c.slip(r) {
				if r.Kind == measure.Width {
					r.Size += 1.5
				} else {
					r.Station += 1.5
				}
				break
			}
		}
		r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
		a := For(r, Options{})
		if len(r.Suspects) == 0 || (len(a.Suspect) > 0) != c.leads {
			t.Errorf("leads %v: %d suspects of %d; %v, moves %v", c.leads, len(a.Suspect), len(r.Suspects), a.Plans[0].Actions, r.Suspects)
		}
	}
}
