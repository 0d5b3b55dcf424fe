package adjust

import (
	"errors"
	"fmt"
	"math"
)

const (
	defaultIterations = 50
	// roundings is how many units in the last place a fitted value may be off: a model takes
	// some ten operations.
	roundings = 16 * 0x1p-53
)

// ErrNoConvergence is what Solve returns, wrapped, when Gauss-Newton steps do not settle.
var ErrNoConvergence = errors.New("least squares does not converge")

// Solve minimises the sum of (Residual/Sigma)^2. Unknowns that no row ties together are solved
// apart. Each part is a QR factorisation of whitened, scaled columns with iterative refinement (by
// Gram and Schmidt, made square again where need be, if the columns are few, else by Householder),
// or singular values where the rank is short; rows that are not linear take Gauss-Newton steps,
// halved where the sum would rise. Columns are not centred: give lines, planes and polynomials a
// centre near the middle of their points.
//
// Common causes do not enter the weights. Where the rank is short each step is the shortest one
// (counted in Reach, if given), so linear parts get the shortest correction to Start. The error
// tells of a number that cannot be used or wraps ErrNoConvergence; an index out of range panics.
func Solve(p *Problem, o Options) (*Solution, error) { return new(Solver).Solve(p, o) }

// work is what the parts share while they are solved.
type work struct {
	mem      arena
	p        *Problem
	relative bool // the Sigmas are
	plain    bool
	x        []float64
	grad     []float64 // scratch, zero between uses
	unused   []float64 // scratch for a gradient that is not wanted
	most     int       // steps

	headed  bool // heading is that at x of the board with these slopes
	sides   [2]int
	heading heading
}

// solve brings the part's unknowns in x to the least sum of squares and leaves its factored
// equations in it. It returns the number of steps.
func (v *Solver) solve(pt *part, most int) (int, error) {
	switch pt.way {
	case byItself: // did not pass
	case asMean:
		if v.single(pt) {
			return 1, nil
		}
	case asLine:
		if v.pair(pt) {
			return 1, nil
		}
	case inSteps:
		pt.basis, pt.misfits = basis{}, nil
		if !pt.linear {
			return v.iterate(pt, most)
		}
		return v.straight(pt)
	}
	v.known = false // what was laid out is written over
	pt.basis, pt.misfits = basis{}, nil
	return v.straight(pt)
}

// straight solves a linear part in one step.
func (w *work) straight(pt *part) (int, error) {
	a, b := w.equations(pt)
	if !finite(norm(a.v)) || !finite(norm(b)) {
		return pt.fail("leave the numbers")
	}
	w.factor(pt, a)
	w.move(pt, pt.leastSquares(&w.mem, a, b, pt.along(&w.mem, b)), 1)
	if pt.condition < wellConditioned {
		w.polish(pt, a, b)
	}
	return 1, nil
}

// polish improves a linear part whose equations were not refined: its misfits, from rows in twice
// the precision, are wanted in any case, and what is left along the columns is the rounding of the
// first solution.
func (w *work) polish(pt *part, a grid, b []float64) {
	for at, i := range pt.rows {
		b[at] = w.misfit(i) / w.p.Rows[i].Sigma
	}
	dx := pt.back(&w.mem, pt.along(&w.mem, b))
	w.move(pt, dx, 1)
	pt.keep(a, b, dx)
}

// keep leaves misfits b, after one more short step dx, to judge by.
func (pt *part) keep(a grid, b, dx []float64) {
	for i := range b {
		b[i] -= dot(a.row(i), dx)
	}
	pt.misfits = b
}

func (pt *part) fail(how string) (int, error) {
	return 0, fmt.Errorf("%w: row %d and those tied to it %s", ErrNoConvergence, pt.rows[0], how)
}

func (w *work) move(pt *part, dx []float64, share float64) {
	for j, u := range pt.unknowns {
		w.x[u] += share * dx[j]
	}
}

// equations returns the part's whitened Jacobian and misfits at x.
func (w *work) equations(pt *part) (grid, []float64) {
	a, b := w.mem.raw(len(pt.rows), len(pt.unknowns)), w.mem.floats.raw(len(pt.rows))
	w.evaluate(pt, a, b, true)
	return a, b
}

// evaluate writes the part's whitened Jacobian and misfits at x, and returns what rounding may add to
// the misfits, all together. The slopes of linear rows are written the first time only.
func (w *work) evaluate(pt *part, a grid, b []float64, first bool) (noise float64) {
	w.headed = false
	for i, row := range pt.rows {
		r := &w.p.Rows[row]
		weight := 1 / r.Sigma
		if r.Model == nil && !first {
			misfit, size := w.misfitSize(r)
			b[i] = misfit * weight
			noise += size * weight * size * weight
			continue
		}
		misfit, into := w.differentiate(r), a.row(i)
		b[i] = misfit * weight
		size := math.Abs(r.Value)
		for j, u := range pt.unknowns {
			slope := w.grad[u]
			w.grad[u] = 0
			into[j] = slope * weight
			size += math.Abs(slope * w.x[u])
		}
		noise += size * weight * size * weight
	}
	return roundings * math.Sqrt(noise)
}

// misfitSize is the misfit of a linear row and how large the numbers are that it is the rest of.
func (w *work) misfitSize(r *Row) (misfit, size float64) {
	var s sum2
	s.add(r.Value)
	size = math.Abs(r.Value)
	for k := range r.Terms {
		t := &r.Terms[k]
		s.addProduct(-t.Coef, w.x[t.Unknown])
		size += math.Abs(t.Coef * w.x[t.Unknown])
	}
	return s.value(), size
}

// differentiate adds a row's slopes to grad and returns its misfit.
func (w *work) differentiate(r *Row) float64 {
	if r.Model != nil && len(r.Terms) == 0 {
		return r.Value - w.eval(r.Model)
	}
	var s sum2
	s.add(r.Value)
	for k := range r.Terms {
		t := &r.Terms[k]
		s.addProduct(-t.Coef, w.x[t.Unknown])
		w.grad[t.Unknown] += t.Coef
	}
	if r.Model != nil {
		s.add(-w.eval(r.Model))
	}
	return s.value()
}

// eval is the model's Eval, to which it hands what all frets of a board have in common.
func (w *work) eval(model Model) float64 {
	switch m := model.(type) {
	case fretAt:
		return m.eval(w.headingOf(&m.board), w.x, w.grad)
	case fretOnCentre:
		return m.eval(w.headingOf(&m.board), w.x, w.grad)
	}
	return model.Eval(w.x, w.grad)
}

// headingOf is the board's at x, where it mostly is that of the row before.
func (w *work) headingOf(b *Fretboard) *heading {
	if sides := [2]int{b.First.B, b.Second.B}; !w.headed || sides != w.sides {
		w.heading, w.headed, w.sides = b.heading(w.x), true, sides
	}
	return &w.heading
}

// misfit is Value less what the equation of row i gives at x.
func (w *work) misfit(i int) float64 {
	r := &w.p.Rows[i]
	if r.Model == nil && len(r.Terms) == 1 {
		return math.FMA(-r.Terms[0].Coef, w.x[r.Terms[0].Unknown], r.Value) // rounded once
	}
	var s sum2
	s.add(r.Value)
	for _, t := range r.Terms {
		s.addProduct(-t.Coef, w.x[t.Unknown])
	}
	if r.Model != nil {
		s.add(-r.Model.Eval(w.x, w.unused)) // what piles up in unused nobody reads
	}
	return s.value()
}
