package adjust

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

const (
	defaultIterations = 50
	// roundings is how many units in the last place a fitted value may be off: a model takes
	// some ten operations.
	roundings = 16 * 0x1p-53
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
	// sameColumns is how far columns, seen along those of Q, may have turned since they were factored for
	// the factors to stand: variances differ by twice that share.
	sameColumns = 1e-10
)

// ErrNoConvergence is what Solve returns, wrapped, when Gauss-Newton steps do not settle.
var ErrNoConvergence = errors.New("least squares does not converge")

// Solve minimises the sum of (Residual/Sigma)^2. Connected components of the sparsity pattern are solved
// apart, each by a QR factorisation of whitened columns with iterative refinement where they are not
// well conditioned, or by singular values where the rank is short; rows that are not linear take
// Gauss-Newton steps, halved where the sum would rise. Columns are not centred: give lines and planes a
// centre near the middle of their points.
//
// Common causes do not enter the weights. Where the rank is short each step is the shortest one
// counted in Reach, or else in lengths of columns. The error
// tells of a number that cannot be used or wraps ErrNoConvergence; an index out of range panics.
func Solve(p *Problem, o Options) (*Solution, error) { return new(Solver).Solve(p, o) }

// Solver solves one problem after another in the same memory. The zero Solver is ready to use; it
// must not be used by two goroutines at a time.
type Solver struct {
	mem     arena
	p       *Problem
	grad    []float64 // scratch, zero between uses
	nulls   [][]float64
	likes   []*spread // room
	free    []float64 // the share of itself that the place of each row shows
	shifts  []float64 // room for those of the components that are still to be solved
	layout  arena     // of the components, which outlast a problem
	pattern []int     // the unknowns of each row, -1 after each; at last the number of unknowns
	former  []int     // that of the problem before
	Solution
}

