package fit

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Tensions of the string equation: OpenStax, University Physics 1, section 16.3 (inputs read,
// results recalled and recomputed), and two that were worked out by another program.
func TestTensionOfPublishedStrings(t *testing.T) {
	raw, err := os.ReadFile("../testdata/published/string_equation.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		OpenStax struct {
			MuLow float64 `json:"mu_low_kg_m"`
			Own   struct {
				Speed, Tension float64
			} `json:"-"`
			Recomputed struct {
				Speed float64 `json:"speed"`
				Low   float64 `json:"tension_low_full_precision"`
			} `json:"recomputed"`
		} `json:"openstax"`
		Checks []struct {
			Mu float64 `json:"mu_kg_m"`
			L  float64 `json:"L_m"`
			F  float64 `json:"f_Hz"`
			T  float64 `json:"T_N"`
		} `json:"check_values"`
	}
	if err := json.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	if len(f.Checks) == 0 || f.OpenStax.MuLow == 0 {
		t.Fatal("the published strings are not there")
	}
	for _, c := range f.Checks {
		got := Tension(measure.StringSpec{UnitWeight: c.Mu * 1e3, Pitch: c.F}, c.L*1e3)
		if math.Abs(got-c.T) > 1e-6*c.T { // eight digits are given
			t.Errorf("%.8f N, recomputed %.8f", got, c.T)
		}
	}
	// A wave of speed v on any length L sounds at v/(2 L): the book's heavy string at the light
	// one's speed needs 1055.00 N as printed, from the rounded speed.
	const length = 650.0
	s := measure.StringSpec{UnitWeight: f.OpenStax.MuLow * 1e3, Pitch: f.OpenStax.Recomputed.Speed / (2 * length / 1e3)}
	if got := Tension(s, length); math.Abs(got-f.OpenStax.Recomputed.Low) > 1e-4*got/100 { // six digits of the speed
		t.Errorf("%.5f N, published 1055.00 from the rounded speed, %.5f from the full one", got, f.OpenStax.Recomputed.Low)
	}
}

// The compensation against the string itself: open and pressed to fret 12, each pitch worked out
// from its own length and tension, must be an octave apart. The path is taken point by point, not
// by the formula's 2 action^2/L.
func TestCompensationSoundsTheOctave(t *testing.T) {
	for _, c := range []struct {
		spec          measure.StringSpec
		scale, action float64
	}{
		{measure.StringSpec{Core: 0.254, UnitWeight: 0.4, Pitch: 329.63}, 648, 1.6},
		{measure.StringSpec{Core: 0.41, UnitWeight: 6, Pitch: 82.41}, 648, 2},
		{measure.StringSpec{Core: 0.9, UnitWeight: 21, Pitch: 41.2}, 762, 2.5},
	} {
		comp := Compensation(c.spec, c.scale, c.action)
		area := math.Pi / 4 * c.spec.Core * c.spec.Core
		tension := Tension(c.spec, c.scale)
		half := c.scale / 2
		// The string at the same height over the fret plane everywhere, pressed down in the middle.
		stretch := 2*math.Hypot(half, c.action) - c.scale
		pressed := tension + steelModulus*area*stretch/c.scale
		pitch := func(length, tension float64) float64 { return math.Sqrt(tension/c.spec.UnitWeight) / length }
		cents := 1200 * math.Log2(pitch(half+comp, pressed)/pitch(c.scale+comp, tension)/2)
		if math.Abs(cents) > 0.01 { // a twentieth of what an ear can tell; the formula is first order in action/scale
			t.Errorf("%+v: %.4f mm leaves %.4f cents", c, comp, cents)
		}
	}
}

// A described string is compensated by the formula, a given one as given, the others by the rule.
func TestWhereACompensationComesFrom(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	k.Info.Action = 2.5
	spec := measure.StringSpec{Core: 0.9, UnitWeight: 21, Pitch: 41.2}
	front := func(o Options) float64 { return Check(k, o).named(t, "saddle-reserve-front").Value }
	// The front reserve belongs to the string that needs the least: give one string less than all.
	const most = 30.0 // mm, more than the described string needs
	base := measure.Strings{1: most, 2: most, 3: most, 4: most}
	want := Compensation(spec, in.Scale, 2.5)
	described := measure.Strings{1: most, 2: most, 3: most}
	got := front(Options{Compensation: described, Specs: map[int]measure.StringSpec{4: spec}}) - front(Options{Compensation: base})
	if math.Abs(got-(want-most)) > 1e-6 { // rounding
		t.Errorf("a described string moves the reserve by %.6f mm, want %.6f", got, want-most)
	}
}

// The height that a saddle needs follows the kit's own action and nut height (DESIGN section 6:
// twice the action less the height at the nut).
func TestWantedActionMovesTheHeightReserve(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	for _, c := range []struct{ action, nut float64 }{{0, 0}, {2.2, 0.4}, {3, 1}} {
		k.Info.Action, k.Info.NutHeight = c.action, c.nut
		action, nut := c.action, c.nut
		if action == 0 {
			action, nut = actionAt12, nutHeight
		}
		low, high := in.SaddleHeightReserve(action, nut)
		r := Check(k, Options{})
		for name, want := range map[string]float64{"saddle-height-reserve-low": low, "saddle-height-reserve-high": high} {
			if got := r.named(t, name); math.Abs(got.Value-want) > 0.01 { // heights are added plumb
				t.Errorf("action %g, nut %g: %s %.4f, built with %.4f", c.action, c.nut, name, got.Value, want)
			}
		}
	}
}
