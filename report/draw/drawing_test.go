package draw

import (
	"math"
	"strings"
	"testing"
)

// sketch is a drawing such as a report shows: not full size, neck to the left.
func sketch() *Drawing {
	var d Drawing
	d.Group(Group{ID: "pocket", Class: "part", Title: "the <pocket>"}, func() {
		d.Polygon([]Point{{0, -28}, {76, -28}, {76, 28}, {0, 28}}, Style{Fill: Hatched, Ink: Blue})
	})
	d.Group(Group{ID: "at"}, func() { d.Cross(Point{300, 12}, 5, Style{Width: 0.1}) })
	d.Circle(Point{300, 12}, 4, Style{Dash: Dashed})
	d.Text(Point{150, 0}, "centre line", Font{Anchor: Middle})
	return &d
}

// TestPicture reads the svg element back: its place on paper is that of the drawing, turned,
// scaled and mirrored by hand.
func TestPicture(t *testing.T) {
	for _, c := range []struct {
		name string
		view View
		want Point // from the pocket's outer corner at 0, -28 to the cross at 300, 12
	}{
		{"up", View{}, Point{40, 300}},
		{"up, left-handed", View{Mirrored: true}, Point{-40, 300}},
		{"left", View{Turn: NeckLeft}, Point{300, -40}},
		{"left, left-handed", View{Turn: NeckLeft, Mirrored: true}, Point{300, 40}},
		{"half size", View{Turn: NeckLeft, Scale: 0.5}, Point{150, -20}},
	} {
		var b strings.Builder
		if err := sketch().SVG(&b, Picture{View: c.view, Border: 3, Title: `a "title"`, Prefix: "s7-"}); err != nil {
			t.Fatal(err)
		}
		f := readSVG(t, b.String())
		at, ok := f.crossing(t, "at")
		if !ok {
			t.Fatalf("%s: no cross", c.name)
		}
		corner, nearest := Point{}, math.Inf(1)
		for _, l := range f.lines["pocket"] {
			for _, p := range l {
				if miss := at.minus(p).minus(c.want).length(); miss < nearest {
					corner, nearest = p, miss
				}
			}
		}
		if nearest > near {
			t.Errorf("%s: no corner of the pocket at %v from the cross, nearest at %v", c.name, c.want, at.minus(corner))
		}
		if inside := (Box{Max: Point{f.width, f.height}}).Grown(-3 + near); !inside.holds(at) || !inside.holds(corner) {
			t.Errorf("%s: a mark leaves the picture", c.name)
		}
		if f.flipped || !f.says("centre line") {
			t.Errorf("%s: the writing is not readable", c.name)
		}
		for _, want := range []string{`id="s7-pocket"`, `class="part"`, "<title>the &lt;pocket&gt;</title>"} {
			if !strings.Contains(b.String(), want) {
				t.Errorf("%s: no %s", c.name, want)
			}
		}
	}
}

func TestNothingToDraw(t *testing.T) {
	var empty, lost Drawing
	lost.Circle(Point{math.NaN(), 0}, 1, Style{})
	lost.Line(Point{}, Point{math.Inf(1), 0}, Style{})
	for _, d := range []*Drawing{&empty, &lost} {
		var b strings.Builder
		if err := d.SVG(&b, Picture{}); err == nil || b.Len() > 0 {
			t.Errorf("a picture of %d bytes without an error", b.Len())
		}
	}
}

// lines is a canvas that keeps the length and the ends of what is drawn.
type lines struct {
	canvas
	all [][2]Point
}

func (l *lines) path(p []Point, _ bool, _ Style) { l.all = append(l.all, [2]Point{p[0], p[1]}) }

// TestHatch compares the hatch with area: lines a pitch apart and as long as the shape is wide
// cover it, so that length times pitch is the area but for the ends. It is tried on a shape with
// a bay, where a line is broken.
func TestHatch(t *testing.T) {
	bay := []Point{{0, 0}, {90, 0}, {90, 60}, {60, 60}, {60, 20}, {30, 20}, {30, 60}, {0, 60}}
	const area = 90*60 - 30*40
	var l lines
	hatch(&l, bay, Style{})
	sum := 0.0
	for _, s := range l.all {
		sum += s[1].minus(s[0]).length() * hatchPitch
		middle := s[0].along(s[1], 0.5)
		if inBay := middle.X > 30 && middle.X < 60 && middle.Y > 20; inBay || !boxOf(bay...).Grown(near).holds(middle) {
			t.Errorf("a hatch line about %v, outside the shape", middle)
		}
	}
	if math.Abs(sum-area) > 0.02*area { // the rule of midpoints, 100 lines: better than 2 %
		t.Errorf("the hatch covers %v mm2, want %v", sum, area)
	}
}

// TestWidth holds against the widths that the typeface's licence promises: those of the common
// sans-serif, whose digits are all 556 and whose A is 667 thousandths wide (PDF's standard font
// metrics).
func TestWidth(t *testing.T) {
	f := Font{Size: 10}
	for text, want := range map[string]float64{"0123456789": 55.6, "A": 6.67, "": 0} {
		if got := Width(text, f); math.Abs(got-want) > 0.02 { // the font has 2048 units to the size
			t.Errorf("%q is %v mm wide, want %v", text, got, want)
		}
	}
}

func TestTenthHasNoMinusZero(t *testing.T) {
	if got := tenth(-0.04); got != "0.0" {
		t.Errorf("-0.04 becomes %s", got)
	}
}
