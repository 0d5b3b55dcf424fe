package survey

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// everything is the survey of a kit that was measured every way there is, with every object.
func everything(seed uint64) *Survey {
	rng := rand.New(rand.NewPCG(seed, 1))
	in := simulate.Random(rng)
	list := simulate.LooseParts(in, rng, simulate.DefaultSetup())
	corner := read(measure.DatumNeck, measure.HeelCorner, measure.Radius, 0, 0, 6)
	corner.Mark.Name = "bass"
	for i, x := range []float64{500, 530, 560} {
		list = append(list, marked(2+i, read(measure.DatumNeck, measure.FretTop, measure.Height, x-300, 0, 15)),
			read(measure.DatumBody, measure.PocketBass, measure.Gap, x, 0, 0.1), read(measure.DatumBody, measure.PocketFloor, measure.Height, x, 10*float64(i), -16))
	}
	list = append(list, corner, marked(1, read(measure.DatumBridge, measure.SaddleLow, measure.Height, 0, 0, 9)),
		marked(1, read(measure.DatumNeck, measure.HeelScrew, measure.Diameter, 0, 0, 4)))
	s := new(Survey)
	s.Assemble(in.Kit("K", list))
	return s
}

// each does something to all values of a map.
func each[K comparable, V any](m *Map[K, V], do func(*V)) {
	for i := range m.Keys() {
		do(m.At(i))
	}
}

// unknowns are those of all objects, by what they are.
func (s *Survey) unknowns() map[string][]int {
	of := map[string][]int{}
	add := func(what string, list ...int) { of[what] = append(of[what], list...) }
	each(&s.Sides, func(v *Side) { add("length", v.A, v.Last); add("slope", v.B); add("length", v.Local[:]...) })
	each(&s.Widths, func(v *Width) { add("length", v.Local[:]...) })
	each(&s.Points, func(v *Point) { add("length", v.Station, v.Offset); add("diameter", v.Diameter) })
	each(&s.Boards, func(v *Board) { add("length", v.S0, v.L, v.Nut) })
	each(&s.Bows, func(v *Bow) { add("length", v.Unknown) })
	each(&s.Corners, func(v *Corner) { add("length", v.Radius) })
	each(&s.Planes, func(v *Plane) { add("length", v.A, v.Hollow); add("slope", v.B, v.C) })
	each(&s.Heights, func(v *Height) { add("length", v.Unknown) })
	return of
}

// Lengths lie within a metre of where they start, slopes within 0.3; every unknown is some object's, and each has its own.
func TestReaches(t *testing.T) {
	s := everything(1)
	seen := map[int]bool{}
	for what, list := range s.unknowns() {
		for _, u := range list {
			if u < 0 {
				continue
			}
			seen[u] = true
			if want := map[string]float64{"length": 1000, "diameter": 1000, "slope": 0.3}[what]; s.Problem.Reach[u] != want {
				t.Errorf("a %s reaches %v", what, s.Problem.Reach[u])
			}
		}
	}
	if len(seen) != len(s.Problem.Start) || len(s.Problem.Reach) != len(s.Problem.Start) {
		t.Errorf("%d unknowns are of objects, there are %d", len(seen), len(s.Problem.Start))
	}
}

