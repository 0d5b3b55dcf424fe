package adjust_test

import (
	"fmt"

	"neckfit/fit/adjust"
)

// A side read at three stations, and what it comes to at a fourth.
func ExampleLine() {
	stations := []float64{20, 140, 260}
	offsets := []float64{4.1, 5.3, 6.5}
	sigma := []float64{0.05, 0.05, 0.05}
	side, err := adjust.Line(stations, offsets, sigma, 140, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	y, u := side.At(400)
	fmt.Printf("at 400: %.2f, standard uncertainty %.3f\n", y, u.Std)
	// Output: at 400: 7.90, standard uncertainty 0.082
}

func ExamplePolynomial() {
	x := []float64{-2, -1, 0, 1, 2}
	y := []float64{9, 4, 1, 0, 1} // (x-1)^2
	f, err := adjust.Polynomial(x, y, nil, 2, 0, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f %.3f %.3f\n", f.X[0], f.X[1], f.X[2])
	// Output: 1.000 -2.000 1.000
}

func ExampleYorkLine() {
	line, err := adjust.YorkLine([]adjust.YorkPoint{
		{X: 0, Y: 1, StdX: 0.1, StdY: 0.1},
		{X: 1, Y: 3, StdX: 0.1, StdY: 0.1},
		{X: 2, Y: 5, StdX: 0.1, StdY: 0.2},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("y = %.3f + %.3f x\n", line.A, line.B)
	// Output: y = 1.000 + 2.000 x
}

func ExampleCircle() {
	s, err := adjust.Circle([]adjust.Point{{X: 8, Y: 4}, {X: 3, Y: 9}, {X: -2, Y: 4}, {X: 3, Y: -1}}, nil, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("centre (%.3f, %.3f), radius %.3f\n", s.X[0], s.X[1], s.X[2])
	// Output: centre (3.000, 4.000), radius 5.000
}

func ExamplePlane() {
	places := []adjust.Point{{X: 0, Y: 0}, {X: 70, Y: 0}, {X: 0, Y: 56}, {X: 70, Y: 56}}
	floor, err := adjust.Plane(places, []float64{-16, -16.14, -15.944, -16.084}, []float64{0.05, 0.05, 0.05, 0.05}, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("slope along %.4f, across %.4f\n", floor.X[1], floor.X[2])
	// Output: slope along -0.0020, across 0.0010
}

// A plate's four holes found on a body, turned by a quarter and shifted.
func ExampleRigid() {
	plate := []adjust.Point{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 40}, {X: 0, Y: 40}}
	body := []adjust.Point{{X: 300, Y: 10}, {X: 300, Y: 70}, {X: 260, Y: 70}, {X: 260, Y: 10}}
	f, err := adjust.Rigid(plate, body, nil, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	middle := f.Apply(adjust.Point{X: 30, Y: 20})
	fmt.Printf("turned by %.4f rad, middle at (%.1f, %.1f)\n", f.X[0], middle.X, middle.Y)
	// Output: turned by 1.5708 rad, middle at (280.0, 40.0)
}

func ExampleSimilarity() {
	from := []adjust.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1}}
	to := []adjust.Point{{X: 5, Y: 5}, {X: 7, Y: 5}, {X: 5, Y: 7}}
	f, err := adjust.Similarity(from, to, nil, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("scale %.3f\n", f.X[3])
	// Output: scale 2.000
}

// Two sides and a calliper across them: the last width is a slip of 2 mm, and is named.
func ExampleSolve() {
	bass, treble := adjust.Side{A: 0, B: 1, C: 100}, adjust.Side{A: 2, B: 3, C: 100}
	p := &adjust.Problem{Start: make([]float64, 4)}
	for _, station := range []float64{0, 100, 200} {
		p.Rows = append(p.Rows,
			adjust.Row{Value: 10, Sigma: 0.1, Terms: bass.On(station)},
			adjust.Row{Value: 70, Sigma: 0.1, Terms: treble.On(station)})
	}
	for _, width := range []float64{60, 60, 62} {
		p.Rows = append(p.Rows, adjust.Row{Value: width, Sigma: 0.1, Model: adjust.WidthAcross(bass, treble, 150)})
	}
	s, err := adjust.Solve(p, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, suspect := range s.Suspects() {
		fmt.Printf("row %d is off by about %.1f mm\n", suspect.Row, suspect.Error)
	}
	// Output: row 8 is off by about 2.0 mm
}
