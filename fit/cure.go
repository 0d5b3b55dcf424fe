package fit

import (
	"math"

	"neckfit/measure"
)

// cure says in words what reading would fix a quantity that the rows leave free: of the unknowns
// that are free with it, first a line's, since frets and places follow from lines.
func (s *solved) cure(g []float64) string {
	free := s.freeOf(g)
	for i, key := range s.sides.keys {
		on, where := s.sides.values[i], " (datum "+key.frame().String()+")"
		if key.gap() {
			where = " gap" + where
		}
		switch {
		case free[on.B] && on.n > 0:
			return key.feature().String() + " at a second place" + where
		case free[on.A] || free[on.B]:
			return key.feature().String() + " at two places" + where
		}
	}
	for i, key := range s.points.keys {
		if p := s.points.values[i]; free[p.station] || free[p.offset] {
			return key.feature().String() + " " + measure.Mark{Number: key.mark()}.String() + ", both station and offset (datum " + key.frame().String() + ")"
		}
	}
	for i, frame := range s.boards.keys {
		if b := s.boards.values[i]; free[b.S0] || free[b.L] {
			return "nut and fret 12 (datum " + frame.String() + ")"
		}
	}
	for i, key := range s.planes.keys {
		if p := s.planes.values[i]; free[p.a] || free[p.b] || free[p.c] {
			return key.feature().String() + " heights at three places not in a row (datum " + key.frame().String() + ")"
		}
	}
	return "more readings: those there are do not fix it"
}

// freeOf marks the unknowns that move along the free directions in which the quantity moves too.
func (s *solved) freeOf(g []float64) []bool {
	const share = 1e-6 // of a gradient or of a unit direction: what adjust.Estimable lets pass
	size := 0.0
	for _, v := range g {
		size = math.Hypot(size, v)
	}
	free := make([]bool, len(g))
	for _, direction := range s.fit.Null {
		along := 0.0
		for j, v := range direction {
			along += v * g[j]
		}
		if math.Abs(along) <= share*size {
			continue
		}
		for j, v := range direction {
			free[j] = free[j] || math.Abs(v) > share
		}
	}
	return free
}
