package autodiff

// Line is the set of places p with n.p = d, n a unit normal: toward treble for a side or a
// centre line, toward the tail for an end.
type Line struct {
	N Vector
	D Variable
}

// Direction is that of a side or centre line, tailward.
func (l Line) Direction() Vector { return l.N.Direction() }

// SignedDistance is that of p from the line, positive on the normal's side.
func (l Line) SignedDistance(p Vector) Variable {
	return Formula(l.N.X.Value*p.X.Value+l.N.Y.Value*p.Y.Value-l.D.Value,
		Partial{l.N.X, p.X.Value}, Partial{l.N.Y, p.Y.Value}, Partial{p.X, l.N.X.Value}, Partial{p.Y, l.N.Y.Value}, Partial{l.D, -1})
}

// Off is how far (x, y) lies from the line, see SignedDistance, as a plain number.
func (l *Line) Off(x, y float64) float64 { return l.N.X.Value*x + l.N.Y.Value*y - l.D.Value }

// Bisector is the line (n1 + n2).p = d1 + d2, normalised: midway between two sides, parallel or
// not.
func Bisector(a, b Line) Line {
	n := a.N.Plus(b.N)
	h := Constant(1).Over(n.Length())
	d := a.D.Value + b.D.Value
	return Line{N: n.Times(h), D: Formula(d*h.Value, Partial{a.D, h.Value}, Partial{b.D, h.Value}, Partial{h, d})}
}

// At is the place of a centre line that lies a distance s along it from the frame's zero.
func (l Line) At(s Variable) Vector {
	x, y := l.N.X, l.N.Y
	return Vector{
		Formula(y.Value*s.Value+x.Value*l.D.Value, Partial{y, s.Value}, Partial{s, y.Value}, Partial{x, l.D.Value}, Partial{l.D, x.Value}),
		Formula(y.Value*l.D.Value-x.Value*s.Value, Partial{y, l.D.Value}, Partial{l.D, y.Value}, Partial{x, -s.Value}, Partial{s, -x.Value}),
	}
}

// YAt is how far toward treble of the frame's x axis a side or centre line stands at x.
func (l Line) YAt(x Variable) Variable {
	y := (l.D.Value - l.N.X.Value*x.Value) / l.N.Y.Value
	return Formula(y, Partial{l.D, 1 / l.N.Y.Value}, Partial{l.N.X, -x.Value / l.N.Y.Value}, Partial{x, -l.N.X.Value / l.N.Y.Value}, Partial{l.N.Y, -y / l.N.Y.Value})
}

// AtX is the place of a side or centre line at a station of its frame.
func (l Line) AtX(x float64) Vector { return Vector{Constant(x), l.YAt(Constant(x))} }

// MarkAt is the place of a centre line at a distance along it, as a mark that somebody chose to put
// there: it stays where it is, whatever the line's own uncertainty.
func (l Line) MarkAt(s float64) Vector {
	return Vector{Constant(l.N.Y.Value*s + l.N.X.Value*l.D.Value), Constant(l.N.Y.Value*l.D.Value - l.N.X.Value*s)}
}

// Crossing is how far toward treble of the centre line another side crosses the square to it
// that stands a distance s along it: N.(t s + n (d + y)) = D with N, D the side's and t, n, d the
// centre line's direction, normal and distance.
func (l Line) Crossing(side Line, s Variable) Variable {
	nx, ny, sx, sy := l.N.X.Value, l.N.Y.Value, side.N.X.Value, side.N.Y.Value
	square := 1 / (sx*nx + sy*ny)
	y := (side.D.Value - s.Value*(sx*ny-sy*nx)) * square
	return Formula(y-l.D.Value, Partial{side.D, square}, Partial{l.D, -1}, Partial{s, -(sx*ny - sy*nx) * square},
		Partial{side.N.X, -(s.Value*ny + y*nx) * square}, Partial{side.N.Y, (s.Value*nx - y*ny) * square},
		Partial{l.N.X, (s.Value*sy - y*sx) * square}, Partial{l.N.Y, -(s.Value*sx + y*sy) * square})
}

// Through is the line through two places, its normal turned as for a side that runs from a to b.
func Through(a, b Vector) Line {
	n := b.Minus(a).Unit().Normal()
	return Line{N: n, D: n.Dot(a)}
}

// Meet is where two lines cross. With the lines' normals as the rows of N and their distances as d,
// N p = d, so that N dp = dd - dN p.
func Meet(a, b Line) Vector {
	det := 1 / (a.N.X.Value*b.N.Y.Value - a.N.Y.Value*b.N.X.Value)
	x := (a.D.Value*b.N.Y.Value - b.D.Value*a.N.Y.Value) * det
	y := (b.D.Value*a.N.X.Value - a.D.Value*b.N.X.Value) * det
	// byA and byB are how a coordinate changes with the lines' distances.
	coordinate := func(v, byA, byB float64) Variable {
		return Formula(v, Partial{a.D, byA}, Partial{a.N.X, -byA * x}, Partial{a.N.Y, -byA * y}, Partial{b.D, byB}, Partial{b.N.X, -byB * x}, Partial{b.N.Y, -byB * y})
	}
	return Vector{coordinate(x, b.N.Y.Value*det, -a.N.Y.Value*det), coordinate(y, -b.N.X.Value*det, a.N.X.Value*det)}
}

// Ahead is how far tailward of a place an end line stands at its y.
func (l Line) Ahead(p Vector) Variable {
	x := (l.D.Value - l.N.Y.Value*p.Y.Value) / l.N.X.Value
	return Formula(x-p.X.Value, Partial{l.D, 1 / l.N.X.Value}, Partial{l.N.Y, -p.Y.Value / l.N.X.Value}, Partial{p.Y, -l.N.Y.Value / l.N.X.Value},
		Partial{l.N.X, -x / l.N.X.Value}, Partial{p.X, -1})
}

// Straight is the y at x of the straight through two places.
func Straight(p, q Vector, x Variable) Variable {
	slope := (q.Y.Value - p.Y.Value) / (q.X.Value - p.X.Value)
	share := (x.Value - p.X.Value) / (q.X.Value - p.X.Value)
	return Formula(p.Y.Value+slope*(x.Value-p.X.Value), Partial{p.Y, 1 - share}, Partial{q.Y, share},
		Partial{x, slope}, Partial{p.X, -slope * (1 - share)}, Partial{q.X, -slope * share})
}
