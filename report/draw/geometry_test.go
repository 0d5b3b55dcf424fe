package draw

import (
	"math"
	"strings"
	"testing"
)

// Lines are clipped where they enter and leave a box, by hand.
func TestClipLine(t *testing.T) {
	b := Box{Point{10, 20}, Point{30, 60}}
	for _, c := range []struct {
		p, q, from, to Point
		ok             bool
	}{
		{Point{0, 40}, Point{40, 40}, Point{10, 40}, Point{30, 40}, true},
		{Point{20, 0}, Point{20, 100}, Point{20, 20}, Point{20, 60}, true},
		{Point{12, 30}, Point{28, 50}, Point{12, 30}, Point{28, 50}, true},
		{Point{0, 10}, Point{40, 50}, Point{10, 20}, Point{30, 40}, true},
		{Point{40, 50}, Point{0, 10}, Point{30, 40}, Point{10, 20}, true},
		{Point{0, 40}, Point{20, 40}, Point{10, 40}, Point{20, 40}, true},
		{Point{0, 0}, Point{40, 0}, Point{}, Point{}, false},
		{Point{5, 0}, Point{5, 100}, Point{}, Point{}, false},
		{Point{31, 0}, Point{31, 100}, Point{}, Point{}, false},
		{Point{0, 30}, Point{9, 30}, Point{}, Point{}, false},
		{Point{0, 55}, Point{20, 75}, Point{}, Point{}, false},
	} {
		from, to, ok := b.clipLine(c.p, c.q)
		if ok != c.ok || ok && (!close2(from, c.from) || !close2(to, c.to)) {
			t.Errorf("%v to %v: %v to %v, %v", c.p, c.q, from, to, ok)
		}
		if touches(b, c.p, c.q) != c.ok {
			t.Errorf("%v to %v touches: %v", c.p, c.q, !c.ok)
		}
	}
}

func TestCross(t *testing.T) {
	for _, c := range []struct {
		a, b, p, q Point
		want       bool
	}{
		{Point{0, 0}, Point{10, 10}, Point{0, 10}, Point{10, 0}, true},
		{Point{0, 0}, Point{4, 4}, Point{0, 10}, Point{10, 0}, false},   // the first ends before the second
		{Point{0, 10}, Point{10, 0}, Point{0, 0}, Point{4, 4}, false},   // and the other way about
		{Point{0, 0}, Point{10, 0}, Point{0, 1}, Point{10, 1}, false},   // parallel
		{Point{0, 0}, Point{10, 0}, Point{10, 0}, Point{20, 10}, false}, // end to end
	} {
		if got := cross(c.a, c.b, c.p, c.q); got != c.want {
			t.Errorf("%v-%v and %v-%v cross: %v", c.a, c.b, c.p, c.q, got)
		}
	}
}

// The first of n windows begins so that no join, which runs in the middle of an overlap, lies nearer to a
// hole than it must: held against trying every tenth of the play.
func TestBeginKeepsJoinsOffHoles(t *testing.T) {
	const low, step, overlap = -7.0, 100.0, 20.0
	gapOf := func(start float64, n int, holes []float64) float64 {
		gap := overlap / 2
		for k := 1; k < n; k++ {
			from, to := start+float64(k)*step, start+float64(k)*step+overlap // what window k shares with the one before
			for _, h := range holes {
				gap = math.Min(gap, math.Abs(h-(from+to)/2))
			}
		}
		return gap
	}
	for _, c := range []struct {
		extent float64
		n      int
		holes  []float64
	}{{190, 2, []float64{88}}, {190, 2, []float64{85, 95, 105}}, {290, 3, []float64{80, 92, 190, 205}}, {200, 2, nil}} {
		got := begin(low, c.extent, step, overlap, c.n, c.holes)
		play := float64(c.n)*step + overlap - c.extent
		if got > low || got < low-play {
			t.Errorf("%v: begins at %v, outside the play of %v before %v", c, got, play, low)
		}
		best := 0.0
		for tenth := range 11 {
			best = math.Max(best, gapOf(low-play*float64(tenth)/10, c.n, c.holes))
		}
		if gap := gapOf(got, c.n, c.holes); math.Abs(gap-best) > 1e-9 {
			t.Errorf("%v: the nearest hole is %.2f mm from a join, it could be %.2f", c, gap, best)
		}
	}
	if got := begin(low, 200, step, overlap, 2, nil); got != low-10 {
		t.Errorf("without holes it begins at %v, want in the middle of the play", got)
	}
}

