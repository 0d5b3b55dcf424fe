package adjust

// Solver solves one problem after another in the same memory. The zero Solver is ready to use; it
// must not be used by two goroutines at a time.
type Solver struct {
	work
	layout
	solution Solution
	nulls    [][]float64
	criticals
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
	if err := v.lay(p, o.plain); err != nil {
		return nil, err
	}
	v.begin(p, o)
	if err := v.solveLones(); err != nil {
		return nil, err
	}
	for _, k := range v.rest {
		if err := v.solvePart(&v.parts[k]); err != nil {
			return nil, err
		}
	}
	v.judge()
	return &v.solution, nil
}

// lay checks the problem and finds its parts, unless they are those of the last one.
func (v *Solver) lay(p *Problem, plain bool) error {
	if plain || !v.fits(p) {
		v.known = false
		if err := p.check(); err != nil {
			return err
		}
		v.split(p, plain)
	}
	v.known = !plain
	for at, u := range v.order {
		if p.Reach != nil {
			v.reach[at] = p.Reach[u]
		}
	}
	return nil
}

// begin makes the solution and the scratch that the parts share.
func (v *Solver) begin(p *Problem, o Options) {
	v.work.mem.reset()
	floats := &v.work.mem.floats
	unknowns, rows, causes := len(p.Start), len(p.Rows), len(p.Causes)
	v.solution = Solution{
		X: floats.raw(unknowns), Fitted: floats.raw(rows), Residuals: floats.raw(rows), Redundancy: floats.raw(rows),
		DOF: rows, Condition: 1,
		options: o, sigma: floats.raw(rows), causes: floats.raw(causes),
		shifts: v.work.mem.grid(rows, causes), common: v.work.mem.grid(unknowns, causes),
		parts: v.parts, own: v.own, column: v.column,
		rowPart: v.rowPart, rowPlace: v.rowPlace, unknownPart: v.unknownPart, unknownPlace: v.unknownPlace,
	}
	copy(v.solution.X, p.Start)
	copy(v.solution.causes, p.Causes)
	v.p, v.x, v.relative, v.plain, v.most = p, v.solution.X, o.UnknownScale, o.plain, o.MaxIterations
	v.grad, v.unused = floats.take(unknowns), floats.take(unknowns)
	v.nulls = v.nulls[:0]
}

// solvePart solves a part and notes what comes of it.
func (v *Solver) solvePart(pt *part) error {
	s := &v.solution
	steps, err := v.solve(pt, v.most)
	if err != nil {
		return err
	}
	s.Iterations = max(s.Iterations, steps)
	s.Condition = max(s.Condition, pt.condition)
	v.judgePart(pt)
	return nil
}
