package adjust

import (
	"math"
	"slices"
)

// Side is a straight line y = a + b (x - C): the unknowns A and B hold a (length) and b (length
// per length), C is a known centre that keeps them nearly uncorrelated.
type Side struct {
	A, B int
	C    float64
}

// OnLine are the terms of a reading y at x of the line y = a + b (x - c).
func OnLine(a, b int, c, x float64) []Term {
	return []Term{{a, 1}, {b, x - c}}
}

// On are the terms of a reading y at x of the side.
func (s Side) On(x float64) []Term { return OnLine(s.A, s.B, s.C, x) }

// OnPlane are the terms of a reading z at (x, y) of the plane z = a + b x + c y. Take x and y
// from a centre near the middle of the readings.
func OnPlane(a, b, c int, x, y float64) []Term {
	return []Term{{a, 1}, {b, x}, {c, y}}
}

// normal is a side in Hesse's form, n.p = d with unit n toward growing y, and its derivatives.
type normal struct {
	nx, ny, d float64
	nxB, nyB  float64 // by b
	dA, dB    float64 // by a, by b
}

// hesse: with h = sqrt(1+b^2), n = (-b, 1)/h and d = (a - b c)/h.
func (s Side) hesse(x []float64) normal {
	a, b := x[s.A], x[s.B]
	w := 1 / math.Sqrt(1+b*b)
	w3 := w * w * w
	return normal{
		nx: -b * w, ny: w, d: (a - b*s.C) * w,
		nxB: -w3, nyB: -b * w3,
		dA: w, dB: -(s.C + a*b) * w3,
	}
}

// widthAcross is documented at WidthAcross.
type widthAcross struct {
	first, second Side
	station       float64
}

// WidthAcross is what a calliper reads across two sides, held square to their bisector at the
// point of the bisector whose x is station; positive where second has the larger y. The sides are
// straight and need not be parallel, but must not be square to the x axis.
//
// With unit normals n1, n2 and N = n1 + n2, the bisector is N.p = d1 + d2. From its point p the
// distance to either side along N/|N| is (d - n.p) |N| / (n.N), and n1.N = n2.N = |N|^2 / 2, so
// width = 2 (d2 - d1 - (n2 - n1).p) / |N|.
func WidthAcross(first, second Side, station float64) Model {
	return widthAcross{first, second, station}
}

// AppendUnknowns adds both sides'.
func (w widthAcross) AppendUnknowns(list []int) []int {
	return append(list, w.first.A, w.first.B, w.second.A, w.second.B)
}

// Eval is the width, mm.
func (w widthAcross) Eval(x, grad []float64) float64 {
	n1, n2 := w.first.hesse(x), w.second.hesse(x)
	sumX, sumY := n1.nx+n2.nx, n1.ny+n2.ny
	px := w.station
	py := (n1.d + n2.d - sumX*px) / sumY
	length := math.Hypot(sumX, sumY)
	apart := n2.d - n1.d - (n2.nx-n1.nx)*px - (n2.ny-n1.ny)*py
	lean := (n2.ny - n1.ny) / sumY

	// Moving n and d of one side moves d - n.p by f and p's y by f / sumY.
	by := func(n normal, sign float64, s Side) {
		grad[s.A] += 2 * n.dA * (sign - lean) / length
		f := n.dB - n.nxB*px - n.nyB*py
		longer := (sumX*n.nxB + sumY*n.nyB) / length
		grad[s.B] += 2 * (f*(sign-lean) - apart*longer/length) / length
	}
	by(n1, -1, w.first)
	by(n2, +1, w.second)
	return 2 * apart / length
}

// MedianLine is a straight line y = a + b x through points that up to half of them cannot spoil: b is the median, over the
// points, of the medians of their slopes to the others, a the median of y - b x (repeated medians, Siegel, Biometrika 69,
// 1982). Points of one x have no slope to each other; where all have one x, b is 0. It panics without points.
func MedianLine(points []Point) (a, b float64) {
	var room, roomEach [roomy]float64
	slopes, each := room[:0], roomEach[:0]
	for i, p := range points {
		each = each[:0]
		for j, q := range points {
			if i != j && p.X != q.X {
				each = append(each, (q.Y-p.Y)/(q.X-p.X))
			}
		}
		if len(each) > 0 {
			slopes = append(slopes, Median(each))
		}
	}
	if len(slopes) > 0 {
		b = Median(slopes)
	}
	each = each[:0]
	for _, p := range points {
		each = append(each, p.Y-b*p.X)
	}
	return Median(each), b
}

// Median is the middle one of values, or the mean of the middle two; it sorts them. It panics without values.
func Median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
