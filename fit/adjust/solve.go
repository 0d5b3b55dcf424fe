package adjust

import (
	"errors"
	"fmt"
	"math"
)

const (
	defaultIterations = 50
	// halvings of a step before it is given up: 2^-30 of a step moves nothing that matters.
	halvings = 30
	// stepTolerance ends the iteration when a step changes the fitted values, all together, by
	// less than this many standard deviations (of a fit that agrees with its Sigmas).
	stepTolerance = 1e-9
	// standstill ends it, too, when the sum of squares falls by no more than the rounding of some
	// hundred terms: along weakly fixed directions it is flat.
	standstill = 1e-14
	// immaterial is the step, in standard deviations, that a standstill may leave undone. A
	// direction set free by Reach turns from step to step and keeps some thousandths alive.
	immaterial = 0.1
	// roundings is how many units in the last place a fitted value may be off: a model takes
	// some ten operations.
	roundings = 16 * 0x1p-53
)

// ErrNoConvergence is what Solve returns, wrapped, when Gauss-Newton steps do not settle.
var ErrNoConvergence = errors.New("least squares does not converge")

// Solve minimises the sum of (Residual/Sigma)^2. Unknowns that no row ties together are solved
// apart. Each part is a QR factorisation of whitened, scaled columns with iterative refinement,
// or singular values where the rank is short; rows that are not linear take Gauss-Newton steps,
// halved where the sum would rise. Columns are not centred: give lines, planes and polynomials a
// centre near the middle of their points.
//
// Common causes do not enter the weights. Where the rank is short each step is the shortest one
// (counted in Reach, if given), so linear parts get the shortest correction to Start. The error
// tells of a number that cannot be used or wraps ErrNoConvergence; an index out of range panics.
func Solve(p *Problem, o Options) (*Solution, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if o.Alpha < 0 || o.Alpha >= 1 {
		panic("adjust: Alpha is a chance, 0 (for the default) or more and below 1")
	}
	if o.MaxIterations == 0 {
		o.MaxIterations = defaultIterations
	}
	s := &Solution{X: append([]float64(nil), p.Start...), Condition: 1, options: o, causes: p.Causes, parts: split(p)}
	w := &work{p: p, relative: o.UnknownScale, x: s.X, grad: make([]float64, len(s.X)), unused: make([]float64, len(s.X))}
	for i := range s.parts {
		steps, err := w.solve(&s.parts[i], o.MaxIterations)
		if err != nil {
			return nil, err
		}
		s.Iterations = max(s.Iterations, steps)
		s.Condition = max(s.Condition, s.parts[i].condition)
	}
	s.judge(w)
	return s, nil
}

// work is what the parts share while they are solved.
type work struct {
	p        *Problem
	relative bool // the Sigmas are
	x        []float64
	grad     []float64 // scratch, zero between uses
	unused   []float64 // scratch for a gradient that is not wanted
}

// solve brings the part's unknowns in x to the least sum of squares and leaves its factored
// equations in it. It returns the number of steps.
//
// Without a reach, rank that is lost on the way is an unknown that has run to where no row feels
// it; with one, a weak direction may come and go.
func (w *work) solve(pt *part, most int) (int, error) {
	fail := func(how string) (int, error) {
		return 0, fmt.Errorf("%w: row %d and those tied to it %s", ErrNoConvergence, pt.rows[0], how)
	}
	rank := 0
	for step := 1; step <= most; step++ {
		a, b := w.equations(pt)
		if !finite(norm(a.v)) || !finite(norm(b)) {
			return fail("leave the numbers")
		}
		pt.basis = factor(a, pt.reach)
		if pt.reach == nil && pt.q.cols < rank {
			return fail("lose hold of their unknowns")
		}
		rank = pt.q.cols
		dx := pt.leastSquares(a, b)
		if pt.linear {
			w.move(pt, dx, 1)
			return step, nil
		}
		length, noise, deviation := pt.fittedLength(b), w.rounding(pt, a), w.deviation(b)
		if length <= stepTolerance*(deviation+norm(b))+noise {
			w.move(pt, dx, 1)
			return step, nil
		}
		chi2 := dot(b, b)
		now := w.descend(pt, dx, math.Pow(norm(b)+noise, 2))
		if chi2-now <= standstill*(deviation*deviation+chi2) && length <= immaterial*deviation {
			return step, nil
		}
	}
	return fail(fmt.Sprintf("do not settle in %d steps", most))
}

// deviation is what counts as one standard deviation of whitened misfits b: 1, or about their own
// length where the Sigmas are only relative.
func (w *work) deviation(b []float64) float64 {
	if w.relative {
		return norm(b)
	}
	return 1
}

// fittedLength is how far a full step against misfits b would change the fitted values, in
// standard deviations, all together.
func (pt *part) fittedLength(b []float64) float64 {
	c := make([]float64, pt.q.cols)
	pt.q.timesT(b, c)
	return norm(c)
}

// rounding is what rounding may add to the part's whitened misfits, all together.
func (w *work) rounding(pt *part, a grid) float64 {
	sum := 0.0
	for i := range a.rows {
		size := math.Abs(w.p.Rows[pt.rows[i]].Value) / w.p.Rows[pt.rows[i]].Sigma
		for j, v := range a.row(i) {
			size += math.Abs(v * w.x[pt.unknowns[j]])
		}
		sum += size * size
	}
	return roundings * math.Sqrt(sum)
}

// descend moves by dx, or by the half, quarter ... of it that first brings the sum of squares to
// most or less, and returns that sum. It stays, and returns most, where none does.
func (w *work) descend(pt *part, dx []float64, most float64) float64 {
	before := make([]float64, len(dx))
	for j, u := range pt.unknowns {
		before[j] = w.x[u]
	}
	share := pt.firstShare(dx)
	for range halvings {
		w.move(pt, dx, share)
		sum := 0.0
		for _, i := range pt.rows {
			d := w.misfit(i) / w.p.Rows[i].Sigma
			sum += d * d
		}
		if sum <= most {
			return sum
		}
		for j, u := range pt.unknowns {
			w.x[u] = before[j]
		}
		share /= 2
	}
	return most
}

// firstShare is the share of a step that stays within the reach.
func (pt *part) firstShare(dx []float64) float64 {
	furthest := 1.0
	for j, r := range pt.reach {
		furthest = max(furthest, math.Abs(dx[j])/r)
	}
	return 1 / furthest
}

func (w *work) move(pt *part, dx []float64, share float64) {
	for j, u := range pt.unknowns {
		w.x[u] += share * dx[j]
	}
}

// equations returns the part's whitened Jacobian and misfits at x.
func (w *work) equations(pt *part) (grid, []float64) {
	a, b := newGrid(len(pt.rows), len(pt.unknowns)), make([]float64, len(pt.rows))
	for i, row := range pt.rows {
		r := &w.p.Rows[row]
		b[i] = w.misfit(row) / r.Sigma
		if r.Model != nil {
			r.Model.Eval(w.x, w.grad)
		}
		for _, t := range r.Terms {
			w.grad[t.Unknown] += t.Coef
		}
		for j, u := range pt.unknowns {
			a.row(i)[j] = w.grad[u] / r.Sigma
			w.grad[u] = 0
		}
	}
	return a, b
}

// misfit is Value less what the equation of row i gives at x.
func (w *work) misfit(i int) float64 {
	r := &w.p.Rows[i]
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
