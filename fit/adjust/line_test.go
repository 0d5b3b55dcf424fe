package adjust

import (
	"errors"
	"math"
	"testing"
)

// JCGM 100:2008 (GUM), annex H.3: calibration of a thermometer, with the correction at 30 degrees.
func TestGUMThermometer(t *testing.T) {
	var set struct {
		T         []float64 `json:"t_k"`
		B         []float64 `json:"b_k"`
		T0        float64
		Published struct {
			Y1, Y2, S   string
			SY1         string `json:"s_y1"`
			SY2         string `json:"s_y2"`
			Correlation string
			DOF         int
			B30         string `json:"b_30C"`
			U30         string `json:"u_b_30C"`
		}
	}
	published(t, "gum_h3_thermometer.json", &set)
	f, err := Line(set.T, set.B, nil, set.T0, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	at30, u30 := f.At(30)
	u1, u2 := unit(2, 0), unit(2, 1)
	for _, v := range []struct {
		what string
		got  float64
		want string
	}{
		{"y1", f.X[0], set.Published.Y1}, {"s(y1)", sd(f.Solution, 0), set.Published.SY1},
		{"y2", f.X[1], set.Published.Y2}, {"s(y2)", sd(f.Solution, 1), set.Published.SY2},
		{"r", f.Covariance(u1, u2) / (sd(f.Solution, 0) * sd(f.Solution, 1)), set.Published.Correlation},
		{"s", f.Scale, set.Published.S}, {"b(30)", at30, set.Published.B30}, {"u(b(30))", u30.Std, set.Published.U30},
	} {
		sameDigits(t, v.what, v.got, v.want, 15)
	}
	if f.DOF != set.Published.DOF {
		t.Errorf("dof %d, published %d", f.DOF, set.Published.DOF)
	}
}

type yorkSet struct {
	X, Y      []float64
	WX        []float64 `json:"weight_x"`
	WY        []float64 `json:"weight_y"`
	Published struct {
		A, B     string
		York2004 struct {
			S string `json:"S_over_n_minus_2"`
		}
		Errors struct {
			A string `json:"sigma_a"`
			B string `json:"sigma_b"`
		} `json:"standard_errors_least_squares_unscaled"`
		Reduced string `json:"reduced_chi_square"`
	}
}

func (s yorkSet) points() []YorkPoint {
	var points []YorkPoint
	for i := range s.X {
		points = append(points, YorkPoint{s.X[i], s.Y[i], 1 / math.Sqrt(s.WX[i]), 1 / math.Sqrt(s.WY[i]), 0})
	}
	return points
}

// K. Pearson's data with D. York's weights; York, Evensen, Martinez, De Basabe Delgado, Am. J.
// Phys. 72 (2004) 367-375, and the longer results of Ogren, Norton 1992 and Reed 1992.
func TestYorkPearson(t *testing.T) {
	var set yorkSet
	published(t, "york_pearson_errors_in_both.json", &set)
	line, err := YorkLine(set.points())
	if err != nil {
		t.Fatal(err)
	}
	sameDigits(t, "a", line.A, set.Published.A, 15)
	sameDigits(t, "b", line.B, set.Published.B, 15)
	sameDigits(t, "sigma a", line.StdA, set.Published.Errors.A, 15)
	sameDigits(t, "sigma b", line.StdB, set.Published.Errors.B, 15)
	sameDigits(t, "reduced chi-square", line.ChiSquare/float64(line.DOF), set.Published.Reduced, 15)
	sameDigits(t, "S/(n-2)", line.ChiSquare/float64(line.DOF), set.Published.York2004.S, 15)
}

// bilinear is y = a + b xi, with xi an unknown.
type bilinear struct{ a, b, xi int }

func (m bilinear) AppendUnknowns(list []int) []int { return append(list, m.a, m.b, m.xi) }

func (m bilinear) Eval(x, grad []float64) float64 {
	grad[m.a]++
	grad[m.b] += x[m.xi]
	grad[m.xi] += x[m.b]
	return x[m.a] + x[m.b]*x[m.xi]
}

// The same line by Solve, with each point's true x an unknown: the maximum likelihood again.
func TestYorkAgainstSolve(t *testing.T) {
	var set yorkSet
	published(t, "york_pearson_errors_in_both.json", &set)
	points := set.points()
	line, err := YorkLine(points)
	if err != nil {
		t.Fatal(err)
	}
	p := &Problem{Start: []float64{5, -0.5}}
	for i, pt := range points {
		p.Start = append(p.Start, pt.X)
		p.Rows = append(p.Rows,
			Row{Value: pt.X, Sigma: pt.StdX, Terms: []Term{{2 + i, 1}}},
			Row{Value: pt.Y, Sigma: pt.StdY, Model: bilinear{0, 1, 2 + i}})
	}
	s, err := Solve(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := len(p.Start)
	for _, v := range []struct {
		what            string
		got, want, most float64
	}{
		{"a", s.X[0], line.A, 1e-8}, {"b", s.X[1], line.B, 1e-8}, // Solve stops within 1e-9 sd, at a rate of some tenths
		{"chi-square", s.ChiSquare, line.ChiSquare, 1e-8},
		{"sd a", sd(s, 0) / s.Scale, line.StdA, 1e-8}, {"sd b", sd(s, 1) / s.Scale, line.StdB, 1e-8},
		{"cov", s.Covariance(unit(n, 0), unit(n, 1)) / s.Scale / s.Scale, line.CovAB, 1e-8},
	} {
		if math.Abs(v.got-v.want) > v.most {
			t.Errorf("%s: Solve %.12g, York %.12g", v.what, v.got, v.want)
		}
	}
	if s.DOF != line.DOF {
		t.Errorf("dof %d, York %d", s.DOF, line.DOF)
	}
}

// With exact x York's line is the weighted line; turning x and y about turns the slope about.
func TestYorkLimits(t *testing.T) {
	x, y := []float64{0, 10, 20, 30, 45}, []float64{1, 3.1, 4.8, 7.2, 10}
	sigma := []float64{0.1, 0.2, 0.1, 0.1, 0.3}
	var points, flipped []YorkPoint
	for i := range x {
		points = append(points, YorkPoint{x[i], y[i], 1e-9, sigma[i], 0})
		flipped = append(flipped, YorkPoint{y[i], x[i], sigma[i], 1e-9, 0})
	}
	line, err := YorkLine(points)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := Line(x, y, sigma, 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(line.A-plain.X[0]) > 1e-9 || math.Abs(line.B-plain.X[1]) > 1e-10 { // x is good to 1e-9
		t.Errorf("York %g + %g x, weighted line %v", line.A, line.B, plain.X)
	}
	back, err := YorkLine(flipped)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(back.B*line.B-1) > 1e-9 {
		t.Errorf("slopes %g and %g are not reciprocal", line.B, back.B)
	}
}

func TestYorkRefuses(t *testing.T) {
	good := YorkPoint{1, 1, 0.1, 0.1, 0}
	for name, points := range map[string][]YorkPoint{
		"one point": {good},
		"no spread": {good, {1, 2, 0.1, 0.1, 0}},
		"exact x":   {good, {2, 2, 0, 0.1, 0}},
	} {
		if l, err := YorkLine(points); err == nil {
			t.Errorf("%s: got %+v", name, l)
		} else if errors.Is(err, ErrNoConvergence) {
			t.Errorf("%s: %v, want it refused at once", name, err)
		}
	}
}
