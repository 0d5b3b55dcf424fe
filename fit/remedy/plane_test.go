package remedy

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// The distance to a polygon against a walk along its sides, and its sign against the angle under which these are seen.
func TestNearestAgainstAWalk(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 6))
	for range 300 {
		var corners []Point
		n := 3 + rng.IntN(4)
		for i := range n { // star-shaped about (3, -2)
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*rng.Float64()) / float64(n))
			far := 2 + 8*rng.Float64()
			corners = append(corners, Point{3 + far*cos, -2 + far*sin})
		}
		p := Point{3 + 9*rng.NormFloat64()/2, -2 + 9*rng.NormFloat64()/2}
		far, angle := math.Inf(1), 0.0
		for i, a := range corners {
			b := corners[(i+1)%n]
			for k := range 2001 {
				s := float64(k) / 2000
				far = min(far, math.Hypot(a.X+s*(b.X-a.X)-p.X, a.Y+s*(b.Y-a.Y)-p.Y))
			}
			u, v := a.minus(p), b.minus(p)
			angle += math.Atan2(u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y)
		}
		if math.Abs(angle) > math.Pi {
			far = -far
		}
		if got := nearest(p, corners); math.Abs(got-far) > 0.01 || got*far < 0 { // steps of up to 0.01 mm
			t.Fatalf("%v and %v: %.4f, by a walk %.4f", p, corners, got, far)
		}
	}
	line := []Point{{1, 1}, {4, 5}}
	for p, want := range map[Point]float64{{4, 1}: 2.4, {0, 1}: 1, {7, 9}: 5, {1, 1}: 0} {
		if got := nearest(p, line); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v of a line: %g, by hand %g", p, got, want)
		}
	}
}

// Lines cross where both their equations hold; at less than three degrees they are as good as parallel.
func TestCrossingByHand(t *testing.T) {
	for _, c := range []struct {
		a, b fit.Line
		want Point
	}{{fit.Line{NX: 1, D: 3}, fit.Line{NY: 1, D: -2}, Point{3, -2}}, {fit.Line{NX: 0.6, NY: 0.8, D: 5}, fit.Line{NX: 0.8, NY: -0.6, D: 1}, Point{3.8, 3.4}}} {
		for _, pair := range [][2]*fit.Line{{&c.a, &c.b}, {&c.b, &c.a}} {
			if got, ok := crossing(pair[0], pair[1]); !ok || got.minus(c.want).length() > 1e-12 {
				t.Errorf("%v: %v, %v", c, got, ok)
			}
		}
	}
	for degrees, want := range map[float64]bool{2.8: false, -2.8: false, 2.9: true, -2.9: true, 177.2: false, 177: true} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		if _, ok := crossing(&fit.Line{NX: 1}, &fit.Line{NX: cos, NY: sin}); ok != want {
			t.Errorf("%g degrees: %v", degrees, ok)
		}
	}
	for _, c := range [][4]float64{{0, 0, 1, 0}, {0, 1, 0, 0}, {3, 2, 1, 0}, {3.1, 2, 1, 0}, {0.5, 2, 1, math.Pi}, {1, 2, 1, math.Pi}} {
		if got := overlap(c[0], c[1], c[2]); math.Abs(got-c[3]) > 1e-12 {
			t.Errorf("circles of %g and %g, %g apart share %g, by hand %g", c[1], c[2], c[0], got, c[3])
		}
	}
}

// atPlace is a place of a feature, by its number or by its name.
func atPlace(f measure.Feature, number int, name string, x, y float64) fit.Place {
	return fit.Place{Feature: f, Mark: measure.Mark{Number: number, Name: name}, X: x, Y: y}
}

// boxed are the corners of a box about a place, named for a cavity.
func boxed(f measure.Feature, name string, x, y, half float64) (list []fit.Place) {
	for i, c := range [4][2]float64{{-half, -half}, {half, -half}, {half, half}, {-half, half}} {
		if name == "" {
			list = append(list, atPlace(f, i+1, "", x+c[0], y+c[1]))
		} else {
			list = append(list, atPlace(f, 0, name+" "+string(rune('1'+i)), x+c[0], y+c[1]))
		}
	}
	return list
}

