package draw

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// sizes are of the upright sheets: ISO 216, and 8.5 by 11 inches of 25.4 mm.
var sizes = map[Paper]Point{A4: {210, 297}, Letter: {8.5 * 25.4, 11 * 25.4}}

// big is a field of holes that takes several sheets both ways, closer together than the sheets
// overlap, so that many lie on two or four of them.
func big() Template {
	x := Template{Kit: "big", Corners: []Point{{-7, 3}}, Centre: []Point{{0, 0}, {100, 7}}}
	for i := range 15 {
		for j := range 12 {
			at := Point{float64(i)*29.37 - 100, float64(j)*30.11 - 120}
			x.Holes = append(x.Holes, Hole{Name: fmt.Sprintf("h%d", len(x.Holes)+1), At: at, Action: DrillFresh, Pilot: 2})
		}
	}
	// and a patch in the middle, where on Letter paper four sheets meet
	for i := range 7 {
		for j := range 7 {
			at := Point{float64(i)*6 + 88, float64(j)*6 + 28}
			x.Holes = append(x.Holes, Hole{Name: "p", At: at, Action: DrillFresh, Pilot: 2})
		}
	}
	return x
}

func TestPaper(t *testing.T) {
	for paper, want := range sizes {
		eachFormat(t, bass(), paper, func(t *testing.T, sheets []*found) {
			for i, s := range sheets {
				got := Point{s.width, s.height}
				if !close2(got, want) && !close2(Point{got.Y, got.X}, want) {
					t.Errorf("sheet %d is %v mm, want %v either way round", i+1, got, want)
				}
			}
		})
	}
}

func TestPrintsUnscaled(t *testing.T) {
	var b strings.Builder
	if err := bass().PDF(&b, A4); err != nil {
		t.Fatal(err)
	}
	// ISO 32000-1, table 150
	_, catalogue := openPDF(t, []byte(b.String()))
	if !strings.Contains(string(catalogue), "/ViewerPreferences << /PrintScaling /None >>") {
		t.Errorf("the catalogue does not ask for no scaling:\n%s", catalogue)
	}
}

func TestCheckBars(t *testing.T) {
	for _, paper := range []Paper{A4, Letter} {
		eachFormat(t, bass(), paper, func(t *testing.T, sheets []*found) {
			for i, s := range sheets {
				s.checkBar(t, i+1, "bar-across", Point{100, 0})
				s.checkBar(t, i+1, "bar-down", Point{0, 100})
			}
		})
	}
}

// checkBar wants the first line of the group to be the bar, all of it where a printer prints, and
// eleven ticks that cut it every 10 mm.
func (f *found) checkBar(t *testing.T, sheet int, id string, want Point) {
	t.Helper()
	lines := f.lines[id]
	if len(lines) != 12 {
		t.Fatalf("sheet %d: %s has %d lines, want a bar and 11 ticks", sheet, id, len(lines))
	}
	bar := lines[0]
	if got := bar[1].minus(bar[0]); !close2(got, want) {
		t.Errorf("sheet %d: %s runs %v mm, want %v", sheet, id, got, want)
	}
	for k, tick := range lines[1:] {
		if got := tick[0].along(tick[1], 0.5); !close2(got, bar[0].along(bar[1], float64(k)/10)) {
			t.Errorf("sheet %d: %s: tick %d is at %v", sheet, id, k, got)
		}
	}
	for _, line := range lines {
		if !f.printable().holdsAll(boxOf(line[:]...)) {
			t.Errorf("sheet %d: %s leaves the printable part", sheet, id)
		}
	}
}

func (f *found) printable() Box {
	return Box{Max: Point{f.width, f.height}}.Grown(-10 + near)
}

// shifts works out from the numbered marks how the sheets are laid together: what to add to a
// place on a sheet to have it on the first tile. Sheets without marks come out as NaN.
func shifts(t *testing.T, sheets []*found) []Point {
	t.Helper()
	first := 0
	for sheets[first].lines["sheet-cross-1"] == nil {
		first++
	}
	nowhere := Point{math.NaN(), math.NaN()}
	out := make([]Point, len(sheets))
	for i := range out {
		out[i] = nowhere
	}
	out[first] = Point{}
	for range sheets {
		for i, a := range sheets {
			for j, b := range sheets {
				shift, ok := joined(t, a, b)
				if !ok || !out[i].finite() {
					continue
				}
				shift = shift.plus(out[i])
				if out[j].finite() && !close2(out[j], shift) {
					t.Fatalf("sheet %d lies at %v by one join, at %v by another", j+1, out[j], shift)
				}
				out[j] = shift
			}
		}
	}
	return out
}

