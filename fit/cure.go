package fit

import "math"

// cure says which reading would fix a quantity that the rows leave free: of the unknowns
// that are free with it, first a line's, since frets and places follow from lines.
func (s *solved) cure(g []float64) Missing {
	free := s.freeOf(g)
	for i, key := range s.Sides.Keys() {
		on, second, two := s.Sides.At(i), WantSecondPlace, WantTwoPlaces
		if key.Gap() {
			second, two = WantSecondGap, WantTwoGaps
		}
		switch {
		case free[on.B] && on.N > 0:
			return Missing{Want: second, Feature: key.Feature(), Datum: key.Frame()}
		case free[on.A] || free[on.B]:
			return Missing{Want: two, Feature: key.Feature(), Datum: key.Frame()}
		}
	}
	for i, key := range s.Points.Keys() {
		if p := s.Points.At(i); free[p.Station] || free[p.Offset] {
			return Missing{Want: WantPlace, Feature: key.Feature(), Mark: key.Mark(), Datum: key.Frame()}
		}
	}
	for i, frame := range s.Boards.Keys() {
		if b := s.Boards.At(i); free[b.S0] || free[b.L] {
			return Missing{Want: WantNutAndFret, Datum: frame}
		}
	}
	for i, key := range s.Planes.Keys() {
		if p := s.Planes.At(i); free[p.A] || free[p.B] || free[p.C] {
			return Missing{Want: WantPlane, Feature: key.Feature(), Datum: key.Frame()}
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
