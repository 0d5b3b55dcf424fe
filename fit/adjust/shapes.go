package adjust

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Point is a place in a plane, both coordinates in one unit.
type Point struct{ X, Y float64 }

type distance struct{ x1, y1, x2, y2 int }

// DistanceBetween is the distance of two points in a plane, sqrt((x2-x1)^2 + (y2-y1)^2), whose coordinates
// are unknowns. Where the points coincide it has no direction and its derivatives are taken as zero, so start
// them apart.
func DistanceBetween(x1, y1, x2, y2 int) Model { return distance{x1, y1, x2, y2} }

// AppendUnknowns adds both points' coordinates.
func (d distance) AppendUnknowns(list []int) []int { return append(list, d.x1, d.y1, d.x2, d.y2) }

// Eval is the distance, mm.
func (d distance) Eval(x, grad []float64) float64 {
	dx, dy := x[d.x2]-x[d.x1], x[d.y2]-x[d.y1]
	length := math.Hypot(dx, dy)
	if length == 0 {
		return length
	}
	grad[d.x1] -= dx / length
	grad[d.x2] += dx / length
	grad[d.y1] -= dy / length
	grad[d.y2] += dy / length
	return length
}

type circleRow struct {
	p       Point
	x, y, r int
}

// OnCircle is the distance of point p outward from the circle whose centre and radius are the
// unknowns x, y and r: |p - c| - r. A row that wants p on the circle has Value 0.
func OnCircle(p Point, x, y, r int) Model { return circleRow{p, x, y, r} }

// AppendUnknowns adds the centre's coordinates and the radius.
func (c circleRow) AppendUnknowns(list []int) []int { return append(list, c.x, c.y, c.r) }

// Eval is the point's distance outward from the circle, mm.
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

// Circle minimises the squared distances of the points from a circle, all alike. X holds the centre's x and y
// and the radius. It needs 3 points that are not on a line; with 3 there is nothing over to judge by.
// It starts from the algebraic circle (Gander, Golub, Strebel, BIT 34, 1994).
func Circle(points []Point, o Options) (*Solution, error) {
	if len(points) < 3 {
		return nil, errors.New("a circle needs 3 points or more")
	}
	var middle Point
	for _, p := range points {
		middle.X += p.X / float64(len(points))
		middle.Y += p.Y / float64(len(points))
	}
	x, y, r, err := algebraicCircle(points, middle)
	if err != nil {
		return nil, err
	}
	p := &Problem{Start: []float64{x, y, r}}
	for i := range points {
		p.Rows = append(p.Rows, Row{Sigma: 1, Model: OnCircle(points[i], 0, 1, 2)})
	}
	return Solve(p, o)
}

// straight is the curvature times the size of the points below which they lie on a line but for
// rounding.
const straight = 1e-9

// algebraicCircle minimises |B u|, |u| = 1, for a(x^2+y^2) + b1 x + b2 y + c = 0: u is the
// direction of B's least singular value. Points are taken from their middle.
func algebraicCircle(points []Point, middle Point) (x, y, r float64, err error) {
	b := mat.NewDense(len(points), 4, nil)
	size := 0.0
	for i, p := range points {
		p.X -= middle.X
		p.Y -= middle.Y
		b.SetRow(i, []float64{p.X*p.X + p.Y*p.Y, p.X, p.Y, 1})
		size = max(size, math.Hypot(p.X, p.Y))
	}
	var svd mat.SVD
	if !svd.Factorize(b, mat.SVDFullV) {
		return x, y, r, errors.New("the points leave the numbers")
	}
	var v mat.Dense
	svd.VTo(&v)
	a, b1, b2, c := v.At(0, 3), v.At(1, 3), v.At(2, 3), v.At(3, 3)
	if !(math.Abs(a)*size > straight*math.Hypot(b1, b2)) {
		return x, y, r, errors.New("the points lie on a line")
	}
	x, y = -b1/(2*a), -b2/(2*a)
	return x + middle.X, y + middle.Y, math.Sqrt(max(0, x*x+y*y-c/a)), nil
}
