package remedy

import (
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
)

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

// outcome is a plan's stated probability and whether the true instrument passed after it.
type outcome struct {
	stated float64
	passed bool
}

// follow measures a kit, takes its advice and carries out on the true instrument what choose picks
// of the plans; false where there is nothing to choose. Only what some work could change is held
// against the limits: to a fault of the frets, plans are neither here nor there.
func follow(seed uint64, choose func([]Plan, *rand.Rand) (*Plan, bool)) (outcome, bool) {
	rng := rand.New(rand.NewPCG(seed, 77))
	in := misfit(rng)
	r := fit.Check(in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup())), fit.Options{Model: true, Compensation: in.Compensation})
	k := newKit(r, newStock(Options{}))
	p, ok := choose(For(r, Options{}).Plans, rng)
	if !ok {
		return outcome{}, false
	}
	w := &workshop{rng, k.costs, k.span}
	truth := w.carryOut(in, p).truth
	out := outcome{stated: p.Curable, passed: true}
	for i, row := range k.criteria {
		v, known := truth[r.Characteristics[row.index].ID.String()]
		if row.judged && row.curable && known && !(v >= p.Predicted[i].Lower && v <= p.Predicted[i].Upper) {
			out.passed = false
		}
	}
	return out, true
}

// followAll follows many kits on all processors.
func followAll(kits int, choose func([]Plan, *rand.Rand) (*Plan, bool)) []outcome {
	var lock sync.Mutex
	var group sync.WaitGroup
	var list []outcome
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		group.Go(func() {
			for k := w; k < kits; k += workers {
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
		if p := &plans[(start+i)%len(plans)]; p.Level != Returned && p.Level != Untouched {
			return p, true
		}
	}
	return nil, false
}

// tally sums outcomes by tenths of the stated probability.
type tally struct{ n, stated, passed, variance [10]float64 }

func (c *tally) add(o outcome) {
	b := min(9, int(o.stated*10))
	c.n[b]++
	c.stated[b] += o.stated
	c.variance[b] += o.stated * (1 - o.stated)
	if o.passed {
		c.passed[b]++
	}
}

// Over 1,000 misfit kits, what a plan states must be what comes of it when it is carried out on the
// true instrument with errors of the stated size: in each tenth of the probability the share that
// passes, within four standard deviations of its sampling (binomial) and the draws' own 0.8 %.
func TestStatedProbabilitiesAreWhatComesOfThePlans(t *testing.T) {
	for name, choose := range map[string]func([]Plan, *rand.Rand) (*Plan, bool){"recommended": recommended, "any": anyPlan} {
		kits := *misfits
		if name == "any" {
			kits /= 2
		}
		var c tally
		for _, o := range followAll(kits, choose) {
			c.add(o)
		}
		for b := range c.n {
			if c.n[b] == 0 {
				continue
			}
			allowed := 4*math.Sqrt(c.variance[b]) + 0.008*c.n[b]
			off := c.passed[b] - c.stated[b]
			t.Logf("%s, %d0 %%: %4.0f kits, stated %.3f, passed %.3f, z %.1f", name, b, c.n[b], c.stated[b]/c.n[b], c.passed[b]/c.n[b], off/math.Sqrt(c.variance[b]))
			if math.Abs(off) > allowed {
				t.Errorf("%s, %d0 %%: %.0f of %.0f passed, stated %.1f", name, b, c.passed[b], c.n[b], c.stated[b])
			}
		}
	}
}
