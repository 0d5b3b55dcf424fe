package survey

// Strike takes away the objects whose unknowns the readings do not fix, so that nobody rests on them.
func (s *Survey) Strike(fixed func(unknowns ...int) bool) {
	s.Sides.keep(func(v *Side) bool { return fixed(v.A, v.B) })
	s.Boards.keep(func(v *Board) bool { return fixed(v.S0, v.L) })
	s.Corners.keep(func(v *Corner) bool { return fixed(v.Radius) })
	s.Planes.keep(func(v *Plane) bool { return fixed(v.A, v.B, v.C) })
	s.Heights.keep(func(v *Height) bool { return fixed(v.Unknown) })
	s.Points.keep(func(v *Point) bool {
		v.HasStation, v.HasOffset = v.HasStation && fixed(v.Station), v.HasOffset && fixed(v.Offset)
		v.HasDiameter = v.HasDiameter && fixed(v.Diameter)
		return true
	})
}

// Objects is the survey without its equations: a tenth of its memory. The two share their objects.
func (s *Survey) Objects() Survey {
	return Survey{
		Kit: s.Kit, Strings: s.Strings, Fan: s.Fan, marked: s.marked, Sides: s.Sides, Widths: s.Widths, Boards: s.Boards,
		Points: s.Points, Corners: s.Corners, Planes: s.Planes, Heights: s.Heights,
	}
}

// Append adds copies of another survey's objects, whose unknowns follow the first base ones.
func (s *Survey) Append(other *Survey, base int) {
	s.Sides.Append(&other.Sides, func(v *Side) { v.A += base; v.B += base; v.Local.shift(base) })
	s.Widths.Append(&other.Widths, func(v *Width) { v.Local.shift(base) })
	s.Points.Append(&other.Points, func(v *Point) { v.Station += base; v.Offset += base; v.Diameter += base })
	s.Boards.Append(&other.Boards, func(v *Board) { v.S0 += base; v.L += base })
	s.Corners.Append(&other.Corners, func(v *Corner) { v.Radius += base })
	s.Planes.Append(&other.Planes, func(v *Plane) { v.A += base; v.B += base; v.C += base })
	s.Heights.Append(&other.Heights, func(v *Height) { v.Unknown += base })
	for i, m := range other.marked {
		s.marked[i] |= m
	}
}