// joined is the shift from b to a by the marks that both have, two of them.
func joined(t *testing.T, a, b *found) (shift Point, ok bool) {
	t.Helper()
	if a == b {
		return shift, false
	}
	seen := 0
	for n := 1; n < 200; n++ {
		tag := fmt.Sprintf("mark-%d", n)
		p, onA := a.crossing(t, tag)
		q, onB := b.crossing(t, tag)
		if !onA || !onB {
			continue
		}
		if seen++; seen > 1 && !close2(p.minus(q), shift) {
			t.Fatalf("mark %d does not meet when mark %d does", n, n-1)
		}
		shift = p.minus(q)
	}
	if seen != 0 && seen != 2 {
		t.Fatalf("two sheets share %d marks", seen)
	}
	return shift, seen == 2
}

// TestHolesFromCorner lays the sheets together by their marks and measures every hole from the
// registration cross of the pocket's corner, as a builder with a rule would. Of a right-handed
// instrument whose neck points up, a larger station is lower and a larger offset further right;
// of a left-handed one, further left.
func TestHolesFromCorner(t *testing.T) {
	for _, make := range []func() Template{bass, big} {
		for _, left := range []bool{false, true} {
			x := make()
			x.Left = left
			paper := map[bool]Paper{false: A4, true: Letter}[left]
			eachFormat(t, x, paper, func(t *testing.T, sheets []*found) { checkHoles(t, &x, sheets) })
		}
	}
}

func checkHoles(t *testing.T, x *Template, sheets []*found) {
	t.Helper()
	shift := shifts(t, sheets)
	places := func(tag string) []Point {
		var out []Point
		for i, s := range sheets {
			if p, ok := s.crossing(t, tag); ok {
				out = append(out, p.plus(shift[i]))
			}
		}
		return out
	}
	right := 1.0
	if x.Left {
		right = -1
	}
	corners := places("corner-1")
	if len(corners) == 0 {
		t.Fatal("no pocket corner on any sheet")
	}
	check := func(tag string, at Point) {
		got := places(tag)
		if len(got) == 0 {
			t.Errorf("%s is on no sheet", tag)
		}
		for _, p := range got {
			want := Point{right * (at.Y - x.Corners[0].Y), at.X - x.Corners[0].X}
			if d := p.minus(corners[0]); !close2(d, want) {
				t.Errorf("%s is %v from the corner, want %v", tag, d, want)
			}
		}
	}
	for i, h := range x.Holes {
		check(fmt.Sprintf("hole-%d-at", i+1), h.At)
		if h.Action == PlugAndDrill {
			check(fmt.Sprintf("hole-%d-old", i+1), *h.Old)
		}
	}
}

// TestHoleSizes finds the pilot's and the plug's circle at every hole, at its place and size.
func TestHoleSizes(t *testing.T) {
	x := bass()
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		for i, h := range x.Holes {
			tag := fmt.Sprintf("hole-%d", i+1)
			for _, s := range sheets {
				at, ok := s.crossing(t, tag+"-at")
				if !ok {
					continue
				}
				want := map[Action]float64{Keep: h.OldDia, PlugAndDrill: h.Pilot, DrillFresh: h.Pilot, PlugOnly: h.Plug}[h.Action]
				if !s.hasCircle(tag, disc{at, want / 2}) {
					t.Errorf("%s has no circle of %v mm at its cross", tag, want)
				}
				if old, ok := s.crossing(t, tag+"-old"); ok && !s.hasCircle(tag, disc{old, h.Plug / 2}) {
					t.Errorf("%s has no plug of %v mm at its old place", tag, h.Plug)
				}
			}
		}
	})
}

func (f *found) hasCircle(tag string, want disc) bool {
	for _, d := range f.circles[tag] {
		if close2(d.centre, want.centre) && math.Abs(d.r-want.r) <= near {
			return true
		}
	}
	return false
}

// TestEveryHoleWholeSomewhere wants every mark whole inside the printable part of some sheet, and
// in the big field some on two and some on four, or the overlap would not have been tried.
func TestEveryHoleWholeSomewhere(t *testing.T) {
	x := big()
	eachFormat(t, x, Letter, func(t *testing.T, sheets []*found) {
		times := map[int]int{}
		for i := range x.Holes {
			n := 0
			for _, s := range sheets {
				lines := s.lines[fmt.Sprintf("hole-%d-at", i+1)]
				b := Empty()
				for _, l := range lines {
					b = b.Around(boxOf(l[:]...))
				}
				if len(lines) > 0 && s.frame().holdsAll(b) {
					n++
				}
			}
			if n == 0 {
				t.Errorf("hole %d is whole on no sheet", i+1)
			}
			times[n]++
		}
		if times[2] == 0 || times[4] == 0 {
			t.Errorf("holes by number of sheets: %v, want some on two and on four", times)
		}
	})
}

