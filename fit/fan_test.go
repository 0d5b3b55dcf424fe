package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// fanned is a random instrument with fanned frets, its bridge's saddles where they are wanted.
func fanned(rng *rand.Rand, fan float64, straight int) simulate.Instrument {
	in := simulate.Random(rng)
	in.Fan, in.StraightFret = fan, straight
	in.SaddleSlant = fan * math.Exp2(-float64(straight)/12) // what is left of the scale behind the straight fret
	in.FloorHump = 0
	return in
}

// Every string has its own scale: frets laid out along the strings by simulate give back each string's
// reserve, the margins at the slanted last fret, and no skew for a bridge that follows the fan.
func TestFannedFrets(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 1))
	for _, fan := range []float64{25.4, 63.5, -25.4} {
		for _, straight := range []int{0, 7, 9} {
			in := fanned(rng, fan, straight)
			for _, p := range plans[:2] {
				k := in.Kit("K", p.read(in, rng, simulate.Setup{Exact: true, Heights: true}))
				truth := p.truth(in)
				seated := in
				if p.way == LooseParts {
					seated = in.Seated()
				}
				low, high := seated.SaddleHeightReserve(actionAt12, nutHeight)
				want := map[ID]float64{
					ScaleLength: in.Scale, SaddleReserveFront: truth.SaddleReserveFront, SaddleReserveBack: truth.SaddleReserveBack,
					MarginBass: truth.MarginBass, MarginTreble: truth.MarginTreble, BridgeSkew: truth.BridgeSkew, CentreLineError: truth.CentreLineError,
					SaddleHeightReserveLow: low, SaddleHeightReserveHigh: high,
				}
				for _, slant := range []float64{in.SaddleSlant, 0} { // told of, or following from the fan
					k.Info.Slant = slant
					r := Check(k, Options{Compensation: in.Compensation})
					for id, want := range want {
						// Strings run beside the ones that were laid out, by a millimetre at the bridge: a hundredth along them.
						if c := r.Find(id); !c.Measured() || math.Abs(c.Value-want) > 0.02 {
							t.Errorf("%s, fan %v about fret %d, slant %.1f: %s is %.4f %+v, built with %.4f", p.name, fan, straight, slant, id, c.Value, c.Missing, want)
						}
					}
					if r.Scale > 1.01 {
						t.Errorf("%s, fan %v: exact readings are %v times off", p.name, fan, r.Scale)
					}
				}
			}
		}
	}
}

// Without offsets a fan cannot be told from a straight board, so an edge check says what it wants.
func TestFanInAnEdgeCheck(t *testing.T) {
	in := fanned(rand.New(rand.NewPCG(25, 2)), 40, 7)
	r := Check(in.Kit("K", simulate.EdgeCheck(in, nil, simulate.Setup{Exact: true})), Options{})
	for _, id := range []ID{ScaleLength, SaddleReserveFront, MarginBass} {
		if c := r.Find(id); c.Missing.Want != WantFretsOffEdges {
			t.Errorf("%s: %+v", id, c)
		}
	}
	if c := r.Find(CentreLineError); !c.Measured() || math.Abs(c.Value-in.Truth().CentreLineError) > 0.02 {
		t.Errorf("the bridge lies %v off, built with %v", c.Value, in.Truth().CentreLineError)
	}
	if len(r.Suspects)+len(r.Warnings) > 0 || r.Scale > 1.01 {
		t.Errorf("exact readings are %v times off, with %+v and %+v", r.Scale, r.Suspects, r.Warnings)
	}
}

// A fan that kits.csv does not tell of is named with its size and side, and nothing that rests on the
// scale is judged; square frets are never taken for one.
func TestFanThatNobodyToldOf(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 3))
	seen := func(k *measure.Kit) (float64, *Result) {
		r := Check(k, Options{})
		for _, w := range r.Warnings {
			if w.Kind == Fanned {
				return w.Ratio, r
			}
		}
		return 0, r
	}
	for _, fan := range []float64{25.4, 63.5, -25.4} {
		in := fanned(rng, fan, 7)
		for _, p := range plans {
			k := in.Kit("K", p.read(in, rng, simulate.DefaultSetup()))
			k.Info.ScaleBass, k.Info.ScaleTreble, k.Info.StraightFret = 0, 0, 0
			got, r := seen(k)
			// At the edges, which are farther apart than the strings.
			if ratio := got / fan; ratio < 0.8 || ratio > 2 {
				t.Errorf("%s: a fan of %v is named as %.1f", p.name, fan, got)
			}
			for _, id := range []ID{ScaleLength, SaddleReserveFront, MarginBass, FretError, NutError, BridgeSkew} {
				if c := r.Find(id); c.Missing.Want != WantFan || c.Verdict != NotMeasured {
					t.Errorf("%s: %s is %s all the same", p.name, id, c.Verdict)
				}
			}
			// Its frets, which are as they should be, turn nothing and accuse nobody.
			if len(r.Suspects) > 0 || r.Scale > 4 {
				t.Errorf("%s: a fan of %v accuses %d readings, %v times off", p.name, fan, len(r.Suspects), r.Scale)
			}
			if c := r.Find(CentreLineError); math.Abs(c.Value-p.truth(in).CentreLineError) > 3*c.StdUncertainty || c.StdUncertainty > 0.5 {
				t.Errorf("%s: the bridge lies %.3f, u %.3f, off, built with %.3f", p.name, c.Value, c.StdUncertainty, p.truth(in).CentreLineError)
			}
		}
		k := in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup()))
		if got, _ := seen(k); got != 0 {
			t.Errorf("a fan of %v that was told of is named as %v more", fan, got)
		}
		k.Info.ScaleBass, k.Info.ScaleTreble = k.Info.ScaleTreble, k.Info.ScaleBass
		if got, _ := seen(k); got == 0 {
			t.Errorf("a fan of %v told of the wrong way round goes unseen", fan)
		}
	}
	for range 100 {
		in := simulate.Random(rng)
		for _, p := range plans {
			if got, _ := seen(in.Kit("K", p.read(in, rng, simulate.DefaultSetup()))); got != 0 {
				t.Errorf("%s: square frets are taken for a fan of %v", p.name, got)
			}
		}
	}
}