func bareHole(f measure.Feature, mark int, work HoleWork, x, y float64) Hole {
	far := math.Inf(1)
	return Hole{Feature: f, Mark: mark, Work: work, New: Point{x, y}, Pilot: 2, Ligament: far, Cavity: far, Edge: far}
}

// A hole of 2 mm beside a cavity 20 mm wide and in a body 200 mm wide: what is left is the distance less the bit's radius. Less than 5 mm is
// told, or two diameters of a thick screw; inside the one or outside the other it is refused, unless it is there already.
func TestSurroundingsByHand(t *testing.T) {
	s := schedulerFor(bass())
	s.placed = &fit.Geometry{Places: append(boxed(measure.Outline, "", 0, 0, 100), append(boxed(measure.Cavity, "neck pickup", 0, 0, 10), boxed(measure.Cavity, "jack", 60, 60, 5)...)...)}
	for _, c := range []struct {
		x, y, screw  float64
		work         HoleWork
		cavity, edge float64
		refused      Remark
		warned       float64 // what is told to be left; 0 for nothing
	}{
		{20, 0, 2, Fresh, 9, 79, Remark{}, 0}, {15.9, 0, 2, Fresh, 4.9, 83.1, Remark{}, 4.9}, {16.1, 0, 2, Fresh, 5.1, 82.9, Remark{}, 0},
		{17, 0, 3.1, Fresh, 6, 82, Remark{}, 6}, {17.3, 0, 3.1, Fresh, 6.3, 81.7, Remark{}, 0}, {0, -95, 2, PlugFirst, 84, 4, Remark{}, 4}, {0, 93.9, 2, Fresh, math.Hypot(55, 28.9) - 1, 5.1, Remark{}, 0},
		{10.5, 0, 2, Fresh, -0.5, 88.5, Remark{Kind: InCavity, Cavity: "neck pickup"}, 0}, {62, 58, 2, Fresh, -4, 37, Remark{Kind: InCavity, Cavity: "jack"}, 0},
		{0, 99.5, 2, Fresh, math.Hypot(55, 34.5) - 1, -0.5, Remark{Kind: OutsideBody}, 0}, {0, 120, 2, Fresh, math.Hypot(55, 55) - 1, -21, Remark{Kind: OutsideBody}, 0},
		{10.5, 0, 2, Reuse, -0.5, 88.5, Remark{}, 0}, {0, 99.5, 2, Reuse, math.Hypot(55, 34.5) - 1, -0.5, Remark{}, 0}, {15.9, 0, 2, Reuse, 4.9, 83.1, Remark{}, 0},
	} {
		h := bareHole(measure.BridgeScrew, 1, c.work, c.x, c.y)
		s.surroundings(&h, c.screw)
		if math.Abs(h.Cavity-c.cavity) > 1e-9 || math.Abs(h.Edge-c.edge) > 1e-9 || h.Refused != c.refused {
			t.Errorf("%+v: cavity %.3f, edge %.3f, refused %+v", c, h.Cavity, h.Edge, h.Refused)
		}
		need := max(5, 2*c.screw)
		if told := len(h.Warnings) > 0; told != (c.warned > 0) || told && (h.Warnings[0].Kind != CloseToEdge || math.Abs(h.Warnings[0].Have-c.warned) > 1e-9 || h.Warnings[0].Need != need) {
			t.Errorf("%+v: %+v", c, h.Warnings)
		}
	}
	names, list := s.cavities()
	if len(names) != 2 || names[0] != "neck pickup" || len(list["jack"]) != 4 {
		t.Errorf("%v, %v", names, list)
	}
	s.placed.Places = s.placed.Places[:2] // two corners are no outline
	h := bareHole(measure.BridgeScrew, 1, Fresh, 500, 0)
	if s.surroundings(&h, 2); !math.IsInf(h.Edge, 1) || h.Refused.Kind != NoRemark {
		t.Errorf("%+v", h)
	}
}

