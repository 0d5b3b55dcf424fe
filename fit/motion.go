package fit

// motion carries places of one frame into another: it turns them by an angle from x toward y, of
// which it has cosine and sine, and shifts them. Then p is (cos px - sin py + sx, sin px + cos py + sy).
type motion struct {
	cos, sin quantity
	sx, sy   quantity
	idle     bool // it moves nothing
}

// stay is the motion that moves nothing.
func stay() motion { return motion{cos: constant(1), idle: true} }

// x and y are the coordinates of a place once turned and shifted.
func (m *motion) x(p vector, shift quantity) quantity {
	return join(m.cos.v*p.x.v-m.sin.v*p.y.v+shift.v,
		by{m.cos, p.x.v}, by{m.sin, -p.y.v}, by{p.x, m.cos.v}, by{p.y, -m.sin.v}, by{shift, 1})
}

func (m *motion) y(p vector, shift quantity) quantity {
	return join(m.sin.v*p.x.v+m.cos.v*p.y.v+shift.v,
		by{m.sin, p.x.v}, by{m.cos, p.y.v}, by{p.x, m.sin.v}, by{p.y, m.cos.v}, by{shift, 1})
}

func (m *motion) place(p vector) vector {
	if m.idle {
		return p
	}
	return vector{m.x(p, m.sx), m.y(p, m.sy)}
}

func (m *motion) direction(v vector) vector {
	if m.idle {
		return v
	}
	return vector{m.x(v, quantity{}), m.y(v, quantity{})}
}

func (m *motion) line(l line) line {
	if m.idle {
		return l
	}
	n := m.direction(l.n)
	return line{n: n, d: along(n, vector{m.sx, m.sy}, l.d)}
}

// along is axis.p + shift.
func along(axis, p vector, shift quantity) quantity {
	return join(axis.x.v*p.x.v+axis.y.v*p.y.v+shift.v,
		by{axis.x, p.x.v}, by{axis.y, p.y.v}, by{p.x, axis.x.v}, by{p.y, axis.y.v}, by{shift, 1})
}

// then is m followed by next.
func (m *motion) then(next motion) motion {
	switch {
	case m.idle:
		return next
	case next.idle:
		return *m
	}
	turn, s := next.direction(vector{m.cos, m.sin}), next.place(vector{m.sx, m.sy})
	return motion{cos: turn.x, sin: turn.y, sx: s.x, sy: s.y}
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
	return vector{vector{m.cos, m.sin}.dot(v), vector{m.cos, m.sin}.cross(v)}
}
