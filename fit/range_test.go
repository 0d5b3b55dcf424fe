package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// nonsensical is what cannot be so of a kit of rows, in short: what, slip, lines and value.
func nonsensical(t *testing.T, rows ...string) (list []string) {
	t.Helper()
	for _, n := range new(sense).nonsense(kit(t, rows...)) {
		var lines []int
		for _, r := range n.Readings {
			lines = append(lines, r.Place.Line)
		}
		list = append(list, fmt.Sprintf("%d %d %v %.4g", n.What, n.Slip, lines, n.Value))
	}
	return list
}

func says(what Sense, slip Slip, value float64, lines ...int) string {
	return fmt.Sprintf("%d %d %v %.4g", what, slip, lines, value)
}

// Each number by itself is held against what instruments have, to a hundredth of a millimetre at both ends; which mistake is
// likely is told by what would make it sound.
func TestRangesOfNumbers(t *testing.T) {
	for _, c := range []struct {
		row       string // with %v for the number
		what      Sense
		low, high float64
	}{
		{"neck edge-bass - offset %v -20 -", AnyPlace, -1500, 1500}, {"body pocket-floor - height 500 %v -16", AnyOffset, -400, 400},
		{"neck fingerboard - width 100 - %v", BoardWidth, 25, 100}, {"neck heel - width 500 - %v", HeelWidth, 35, 90}, {"body pocket - width 500 - %v", PocketWidth, 35, 95},
		{"body pocket-bass - gap 500 - %v", GapWidth, -1, 15}, {"body neck-screw 1 diameter - - %v", HoleDiameter, 0.5, 25}, {"body pocket-corner - radius - - %v", CornerRadius, 0, 60},
		{"body pocket-floor - height 500 0 %v", AnyHeight, -150, 150}, {"body neck-screw 1 distance - - %v", HoleDistance, 3, 700},
	} {
		for _, at := range []struct {
			v  float64
			ok bool
		}{{c.low, true}, {c.low - 0.01, false}, {c.high, true}, {c.high + 0.01, false}} {
			k := kit(t, fmt.Sprintf(c.row, at.v))
			list := new(sense).nonsense(k)
			if (len(list) == 0) != at.ok {
				t.Errorf(c.row+": %v", at.v, list)
			}
			for _, n := range list {
				if n.What != c.what || n.Low != c.low || n.High != c.high || n.Value != at.v || len(n.Readings) != 1 || n.Readings[0] != &k.Readings[0] {
					t.Errorf(c.row+": %+v", at.v, n)
				}
			}
		}
	}
	for _, c := range []struct {
		v    float64
		what Sense
		slip Slip
	}{
		{6.2, HeelWidth, Centimetres}, {2.44, HeelWidth, Inches}, // 24 mm and 158 mm would be no heel
		{3.52, HeelWidth, OutOfRange}, {1, HeelWidth, OutOfRange}, // either would be, or neither
		{3.4, HeelWidth, Inches}, {8.9, HeelWidth, Centimetres}, {9.1, HeelWidth, OutOfRange}, {620, HeelWidth, DecimalPoint}, {6200, HeelWidth, DecimalPoint}, {62000, HeelWidth, OutOfRange},
		{76.2, ScaleOfFrets, Centimetres}, {30, ScaleOfFrets, Inches}, {1010, ScaleOfFrets, OutOfRange}, {4010, ScaleOfFrets, DecimalPoint},
	} {
		if got := likely(c.v, c.what); got != c.slip {
			t.Errorf("%v: slip %d, by hand %d", c.v, got, c.slip)
		}
	}
	// Where a place lies only too far off can be told, and one slip of several rows alike is told once; a second one anew.
	for _, c := range []struct {
		rows, want []string
	}{
		{[]string{"neck edge-bass - offset 1501 -20 -"}, []string{says(AnyPlace, DecimalPoint, 1501, 2)}},
		{[]string{"neck edge-bass - offset 20 -5000 -"}, []string{says(AnyOffset, DecimalPoint, -5000, 2)}},
		{[]string{"neck edge-bass - offset 2000 -5000 -"}, []string{says(AnyPlace, DecimalPoint, 2000, 2)}},
		{[]string{"neck heel - width 5000 - 6.2"}, []string{says(HeelWidth, Centimetres, 6.2, 2)}},
		{[]string{"neck heel - width 500 - 6.2", "neck heel - width 520 - 6.1", "neck heel - width 540 - 62"}, []string{says(HeelWidth, Centimetres, 6.2, 2, 3)}},
		{[]string{"neck heel - width 500 - 6.2", "neck heel - width 520 - 2.44"}, []string{says(HeelWidth, Centimetres, 6.2, 2), says(HeelWidth, Inches, 2.44, 3)}},
		{[]string{"neck heel - width 500 - 6.2", "body pocket - width 520 - 6.2"}, []string{says(HeelWidth, Centimetres, 6.2, 2), says(PocketWidth, Centimetres, 6.2, 3)}},
		{[]string{"body neck-screw 1 diameter - - 30", "body bridge-screw 1 diameter - - 30"}, []string{says(HoleDiameter, DecimalPoint, 30, 2), says(HoleDiameter, DecimalPoint, 30, 3)}},
		{[]string{"neck edge-bass - point 1600 -20 -", "neck edge-bass - offset 1700 -20 -"}, []string{says(AnyPlace, DecimalPoint, 1600, 2), says(AnyPlace, DecimalPoint, 1700, 3)}},
	} {
		if got := nonsensical(t, c.rows...); !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, by hand %q", c.rows, got, c.want)
		}
	}
}

