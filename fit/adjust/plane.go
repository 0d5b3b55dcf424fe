package adjust

import "errors"

// OnPlane are the terms of a reading z at (x, y) of the plane z = a + b x + c y. Take x and y
// from a centre near the middle of the readings.
func OnPlane(a, b, c int, x, y float64) []Term {
	return []Term{{a, 1}, {b, x}, {c, y}}
}

// Surface is a plane z = X[0] + X[1] (x - About.X) + X[2] (y - About.Y).
type Surface struct {
	*Solution
	About Point
}

// Plane fits heights z at places by the least sum of squared height misfits over sigma^2 (one
// standard deviation a height; nil for all 1). Heights on a line leave a free direction (Null).
func Plane(places []Point, z, sigma []float64, o Options) (*Surface, error) {
	if len(z) != len(places) {
		panic("adjust: one height for each place")
	}
	if len(z) == 0 {
		return nil, errors.New("a plane needs heights")
	}
	sigma = sigmas(sigma, len(z))
	f := &Surface{About: centroid(places, sigma)}
	p := &Problem{Start: make([]float64, 3)}
	for i, at := range places {
		p.Rows = append(p.Rows, Row{Value: z[i], Sigma: sigma[i], Terms: OnPlane(0, 1, 2, at.X-f.About.X, at.Y-f.About.Y)})
	}
	var err error
	f.Solution, err = Solve(p, o)
	if err != nil {
		return nil, err
	}
	return f, nil
}

// At is the height at a place, with its uncertainty.
func (f *Surface) At(p Point) (float64, Uncertainty) {
	g := []float64{1, p.X - f.About.X, p.Y - f.About.Y}
	return dot(g, f.X), f.Uncertainty(g)
}
