package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Holes read by their near and far edges give the same as holes read by their centres.
func TestHolesByTheirEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 28))
	for range 10 {
		in := simulate.Random(rng)
		for _, p := range plans {
			centre := check(in, p.read(in, nil, simulate.Setup{Exact: true}))
			edges := check(in, p.read(in, nil, simulate.Setup{Exact: true, HolesByEdge: true}))
			for _, c := range centre.Characteristics {
				d := edges.named(t, c.ID.String())
				if c.Missing != d.Missing || math.Abs(c.Value-d.Value) > same {
					t.Errorf("%s: %s by centres %.9g %v, by edges %.9g %v", p.name, c.ID, c.Value, c.Missing, d.Value, d.Missing)
				}
			}
		}
	}
}

// One edge and the diameter fix a hole as two edges do. A hole 4 mm wide whose far edge is at 23.3
// has its centre at 21.3, with 10.5 and 0 for the others: a second difference of 0.3, so by hand
// the residuals from an even row are 0.05, -0.1 and 0.05.
func TestHoleByOneEdgeAndDiameter(t *testing.T) {
	rows := []string{
		"body string-hole 1 diameter - - 4", "body string-hole 1 station-near 98 - -", "body string-hole 1 offset-far - 23.3 -",
		"body string-hole 2 point 100 10.5 -", "body string-hole 3 point 100 0 -",
	}
	got := Check(kit(t, rows...), Options{}).named(t, "string-hole-pitch")
	if !got.Missing.None() || math.Abs(got.Value-0.1) > same {
		t.Errorf("worst residual %.6f (%v), by hand 0.1", got.Value, got.Missing)
	}
}

// A distance fixes what one coordinate leaves open: hole 3 lies 13 mm from hole 2, 5 mm along, so
// 12 mm across (5, 12, 13), on the side where it was seen.
func TestDistanceFixesACoordinate(t *testing.T) {
	rows := []string{
		"body bridge-screw 1 point 100 24 -", "body bridge-screw 2 point 100 12 -", "body bridge-screw 3 station 105 - -",
		"bridge plate-screw 1 point 0 24 -", "bridge plate-screw 2 point 0 12 -", "bridge plate-screw 3 point 5 0 -",
	}
	k := kit(t, rows...)
	far := reading(t, strings.Fields("body bridge-screw 2 distance - - 13"), 9)
	far.To.Number = 3
	seen := reading(t, strings.Fields("body bridge-screw 3 offset - 0.4 -"), 10)
	seen.Gauge = &measure.Gauge{ID: "eye", Repeatability: 2}
	k.Readings = append(k.Readings, far, seen)
	got := Check(k, Options{}).named(t, "bridge-hole-mismatch")
	// The glance pulls by its weight: 0.4 mm times (0.21/2)^2 at the most, the rule's 0.21 mm over
	// the eye's 2 mm.
	if !got.Missing.None() || got.Value > 0.005 {
		t.Errorf("mismatch %.4f (%v), the distance should leave next to none", got.Value, got.Missing)
	}
}

// A corner's radius from points on its arc, built with 6 mm and 5 mm on the side that matters.
func TestCornerRadiusFromPointsOnItsArc(t *testing.T) {
	k := kit(t)
	arc := func(datum, feature, name string, radius float64) {
		for i := range 7 {
			angle := math.Pi / 2 * float64(i) / 6
			r := reading(t, strings.Fields(datum+" "+feature+" - point 0 0 -"), 2)
			r.Mark.Name = name
			r.Station, r.Offset = 50+radius*math.Cos(angle), 20+radius*math.Sin(angle)
			k.Readings = append(k.Readings, r)
		}
	}
	arc("neck", "heel-corner", "bass", 6)
	arc("body", "pocket-corner", "bass", 5)
	arc("neck", "heel-corner", "treble", 7)
	arc("body", "pocket-corner", "treble", 5)
	got := Check(k, Options{}).named(t, "corner-reserve")
	if !got.Missing.None() || math.Abs(got.Value-1) > 1e-6 { // Gauss-Newton stops at some 1e-9 standard deviations
		t.Errorf("reserve %.9f (%v), built with 1", got.Value, got.Missing)
	}
}

// With the neck in the pocket a gauge cannot come at the heel's corners: their radii are those that were read on
// the neck by itself.
func TestCornersOfADryFit(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.DryFit(in, nil, simulate.Setup{Exact: true}))
	for _, r := range simulate.LooseParts(in, nil, simulate.Setup{Exact: true}) {
		if r.Feature == measure.HeelCorner || r.Feature == measure.PocketCorner {
			k.Readings = append(k.Readings, r)
		}
	}
	r := Check(k, Options{})
	if c := r.Find(CornerReserve); r.Way != DryFit || !c.Measured() || math.Abs(c.Value-(in.HeelRadius-in.PocketRadius)) > 1e-9 {
		t.Errorf("%s: reserve %v (%+v), built with %v", r.Way, c.Value, c.Missing, in.HeelRadius-in.PocketRadius)
	}
}

// A heel that did not go home fails, and the report says what hangs on it.
func TestAHeelThatIsNotHome(t *testing.T) {
	in := simulate.ShortScaleBass()
	for _, gap := range []float64{0.1, 1.4} {
		in.EndGap = gap
		r := Check(in.Kit("K", simulate.DryFit(in, nil, simulate.Setup{Exact: true})), Options{Compensation: in.Compensation})
		c := r.Find(EndGap)
		warned := slices.ContainsFunc(r.Warnings, func(w Warning) bool { return w.Kind == HeelNotHome && math.Abs(w.Ratio-gap) < 1e-6 })
		if fails := gap > 1; math.Abs(c.Value-gap) > 1e-6 || (c.Verdict == Fail) != fails || warned != fails {
			t.Errorf("end gap of %v: found %v %s, warned %v", gap, c.Value, c.Verdict, warned)
		}
	}
}
