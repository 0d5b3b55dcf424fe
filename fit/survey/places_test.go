package survey

import (
	"math"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

var reader = &measure.Gauge{ID: "calliper", Resolution: 0.01, Repeatability: 0.05}

// read is a reading of a place by one gauge.
func read(d measure.Datum, f measure.Feature, k measure.Kind, station, offset, size float64) measure.Reading {
	return measure.Reading{Datum: d, Feature: f, Kind: k, Station: station, HasStation: true, Offset: offset, HasOffset: true, Size: size, Gauge: reader, StationGauge: reader}
}

// assembled is the survey of readings, solved.
func assembled(t *testing.T, list ...measure.Reading) (*Survey, *adjust.Solution) {
	t.Helper()
	s := new(Survey)
	s.Assemble(&measure.Kit{Name: "K", Readings: list})
	on, err := adjust.Solve(&s.Problem, adjust.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s, on
}

// A place is located by both its numbers, and by neither alone.
func TestLocated(t *testing.T) {
	for _, c := range []struct{ station, offset bool }{{false, false}, {true, false}, {false, true}, {true, true}} {
		p := &Point{HasStation: c.station, HasOffset: c.offset}
		if want := c.station && c.offset; p.Located() != want {
			t.Errorf("%+v: %v", c, p.Located())
		}
	}
	if (*Point)(nil).Located() {
		t.Error("no place is located")
	}
}

// Three points of a corner fix its circle, here of radius 5 about (10, 20); two do not, nor do three in a row, which are told.
func TestCornersFromPoints(t *testing.T) {
	at := func(angle float64) measure.Reading {
		r := read(measure.DatumBody, measure.PocketCorner, measure.Point, 10+5*math.Cos(angle), 20+5*math.Sin(angle), 0)
		r.Mark.Name = "bass"
		return r
	}
	key := CornerKey{measure.DatumBody, measure.PocketCorner, "bass"}
	s, on := assembled(t, at(0.1), at(0.8), at(1.5))
	if c := s.Corners.Get(key); !c.Known() || math.Abs(on.X[c.Radius]-5) > 1e-9 {
		t.Errorf("radius %v, known %v; built with 5", on.X[c.Radius], c.Known())
	}
	if s, _ := assembled(t, at(0.1), at(1.5)); s.Corners.Get(key).Known() || s.NoCircle {
		t.Error("two points tell a radius")
	}
	row := []measure.Reading{at(0), at(0), at(0)}
	for i := range row {
		row[i].Station, row[i].Offset = float64(i), 2*float64(i)
	}
	if s, _ := assembled(t, row...); s.Corners.Get(key).Known() || !s.NoCircle {
		t.Error("three points in a row lie on a circle")
	}
}

// Readings within 3 mm are of one place, along and across; farther off they are of another.
func TestSamePlace(t *testing.T) {
	for _, c := range []struct {
		station, offset float64
		same            bool
	}{{0, 0, true}, {2.9, 0, true}, {3.1, 0, false}, {0, 2.9, true}, {0, -3.1, false}, {2, 2, true}} {
		s, _ := assembled(t, read(measure.DatumBody, measure.PocketFloor, measure.Height, 50, 30, -16),
			read(measure.DatumBody, measure.PocketFloor, measure.Height, 50+c.station, 30+c.offset, -16.02))
		if same := s.Problem.Rows[0].Place == s.Problem.Rows[1].Place; same != c.same {
			t.Errorf("%v, %v away: the same place %v", c.station, c.offset, same)
		}
	}
}

// A side of which only the partner and the width between them were read starts that far from it, at the same slope.
func TestASideStartsBesideItsPartner(t *testing.T) {
	list := []measure.Reading{
		read(measure.DatumNeck, measure.HeelBass, measure.Offset, 480, -30, 0), read(measure.DatumNeck, measure.HeelBass, measure.Offset, 540, -29.4, 0),
		read(measure.DatumNeck, measure.Heel, measure.Width, 480, 0, 63), read(measure.DatumNeck, measure.Heel, measure.Width, 540, 0, 62.4),
	}
	s := new(Survey)
	s.Assemble(&measure.Kit{Name: "K", Readings: list})
	on := s.Sides.Get(SideAt(measure.DatumNeck, measure.HeelTreble))
	for station, want := range map[float64]float64{480: 33, 540: 33} {
		if got := s.startOf(on, station); math.Abs(got-want) > 0.01 { // a width is square to the bisector
			t.Errorf("the treble side starts at %.3f at %v, by hand %v", got, station, want)
		}
	}
}

// A distance alone makes both its places, and no others; what was read of neither starts at 0.
func TestADistanceMakesBothPlaces(t *testing.T) {
	for _, to := range []int{1, 3} {
		r := marked(2, read(measure.DatumBody, measure.NeckScrew, measure.Distance, 0, 0, 38))
		r.HasStation, r.HasOffset, r.To.Number = false, false, to
		s := surveyed(measure.Info{}, r)
		p, q := s.Point(measure.DatumBody, measure.NeckScrew, 2), s.Point(measure.DatumBody, measure.NeckScrew, to)
		if p == nil || q == nil || len(s.Points.Keys()) != 2 || p.HasStation || p.HasOffset || s.Point(measure.DatumBody, measure.Saddle, 2) != nil || s.Point(measure.DatumNeck, measure.NeckScrew, 2) != nil {
			t.Fatalf("places %v", s.Points.Keys())
		}
		for _, u := range []int{p.Station, p.Offset, q.Station, q.Offset} {
			is(t, "where it starts", s.Problem.Start[u], 0)
		}
	}
	s := surveyed(measure.Info{}, marked(2, read(measure.DatumBody, measure.NeckScrew, measure.Point, 10, 5, 0)))
	if len(s.Points.Keys()) != 1 || s.Points.At(0).Diameter != -1 {
		t.Errorf("one place is %v", s.Points.Keys())
	}
}

// A corner's circle starts through its points; each weighs as what reads it along and across do in the mean, and a gauge that claims no
// noise as 0.1 micrometres. Points too few for a circle say nothing.
func TestRowsOfACorner(t *testing.T) {
	along, across := &measure.Gauge{ID: "a", Repeatability: 0.3}, &measure.Gauge{ID: "b", Repeatability: 0.1}
	still := &measure.Gauge{ID: "still"}
	at := func(angle float64, along, across *measure.Gauge) measure.Reading {
		r := read(measure.DatumBody, measure.PocketCorner, measure.Point, 10+5*math.Cos(angle), 20+5*math.Sin(angle), 0)
		r.Mark.Name, r.StationGauge, r.Gauge = "bass", along, across
		return r
	}
	radius := read(measure.DatumBody, measure.PocketCorner, measure.Radius, 0, 0, 5.2)
	radius.Mark.Name = "bass"
	for _, c := range []struct {
		along, across *measure.Gauge
		want          float64
	}{{along, across, math.Sqrt((0.09 + 0.01) / 2)}, {still, still, 1e-4}} {
		s := surveyed(measure.Info{}, at(0.1, c.along, c.across), at(0.8, c.along, c.across), at(1.5, c.along, c.across), radius)
		corner := s.Corners.At(0)
		for u, want := range map[int]float64{corner.x: 10, corner.y: 20, corner.Radius: 5} {
			if got := s.Problem.Start[u]; math.Abs(got-want) > 1e-6 {
				t.Errorf("the circle starts at %v, built with %v", got, want)
			}
		}
		if len(s.Problem.Rows) != 4 {
			t.Fatalf("%d rows", len(s.Problem.Rows))
		}
		for i, row := range s.Problem.Rows {
			if s.Source[i].Kind == measure.Point {
				is(t, "a point's deviation", row.Sigma, c.want)
				if off := row.Model.Eval(s.Problem.Start, make([]float64, len(s.Problem.Start))); math.Abs(off) > 1e-6 || row.Value != 0 {
					t.Errorf("a point lies %v off its circle", off)
				}
			}
		}
	}
	s := surveyed(measure.Info{}, at(0.1, along, across), at(0.8, along, across))
	if len(s.Problem.Rows) != 0 || s.Problem.Start[s.Corners.At(0).Radius] != 0 {
		t.Errorf("two points make %d rows", len(s.Problem.Rows))
	}
	treble := radius
	treble.Mark.Name, treble.Size = "treble", 4
	s = surveyed(measure.Info{}, radius, treble) // in an order that hangs on no number read
	if b, c := s.Corners.Get(CornerKey{measure.DatumBody, measure.PocketCorner, "bass"}), s.Corners.Get(CornerKey{measure.DatumBody, measure.PocketCorner, "treble"}); b.Radius >= c.Radius {
		t.Errorf("the bass corner is unknown %d, the treble one %d", b.Radius, c.Radius)
	}
}

// A plane's ends are those of its readings, however they lie to the datum, and it starts level at their mean.
func TestEndsOfAPlane(t *testing.T) {
	for _, x := range [][]float64{{-30, -10}, {10, 30}, {30, -10, 12}, {20}} {
		var list []measure.Reading
		mean, low, high := 0.0, x[0], x[0]
		for _, x := range x {
			list = append(list, read(measure.DatumBody, measure.Top, measure.Height, x, 0, x/10))
			low, high = min(low, x), max(high, x)
		}
		for _, x := range x {
			mean += x / float64(len(list))
		}
		s := surveyed(measure.Info{}, list...)
		p := s.Planes.At(0)
		if p.Low != low || p.High != high || p.Hollow != -1 {
			t.Errorf("%v: %+v", x, p)
		}
		is(t, "its start", s.Problem.Start[p.A], mean/10)
		is(t, "its start along", s.Problem.Start[p.B], 0)
		is(t, "its start across", s.Problem.Start[p.C], 0)
	}
	three := func(first int) *Survey {
		var list []measure.Reading
		for i, x := range []float64{40, 200, 400} {
			list = append(list, marked(first+i, read(measure.DatumNeck, measure.FretTop, measure.Height, x, 0, 15)))
		}
		return surveyed(measure.Info{}, list...)
	}
	for _, first := range []int{1, 0, 20} {
		s := three(first)
		p := s.Planes.At(0)
		if p.Hollow < 0 || s.Problem.Start[p.Hollow] != 0 {
			t.Errorf("frets from %d: %+v", first, p)
		}
		for i, want := range []float64{0, math.Pow(2*160.0/360-1, 2) - 1, 0} {
			is(t, "the hollow's share", s.Problem.Rows[i].Terms[3].Coef, want)
		}
	}
}

// Holes in the body tell where the bridge is meant to be, each to 0.1 mm along and across, unless both outer saddles were located beside
// them, by themselves or by their front stops, or in the bridge's own frame with a screw's place in the plate.
func TestHolesThatStandForTheBridge(t *testing.T) {
	at := func(d measure.Datum, f measure.Feature, n int) measure.Reading {
		return marked(n, read(d, f, measure.Point, 700+float64(n), 20*float64(n), 0))
	}
	across := func(d measure.Datum, f measure.Feature, n int) measure.Reading {
		r := at(d, f, n)
		r.Kind, r.HasStation = measure.Offset, false
		return r
	}
	along := at(measure.DatumBody, measure.SaddleFront, 4)
	along.Kind, along.HasOffset = measure.Station, false
	const body, bridge = measure.DatumBody, measure.DatumBridge
	hole := at(body, measure.BridgeScrew, 1)
	for what, c := range map[string]struct {
		hole   measure.Reading
		beside []measure.Reading
		stands bool
	}{
		"a screw's hole alone":               {hole, nil, true},
		"a string's hole alone":              {at(body, measure.StringHole, 1), nil, true},
		"from an edge":                       {at(measure.DatumEdgeBass, measure.BridgeScrew, 1), nil, true},
		"only across":                        {across(body, measure.BridgeScrew, 1), nil, true},
		"a neck's hole":                      {at(body, measure.NeckScrew, 1), nil, false},
		"both outer saddles":                 {hole, []measure.Reading{at(body, measure.Saddle, 1), at(body, measure.Saddle, 4)}, false},
		"the treble saddle":                  {hole, []measure.Reading{at(body, measure.Saddle, 1)}, true},
		"the bass saddle":                    {hole, []measure.Reading{at(body, measure.Saddle, 4)}, true},
		"the middle saddles":                 {hole, []measure.Reading{at(body, measure.Saddle, 2), at(body, measure.Saddle, 3)}, true},
		"one across, with its stop":          {hole, []measure.Reading{at(body, measure.Saddle, 1), across(body, measure.Saddle, 4), along}, false},
		"one across, without":                {hole, []measure.Reading{at(body, measure.Saddle, 1), across(body, measure.Saddle, 4)}, true},
		"one across, its stop across":        {hole, []measure.Reading{at(body, measure.Saddle, 1), across(body, measure.Saddle, 4), across(body, measure.SaddleFront, 4)}, true},
		"one by its stop alone":              {hole, []measure.Reading{at(body, measure.Saddle, 1), along}, true},
		"saddles from the bridge, a screw":   {hole, []measure.Reading{at(bridge, measure.Saddle, 1), at(bridge, measure.Saddle, 4), at(bridge, measure.PlateScrew, 1)}, false},
		"saddles from the bridge":            {hole, []measure.Reading{at(bridge, measure.Saddle, 1), at(bridge, measure.Saddle, 4), at(bridge, measure.PlateHole, 1)}, true},
		"one saddle from the bridge":         {hole, []measure.Reading{at(bridge, measure.Saddle, 1), at(bridge, measure.PlateScrew, 1)}, true},
		"one saddle here, one on the bridge": {hole, []measure.Reading{at(body, measure.Saddle, 1), at(bridge, measure.Saddle, 4), at(bridge, measure.PlateScrew, 1)}, true},
	} {
		second := c.hole
		second.Trial, second.Station = 2, second.Station+0.1
		s := surveyed(measure.Info{Strings: 4}, append(c.beside, c.hole, second)...)
		p := s.Point(Frame(c.hole.Datum), c.hole.Feature, 1)
		if stands := p.Astray != [2]int{-1, -1}; stands != c.stands {
			t.Errorf("%s: it stands for the bridge %v", what, stands)
		}
		held := 0
		for i, row := range s.Problem.Rows {
			if u := row.Terms; s.Source[i] == nil && len(u) == 1 && (u[0].Unknown == p.Astray[0] || u[0].Unknown == p.Astray[1]) {
				held++
				if row.Sigma != 0.1 || row.Value != 0 || u[0].Coef != 1 || s.Problem.Start[u[0].Unknown] != 0 {
					t.Errorf("%s: held by %+v", what, row)
				}
			}
		}
		if c.stands && held != 2 || !c.stands && held != 0 {
			t.Errorf("%s: held %d times", what, held)
		}
	}
	// What tells only how large a hole is, or how far from another, says nothing of where it was meant to be.
	size := marked(1, read(body, measure.BridgeScrew, measure.Diameter, 0, 0, 3))
	far := marked(1, read(body, measure.BridgeScrew, measure.Distance, 0, 0, 38))
	far.To.Number, size.HasStation, size.HasOffset, far.HasStation, far.HasOffset = 2, false, false, false, false
	for _, r := range []measure.Reading{size, far} {
		if s := surveyed(measure.Info{}, r); len(s.Forms) != 0 || s.Points.At(0).Astray[0] != -1 {
			t.Errorf("%s: %d forms", r.Kind, len(s.Forms))
		}
	}
	if s := surveyed(measure.Info{}, hole, size, far); len(s.Forms) != 2 {
		t.Errorf("%d forms", len(s.Forms))
	}
}