// An old hole is under the plate when all of it, or of the plug in it, is: a plate 20 mm wide, holes of 3 mm. A screw's feature says which screw
// crowds it, and a heel's hole has neither cavities nor a plate.
func TestSightByHand(t *testing.T) {
	s := schedulerFor(bass())
	s.placed = &fit.Geometry{Places: append(boxed(measure.PlateEdge, "", 0, 0, 10), boxed(measure.Cavity, "hole", 0, 0, 50)...)}
	for _, c := range []struct {
		feature measure.Feature
		x, plug float64
		old     bool
		want    Sight
	}{
		{measure.BridgeScrew, 8.4, 0, true, UnderPlate}, {measure.BridgeScrew, 8.6, 0, true, InSight}, {measure.BridgeScrew, 7.4, 5, true, UnderPlate}, {measure.BridgeScrew, 7.6, 5, true, InSight},
		{measure.StringHole, 8.4, 2, true, UnderPlate}, {measure.StringHole, 30, 0, true, InSight}, {measure.BridgeScrew, 0, 0, false, NoSight}, {measure.HeelScrew, 0, 0, true, NoSight},
	} {
		h := bareHole(c.feature, 1, Abandon, c.x, 0)
		h.HasOld, h.Old, h.OldDiameter, h.Plug = c.old, Point{c.x, 0}, 3, c.plug
		s.out.Holes = []Hole{h}
		if s.finish(0); s.out.Holes[0].Sight != c.want {
			t.Errorf("%+v: %v", c, s.out.Holes[0].Sight)
		}
	}
	s.result.Info.BridgeScrew, s.result.Info.NeckScrew = 3, 5
	for _, c := range []struct {
		feature measure.Feature
		apart   float64
		refused RemarkKind
		warned  bool
	}{
		{measure.BridgeScrew, 5.9, Crowded, false}, {measure.BridgeScrew, 8.9, NoRemark, true}, {measure.BridgeScrew, 9.1, NoRemark, false},
		{measure.HeelScrew, 9.9, Crowded, false}, {measure.HeelScrew, 14.9, NoRemark, true}, {measure.HeelScrew, 15.1, NoRemark, false}, {measure.StringHole, 5.9, NoRemark, false},
	} {
		s.placed, s.out.Refusals = &fit.Geometry{}, 0
		s.out.Holes = []Hole{bareHole(c.feature, 1, Fresh, 0, 0), bareHole(c.feature, 2, Fresh, 0, c.apart)}
		s.finish(0)
		h := &s.out.Holes[0]
		if h.Refused.Kind != c.refused || (len(h.Warnings) > 0) != c.warned || s.out.Refusals != map[bool]int{true: 1, false: 0}[c.refused != NoRemark] {
			t.Errorf("%+v: %+v, %+v, %d refusals", c, h.Refused, h.Warnings, s.out.Refusals)
		}
		if c.refused == Crowded && (h.Refused.Have != c.apart || h.Refused.Need != 2 || h.Refused.Other.Mark != 2) || c.warned && (h.Warnings[0].Have != c.apart || h.Warnings[0].Need != 3) {
			t.Errorf("%+v: %+v, %+v", c, h.Refused, h.Warnings)
		}
	}
}

