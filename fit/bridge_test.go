package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A bridge whose saddles slant by design is not skewed by that.
func TestSlantIsNoSkew(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	for range 10 {
		in := simulate.Random(rng)
		in.SaddleSlant = 2 * rng.NormFloat64()
		for _, p := range plans {
			k := in.Kit("K", p.read(in, rng, simulate.Setup{Exact: true}))
			r, truth := Check(k, Options{Compensation: in.Compensation}), p.truth(in)
			for id, want := range map[ID]float64{BridgeSkew: truth.BridgeSkew, CentreLineError: truth.CentreLineError, SaddleReserveFront: truth.SaddleReserveFront, SaddleReserveBack: truth.SaddleReserveBack} {
				if c := r.Find(id); !c.Measured() || math.Abs(c.Value-want) > 1e-4 { // where the heel's corners touch, see TestExactReadingsGiveTheTruth
					t.Errorf("%s, slant %.2f: %s is %.5f, built with %.5f", p.name, in.SaddleSlant, id, c.Value, want)
				}
			}
			k.Info.Slant = 0
			skew := Check(k, Options{}).Find(BridgeSkew).Value
			// By hand: a row of in.BridgeSpread of which one end is a slant farther back.
			if want := truth.BridgeSkew + math.Atan(in.SaddleSlant/in.BridgeSpread)*180/math.Pi; math.Abs(skew-want) > 1e-4 {
				t.Errorf("%s: not told of, a slant of %.2f makes the skew %.5f, by hand %.5f", p.name, in.SaddleSlant, skew, want)
			}
		}
	}
}

// Saddles stand where the strings want them, the bass ones farther back: the heading is that of their stops,
// or where saddles cannot be set that of the plate's screws.
func TestHeadingOfIntonatedAndFixedSaddles(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 2))
	for range 10 {
		in := simulate.Random(rng)
		in.BridgePose.Turn = 0 // so that setting a saddle back is adding to its station
		exact := simulate.LooseParts(in, rng, simulate.Setup{Exact: true})
		truth := in.Seated().Truth()
		set := slices.Clone(exact)
		for i := range set {
			if r := &set[i]; r.Feature == measure.Saddle {
				r.Station += 4 * in.Compensation[r.Mark.Number]
			}
		}
		if skew := check(in, set).Find(BridgeSkew).Value; math.Abs(skew-truth.BridgeSkew) > 1e-4 {
			t.Errorf("intonated saddles: skew %.4f, built with %.4f", skew, truth.BridgeSkew)
		}
		fixed := in.Kit("K", slices.DeleteFunc(set, func(r measure.Reading) bool {
			return r.Feature == measure.SaddleFront || r.Feature == measure.SaddleBack
		}))
		if skew := Check(fixed, Options{}).Find(BridgeSkew).Value; math.Abs(skew-truth.BridgeSkew) < 1 {
			t.Errorf("without stops the row of contacts is the only one, and that is oblique: skew %.4f", skew)
		}
		fixed.Info.Saddles = measure.SaddleFixed
		// The plate lies at its best on holes that miss by 0.15 mm, and its screws are 76 mm apart.
		if skew := Check(fixed, Options{}).Find(BridgeSkew).Value; math.Abs(skew-truth.BridgeSkew) > 1e-4 {
			t.Errorf("fixed saddles: skew %.4f by the plate's screws, built with %.4f", skew, truth.BridgeSkew)
		}
	}
}

