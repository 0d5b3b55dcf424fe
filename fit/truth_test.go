package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// plan is a way of working as simulate carries it out.
type plan struct {
	name  string
	way   Way
	read  func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading
	truth func(simulate.Instrument) simulate.Truth
}

var plans = []plan{
	{"loose parts", LooseParts, simulate.LooseParts, func(in simulate.Instrument) simulate.Truth { return in.Seated().Truth() }},
	{"dry fit", DryFit, simulate.DryFit, simulate.Instrument.Truth},
	{"edge check", EdgeCheck, simulate.EdgeCheck, simulate.Instrument.Truth},
}

func (r *Result) named(t *testing.T, name string) *Characteristic {
	t.Helper()
	for i := range r.Characteristics {
		if r.Characteristics[i].ID.String() == name {
			return &r.Characteristics[i]
		}
	}
	t.Fatalf("no characteristic %q", name)
	return nil
}

// Exact readings of instruments that package simulate builds point by point must give back what
// they were built with. The gaps of an edge check come from widths at about the same places of
// pocket and heel, and heights are added plumb: both are approximate and say so.
func TestExactReadingsGiveTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	const (
		exact = 1e-7 // mm or degrees: rounding of a least-squares fit of numbers near 1000
		// simulate takes the heel's corners square to its bisector at its end's middle, fit where
		// side and end truly cross: a taper times an angle of the end, both below 0.01, of 32 mm,
		// times the angle between the two ends.
		corners = 1e-5
	)
	loose := map[string]float64{
		"fret-plane-height": 0.01, "pitch": 0.001, "roll": 0.001, // heights added plumb, bound stated in fretPlane
		"pocket-depth":         0.01,
		"saddle-reserve-front": corners, "saddle-reserve-back": corners, "neck-screw-mismatch": corners, "end-gap": corners,
	}
	for range 40 {
		in := simulate.Random(rng)
		if len(in.FretErrors) > 0 || in.SideBow != 0 || in.FloorHump != 0 {
			in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0 // deviations from the model: their own tests
		}
		for _, p := range plans {
			setup := simulate.Setup{Exact: true, Heights: true}
			r := Check(in.Kit("K", p.read(in, rng, setup)), Options{Compensation: in.Compensation})
			if r.Way != p.way {
				t.Fatalf("%s taken for %s", p.name, r.Way)
			}
			want := p.truth(in).Named()
			want["heel-width-mouth"], want["heel-width-end"] = heelAt(in, in.MouthInset), heelAt(in, in.EndInset)
			for name, want := range want {
				c := r.named(t, name)
				if !c.Missing.None() {
					continue // TestWhatEachWayMeasures says which must be there
				}
				limit := exact
				if l, ok := loose[name]; ok {
					limit = l
				}
				if p.way == EdgeCheck && (name == "pocket-gap-mouth" || name == "pocket-gap-end") {
					limit = 0.01 // a heel's taper of some 0.005 over 1 or 2 mm of place
				}
				if math.Abs(c.Value-want) > limit {
					t.Errorf("%s, %s: %.9g, built with %.9g", p.name, name, c.Value, want)
				}
			}
		}
	}
}

// heelAt is the heel's width at a distance from its end; the heel was built with straight sides.
func heelAt(in simulate.Instrument, fromEnd float64) float64 {
	return in.HeelEnd + (in.HeelMouth-in.HeelEnd)*fromEnd/in.HeelLength
}

// What each way of working must measure with the readings that a practitioner takes.
func TestWhatEachWayMeasures(t *testing.T) {
	in := simulate.ShortScaleBass()
	common := []string{
		"centre-line-error", "bridge-skew", "margin-bass", "margin-treble", "margin-balance", "scale-length",
		"saddle-reserve-front", "saddle-reserve-back", "pocket-gap-mouth", "pocket-gap-end",
		"pocket-width-mouth", "pocket-width-end", "heel-width-mouth", "heel-width-end",
	}
	heights := []string{"fret-plane-height", "saddle-height-reserve-low", "saddle-height-reserve-high", "pitch", "roll"}
	apart := []string{
		"fret-error", "end-gap", "heel-end-squareness", "pocket-end-squareness", "corner-reserve", "bridge-hole-mismatch",
		"neck-screw-mismatch", "string-hole-pitch", "side-bow", "floor-flatness", "pocket-depth", "heel-thickness",
	}
	for _, p := range plans {
		r := Check(in.Kit("K", p.read(in, rand.New(rand.NewPCG(1, 1)), simulate.Setup{Heights: true})), Options{Compensation: in.Compensation})
		need := common
		switch p.way {
		case LooseParts:
			need = append(append(need, heights...), apart...)
		case DryFit:
			need = append(append(need, heights...), "fret-error", "end-gap", "side-bow", "string-hole-pitch")
		}
		for _, name := range need {
			if c := r.named(t, name); !c.Missing.None() {
				t.Errorf("%s does not measure %s: wants %v", p.name, name, c.Missing)
			} else if !(c.StdUncertainty > 0) {
				t.Errorf("%s, %s: uncertainty %g", p.name, name, c.StdUncertainty)
			}
		}
		if p.way != EdgeCheck && r.Swing == nil {
			t.Errorf("%s: no swing", p.name)
		}
	}
}