// What neighbours leave, by hand: a hole that is abandoned, of the other part or reused beside a reused one counts for nothing; one that is reused lies
// where it was; a fresh one's old hole counts while it stays open; a plug is cut where the bit crosses its edge.
func TestWhichNeighboursCount(t *testing.T) {
	other := func(work HoleWork, y float64) Hole { return bareHole(measure.BridgeScrew, 2, work, 0, y) }
	moved := other(Fresh, 40)
	moved.HasOld, moved.Old, moved.OldDiameter = true, Point{0, 6}, 3
	plugged := moved
	plugged.Plug = 4
	crossed := plugged
	crossed.Old = Point{0, 2.5}
	stays := other(Reuse, 40)
	stays.HasOld, stays.Old = true, Point{0, 6}
	heel := other(Fresh, 6)
	heel.Feature = measure.HeelScrew
	for name, c := range map[string]struct {
		work  HoleWork
		other Hole
		left  float64
		next  Named
		warns int
	}{
		"near": {Fresh, other(Fresh, 6), 4, Named{Feature: measure.BridgeScrew, Mark: 2}, 0}, "abandoned": {Fresh, other(Abandon, 6), math.Inf(1), Named{}, 0},
		"of the heel": {Fresh, heel, math.Inf(1), Named{}, 0}, "its old hole": {Fresh, moved, 3.5, Named{measure.BridgeScrew, 2, true}, 0}, "its old hole plugged": {Fresh, plugged, 38, Named{Feature: measure.BridgeScrew, Mark: 2}, 0},
		"reused": {Fresh, stays, 4, Named{Feature: measure.BridgeScrew, Mark: 2}, 0}, "its plug crossed": {Fresh, crossed, 38, Named{Feature: measure.BridgeScrew, Mark: 2}, 1}, "its plug, nothing drilled": {Reuse, crossed, 38, Named{Feature: measure.BridgeScrew, Mark: 2}, 0},
		"thin": {Fresh, other(Fresh, 3.9), 1.9, Named{Feature: measure.BridgeScrew, Mark: 2}, 1}, "just enough": {Fresh, other(Fresh, 4.1), 2.1, Named{Feature: measure.BridgeScrew, Mark: 2}, 0},
	} {
		s := schedulerFor(bass())
		s.out.Holes = []Hole{bareHole(measure.BridgeScrew, 1, c.work, 0, 0), c.other}
		s.neighbours(0, 0)
		h := &s.out.Holes[0]
		if math.Abs(h.Ligament-c.left) > 1e-9 || h.Next != c.next || len(h.Warnings) != c.warns || h.Refused.Kind != NoRemark {
			t.Errorf("%s: %.3f to %+v, %+v, %+v", name, h.Ligament, h.Next, h.Warnings, h.Refused)
		}
	}
}

// Only holes of one pattern crowd each other by their screws, and not two that stay as they are.
func TestWhoCrowdsWhom(t *testing.T) {
	for _, c := range []struct {
		one, other HoleWork
		feature    measure.Feature
		crowded    bool
	}{
		{Fresh, Fresh, measure.BridgeScrew, true}, {Fresh, Reuse, measure.BridgeScrew, true}, {Reuse, Fresh, measure.BridgeScrew, true}, {Reuse, Reuse, measure.BridgeScrew, false}, {Fresh, Fresh, measure.StringHole, false}, {Fresh, Abandon, measure.BridgeScrew, false},
	} {
		s := schedulerFor(bass())
		one, other := bareHole(measure.BridgeScrew, 1, c.one, 0, 0), bareHole(c.feature, 2, c.other, 0, 5)
		other.Old = Point{0, 5}
		s.out.Holes = []Hole{one, other}
		if s.neighbours(0, 3); (s.out.Holes[0].Refused.Kind == Crowded) != c.crowded {
			t.Errorf("%+v: %+v", c, s.out.Holes[0].Refused)
		}
	}
}

// String holes that leave their row are drilled in the even row that fits them best: along the row's number each coordinate is a straight line by
// least squares, here by the normal equations; of four with one off by 1 mm that moves the row by 0.7, 0.4, 0.1 and -0.2 of it at the places.
func TestEvenRow(t *testing.T) {
	s := schedulerFor(bass())
	off := []float64{1, 0, 0, 0}
	s.placed = &fit.Geometry{}
	for i := range 4 {
		s.placed.Places = append(s.placed.Places, atPlace(measure.StringHole, i+1, "", 100+3*float64(i)+2*off[i], 20-16*float64(i)+off[i]))
	}
	s.evenRow()
	for i, share := range []float64{0.7, 0.4, 0.1, -0.2} {
		h := &s.out.Holes[i]
		if math.Abs(h.New.X-(100+3*float64(i)+2*share)) > 1e-9 || math.Abs(h.New.Y-(20-16*float64(i)+share)) > 1e-9 || h.Mark != i+1 || !h.HasOld || h.Feature != measure.StringHole {
			t.Errorf("hole %d: %+v", i+1, h)
		}
		if want := math.Hypot(2*(share-off[i]), share-off[i]); math.Abs(h.Move-want) > 1e-9 || !h.Through {
			t.Errorf("hole %d moves %.4f, by hand %.4f", i+1, h.Move, want)
		}
	}
}

