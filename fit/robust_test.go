package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Whatever part of a survey is there, in whatever mixture of ways and with whatever slips, the
// answer is finite numbers or words, and never a panic.
func TestAnyPartOfAnySurveyIsAnswered(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 41))
	for range 1500 {
		in := simulate.Random(rng)
		setup := simulate.DefaultSetup()
		setup.Heights, setup.HolesByEdge = rng.IntN(2) == 0, rng.IntN(2) == 0
		var pool []measure.Reading
		for _, p := range plans {
			if rng.IntN(2) == 0 {
				pool = append(pool, p.read(in, rng, setup)...)
			}
		}
		keep := rng.Float64()
		var readings []measure.Reading
		for _, r := range pool {
			if rng.Float64() < keep {
				readings = append(readings, damaged(rng, r))
			}
		}
		sound(t, Check(in.Kit("K", readings), Options{Model: true}))
	}
}

// damaged is mostly the reading as it is; now and then a number is one that a slip would write.
func damaged(rng *rand.Rand, r measure.Reading) measure.Reading {
	if rng.IntN(60) > 0 {
		return r
	}
	slip := []float64{0, 1e-9, -1, 9999, -9999, 25.4}[rng.IntN(6)]
	switch rng.IntN(3) {
	case 0:
		r.Station = slip
	case 1:
		r.Offset = slip
	default:
		r.Size = math.Abs(slip)
	}
	return r
}

// sound holds a result against what every result must be.
func sound(t *testing.T, r *Result) {
	t.Helper()
	if len(r.Characteristics) != len(catalogue) {
		t.Fatalf("%d characteristics", len(r.Characteristics))
	}
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	for _, c := range r.Characteristics {
		if !finite(c.Value) || !finite(c.StdUncertainty) || !finite(c.P) || c.StdUncertainty < 0 || c.P < 0 || c.P > 1 {
			t.Errorf("%s: value %g, u %g, P %g", c.ID, c.Value, c.StdUncertainty, c.P)
		}
		if !c.Missing.None() == c.Measured() {
			t.Errorf("%s: %s, missing %v", c.ID, c.Verdict, c.Missing)
		}
	}
	if r.Swing != nil && !(finite(r.Swing.Low) && finite(r.Swing.High) && r.Swing.Low <= r.Swing.High) {
		t.Errorf("swing %+v", *r.Swing)
	}
	if !finite(r.ChiSquare) || !finite(r.Scale) || r.Scale < 1 {
		t.Errorf("chi-square %g, scale %g", r.ChiSquare, r.Scale)
	}
}

// A thousand repeats of one reading, a kit of one row, all readings at one station, a gauge that
// claims no noise: each a clear answer.
func TestOddKits(t *testing.T) {
	one := kit(t, "neck edge-bass - offset 0 -20 -")
	sound(t, Check(one, Options{}))
	sound(t, Check(&measure.Kit{Name: "empty"}, Options{Model: true}))

	many := &measure.Kit{Name: "many"}
	for range 1000 {
		many.Readings = append(many.Readings, kit(t, "body pocket - width 5 - 63.9").Readings...)
	}
	many.Readings = append(many.Readings, kit(t,
		"body pocket - width 60 - 64.1", "neck heel - width 5 - 63.6", "neck heel - width 60 - 63.6").Readings...)
	r := Check(many, Options{})
	sound(t, r)
	// A thousand repeats leave the heel's own reading; what the parts measure there is what was read there. The
	// calliper's common error the difference of two widths read by it does not have.
	if u, want := r.named(t, "pocket-gap-mouth").StdUncertainty, math.Sqrt(0.05*0.05+0.01*0.01/12); math.Abs(u-want) > 0.001 {
		t.Errorf("u %.5f after a thousand repeats, by hand %.5f", u, want)
	}

	flat := kit(t,
		"neck edge-bass - offset 100 -20 -", "neck edge-bass - offset 100 -20.1 -",
		"neck edge-treble - offset 100 20 -", "neck edge-treble - offset 100 20.1 -")
	r = Check(flat, Options{})
	sound(t, r)
	if c := r.named(t, "side-bow"); c.Missing.None() {
		t.Errorf("a bow of %g from one station", c.Value)
	}

	silent := &measure.Gauge{ID: "block", MaxError: 0.01}
	exact := kit(t, "edge-bass bridge-screw 5 offset - 12.4 -", "edge-treble bridge-screw 1 offset - 10 -")
	for i := range exact.Readings {
		exact.Readings[i].Gauge = silent
	}
	r = Check(exact, Options{})
	sound(t, r)
	// Its common error cancels in a half difference, which leaves the two straightedges: each touches 480 mm apart and
	// is read 200 mm beyond, where what it is off at the far place and the near one counts 0.417 and 1.417 times; and the
	// two holes, each 0.1 mm from where it was meant.
	want := math.Hypot(0.1, seatStd*math.Hypot(200.0/480, 680.0/480)) / math.Sqrt2
	if c := r.named(t, "centre-line-error"); math.Abs(c.StdUncertainty-want) > 2*survey.LeastSigma || c.Common > 2*survey.LeastSigma {
		t.Errorf("u %g, common %g from a gauge without noise, straightedges and holes leave %g", c.StdUncertainty, c.Common, want)
	}
}
