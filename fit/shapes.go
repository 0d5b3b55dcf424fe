package fit

// vector is a place or a direction in a frame: x along the station, y along the offset.
type vector struct{ x, y quantity }

func (a vector) plus(b vector) vector    { return vector{a.x.plus(b.x), a.y.plus(b.y)} }
func (a vector) minus(b vector) vector   { return vector{a.x.minus(b.x), a.y.minus(b.y)} }
func (a vector) scaled(k float64) vector { return vector{a.x.scaled(k), a.y.scaled(k)} }
func (a vector) times(k quantity) vector { return vector{a.x.times(k), a.y.times(k)} }
func (a vector) dot(b vector) quantity   { return a.x.times(b.x).plus(a.y.times(b.y)) }
func (a vector) length() quantity        { return a.x.hypot(a.y) }

// cross is positive where b is turned from a toward treble.
func (a vector) cross(b vector) quantity { return a.x.times(b.y).minus(a.y.times(b.x)) }

// unit is a at length 1.
func (a vector) unit() vector {
	h := constant(1).over(a.length())
	return a.times(h)
}

// tailward is a turned a quarter from treble to tail: the direction of a line whose normal is a.
func (a vector) tailward() vector { return vector{a.y, a.x.negated()} }

// trebleward undoes tailward: the normal of a line whose direction is a.
func (a vector) trebleward() vector { return vector{a.y.negated(), a.x} }

// angleTo is the angle from a to b in radians, positive when b is turned toward treble.
func (a vector) angleTo(b vector) quantity { return a.cross(b).atan2(a.dot(b)) }

// middle of two places.
func middle(a, b vector) vector { return a.plus(b).scaled(0.5) }

// line is the set of places p with n.p = d, n a unit normal: toward treble for a side or a
// centre line, toward the tail for an end.
type line struct {
	n vector
	d quantity
}

// along is the direction of a side or centre line, tailward.
func (l line) along() vector { return l.n.tailward() }

// beside is the signed distance of p from the line, positive on the normal's side.
func (l line) beside(p vector) quantity { return l.n.dot(p).minus(l.d) }

// bisector is the line (n1 + n2).p = d1 + d2, normalised: midway between two sides, parallel or
// not (DESIGN section 6).
func bisector(a, b line) line {
	n := a.n.plus(b.n)
	h := constant(1).over(n.length())
	return line{n: n.times(h), d: a.d.plus(b.d).times(h)}
}

// at is the place of a centre line that lies a distance s along it from the frame's zero.
func (l line) at(s quantity) vector { return l.along().times(s).plus(l.n.times(l.d)) }

// atStation is the place of a side or centre line at a station of its frame.
func (l line) atStation(x float64) vector {
	return vector{constant(x), l.d.minus(l.n.x.scaled(x)).over(l.n.y)}
}

// markAt is the place of a centre line at a distance along it, as a mark that somebody chose to put
// there: it stays where it is, whatever the line's own uncertainty.
func (l line) markAt(s quantity) vector {
	p := l.at(s)
	return vector{constant(p.x.v), constant(p.y.v)}
}

// crossing is how far toward treble of the centre line another side crosses the square to it
// that stands a distance s along it.
func (l line) crossing(side line, s quantity) quantity {
	p := l.at(s)
	return side.d.minus(side.n.dot(p)).over(side.n.dot(l.n))
}

// through is the line through two places, its normal turned as for a side that runs from a to b.
func through(a, b vector) line {
	n := b.minus(a).unit().trebleward()
	return line{n: n, d: n.dot(a)}
}

// motion carries places of one frame into another: p becomes (ex.p + sx, ey.p + sy) with ex, ey
// the second frame's axes seen from the first.
type motion struct {
	ex, ey vector
	sx, sy quantity
}

func (m motion) place(p vector) vector {
	return vector{m.ex.dot(p).plus(m.sx), m.ey.dot(p).plus(m.sy)}
}

func (m motion) direction(v vector) vector { return vector{m.ex.dot(v), m.ey.dot(v)} }

func (m motion) line(l line) line {
	n := m.direction(l.n)
	return line{n: n, d: l.d.plus(n.x.times(m.sx)).plus(n.y.times(m.sy))}
}

// then is m followed by next.
func (m motion) then(next motion) motion {
	s := next.place(vector{m.sx, m.sy})
	return motion{ex: m.ex.times(next.ex.x).plus(m.ey.times(next.ex.y)), ey: m.ex.times(next.ey.x).plus(m.ey.times(next.ey.y)), sx: s.x, sy: s.y}
}

// stay is the motion that moves nothing.
func stay() motion {
	return motion{ex: vector{x: constant(1)}, ey: vector{y: constant(1)}}
}

// undo carries a place of the second frame back into the first.
func (m motion) undo(p vector) vector {
	return m.undoDirection(vector{p.x.minus(m.sx), p.y.minus(m.sy)})
}

func (m motion) undoDirection(v vector) vector { return m.ex.times(v.x).plus(m.ey.times(v.y)) }
