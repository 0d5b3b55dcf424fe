package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// unlike are the readings of a kit that differ from their like.
func unlike(t *testing.T, k *measure.Kit) []Suspect {
	t.Helper()
	s := new(solved)
	if err := s.solve(k); err != nil {
		t.Fatal(err)
	}
	return new(alike).suspects(new(assembly).put(s, wayOf(&s.Survey), Options{}, nil))
}

// rowOf are rows of a feature's marks from 1 on, by a pattern with the mark and a number.
func rowOf(pattern string, values ...float64) (rows []string) {
	for i, v := range values {
		rows = append(rows, fmt.Sprintf(pattern, i+1, v))
	}
	return rows
}

// What is alike on an instrument, with one number out by 2 mm and more: it is named, with what the others say, and how many standard
// deviations its misfit is long, by the leverage of a place in its row: of four in a line 0.7 at the ends and 0.3 amid, in rows
// of one slope less. What may be meant instead is named with it.
func TestWhatIsNotLikeItsLike(t *testing.T) {
	sides := func(d, part string, half float64) []string {
		return []string{fmt.Sprintf("%s %s-bass - offset 480 %v -", d, part, -half), fmt.Sprintf("%s %s-bass - offset 540 %v -", d, part, -half),
			fmt.Sprintf("%s %s-treble - offset 480 %v -", d, part, half), fmt.Sprintf("%s %s-treble - offset 540 %v -", d, part, half)}
	}
	for _, c := range []struct {
		what              string
		rows              []string
		line              int
		read, expected, w float64
		rivals            []int
	}{
		{"string holes across", rowOf("body string-hole %d point 900 %v -", 27, 11, -9, -27), 3, 11, 9, 2 * math.Sqrt(0.7) / 0.17, nil},
		{"string holes along", rowOf("body string-hole %d station %v - -", 900, 902, 900, 900), 3, 902, 900, 2 * math.Sqrt(0.7) / 0.17, nil},
		{"by less, the neighbour may be meant", rowOf("body string-hole %d point 900 %v -", 27, 10, -9, -27), 3, 10, 9, math.Sqrt(0.7) / 0.17, []int{2}},
		{"ferrules", rowOf("body ferrule %d point 900 %v -", 27, 9, -9, -30), 5, -30, -27, -3 * math.Sqrt(0.3) / 0.17, nil},
		{"holes of a plate", rowOf("bridge plate-hole %d point 40 %v -", 27, 11, -9, -27), 3, 11, 9, 2 * math.Sqrt(0.7) / 0.12, nil},
		{"along", rowOf("bridge plate-hole %d station %v - -", 40, 42, 40, 40), 3, 42, 40, 2 * math.Sqrt(0.7) / 0.12, nil},
		{"ferrules under holes that are right", append(rowOf("body string-hole %d point 900 %v -", 27, 9, -9, -27), rowOf("body ferrule %d point 900 %v -", 27, 9, -9, -30)...), 9, -30, -27, -3 * math.Sqrt(1-0.25-2.25/10) / 0.17, nil},
		{"slots of a nut", rowOf("neck nut-slot %d offset - %v -", 15, 5, -7, -15), 4, -7, -5, -2 * math.Sqrt(0.7) / 0.12, nil},
		{"diameters", rowOf("body neck-screw %d diameter - - %v", 4, 4, 6, 4), 4, 6, 4, 2 * math.Sqrt(0.75) / 0.15, nil},
		{"stops", slices.Concat(rowOf("body saddle-front %d station %v - -", 858, 862, 862, 864), rowOf("body saddle-back %d station %v - -", 878, 880, 882, 884)), 3, 862, 860, 2 * math.Sqrt(0.725) / 0.12, nil},
		{"stops of a bridge", slices.Concat(rowOf("bridge saddle-front %d station %v - -", 58, 60, 62, 64), rowOf("bridge saddle-back %d station %v - -", 78, 80, 84, 84)), 8, 84, 82, 2 * math.Sqrt(0.725) / 0.12, nil},
		{"string holes over ferrules that are right", append(rowOf("body ferrule %d point 900 %v -", 27, 9, -9, -27), rowOf("body string-hole %d point 900 %v -", 27, 9, -9, -30)...), 9, -30, -27, -3 * math.Sqrt(1-0.25-2.25/10) / 0.17, nil},
		{"strings and stops", slices.Concat(rowOf("body saddle %d offset - %v -", 27, 9, -9, -27), rowOf("body saddle-front %d offset - %v -", 27, 9, -9, -29)), 9, -29, -27, -2 * math.Sqrt(1-0.25-2.25/10) / 0.12, nil},
		{"heights over a crown", slices.Concat(rowOf("body saddle-low %d height - - %v", 9, 12, 10, 9), rowOf("body saddle-high %d height - - %v", 14, 15, 15, 14)), 3, 12, 10, 2 * math.Sqrt(0.6) / 0.12, nil},
		{"an end not square", append(sides("neck", "heel", 31), "neck heel-end - station 545 -20 -", "neck heel-end - station 547 20 -"), 6, 545, 547, -0.05 / math.Sqrt(2*0.06*0.06/1600+0.005*0.005), []int{7}},
		{"a pocket's", append(sides("body", "pocket", 31), "body pocket-end - station 545 -20 -", "body pocket-end - station 543 20 -"), 7, 543, 545, -0.05 / math.Sqrt(2*0.06*0.06/1600+0.005*0.005), []int{6}},
		{"a gap at an end", []string{"body pocket-end - gap - -20 0.2", "body pocket-end - gap - 20 2.2"}, 2, 0.2, 2.2, -0.05 / math.Sqrt(2*0.06*0.06/1600+0.005*0.005), []int{3}},
	} {
		list := unlike(t, kit(t, c.rows...))
		if len(list) != 1 || !list[0].Crooked || list[0].Reading.Place.Line != c.line {
			t.Errorf("%s: %+v", c.what, list)
			continue
		}
		s := list[0]
		about(t, c.what+": read", s.Read, c.read, 1e-9)
		about(t, c.what+": the others say", s.Expected, c.expected, 1e-6)
		about(t, c.what+": its misfit", s.W, c.w, 1e-6*math.Abs(c.w))
		var rivals []int
		for _, r := range s.Rivals {
			rivals = append(rivals, r.Place.Line)
		}
		if !slices.Equal(rivals, c.rivals) {
			t.Errorf("%s: lines %v may be meant instead, by hand %v", c.what, rivals, c.rivals)
		}
	}
	// What is as it should be, or is told by several readings or by too few, is not, and no equation is written for it.
	widths := []string{"neck heel - width 480 - 62", "neck heel - width 540 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4"}
	askew := []string{ // by 20 degrees: a slope of 0.36397
		"neck heel-bass - offset 480 143.672 -", "neck heel-bass - offset 540 165.510 -", "neck heel-treble - offset 480 209.652 -", "neck heel-treble - offset 540 231.490 -"}
	for what, rows := range map[string][]string{
		"a row that rises":                      rowOf("body string-hole %d point 900 %v -", 27, 9, -9, -27),
		"a slanted one":                         rowOf("body string-hole %d point %v 0 -", 900, 903, 906, 909),
		"read twice":                            append(rowOf("body string-hole %d point 900 %v -", 27, 11, -9, -27), "body string-hole 2 point 900 11.01 -"),
		"two holes":                             rowOf("body string-hole %d point 900 %v -", 27, 11),
		"screws are in no row":                  rowOf("body neck-screw %d point 900 %v -", 27, 11, -9, -27),
		"stops as far apart":                    slices.Concat(rowOf("body saddle-front %d station %v - -", 858, 860, 862, 864), rowOf("body saddle-back %d station %v - -", 878, 880, 882, 884)),
		"a crown":                               rowOf("body saddle-low %d height - - %v", 9, 10, 10, 9),
		"a saddle in its travel":                {"body saddle 1 station 875 - -", "body saddle-front 1 station 860 - -"},
		"one of a row across":                   append(rowOf("body string-hole %d station %v - -", 900, 900, 900), "body string-hole 4 offset - -27 -"),
		"heights of two strings":                slices.Concat(rowOf("body saddle-low %d height - - %v", 9, 12), rowOf("body saddle-high %d height - - %v", 14, 15)),
		"a heel's corner and a pocket's":        {"body heel-corner - radius - - 9", "body pocket-corner - radius - - 5"},
		"heel and pocket tapered alike":         {"neck heel - width 480 - 63", "neck heel - width 540 - 62", "body pocket - width 480 - 63.4", "body pocket - width 540 - 62.4"},
		"nearly alike":                          {"neck heel - width 480 - 62", "neck heel - width 540 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.75"},
		"a saddle of which no stop was read":    {"body saddle 1 station 875 - -", "body saddle-front 2 station 860 - -"},
		"widths read twice":                     append(slices.Clone(widths), "neck heel - width 480 - 62.02", "body pocket - width 540 - 62.38"),
		"a heel read at one place":              {"neck heel - width 510 - 62", "body pocket - width 480 - 63.4", "body pocket - width 540 - 62.4"},
		"a pocket read at one place":            {"body pocket - width 510 - 62.4", "neck heel - width 480 - 63", "neck heel - width 540 - 62"},
		"a wall felt at one place":              append(slices.Clone(widths), "body pocket-bass - gap 480 - 0.9", "body pocket-treble - gap 480 - 0.25", "body pocket-treble - gap 540 - 0.25"),
		"a wall read from its datum":            {"neck heel - width 480 - 62", "neck heel - width 540 - 62", "body pocket - width 480 - 63.4", "body pocket - width 540 - 62.4", "body pocket-bass - offset 480 -31 -"},
		"heel and pocket elsewhere":             {"body heel - width 380 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4"},
		"the board is somewhere else":           {"body fingerboard - width 80 - 44", "body fingerboard - width 400 - 60", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4"},
		"ends square on a neck that lies askew": append(askew, "neck heel-end - station 545 178.373 -", "neck heel-end - station 534 208.596 -"),
	} {
		by := new(alike)
		if list := by.suspects(put(t, kit(t, rows...))); len(list) != 0 || len(by.of.Rows) != 0 && what != "read twice" {
			t.Errorf("%s: %d equations, %+v", what, len(by.of.Rows), list)
		}
	}
	// Where not one number is off but two rows do not go together, something is.
	for what, rows := range map[string][]string{
		"stops farther and farther apart":           slices.Concat(rowOf("body saddle-front %d station %v - -", 858, 860, 862, 864), rowOf("body saddle-back %d station %v - -", 878, 881, 884, 887)),
		"a heel wider where its pocket is narrower": {"neck heel - width 480 - 62.4", "neck heel - width 540 - 61.9", "body pocket - width 480 - 62.5", "body pocket - width 540 - 63"},
		"heel and pocket far apart":                 {"body heel - width 380 - 62", "body heel - width 430 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4"},
	} {
		if list := unlike(t, kit(t, rows...)); len(list) == 0 {
			t.Errorf("%s: nothing is named", what)
		}
	}
}

// Two corners of a part have one radius, two places of an end lie on either side of its middle, and a saddle stands in its travel: of two
// readings that do not go together nobody tells which is meant.
func TestWhichOfTwoIsMeant(t *testing.T) {
	corners := kit(t, "body pocket-corner - radius - - 5", "body pocket-corner - radius - - 7")
	corners.Readings[0].Mark.Name, corners.Readings[1].Mark.Name = "bass", "treble"
	across := []string{"neck heel-bass - offset 480 -31 -", "neck heel-bass - offset 540 -31 -", "neck heel-treble - offset 480 31 -", "neck heel-treble - offset 540 31 -"}
	ends := func(low, high float64) *measure.Kit {
		return kit(t, append(across, fmt.Sprintf("neck heel-end - station 545 %v -", low), fmt.Sprintf("neck heel-end - station 545 %v -", high))...)
	}
	for _, c := range []struct {
		what              string
		k                 *measure.Kit
		first, second     int
		read, expected, w float64
		crooked           bool
	}{
		{"corners", corners, 2, 3, 5, 7, -2 * math.Sqrt(0.5) / 0.15, true},
		{"places of an end", ends(5, 20), 6, 7, 5, -20, 25 / math.Hypot(6, 0.01), false},
		{"on the bass side", ends(-20, -5), 6, 7, -20, 5, -25 / math.Hypot(6, 0.01), false},
		{"far behind its stop", kit(t, "body saddle 1 station 898 - -", "body saddle-front 1 station 860 - -"), 3, 2, 860, 890.5, -30.5 / math.Hypot(8, 0.12), true},
		{"a wall felt elsewhere", kit(t, "body heel - width 480 - 62", "body heel - width 540 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4",
			"body pocket-bass - gap 420 - 0.2", "body pocket-bass - gap 540 - 0.2"), 6, 7, 420, 480, -60 * math.Sqrt(2./3) / 9, false},
		{"before its stop", kit(t, "bridge saddle 1 station 40 - -", "bridge saddle-front 1 station 60 - -"), 3, 2, 60, 32.5, 27.5 / math.Hypot(8, 0.12), true},
	} {
		list := unlike(t, c.k)
		if len(list) != 1 || list[0].Reading.Place.Line != c.first || len(list[0].Rivals) != 1 || list[0].Rivals[0].Place.Line != c.second {
			t.Errorf("%s: %+v", c.what, list)
			continue
		}
		s := list[0]
		about(t, c.what+": read", s.Read, c.read, 1e-9)
		about(t, c.what+": the other says", s.Expected, c.expected, 1e-6)
		about(t, c.what+": its misfit", s.W, c.w, 1e-6*math.Abs(c.w))
		if s.Crooked != c.crooked {
			t.Errorf("%s: the part may be so: %v", c.what, s.Crooked)
		}
	}
	for what, k := range map[string]*measure.Kit{"either side": ends(-20, 5), "hardly one side": ends(3, 13), "in its travel": kit(t, "body saddle 1 station 882 - -", "body saddle-front 1 station 860 - -")} {
		if list := unlike(t, k); len(list) != 0 {
			t.Errorf("%s: %+v", what, list)
		}
	}
}

// A pocket is as much wider than its heel as the gaps that are felt: of widths and gaps at mouth and end the one that does not go with
// the others is named, with what it should be; and of two patterns of holes the one that is off its like.
func TestWidthsGapsAndPatterns(t *testing.T) {
	pocket := []string{"neck heel - width 480 - 62", "neck heel - width 540 - 62", "body pocket - width 480 - 62.4", "body pocket - width 540 - 62.4",
		"body pocket-bass - gap 480 - 0.15", "body pocket-bass - gap 540 - 0.25", "body pocket-treble - gap 480 - 0.25", "body pocket-treble - gap 540 - 0.15"}
	if list := unlike(t, kit(t, pocket...)); len(list) != 0 {
		t.Errorf("sound widths: %+v", list)
	}
	for i, right := range []float64{62, 62, 62.4, 62.4, 0.15, 0.25, 0.25, 0.15} {
		k := kit(t, pocket...)
		k.Readings[i].Size += 2
		list := unlike(t, k)
		at := slices.IndexFunc(list, func(s Suspect) bool {
			return s.Reading == &k.Readings[i] || slices.Contains(s.Rivals, &k.Readings[i])
		})
		if at < 0 {
			t.Errorf("line %d: %+v", i+2, list)
			continue
		}
		if s := list[at]; s.Reading == &k.Readings[i] {
			about(t, fmt.Sprintf("line %d", i+2), s.Expected, right, 0.15)
		} else if len(s.Rivals) > 3 { // both gaps at one end are had only together
			t.Errorf("line %d: %+v", i+2, s)
		}
	}
	holes := [][2]float64{{30, 32}, {34, 16}, {30, 0}, {34, -16}, {30, -32}}
	var rows []string
	for i, p := range holes {
		rows = append(rows, fmt.Sprintf("bridge plate-screw %d point %v %v -", i+1, p[0], p[1]), fmt.Sprintf("body bridge-screw %d point %v %v -", i+1, p[0]+860, p[1]+2))
	}
	for line := range 10 {
		for axis, by := range []float64{2.5, -2.5} {
			k := kit(t, rows...)
			if axis == 0 {
				k.Readings[line].Station += by
			} else {
				k.Readings[line].Offset += by
			}
			list := unlike(t, k)
			pair := []*measure.Reading{&k.Readings[line], &k.Readings[line^1]}
			if len(list) != 1 || !slices.Contains(pair, list[0].Reading) || !slices.Contains(list[0].Rivals, pair[0]) && list[0].Reading != pair[0] {
				t.Errorf("line %d out by %v: %+v", line+2, by, list)
			} else if off := math.Abs(list[0].Read - list[0].Expected); math.Abs(off-2.5) > 1e-6 {
				t.Errorf("line %d out by %v, named as %.4f", line+2, by, off)
			}
		}
	}
}

// A number 1.5 mm and more off its pattern is told in standard deviations of 0.12 mm with its sign, held against as many of 1.5 mm; what
// several readings tell accuses none of them.
func TestTooFarFromAPattern(t *testing.T) {
	k := kit(t, "body bridge-screw 1 point 700 20 -", "bridge plate-screw 1 point 40 21 -", "body bridge-screw 2 point 700 -20 -", "body bridge-screw 2 point 700 -20.01 -")
	hole := asked{frame: measure.DatumBody, feature: measure.BridgeScrew, mark: measure.Mark{Number: 1}, number: measure.Offset}
	plate, twice := hole, hole
	plate.frame, plate.feature, twice.mark.Number = measure.DatumBridge, measure.PlateScrew, 2
	for _, c := range []struct {
		expected float64
		of       []asked
		w        float64
		lines    []int
	}{
		{18.4, []asked{hole, plate}, 1.6 / 0.12, []int{2, 3}}, {21.6, []asked{plate, hole}, -1.6 / 0.12, []int{3, 2}}, {18.4, []asked{twice, plate}, 1.6 / 0.12, []int{3}},
		{18.6, []asked{hole, plate}, 0, nil}, {21.4, []asked{hole, plate}, 0, nil}, {18.4, []asked{twice}, 0, nil},
	} {
		by := &alike{assembly: put(t, k)}
		by.tooFar(20, c.expected, c.of...)
		if len(by.far) != min(1, len(c.lines)) {
			t.Errorf("%v: %+v", c, by.far)
			continue
		}
		for _, s := range by.far {
			about(t, "its misfit", s.W, c.w, 1e-9)
			about(t, "held against", s.Critical, 12.5, 1e-9)
			about(t, "read less expected", s.Read-s.Expected, 20-c.expected, 1e-9)
			lines := []int{s.Reading.Place.Line}
			for _, r := range s.Rivals {
				lines = append(lines, r.Place.Line)
			}
			if !slices.Equal(lines, c.lines) || !s.Crooked {
				t.Errorf("lines %v, want %v; made so: %v", lines, c.lines, s.Crooked)
			}
		}
	}
}

// Patterns whose holes tell nothing are not compared, and that hides no suspect: those of a bridge with one hole that is off, and with all
// that are off by chance, beside the comparison itself. Where one hole alone is off all of chi-square is its own, so that both begin at
// the same distance.
func TestPatternsNotComparedHideNothing(t *testing.T) {
	var rows []string
	for i, p := range [][2]float64{{30, 32}, {34, 16}, {30, 0}, {34, -16}, {30, -32}} {
		rows = append(rows, fmt.Sprintf("bridge plate-screw %d point %v %v -", i+1, p[0], p[1]), fmt.Sprintf("body bridge-screw %d point %v %v -", i+1, p[0]+860, p[1]+2))
	}
	looked := func(off func(line int, r *measure.Reading)) (compared, named, wanted bool) {
		k := kit(t, rows...)
		for i := range k.Readings {
			off(i, &k.Readings[i])
		}
		by := new(alike)
		list := by.suspects(put(t, k))
		all := &alike{assembly: put(t, k)}
		p := &pattern{frame: measure.DatumBridge, f: measure.PlateScrew, on: measure.DatumBody, g: measure.BridgeScrew}
		p.laid, _ = all.register(p.frame, p.f, p.on, p.g)
		all.compare(p)
		fit, err := all.solver.Solve(&all.of, adjust.Options{Alpha: falseUnlike, KnownScale: true})
		if err != nil {
			t.Fatal(err)
		}
		chi2 := 0.0 // two numbers each of both holes are off by half
		for _, m := range p.laid.marks {
			apart := p.laid.residualOf(m)
			chi2 += 4 * (math.Pow(apart.X.Value/2, 2) + math.Pow(apart.Y.Value/2, 2)) / (2 * 0.12 * 0.12)
		}
		about(t, "chi-square of holes laid on each other", fit.ChiSquare, chi2, 0.03*chi2) // turned by up to 0.02 after the first laying, of which the second order counts
		return len(by.of.Rows) > 0, len(list) > 0, len(fit.Suspects())+len(all.far) > 0
	}
	for line := range rows {
		one := func(by float64) func(int, *measure.Reading) {
			return func(i int, r *measure.Reading) {
				if i == line {
					r.Offset += by
				}
			}
		}
		low, high := 0.0, 2.0
		for range 25 {
			if _, _, wanted := looked(one((low + high) / 2)); wanted {
				high = (low + high) / 2
			} else {
				low = (low + high) / 2
			}
		}
		for by, want := range map[float64]bool{0.999 * low: false, 1.001 * high: true} {
			if compared, named, _ := looked(one(by)); named != want || compared != want {
				t.Errorf("line %d off by %.4f of %.4f: compared %v, named %v", line+2, by, low, compared, named)
			}
		}
	}
	rng := rand.New(rand.NewPCG(8, 15))
	count := map[[2]bool]int{}
	for i := range 200 {
		compared, named, wanted := looked(func(_ int, r *measure.Reading) {
			r.Station, r.Offset = r.Station+0.05*float64(1+i%5)*rng.NormFloat64(), r.Offset+0.05*float64(1+i%5)*rng.NormFloat64()
		})
		if count[[2]bool{compared, named}]++; named != wanted {
			t.Errorf("draw %d: compared %v, named %v, by itself %v", i, compared, named, wanted)
		}
	}
	if count[[2]bool{false, false}] < 50 || count[[2]bool{true, true}] < 20 {
		t.Errorf("compared and named: %v", count)
	}
}

// Two patterns are compared from three holes on, and beside what is odd elsewhere where a hole is a quarter of a millimetre off: each of four
// at the corners of a square that is too large is off by the same. One that is 2 mm off is told with the number that is off.
func TestWhichPatternsAreCompared(t *testing.T) {
	square := [][2]float64{{10, 20}, {50, 20}, {50, -20}, {10, -20}}
	pattern := func(n int, larger float64) (rows []string) {
		for i, p := range square[:n] {
			x, y := 900+math.Copysign(larger/math.Sqrt2, p[0]-30), math.Copysign(larger/math.Sqrt2, p[1])
			rows = append(rows, fmt.Sprintf("bridge plate-screw %d point %v %v -", i+1, p[0], p[1]), fmt.Sprintf("body bridge-screw %d point %v %v -", i+1, p[0]+x, p[1]+y))
		}
		return rows
	}
	corners := kit(t, "body pocket-corner - radius - - 5", "body pocket-corner - radius - - 7").Readings
	corners[0].Mark.Name, corners[1].Mark.Name = "bass", "treble"
	for _, c := range []struct {
		larger   float64
		odd      bool
		compared bool
	}{{0.23, true, false}, {0.25, true, true}, {0.25, false, false}} {
		k := kit(t, pattern(4, c.larger)...)
		if c.odd {
			k.Readings = append(k.Readings, corners...)
		}
		by := new(alike)
		by.suspects(put(t, k))
		if compared := slices.ContainsFunc(by.source, func(r *measure.Reading) bool { return r != nil && r.Feature == measure.PlateScrew }); compared != c.compared {
			t.Errorf("%+v: compared %v", c, compared)
		}
	}
	for n, named := range map[int]bool{2: false, 3: true, 4: true} {
		for axis, line := range []int{1, 3} {
			k := kit(t, pattern(n, 0)...)
			r := &k.Readings[line]
			*[]*float64{&r.Station, &r.Offset}[axis] += 2
			by := new(alike)
			if list := by.suspects(put(t, k)); len(list) > 0 != named {
				t.Errorf("%d holes, one 2 mm off: %+v", n, list)
			}
			for _, s := range by.far {
				if off := []float64{r.Station, r.Offset}[axis]; s.Reading != r || s.Read != off || math.Abs(s.Expected-off+2) > 1e-6 {
					t.Errorf("%d holes, line %d off: %+v", n, line+2, s)
				}
			}
			if n == 4 && len(by.far) != 1 {
				t.Errorf("line %d off: far are %+v", line+2, by.far)
			}
		}
	}
}

// The marks at which two sides were read are the same, but for a slanted straightedge's few millimetres: one that is not may be the other's
// fault, where each was read once, and not where the others of its place tell.
func TestMarksThatHaveNoFellow(t *testing.T) {
	sides := func(bass, treble []float64) (rows []string) {
		for i, x := range bass { // no row stands there twice
			rows = append(rows, fmt.Sprintf("neck heel-bass - offset %v %v -", x, -30-0.001*float64(i)))
		}
		for i, x := range treble {
			rows = append(rows, fmt.Sprintf("neck heel-treble - offset %v %v -", x, 30+0.001*float64(i)))
		}
		return rows
	}
	for _, c := range []struct {
		what           string
		rows           []string
		line           int // 0 for none
		read, expected float64
		rivals         []int
	}{
		{"alike", sides([]float64{480, 500, 520, 540}, []float64{480, 500, 520, 540}), 0, 0, 0, nil},
		{"a digit lost", sides([]float64{480, 500, 520, 54}, []float64{480, 500.5, 520, 540}), 5, 54, 540, []int{9}},
		{"9.9 mm off", sides([]float64{480, 500, 520, 540}, []float64{480, 500, 520, 549.9}), 0, 0, 0, nil},
		{"10 mm off", sides([]float64{480, 500, 520, 540}, []float64{480, 500, 520, 550}), 5, 540, 550, []int{9}},
		{"and another by 0.6", sides([]float64{480, 500, 520, 540}, []float64{480, 500.6, 520, 550}), 0, 0, 0, nil},
		{"two off", sides([]float64{480, 500, 520, 540}, []float64{480, 500, 530, 560}), 0, 0, 0, nil},
		{"four aslant", sides([]float64{480, 500, 520, 540}, []float64{483, 503, 523, 563}), 0, 0, 0, nil},
		{"five aslant", sides([]float64{460, 480, 500, 520, 540}, []float64{463, 483, 503, 523, 563}), 6, 540, 563, []int{11}},
		{"five too far aslant", sides([]float64{460, 480, 500, 520, 540}, []float64{463.1, 483.1, 503.1, 523.1, 563.1}), 0, 0, 0, nil},
		{"elsewhere all along", sides([]float64{480, 500, 520, 540}, []float64{490, 510, 530, 550}), 0, 0, 0, nil},
		{"three on a side", sides([]float64{480, 500, 520}, []float64{480, 500, 540}), 0, 0, 0, nil},
		{"one less", sides([]float64{480, 500, 520, 540}, []float64{480, 500, 520, 540, 550}), 0, 0, 0, nil},
		{"read twice", sides([]float64{480, 500, 520, 480, 50, 520}, []float64{480, 500, 520, 480, 500, 520}), 6, 50, 500, nil},
		{"on the other side", sides([]float64{480, 500, 520, 480, 500, 520}, []float64{480, 500, 520, 480, 500, 52}), 13, 52, 520, nil},
		{"to where others are", sides([]float64{480, 500, 480, 540}, []float64{480, 500, 520, 540}), 4, 480, 520, []int{2}},
	} {
		list := unlike(t, kit(t, c.rows...))
		if c.line == 0 {
			if len(list) > 0 {
				t.Errorf("%s: %+v", c.what, list)
			}
			continue
		}
		if len(list) != 1 || list[0].Reading.Place.Line != c.line || list[0].Read != c.read || list[0].Expected != c.expected || list[0].Crooked || list[0].W != (c.read-c.expected)/3 {
			t.Errorf("%s: %+v", c.what, list)
			continue
		}
		var rivals []int
		for _, r := range list[0].Rivals {
			rivals = append(rivals, r.Place.Line)
		}
		if !slices.Equal(rivals, c.rivals) {
			t.Errorf("%s: lines %v may be meant instead, by hand %v", c.what, rivals, c.rivals)
		}
	}
}

// People read two sides where they please: none of these marks is astray.
func TestMarksAtRandomAccuseNobody(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 3))
	for n := range 3000 {
		jitter := float64(1 + n%15)
		var rows []string
		for _, side := range []string{"bass - offset %v -3%v -", "treble - offset %v 3%v -"} {
			for i := range 4 + n%4 {
				rows = append(rows, fmt.Sprintf("neck heel-"+side, math.Round(470+15*float64(i)+jitter*(2*rng.Float64()-1)), i%2))
			}
		}
		if list := unlike(t, kit(t, rows...)); len(list) > 0 {
			t.Errorf("%d: %+v", n, list)
		}
	}
}

