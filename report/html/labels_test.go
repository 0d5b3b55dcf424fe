package html_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// misfits are kits of all sorts that do not fit: every way of reading, four strings and six, left-handed, fanned
// and not, small errors and gross ones.
func misfits(n int) (list []*fit.Result) {
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 7))
		in := simulate.Random(rng)
		if i%2 == 1 {
			in.Strings, in.BridgeSpread, in.NutSpread = 6, in.BridgeSpread+10, in.NutSpread+4
		}
		if i%5 == 4 {
			in.CentreLineError, in.PocketMouth = 8*rng.NormFloat64(), in.PocketMouth+2*rng.NormFloat64()
		}
		if i%7 == 2 {
			in.Fan, in.StraightFret, in.SaddleSlant = 15+float64(i), 7, 12+float64(i)
		}
		var readings []measure.Reading
		switch i % 3 {
		case 0:
			readings = simulate.LooseParts(in, rng, simulate.Setup{Heights: true})
		case 1:
			readings = simulate.DryFit(in, rng, simulate.Setup{Heights: true})
		case 2:
			readings = simulate.EdgeCheck(in, rng, simulate.Setup{})
		}
		kit := in.Kit(fmt.Sprintf("M-%d", i+1), readings)
		kit.Info.LeftHanded = i%4 == 3
		list = append(list, fit.Check(kit, fit.Options{Model: true}))
	}
	return list
}

// quickly are quick checks: that of README's example, and of kits like it that fit worse, left-handed ones among them.
func quickly(t *testing.T, n int) (list []*fit.Result) {
	t.Helper()
	kits, _, _, err := readKits("../../testdata/example")
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 8))
		kit := *must(t, kits, err)[0]
		kit.Name, kit.Info.LeftHanded = fmt.Sprintf("Q-%d", i+1), i%2 == 1
		kit.Readings = slices.Clone(kit.Readings)
		aside := 3 * rng.NormFloat64() * float64(i)
		for k := range kit.Readings {
			switch r := &kit.Readings[k]; {
			case r.Kind == measure.Width:
				r.Size += 0.2 * rng.NormFloat64() * float64(i)
			case r.Feature == measure.BridgeScrew && r.Datum == measure.DatumEdgeBass:
				r.Offset += aside
			case r.Feature == measure.BridgeScrew:
				r.Offset -= aside
			}
		}
		list = append(list, fit.Check(&kit, fit.Options{Model: true}))
	}
	return list
}

// No two labels of a drawing lie on each other, nor is one cut off, on any kit of the demonstration, of sixty
// misfits or of twelve quick checks.
func TestLabelsDoNotCollide(t *testing.T) {
	for _, c := range demoTab(t).Collisions("svg.fig", "[id^=k]") {
		t.Error(c)
	}
	b := open(t, render(t, append(misfits(60), quickly(t, 12)...)...))
	b.Look(1400, false)
	b.unfold()
	for _, c := range b.Collisions("svg.fig", "[id^=k]") {
		t.Error(c)
	}
}