// Solve is the package's Solve. The Solution, and everything in it and reached through it, is good
// until the next Solve of the same Solver; until then several goroutines may ask it. It keeps
// nothing of p, which may be written over at once.
func (v *Solver) Solve(p *Problem, o Options) (*Solution, error) {
	if o.Alpha < 0 || o.Alpha >= 1 {
		panic("adjust: Alpha is a chance, 0 (for the default) or more and below 1")
	}
	if o.MaxIterations == 0 {
		o.MaxIterations = defaultIterations
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	v.mem.reset()
	floats := &v.mem.floats
	unknowns, rows, causes := len(p.Start), len(p.Rows), len(p.Causes)
	v.p = p
	v.Solution = Solution{
		X: floats.raw(unknowns), Residuals: floats.raw(rows),
		Condition: 1,
		options:   o, sigma: floats.raw(rows), own: floats.raw(rows), causes: floats.raw(causes),
		common: v.mem.grid(unknowns, causes), alongs: v.alongs,
		scaled: v.scaled[:0], groups: v.groups[:0], groupOf: v.mem.ints.raw(rows), odd: floats.raw(rows),
		components: v.components, unknownAt: v.unknownAt, rowAt: v.rowAt, // as they were
	}
	copy(v.X, p.Start)
	copy(v.causes, p.Causes)
	v.grad, v.nulls, v.shifts, v.free = floats.take(unknowns), v.nulls[:0], floats.take(rows*causes), floats.raw(rows)
	v.split(p)
	v.correlate(p)
	for k := range v.components {
		c := &v.components[k]
		steps, err := v.solve(c)
		if err != nil {
			return nil, err
		}
		v.Iterations, v.Condition = max(v.Iterations, steps), max(v.Condition, c.condition)
		v.judge(c)
	}
	if len(v.nulls) > 0 {
		v.Null = v.nulls
	}
	v.findAlongs()
	v.snoop()
	v.findGroups()
	for k := range v.components {
		c := &v.components[k]
		c.all.birge(o.UnknownScale)
		c.pure.birge(o.UnknownScale)
	}
	if !o.UnknownScale {
		v.pool(func(c *component) *spread {
			if c.all.dof == c.pure.dof || len(c.unknowns) == 1 || c.all.dof < enoughScatter && (c.pure.dof > 0 || v.repeated(c)) {
				return &c.all
			}
			return nil
		})
		v.pool(func(c *component) *spread { return &c.pure })
	}
	redundant := false
	for k := range v.components {
		c := &v.components[k]
		if c.all.scale != 1 || len(c.groups) > 0 {
			v.scaled = append(v.scaled, k)
		}
		if c.all.dof > 0 {
			v.Scale, redundant = max(v.Scale, c.all.scale), true
		}
	}
	if !redundant {
		v.Scale = 1
	}
	return &v.Solution, nil
}

// solve brings the component's unknowns to the least sum of squares and leaves its equations factored. It
// returns the number of steps. Without a reach, rank that is lost on the way is an unknown that has run to
// where no row feels it; with one, a weak direction may come and go.
func (v *Solver) solve(c *component) (int, error) {
	if len(c.unknowns) == 1 && c.linear && len(c.blocks) == 0 && v.mean(c) {
		return 1, nil
	}
	a, b := v.mem.raw(len(c.rows), len(c.unknowns)), v.mem.floats.raw(len(c.rows))
	c.misfits = b
	var factored grid
	noise := v.evaluate(c, a, b)
	for step := 1; step <= v.options.MaxIterations; step++ {
		size := norm(b)
		if !finite(noise) || !finite(size) {
			return c.fail("leave the numbers")
		}
		if step == 1 || !c.stands(a, factored) {
			rank := c.q.rows
			c.take(&v.mem, a, c.reach)
			if step > 1 && c.reach == nil && c.q.rows < rank {
				return c.fail("lose hold of their unknowns")
			}
			if !c.linear {
				factored = v.mem.raw(a.rows, a.cols)
				copy(factored.v, a.v)
			}
		}
		dx, length := c.leastSquares(&v.mem, a, b)
		if c.linear {
			v.move(c, dx, 1)
			subtractProduct(b, a, dx)
			return step, nil
		}
		deviation := v.deviation(size)
		if length <= stepTolerance*(deviation+size)+noise {
			v.move(c, dx, 1)
			subtractProduct(b, a, dx) // so short a step bends nothing
			return step, nil
		}
		var chi2 float64
		chi2, noise = v.descend(c, a, b, dx, (size+noise)*(size+noise))
		if size*size-chi2 <= standstill*(deviation*deviation+size*size) && length <= immaterial*deviation {
			if !c.stands(a, factored) {
				c.take(&v.mem, a, c.reach)
			}
			return step, nil
		}
	}
	return c.fail(fmt.Sprintf("do not settle in %d steps", v.options.MaxIterations))
}

// deviation is what counts as one standard deviation of misfits whose root of the sum of squares is size.
func (v *Solver) deviation(size float64) float64 {
	if v.options.UnknownScale {
		return size
	}
	return 1
}

// mean solves a linear component of one unknown, which most are, in closed form: x moves by
// sum(a b) / sum(a^2). It gives up where the column is zero, leaves the numbers or moves nothing within the reach.
func (v *Solver) mean(c *component) bool {
	n, u := len(c.rows), c.unknowns[0]
	room := v.mem.floats.raw(2*n + 2)
	column, misfits := room[:n:n], room[n:2*n:2*n]
	square, along := 0.0, 0.0
	for at, i := range c.rows {
		r := &v.p.Rows[i]
		coef := 0.0
		for _, t := range r.Terms {
			coef += t.Coef
		}
		weight := 1 / v.sigma[i]
		b := math.FMA(-coef, v.X[u], r.Value) * weight // rounded once
		coef *= weight
		column[at], misfits[at] = coef, b
		square += coef * coef
		along += coef * b
	}
	if !(square > leastSquare && square < mostSquare && finite(along)) || c.reach != nil && square*c.reach[0]*c.reach[0] < 1 {
		return false
	}
	dx, inverse := along/square, 1/math.Sqrt(square)
	v.X[u] += dx
	for at, a := range column {
		misfits[at] -= a * dx
		column[at] = a * inverse
	}
	room[2*n], room[2*n+1] = inverse, inverse
	c.misfits = misfits
	c.factor = factor{q: grid{1, n, column}, rInverse: grid{1, 1, room[2*n : 2*n+1]}, scale: room[2*n+1:], condition: 1}
	if c.reach != nil {
		c.scale = c.reach
	}
	return true
}

// subtractProduct takes A x out of b.
func subtractProduct(b []float64, a grid, x []float64) {
	for i := range b {
		b[i] -= dot(a.row(i), x)
	}
}

// stands reports whether the factors of former equations do for a: with full rank and A' now, whether
// the rows of A' rInverse - Q are all but zero.
func (c *component) stands(a, former grid) bool {
	if c.q.rows < a.cols {
		return false
	}
	sum := 0.0
	for j := range a.cols {
		along := 0.0 // of this unknown's column
		for i := j; i < len(a.v); i += a.cols {
			d := a.v[i] - former.v[i]
			along += d * d
		}
		t := c.rInverse.row(j)
		sum += math.Sqrt(along * dot(t, t))
	}
	return sum <= sameColumns
}

func (c *component) fail(how string) (int, error) {
	return 0, fmt.Errorf("%w: %d equations tied to each other %s", ErrNoConvergence, len(c.rows), how)
}

func (v *Solver) move(c *component, dx []float64, share float64) {
	for j, u := range c.unknowns {
		v.X[u] += share * dx[j]
	}
}

// descend moves by dx, or by the half, quarter ... of it that first brings the sum of squares to
// most or less, and returns that sum with what rounding may add to misfits. It stays, and returns most, where
// none does. No step goes beyond the reach. It leaves the equations at the new place.
func (v *Solver) descend(c *component, a grid, b, dx []float64, most float64) (sum, noise float64) {
	furthest := 1.0
	for j, r := range c.reach {
		furthest = max(furthest, math.Abs(dx[j])/r)
	}
	before, share := v.mem.floats.raw(len(dx)), 1/furthest
	for j, u := range c.unknowns {
		before[j] = v.X[u]
	}
	for range halvings {
		v.move(c, dx, share)
		noise = v.evaluate(c, a, b)
		if sum = dot(b, b); sum <= most {
			return sum, noise
		}
		for j, u := range c.unknowns {
			v.X[u] = before[j]
		}
		share /= 2
	}
	return most, v.evaluate(c, a, b)
}

// evaluate writes the component's whitened Jacobian and misfits at X, and returns what rounding may add to
// the misfits, all together.
func (v *Solver) evaluate(c *component, a grid, b []float64) (noise float64) {
	for at, i := range c.rows {
		r, slopes := &v.p.Rows[i], a.row(at)
		clear(slopes)
		var misfit sum2
		misfit.add(r.Value)
		size := math.Abs(r.Value)
		for _, t := range r.Terms {
			misfit.addProduct(-t.Coef, v.X[t.Unknown])
			slopes[v.unknownAt[t.Unknown].place] += t.Coef
			size += math.Abs(t.Coef * v.X[t.Unknown])
		}
		if r.Model != nil {
			misfit.add(-r.Model.Eval(v.X, v.grad))
			for j, u := range c.unknowns {
				slope := v.grad[u]
				v.grad[u] = 0
				slopes[j] += slope
				size += math.Abs(slope * v.X[u])
			}
		}
		weight := 1 / v.sigma[i]
		scaleBy(slopes, weight)
		b[at] = misfit.value() * weight
		noise += size * weight * size * weight
	}
	c.whiten(a.v, a.cols)
	c.whiten(b, 1)
	return roundings * math.Sqrt(noise)
}

// project takes out of a vector of the rows, whitened, what the columns of Q explain.
func (c *component) project(e []float64) {
	for k := range c.q.rows {
		addTo(e, -dot(c.q.row(k), e), c.q.row(k))
	}
}

// judge fills in what the solution says about the rows of a component.
func (v *Solver) judge(c *component) {
	c.firstFree = len(v.nulls)
	for _, d := range c.null {
		full := v.mem.floats.take(len(v.X))
		for j, u := range c.unknowns {
			full[u] = d[j]
		}
		v.nulls = append(v.nulls, full)
	}
	residuals := c.misfits
	if len(c.blocks) > 0 {
		residuals = v.mem.floats.raw(len(c.rows))
		copy(residuals, c.misfits)
		c.unwhiten(residuals)
	}
	size := len(c.rows) * len(v.causes)
	c.shifts = grid{len(c.rows), len(v.causes), v.shifts[:size:size]}
	v.shifts = v.shifts[size:]
	for at, i := range c.rows {
		sigma, shifts := v.sigma[i], c.shifts.row(at)
		v.Residuals[i] = residuals[at] * sigma
		for _, s := range v.p.Rows[i].Shifts {
			shifts[s.Cause] += s.Coef / sigma * v.causes[s.Cause]
		}
	}
	if c.raw = c.shifts; len(c.blocks) > 0 {
		c.raw = v.mem.raw(len(c.rows), len(v.causes))
		copy(c.raw.v, c.shifts.v)
		c.whiten(c.shifts.v, len(v.causes))
	}
	for k := range c.q.rows {
		c.shifts.timesT(c.q.row(k), v.common.row(c.first+k))
	}
	c.all = spread{chi2: dot(c.misfits, c.misfits), dof: len(c.rows) - c.q.rows}
	c.pure, c.aside = spread{}, nil
	for k := range c.blocks {
		if b := &c.blocks[k]; b.place {
			chi2, dof := b.scatter(c.misfits)
			c.pure.chi2 += chi2
			c.pure.dof += dof
		}
	}
	v.ChiSquare += c.all.chi2
	v.DOF += c.all.dof
}

// birgeHolds is the chance of a larger chi-square from which on rows are taken to scatter as claimed. Beyond it their
// standard deviations are taken from their scatter and intervals are Student's. Gauges three times worse than claimed
// are found by four redundant rows in 95 of 100 cases; and of those that are as claimed one in five pays for that. Below
// enoughScatter degrees of freedom Student's factor is so long that the claim is given up only for fewHold.
const (
	birgeHolds    = 0.2
	fewHold       = 0.01
	enoughScatter = 4
)

// birge sets the factor on the standard deviations that residuals ask for (Birge 1932), never below 1 unless they are
// only relative; 1 without redundancy.
func (s *spread) birge(relative bool) {
	s.scale, s.by = 1, s.dof
	if s.dof <= 0 {
		return
	}
	ratio := math.Sqrt(s.chi2 / float64(s.dof))
	holds := birgeHolds
	if s.dof < enoughScatter {
		holds = fewHold
	}
	if relative || ratio > 1 && survival(s.chi2, s.dof) < holds {
		s.scale = ratio
	}
}

// repeated tells whether two rows of a component have one equation.
func (v *Solver) repeated(c *component) bool {
	for at, i := range c.rows {
		r := &v.p.Rows[i]
		again := func(j int) bool {
			o := &v.p.Rows[j]
			return slices.Equal(r.Terms, o.Terms) && (r.Model == nil) == (o.Model == nil)
		}
		if len(r.Terms) > 0 && slices.ContainsFunc(c.rows[:at], again) {
			return true
		}
	}
	return false
}

// pool gives likes one factor by the scatter of them all. Two readings of one hole say next to nothing of their gauge, and one pair among
// so many is easily far apart; together they say much. So it is for components of which only readings of the same places again tell, and
// those of few degrees of freedom of which they tell too. One that is so far beyond that none of so many is to be expected there keeps its
// own: what is wrong there stays there.
func (v *Solver) pool(like func(*component) *spread) {
	likes := v.likes[:0]
	for k := range v.components {
		if s := like(&v.components[k]); s != nil && s.dof > 0 {
			likes = append(likes, s)
		}
	}
	v.likes = likes
	if len(likes) < 2 {
		return
	}
	alone, usual := spreadAlpha(fewHold, len(likes)), v.usual(likes)
	likes = slices.DeleteFunc(likes, func(s *spread) bool {
		const inside = 4.0 // chi-square for a degree of freedom that is nothing out of the common
		chi2 := s.chi2 / usual
		return chi2 > inside*float64(s.dof) && survival(chi2, s.dof) < alone
	})
	var all spread
	for _, s := range likes {
		all.chi2, all.dof = all.chi2+s.chi2, all.dof+s.dof
	}
	all.birge(false)
	for _, s := range likes {
		s.scale, s.by = all.scale, all.dof
	}
}

// usual is chi-square for a degree of freedom, by the middle one of spreads, whatever a few of them are; at least 1. Half of those that are
// as claimed have less than dof (1 - 2/(9 dof))^3 (Wilson and Hilferty).
func (v *Solver) usual(likes []*spread) float64 {
	ratios := v.mem.floats.raw(len(likes))
	for k, s := range likes {
		dof := float64(s.dof)
		ratios[k] = s.chi2 / (dof * math.Pow(1-2/(9*dof), 3))
	}
	return max(1, Median(ratios))
}
