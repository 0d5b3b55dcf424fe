package fit

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"

	"neckfit/fit/simulate"
)

// Each way of working is simulated this often. The share that a 95 % interval holds then scatters
// by 0.49 % (binomial), so 93 to 97 % is four times that. Where readings scatter by chance as if gauges were worse than
// they claim, intervals are longer than they need be: that adds half a percent.
const (
	simulated  = 2000
	leastHeld  = 0.93
	mostHeld   = 0.975
	coverageK  = 1.959964 // two-sided normal quantile for 95 %
	shortOfAll = 200      // an interval that fewer kits than this have is not judged
)

// The 95 % interval must hold the truth as often as it claims, with each gauge's common error
// drawn once a kit (simulate.Setup). The truth is by construction, in package simulate.
func TestCoverage(t *testing.T) {
	names := []string{
		"centre-line-error", "bridge-skew", "pocket-gap-mouth", "pocket-gap-end",
		"margin-bass", "margin-treble", "margin-balance", "scale-length",
	}
	ofParts := []string{"heel-skew", "heel-offset", "bridge-off-pocket", "bridge-turn"} // of parts surveyed apart alone
	for _, p := range plans {
		names := names
		if p.way == LooseParts {
			names = append(slices.Clone(names), ofParts...)
		}
		held, seen := cover(p, names)
		for i, name := range names {
			if seen[i] < shortOfAll {
				t.Errorf("%s: %s measured in %d of %d kits only", p.name, name, seen[i], simulated)
				continue
			}
			share := float64(held[i]) / float64(seen[i])
			t.Logf("%s: %s held in %.2f %% of %d", p.name, name, 100*share, seen[i])
			if share < leastHeld || share > mostHeld {
				t.Errorf("%s: the 95 %% interval of %s holds the truth in %.2f %%", p.name, name, 100*share)
			}
		}
	}
}

// cover counts, by name, the kits whose interval held the truth and those that had one.
func cover(p plan, names []string) (held, seen []int) {
	held, seen = make([]int, len(names)), make([]int, len(names))
	var lock sync.Mutex
	var group sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		group.Go(func() {
			for k := w; k < simulated; k += workers {
				h, s := coverOne(p, names, uint64(k))
				lock.Lock()
				for i := range names {
					held[i] += h[i]
					seen[i] += s[i]
				}
				lock.Unlock()
			}
		})
	}
	group.Wait()
	return held, seen
}

func coverOne(p plan, names []string, seed uint64) (held, seen []int) {
	rng := rand.New(rand.NewPCG(seed, uint64(p.way)))
	in := simulate.Random(rng)
	r := Check(in.Kit("K", newForm(rng).on(p.read(in, rng, simulate.DefaultSetup()))), Options{Compensation: in.Compensation})
	truth := truths(p.truth(in))
	held, seen = make([]int, len(names)), make([]int, len(names))
	for i, name := range names {
		for _, c := range r.Characteristics {
			if c.ID.String() == name && c.Measured() {
				seen[i] = 1
				if math.Abs(c.Value-truth[name]) <= coverageK*c.StdUncertainty {
					held[i] = 1
				}
			}
		}
	}
	return held, seen
}
