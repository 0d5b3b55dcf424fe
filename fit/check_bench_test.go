package fit

import (
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// benchKit is a kit of one way of working, with the options that a table of verdicts asks for.
func benchKit(read func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading) (*measure.Kit, Options) {
	rng := rand.New(rand.NewPCG(1, 2))
	in := simulate.Random(rng)
	return in.Kit("K", read(in, rng, simulate.DefaultSetup())), Options{Compensation: in.Compensation, Terse: true}
}

// BenchmarkCheck is one kit of each way of working, all characteristics and verdicts.
func BenchmarkCheck(b *testing.B) {
	for _, p := range plans {
		b.Run(p.name, func(b *testing.B) {
			kit, o := benchKit(p.read)
			w := new(Checker)
			b.ReportAllocs()
			for b.Loop() {
				w.Check(kit, o)
			}
			b.ReportMetric(float64(len(kit.Readings)), "readings")
		})
	}
}

// BenchmarkStages is what Check does one after the other, each stage with those before it: write the
// equations, adjust them, derive the characteristics, decide on them.
func BenchmarkStages(b *testing.B) {
	for _, p := range plans {
		kit, o := benchKit(p.read)
		w := new(Checker)
		equations := func() { w.solved.Assemble(kit) }
		adjusted := func() {
			if err := w.solved.solve(kit); err != nil {
				b.Fatal(err)
			}
		}
		derived := func() {
			adjusted()
			a := w.assembly.put(&w.solved, wayOf(&w.solved.Survey), o, nil)
			for i := range catalogue {
				catalogue[i].find(a)
			}
		}
		for _, s := range []struct {
			name string
			do   func()
		}{{"1 equations", equations}, {"2 adjust", adjusted}, {"3 derive", derived}, {"4 decide", func() { w.Check(kit, o) }}} {
			b.Run(p.name+"/"+s.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					s.do()
				}
			})
		}
	}
}
