package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Over a crowned board each string wants its own height: what simulate builds string by string is found.
func TestHeightsOverTheCrown(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 1))
	for _, radius := range []float64{0, 184.15, 241.3, 406.4} {
		for range 5 {
			in := simulate.Random(rng)
			in.BoardRadius, in.FloorHump = radius, 0
			for _, p := range plans[:2] {
				setup := simulate.Setup{Exact: true, Heights: true}
				k := in.Kit("K", p.read(in, rng, setup))
				k.Info.Action, k.Info.NutHeight = 1.8, 0.6
				seated := in
				if p.way == LooseParts {
					seated = in.Seated()
				}
				low, high := seated.SaddleHeightReserve(1.8, 0.6)
				truth := p.truth(in)
				r := Check(k, Options{Compensation: in.Compensation})
				for id, want := range map[ID]float64{
					SaddleHeightReserveLow: low, SaddleHeightReserveHigh: high, FretPlaneHeight: truth.FretPlaneHeight, Pitch: truth.Pitch, Roll: truth.Roll,
				} {
					if c := r.Find(id); !c.Measured() || math.Abs(c.Value-want) > 0.011 { // heights are added plumb
						t.Errorf("%s, radius %v: %s is %.4f %+v, built with %.4f", p.name, radius, id, c.Value, c.Missing, want)
					}
				}
			}
		}
	}
}

// By hand, for a crown of 241.3 mm: an outer string 17 mm beside the middle at the nut, 28.5 at the saddle and
// so 22.75 at fret 12. The circle falls by 0.600 mm at 17 and by 1.075 at 22.75, so that the string wants to lie
// 2 x 1.075 - 0.600 = 1.550 lower over the plane on the crown than over a flat board.
func TestCrownByHand(t *testing.T) {
	for across, want := range map[float64]float64{0: 0, 17: 0.5996, 22.75: 1.0748, -22.75: 1.0748} {
		if got := survey.Sag(241.3, across); math.Abs(got-want) > 5e-5 { // four digits
			t.Errorf("a crown falls by %.4f mm at %v, by hand %.4f", got, across, want)
		}
	}
	in := simulate.ShortScaleBass()
	in.BridgeStation = in.Scale // fret 12 halfway
	flat, crowned := in, in
	crowned.BoardRadius = 241.3
	reserve := func(in simulate.Instrument) float64 {
		return check(in, simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})).Find(SaddleHeightReserveLow).Value
	}
	if got := reserve(flat) - reserve(crowned); math.Abs(got-1.550) > 0.0005 { // as many digits
		t.Errorf("the crown costs %.4f mm of the outer strings' reserve, by hand 1.550", got)
	}
	// Told to be flat, it hides most of that: fret tops read 15 mm beside the middle lie 0.467 mm below it.
	k := crowned.Kit("K", simulate.LooseParts(crowned, nil, simulate.Setup{Exact: true, Heights: true}))
	k.Info.BoardRadius = math.Inf(1)
	if got := Check(k, Options{}).Find(SaddleHeightReserveLow).Value - reserve(crowned); math.Abs(got-(1.550-0.467)) > 0.001 { // likewise
		t.Errorf("as a flat board the reserve is shown %.4f mm too large, by hand 1.083", got)
	}
	// So where nobody told of it nothing is shown.
	k.Info.BoardRadius = 0
	for _, id := range []ID{SaddleHeightReserveLow, SaddleHeightReserveHigh} {
		if c := Check(k, Options{}).Find(id); c.Missing.Want != WantRadius || c.Verdict != NotMeasured {
			t.Errorf("of a board of no radius %s is %s, %.2f", id, c.Verdict, c.Value)
		}
	}
}

// Strings leave a zero fret as they leave every other.
func TestZeroFret(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	before := Check(k, Options{}).Find(SaddleHeightReserveHigh).Value
	k.Info.ZeroFret = true
	if got := before - Check(k, Options{}).Find(SaddleHeightReserveHigh).Value; math.Abs(got-nutHeight) > 1e-9 {
		t.Errorf("a string that starts %v mm lower wants its saddle %v mm higher", nutHeight, got)
	}
}

// A crowned board without nut slots says that it wants them: where the inner strings run nobody knows.
func TestCrownWantsTheStrings(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BoardRadius = 241.3
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	k.Info.NutSpread = 0
	kept := k.Readings[:0]
	for _, r := range k.Readings {
		if r.Feature != measure.NutSlot {
			kept = append(kept, r)
		}
	}
	k.Readings = kept
	if c := Check(k, Options{}).Find(SaddleHeightReserveLow); c.Missing.Want != WantNutSlots {
		t.Errorf("%+v", c)
	}
	k.Info.NutSpread = in.NutSpread
	low, _ := in.Seated().SaddleHeightReserve(actionAt12, nutHeight)
	if c := Check(k, Options{}).Find(SaddleHeightReserveLow); math.Abs(c.Value-low) > 0.011 { // heights are added plumb
		t.Errorf("by nut_spread %.4f, built with %.4f", c.Value, low)
	}
}

// A neck hollow by a quarter of a millimetre shows it, with its uncertainty; its fret plane is nearly where it
// would be.
func TestRelief(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 2))
	for _, relief := range []float64{0.25, -0.15} {
		in := simulate.Random(rng)
		in.Relief = relief
		for _, p := range plans[:2] {
			r := check(in, p.read(in, rng, simulate.Setup{Exact: true, Heights: true}))
			if c := r.Find(Relief); !c.Measured() || math.Abs(c.Value-relief) > 0.01*math.Abs(relief) { // along a straightedge that is turned by 3 degrees, bass and treble ends differ by 1.6 mm of 500
				t.Errorf("%s: relief %.6f %+v, built with %.4f", p.name, c.Value, c.Missing, relief)
			}
			setup := simulate.DefaultSetup()
			setup.Heights = true
			c := check(in, p.read(in, rng, setup)).Find(Relief)
			if !(c.StdUncertainty > 0.005 && c.StdUncertainty < 0.2) || math.Abs(c.Value-relief) > 4*c.StdUncertainty {
				t.Errorf("%s: relief %.3f with u %.3f, built with %.3f", p.name, c.Value, c.StdUncertainty, relief)
			}
		}
	}
}

// The neck's screws: by hand 45 mm less 44.5 of body plus 16 of pocket is 16.5 in the heel, and the heel leaves
// its thickness less 6 mm for them.
func TestNeckScrewReach(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BodyThickness, in.NeckScrewLength = 44.5, 45
	r := check(in, simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	c := r.Find(NeckScrewReach)
	if math.Abs(c.Value-16.5) > 1e-6 || c.Lower != 8 || math.Abs(c.Upper-(in.FretHeight-6)) > 1e-6 || c.Verdict != Pass {
		t.Errorf("%+v", c)
	}
	in.NeckScrewLength = 50 // through the fingerboard
	if c := check(in, simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})).Find(NeckScrewReach); c.Verdict != Fail {
		t.Errorf("a screw of 50 mm: %+v", c)
	}
}

// Gaps say how far from the pocket's end they hold.
func TestGapsTellWhere(t *testing.T) {
	in := simulate.ShortScaleBass()
	r := check(in, simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	for id, want := range map[ID]float64{PocketGapMouth: in.MouthInset, PocketGapEnd: in.EndInset} {
		if got := r.Find(id).Basis.Length; math.Abs(got-want) > 1e-6 {
			t.Errorf("%s is said to hold %.3f mm from the pocket's end, read at %.3f", id, got, want)
		}
	}
}
