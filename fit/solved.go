package fit

import (
	"math"
	"math/rand/v2"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// solved is a survey with its unknowns, and the quantities made of them.
type solved struct {
	survey.Survey
	fit    *adjust.Solution
	solver adjust.Solver
	tape   autodiff.Tape

	scatter adjust.Scatter
	drawn   *rand.Rand // of a plan: draws the form of places
	frozen  bool       // quantities are plain numbers, of which nobody asks the uncertainty
	frozenX []float64  // the unknowns' values
	placed  *placed    // of a loose part, once it is settled

	untold float64 // the fan that kits.csv does not tell of, for which frets and nut were left out

	column  []float64                                 // a coefficient each row, for the latest unknown added
	directs []direct                                  // numbers found without a gradient
	ledger  ledger                                    // for the latest budget
	lines   survey.Map[survey.SideKey, autodiff.Line] // of sides, once they have been asked for
	sleeves survey.Map[survey.SideKey, sleeve]
	laid    survey.Map[layKey, registration]

	patterns survey.Map[survey.SideKey, holes]
}

// solve surveys a kit and adjusts it, over another one.
func (s *solved) solve(kit *measure.Kit) (err error) {
	s.Assemble(kit)
	s.untold = 0
	if s.drawn != nil {
		s.leaveForm(s.drawn)
	}
	s.fit, err = s.solver.Solve(&s.Problem, adjust.Options{Scatter: s.scatter, Alpha: falseMisfit})
	s.tape.Reset(len(s.Problem.Start) + Moves)
	s.lines.Clear()
	s.sleeves.Clear()
	s.laid.Clear()
	s.patterns.Clear()
	s.directs = s.directs[:0]
	return err
}

// common is what the gauges' maximum errors bring to an uncertainty, of what its causes bring, which every kit read with them shares; a
// straightedge seats anew on each.
func (s *solved) common(causes []float64) float64 {
	variance := 0.0
	for i, std := range causes {
		if s.Gauges[i].Kind != survey.SeatKind {
			variance += std * std
		}
	}
	return math.Sqrt(variance)
}

// direct is a number of the residuals as a finding has it.
func (s *solved) direct(value float64, u *adjust.Uncertainty, row int) *direct {
	s.directs = append(s.directs, direct{value, u.Std, u.DOF, u.Doubt, row})
	return &s.directs[len(s.directs)-1]
}

// gradient by the unknowns alone, without the moves of a remedy. It is good until the next one.
func (s *solved) gradient(q autodiff.Variable) []float64 {
	return s.tape.Gradient(q)[:len(s.Problem.Start)]
}

// uncertainty is the quantity's, good until the next one.
func (s *solved) uncertainty(q autodiff.Variable) *adjust.Uncertainty {
	s.fit.UncertaintyInto(s.gradient(q), &s.ledger.uncertainty)
	return &s.ledger.uncertainty
}

func (s *solved) x(unknown int) autodiff.Variable {
	if s.frozen {
		return autodiff.Constant(s.valueOf(unknown))
	}
	return s.tape.Unknown(unknown, s.valueOf(unknown))
}

// valueOf is an unknown's, adjusted.
func (s *solved) valueOf(unknown int) float64 {
	if s.frozen {
		return s.frozenX[unknown]
	}
	return s.fit.X[unknown]
}

// sideLine is a side offset = a + b (station - c) as n.p = d with n toward treble.
func (s *solved) sideLine(frame measure.Datum, f measure.Feature) (autodiff.Line, bool) {
	key := survey.SideAt(frame, f)
	if l := s.lines.Get(key); l != nil {
		return *l, true
	}
	on := s.Sides.Get(key)
	if on == nil {
		return autodiff.Line{}, false
	}
	l := s.lines.Put(key)
	*l = s.leaning(on).Line()
	return *l, true
}

func (s *solved) leaning(on *survey.Side) autodiff.Side {
	return autodiff.Side{A: s.x(on.A), B: s.x(on.B), C: on.C}
}

// endLine is an end station = a + b (offset - c) as n.p = d with n toward the tail.
func (s *solved) endLine(frame measure.Datum, f measure.Feature) (autodiff.Line, bool) {
	l, ok := s.sideLine(frame, f)
	return autodiff.Line{N: autodiff.Vector{X: l.N.Y, Y: l.N.X}, D: l.D}, ok
}

// gapAt is the gap beside a wall at a station, or before the pocket's end at an offset.
func (s *solved) gapAt(f measure.Feature, at float64) (autodiff.Variable, bool) {
	on := s.Sides.Get(survey.GapBeside(measure.DatumBody, f))
	if on == nil {
		return autodiff.Variable{}, false
	}
	gap := s.leaning(on).YAt(at)
	if u, ok := on.At(at); ok {
		gap = gap.Plus(s.x(u))
	}
	return gap, true
}

// place is where a hole or a string's place lies; false where a coordinate was not read.
func (s *solved) place(frame measure.Datum, f measure.Feature, mark int) (autodiff.Vector, bool) {
	p := s.Point(frame, f, mark)
	if !p.Located() {
		return autodiff.Vector{}, false
	}
	return autodiff.Vector{X: s.x(p.Station), Y: s.x(p.Offset)}, true
}

// diameter of a hole, where it was read.
func (s *solved) diameter(frame measure.Datum, f measure.Feature, mark int) (float64, bool) {
	p := s.Point(frame, f, mark)
	if p == nil || !p.HasDiameter {
		return 0, false
	}
	return s.valueOf(p.Diameter), true
}

// holes are the marks of a feature in a frame: those of which anything was read, and of them, in rising order, those
// that were located.
type holes struct {
	told    Marks
	located []int
}

// Reset empties them.
func (h *holes) Reset() { *h = holes{located: h.located[:0]} }

func (s *solved) holes(frame measure.Datum, f measure.Feature) *holes {
	of := survey.SideAt(frame, f)
	if h := s.patterns.Get(of); h != nil {
		return h
	}
	h := s.patterns.Put(of)
	for i, key := range s.Points.Keys() { // sorted by mark
		if key.Frame() == frame && key.Feature() == f {
			h.told.add(key.Mark())
			if s.Points.At(i).Located() {
				h.located = append(h.located, key.Mark())
			}
		}
	}
	return h
}

// told are the marks of a feature of which anything was read in a frame.
func (s *solved) told(frame measure.Datum, f measure.Feature) Marks { return s.holes(frame, f).told }

// marks lists, in rising order, the marks of a feature that were located in a frame.
func (s *solved) marks(frame measure.Datum, f measure.Feature) []int {
	return s.holes(frame, f).located
}

// sleeve is a heel, a pocket or a fingerboard by itself: its two sides and their bisector.
type sleeve struct {
	there, reached bool            // both sides have been read; it was looked how far they were
	mid            autodiff.Line   // their bisector, in the datum's frame
	own            autodiff.Motion // from there to the bisector's frame
	autodiff.Taper                 // how they lie along it

	long bool                 // it was read at two places apart
	ends [2]autodiff.Variable // the outermost of them, along the bisector

	local [2]autodiff.Variable // how much wider it is there than its sides say; nothing where no width was read there
	wide  [2]autodiff.Variable // how wide it is there

	closed  bool               // its end was read
	end     autodiff.Line      // then that, and where it meets the sides of a heel, in the bisector's frame
	corners [2]autodiff.Vector // bass and treble
}

// pair is a part's two sides; they are there when both have been read.
func (s *solved) pair(frame measure.Datum, across measure.Feature) *sleeve {
	key := survey.SideAt(frame, across)
	sl := s.sleeves.Get(key)
	if sl != nil {
		return sl
	}
	sl = s.sleeves.Put(key)
	sides := survey.Partners(across)
	bass, treble := s.Sides.Get(survey.SideAt(frame, sides[0])), s.Sides.Get(survey.SideAt(frame, sides[1]))
	if sl.there = bass != nil && treble != nil; sl.there {
		sl.mid, sl.Taper = autodiff.Halve(s.leaning(bass), s.leaning(treble))
		sl.own = autodiff.FrameOf(sl.mid)
	}
	return sl
}

// closed is a heel or a pocket with its end.
func (s *solved) closed(frame measure.Datum, across, end measure.Feature) *sleeve {
	sl := s.pair(frame, across)
	if !sl.there || sl.closed {
		return sl
	}
	s.sleeve(frame, across) // while the tape is short: a gradient goes back from where its quantity was recorded
	var line autodiff.Line
	if line, sl.closed = s.endLine(frame, end); sl.closed {
		sl.end = sl.own.Line(line)
		if across == measure.Heel {
			sides := sl.Taper.Sides()
			sl.corners = [2]autodiff.Vector{autodiff.Meet(sides[0], sl.end), autodiff.Meet(sides[1], sl.end)}
		}
	}
	return sl
}

// leastApart is how far apart two places must be to be a mouth and an end: a taper over less than
// that tells nothing about a pocket.
const leastApart = 5.0 // mm

// sleeve is a part's two sides with its ends: false where it was not read at two places apart.
func (s *solved) sleeve(frame measure.Datum, across measure.Feature) (*sleeve, bool) {
	sl := s.pair(frame, across)
	if !sl.there || sl.reached {
		return sl, sl.long
	}
	sl.reached = true
	low, high := s.reachOf(sl, frame, across)
	if sl.long = high-low > leastApart; sl.long {
		sl.ends = [2]autodiff.Variable{sl.own.X(sl.mid.MarkAt(low)), sl.own.X(sl.mid.MarkAt(high))}
		if w := s.Widths.Get(survey.SideAt(frame, across)); w != nil && w.Local[0] >= 0 {
			// Widths were read where the part was read outermost, or not quite there.
			along := func(x float64) float64 { return sl.own.Cos.Value*x - sl.own.Sin.Value*sl.mid.AtX(x).Y.Value }
			if along(w.LowX)-low <= leastApart {
				sl.local[0] = s.x(w.Local[0])
			}
			if high-along(w.HighX) <= leastApart {
				sl.local[1] = s.x(w.Local[1])
			}
		}
		for i, x := range sl.ends {
			sl.wide[i] = sl.Width(x).Plus(sl.local[i])
		}
	}
	return sl, sl.long
}

// reachOf are the outermost places, along the bisector, at which the part was read.
func (s *solved) reachOf(sl *sleeve, frame measure.Datum, across measure.Feature) (low, high float64) {
	low, high = inf, -inf
	see := func(x, y float64) {
		along := sl.own.Cos.Value*x - sl.own.Sin.Value*y
		low, high = min(low, along), max(high, along)
	}
	for _, side := range survey.Partners(across) {
		if on := s.Sides.Get(survey.SideAt(frame, side)); on.N > 0 {
			see(on.LowX, on.LowY)
			see(on.HighX, on.HighY)
		}
	}
	if w := s.Widths.Get(survey.SideAt(frame, across)); w != nil {
		see(w.LowX, sl.mid.AtX(w.LowX).Y.Value)
		see(w.HighX, sl.mid.AtX(w.HighX).Y.Value)
	}
	return low, high
}
