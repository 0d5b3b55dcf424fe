package fit

import "math"

// cure says which reading would fix a quantity that the rows leave free: of the unknowns
// that are free with it, first a line's, since frets and places follow from lines.
func (s *solved) cure(g []float64) Missing {
	free := s.freeOf(g)
	for i, key := range s.sides.keys {
		on, second, two := s.sides.values[i], WantSecondPlace, WantTwoPlaces
		if key.gap() {
			second, two = WantSecondGap, WantTwoGaps
		}
		switch {
		case free[on.B] && on.n > 0:
			return Missing{Want: second, Feature: key.feature(), Datum: key.frame()}
		case free[on.A] || free[on.B]:
			return Missing{Want: two, Feature: key.feature(), Datum: key.frame()}
		}
	}
	for i, key := range s.points.keys {
		if p := s.points.values[i]; free[p.station] || free[p.offset] {
			return Missing{Want: WantPlace, Feature: key.feature(), Mark: key.mark(), Datum: key.frame()}
		}
	}
	for i, frame := range s.boards.keys {
		if b := s.boards.values[i]; free[b.S0] || free[b.L] {
			return Missing{Want: WantNutAndFret, Datum: frame}
		}
	}
	for i, key := range s.planes.keys {
		if p := s.planes.values[i]; free[p.a] || free[p.b] || free[p.c] {
			return Missing{Want: WantPlane, Feature: key.feature(), Datum: key.frame()}
		}
	}
	return Missing{Want: WantMore}
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
