package adjust

import "slices"

// component is a connected component of the sparsity pattern: unknowns that rows tie to each other, and
// to no others, with those rows. Its equations are solved by themselves.
type component struct {
	unknowns  []int // indices into Start, rising
	rows      []int // indices into Rows, rising
	linear    bool
	reach     []float64   // of the unknowns, or nil
	blocks    []block     // of rows that share an error
	misfits   []float64   // of the rows at the solution, whitened
	raw       grid        // rows by causes: what one standard deviation of each does to them, over theirs
	shifts    grid        // likewise, whitened
	all, pure spread      // of all rows; and of rows of one place about their mean, which is the gauge's alone
	groups    []int       // that its places are of
	whole     bool        // all its rows are of one
	aside     [][]float64 // directions of suspects that are no scatter: of one, square to each other and to the columns of Q
	first     int         // number of its first column of Q among those of all components
	firstFree int         // and of its first free direction
	factor
}

// spread is how far rows scatter beside what is claimed for them.
type spread struct {
	chi2  float64
	dof   int
	scale float64 // Birge's factor, 1 where the claims hold
	by    int     // degrees of freedom that it was found with
}

// position is where a row or an unknown is: its component and the place in it.
type position struct{ component, place int }

// split sorts the equations into components, in order of the first unknown. Rows without unknowns (a
// known quantity read again) make a last one of their own. Kits read by one sheet have one sparsity pattern:
// where it is that of the last problem, so are its components.
func (v *Solver) split(p *Problem) {
	former := v.pattern
	v.pattern, v.former = v.former[:0], former
	for i := range p.Rows {
		v.pattern = append(p.appendUnknowns(v.pattern, &p.Rows[i]), -1)
	}
	v.pattern = append(v.pattern, len(p.Start))
	if !slices.Equal(v.pattern, former) {
		v.layout.reset()
		v.connect(p)
	}
	for k := range v.components {
		c := &v.components[k]
		c.linear, c.reach = true, nil
		for _, i := range c.rows {
			c.linear = c.linear && p.Rows[i].Model == nil
		}
		if p.Reach == nil {
			continue
		}
		c.reach = v.mem.floats.raw(len(c.unknowns))
		for at, u := range c.unknowns {
			c.reach[at] = p.Reach[u]
		}
	}
}

// connect finds the components of the pattern.
func (v *Solver) connect(p *Problem) {
	unknowns := forest(v.layout.ints.raw(len(p.Start)))
	for i := range unknowns {
		unknowns[i] = i
	}
	rows := v.layout.ints.raw(len(p.Rows)) // an unknown of each
	pattern, bare := v.pattern, false
	for i := range p.Rows {
		n := slices.Index(pattern, -1)
		list := pattern[:n]
		pattern = pattern[n+1:]
		if n == 0 {
			rows[i], bare = -1, true
			continue
		}
		rows[i] = list[0]
		for _, j := range list[1:] {
			a, b := unknowns.root(list[0]), unknowns.root(j)
			unknowns[max(a, b)] = min(a, b) // the lower index stays root, so that the order of the rows changes nothing
		}
	}
	count, of := 0, v.layout.ints.raw(len(p.Start)) // each unknown's component
	for j := range unknowns {
		if root := unknowns.root(j); root < j {
			of[j] = of[root]
		} else {
			of[j] = count
			count++
		}
	}
	for i, j := range rows {
		if j >= 0 {
			rows[i] = of[j]
		} else {
			rows[i] = count
		}
	}
	if bare {
		count++
	}
	v.fill(of, rows, count)
}

// fill gives the components their lists.
func (v *Solver) fill(unknowns, rows []int, count int) {
	if count > cap(v.components) {
		v.components = make([]component, 2*count)
	}
	v.components = v.components[:count]
	v.unknownAt, v.rowAt = v.unknownAt[:0], v.rowAt[:0]
	unknownLists, rowLists := v.deal(unknowns, count, &v.unknownAt), v.deal(rows, count, &v.rowAt)
	first := 0
	for k := range v.components {
		c := &v.components[k]
		c.unknowns, c.rows, c.first = unknownLists(k), rowLists(k), first
		first += len(c.unknowns)
	}
}

// deal sorts indices by their components into a list each, and notes where they are.
func (v *Solver) deal(of []int, count int, at *[]position) (list func(component int) []int) {
	ends := v.layout.ints.take(count + 1)
	for _, k := range of {
		ends[k+1]++
	}
	for k := range count {
		ends[k+1] += ends[k]
	}
	next, all := v.layout.ints.raw(count), v.layout.ints.raw(len(of))
	copy(next, ends)
	for i, k := range of {
		*at = append(*at, position{k, next[k] - ends[k]})
		all[next[k]] = i
		next[k]++
	}
	return func(k int) []int { return all[ends[k]:ends[k+1]:ends[k+1]] }
}

// appendUnknowns adds the unknowns that a row hangs on to a list. A Model that does not say hangs on all.
func (p *Problem) appendUnknowns(list []int, r *Row) []int {
	switch m := r.Model.(type) {
	case nil:
	case Scoped:
		list = m.AppendUnknowns(list)
	default:
		for j := range p.Start {
			list = append(list, j)
		}
	}
	for _, t := range r.Terms {
		list = append(list, t.Unknown)
	}
	return list
}

// forest is the usual one of disjoint sets, at first of one each.
type forest []int

func (f forest) root(i int) int {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}
