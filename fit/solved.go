package fit

import (
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// solved is a survey with its unknowns, and the quantities made of them.
type solved struct {
	*survey
	fit    *adjust.Solution
	solver adjust.Solver
	tape   autodiff.Tape
	frozen bool // quantities are plain numbers, of which nobody asks the uncertainty

	scratch []float64 // the latest gradient
	marked  []int     // the latest marks
	column  []float64 // a coefficient each row, for the latest unknown added
	directs []direct  // numbers found without a gradient
	ledger  ledger    // for the latest budget
	sleeves shelf[sideKey, sleeve]
	laid    shelf[layKey, registration]
}

func (s *survey) solve() (*solved, error) {
	on := new(solved)
	return on, on.take(s)
}

// take solves a survey over another one's.
func (s *solved) take(survey *survey) (err error) {
	s.survey = survey
	s.fit, err = s.solver.Solve(&survey.problem, adjust.Options{})
	s.tape.Reset(len(survey.problem.Start) + Moves)
	s.sleeves.clear()
	s.laid.clear()
	s.directs = s.directs[:0]
	return err
}

// direct is a number of the residuals as a finding has it.
func (s *solved) direct(value, std float64) *direct {
	s.directs = append(s.directs, direct{value, std})
	return &s.directs[len(s.directs)-1]
}

// gradient by the unknowns alone, without the moves of a remedy. It is good until the next one.
func (s *solved) gradient(q autodiff.Variable) []float64 {
	s.scratch = slices.Grow(s.scratch[:0], s.tape.Unknowns())[:s.tape.Unknowns()]
	return s.tape.GradientInto(q, s.scratch)[:len(s.problem.Start)]
}

func (s *solved) x(unknown int) autodiff.Variable {
	if s.frozen {
		return autodiff.Constant(s.fit.X[unknown])
	}
	return s.tape.Unknown(unknown, s.fit.X[unknown])
}

// sideLine is a side offset = a + b (station - c) as n.p = d with n toward treble.
func (s *solved) sideLine(frame measure.Datum, f measure.Feature) (autodiff.Line, bool) {
	on := s.sides.get(sideAt(frame, f))
	if on == nil {
		return autodiff.Line{}, false
	}
	if !on.drawn {
		on.line, on.drawn = s.leaning(on).Line(), true
	}
	return on.line, true
}

func (s *solved) leaning(on *side) autodiff.Side {
	return autodiff.Side{A: s.x(on.A), B: s.x(on.B), C: on.C}
}

// endLine is an end station = a + b (offset - c) as n.p = d with n toward the tail.
func (s *solved) endLine(frame measure.Datum, f measure.Feature) (autodiff.Line, bool) {
	l, ok := s.sideLine(frame, f)
	return autodiff.Line{N: autodiff.Vector{X: l.N.Y, Y: l.N.X}, D: l.D}, ok
}

// gapAt is the gap beside a wall at a station, or before the pocket's end at an offset.
func (s *solved) gapAt(f measure.Feature, at float64) (autodiff.Variable, bool) {
	on := s.sides.get(besideWall(measure.DatumBody, f))
	if on == nil {
		return autodiff.Variable{}, false
	}
	return s.leaning(on).YAt(at), true
}

// place is where a hole or a string's place lies; false where a coordinate was not read.
func (s *solved) place(frame measure.Datum, f measure.Feature, mark int) (autodiff.Vector, bool) {
	p := s.point(frame, f, mark)
	if !p.located() {
		return autodiff.Vector{}, false
	}
	return autodiff.Vector{X: s.x(p.station), Y: s.x(p.offset)}, true
}

// diameter of a hole, where it was read.
func (s *solved) diameter(frame measure.Datum, f measure.Feature, mark int) (float64, bool) {
	p := s.point(frame, f, mark)
	if p == nil || !p.hasDiameter {
		return 0, false
	}
	return s.fit.X[p.diameter], true
}

// marks lists, in rising order, the marks of a feature that were located in a frame. The list is
// good until the next one.
func (s *solved) marks(frame measure.Datum, f measure.Feature) []int {
	list := s.marked[:0]
	for i, key := range s.points.keys { // sorted by mark
		if key.frame() == frame && key.feature() == f && s.points.values[i].located() {
			list = append(list, key.mark())
		}
	}
	s.marked = list
	return list
}