// Saddles that two strings share stand at the best of both in cents, and the error that is left is found;
// saddles that cannot be set leave all of it.
func TestSharedAndFixedSaddles(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 3))
	for range 10 {
		in := simulate.Random(rng)
		in.Compensation = measure.Strings{1: 4 * rng.Float64(), 2: 4 * rng.Float64(), 3: 4 * rng.Float64(), 4: 8 * rng.Float64()}
		for _, saddles := range []measure.SaddleMove{measure.SaddlePairs, measure.SaddleFixed} {
			in.Saddles = saddles
			for _, p := range plans[:2] {
				readings := p.read(in, rng, simulate.Setup{Exact: true})
				r, truth := Check(in.Kit("K", readings), Options{Compensation: in.Compensation}), p.truth(in)
				want := map[ID]float64{IntonationError: truth.IntonationError}
				if saddles == measure.SaddlePairs {
					want[SaddleReserveFront], want[SaddleReserveBack] = truth.SaddleReserveFront, truth.SaddleReserveBack
				}
				for id, want := range want {
					// Cents are as good as proportional to mm: of 4 mm of 762, half of 4/762 of it.
					if c := r.Find(id); !c.Measured() || math.Abs(c.Value-want) > 0.015 {
						t.Errorf("%s, saddles %d: %s is %.4f, built with %.4f", p.name, saddles, id, c.Value, want)
					}
				}
				// Where pairs can be set is what counts and not where they stand; of those without stops that is all that is known.
				set := slices.Clone(readings)
				for i := range set {
					if set[i].Feature == measure.Saddle {
						set[i].Station += float64(set[i].Mark.Number)
					}
				}
				bare := slices.DeleteFunc(slices.Clone(readings), func(r measure.Reading) bool {
					return r.Feature == measure.SaddleFront || r.Feature == measure.SaddleBack
				})
				for what, list := range map[string][]measure.Reading{"set back": set, "without stops": bare} {
					if c := Check(in.Kit("K", list), Options{Compensation: in.Compensation}).Find(IntonationError); saddles == measure.SaddlePairs && (!c.Measured() || math.Abs(c.Value-truth.IntonationError) > 0.015) {
						t.Errorf("%s, %s: %.4f, built with %.4f", p.name, what, c.Value, truth.IntonationError)
					}
				}
				// 5 cents by hand: a string that much longer sounds 5/1200 of an octave lower.
				limit := in.Scale * (math.Pow(2, 5.0/1200) - 1)
				if c := r.Find(IntonationError); math.Abs(c.Upper-limit) > 0.01 { // first order
					t.Errorf("the limit is %.3f mm, 5 cents are %.3f", c.Upper, limit)
				}
			}
		}
	}
}

// The string that is out of tune by most is told, whichever it is.
func TestWhichStringIsOut(t *testing.T) {
	for m := 1; m <= 4; m++ {
		in := simulate.ShortScaleBass()
		in.Saddles = measure.SaddleFixed
		in.Compensation = measure.Strings{1: 0, 2: 0, 3: 0, 4: 0}
		in.Compensation[m] = 40
		r := Check(in.Kit("K", simulate.LooseParts(in, rand.New(rand.NewPCG(21, 6)), simulate.Setup{Exact: true})), Options{Compensation: in.Compensation})
		if c := r.Find(IntonationError); c.Basis != (Basis{Kind: AtString, Mark: m}) {
			t.Errorf("string %d is out by most; told is %+v: %v", m, c.Basis, c.Value)
		}
	}
}

// Two readings of which one must be wrong are both named, and no part is crooked for it: a string's place at the nut has no form of its own.
func TestMisreadNotCrooked(t *testing.T) {
	in := simulate.ShortScaleBass()
	readings := simulate.EdgeCheck(in, rand.New(rand.NewPCG(21, 8)), simulate.DefaultSetup())
	at := slices.IndexFunc(readings, func(r measure.Reading) bool { return r.Feature == measure.NutSlot })
	readings[at].Offset += 3
	k := in.Kit("K", readings)
	list := Check(k, Options{}).Suspects
	if len(list) != 1 || list[0].Crooked || len(list[0].Rivals) == 0 || !slices.Contains(append(list[0].Rivals, list[0].Reading), &k.Readings[at]) {
		t.Errorf("%+v", list)
	}
}