// A place goes with a bridge that is turned by 60 degrees about its middle and moved, and comes to lie beside the neck and behind the pocket's end.
func TestWhereHolesGo(t *testing.T) {
	s := schedulerFor(bass())
	was := s.model.Geometry.Bridge
	s.placed = &fit.Geometry{Bridge: &fit.Reference{X: was.X + 5, Y: was.Y - 2, Heading: was.Heading + 60}}
	s.placed.Places = []fit.Place{atPlace(measure.StringHole, 1, "", was.X+10, was.Y+3)}
	s.onPlate(measure.StringHole, measure.PlateHole)
	if h := &s.out.Holes[0]; (h.New).minus(Point{was.X + 5 + 10*0.5 - 3*math.Sqrt(0.75), was.Y - 2 + 10*math.Sqrt(0.75) + 3*0.5}).length() > 1e-9 || h.Mark != 1 {
		t.Errorf("%+v", h)
	}
	// Holes that meet one of the plate's go there, one that meets none is abandoned, and one of the plate's that meets none is new.
	s.placed.Places, s.out.Holes = []fit.Place{
		atPlace(measure.BridgeScrew, 1, "", 10, 1), atPlace(measure.PlateScrew, 1, "", 12, 3), atPlace(measure.BridgeScrew, 2, "", 10, 5), atPlace(measure.PlateScrew, 3, "", 12, 9),
	}, nil
	s.onPlate(measure.BridgeScrew, measure.PlateScrew)
	if h := s.out.Holes; len(h) != 3 || h[0].New != (Point{12, 3}) || h[0].Old != (Point{10, 1}) || h[1].Mark != 2 || h[1].Work != Abandon || h[1].New != (Point{10, 5}) || h[2].Mark != 3 || h[2].HasOld || h[2].New != (Point{12, 9}) {
		t.Errorf("%+v", h)
	}
	s.placed.Places, s.out.Holes = s.placed.Places[3:], nil // without any of the body's there is nothing to meet
	if s.onPlate(measure.BridgeScrew, measure.PlateScrew); len(s.out.Holes) != 0 {
		t.Errorf("%+v", s.out.Holes)
	}
	s.placed = &fit.Geometry{Centre: &fit.Line{NX: -0.6, NY: 0.8, D: 2}, PocketEnd: &fit.Line{NX: 0.8, NY: 0.6, D: 30}} // along (0.8, 0.6), the end square to it
	s.add(nil, &Point{0.8*42 - 0.6*7, 0.6*42 + 0.8*7}, measure.BridgeScrew, 3)
	if h := &s.out.Holes[0]; math.Abs(h.Behind-12) > 1e-9 || math.Abs(h.Beside-5) > 1e-9 || h.Move != 0 || h.HasOld {
		t.Errorf("%+v", h)
	}
	s.placed.PocketEnd = nil
	if s.add(nil, &Point{1, 1}, measure.BridgeScrew, 3); !math.IsNaN(s.out.Holes[1].Behind) {
		t.Errorf("%+v", s.out.Holes[1])
	}
}

