package adjust

// part is a set of unknowns that rows tie to each other, and to no others, with those rows. Its
// equations are solved by themselves.
type part struct {
	unknowns  []int // indices into Start, rising
	rows      []int // indices into Rows, rising
	linear    bool
	reach     []float64                                 // of the unknowns, or nil
	misfits   []float64                                 // of the rows at the solution, whitened, where solving has found them
	first     int                                       // number of its first orthonormal column among those of all parts
	firstFree int                                       // and of its first free direction
	count     struct{ unknowns, rows, first, last int } // numbers of them, first and last unknown
	basis
}

// split sorts the equations into parts, in order of the first unknown. Rows without unknowns
// (a known quantity read again) make a last part of their own.
func (v *Solver) split(p *Problem) {
	s := &v.solution
	s.unknownPart, s.unknownPlace = v.mem.ints.take(len(p.Start)), v.mem.ints.take(len(p.Start))
	s.rowPart, s.rowPlace = v.mem.ints.take(len(p.Rows)), v.mem.ints.take(len(p.Rows))
	tied := newTies(v.mem.ints.take(len(p.Start)))
	for i := range p.Rows {
		s.rowPart[i] = v.tie(tied, p, i) // an unknown for now
	}
	v.parts = v.parts[:0]
	for j := range p.Start {
		root := tied.root(j)
		if root == j {
			s.unknownPart[j] = len(v.parts)
			v.add().count.first = j
		} else {
			s.unknownPart[j] = s.unknownPart[root] // it is lower
		}
		at := &v.parts[s.unknownPart[j]]
		s.unknownPlace[j] = at.count.unknowns
		at.count.unknowns++
		at.count.last = j
	}
	v.sortRows(p)
	v.fill(p)
	s.parts = v.parts
}

// add adds a part and returns it, empty.
func (v *Solver) add() *part {
	if k := len(v.parts); k < cap(v.parts) {
		v.parts = v.parts[:k+1]
	} else {
		v.parts = append(v.parts, part{})
	}
	at := &v.parts[len(v.parts)-1]
	*at = part{linear: true}
	return at
}

// tie joins the unknowns of row i and returns the first of them, -1 if it has none.
func (v *Solver) tie(tied ties, p *Problem, i int) int {
	r := &p.Rows[i]
	list := v.touched[:0]
	switch m := r.Model.(type) {
	case nil:
		if len(r.Terms) == 1 {
			return r.Terms[0].Unknown
		}
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
	v.touched = list
	if len(list) == 0 {
		return -1
	}
	for _, j := range list[1:] {
		tied.join(list[0], j)
	}
	return list[0]
}

// sortRows finds each row's part and place in it.
func (v *Solver) sortRows(p *Problem) {
	s, bare := &v.solution, -1
	for i, unknown := range s.rowPart {
		k := bare
		switch {
		case unknown >= 0:
			k = s.unknownPart[unknown]
		case bare < 0:
			k, bare = len(v.parts), len(v.parts)
			v.add()
		}
		at := &v.parts[k]
		s.rowPart[i], s.rowPlace[i] = k, at.count.rows
		at.count.rows++
		if p.Rows[i].Model != nil {
			at.linear = false
		}
	}
}

// fill gives the parts their lists, once all are counted. Unknowns that follow each other, as those
// of most parts do, need no list of their own.
func (v *Solver) fill(p *Problem) {
	s := &v.solution
	for j := len(v.counting); j < len(p.Start); j++ {
		v.counting = append(v.counting, j)
	}
	reach := v.mem.floats.take(len(p.Reach))
	copy(reach, p.Reach)
	rows := v.mem.ints.take(len(p.Rows))
	for k := range v.parts {
		at := &v.parts[k]
		at.rows, rows = rows[:at.count.rows], rows[at.count.rows:]
		first, end := at.count.first, at.count.first+at.count.unknowns
		if at.count.unknowns > 0 && at.count.last+1 != end {
			v.gather(at, k, reach)
			continue
		}
		at.unknowns = v.counting[first:end]
		if p.Reach != nil {
			at.reach = reach[first:end]
		}
	}
	for i, k := range s.rowPart {
		v.parts[k].rows[s.rowPlace[i]] = i
	}
}

// gather lists unknowns that do not follow each other.
func (v *Solver) gather(at *part, k int, reach []float64) {
	at.unknowns = v.mem.ints.take(at.count.unknowns)[:0]
	if len(reach) > 0 {
		at.reach = v.mem.floats.take(at.count.unknowns)[:0]
	}
	for j := at.count.first; j <= at.count.last; j++ {
		if v.solution.unknownPart[j] != k {
			continue
		}
		at.unknowns = append(at.unknowns, j)
		if len(reach) > 0 {
			at.reach = append(at.reach, reach[j])
		}
	}
}

// ties is the usual forest of disjoint sets.
type ties []int

func newTies(room []int) ties {
	for i := range room {
		room[i] = i
	}
	return room
}

func (t ties) root(i int) int {
	for t[i] != i {
		t[i] = t[t[i]]
		i = t[i]
	}
	return i
}

// join keeps the lower index as root, so that the order of the rows changes nothing.
func (t ties) join(i, j int) {
	i, j = t.root(i), t.root(j)
	t[max(i, j)] = min(i, j)
}
