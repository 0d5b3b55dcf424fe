package draw

import (
	"math"
	"testing"
)

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
