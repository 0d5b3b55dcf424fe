package adjust

import (
	"fmt"
	"math"
	"testing"
)

// W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558-578: algebraic and geometric circle. The
// standard deviations are recomputed (see testdata/published/README.md), not in the paper.
func TestCircleGander(t *testing.T) {
	var set struct {
		Points     [][2]float64
		Published  struct{ Algebraic, Geometric struct{ X, Y, R string } }
		Recomputed struct {
			Geometric struct {
				SS  float64 `json:"sum_sq_residuals"`
				SDX float64 `json:"sd_x"`
				SDY float64 `json:"sd_y"`
				SDR float64 `json:"sd_r"`
			}
		}
	}
	published(t, "circle_gander_golub_strebel_1994.json", &set)
	var points []Point
	for _, p := range set.Points {
		points = append(points, Point{p[0], p[1]})
	}
	x, y, r, err := algebraicCircle(points)
	if err != nil {
		t.Fatal(err)
	}
	a, g := set.Published.Algebraic, set.Published.Geometric
	for what, v := range map[string]struct {
		got  float64
		want string
	}{"x": {x, a.X}, "y": {y, a.Y}, "r": {r, a.R}} {
		sameDigits(t, "algebraic "+what, v.got, v.want, 15)
	}
	s, err := Circle(points, nil, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	for j, want := range []string{g.X, g.Y, g.R} {
		sameDigits(t, fmt.Sprintf("geometric %d", j), s.X[j], want, 15)
	}
	re := set.Recomputed.Geometric
	for j, want := range []float64{re.SDX, re.SDY, re.SDR} {
		if got := sd(s, j); math.Abs(got-want) > 1e-5*want { // given to six digits
			t.Errorf("sd %d = %g, recomputed %g", j, got, want)
		}
	}
	if math.Abs(s.ChiSquare-re.SS) > 1e-9 { // given to ten decimals, the iteration stops at 1e-9
		t.Errorf("sum of squares %.12g, recomputed %.12g", s.ChiSquare, re.SS)
	}
}

// Moving and scaling the points moves and scales the circle.
func TestCircleMovesAndScales(t *testing.T) {
	shape := []Point{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}}
	plain, err := Circle(shape, nil, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, scale := range []float64{0.001, 1, 300} {
		var points []Point
		for _, p := range shape {
			points = append(points, Point{scale*p.X + 500, scale*p.Y - 40})
		}
		s, err := Circle(points, nil, Options{UnknownScale: true})
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
		if s, err := Circle(points, nil, Options{}); err == nil {
			t.Errorf("%s: got a circle %v", name, s.X)
		}
	}
}

// S. Umeyama, IEEE PAMI 13(4) (1991) 376-380, numerical example: the best orthogonal matrix is a
// reflection, the rotation must still be proper. The rigid result is recomputed, not published.
func TestPatternUmeyama(t *testing.T) {
	var set struct {
		A, B      [][2]float64
		Published struct {
			R [2][2]string
			T [2]string
			C string
		}
		Recomputed struct {
			MSE float64 `json:"mean_sq_error"`
		}
		Rigid struct {
			T   [2]float64
			MSE float64 `json:"mean_sq_error"`
			Deg float64 `json:"angle_deg"`
		} `json:"recomputed_rigid_c_1"`
	}
	published(t, "registration_umeyama_1991.json", &set)
	var a, b []Point
	for i := range set.A {
		a = append(a, Point{set.A[i][0], set.A[i][1]})
		b = append(b, Point{set.B[i][0], set.B[i][1]})
	}
	f, err := Similarity(a, b, nil, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	sin, cos := math.Sincos(f.X[0])
	zero := f.Apply(Point{})
	sameDigits(t, "R11", cos, set.Published.R[0][0], 15)
	sameDigits(t, "R12", -sin, set.Published.R[0][1], 15)
	sameDigits(t, "t1", zero.X, set.Published.T[0], 15)
	sameDigits(t, "t2", zero.Y, set.Published.T[1], 15)
	sameDigits(t, "c", f.X[3], set.Published.C, 15)
	if got := f.ChiSquare / 3; math.Abs(got-set.Recomputed.MSE) > 1e-11 { // given to 12 digits
		t.Errorf("mean square error %.13g, recomputed %.13g", got, set.Recomputed.MSE)
	}
	f, err = Rigid(a, b, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	zero = f.Apply(Point{})
	for what, v := range map[string][2]float64{
		"angle": {f.X[0] * 180 / math.Pi, set.Rigid.Deg},
		"t1":    {zero.X, set.Rigid.T[0]}, "t2": {zero.Y, set.Rigid.T[1]},
		"mean square error": {f.ChiSquare / 3, set.Rigid.MSE},
	} {
		if math.Abs(v[0]-v[1]) > 1e-8 { // given to 9 decimals of degrees
			t.Errorf("rigid %s = %.12g, recomputed %.12g", what, v[0], v[1])
		}
	}
}

// Moving the second pattern moves the fit and leaves residuals and uncertainties.
func TestRigidMoves(t *testing.T) {
	from := []Point{{0, 0}, {60, 1}, {59, 40}, {2, 41}}
	to := []Point{{100.1, 50}, {160.1, 51.1}, {159, 90.2}, {102, 91}}
	sigma := []float64{0.1, 0.2, 0.1, 0.3}
	plain, err := Rigid(from, to, sigma, Options{})
	if err != nil {
		t.Fatal(err)
	}
	motion := PatternFit{&Solution{X: []float64{2.9, -30, 12}}, Point{5, 6}}
	moved := make([]Point, len(to))
	for i := range to {
		moved[i] = motion.Apply(to[i])
	}
	turned, err := Rigid(from, moved, sigma, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// the iteration stops within 1e-9 standard deviations of 0.1
	if d := turned.X[0] - plain.X[0] - 2.9; math.Abs(math.Remainder(d, 2*math.Pi)) > 1e-10 {
		t.Errorf("angle off by %g", d)
	}
	want := motion.Apply(plain.Apply(Point{70, 70}))
	if got := turned.Apply(Point{70, 70}); math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-9 {
		t.Errorf("moved fit gives %v, want %v", got, want)
	}
	if math.Abs(turned.ChiSquare-plain.ChiSquare) > 1e-8*plain.ChiSquare || math.Abs(sd(turned.Solution, 0)-sd(plain.Solution, 0)) > 1e-9*sd(plain.Solution, 0) {
		t.Errorf("moving changed the misfit or the angle's uncertainty")
	}
}

func TestRigidRefuses(t *testing.T) {
	same := []Point{{3, 3}, {3, 3}}
	if _, err := Rigid(same, []Point{{0, 0}, {1, 0}}, nil, Options{}); err == nil {
		t.Error("one place twice fixed a rotation")
	}
	if _, err := Rigid(same[:1], same[:1], nil, Options{}); err == nil {
		t.Error("one point fixed a rotation")
	}
}

func TestPlaneThroughExactHeights(t *testing.T) {
	places := []Point{{0, 0}, {80, 0}, {0, 60}, {80, 60}, {33, 20}}
	var z []float64
	for _, p := range places {
		z = append(z, 5+0.01*p.X-0.02*p.Y)
	}
	f, err := Plane(places, z, []float64{0.1, 0.1, 0.2, 0.1, 0.1}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := f.At(Point{200, -40}); math.Abs(got-7.8) > 1e-12 || math.Abs(f.X[1]-0.01) > 1e-15 || math.Abs(f.X[2]+0.02) > 1e-15 {
		t.Errorf("height %g, slopes %v; want 7.8, 0.01, -0.02", got, f.X[1:])
	}
	line, err := Plane(places[:2], z[:2], nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if line.Estimable([]float64{0, 0, 1}) || !line.Estimable([]float64{0, 1, 0}) {
		t.Error("two heights along x fix the slope along x and no other")
	}
}
