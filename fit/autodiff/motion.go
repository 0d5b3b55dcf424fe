package autodiff

import "math"

// Motion carries places of one frame into another: it turns them by an angle from x toward y, of
// which it has cosine and sine, and shifts them. Then p is (cos px - sin py + sx, sin px + cos py + sy).
type Motion struct {
	Cos, Sin       Variable
	ShiftX, ShiftY Variable
	idle           bool // it moves nothing
}

// Identity is the motion that moves nothing.
func Identity() Motion { return Motion{Cos: Constant(1), idle: true} }

// turnX and turnY are the coordinates of a place once turned and shifted.
func (m *Motion) turnX(p Vector, shift Variable) Variable {
	return Formula(m.Cos.Value*p.X.Value-m.Sin.Value*p.Y.Value+shift.Value,
		Partial{m.Cos, p.X.Value}, Partial{m.Sin, -p.Y.Value}, Partial{p.X, m.Cos.Value}, Partial{p.Y, -m.Sin.Value}, Partial{shift, 1})
}

func (m *Motion) turnY(p Vector, shift Variable) Variable {
	return Formula(m.Sin.Value*p.X.Value+m.Cos.Value*p.Y.Value+shift.Value,
		Partial{m.Sin, p.X.Value}, Partial{m.Cos, p.Y.Value}, Partial{p.X, m.Sin.Value}, Partial{p.Y, m.Cos.Value}, Partial{shift, 1})
}

// X is the first coordinate of where p comes to lie.
func (m *Motion) X(p Vector) Variable {
	if m.idle {
		return p.X
	}
	return m.turnX(p, m.ShiftX)
}

// At is where p comes to lie, as plain numbers.
func (m *Motion) At(p Vector) (x, y float64) {
	return m.Cos.Value*p.X.Value - m.Sin.Value*p.Y.Value + m.ShiftX.Value, m.Sin.Value*p.X.Value + m.Cos.Value*p.Y.Value + m.ShiftY.Value
}

// Place is where p comes to lie.
func (m *Motion) Place(p Vector) Vector {
	if m.idle {
		return p
	}
	return Vector{m.turnX(p, m.ShiftX), m.turnY(p, m.ShiftY)}
}

// Direction is v turned and not shifted.
func (m *Motion) Direction(v Vector) Vector {
	if m.idle {
		return v
	}
	return Vector{m.turnX(v, Variable{}), m.turnY(v, Variable{})}
}

// Line is where l comes to lie.
func (m *Motion) Line(l Line) Line {
	if m.idle {
		return l
	}
	n := m.Direction(l.N)
	return Line{N: n, D: Project(n, Vector{m.ShiftX, m.ShiftY}, l.D)}
}

// Project is axis.p + shift: how far along an axis a place lies that is shifted along it.
func Project(axis, p Vector, shift Variable) Variable {
	return Formula(axis.X.Value*p.X.Value+axis.Y.Value*p.Y.Value+shift.Value,
		Partial{axis.X, p.X.Value}, Partial{axis.Y, p.Y.Value}, Partial{p.X, axis.X.Value}, Partial{p.Y, axis.Y.Value}, Partial{shift, 1})
}

// Then is m followed by next.
func (m *Motion) Then(next Motion) Motion {
	switch {
	case m.idle:
		return next
	case next.idle:
		return *m
	}
	turn, s := next.Direction(Vector{m.Cos, m.Sin}), next.Place(Vector{m.ShiftX, m.ShiftY})
	return Motion{Cos: turn.X, Sin: turn.Y, ShiftX: s.X, ShiftY: s.Y}
}

// Undo carries a place of the second frame back into the first.
func (m *Motion) Undo(p Vector) Vector {
	if m.idle {
		return p
	}
	return m.UndoDirection(Vector{p.X.Minus(m.ShiftX), p.Y.Minus(m.ShiftY)})
}

// UndoDirection turns a direction of the second frame back into the first.
func (m *Motion) UndoDirection(v Vector) Vector {
	if m.idle {
		return v
	}
	return Vector{Vector{m.Cos, m.Sin}.Dot(v), Vector{m.Cos, m.Sin}.Cross(v)}
}

// FrameOf is the motion into the frame of a part whose two sides have the bisector b.
func FrameOf(b Line) Motion {
	return Motion{Cos: b.N.Y, Sin: b.N.X, ShiftY: b.D.Negated()}
}

// TurnAbout is the motion that turns by an angle, in radians, about a place and shifts.
func TurnAbout(angle Variable, about, shift Vector) Motion {
	m := rotation(angle)
	m.ShiftX = about.X.Plus(shift.X).Minus(m.Cos.Times(about.X)).Plus(m.Sin.Times(about.Y))
	m.ShiftY = about.Y.Plus(shift.Y).Minus(m.Sin.Times(about.X)).Minus(m.Cos.Times(about.Y))
	return m
}

// Rigid is the motion that takes the places a nearest to the places b.
func Rigid(a, b []Vector) Motion {
	ca, cb := Centroid(a), Centroid(b)
	m := rotation(angleBetween(a, b, ca, cb))
	m.ShiftX, m.ShiftY = m.shiftX(ca, cb), m.shiftY(ca, cb)
	return m
}

// angleBetween is the angle of the turn, in radians. A shift of a centroid does not change it: the
// others' places seen from theirs add up to nothing.
func angleBetween(a, b []Vector, ca, cb Vector) Variable {
	cross, dot := 0.0, 0.0
	for i := range a {
		px, py, qx, qy := a[i].X.Value-ca.X.Value, a[i].Y.Value-ca.Y.Value, b[i].X.Value-cb.X.Value, b[i].Y.Value-cb.Y.Value
		cross += px*qy - py*qx
		dot += px*qx + py*qy
	}
	h := cross*cross + dot*dot
	c, d := cross/h, dot/h
	var room [4 * usualParts]Partial
	parts := room[:0]
	for i := range a {
		px, py, qx, qy := a[i].X.Value-ca.X.Value, a[i].Y.Value-ca.Y.Value, b[i].X.Value-cb.X.Value, b[i].Y.Value-cb.Y.Value
		parts = append(parts, Partial{a[i].X, d*qy - c*qx}, Partial{a[i].Y, -d*qx - c*qy}, Partial{b[i].X, -d*py - c*px}, Partial{b[i].Y, d*px - c*py})
	}
	return Formula(math.Atan2(cross, dot), parts...)
}

// rotation is the motion that turns by an angle, in radians.
func rotation(angle Variable) Motion {
	sin, cos := math.Sincos(angle.Value)
	return Motion{Cos: Formula(cos, Partial{angle, -sin}), Sin: Formula(sin, Partial{angle, cos})}
}

// shiftX and shiftY are what carries p, once turned, to q.
func (m *Motion) shiftX(p, q Vector) Variable {
	return Formula(q.X.Value-m.Cos.Value*p.X.Value+m.Sin.Value*p.Y.Value, Partial{q.X, 1},
		Partial{m.Cos, -p.X.Value}, Partial{m.Sin, p.Y.Value}, Partial{p.X, -m.Cos.Value}, Partial{p.Y, m.Sin.Value})
}

func (m *Motion) shiftY(p, q Vector) Variable {
	return Formula(q.Y.Value-m.Sin.Value*p.X.Value-m.Cos.Value*p.Y.Value, Partial{q.Y, 1},
		Partial{m.Sin, -p.X.Value}, Partial{m.Cos, -p.Y.Value}, Partial{p.X, -m.Sin.Value}, Partial{p.Y, -m.Cos.Value})
}
