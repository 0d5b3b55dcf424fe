package survey

// Strike takes away the objects whose unknowns the readings do not fix, so that nobody rests on them.
func (s *Survey) Strike(fixed func(unknowns ...int) bool) {
	s.Sides.keep(func(v *Side) bool { return fixed(v.A, v.B) })
	s.Boards.keep(func(v *Board) bool {
		if !fixed(v.Nut) {
			v.Nut = v.S0
		}
		return fixed(v.S0, v.L)
	})
	s.Bows.keep(func(v *Bow) bool { return fixed(v.Unknown) })
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
		Points: s.Points, Bows: s.Bows, Corners: s.Corners, Planes: s.Planes, Heights: s.Heights,
	}
}
