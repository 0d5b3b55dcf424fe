package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// What the neck brings and what the body brings add up to the error at the bridge, whatever is wrong with
// either.
func TestNeckAndBodyAddUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 1))
	for range 40 {
		in := simulate.Random(rng)
		in.HeelHeading += rng.NormFloat64()
		in.HeelSideways += 2 * rng.NormFloat64()
		r := Check(in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup())), Options{})
		v := func(id ID) float64 { return r.Characteristics[id].Value }
		cos := math.Cos(v(HeelSkew) * math.Pi / 180)
		// Both sums are of the same adjusted unknowns: only rounding is left of numbers near 1000.
		if sum := v(HeelOffset) + v(BridgeOffPocket)/cos; math.Abs(sum-v(CentreLineError)) > 1e-3 {
			t.Errorf("heel %v and bridge %v make %v, the error is %v", v(HeelOffset), v(BridgeOffPocket), sum, v(CentreLineError))
		}
		if sum := v(HeelSkew) + v(BridgeOffTurn); math.Abs(sum-v(BridgeSkew)) > 1e-9 {
			t.Errorf("heel %v and bridge %v make %v, the skew is %v", v(HeelSkew), v(BridgeOffTurn), sum, v(BridgeSkew))
		}
	}
}

// A heel that is cut askew is the neck's fault, a bridge that is drilled off its place the body's, and the
// figures say so with what they are good for.
func TestWhichPartIsOff(t *testing.T) {
	lever := func(in simulate.Instrument) float64 {
		return (in.BridgeStation - in.HeelStation) * math.Tan(3*math.Pi/180)
	}
	for _, c := range []struct {
		name         string
		change       func(*simulate.Instrument)
		neck, body   float64 // mm at the bridge, near enough to tell whose fault it is
		turned, skew float64 // degrees: the bridge on the body, the heel on the neck
	}{
		{"nothing", func(*simulate.Instrument) {}, 0, 0, 0, 0},
		{
			"heel 3 degrees askew, the bridge where the body wants it", func(in *simulate.Instrument) {
				in.HeelHeading = 3
				in.CentreLineError, in.BridgeSkew = lever(*in), 3
			}, lever(simulate.ShortScaleBass()), 0, 0, 3,
		},
		{"bridge 4 mm toward treble", func(in *simulate.Instrument) { in.CentreLineError = 4 }, 0, 4, 0, 0},
		{"bridge turned", func(in *simulate.Instrument) { in.BridgeSkew = -2 }, 0, 0, -2, 0},
		{"heel cut 1 mm to one side", func(in *simulate.Instrument) { in.HeelSideways, in.CentreLineError = -1, -1 }, -1, 0, 0, 0},
	} {
		in := simulate.ShortScaleBass()
		c.change(&in)
		r := Check(in.Kit("K", simulate.LooseParts(in, rand.New(rand.NewPCG(2, 2)), simulate.DefaultSetup())), Options{})
		for id, want := range map[ID]float64{HeelOffset: c.neck, BridgeOffPocket: c.body, BridgeOffTurn: c.turned, HeelSkew: c.skew} {
			got := &r.Characteristics[id]
			if !(got.StdUncertainty > 0) || math.Abs(got.Value-want) > 4*got.StdUncertainty+0.05 { // turning shifts the heel's end a little
				t.Errorf("%s: %s is %.3f with u %.3f, want %.3f", c.name, id, got.Value, got.StdUncertainty, want)
			}
			if got.StdUncertainty > 0.5 {
				t.Errorf("%s: %s has u %.3f, which tells nothing", c.name, id, got.StdUncertainty)
			}
		}
	}
}

// A part by itself tells what it will bring: a neck the heel's axis a scale length from the nut, a body its
// bridge beside the pocket's axis.
func TestPartsByThemselvesTellWhatTheyBring(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 3))
	for range 20 {
		in := simulate.Random(rng)
		in.HeelHeading += rng.NormFloat64()
		all := simulate.LooseParts(in, rng, simulate.Setup{Exact: true})
		ofNeck := func(r measure.Reading) bool { return r.Datum == measure.DatumNeck }
		neck := check(in, slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool { return !ofNeck(r) }))
		body := check(in, slices.DeleteFunc(slices.Clone(all), ofNeck))
		far := in
		far.BridgeStation = in.Scale // abreast of which Truth has it
		far.CentreLineError = 0
		for _, c := range []struct {
			r    *Result
			id   ID
			want float64
		}{
			{neck, HeelSkew, in.Truth().HeelSkew}, {neck, HeelOffset, far.Truth().HeelOffset},
			{body, BridgeOffPocket, in.Truth().BridgeOffPocket}, {body, BridgeOffTurn, in.Truth().BridgeTurn},
		} {
			got := c.r.Characteristics[c.id]
			if !got.Missing.None() || math.Abs(got.Value-c.want) > 1e-4 { // the seated neck from which the bridge is placed: see TestExactReadingsGiveTheTruth
				t.Errorf("%s: %.6f (%v), built with %.6f", c.id, got.Value, got.Missing, c.want)
			}
		}
		if neck.Characteristics[BridgeOffPocket].Missing.None() || body.Characteristics[HeelSkew].Missing.None() {
			t.Error("a part tells of the other")
		}
	}
}