func TestBoxes(t *testing.T) {
	a, b := Box{Point{0, 0}, Point{10, 20}}, Box{Point{8, 18}, Point{30, 40}}
	if a.Width() != 10 || a.Height() != 20 || a.centre() != (Point{5, 10}) || a.Grown(2) != (Box{Point{-2, -2}, Point{12, 22}}) {
		t.Errorf("a box of %v by %v mm about %v", a.Width(), a.Height(), a.centre())
	}
	if got := a.Around(b); got != (Box{Point{0, 0}, Point{30, 40}}) {
		t.Errorf("around both: %v", got)
	}
	for _, c := range []struct {
		box          Box
		laps, inside bool
	}{
		{b, true, false}, {Box{Point{10, 0}, Point{20, 20}}, false, false}, {Box{Point{0, 20}, Point{10, 30}}, false, false},
		{Box{Point{2, 2}, Point{3, 3}}, true, true}, {Box{Point{-5, 5}, Point{15, 6}}, true, false}, {Box{Point{0, 0}, Point{10, 20}}, true, true},
	} {
		if a.Overlaps(c.box) != c.laps || c.box.Overlaps(a) != c.laps || a.holdsAll(c.box) != c.inside {
			t.Errorf("%v: overlaps %v, holds %v", c.box, a.Overlaps(c.box), a.holdsAll(c.box))
		}
	}
}

// The view's page: station 0 and offset 0 at the origin, stations down, offsets to the right, or to the left
// where it is mirrored.
func TestView(t *testing.T) {
	v := View{Origin: Point{100, 50}}
	if got := v.Apply(Point{30, 7}); got != (Point{107, 80}) {
		t.Errorf("right-handed: %v", got)
	}
	v.Mirrored, v.Scale = true, 0.5
	if got := v.Apply(Point{30, 7}); got != (Point{96.5, 65}) {
		t.Errorf("left-handed, half as large: %v", got)
	}
	if got := v.box(Box{Point{0, -4}, Point{10, 6}}); got != (Box{Point{97, 50}, Point{102, 55}}) {
		t.Errorf("a box: %v", got)
	}
}

// Text is broken at spaces, no line longer than the room, and what does not fit ends in an ellipsis.
func TestWrap(t *testing.T) {
	f := Font{Size: 3}
	text := "Lay the bold lines on the end and the walls of the pocket"
	lines := wrap(text, f, 30, 9)
	if strings.Join(lines, " ") != text || len(lines) < 3 {
		t.Errorf("%q", lines)
	}
	for i, line := range lines {
		if Width(line, f) > 30 {
			t.Errorf("line %d is %.1f mm long", i+1, Width(line, f))
		}
		if next := i + 1; next < len(lines) {
			word, _, _ := strings.Cut(lines[next], " ")
			if Width(line+" "+word, f) <= 30 {
				t.Errorf("line %d has room for %q", i+1, word)
			}
		}
	}
	if cut := wrap(text, f, 30, 2); len(cut) != 2 || !strings.HasSuffix(cut[1], "…") {
		t.Errorf("two lines: %q", cut)
	}
}

// What is absurdly large is not hatched, wherever it lies; what is far off but small is.
func TestHatchOfAbsurdSize(t *testing.T) {
	square := func(at, side float64) []Point {
		return []Point{{at, at}, {at + side, at}, {at + side, at + side}, {at, at + side}}
	}
	for _, c := range []struct {
		at, side float64
		want     bool
	}{{-2000, 4000, false}, {-1500, 3000, false}, {4000, 20, true}, {-10, 20, true}} {
		var l lines
		hatch(&l, square(c.at, c.side), Style{})
		if (len(l.all) > 0) != c.want {
			t.Errorf("a square of %v mm at %v has %d lines", c.side, c.at, len(l.all))
		}
	}
}
