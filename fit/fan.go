package fit

import (
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// A fan that nobody told of: the outer scales must differ by more than leastFan, which is half of the
// smallest fan that is built (common practice, no source), and by so many standard uncertainties.
const (
	leastFan    = 6.0 // mm
	surelyFan   = 6.0
	clearlyLess = 6.0 // of chi-square, with odds of 20 to 1
	bothSidesOf = 0.2 // of the board's half width: a fret read farther out than this is read on a side
)

// fanSeen is by how much more the outer bass scale is longer than the treble one than kits.csv tells, in mm
// at the board's edges, where frets that were read on both sides say so beyond doubt; else 0.
func (a *assembly) fanSeen() (difference float64) {
	surest, likelier := surelyFan, 0.0
	for _, s := range a.fit.Suspects() { // where one reading explains more it is no fan
		likelier = max(likelier, s.W*s.W)
	}
	for _, straight := range [...]int{0, 5, 7, 9, 12} { // about one of these every fan opens, or nearly
		column, enough := a.fanColumn(adjust.FretShare(straight))
		if !enough {
			break
		}
		if d, u, gain, ok := a.fit.Added(column); ok && gain > likelier-clearlyLess && math.Abs(d) > max(leastFan, surest*u.Std) {
			difference, surest = d, math.Abs(d)/u.Std
		}
	}
	return difference
}

// unfret solves a kit anew without what was read of its frets and its nut, for they follow a fan that kits.csv does not tell of:
// fitted to another law they would turn the board and accuse each other.
func (s *solved) unfret(fan float64) error {
	bare := *s.Kit
	bare.Readings = slices.DeleteFunc(slices.Clone(bare.Readings), func(r measure.Reading) bool { return r.Feature == measure.Fret || r.Feature == measure.Nut })
	err := s.solve(&bare)
	s.untold = fan
	return err
}

// fanless is what is not known of a fan.
func (a *assembly) fanless() Missing {
	switch {
	case a.Fan.Difference != 0 && a.way == EdgeCheck: // along an edge nobody knows how far across a fret was read
		return Missing{Want: WantFretsOffEdges}
	case a.neck.untold != 0:
		return Missing{Want: WantFan}
	}
	return Missing{}
}

// fanColumn is by how much farther along each reading of a fret would lie were the bass edge's scale a
// millimetre longer than the treble edge's, and the fret at a share of the scale square; enough tells that
// two frets or more were read on each side.
func (a *assembly) fanColumn(straight float64) (column []float64, enough bool) {
	var frets [2]uint64 // a bit a fret, 0 the nut, by side
	for i, r := range a.Source {
		if r == nil || r.Feature != measure.Fret && r.Feature != measure.Nut || survey.Frame(r.Datum) != a.neck.frame {
			continue
		}
		across := 0.0 // -1 at the bass edge, 1 at the treble
		switch {
		case r.Datum == measure.DatumEdgeBass:
			across = -1
		case r.Datum == measure.DatumEdgeTreble:
			across = 1
		case r.HasOffset && a.uncentred.None():
			across = a.acrossBoard(r)
		}
		if math.Abs(across) < bothSidesOf {
			continue
		}
		if column == nil {
			column = slices.Grow(a.column[:0], len(a.Source))[:len(a.Source)]
			clear(column)
			a.column = column
		}
		column[i] = -across / 2 * (adjust.FretShare(r.Mark.Number) - straight)
		side := 0
		if across > 0 {
			side = 1
		}
		frets[side] |= 1 << r.Mark.Number
	}
	several := func(bits uint64) bool { return bits&(bits-1) != 0 }
	return column, several(frets[0]) && several(frets[1])
}

// acrossBoard is how far from the centre line a fret was read, in half widths of the board, of which both edges are known.
func (a *assembly) acrossBoard(r *measure.Reading) float64 {
	bass, _ := a.sideLine(a.neck.frame, measure.EdgeBass)
	treble, _ := a.sideLine(a.neck.frame, measure.EdgeTreble)
	toBass, toTreble := bass.Off(r.Station, r.Offset), treble.Off(r.Station, r.Offset)
	return (toBass + toTreble) / (toBass - toTreble)
}
