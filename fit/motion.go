package fit

// motion carries places of one frame into another: p becomes (ex.p + sx, ey.p + sy) with ex, ey
// the second frame's axes seen from the first.
type motion struct {
	ex, ey vector
	sx, sy quantity
	idle   bool // it moves nothing
}

// stay is the motion that moves nothing.
func stay() motion {
	return motion{ex: vector{x: constant(1)}, ey: vector{y: constant(1)}, idle: true}
}

func (m *motion) place(p vector) vector {
	if m.idle {
		return p
	}
	return vector{along(m.ex, p, m.sx), along(m.ey, p, m.sy)}
}

// along is axis.p + shift.
func along(axis, p vector, shift quantity) quantity {
	return join(axis.x.v*p.x.v+axis.y.v*p.y.v+shift.v,
		by{axis.x, p.x.v}, by{axis.y, p.y.v}, by{p.x, axis.x.v}, by{p.y, axis.y.v}, by{shift, 1})
}

func (m *motion) direction(v vector) vector {
	if m.idle {
		return v
	}
	return vector{m.ex.dot(v), m.ey.dot(v)}
}

func (m *motion) line(l line) line {
	if m.idle {
		return l
	}
	n := m.direction(l.n)
	return line{n: n, d: along(n, vector{m.sx, m.sy}, l.d)}
}

// then is m followed by next.
func (m *motion) then(next motion) motion {
	switch {
	case m.idle:
		return next
	case next.idle:
		return *m
	}
	s := next.place(vector{m.sx, m.sy})
	return motion{ex: m.undoDirection(next.ex), ey: m.undoDirection(next.ey), sx: s.x, sy: s.y}
}

// undo carries a place of the second frame back into the first.
func (m *motion) undo(p vector) vector {
	if m.idle {
		return p
	}
	return m.undoDirection(vector{p.x.minus(m.sx), p.y.minus(m.sy)})
}

func (m *motion) undoDirection(v vector) vector {
	if m.idle {
		return v
	}
	x, y := vector{m.ex.x, m.ey.x}, vector{m.ex.y, m.ey.y}
	return vector{x.dot(v), y.dot(v)}
}