// What several readings say together: widths between sides, ends between them, scales of frets, spreads of strings, and readings that
// lie 50 mm off the others, which say nothing of the others' order.
func TestWhatReadingsSayTogether(t *testing.T) {
	edge := func(side string, offsets ...float64) (rows []string) {
		for i, y := range offsets {
			rows = append(rows, fmt.Sprintf("neck %s - offset %d %v -", side, 100*(i+1), y))
		}
		return rows
	}
	fret := func(scale float64, numbers ...int) (rows []string) {
		for _, n := range numbers {
			rows = append(rows, fmt.Sprintf("neck fret %d station %.6f - -", n, scale*(1-math.Exp2(-float64(n)/12))))
		}
		return rows
	}
	strings := func(datum string, offsets ...float64) (rows []string) {
		for i, y := range offsets {
			rows = append(rows, fmt.Sprintf("%s saddle %d offset - %v -", datum, i+1, y))
		}
		return rows
	}
	floor := func(places ...float64) (rows []string) {
		for i := 0; i < len(places); i += 2 {
			rows = append(rows, fmt.Sprintf("body pocket-floor - height %v %v -16", places[i], places[i+1]))
		}
		return rows
	}
	pocketTo560 := []string{"body pocket-bass - offset 500 -30 -", "body pocket-treble - offset 540 32 -", "body pocket-end - station 560 0 -"}
	end := func(offsets ...float64) []string {
		rows := []string{"body pocket-bass - offset 500 -30 -", "body pocket-treble - offset 500 32 -"}
		for _, y := range offsets {
			rows = append(rows, fmt.Sprintf("body pocket-end - station 560 %v -", y))
		}
		return rows
	}
	for _, c := range []struct {
		what string
		rows []string
		want []string
	}{
		{"a board", slices.Concat(edge("edge-bass", -20), edge("edge-treble", 21)), nil},
		{"a narrow board", slices.Concat(edge("edge-bass", -12), edge("edge-treble", 12.9)), []string{says(BoardWidth, OutOfRange, 24.9, 2, 3)}},
		{"just wide enough", slices.Concat(edge("edge-bass", -12), edge("edge-treble", 13)), nil},
		{"a wide one by medians", slices.Concat(edge("edge-bass", -50, -55, -40), edge("edge-treble", 51, 53)), []string{says(BoardWidth, OutOfRange, 102, 2, 3, 4, 5, 6)}},
		{"swapped", slices.Concat(edge("edge-bass", 20), edge("edge-treble", -21)), []string{says(SideOrder, SidesSwapped, -41, 2, 3)}},
		{"one side", edge("edge-bass", 20), nil},
		{"a heel", slices.Concat(edge("heel-bass", 30), edge("heel-treble", -30)), []string{says(SideOrder, SidesSwapped, -60, 2, 3)}},
		{"one of three off by 51", slices.Concat(edge("edge-bass", -20, -21, -72), edge("edge-treble", 21)), []string{says(OffItsLine, OutOfRange, -51, 4)}},
		{"by 49", slices.Concat(edge("edge-bass", -20, -21, -70), edge("edge-treble", 21)), nil},
		{"of two nobody tells which", slices.Concat(edge("edge-bass", -20, -90), edge("edge-treble", 21)), nil},
		{"a lone slip is not among what is swapped", slices.Concat(edge("edge-bass", 20, 21, 120), edge("edge-treble", -21)), []string{says(OffItsLine, OutOfRange, 99, 4), says(SideOrder, SidesSwapped, -42, 2, 3, 5)}},

		{"an end 5 mm beyond", end(-35, 37, 0), nil}, {"farther on the bass side", end(-35.1), []string{says(EndOffset, OutOfRange, -35.1, 4)}},
		{"and on the treble side", end(0, 37.1), []string{says(EndOffset, OutOfRange, 37.1, 5)}},
		{"a nut beyond the board", append(slices.Concat(edge("edge-bass", -20), edge("edge-treble", 21)), "neck nut - station 10 -26 -", "neck nut - station 10 26 -"), []string{says(EndOffset, OutOfRange, -26, 4)}},
		{"a floor in the wall", []string{"body pocket-bass - offset 500 -30 -", "body pocket-treble - offset 500 32 -", "body pocket-floor - height 500 37.1 -16", "body pocket-floor - height 540 -35 -16"}, []string{says(EndOffset, OutOfRange, 37.1, 4)}},
		{"most of a floor at one end", floor(500, -20, 500, 20, 562, -20, 562, 20, 565, 0), nil},
		{"a floor 25 mm before the sides and 5 behind the end", slices.Concat(pocketTo560, floor(475, 0, 565, 0)), nil}, {"farther before", slices.Concat(pocketTo560, floor(474.9, 0)), []string{says(FloorStation, OutOfRange, 474.9, 5)}},
		{"farther behind", slices.Concat(pocketTo560, floor(565.1, 0)), []string{says(FloorStation, OutOfRange, 565.1, 5)}}, {"and where no end was read", slices.Concat(pocketTo560[:2], floor(565, 0), floor(565.1, 0)), []string{says(FloorStation, OutOfRange, 565.1, 5)}},
		{"an end without sides", []string{"body pocket-end - station 560 90 -"}, nil}, {"with one", []string{"body pocket-bass - offset 500 -30 -", "body pocket-end - station 560 90 -"}, nil},

		{"a floor", floor(500, -20, 550, -20, 500, 20), nil}, {"a place 51 mm along", floor(500, -20, 551, -20, 500, 20), []string{says(OffItsLine, OutOfRange, 51, 3)}},
		{"and across", floor(500, -20, 540, -20, 500, 31), []string{says(OffItsLine, OutOfRange, 51, 4)}}, {"of two nobody tells", floor(400, -20, 550, 30), nil},

		{"frets", fret(762, 1, 12), nil}, {"a short scale", fret(399, 1, 12), []string{says(ScaleOfFrets, OutOfRange, 399, 2, 3)}}, {"a long one", fret(1001, 12, 1), []string{says(ScaleOfFrets, OutOfRange, 1001, 2, 3)}},
		{"as long as they get", fret(999.99, 1, 5, 12), nil}, {"as short as they get", fret(400.01, 1, 12), nil}, {"in centimetres", fret(76.2, 1, 12), []string{says(ScaleOfFrets, Centimetres, 76.2, 2, 3)}},
		{"from the other end", fret(-762, 1, 5, 12), []string{says(FretOrder, EndsSwapped, -762, 2, 3, 4)}}, {"one fret twice", append(fret(762, 5), fret(900, 5)...), nil},
		{"of four one is off", append(fret(762, 1, 5, 12), "neck fret 7 station 320 - -"), []string{says(OffItsLine, OutOfRange, 320-762*(1-math.Exp2(-7.0/12)), 5)}},
		{"of five one is", append(fret(762, 1, 3, 5, 12), "neck fret 7 station 320 - -"), []string{says(OffItsLine, OutOfRange, 320-762*(1-math.Exp2(-7.0/12)), 6)}},
		{"of three nobody tells", append(fret(762, 1, 12), "neck fret 7 station 340 - -"), nil},
		{"the nut is fret 0", append(fret(390, 12), "neck nut - station 0 - -"), []string{says(ScaleOfFrets, OutOfRange, 390, 2, 3)}},

		{"strings", strings("body", 20, 7, -7, -20), nil}, {"the other way", strings("body", -21, -7, 7, 21), []string{says(StringOrder, NumbersTurned, -42, 2, 3, 4, 5)}},
		{"too near", strings("body", 7, -7.9), []string{says(StringSpread, OutOfRange, 14.9, 2, 3)}}, {"near enough", strings("body", 7, -8), nil},
		{"too far", strings("body", 65, -66), []string{says(StringSpread, OutOfRange, 131, 2, 3)}}, {"inward from the treble edge", strings("edge-treble", 5, 15, 25), nil},
		{"outward", strings("edge-treble", 25, 15, 5), []string{says(StringOrder, SidesSwapped, -20, 2, 3, 4)}}, {"outward from the bass edge", strings("edge-bass", 5, 15, 25), []string{says(StringOrder, SidesSwapped, -20, 2, 3, 4)}},
		{"a lone one", strings("body", 20), nil}, {"by three, the outer two", strings("body", 10, 0, -4.9), []string{says(StringSpread, OutOfRange, 14.9, 2, 3, 4)}},

		{"a string from both edges", []string{"edge-bass saddle 2 offset - 30 -", "edge-treble saddle 2 offset - 12 -"}, []string{says(StringOrder, LoneString, 0, 2, 3)}},
		{"two", []string{"edge-bass saddle 2 offset - 30 -", "edge-treble saddle 1 offset - 12 -"}, nil}, {"from one edge", []string{"edge-bass saddle 2 offset - 30 -"}, nil},
		{"and another from one", []string{"edge-bass saddle 2 offset - 30 -", "edge-treble saddle 2 offset - 12 -", "edge-bass saddle 4 offset - 10 -"}, nil},
	} {
		if got := nonsensical(t, c.rows...); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, by hand %q", c.what, got, c.want)
		}
	}
}

