package adjust

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

type circleRow struct {
	p       Point
	x, y, r int
}

// OnCircle is the distance of point p outward from the circle whose centre and radius are the
// unknowns x, y and r: |p - c| - r. A row that wants p on the circle has Value 0.
func OnCircle(p Point, x, y, r int) Model { return circleRow{p, x, y, r} }

func (c circleRow) AppendUnknowns(list []int) []int { return append(list, c.x, c.y, c.r) }

func (c circleRow) Eval(x, grad []float64) float64 {
	dx, dy := c.p.X-x[c.x], c.p.Y-x[c.y]
	length := math.Hypot(dx, dy)
	if length > 0 { // at the centre itself no direction is nearer
		grad[c.x] -= dx / length
		grad[c.y] -= dy / length
	}
	grad[c.r]--
	return length - x[c.r]
}

// Circle minimises the squared distances of the points from a circle over sigma^2 (one standard
// deviation a point, square to the circle; nil for all 1). X holds the centre's x and y and the
// radius. It needs 3 points that are not on a line; with 3 there is nothing over to judge by.
// It starts from the algebraic circle (Gander, Golub, Strebel, BIT 34, 1994).
func Circle(points []Point, sigma []float64, o Options) (*Solution, error) {
	sigma = sigmas(sigma, len(points))
	if len(points) < 3 {
		return nil, errors.New("a circle needs 3 points or more")
	}
	g := centroid(points, sigma)
	about := make([]Point, len(points))
	for i, p := range points {
		about[i] = Point{p.X - g.X, p.Y - g.Y}
	}
	x, y, r, err := algebraicCircle(about)
	if err != nil {
		return nil, err
	}
	p := &Problem{Start: []float64{x + g.X, y + g.Y, r}}
	for i := range points {
		p.Rows = append(p.Rows, Row{Sigma: sigma[i], Model: OnCircle(points[i], 0, 1, 2)})
	}
	return Solve(p, o)
}

// straight is the curvature times the size of the points below which they lie on a line but for
// rounding.
const straight = 1e-9

// algebraicCircle minimises |B u|, |u| = 1, for a(x^2+y^2) + b1 x + b2 y + c = 0: u is the
// direction of B's least singular value.
func algebraicCircle(points []Point) (x, y, r float64, err error) {
	b := mat.NewDense(len(points), 4, nil)
	size := 0.0
	for i, p := range points {
		b.SetRow(i, []float64{p.X*p.X + p.Y*p.Y, p.X, p.Y, 1})
		size = max(size, math.Hypot(p.X, p.Y))
	}
	var svd mat.SVD
	if !svd.Factorize(b, mat.SVDFullV) {
		return 0, 0, 0, errors.New("the points leave the numbers")
	}
	var v mat.Dense
	svd.VTo(&v)
	a, b1, b2, c := v.At(0, 3), v.At(1, 3), v.At(2, 3), v.At(3, 3)
	if !(math.Abs(a)*size > straight*math.Hypot(b1, b2)) {
		return 0, 0, 0, errors.New("the points lie on a line")
	}
	x, y = -b1/(2*a), -b2/(2*a)
	return x, y, math.Sqrt(max(0, x*x+y*y-c/a)), nil
}