// A pattern is laid on another by the pair of holes that leaves the median distance least, so that the others come to lie exactly where one
// is wrong: turned by 30 degrees and shifted.
func TestLaidByThePairThatFits(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	var from, to []autodiff.Vector
	for _, p := range [][2]float64{{0, 0}, {10, 2}, {3, 20}, {12, 25}, {-5, 9}} {
		from, to = append(from, fixed(p[0], p[1])), append(to, fixed(100+p[0]*cos-p[1]*sin, 50+p[0]*sin+p[1]*cos))
	}
	for wrong := range to {
		spoilt := slices.Clone(to)
		spoilt[wrong] = fixed(to[wrong].X.Value+3, to[wrong].Y.Value-1)
		for i, p := range laidByPair(from, spoilt) {
			if d := math.Hypot(p.X-to[i].X.Value, p.Y-to[i].Y.Value); d > 1e-9 {
				t.Errorf("hole %d wrong: hole %d lies %v off", wrong, i, d)
			}
		}
	}
	if laidByPair(from[:1], to[:1]) != nil {
		t.Error("one hole lays a pattern")
	}
}

// What lies far off at first sight: some difference of the order between neighbours beyond four standard deviations.
func TestFarOffAtFirstSight(t *testing.T) {
	of := func(values ...float64) (list []one) {
		for i, v := range values {
			list = append(list, one{at: float64(i), value: v})
		}
		return list
	}
	for _, c := range []struct {
		row, than []one
		order     int
		far       bool
	}{
		{of(1, 2.3), nil, 1, true}, {of(1, 2.1), nil, 1, false}, {of(2.3, 1), nil, 1, true}, {of(1, 3, 5, 7), nil, 2, false}, {of(1, 3, 5, 8.3), nil, 2, true}, {of(1, 3, 5, 8.1), nil, 2, false},
		{of(1, 4, 9, 16), nil, 3, false}, {of(1, 4, 9, 17.3), nil, 3, true}, {of(1, 4, 9, 16), nil, 2, true}, {of(1, 9), nil, 2, false}, {nil, nil, 2, false},
		{of(1, 9, 4), of(3, 11, 6), 1, false}, {of(1, 9, 4), of(3, 11, 7.3), 1, true}, {of(1, 9, 4), of(3, 11, 7.1), 1, false},
	} {
		if got := farOff(c.row, c.than, c.order, 0.3); got != c.far {
			t.Errorf("%v beside %v, order %d: %v", c.row, c.than, c.order, got)
		}
	}
}
