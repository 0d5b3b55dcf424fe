package remedy

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// surveyed is a misfit kit measured one of the ways, and its advice.
func surveyed(seed uint64) (*fit.Result, *Advice) {
	rng := rand.New(rand.NewPCG(seed, 5))
	in := misfit(rng).Seated()
	r := fit.Check(in.Kit("K", ways[seed%uint64(len(ways))](in, rng, simulate.DefaultSetup())), fit.Options{Model: true, Compensation: in.Compensation})
	return r, For(r, Options{})
}

// No plan is promised more than its least likely characteristic, nor more than what no work changes: a
// kit that fails whatever is done has no odds.
func TestNoPlanIsPromisedMoreThanItsWorstCharacteristic(t *testing.T) {
	const draw = 0.04 // four standard errors of the draws
	for seed := range uint64(kits()) {
		r, a := surveyed(seed)
		for i := range a.Plans {
			p := &a.Plans[i]
			if p.Level == Returned {
				continue
			}
			if sum := p.Minutes + p.Price + p.Again + p.Fails*p.Then + p.Back; math.Abs(sum-p.Expected) > 1e-9 || p.Fails < 0 || p.Fails > 1 || p.Then < 0 || p.Again <= 0 != (r.Verdict != fit.Fail && r.Verdict != fit.Unsure) {
				t.Errorf("seed %d, %v: %.3f + %.3f + %.3f + %.3f of %.3f + %.3f is not %.3f", seed, p.Actions, p.Minutes, p.Price, p.Again, p.Fails, p.Then, p.Back, p.Expected)
			}
			least := 1.0
			for _, q := range p.Predicted {
				if q.Judged && !renewedBy(p, r.Characteristics[q.Index].ID) {
					least = min(least, q.P)
				}
			}
			if p.P > least+draw || p.P > p.Curable || p.Weakest.P > least+1e-12 {
				t.Errorf("seed %d, %v: %.3f promised, the weakest has %.3f", seed, p.Actions, p.P, least)
			}
		}
	}
}

// A fault that no work cures leaves every plan without odds, names itself, and the part goes back.
func TestAnIncurableFaultLeavesNoOdds(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.FretErrors, in.CentreLineError = map[int]float64{7: 1}, 1.5
	r, a := adviceOf(in)
	if r.Verdict != fit.Fail || a.Plans[0].Level != Returned || len(a.Cannot) != 1 || a.Cannot[0] != (Incurable{ID: fit.FretError, Cause: Unchanged}) {
		t.Errorf("%v: %v, %+v", r.Verdict, a.Plans[0].Actions, a.Cannot)
	}
	for i := range a.Plans[1:] {
		if p := &a.Plans[1+i]; p.P > 0.01 || p.Weakest.ID != fit.FretError {
			t.Errorf("%v: %.3f, weakest %v", p.Actions, p.P, p.Weakest)
		}
	}
}

// What could not be worked out for want of readings is no reason to return a part; the reading is named.
func TestWhatWaitsForReadingsIsNotIncurable(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 1.8
	in.PocketMouth, in.PocketEnd = in.PocketMouth+0.6, in.PocketEnd+0.6
	r := fit.Check(in.Kit("K", simulate.EdgeCheck(in, nil, simulate.Setup{Exact: true})), fit.Options{Model: true, Compensation: in.Compensation})
	a := For(r, Options{})
	if r.Verdict != fit.Fail || len(a.Cannot) > 0 || len(a.Waits) == 0 {
		t.Fatalf("%v: %+v, %+v", r.Verdict, a.Cannot, a.Waits)
	}
	for i := range a.Plans {
		if a.Plans[i].Level == Returned {
			t.Errorf("a part is returned")
		}
	}
	for _, w := range a.Waits {
		if w.Untried != HeelUntried && w.Untried != BridgeUntried {
			t.Errorf("%+v names no reading", w)
		}
	}
}

