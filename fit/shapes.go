package fit

import "math"

// vector is a place or a direction in a frame: x along the station, y along the offset.
type vector struct{ x, y quantity }

func (a vector) plus(b vector) vector    { return vector{a.x.plus(b.x), a.y.plus(b.y)} }
func (a vector) minus(b vector) vector   { return vector{a.x.minus(b.x), a.y.minus(b.y)} }
func (a vector) scaled(k float64) vector { return vector{a.x.scaled(k), a.y.scaled(k)} }
func (a vector) times(k quantity) vector { return vector{a.x.times(k), a.y.times(k)} }
func (a vector) length() quantity        { return a.x.hypot(a.y) }

func (a vector) dot(b vector) quantity {
	return join(a.x.v*b.x.v+a.y.v*b.y.v, by{a.x, b.x.v}, by{a.y, b.y.v}, by{b.x, a.x.v}, by{b.y, a.y.v})
}

// cross is positive where b is turned from a toward treble.
func (a vector) cross(b vector) quantity {
	return join(a.x.v*b.y.v-a.y.v*b.x.v, by{a.x, b.y.v}, by{a.y, -b.x.v}, by{b.x, -a.y.v}, by{b.y, a.x.v})
}

// unit is a at length 1.
func (a vector) unit() vector {
	h := constant(1).over(a.length())
	return a.times(h)
}

// tailward is a turned a quarter from treble to tail: the direction of a line whose normal is a.
func (a vector) tailward() vector { return vector{a.y, a.x.negated()} }

// trebleward undoes tailward: the normal of a line whose direction is a.
func (a vector) trebleward() vector { return vector{a.y.negated(), a.x} }

// angleTo is the angle from a to b in radians, positive when b is turned toward treble: its tangent
// is cross over dot.
func (a vector) angleTo(b vector) quantity {
	c, d := a.x.v*b.y.v-a.y.v*b.x.v, a.x.v*b.x.v+a.y.v*b.y.v
	h := c*c + d*d
	c, d = c/h, d/h
	return join(math.Atan2(c, d),
		by{a.x, d*b.y.v - c*b.x.v}, by{a.y, -d*b.x.v - c*b.y.v}, by{b.x, -d*a.y.v - c*a.x.v}, by{b.y, d*a.x.v - c*a.y.v})
}

// middle of two places.
func middle(a, b vector) vector {
	half := func(p, q quantity) quantity { return join((p.v+q.v)/2, by{p, 0.5}, by{q, 0.5}) }
	return vector{half(a.x, b.x), half(a.y, b.y)}
}

// line is the set of places p with n.p = d, n a unit normal: toward treble for a side or a
// centre line, toward the tail for an end.
type line struct {
	n vector
	d quantity
}

// along is the direction of a side or centre line, tailward.
func (l line) along() vector { return l.n.tailward() }

// beside is the signed distance of p from the line, positive on the normal's side.
func (l line) beside(p vector) quantity {
	return join(l.n.x.v*p.x.v+l.n.y.v*p.y.v-l.d.v,
		by{l.n.x, p.x.v}, by{l.n.y, p.y.v}, by{p.x, l.n.x.v}, by{p.y, l.n.y.v}, by{l.d, -1})
}

// bisector is the line (n1 + n2).p = d1 + d2, normalised: midway between two sides, parallel or
// not (DESIGN section 6).
func bisector(a, b line) line {
	n := a.n.plus(b.n)
	h := constant(1).over(n.length())
	d := a.d.v + b.d.v
	return line{n: n.times(h), d: join(d*h.v, by{a.d, h.v}, by{b.d, h.v}, by{h, d})}
}

// at is the place of a centre line that lies a distance s along it from the frame's zero.
func (l line) at(s quantity) vector {
	x, y := l.n.x, l.n.y
	return vector{
		join(y.v*s.v+x.v*l.d.v, by{y, s.v}, by{s, y.v}, by{x, l.d.v}, by{l.d, x.v}),
		join(y.v*l.d.v-x.v*s.v, by{y, l.d.v}, by{l.d, y.v}, by{x, -s.v}, by{s, -x.v}),
	}
}

// yAt is how far toward treble of the frame's x axis a side or centre line stands at x.
func (l line) yAt(x quantity) quantity {
	y := (l.d.v - l.n.x.v*x.v) / l.n.y.v
	return join(y, by{l.d, 1 / l.n.y.v}, by{l.n.x, -x.v / l.n.y.v}, by{x, -l.n.x.v / l.n.y.v}, by{l.n.y, -y / l.n.y.v})
}

// atStation is the place of a side or centre line at a station of its frame.
func (l line) atStation(x float64) vector { return vector{constant(x), l.yAt(constant(x))} }

// markAt is the place of a centre line at a distance along it, as a mark that somebody chose to put
// there: it stays where it is, whatever the line's own uncertainty.
func (l line) markAt(s float64) vector {
	return vector{constant(l.n.y.v*s + l.n.x.v*l.d.v), constant(l.n.y.v*l.d.v - l.n.x.v*s)}
}

// crossing is how far toward treble of the centre line another side crosses the square to it
// that stands a distance s along it: N.(t s + n (d + y)) = D with N, D the side's and t, n, d the
// centre line's direction, normal and distance.
func (l line) crossing(side line, s quantity) quantity {
	nx, ny, sx, sy := l.n.x.v, l.n.y.v, side.n.x.v, side.n.y.v
	square := 1 / (sx*nx + sy*ny)
	y := (side.d.v - s.v*(sx*ny-sy*nx)) * square
	return join(y-l.d.v, by{side.d, square}, by{l.d, -1}, by{s, -(sx*ny - sy*nx) * square},
		by{side.n.x, -(s.v*ny + y*nx) * square}, by{side.n.y, (s.v*nx - y*ny) * square},
		by{l.n.x, (s.v*sy - y*sx) * square}, by{l.n.y, -(s.v*sx + y*sy) * square})
}

// through is the line through two places, its normal turned as for a side that runs from a to b.
func through(a, b vector) line {
	n := b.minus(a).unit().trebleward()
	return line{n: n, d: n.dot(a)}
}

// meet is where two lines cross. With the lines' normals as the rows of N and their distances as d,
// N p = d, so that N dp = dd - dN p.
func meet(a, b line) vector {
	det := 1 / (a.n.x.v*b.n.y.v - a.n.y.v*b.n.x.v)
	x := (a.d.v*b.n.y.v - b.d.v*a.n.y.v) * det
	y := (b.d.v*a.n.x.v - a.d.v*b.n.x.v) * det
	// byA and byB are how a coordinate changes with the lines' distances.
	coordinate := func(v, byA, byB float64) quantity {
		return join(v, by{a.d, byA}, by{a.n.x, -byA * x}, by{a.n.y, -byA * y}, by{b.d, byB}, by{b.n.x, -byB * x}, by{b.n.y, -byB * y})
	}
	return vector{coordinate(x, b.n.y.v*det, -a.n.y.v*det), coordinate(y, -b.n.x.v*det, a.n.x.v*det)}
}