// Bits, by hand: the core as it was measured, else the rule of the wood; a string hole the size it has, or 3.2 mm; an old hole that was not read is taken as wide as
// its screw; a bit more than 0.3 mm off is told, and none is refused.
func TestBitsByHand(t *testing.T) {
	bits := func(sizes ...float64) (list []measure.Stock) {
		for _, x := range sizes {
			list = append(list, measure.Stock{Kind: measure.DrillStock, Size: x})
		}
		return list
	}
	for name, c := range map[string]struct {
		hole        Hole
		stock       []measure.Stock
		core        float64
		pilot, old  float64
		warned      bool
		refused     Remark
		notes       int
		through     bool
		screw, neck float64
	}{
		"a core":               {hole: Hole{Feature: measure.BridgeScrew}, stock: bits(1.5, 2, 2.5), core: 2.1, pilot: 2, screw: 3},
		"a rule, light":        {hole: Hole{Feature: measure.BridgeScrew}, stock: bits(1.5, 2, 2.5), pilot: 1.5, screw: 3}, // two thirds of 3, three quarters of that
		"a rule, maple":        {hole: Hole{Feature: measure.HeelScrew}, stock: bits(2.8, 3, 3.1), pilot: 3.1, neck: 4.5},  // two thirds of 4.5, 1.03 of that
		"an old hole alone":    {hole: Hole{Feature: measure.BridgeScrew, HasOld: true, OldDiameter: 2.6}, stock: bits(2, 2.5), pilot: 2.5, old: 2.6},
		"an old hole not read": {hole: Hole{Feature: measure.BridgeScrew, HasOld: true}, stock: bits(1.5, 2), pilot: 1.5, old: 3, notes: 1, screw: 3},
		"far off":              {hole: Hole{Feature: measure.BridgeScrew}, stock: bits(1.19, 3), core: 1.5, pilot: 1.19, warned: true, screw: 3},
		"near":                 {hole: Hole{Feature: measure.BridgeScrew}, stock: bits(1.21, 3), core: 1.5, pilot: 1.21, screw: 3},
		"none in stock":        {hole: Hole{Feature: measure.BridgeScrew}, core: 1.5, refused: Remark{Kind: NoBit, Need: 1.5}, screw: 3},
		"nothing known":        {hole: Hole{Feature: measure.BridgeScrew}, stock: bits(2), refused: Remark{Kind: NoBit}},
		"a string":             {hole: Hole{Feature: measure.StringHole, HasOld: true, OldDiameter: 4}, stock: bits(3, 4), pilot: 4, old: 4, through: true, screw: 3},
		"a string not read":    {hole: Hole{Feature: measure.StringHole, HasOld: true}, stock: bits(3, 3.2, 4), pilot: 3.2, old: 3.2, notes: 1, through: true, screw: 9},
		"abandoned":            {hole: Hole{Feature: measure.BridgeScrew, HasOld: true, Work: Abandon}, stock: bits(2), old: 3, notes: 1, screw: 3},
	} {
		s := schedulerFor(bass())
		s.stock = newStock(Options{Stock: c.stock})
		if c.stock == nil {
			s.stock = newStock(Options{Stock: []measure.Stock{}})
		}
		info := &s.result.Info
		info.BridgeScrew, info.BridgeCore, info.NeckScrew, info.NeckCore, info.Wood, info.BridgeScrewLength = c.screw, c.core, c.neck, 0, "basswood", 0
		h := c.hole
		s.pilot(&h)
		if h.Pilot != c.pilot || h.OldDiameter != c.old || (len(h.Warnings) > 0) != c.warned || h.Refused != c.refused || len(s.out.Notes) != c.notes || h.Through != c.through {
			t.Errorf("%s: pilot %g, old %g, %+v, %+v, %+v", name, h.Pilot, h.OldDiameter, h.Warnings, h.Refused, s.out.Notes)
		}
		if h.Refused.unknown() != (name == "nothing known") {
			t.Errorf("%s: asked for %v", name, h.Refused.unknown())
		}
		if c.warned && h.Warnings[0] != (Remark{Kind: PilotOff, Have: c.pilot, Need: c.core}) || c.notes > 0 && s.out.Notes[0] != (Note{Kind: DiameterAssumed, Feature: h.Feature, Diameter: c.old}) {
			t.Errorf("%s: %+v, %+v", name, h.Warnings, s.out.Notes)
		}
		if s.pilot(&h); len(s.out.Notes) > c.notes {
			t.Errorf("%s: noted twice", name)
		}
	}
}