// frame is the window as drawn, inside which alone the template shows.
func (f *found) frame() Box {
	b := Empty()
	for _, l := range f.lines["frame"] {
		b = b.Around(boxOf(l[:]...))
	}
	return b.Grown(near)
}

func TestFewestSheets(t *testing.T) {
	place := func(points ...Point) Template {
		x := Template{Kit: "k"}
		for _, p := range points {
			x.Holes = append(x.Holes, Hole{Name: "h", At: p, Action: Keep, OldDia: 3})
		}
		return x
	}
	for _, c := range []struct {
		name  string
		x     Template
		tiles int
		wide  bool
	}{
		{"one hole", place(Point{}), 1, false},
		{"long", place(Point{}, Point{230, 0}), 1, false},
		{"wide", place(Point{}, Point{0, 230}), 1, true},
		{"longer than a sheet", place(Point{}, Point{300, 0}), 2, false},
		{"wider than a sheet", place(Point{}, Point{0, 360}), 2, true},
		{"three upright rather than four across", place(Point{}, Point{180, 430}), 3, false},
	} {
		eachFormat(t, c.x, A4, func(t *testing.T, sheets []*found) {
			tiles := 0
			for _, s := range sheets {
				if s.lines["sheet-cross-1"] == nil {
					continue
				}
				if tiles++; (s.width > s.height) != c.wide {
					t.Errorf("%s: a tile is %v by %v mm", c.name, s.width, s.height)
				}
			}
			if tiles != c.tiles {
				t.Errorf("%s: %d tiles, want %d", c.name, tiles, c.tiles)
			}
		})
	}
}

func TestMirrored(t *testing.T) {
	x := bass()
	plain := map[string]int{}
	for name, read := range readers {
		for _, s := range read(t, x, A4) {
			if s.says("MIRRORED") {
				t.Errorf("%s: a right-handed template says MIRRORED", name)
			}
			plain[name] += len(s.texts)
		}
	}
	x.Left = true
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		texts := 0
		for i, s := range sheets {
			texts += len(s.texts)
			if !s.says("MIRRORED") {
				t.Errorf("sheet %d does not say MIRRORED", i+1)
			}
			if s.flipped {
				t.Errorf("sheet %d has mirror writing", i+1)
			}
		}
		name, _, _ := strings.Cut(strings.TrimPrefix(t.Name(), "TestMirrored/"), "_")
		if want := plain[name] + len(sheets); texts != want {
			t.Errorf("%d texts, want %d: all of the right-handed one's and the word", texts, want)
		}
	})
}

func TestEverySheetNamed(t *testing.T) {
	eachFormat(t, big(), A4, func(t *testing.T, sheets []*found) {
		for i, s := range sheets {
			for _, want := range []string{"big", fmt.Sprintf("Sheet %d of %d", i+1, len(sheets)), "100 mm"} {
				if !s.says(want) {
					t.Errorf("sheet %d does not say %q", i+1, want)
				}
			}
		}
	})
}

func TestSameBytes(t *testing.T) {
	write := func() string {
		var b strings.Builder
		x := bass()
		if err := x.PDF(&b, A4); err != nil {
			t.Fatal(err)
		}
		sheets, err := x.Sheets(A4)
		if err != nil {
			t.Fatal(err)
		}
		for i := range sheets {
			if err := sheets[i].SVG(&b); err != nil {
				t.Fatal(err)
			}
		}
		return b.String()
	}
	first := write()
	for range 5 { // an unsorted map would show in five tries
		if write() != first {
			t.Fatal("two runs differ")
		}
	}
}

// Writing is level or read from below, and each sheet has a title that tells which it is.
func TestSVGTurnsAndTitles(t *testing.T) {
	sheets, err := big().Sheets(A4)
	if err != nil {
		t.Fatal(err)
	}
	turns := 0
	for i := range sheets {
		var b strings.Builder
		if err := sheets[i].SVG(&b); err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`rotate\((\S+) `).FindAllStringSubmatch(b.String(), -1) {
			if turns++; m[1] != "-90" {
				t.Errorf("sheet %d: writing is turned by %s degrees", i+1, m[1])
			}
		}
		if want := fmt.Sprintf("<title>Drill template of big, sheet %d of %d</title>", i+1, len(sheets)); !strings.Contains(b.String(), want) {
			t.Errorf("sheet %d has no title %s", i+1, want)
		}
	}
	if turns < len(sheets) {
		t.Errorf("%d turned writings on %d sheets", turns, len(sheets))
	}
}
