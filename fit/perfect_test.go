package fit

import (
	"fmt"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// drawer is the built-in gauges as simulate reads by them.
func drawer(t *testing.T) simulate.Setup {
	t.Helper()
	by := map[string]*measure.Gauge{}
	list := measure.BuiltInGauges()
	for i := range list {
		by[list[i].ID] = &list[i]
	}
	return simulate.Setup{Offset: by[measure.Calliper], Station: by[measure.Rule], Long: by[measure.Rule], Gap: by[measure.Feeler], Heights: true}
}

func TestPerfectKits(t *testing.T) {
	const drawn = 200
	quick := plan{"quick check", EdgeCheck, simulate.QuickCheck, simulate.Instrument.Truth}
	for _, p := range append([]plan{quick}, plans...) {
		for _, formed := range []bool{false, true} {
			for _, trials := range []int{1, 3, 5} {
				verdicts := map[string]int{}
				why := map[string]int{}
				setup := drawer(t)
				for seed := range uint64(drawn) {
					rng := rand.New(rand.NewPCG(seed, 5))
					in := simulate.ShortScaleBass()
					in.PocketMouth, in.PocketEnd = 63.775, 63.775
					in.HeelRadius = 7
					f := newForm(rng)
					var readings []measure.Reading
					for trial := range trials {
						source := &again{rand.NewPCG(seed, 1000), rand.NewPCG(seed, 2000+uint64(trial)), gaugesOfAHand}
						one := p.read(in, rand.New(source), setup)
						if formed {
							one = f.on(one)
						}
						readings = append(readings, one...)
					}
					r := Check(in.Kit("K", readings), Options{Compensation: in.Compensation})
					verdicts[r.Verdict.String()]++
					for id := range characteristics {
						if c := r.Find(id); c.Verdict != Pass && c.Verdict != NotJudged && c.Verdict != NotMeasured {
							why[c.Verdict.String()+" "+id.String()]++
						}
					}
				}
				var list []string
				for w, n := range why {
					list = append(list, fmt.Sprintf("%3d %s", n, w))
				}
				sort.Sort(sort.Reverse(sort.StringSlice(list)))
				t.Logf("%s, form %v, %d trials: %v; %s", p.name, formed, trials, verdicts, strings.Join(list, ", "))
			}
		}
	}
}
