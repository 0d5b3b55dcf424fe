package remedy

import (
	"flag"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// misfits is how many kits the tests of many kits draw; more are for a run by itself: -args -misfits 2000.
var misfits = flag.Int("misfits", 60, "random misfit kits")

// kits is that number, a third of it in short runs.
func kits() int {
	if testing.Short() {
		return (*misfits + 2) / 3
	}
	return *misfits
}

// misfit is a random kit whose faults are spread evenly and far beyond the limits, so that nothing
// but the readings tells how large they are; each of them is there in half of the kits.
func misfit(rng *rand.Rand) simulate.Instrument {
	in := simulate.Random(rng)
	spread := func(half float64) float64 { return half * (2*rng.Float64() - 1) }
	faults := []func(){
		func() { in.CentreLineError = spread(4) },
		func() { in.PocketMouth = in.HeelMouth + 0.4 + spread(1.2) },
		func() { in.PocketEnd = in.HeelEnd + 0.4 + spread(1.2) },
		func() { in.BridgeSkew = spread(1.5) },
		func() { in.BridgeStation += spread(9) },
		func() {
			in.HeelScrewErrors[1+rng.IntN(len(in.NeckScrews))] = simulate.Point{Station: spread(1.5), Offset: spread(1.5)}
		},
		func() { in.HeelRadius = in.PocketRadius + spread(3) },
	}
	for _, fault := range faults {
		if rng.IntN(2) == 0 {
			fault()
		}
	}
	return in
}

// ways are how misfit kits are surveyed.
var ways = []func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{simulate.LooseParts, simulate.DryFit, simulate.EdgeCheck, simulate.QuickCheck}

// lying is an instrument whose neck lies somewhere in its pocket, as it happens to be found.
func lying(in simulate.Instrument, rng *rand.Rand) simulate.Instrument {
	t := in.Seated().Truth()
	in.MouthShift = max(0, t.PocketGapMouth) * (rng.Float64() - 0.5)
	in.EndShift = max(0, t.PocketGapEnd) * (rng.Float64() - 0.5)
	return in
}

// promise is a plan's stated probability and whether the true instrument passed after it.
type promise struct {
	stated float64
	passed bool
}

// follow measures a kit one of the ways, takes its advice and carries out on the true instrument what choose
// picks of the plans; false where there is nothing to choose.
func follow(seed uint64, choose func([]Plan, *rand.Rand) (*Plan, bool)) (promise, bool) {
	rng := rand.New(rand.NewPCG(seed, 77))
	in := misfit(rng).Seated()
	if seed%4 == 3 { // a quick check does not know where; the others read or assume it
		in = lying(in, rng)
	}
	survey := ways[seed%4]
	r := fit.Check(in.Kit("K", survey(in, rng, simulate.DefaultSetup())), fit.Options{Model: true, Compensation: in.Compensation})
	if r.Verdict != fit.Fail && r.Verdict != fit.Unsure {
		return promise{}, false
	}
	k := newKit(r, newStock(Options{}))
	p, ok := choose(For(r, Options{}).Plans, rng)
	if !ok {
		return promise{}, false
	}
	truth := truths(carryOut(in, p, &hand{rng, k.costs, k.span}))
	for id, far := range drilledOff(p, in, &hand{rng, k.costs, k.span}) {
		truth[id] = far
	}
	out, fixed := promise{stated: p.Curable, passed: true}, 1.0
	for i, q := range p.Predicted {
		v, known := truth[r.Characteristics[q.Index].ID]
		switch {
		case !q.Judged:
		case !k.criteria[i].movable: // these instruments' frets and sides are always good
			fixed *= q.P
		case known && !(v >= q.Lower && v <= q.Upper):
			out.passed = false
		}
	}
	if math.Abs(p.P-fixed*p.Curable) > 1e-12 { // rounding
		panic("what no work changes is not in the odds")
	}
	return out, true
}

// drilledOff are the string holes' errors where they are drilled anew: simulate does not follow them.
func drilledOff(p *Plan, in simulate.Instrument, h *hand) map[fit.ID]float64 {
	for _, a := range p.Actions {
		if a.Work != measure.PlugBridge && a.Work != measure.PlugStrings {
			continue
		}
		far := 0.0
		for range in.Strings {
			far = max(far, math.Hypot(h.off(measure.PlugStrings), h.off(measure.PlugStrings)))
		}
		return map[fit.ID]float64{fit.StringHolePitch: far}
	}
	return nil
}

// followAll follows many kits on all processors.
func followAll(n int, choose func([]Plan, *rand.Rand) (*Plan, bool)) []promise {
	var lock sync.Mutex
	var group sync.WaitGroup
	var list []promise
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		group.Go(func() {
			for k := w; k < n; k += workers {
				if one, ok := follow(uint64(k), choose); ok {
					lock.Lock()
					list = append(list, one)
					lock.Unlock()
				}
			}
		})
	}
	group.Wait()
	return list
}

// recommended is the first plan, or the one after a returned part.
func recommended(plans []Plan, _ *rand.Rand) (*Plan, bool) {
	for i := range plans {
		if plans[i].Level != Returned {
			return &plans[i], true
		}
	}
	return nil, false
}

// anyPlan is one of all that are worked out, likely or not.
func anyPlan(plans []Plan, rng *rand.Rand) (*Plan, bool) {
	start := rng.IntN(len(plans))
	for i := range plans {
		if p := &plans[(start+i)%len(plans)]; p.Level != Returned {
			return p, true
		}
	}
	return nil, false
}

// tally sums promises by tenths of the stated probability.
type tally struct{ n, stated, passed, variance [10]float64 }

func (c *tally) add(o promise) {
	b := min(9, int(o.stated*10))
	c.n[b]++
	c.stated[b] += o.stated
	c.variance[b] += o.stated * (1 - o.stated)
	if o.passed {
		c.passed[b]++
	}
}

// What a plan states must be what comes of it when it is carried out on the true instrument with errors of
// the stated size, whichever way the kit was measured: in each tenth of the probability the share that
// passes, within four standard deviations of its sampling (binomial) and the draws' own 1 %.
func TestStatedProbabilitiesAreWhatComesOfThePlans(t *testing.T) {
	for name, choose := range map[string]func([]Plan, *rand.Rand) (*Plan, bool){"recommended": recommended, "any": anyPlan} {
		var c tally
		for _, o := range followAll(4*kits(), choose) {
			c.add(o)
		}
		for b := range c.n {
			if c.n[b] == 0 {
				continue
			}
			allowed := 4*math.Sqrt(c.variance[b]) + 0.01*c.n[b] + 1 // a single kit is no evidence
			off := c.passed[b] - c.stated[b]
			t.Logf("%s, %d0 %%: %4.0f kits, stated %.3f, passed %.3f, z %.1f", name, b, c.n[b], c.stated[b]/c.n[b], c.passed[b]/c.n[b], off/math.Sqrt(c.variance[b]))
			if math.Abs(off) > allowed {
				t.Errorf("%s, %d0 %%: %.0f of %.0f passed, stated %.1f", name, b, c.passed[b], c.n[b], c.stated[b])
			}
		}
	}
}
