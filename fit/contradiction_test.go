package fit

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"neckfit/measure"
)

// holeReadings are stations read of one hole with a standard deviation of 0.1 mm.
func holeReadings(t *testing.T, stations ...float64) *measure.Kit {
	t.Helper()
	var rows []string
	for _, x := range stations {
		rows = append(rows, fmt.Sprintf("body neck-screw 1 station %v - -", x))
	}
	k := kit(t, rows...)
	plain := &measure.Gauge{ID: "plain", Repeatability: 0.1}
	for i := range k.Readings {
		k.Readings[i].Gauge, k.Readings[i].StationGauge = plain, plain
	}
	return k
}

// Which reading contradicts the others: without it chi-square is a thirtieth of what it was, or 6 more than that; it is 10 mm off at least, and
// one of those that were accused. By hand: of 100 and 101, read to 0.1, chi-square is 50.
func TestWhatContradictsTheOthers(t *testing.T) {
	for _, c := range []struct {
		what     string
		stations []float64
		chi      float64
		accused  []int
		named    []int
		expected float64
	}{
		{"before it was thirty times as long", []float64{100, 101, 130}, 1330, []int{2}, []int{2}, 100.5}, {"and not quite", []float64{100, 101, 130}, 1310, []int{2}, nil, 0},
		{"alike", []float64{100, 100.1, 130}, 1000, []int{2}, []int{2}, 100.05}, {"accused is another", []float64{100, 100.1, 130}, 1000, []int{0}, nil, 0}, {"nobody is accused", []float64{100, 100.1, 130}, 1000, nil, nil, 0},
		{"9.9 mm off", []float64{100, 100, 109.9}, 1000, []int{2}, nil, 0}, {"10.1 mm off", []float64{100, 100, 110.1}, 1000, []int{2}, []int{2}, 100},
		{"nothing settled", []float64{100, 100.1, 130}, 0, nil, []int{2}, 100.05}, {"nor are they far off", []float64{100, 100, 100, 105}, 0, nil, []int{3}, 100},
		{"either of two", []float64{100, 130}, 1000, []int{0, 1}, []int{0, 1}, 130},
		{"two lost digits are likelier", []float64{100, 10000}, 1000, []int{0, 1}, []int{1}, 100},
	} {
		k := holeReadings(t, c.stations...)
		r := Result{ChiSquare: c.chi}
		for i, at := range c.accused {
			if i == 0 {
				r.Suspects = []Suspect{{Reading: &k.Readings[at]}}
			} else {
				r.Suspects[0].Rivals = append(r.Suspects[0].Rivals, &k.Readings[at])
			}
		}
		n, mended := contradiction(k, &r)
		var named []int
		for _, r := range n.Readings {
			named = append(named, r.Place.Line-2)
		}
		if !slices.Equal(named, c.named) || (mended == nil) != (c.named == nil) {
			t.Errorf("%s: %v are named", c.what, named)
			continue
		}
		if mended == nil {
			continue
		}
		at := slices.IndexFunc(mended.Readings, func(r measure.Reading) bool {
			return r.Station != k.Readings[r.Place.Line-2].Station
		})
		if at < 0 || n.What != Agreement || n.Value != k.Readings[at].Station {
			t.Errorf("%s: %+v", c.what, n)
			continue
		}
		about(t, c.what+": the others say", n.Low, c.expected, 1e-6)
		about(t, c.what+": which is no range", n.High, n.Low, 0)
		about(t, c.what+": what is put in its place", mended.Readings[at].Station, c.expected+1, 1e-6)
		if mended.Readings[at].StationGauge != k.Readings[at].StationGauge || k.Readings[at].Station != c.stations[at] {
			t.Errorf("%s: the kit itself was changed", c.what)
		}
	}
}

// From the treble edge an offset is told inward, as it was read, and what is put in its place is a millimetre farther inward.
func TestContradictionFromTheTrebleEdge(t *testing.T) {
	k := kit(t, "edge-treble bridge-screw 2 offset - 14 -", "edge-treble bridge-screw 2 offset - 14 -", "edge-treble bridge-screw 2 offset - 44 -")
	n, mended := contradiction(k, &Result{})
	if mended == nil || len(n.Readings) != 1 || n.Readings[0] != &k.Readings[2] {
		t.Fatalf("%+v", n)
	}
	about(t, "read", n.Value, 44, 0)
	about(t, "the others say", n.Low, 14, 1e-6)
	about(t, "put in its place", mended.Readings[2].Offset, 15, 1e-6)
}

