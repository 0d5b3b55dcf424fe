package fit

import (
	"neckfit/fit/adjust"
	"neckfit/measure"
)

// solved is a survey with its unknowns, and the quantities made of them.
type solved struct {
	*survey
	fit  *adjust.Solution
	tape *tape

	scratch []float64 // the latest gradient
}

func (s *survey) solve() (*solved, error) {
	fit, err := adjust.Solve(&s.problem, adjust.Options{})
	if err != nil {
		return nil, err
	}
	return &solved{survey: s, fit: fit, tape: newTape(len(s.problem.Start) + Moves)}, nil
}

// gradient by the unknowns alone, without the moves of a remedy. It is good until the next one.
func (s *solved) gradient(q quantity) []float64 {
	if s.scratch == nil {
		s.scratch = make([]float64, s.tape.unknowns)
	}
	return s.tape.gradientInto(q, s.scratch)[:len(s.problem.Start)]
}

func (s *solved) x(unknown int) quantity { return s.tape.unknown(unknown, s.fit.X[unknown]) }

// sideLine is a side offset = a + b (station - c) as n.p = d with n toward treble.
func (s *solved) sideLine(frame measure.Datum, f measure.Feature) (line, bool) {
	on, ok := s.sides[sideKey{frame, f, false}]
	if !ok {
		return line{}, false
	}
	return s.lineOf(on), true
}

func (s *solved) lineOf(on *side) line {
	a, b := s.x(on.A), s.x(on.B)
	h := constant(1).over(constant(1).hypot(b))
	return line{
		n: vector{b.negated().times(h), h},
		d: a.minus(b.scaled(on.C)).times(h),
	}
}

// endLine is an end station = a + b (offset - c) as n.p = d with n toward the tail.
func (s *solved) endLine(frame measure.Datum, f measure.Feature) (line, bool) {
	l, ok := s.sideLine(frame, f)
	return line{n: vector{l.n.y, l.n.x}, d: l.d}, ok
}

// gapAt is the gap beside a wall at a station, or before the pocket's end at an offset.
func (s *solved) gapAt(f measure.Feature, at float64) (quantity, bool) {
	on, ok := s.sides[sideKey{measure.DatumBody, f, true}]
	if !ok {
		return quantity{}, false
	}
	return s.x(on.A).plus(s.x(on.B).scaled(at - on.C)), true
}

// place is where a hole or a string's place lies; false where a coordinate was not read.
func (s *solved) place(frame measure.Datum, f measure.Feature, mark int) (vector, bool) {
	p := s.points[pointKey{frame, f, mark}]
	if !p.located() {
		return vector{}, false
	}
	return vector{s.x(p.station), s.x(p.offset)}, true
}

// diameter of a hole, where it was read.
func (s *solved) diameter(frame measure.Datum, f measure.Feature, mark int) (float64, bool) {
	p := s.points[pointKey{frame, f, mark}]
	if p == nil || !p.hasDiameter {
		return 0, false
	}
	return s.fit.X[p.diameter], true
}

// marks lists, in rising order, the marks of a feature that were located in a frame.
func (s *solved) marks(frame measure.Datum, f measure.Feature) []int {
	var list []int
	for m := 1; m <= s.highest; m++ {
		if s.points[pointKey{frame, f, m}].located() {
			list = append(list, m)
		}
	}
	return list
}
