package adjust

// part is a set of unknowns that rows tie to each other, and to no others, with those rows. Its
// equations are solved by themselves.
type part struct {
	unknowns  []int // indices into Start, rising
	rows      []int // indices into Rows, rising
	linear    bool
	reach     []float64 // of the unknowns, or nil
	misfits   []float64 // of the rows at the solution, whitened, where solving has found them
	first     int       // number of its first orthonormal column among those of all parts
	firstFree int       // and of its first free direction
	count     struct{ unknowns, rows int }
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
			v.add()
		} else {
			s.unknownPart[j] = s.unknownPart[root] // it is lower
		}
		at := &v.parts[s.unknownPart[j]]
		s.unknownPlace[j] = at.count.unknowns
		at.count.unknowns++
	}
	v.sortRows(p)
	v.fill(p)
	s.parts = v.parts
}

// add adds an empty part.
func (v *Solver) add() {
	if k := len(v.parts); k < cap(v.parts) {
		v.parts = v.parts[:k+1]
		v.parts[k] = part{}
	} else {
		v.parts = append(v.parts, part{})
	}
	v.parts[len(v.parts)-1].linear = true
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
		switch {
		case unknown >= 0:
			s.rowPart[i] = s.unknownPart[unknown]
		default:
			if bare < 0 {
				bare = len(v.parts)
				v.add()
			}
			s.rowPart[i] = bare
		}
		at := &v.parts[s.rowPart[i]]
		s.rowPlace[i] = at.count.rows
		at.count.rows++
		at.linear = at.linear && p.Rows[i].Model == nil
	}
}

// fill gives the parts their lists, once all are counted.
func (v *Solver) fill(p *Problem) {
	s := &v.solution
	unknowns, rows := v.mem.ints.take(len(p.Start)), v.mem.ints.take(len(p.Rows))
	for k := range v.parts {
		at := &v.parts[k]
		at.unknowns, unknowns = unknowns[:at.count.unknowns], unknowns[at.count.unknowns:]
		at.rows, rows = rows[:at.count.rows], rows[at.count.rows:]
	}
	for j, k := range s.unknownPart {
		v.parts[k].unknowns[s.unknownPlace[j]] = j
	}
	for i, k := range s.rowPart {
		v.parts[k].rows[s.rowPlace[i]] = i
	}
	if p.Reach == nil {
		return
	}
	room := v.mem.floats.take(len(p.Start))
	for k := range v.parts {
		at := &v.parts[k]
		at.reach, room = room[:len(at.unknowns)], room[len(at.unknowns):]
		for j, u := range at.unknowns {
			at.reach[j] = p.Reach[u]
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
