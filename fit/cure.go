package fit

import (
	"math"

	"neckfit/measure"
)

// cure says in words which unknowns a quantity depends on that the readings leave free, and what
// reading would fix the first of them.
func (s *solved) cure(g []float64) string {
	largest := 0.0
	for _, v := range g {
		largest = max(largest, math.Abs(v))
	}
	for _, j := range s.fit.Free() {
		if math.Abs(g[j]) > 1e-6*largest { // the same share of a gradient that adjust lets pass
			if words := s.owner(j); words != "" {
				return words
			}
		}
	}
	return "more readings: those there are do not fix it"
}

// owner names the feature that unknown j describes, and the reading it lacks.
func (s *survey) owner(j int) string {
	for key, on := range s.sides {
		where := " (datum " + key.frame.String() + ")"
		if key.gap {
			where = " gap" + where
		}
		switch j {
		case on.A:
			return key.feature.String() + ", read somewhere" + where
		case on.B:
			return key.feature.String() + " at a second place" + where
		}
	}
	for key, p := range s.points {
		if j == p.station || j == p.offset {
			return key.feature.String() + " " + measure.Mark{Number: key.mark}.String() + ", both station and offset (datum " + key.frame.String() + ")"
		}
	}
	for frame, b := range s.boards {
		if j == b.S0 || j == b.L {
			return "nut and fret 12 (datum " + frame.String() + ")"
		}
	}
	for key, p := range s.planes {
		if j == p.a || j == p.b || j == p.c {
			return key.feature.String() + " heights at three places not in a row (datum " + key.frame.String() + ")"
		}
	}
	return ""
}