// A pattern numbered from the other side comes to lie on its like only turned about: by more than a quarter, and not by less.
func TestPatternsTurned(t *testing.T) {
	for degrees, turned := range map[float64]bool{0: false, 80: false, 100: true, 180: true, 260: true, 280: false} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		var rows []string
		var lines []int
		for i, p := range [][2]float64{{10, 30}, {10, 0}, {14, -30}} {
			x, y := 700+p[0]*cos-p[1]*sin, 5+p[0]*sin+p[1]*cos
			rows = append(rows, fmt.Sprintf("bridge plate-screw %d point %v %v -", i+1, p[0], p[1]), fmt.Sprintf("body bridge-screw %d point %.9f %.9f -", i+1, x, y))
			lines = append(lines, 2*i+2, 2*i+3)
		}
		var want []string
		if turned {
			want = []string{says(HolePattern, NumbersTurned, 0, lines...)}
		}
		if got := nonsensical(t, rows...); !slices.Equal(got, want) {
			t.Errorf("turned by %v degrees: %q", degrees, got)
		}
		if got := nonsensical(t, rows[:2]...); len(got) != 0 {
			t.Errorf("one hole: %q", got)
		}
	}
	turned := []string{"neck heel-screw 1 point 500 19 -", "neck heel-screw 2 point 500 -19 -", "body neck-screw 1 point 520 -19 -", "body neck-screw 2 point 520 19 -"}
	if got := nonsensical(t, turned...); !slices.Equal(got, []string{says(HolePattern, NumbersTurned, 0, 2, 3, 4, 5)}) {
		t.Errorf("two holes: %q", got)
	}
}

