package adjust

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
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
// Common causes do not enter the weights. Where the rank is short each step is the shortest one,
// so linear parts get the shortest correction to Start. The error tells of a number that cannot
// be used or wraps ErrNoConvergence; an index out of range panics.
func Solve(p *Problem, o Options) (*Solution, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if o.MaxIterations == 0 {
		o.MaxIterations = defaultIterations
	}
	s := &Solution{X: append([]float64(nil), p.Start...), Condition: 1, options: o, causes: p.Causes, parts: split(p)}
	w := &work{p: p, x: s.X, grad: make([]float64, len(s.X)), unused: make([]float64, len(s.X))}
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
	p      *Problem
	x      []float64
	grad   []float64 // scratch, zero between uses
	unused []float64 // scratch for a gradient that is not wanted
}

// solve brings the part's unknowns in x to the least sum of squares and leaves its factored
// equations in it. It returns the number of steps.
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
		length, noise := pt.fittedLength(b), w.rounding(pt, a)
		if length <= stepTolerance*(1+norm(b))+noise {
			w.move(pt, dx, 1)
			return step, nil
		}
		chi2 := dot(b, b)
		now := w.descend(pt, dx, math.Pow(norm(b)+noise, 2))
		if chi2-now <= standstill*(1+chi2) && length <= immaterial {
			return step, nil
		}
	}
	return fail(fmt.Sprintf("do not settle in %d steps", most))
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
	share := 1.0
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
		clear(w.unused)
		s.add(-r.Model.Eval(w.x, w.unused))
	}
	return s.value()
}

// judge fills in what the solution says about the rows.
func (s *Solution) judge(w *work) {
	n := len(w.p.Rows)
	s.Fitted, s.Residuals, s.Redundancy = make([]float64, n), make([]float64, n), make([]float64, n)
	s.sigma, s.rowPart, s.rowPlace = make([]float64, n), make([]int, n), make([]int, n)
	s.DOF = n
	for k := range s.parts {
		pt := &s.parts[k]
		s.DOF -= pt.q.cols
		for at, i := range pt.rows {
			s.rowPart[i], s.rowPlace[i] = k, at
			s.sigma[i] = w.p.Rows[i].Sigma
			s.Residuals[i] = w.misfit(i)
			s.Fitted[i] = w.p.Rows[i].Value - s.Residuals[i]
			s.Redundancy[i] = redundancy(pt.q.row(at))
			s.ChiSquare += math.Pow(s.Residuals[i]/s.sigma[i], 2)
		}
		s.spread(pt)
		s.shifts = append(s.shifts, shiftsOf(w.p, pt))
	}
	s.PValue = 1
	if s.DOF > 0 {
		s.PValue = distuv.ChiSquared{K: float64(s.DOF)}.Survival(s.ChiSquare)
	}
	s.Scale = scale(s.ChiSquare, s.DOF, s.options.UnknownScale)
}

// noRedundancy is the redundancy that is only the rounding of zero: leverages are sums of up to
// some hundred squares, each right to 1e-16.
const noRedundancy = 1e-12

func redundancy(q []float64) float64 {
	r := 1 - dot(q, q)
	if r < noRedundancy {
		return 0
	}
	return r
}

// spread writes the part's free directions out over all unknowns.
func (s *Solution) spread(pt *part) {
	for _, d := range pt.null {
		full := make([]float64, len(s.X))
		for j, u := range pt.unknowns {
			full[u] = d[j]
		}
		s.Null = append(s.Null, full)
	}
}

func shiftsOf(p *Problem, pt *part) grid {
	g := newGrid(len(pt.rows), len(p.Causes))
	for at, i := range pt.rows {
		for _, shift := range p.Rows[i].Shifts {
			g.row(at)[shift.Cause] += shift.Coef / p.Rows[i].Sigma
		}
	}
	return g
}

// scale is the factor that the residuals put on the Sigmas (Birge 1932), raised only unless the
// scale is unknown; 1 without redundancy.
func scale(chi2 float64, dof int, unknown bool) float64 {
	if dof <= 0 {
		return 1
	}
	ratio := math.Sqrt(chi2 / float64(dof))
	if unknown {
		return ratio
	}
	return max(1, ratio)
}