// An object of which any unknown is not fixed is struck; a place keeps the coordinates that are; a nut that nothing tells by itself
// is where the frets' law has it.
func TestStrike(t *testing.T) {
	type left struct{ sides, boards, bows, corners, planes, heights, points, stations, offsets, diameters int }
	count := func(s *Survey) (n left) {
		n = left{len(s.Sides.Keys()), len(s.Boards.Keys()), len(s.Bows.Keys()), len(s.Corners.Keys()), len(s.Planes.Keys()), len(s.Heights.Keys()), len(s.Points.Keys()), 0, 0, 0}
		each(&s.Points, func(p *Point) {
			for _, has := range []struct {
				it bool
				n  *int
			}{{p.HasStation, &n.stations}, {p.HasOffset, &n.offsets}, {p.HasDiameter, &n.diameters}} {
				if has.it {
					*has.n++
				}
			}
		})
		return n
	}
	all := count(everything(3))
	if slices.Contains([]int{all.sides, all.boards, all.bows, all.corners, all.planes, all.heights, all.points, all.diameters}, 0) {
		t.Fatalf("not everything: %+v", all)
	}
	wall, hole := SideAt(measure.DatumBody, measure.PocketBass), PointAt(measure.DatumNeck, measure.HeelScrew, 1)
	for what, c := range map[string]struct {
		loose func(s *Survey) int
		less  left
	}{
		"nothing":          {func(*Survey) int { return -1 }, left{}},
		"a side's place":   {func(s *Survey) int { return s.Sides.Get(wall).A }, left{sides: 1}},
		"a side's slope":   {func(s *Survey) int { return s.Sides.Get(wall).B }, left{sides: 1}},
		"a nut by the law": {func(s *Survey) int { return s.Boards.At(0).S0 }, left{boards: 1}},
		"a scale":          {func(s *Survey) int { return s.Boards.At(0).L }, left{boards: 1}},
		"a nut by itself":  {func(s *Survey) int { return s.Boards.At(0).Nut }, left{}},
		"a bow":            {func(s *Survey) int { return s.Bows.At(0).Unknown }, left{bows: 1}},
		"a corner":         {func(s *Survey) int { return s.Corners.At(0).Radius }, left{corners: 1}},
		"a plane's height": {func(s *Survey) int { return s.Planes.At(0).A }, left{planes: 1}},
		"a plane's fall":   {func(s *Survey) int { return s.Planes.At(0).B }, left{planes: 1}},
		"a plane's twist":  {func(s *Survey) int { return s.Planes.At(0).C }, left{planes: 1}},
		"a height":         {func(s *Survey) int { return s.Heights.At(0).Unknown }, left{heights: 1}},
		"a hole's station": {func(s *Survey) int { return s.Points.Get(hole).Station }, left{stations: 1}},
		"a hole's offset":  {func(s *Survey) int { return s.Points.Get(hole).Offset }, left{offsets: 1}},
		"its diameter":     {func(s *Survey) int { return s.Points.Get(hole).Diameter }, left{diameters: 1}},
	} {
		s := everything(3)
		loose := c.loose(s)
		s.Strike(func(unknowns ...int) bool { return !slices.Contains(unknowns, loose) })
		want, less := all, c.less
		want.sides, want.boards, want.bows, want.corners = want.sides-less.sides, want.boards-less.boards, want.bows-less.bows, want.corners-less.corners
		want.planes, want.heights = want.planes-less.planes, want.heights-less.heights
		want.stations, want.offsets, want.diameters = want.stations-less.stations, want.offsets-less.offsets, want.diameters-less.diameters
		if got := count(s); got != want {
			t.Errorf("%s is not fixed: left are %+v of %+v", what, got, all)
		}
		if b := s.Boards.Get(measure.DatumNeck); b != nil && (b.Nut == b.S0) != (what == "a nut by itself") {
			t.Errorf("%s is not fixed: the nut is unknown %d, by the law %d", what, b.Nut, b.S0)
		}
	}
}

// A number that was never read is not there because its unknown is fixed by others.
func TestStrikeAddsNothing(t *testing.T) {
	r := marked(1, read(measure.DatumBody, measure.NeckScrew, measure.StationNear, 100, 0, 0))
	r.HasOffset = false
	s := surveyed(measure.Info{}, r)
	s.Strike(func(...int) bool { return true })
	if p := s.Points.At(0); !p.HasStation || p.HasOffset || p.HasDiameter {
		t.Errorf("%+v", p)
	}
}

// Objects go along without equations.
func TestObjectsAreShared(t *testing.T) {
	s := everything(4)
	objects := s.Objects()
	if edge := SideAt(measure.DatumNeck, measure.EdgeBass); len(objects.Problem.Rows) != 0 || objects.Sides.Get(edge) != s.Sides.Get(edge) ||
		objects.Point(measure.DatumNeck, measure.HeelScrew, 1) == nil {
		t.Error("objects are not the survey's")
	}
}

// A map has its values in the order of their keys, once each, whatever was in it before; compared with a plain list.
func TestMap(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	var m Map[int, adjust.Point]
	for range 200 {
		m.Clear()
		want := map[int]float64{}
		for range rng.IntN(12) {
			key := rng.IntN(20)
			v := m.Put(key)
			if v.Y = float64(key); v.X != want[key] {
				t.Fatalf("a new value has %v", v.X)
			}
			v.X++
			want[key]++
		}
		even := rng.IntN(2) == 0
		m.keep(func(v *adjust.Point) bool { return !even || int(v.Y)%2 == 0 })
		m.sort(cmp.Compare)
		var keys []int
		for key := range want {
			if !even || key%2 == 0 {
				keys = append(keys, key)
			}
		}
		slices.Sort(keys)
		if !slices.Equal(m.Keys(), keys) {
			t.Fatalf("keys %v, want %v", m.Keys(), keys)
		}
		for i, key := range keys {
			if v := m.At(i); v != m.Get(key) || v.Y != float64(key) || v.X != want[key] {
				t.Errorf("%d has %+v, want %v", key, v, want[key])
			}
		}
		if m.Get(-1) != nil {
			t.Error("a key that is not there has a value")
		}
	}
}

// Keys say what they were made of.
func TestKeys(t *testing.T) {
	for _, f := range []measure.Feature{measure.EdgeBass, measure.PocketTreble, measure.PlateHole} {
		for d := measure.DatumNeck; d <= measure.DatumEdgeTreble; d++ {
			for _, k := range []SideKey{SideAt(d, f), GapBeside(d, f)} {
				if k.Frame() != d || k.Feature() != f || k.Gap() != (k != SideAt(d, f)) {
					t.Errorf("%x: %v %v", uint32(k), k.Frame(), k.Feature())
				}
			}
			for _, mark := range []int{0, 1, 999} {
				if k := PointAt(d, f, mark); k.Frame() != d || k.Feature() != f || k.Mark() != mark {
					t.Errorf("%x: %v %v %d", uint64(k), k.Frame(), k.Feature(), k.Mark())
				}
			}
		}
	}
}
