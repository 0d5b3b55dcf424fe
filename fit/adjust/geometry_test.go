package adjust

import "testing"

// Moving and scaling the points moves and scales the circle.
func TestCircleMovesAndScales(t *testing.T) {
	shape := []Point{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}}
	plain, err := Circle(shape, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, scale := range []float64{0.001, 1, 300} {
		var points []Point
		for _, p := range shape {
			points = append(points, Point{scale*p.X + 500, scale*p.Y - 40})
		}
		s, err := Circle(points, Options{UnknownScale: true})
		if err != nil {
			t.Fatal(err)
		}
		// the steps end at 1e-9 of a unit sigma, or at the rounding of numbers near 500
		within := 1e-6 * scale
		near(t, "x", s.X[0], scale*plain.X[0]+500, within)
		near(t, "y", s.X[1], scale*plain.X[1]-40, within)
		near(t, "r", s.X[2], scale*plain.X[2], within)
		near(t, "sd of r", sd(s, 2), scale*sd(plain, 2), within)
	}
}

func TestCircleRefuses(t *testing.T) {
	for name, points := range map[string][]Point{
		"two points": {{0, 0}, {1, 1}},
		"a line":     {{0, 1}, {1, 3}, {2, 5}, {5, 11}},
		"one place":  {{2, 1}, {2, 1}, {2, 1}},
	} {
		if s, err := Circle(points, Options{}); err == nil {
			t.Errorf("%s: got a circle %v", name, s.X)
		}
	}
}
