package remedy

import (
	"math"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// One's own plan is worked out as the program's are: tried again, each of those leaves the same and drills
// the same holes.
func TestTriedPlansAreWhatTheyWere(t *testing.T) {
	tried := map[measure.Work]int{}
	for seed := range uint64(kits() / 2) {
		r, a := surveyed(4 * seed)
		for i := range a.Plans {
			p := &a.Plans[i]
			if p.Level == Returned || p.Level == Untouched {
				continue
			}
			q, untried := Try(r, p.Actions, Options{})
			if q == nil {
				t.Fatalf("%v: %v", p.Actions, untried)
			}
			for _, act := range p.Actions {
				tried[act.Work]++
			}
			const draw = 0.06 // six standard errors: each plan has its own draws of the hand
			if math.Abs(p.P-q.P) > draw || p.Minutes != q.Minutes || p.Price != q.Price || p.Level != q.Level {
				t.Errorf("%v: %.3f in %v, tried %.3f in %v", p.Actions, p.P, p.Minutes, q.P, q.Minutes)
			}
			for j := range p.Predicted {
				x, y := &p.Predicted[j], &q.Predicted[j]
				if math.Abs(x.Value-y.Value) > 1e-6 || math.Abs(x.StdUncertainty-y.StdUncertainty) > 2e-3 { // a seat hard at a wall that came nearer
					t.Errorf("%v: %s %.6f ± %.6f, tried %.6f ± %.6f", p.Actions, r.Characteristics[x.Index].ID, x.Value, x.StdUncertainty, y.Value, y.StdUncertainty)
				}
			}
			if (p.Drilling == nil) != (q.Drilling == nil) || p.Drilling != nil && len(p.Drilling.Holes) != len(q.Drilling.Holes) {
				t.Errorf("%v: other holes", p.Actions)
			}
		}
	}
	for _, w := range []measure.Work{measure.SideShim, measure.RelieveWall, measure.Reseat, measure.TrimHeel, measure.PlugBridge, measure.PlugNeck, measure.BridgeMove, measure.EaseCorner} {
		if tried[w] == 0 {
			t.Errorf("%s was not tried", w)
		}
	}
}

// By hand: a shim of 0.5 mm on the treble wall of a pocket with 1.0 mm of play leaves half of it and moves
// the heel 0.25 mm toward bass, so that the bridge comes to lie 0.25 mm more toward treble of it.
func TestOwnShim(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+1
	r, _ := adviceOf(in)
	p, _ := Try(r, []Action{{Work: measure.SideShim, Wall: Treble, Mouth: 0.5, End: 0.5}}, Options{})
	want := map[fit.ID]float64{fit.CentreLineError: 0.25, fit.PocketGapMouth: 0.5, fit.PocketGapEnd: 0.5}
	for _, q := range p.Predicted {
		if v, ok := want[r.Characteristics[q.Index].ID]; ok && math.Abs(q.Value-v) > 1e-6 { // rounding
			t.Errorf("%s: %.4f, by hand %.4f", r.Characteristics[q.Index].ID, q.Value, v)
		}
	}
	if p.After.Bass[0] < 0.2499 || p.After.Treble[1] > 0.2501 {
		t.Errorf("%+v", p.After)
	}
}

// What the readings do not allow is said.
func TestOwnPlanThatCannotBeWorkedOut(t *testing.T) {
	in := simulate.ShortScaleBass()
	r := fit.Check(in.Kit("K", simulate.EdgeCheck(in, nil, simulate.Setup{Exact: true})), fit.Options{Model: true, Compensation: in.Compensation})
	if p, untried := Try(r, []Action{{Work: measure.Reseat}}, Options{}); p != nil || len(untried) != 1 || untried[0] != HeelUntried {
		t.Errorf("%v, %v", p, untried)
	}
}