// What is not known of the strings enters the reserve: half a millimetre by the built-in rule, a third by the
// formula, nothing where strings.csv says it.
func TestCompensationEntersTheReserve(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, rand.New(rand.NewPCG(21, 4)), simulate.DefaultSetup()))
	spec := measure.StringSpec{Core: 1.2, UnitWeight: 16, Pitch: 41.2}
	reserve := func(o Options) *Characteristic { return Check(k, o).Find(SaddleReserveFront) }
	given := reserve(Options{Compensation: measure.Strings{1: 0, 2: 0, 3: 0, 4: 0}})
	for _, c := range []struct {
		o    Options
		want float64
	}{
		{Options{}, 0.5},
		{Options{Specs: map[int]measure.StringSpec{1: spec, 2: spec, 3: spec, 4: spec}}, 0.3},
		{Options{Compensation: measure.Strings{1: 0, 2: 0, 3: 0, 4: 0}}, 0},
	} {
		got := reserve(c.o)
		if want := math.Hypot(given.StdUncertainty, c.want); math.Abs(got.StdUncertainty-want) > 5e-3 { // another string may be the worst
			t.Errorf("u %.4f, want %.4f", got.StdUncertainty, want)
		}
		if want := math.Hypot(given.Common, c.want); math.Abs(got.Common-want) > 1e-3 {
			t.Errorf("of it common to all kits %.4f, want %.4f", got.Common, want)
		}
		if first := got.Budget[0]; first.Compensation != (c.want > 0) {
			t.Errorf("with %v the budget begins with %+v", c.want, first)
		}
	}
	limit := []measure.Limit{{Characteristic: "saddle-reserve-front", Lower: given.Value - 0.3, Upper: math.Inf(1)}}
	if c := reserve(Options{Limits: limit}); c.Verdict != Unsure || c.Advice.Kind != GiveCompensation {
		t.Errorf("unsure for want of the strings' compensation: %s, advice %+v", c.Verdict, c.Advice)
	}
	r := Check(k, Options{Model: true})
	for i, c := range r.Model.Measured {
		if r.Characteristics[c].ID == SaddleReserveFront {
			if at := r.Model.First[i]; r.Model.Covariance[at][at] < 0.25 {
				t.Errorf("a plan's odds know nothing of it: variance %.4f", r.Model.Covariance[at][at])
			}
		}
	}
}

// An outer saddle that was not read is not replaced by its front stop beside the other one, which stands amid its travel: the
// heading is that of the stops, or of the holes, or there is none.
func TestAMissingOuterSaddleIsNotItsStop(t *testing.T) {
	in := simulate.ShortScaleBass()
	for _, p := range plans[:2] {
		k := in.Kit("K", p.read(in, nil, simulate.Setup{Exact: true}))
		var left []measure.Reading
		for _, r := range k.Readings {
			switch {
			case r.Feature == measure.Saddle && r.Mark.Number == in.Strings || r.Feature == measure.SaddleFront && r.Mark.Number == 1:
				continue
			case r.Feature == measure.Saddle:
				r.Station += 8 // amid its travel
			}
			left = append(left, r)
		}
		k.Readings = left
		c := Check(k, Options{Compensation: in.Compensation}).Find(BridgeSkew)
		if want := p.truth(in).BridgeSkew; c.Measured() && math.Abs(c.Value-want) > 1e-6 {
			t.Errorf("%s: bridge-skew %.3f by %+v, built with %.3f", p.name, c.Value, c.Basis, want)
		}
	}
}

// A bridge whose outer saddle was not read, but its stops were, stands where it stood: both outer strings are taken at their front
// stops, and not at the holes behind them, where a bridge that is turned lies elsewhere.
func TestAnOuterSaddleThatWasNotRead(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BridgeSkew, in.CentreLineError = 1, 0.4
	for _, read := range []func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{simulate.LooseParts, simulate.DryFit} {
		for _, mark := range []int{1, 4} {
			k := in.Kit("K", slices.DeleteFunc(read(in, nil, simulate.Setup{Exact: true}), func(r measure.Reading) bool {
				return r.Feature == measure.Saddle && r.Mark.Number == mark
			}))
			r := Check(k, Options{})
			about(t, "centre-line-error", r.Find(CentreLineError).Value, 0.4, 1e-6)
			about(t, "bridge-skew", r.Find(BridgeSkew).Value, 1, 1e-6)
		}
	}
}
