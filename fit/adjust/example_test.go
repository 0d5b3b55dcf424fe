package adjust_test

import (
	"fmt"

	"neckfit/fit/adjust"
)

func ExampleCircle() {
	s, err := adjust.Circle([]adjust.Point{{X: 8, Y: 4}, {X: 3, Y: 9}, {X: -2, Y: 4}, {X: 3, Y: -1}}, adjust.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("centre (%.3f, %.3f), radius %.3f\n", s.X[0], s.X[1], s.X[2])
	// Output: centre (3.000, 4.000), radius 5.000
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
