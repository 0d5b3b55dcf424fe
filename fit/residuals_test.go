package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A reading that is wrong by far must have the largest residual of its kit, with its sign, and be
// marked; the places must be those of the geometry.
func TestResidualsShowAWrongReading(t *testing.T) {
	const slip = 2.0 // mm, forty times what the calliper repeats to
	in := simulate.ShortScaleBass()
	readings := simulate.LooseParts(in, rand.New(rand.NewPCG(7, 1)), simulate.Setup{Heights: true})
	wrong := -1
	for i, r := range readings {
		if r.Feature == measure.EdgeTreble && r.Kind == measure.Offset {
			wrong = i
		}
	}
	readings[wrong].Offset += slip
	r := fit.Check(in.Kit("A", readings), fit.Options{Model: true})
	var worst fit.Residual
	for _, e := range r.Residuals {
		if math.Abs(e.W) > math.Abs(worst.W) {
			worst = e
		}
	}
	if worst.Reading.Place != readings[wrong].Place || !worst.Suspect || worst.Residual <= 0 {
		t.Errorf("the worst residual is of line %d (%+.2f mm, suspect %v), the slip of %+.1f mm was on line %d",
			worst.Reading.Place.Line, worst.Residual, worst.Suspect, slip, readings[wrong].Place.Line)
	}
}

// Carried into the assembled frame, exact readings of an edge lie on the edge's line, and every
// residual is nought.
func TestResidualsOfExactReadings(t *testing.T) {
	in := simulate.ShortScaleBass()
	r := fit.Check(in.Kit("A", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})), fit.Options{Model: true})
	const exact = 1e-6 // mm: readings of a metre hold 16 digits, and the fit keeps ten of them
	placed := 0
	for _, e := range r.Residuals {
		if math.Abs(e.Residual) > exact {
			t.Errorf("%s: residual %g mm", e.Reading.Feature, e.Residual)
		}
		if e.Reading.Feature == measure.EdgeBass && e.Placed {
			placed++
			l := r.Model.Geometry.Edges[0]
			if off := l.NX*e.X + l.NY*e.Y - l.D; math.Abs(off) > exact {
				t.Errorf("%s lies %g mm off the bass edge", e.Reading.Feature, off)
			}
		}
	}
	if placed == 0 {
		t.Error("no reading of the bass edge has a place")
	}
	// A place has both its numbers from a straightedge that is a part's own; that of holes and saddles is where the drawing has them.
	known := 0
	for _, way := range []func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{simulate.LooseParts, simulate.DryFit, simulate.EdgeCheck} {
		r := fit.Check(in.Kit("A", way(in, nil, simulate.Setup{Exact: true, Heights: true})), fit.Options{Model: true})
		for _, e := range r.Residuals {
			if e.Placed != (e.Reading.HasStation && e.Reading.HasOffset && e.Reading.Datum != measure.DatumEdgeTreble) {
				t.Errorf("%s: %+v has a place: %v", r.Way, e.Reading, e.Placed)
			}
			for _, p := range r.Model.Geometry.Places {
				if e.Placed && e.Reading.Kind == measure.Point && p.Feature == e.Reading.Feature && p.Mark == e.Reading.Mark {
					if known++; math.Hypot(p.X-e.X, p.Y-e.Y) > exact {
						t.Errorf("%s: %s %d was read at %v, %v and lies at %v, %v", r.Way, p.Feature, p.Mark.Number, e.X, e.Y, p.X, p.Y)
					}
				}
			}
		}
	}
	if known < 100 {
		t.Errorf("%d readings have a place on the drawing", known)
	}
	if plain := fit.Check(in.Kit("A", simulate.LooseParts(in, nil, simulate.Setup{Exact: true})), fit.Options{}); plain.Residuals != nil {
		t.Error("residuals were made without being asked for")
	}
}
