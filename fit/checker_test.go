package fit

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A Checker that has seen other kits says of each what a new one says: kits of all ways, whole and
// in part, in any order.
func TestCheckerUsedAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	var kits []*measure.Kit
	for range 20 {
		for _, p := range plans {
			in := simulate.Random(rng)
			kit := in.Kit("K", p.read(in, rng, simulate.DefaultSetup()))
			rng.Shuffle(len(kit.Readings), func(i, j int) {
				kit.Readings[i], kit.Readings[j] = kit.Readings[j], kit.Readings[i]
			})
			if rng.IntN(2) == 0 {
				kit.Readings = kit.Readings[:1+rng.IntN(len(kit.Readings))]
			}
			kits = append(kits, kit)
		}
	}
	used := new(Checker)
	for _, o := range []Options{{}, {Brief: true}, {Terse: true}, {Rule: Simple, Model: true}} {
		for _, kit := range kits {
			got, want := used.Check(kit, o), new(Checker).Check(kit, o)
			if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(Model{})); diff != "" {
				t.Fatalf("%d readings: a new Checker (-) and one that was used (+)\n%s", len(kit.Readings), diff)
			}
		}
	}
}