// Readings that are all off are told one and all, and those that are not are kept.
func TestSettle(t *testing.T) {
	list := []*measure.Reading{{Station: 60}, {Station: -60}, {Station: 50}, {Station: -50}}
	var s sense
	off := func(r *measure.Reading) float64 { return r.Station }
	if sound := s.settle(list[:2], OffItsLine, off); len(sound) != 0 || len(s.list) != 2 || s.list[1].Value != -60 {
		t.Errorf("sound are %v, told %+v", sound, s.list)
	}
	s.list = nil
	if sound := s.settle(list[2:], OffItsLine, off); len(sound) != 2 || len(s.list) != 0 {
		t.Errorf("sound are %v, told %+v", sound, s.list)
	}
	if sound := s.settle(list, OffItsLine, off); len(sound) != 2 || sound[0] != list[2] || len(s.list) != 2 {
		t.Errorf("sound are %v, told %+v", sound, s.list)
	}
}

// How far a neck can be swung is told only where nothing that it rests on is in doubt: every number of a dry fit in turn is a hundred too much.
func TestNoSwingWithoutWhatItRestsOn(t *testing.T) {
	in := simulate.ShortScaleBass()
	readings := simulate.DryFit(in, rand.New(rand.NewPCG(21, 8)), simulate.DefaultSetup())
	struck := map[ID]int{}
	for i := range readings {
		list := slices.Clone(readings)
		list[i].Offset += 100
		list[i].Size += 100
		r := Check(in.Kit("K", list), Options{})
		sound := true
		for _, id := range []ID{CentreLineError, PocketGapMouth, PocketGapEnd} {
			if !r.Find(id).Measured() {
				struck[id]++
				sound = false
			}
		}
		if !sound && r.Swing != nil {
			t.Errorf("line %d: swing %+v", i, r.Swing)
		}
	}
	if struck[CentreLineError] == 0 || struck[PocketGapMouth] == struck[CentreLineError] {
		t.Errorf("struck are %v", struck)
	}
}