// The swing against what simulate finds by trying shifts of the heel.
func TestSwingIsWhatTheClearanceAllows(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	compared := 0
	for range 60 {
		in := simulate.Random(rng)
		in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0
		for _, p := range plans[:2] {
			truth := p.truth(in)
			k := in.Kit("K", p.read(in, rng, simulate.Setup{Exact: true}))
			k.Info.NeckScrew = 0 // screws that let the heel go anywhere
			r := Check(k, Options{})
			if (r.Swing != nil) != truth.HasSwing {
				t.Errorf("%s: swing %v, built with %v", p.name, r.Swing, truth.HasSwing)
				continue
			}
			if r.Swing == nil {
				continue
			}
			compared++
			// A heel turned by its clearance shifts the lever by less than 1e-5 of itself, and the
			// formula is first order in that turn.
			if math.Abs(r.Swing.Low-truth.SwingLow) > 0.02 || math.Abs(r.Swing.High-truth.SwingHigh) > 0.02 {
				t.Errorf("%s: swing %+.4f to %+.4f, built with %+.4f to %+.4f", p.name, r.Swing.Low, r.Swing.High, truth.SwingLow, truth.SwingHigh)
			}
		}
	}
	if compared < 20 {
		t.Fatalf("only %d swings compared", compared)
	}
}

// An edge check with the heights of a dry fit read from the body's datum has heights too.
func TestHeightsInAnEdgeCheck(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 4))
	for range 10 {
		in := simulate.Random(rng)
		in.FloorHump = 0
		setup := simulate.Setup{Exact: true, Heights: true}
		readings := simulate.EdgeCheck(in, nil, setup)
		for _, r := range simulate.DryFit(in, nil, setup) {
			if r.Kind == measure.Height || r.Feature == measure.Saddle || r.Feature == measure.EdgeBass || r.Feature == measure.EdgeTreble {
				readings = append(readings, r)
			}
		}
		r, truth := check(in, readings), in.Truth()
		low, high := in.SaddleHeightReserve(actionAt12, nutHeight)
		if r.Way != EdgeCheck {
			t.Fatalf("taken for %s", r.Way)
		}
		for name, want := range map[string]float64{
			"fret-plane-height": truth.FretPlaneHeight, "pitch": truth.Pitch, "roll": truth.Roll,
			"saddle-height-reserve-low": low, "saddle-height-reserve-high": high, "centre-line-error": truth.CentreLineError,
		} {
			if c := r.named(t, name); !c.Missing.None() || math.Abs(c.Value-want) > 0.01 { // heights are added plumb
				t.Errorf("%s: %.4f %v, built with %.4f", name, c.Value, c.Missing, want)
			}
		}
	}
}

// Screws whose holes have little clearance hold the heel where the pocket would let it go: against what
// simulate finds by trying every place.
func TestSwingWithScrews(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 15))
	limited := 0
	for range 5 {
		in := simulate.Random(rng)
		in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0
		in.PocketMouth, in.PocketEnd = in.HeelMouth+0.6, in.HeelEnd+0.5
		for k, e := range in.HeelScrewErrors {
			in.HeelScrewErrors[k] = simulate.Point{Station: 0.3 * e.Station, Offset: 0.3 * e.Offset}
		}
		for _, screw := range []float64{4.4, 4.8, 5} {
			k := in.Kit("K", simulate.LooseParts(in, rng, simulate.Setup{Exact: true}))
			k.Info.NeckScrew = screw
			s := Check(k, Options{}).Swing
			low, high, ok := in.SwingWithScrews(screw)
			if !ok || s == nil {
				continue // they go in nowhere
			}
			if s.ByScrews {
				limited++
			}
			// The grid has steps of 0.6/40 mm at mouth and end, which are up to five times as much at the bridge.
			if math.Abs(s.Low-low) > 0.12 || math.Abs(s.High-high) > 0.12 {
				t.Errorf("screws of %v mm: swing %+v, built with %+.3f to %+.3f", screw, *s, low, high)
			}
		}
	}
	if limited < 8 {
		t.Errorf("screws hold the heel in %d cases only", limited)
	}
}

// A margin is to the edge where it passes the last fret, bent as it is there, and not to the line that fits it best.
func TestMarginsAreToTheEdgeItself(t *testing.T) {
	for _, p := range plans[:2] {
		for _, bow := range []float64{0.6, -0.9} {
			in := simulate.ShortScaleBass()
			in.EndGap, in.CentreLineError, in.NeckPose.Turn = 0.3, 0.4, 0.8
			in.SideBow = bow
			list := p.read(in, nil, simulate.Setup{Exact: true})
			last := map[measure.Feature]int{}
			for i, r := range list {
				if r.Kind == measure.Offset && (r.Feature == measure.EdgeBass || r.Feature == measure.EdgeTreble) {
					last[r.Feature] = i // in rising order
				}
			}
			list[last[measure.EdgeBass]].Offset += 0.04 // toward treble, one place alone
			truth := p.truth(in)
			r := Check(in.Kit("K", list), Options{Compensation: in.Compensation})
			// The place has the gauges' and the form's shares, (0.05^2 + 0.03^2/3) to 0.05^2, of what the bow and the line leave it.
			if got := r.Find(MarginBass).Value - truth.MarginBass; got > -0.02 || got < -0.04 {
				t.Errorf("%s, bow %g: a place 0.04 mm inward moves margin-bass by %.4f", p.name, bow, got)
			}
			if got := r.Find(MarginTreble).Value - truth.MarginTreble; math.Abs(got) > 0.01 {
				t.Errorf("%s, bow %g: margin-treble is %.4f off", p.name, bow, got)
			}
		}
	}
}
