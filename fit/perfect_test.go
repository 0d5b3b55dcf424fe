package fit

import (
	"fmt"
	"math/rand/v2"
	"slices"
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

// A kit without a fault, read by the built-in gauges, passes in 95 of 100 where each reading is repeated as often as it takes, and
// hardly ever fails; more readings pass no fewer. With -coverage all numbers of trials are tried, and parts that leave the
// form as good parts do, which are not without a fault.
func TestPerfectKits(t *testing.T) {
	quick := plan{"quick check", EdgeCheck, simulate.QuickCheck, simulate.Instrument.Truth}
	enough := map[string]int{quick.name: 3, "edge check": 3, "dry fit": 3, "loose parts": 5}
	share := func(name string) int { // in a hundred; the quick check has its scale by a rule, whose half millimetres leave one in seven unsure
		if name == quick.name {
			return 80
		}
		return 95
	}
	for _, p := range append([]plan{quick}, plans...) {
		last := 0
		for _, trials := range []int{1, 3, 5} {
			if !*all && trials != enough[p.name] {
				continue
			}
			verdicts, why := perfect(t, p, trials, false)
			t.Logf("%s, %d trials: %v; %s", p.name, trials, verdicts, why)
			passed, failed := verdicts[Pass], verdicts[Fail]
			if trials >= enough[p.name] && passed < *kits*share(p.name)/100 {
				t.Errorf("%s, %d trials: %d of %d perfect kits pass; %s", p.name, trials, passed, *kits, why)
			}
			if failed > *kits/100 || passed < last-*kits/50 {
				t.Errorf("%s, %d trials: %d of %d perfect kits fail, %d pass, with fewer trials %d", p.name, trials, failed, *kits, passed, last)
			}
			last = passed
			if *all {
				verdicts, why = perfect(t, p, trials, true)
				t.Logf("%s, %d trials, good parts: %v; %s", p.name, trials, verdicts, why)
			}
		}
	}
}

// perfect counts the verdicts on kits without a fault, or but for the form's, and what did not pass.
func perfect(t *testing.T, p plan, trials int, formed bool) (verdicts map[Verdict]int, why string) {
	verdicts = map[Verdict]int{}
	setup, reasons := drawer(t), map[string]int{}
	for seed := range uint64(*kits) {
		in := simulate.ShortScaleBass()
		in.PocketMouth, in.PocketEnd, in.HeelRadius = 63.775, 63.775, 7 // amid the limits
		f := newForm(rand.New(rand.NewPCG(seed, 5)))
		var readings []measure.Reading
		for trial := range trials {
			one := p.read(in, rand.New(&again{rand.NewPCG(seed, 1000), rand.NewPCG(seed, 2000+uint64(trial)), gaugesOfAHand}), setup)
			if formed {
				one = f.on(one)
			}
			readings = append(readings, one...)
		}
		kit := in.Kit("K", readings)
		if p.name == "quick check" { // it is judged on what it can tell, as start writes into kits.csv
			kit.Info.Aim = []string{CentreLineError.String(), ScaleLength.String(), PocketGapMouth.String(), PocketGapEnd.String()}
		}
		r := Check(kit, Options{Compensation: in.Compensation})
		verdicts[r.Verdict]++
		for id := range characteristics {
			switch c := r.Find(id); c.Verdict {
			case NotMeasured, NotJudged, Pass:
			default:
				reasons[c.Verdict.String()+" "+id.String()]++
			}
		}
	}
	list := make([]string, 0, len(reasons))
	for reason, n := range reasons {
		list = append(list, fmt.Sprintf("%3d %s", n, reason))
	}
	slices.Sort(list)
	return verdicts, strings.Join(list, ", ")
}
