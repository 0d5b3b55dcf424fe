package fit

import (
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
)

// BenchmarkCheck is one kit of each way of working, all characteristics and verdicts.
func BenchmarkCheck(b *testing.B) {
	for _, p := range plans {
		b.Run(p.name, func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 2))
			in := simulate.Random(rng)
			kit := in.Kit("K", p.read(in, rng, simulate.DefaultSetup()))
			o := Options{Compensation: in.Compensation, Brief: true}
			b.ReportAllocs()
			for b.Loop() {
				Check(kit, o)
			}
			b.ReportMetric(float64(len(kit.Readings)), "readings")
		})
	}
}
