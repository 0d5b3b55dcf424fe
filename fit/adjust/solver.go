package adjust

// Solver solves one problem after another in the same memory. The zero Solver is ready to use; it
// must not be used by two goroutines at a time.
type Solver struct {
	work
	solution Solution
	parts    []part
	nulls    [][]float64
	touched  []int // scratch
	counting []int // 0, 1, 2 ...
	criticals
}

// Solve is the package's Solve. The Solution, and everything in it and reached through it, is good
// until the next Solve of the same Solver; until then several goroutines may ask it. It keeps
// nothing of p, which may be written over at once.
func (v *Solver) Solve(p *Problem, o Options) (*Solution, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if o.Alpha < 0 || o.Alpha >= 1 {
		panic("adjust: Alpha is a chance, 0 (for the default) or more and below 1")
	}
	if o.MaxIterations == 0 {
		o.MaxIterations = defaultIterations
	}
	v.mem.reset()
	s := &v.solution
	*s = Solution{Condition: 1, options: o, X: v.mem.floats.take(len(p.Start)), causes: v.mem.floats.take(len(p.Causes))}
	copy(s.X, p.Start)
	copy(s.causes, p.Causes)
	v.begin(p, s.X, o)
	v.split(p)
	for i := range s.parts {
		steps, err := v.solve(&s.parts[i], o.MaxIterations)
		if err != nil {
			return nil, err
		}
		s.Iterations = max(s.Iterations, steps)
		s.Condition = max(s.Condition, s.parts[i].condition)
	}
	v.judge()
	return s, nil
}

// begin makes the scratch that the parts share.
func (w *work) begin(p *Problem, x []float64, o Options) {
	w.p, w.x, w.relative, w.plain = p, x, o.UnknownScale, o.plain
	w.grad, w.unused = w.mem.floats.take(len(x)), w.mem.floats.take(len(x))
}
