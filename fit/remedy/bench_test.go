package remedy

import (
	"math/rand/v2"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
)

func BenchmarkFor(b *testing.B) {
	var list []*fit.Result
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 1))
		in := misfit(rng)
		setup := simulate.DefaultSetup()
		setup.Heights = true
		kit := in.Kit("K", simulate.LooseParts(in, rng, setup))
		list = append(list, fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation}))
	}
	for i := 0; b.Loop(); i++ {
		For(list[i%len(list)], Options{})
	}
}
