package draw

import (
	"fmt"
	"testing"
)

// TestCallouts wants, in the finished file, a callout for every hole, none over another, over a
// hole's mark or outside the frame.
func TestCallouts(t *testing.T) {
	x := bass()
	// six strings at 10.5 mm, the closest row in the trade's usual sizes (TRADE: spacings in use)
	for i := range 6 {
		x.Holes = append(x.Holes, Hole{
			Name: fmt.Sprintf("string %d", i+5), At: Point{120, float64(i)*10.5 - 26}, Action: PlugAndDrill,
			Old: &Point{121, float64(i)*10.5 - 27}, OldDia: 3.2, Plug: 6, Pilot: 3.2,
		})
	}
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		seen := map[int]bool{}
		for _, s := range sheets {
			var boxes, marks []Box
			for i := range x.Holes {
				if at, ok := s.crossing(t, fmt.Sprintf("hole-%d-at", i+1)); ok && s.frame().holds(at) {
					marks = append(marks, boxOf(at).Grown(2))
				}
				b := s.calloutBox(i + 1)
				if b == Empty() {
					continue
				}
				seen[i] = true
				boxes = append(boxes, b)
				if !s.frame().holdsAll(b) {
					t.Errorf("the callout of hole %d leaves the frame", i+1)
				}
			}
			for i, b := range boxes {
				for _, o := range append(append([]Box(nil), boxes[:i]...), marks...) {
					if b.Overlaps(o) {
						t.Errorf("a callout at %v lies over something at %v", b, o)
					}
				}
			}
		}
		if len(seen) != len(x.Holes) {
			t.Errorf("%d of %d holes have a callout", len(seen), len(x.Holes))
		}
	})
}

// calloutBox is the white ground of a callout: all its lines but the first, the leader.
func (f *found) calloutBox(hole int) Box {
	b := Empty()
	lines := f.lines[fmt.Sprintf("callout-%d", hole)]
	for i, l := range lines {
		if i > 0 {
			b = b.Around(boxOf(l[:]...))
		}
	}
	return b
}

// TestCrowd has more holes in a place than names can stand beside: the sheet must say so.
func TestCrowd(t *testing.T) {
	x := Template{Kit: "k"}
	for i := range 300 {
		x.Holes = append(x.Holes, Hole{Name: "hole of a long name", At: Point{float64(i/20) * 11, float64(i%20) * 8}, Action: DrillFresh, Pilot: 2})
	}
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		said := false
		for _, s := range sheets {
			said = said || s.says("stand too close for their names")
		}
		if !said {
			t.Error("names are missing without a word")
		}
	})
}
