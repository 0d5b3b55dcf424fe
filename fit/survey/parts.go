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

// shifted is an unknown's new number, none where there is none.
func shifted(unknown, by int) int {
	if unknown == -1 {
		return unknown
	}
	return unknown + by
}

// Shift renumbers the unknowns: the first becomes number by.
func (s *Survey) Shift(by int) {
	s.Sides.each(func(v *Side) { v.A += by; v.B += by; v.Local.shift(by) })
	s.Widths.each(func(v *Width) { v.Local.shift(by) })
	s.Points.each(func(v *Point) {
		v.Station, v.Offset, v.Diameter = v.Station+by, v.Offset+by, shifted(v.Diameter, by)
		v.Astray = [2]int{shifted(v.Astray[0], by), shifted(v.Astray[1], by)}
	})
	s.Boards.each(func(v *Board) { v.S0 += by; v.L += by; v.Nut += by })
	s.Bows.each(func(v *Bow) { v.Unknown += by })
	s.Corners.each(func(v *Corner) { v.Radius += by })
	s.Planes.each(func(v *Plane) {
		v.A += by
		v.B += by
		v.C += by
		v.Hollow = shifted(v.Hollow, by)
	})
	s.Heights.each(func(v *Height) { v.Unknown += by })
}

// Share adds another survey's objects, which the two then have in common: neither may change them.
func (s *Survey) Share(other *Survey) {
	s.Sides.share(&other.Sides)
	s.Widths.share(&other.Widths)
	s.Points.share(&other.Points)
	s.Boards.share(&other.Boards)
	s.Bows.share(&other.Bows)
	s.Corners.share(&other.Corners)
	s.Planes.share(&other.Planes)
	s.Heights.share(&other.Heights)
	for i, m := range other.marked {
		s.marked[i] |= m
	}
}