// Of three places of a side any may be meant; one alone of them is ten times what the others say, and that is what people slip by.
func TestTheLikeliestOfThree(t *testing.T) {
	k := kit(t, "neck heel-bass - offset 480 -30 -", "neck heel-bass - offset 510 -300 -", "neck heel-bass - offset 540 -30 -")
	n, mended := contradiction(k, &Result{})
	if mended == nil || len(n.Readings) != 1 || n.Readings[0] != &k.Readings[1] || n.Slip != DecimalPoint {
		t.Errorf("%+v", n)
	}
	k.Readings[1].Offset = -200
	if n, _ := contradiction(k, &Result{}); len(n.Readings) != 3 || n.Slip != OutOfRange {
		t.Errorf("no slip that people make: %+v", n)
	}
}

// Which of a reading's numbers its row is of: a size, a station or an offset, which from the treble edge counts inward.
func TestCellOfARow(t *testing.T) {
	rows := []string{"body neck-screw 1 point 100 20 -", "body neck-screw 1 point 103 26 -", "body pocket-floor - height 500 0 -16", "body bridge-screw 1 station-near 700 - -",
		"edge-treble bridge-screw 2 offset - 12 -", "edge-treble bridge-screw 2 offset - 16 -", "body bridge-screw 3 offset-far - 9 -", "neck heel-end - station 540 3 -"}
	k := kit(t, rows...)
	var s solved
	if err := s.solve(k); err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for row, r := range s.Source {
		if r == nil {
			continue
		}
		cell, outward := s.cell(row)
		off := s.fit.Residuals[row]
		if outward {
			off = -off
		}
		name := map[*float64]string{&r.Station: "station", &r.Offset: "offset", &r.Size: "size"}[cell]
		seen[fmt.Sprintf("%d %s", r.Place.Line, name)]++
		if r.Place.Line == 6 || r.Place.Line == 7 { // the mean is 14 inward
			about(t, "off inward", off, r.Offset-14, 1e-6)
		}
		if r.Place.Line == 2 && name == "offset" {
			about(t, "off", off, -3, 1e-6)
		}
	}
	for _, want := range []string{"2 station", "2 offset", "3 station", "3 offset", "4 size", "5 station", "6 offset", "7 offset", "8 offset", "9 station"} {
		if seen[want] != 1 {
			t.Errorf("%s: %v", want, seen)
		}
	}
}

// Of several numbers of a reading the one farthest off is told, with the slip that makes ten, a hundred or a tenth of what it should be.
func TestSlipOfAContradiction(t *testing.T) {
	for _, c := range []struct {
		read, expected float64
		slip           Slip
	}{
		{100, 10, DecimalPoint}, {102.9, 10, DecimalPoint}, {103.1, 10, OutOfRange}, {97.1, 10, DecimalPoint}, {96.9, 10, OutOfRange}, {1000, 10, DecimalPoint}, {1029, 10, DecimalPoint}, {1031, 10, OutOfRange},
		{969, 10, OutOfRange}, {50, 500, Centimetres}, {51.4, 500, Centimetres}, {51.6, 500, OutOfRange}, {48.6, 500, Centimetres}, {48.4, 500, OutOfRange}, {520, 500, OutOfRange}, {-50, 500, OutOfRange},
	} {
		var n Nonsense
		n.add(c.read, c.expected)
		if n.Slip != c.slip || n.Value != c.read || n.Low != c.expected || n.High != c.expected {
			t.Errorf("%v for %v: %+v", c.read, c.expected, n)
		}
		n.add(c.read, c.read+math.Abs(c.read-c.expected)*0.9)
		if n.Value != c.read || n.Low != c.expected {
			t.Errorf("%v for %v is told less than what is nearer", c.read, c.expected)
		}
		n.add(-7, 5000)
		if n.Value != -7 || n.Low != 5000 || n.Slip != OutOfRange {
			t.Errorf("what is farther off: %+v", n)
		}
	}
}

// Readings that cannot be so are left out, or have something in their place: what was read of the same elsewhere, the first by its numbers, and
// a millimetre more.
func TestApartFromNonsense(t *testing.T) {
	k := kit(t, "neck heel-bass - offset 530 -31 -", "neck heel-bass - offset 480 -30 -", "neck heel-bass - offset 480 -90 -", "neck heel-bass - point 470 -30 -", "neck heel-treble - offset 470 30 -",
		"body neck-screw 1 diameter - - 5", "body neck-screw 2 diameter - - 4")
	struck := []*measure.Reading{&k.Readings[2], &k.Readings[5]}
	for _, list := range [][]Nonsense{{{Readings: struck}}, {{Readings: struck[:1]}, {Readings: struck[1:]}}} {
		sound, touched := apart(k, list)
		var left []int
		for _, r := range sound.Readings {
			left = append(left, r.Place.Line)
		}
		if !slices.Equal(left, []int{2, 3, 5, 6, 8}) || len(k.Readings) != 7 {
			t.Errorf("left are lines %v", left)
		}
		for i, r := range touched.Readings {
			want := k.Readings[i]
			if i == 2 {
				want.Station, want.Offset, want.Size = 481, -29, 1
			}
			if r != want {
				t.Errorf("line %d: %+v", i+2, r)
			}
		}
	}
}