// everyone are misfit kits, of a third of which nobody wrote down how thick the screws are, those of the cases and
// those of the batches that come with the program, each with its advice.
func everyone(t *testing.T, use func(name string, r *fit.Result, a *Advice)) {
	t.Helper()
	for seed := range uint64(kits()) {
		rng := rand.New(rand.NewPCG(seed, 5))
		in := misfit(rng).Seated()
		kit := in.Kit("K", ways[seed%uint64(len(ways))](in, rng, simulate.DefaultSetup()))
		if seed%3 == 0 {
			kit.Info.BridgeScrew, kit.Info.NeckScrew, kit.Info.BridgeCore, kit.Info.NeckCore = 0, 0, 0, 0
		}
		r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
		use(fmt.Sprintf("seed %d", seed), r, For(r, Options{}))
	}
	for _, row := range luthiers(t) {
		r, a := adviceOf(spoiled(t, row[1]))
		use(row[0], r, a)
	}
	for _, dir := range []string{"demo", "example"} {
		batch, err := measure.Open("../../testdata/"+dir, measure.Options{Characteristics: fit.Characteristics()})
		if err != nil {
			t.Fatal(err)
		}
		list, err := batch.All(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range list {
			r := fit.Check(k, fit.Options{Model: true, Limits: batch.Limits, Compensation: batch.Compensation()})
			use(dir+" "+k.Name, r, For(r, Options{Stock: batch.Stock, Costs: batch.Costs}))
		}
		if err := batch.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// Every plan that is shown can be drilled, or says that it waits for an answer: each of its holes has its place, Drill
// says of it what the plan says, and no two bores, plugs among them, share any wood.
func TestEveryPlanShownCanBeDrilled(t *testing.T) {
	drilled, waiting := 0, 0
	everyone(t, func(name string, r *fit.Result, a *Advice) {
		for i := range a.Plans {
			p := &a.Plans[i]
			s, lack := Drill(r, p, Options{})
			switch {
			case p.Level != Redrilled:
				if lack != DrillsNothing || p.Drilling != nil || p.Waits() != slices.Contains(p.Asks, FloorThickness) {
					t.Errorf("%s, %v: %v", name, p.Actions, lack)
				}
				continue
			case p.Waits():
				if waiting++; len(p.Asks) == 0 {
					t.Errorf("%s, %v: waits for nothing", name, p.Actions)
				}
				continue
			}
			drilled++
			if lack != NoLack || s.Refusals > 0 || len(s.Holes) != len(p.Drilling.Holes) {
				t.Fatalf("%s, %v: %v, %+v", name, p.Actions, lack, s)
			}
			for j := range s.Holes {
				h := &s.Holes[j]
				if h.New != p.Drilling.Holes[j].New || h.Work == NoHoleWork || h.Work != Abandon && h.Pilot <= 0 || math.Abs(h.Within-p.Drilling.Holes[j].Within) > 1e-6 {
					t.Errorf("%s, %v: %+v", name, p.Actions, h)
				}
				for k := range s.Holes[:j] {
					if o := &s.Holes[k]; (h.Feature == measure.HeelScrew) == (o.Feature == measure.HeelScrew) {
						meet(t, name, h, o)
					}
				}
			}
		}
	})
	t.Logf("%d plans drill, %d wait", drilled, waiting)
	if drilled < kits()/2 || waiting < kits()/6 {
		t.Errorf("only %d plans drill, %d wait", drilled, waiting)
	}
}

// meet holds two holes of one part apart: plug from plug, and bit from bit.
func meet(t *testing.T, name string, h, o *Hole) {
	t.Helper()
	if d := math.Hypot(h.Old.X-o.Old.X, h.Old.Y-o.Old.Y); h.Plug > 0 && o.Plug > 0 && d < (h.Plug+o.Plug)/2 {
		t.Errorf("%s: plugs of %v and %v are %.2f apart", name, h.Name(), o.Name(), d)
	}
	for _, pair := range [][2]*Hole{{h, o}, {o, h}} { // a bit that runs into another's old hole finds a plug in it
		bit, old := pair[0], pair[1]
		if d := math.Hypot(bit.New.X-old.Old.X, bit.New.Y-old.Old.Y); bit.drills() && old.HasOld && old.Work != Reuse && d < (bit.Pilot+old.OldDiameter)/2 && (old.Plug == 0 || old.Work == Fresh) {
			t.Errorf("%s: the bit of %v runs into the old hole of %v", name, bit.Name(), old.Name())
		}
	}
	at := func(h *Hole) Point {
		if h.Work == Reuse {
			return h.Old
		}
		return h.New
	}
	if a, b := at(h), at(o); h.Work != Abandon && o.Work != Abandon && (h.Work != Reuse || o.Work != Reuse) && math.Hypot(a.X-b.X, a.Y-b.Y) < (h.Pilot+o.Pilot)/2 {
		t.Errorf("%s: %v and %v run into each other", name, h.Name(), o.Name())
	}
}

// sequences costs every order of up to three works from the plans' own draws, in the plainest way: draw by draw.
func cheapest(list []weighed, again, back float64) float64 {
	best := math.Inf(1)
	var walk func(order []int)
	walk = func(order []int) {
		if n := len(order); n > 0 {
			cost, left := 0.0, 1.0
			for i, at := range order {
				p := list[at].plan
				cost += left * (p.Minutes + p.Price + again)
				failed, passed := 0, 0
				for t := range draws {
					before := false
					for _, other := range order[:i] {
						before = before || list[other].passed[t/64]>>(t%64)&1 == 1
					}
					if before {
						continue
					}
					if failed++; list[at].passed[t/64]>>(t%64)&1 == 1 {
						passed++
					}
				}
				if failed > 0 {
					left *= 1 - list[at].fresh*float64(passed)/float64(failed)
				}
			}
			best = min(best, cost+left*back)
			if n == 3 {
				return
			}
		}
		for i := range list {
			used := list[i].plan.Level == Untouched || list[i].plan.Level == Returned
			for _, o := range order {
				used = used || o == i
			}
			if !used {
				walk(append(order[:len(order):len(order)], i))
			}
		}
	}
	walk(nil)
	return best
}

// No kit gets a first step that is expected to cost more than the best of all sequences of up to three works,
// found by trying every one of them.
func TestTheFirstStepIsTheCheapestSequences(t *testing.T) {
	const again = 10.0
	compared := 0
	for seed := range uint64(kits() / 3) {
		r, a := surveyed(3 * seed) // loose parts
		if (r.Verdict != fit.Fail && r.Verdict != fit.Unsure) || a.Plans[0].Level == Returned || a.Plans[0].Level == Untouched || len(a.Waits) > 0 {
			continue
		}
		k := newKit(r, newStock(Options{}))
		candidates := k.shown(k.complete(k.bases()))
		o := k.newOdds(candidates)
		var list []weighed
		for i, d := range candidates {
			list = append(list, k.weigh(d, o.of(d, i)))
		}
		list = k.bestOfKinds(list)
		back := k.costs[measure.SendBack]
		best := cheapest(list, again, back.Minutes+back.Price)
		compared++
		if a.Plans[0].Expected > best+1e-6 { // rounding
			t.Errorf("seed %d: %v is expected to cost %.2f, the best sequence costs %.2f", 3*seed, a.Plans[0].Actions, a.Plans[0].Expected, best)
		}
	}
	if compared < 3 {
		t.Errorf("only %d compared", compared)
	}
}