// How far off a hole may be and still be used: half of its limit, or the usual 0.15 mm where there is none; a string half a millimetre.
func TestWhatMayBeUsed(t *testing.T) {
	s := schedulerFor(bass())
	s.criterion(fit.BridgeHoleMismatch).upper, s.criterion(fit.NeckScrewMismatch).upper = 0.8, 0.3
	for f, want := range map[measure.Feature]float64{measure.BridgeScrew: 0.4, measure.HeelScrew: 0.15, measure.StringHole: 0.5} {
		if got := s.usable(f); got != want {
			t.Errorf("%v: %g, want %g", f, got, want)
		}
	}
	s.criterion(fit.BridgeHoleMismatch).upper, s.criterion(fit.NeckScrewMismatch).upper = math.Inf(1), 0.5
	if s.usable(measure.BridgeScrew) != 0.15 || s.usable(measure.HeelScrew) != 0.25 {
		t.Errorf("without a limit %g", s.usable(measure.BridgeScrew))
	}
}

// Plugs: the smallest that takes half a millimetre off the old hole's wall; none in stock is refused by the size that is wanted, but for a hole
// that is plugged for its looks alone, which goes without one also where another's plug is in its way.
func TestSmallestPlugs(t *testing.T) {
	for name, c := range map[string]struct {
		work    HoleWork
		old     float64
		sizes   []float64
		plug    float64
		refused Remark
	}{
		"fits": {Abandon, 3, []float64{3.9, 4, 6}, 4, Remark{}}, "too small": {Abandon, 3, []float64{3.9}, 0, Remark{Kind: NoPlug, Need: 4}}, "for its looks": {Fresh, 3, []float64{3.9}, 0, Remark{}},
		"fresh": {Fresh, 3, []float64{4}, 4, Remark{}}, "used": {Reuse, 3, []float64{4}, 0, Remark{}},
	} {
		s := schedulerFor(bass())
		s.pieces = map[measure.StockKind][]measure.Stock{}
		for _, x := range c.sizes {
			s.pieces[measure.PlugStock] = append(s.pieces[measure.PlugStock], measure.Stock{Size: x})
		}
		h := bareHole(measure.BridgeScrew, 1, c.work, 0, 60)
		h.HasOld, h.OldDiameter, h.Move = true, c.old, 60
		s.out.Holes = []Hole{h}
		if s.plugs(); s.out.Holes[0].Plug != c.plug || s.out.Holes[0].Refused != c.refused {
			t.Errorf("%s: %+v", name, s.out.Holes[0])
		}
	}
	s := schedulerFor(bass())
	fresh, left := bareHole(measure.BridgeScrew, 1, Fresh, 0, 60), bareHole(measure.BridgeScrew, 2, Abandon, 0, 3)
	fresh.HasOld, fresh.OldDiameter, fresh.Move = true, 3, 60
	left.HasOld, left.OldDiameter, left.Old = true, 3, Point{0, 3}
	s.out.Holes = []Hole{fresh, left}
	if s.plugs(); s.out.Holes[0].Plug != 0 || s.out.Holes[1].Plug != 4 || s.out.Holes[1].Refused.Kind != NoRemark {
		t.Errorf("two old holes 3 mm apart: %+v", s.out.Holes)
	}
}

// A cavity's corners go by its name, however short, all but the last word of their marks; one word is a cavity's name by itself.
func TestCornersOfCavities(t *testing.T) {
	s := &scheduler{placed: &fit.Geometry{}}
	for i, name := range []string{"p 1", "control plate 1", "p 2", "jack", "control plate 2", "p 3"} {
		s.placed.Places = append(s.placed.Places, fit.Place{Feature: measure.Cavity, Mark: measure.Mark{Name: name}, X: float64(i)})
	}
	names, list := s.cavities()
	if !slices.Equal(names, []string{"p", "control plate", "jack"}) || len(list["p"]) != 3 || list["p"][1].X != 2 || len(list["control plate"]) != 2 || len(list["jack"]) != 1 {
		t.Errorf("%q: %v", names, list)
	}
}
