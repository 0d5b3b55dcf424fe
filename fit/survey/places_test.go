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
