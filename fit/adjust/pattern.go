package adjust

import (
	"errors"
	"math"
)

// Point is a place in a plane, both coordinates in one unit.
type Point struct{ X, Y float64 }

// Turned is where a rigid motion takes one pattern: the unknown Theta (radians, from x toward y)
// and the unknowns TX and TY.
type Turned struct{ Theta, TX, TY int }

// moved is one coordinate of a moved point; scale is the index of an unknown, or -1 for 1.
type moved struct {
	motion Turned
	scale  int
	x, y   Coord
	wantY  bool
}

// MovedX is the x of a pattern's point (x, y) once moved: tx + x cos(theta) - y sin(theta).
func MovedX(m Turned, x, y Coord) Model { return moved{m, -1, x, y, false} }

// MovedY is the y of a pattern's point (x, y) once moved: ty + x sin(theta) + y cos(theta).
func MovedY(m Turned, x, y Coord) Model { return moved{m, -1, x, y, true} }

func (m moved) AppendUnknowns(list []int) []int {
	shift := m.motion.TX
	if m.wantY {
		shift = m.motion.TY
	}
	list = append(m.y.appendTo(m.x.appendTo(list)), m.motion.Theta, shift)
	if m.scale >= 0 {
		list = append(list, m.scale)
	}
	return list
}

func (m moved) Eval(x, grad []float64) float64 {
	sin, cos := math.Sincos(x[m.motion.Theta])
	scale := 1.0
	if m.scale >= 0 {
		scale = x[m.scale]
	}
	px, py := m.x.at(x), m.y.at(x)
	shift, alongX, alongY, turned := m.motion.TX, cos, -sin, -px*sin-py*cos
	if m.wantY {
		shift, alongX, alongY, turned = m.motion.TY, sin, cos, px*cos-py*sin
	}
	value := px*alongX + py*alongY
	grad[shift]++
	grad[m.motion.Theta] += scale * turned
	m.x.slope(scale*alongX, grad)
	m.y.slope(scale*alongY, grad)
	if m.scale >= 0 {
		grad[m.scale] += value
	}
	return x[shift] + scale*value
}

// PatternFit is a motion of one point pattern onto another. X holds theta (radians), tx, ty and,
// for Similarity, the scale c; about the first pattern's weighted centroid g the motion is
// b = c R(theta) (a - g) + t. Rows 2i and 2i+1 are point i's x and y.
type PatternFit struct {
	*Solution
	About Point // g
}

// Apply takes a point of the first pattern to the second's frame.
func (f *PatternFit) Apply(a Point) Point {
	sin, cos := math.Sincos(f.X[0])
	c := f.factor()
	x, y := c*(a.X-f.About.X), c*(a.Y-f.About.Y)
	return Point{f.X[1] + x*cos - y*sin, f.X[2] + x*sin + y*cos}
}

func (f *PatternFit) factor() float64 {
	if len(f.X) > 3 {
		return f.X[3]
	}
	return 1
}

// Rigid turns and shifts pattern from onto pattern to, by the least sum of squared distances over
// sigma^2, one standard deviation (of each coordinate) a point, nil for all 1. The rotation is
// proper also where a mirror image would fit better. It errs on fewer than 2 points or where
// the points fix no rotation.
func Rigid(from, to []Point, sigma []float64, o Options) (*PatternFit, error) {
	return fitPattern(from, to, sigma, o, false)
}

// Similarity is Rigid with a common scale as a fourth parameter (Umeyama, IEEE PAMI 13, 1991).
func Similarity(from, to []Point, sigma []float64, o Options) (*PatternFit, error) {
	return fitPattern(from, to, sigma, o, true)
}

var errNoRotation = errors.New("the points fix no rotation")

// fitPattern starts Gauss-Newton at the closed solution, which is exact for point-wise sigmas.
func fitPattern(from, to []Point, sigma []float64, o Options, scaled bool) (*PatternFit, error) {
	if len(from) != len(to) {
		panic("adjust: patterns of different length")
	}
	if len(from) < 2 {
		return nil, errors.New("a pattern needs 2 points or more")
	}
	sigma = sigmas(sigma, len(from))
	g, start, err := closedMotion(from, to, sigma)
	if err != nil {
		return nil, err
	}
	scale := -1
	if scaled {
		scale = 3
	} else {
		start = start[:3]
	}
	p := &Problem{Start: start}
	for i, a := range from {
		x, y := Fixed(a.X-g.X), Fixed(a.Y-g.Y)
		motion := Turned{0, 1, 2}
		p.Rows = append(p.Rows,
			Row{Value: to[i].X, Sigma: sigma[i], Model: moved{motion, scale, x, y, false}},
			Row{Value: to[i].Y, Sigma: sigma[i], Model: moved{motion, scale, x, y, true}})
	}
	s, err := Solve(p, o)
	if err != nil {
		return nil, err
	}
	return &PatternFit{s, g}, nil
}

// noRotation is the size of the patterns' product, relative to their sizes, below which its angle
// is rounding.
const noRotation = 1e-12

// closedMotion is the least-squares motion for weights by point: with both patterns about their
// weighted centroids, theta = atan2(sum w a x b, sum w a.b), and the scale is the length of those
// two sums over sum w a.a. In a plane no determinant needs mending: the angle is of a rotation.
func closedMotion(from, to []Point, sigma []float64) (g Point, start []float64, err error) {
	g, t := centroid(from, sigma), centroid(to, sigma)
	var dots, crosses, sizeA, sizeB float64
	for i := range from {
		w := 1 / (sigma[i] * sigma[i])
		ax, ay, bx, by := from[i].X-g.X, from[i].Y-g.Y, to[i].X-t.X, to[i].Y-t.Y
		dots += w * (ax*bx + ay*by)
		crosses += w * (ax*by - ay*bx)
		sizeA += w * (ax*ax + ay*ay)
		sizeB += w * (bx*bx + by*by)
	}
	length := math.Hypot(dots, crosses)
	if !(length > noRotation*math.Sqrt(sizeA*sizeB)) {
		return Point{}, nil, errNoRotation
	}
	return g, []float64{math.Atan2(crosses, dots), t.X, t.Y, length / sizeA}, nil
}

func centroid(points []Point, sigma []float64) Point {
	var c Point
	sum := 0.0
	for i, p := range points {
		w := 1 / (sigma[i] * sigma[i])
		c.X += w * p.X
		c.Y += w * p.Y
		sum += w
	}
	return Point{c.X / sum, c.Y / sum}
}

// sigmas fills in ones for nil and panics on a wrong number.
func sigmas(given []float64, n int) []float64 {
	if given == nil {
		given = make([]float64, n)
		for i := range given {
			given[i] = 1
		}
	}
	if len(given) != n {
		panic("adjust: one standard deviation for each point")
	}
	return given
}
