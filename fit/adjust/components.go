package adjust

// part is a set of unknowns that rows tie to each other, and to no others, with those rows. Its
// equations are solved by themselves.
type part struct {
	unknowns []int // indices into Start
	rows     []int // indices into Rows
	linear   bool
	reach    []float64 // of the unknowns, or nil
	basis
}

// split sorts the equations into parts, in order of the first unknown. Rows without unknowns
// (a known quantity read again) make a last part of their own.
func split(p *Problem) []part {
	tied := newTies(len(p.Start))
	for i := range p.Rows {
		tied.all(touched(p, &p.Rows[i]))
	}
	roots := 0
	for j := range p.Start {
		if tied.root(j) == j {
			roots++
		}
	}
	parts := make([]part, 0, roots+1)
	place := make([]int, len(p.Start)) // 1 + the part of a root
	for j := range p.Start {
		root := tied.root(j)
		if place[root] == 0 {
			parts = append(parts, part{linear: true})
			place[root] = len(parts)
		}
		at := &parts[place[root]-1]
		at.unknowns = append(at.unknowns, j)
		if p.Reach != nil {
			at.reach = append(at.reach, p.Reach[j])
		}
	}
	bare := part{linear: true}
	for i := range p.Rows {
		at := &bare
		if first := touched(p, &p.Rows[i]).first(); first >= 0 {
			at = &parts[place[tied.root(first)]-1]
		}
		at.rows = append(at.rows, i)
		at.linear = at.linear && p.Rows[i].Model == nil
	}
	if len(bare.rows) > 0 {
		parts = append(parts, bare)
	}
	return parts
}

// touch is what a row depends on: its terms' unknowns and others.
type touch struct {
	terms  []Term
	others []int
	every  int // number of unknowns when the row may depend on all of them
}

func touched(p *Problem, r *Row) touch {
	t := touch{terms: r.Terms}
	switch m := r.Model.(type) {
	case nil:
	case Scoped:
		t.others = m.Unknowns()
	default:
		t.every = len(p.Start)
	}
	return t
}

func (t touch) first() int {
	switch {
	case t.every > 0:
		return 0
	case len(t.terms) > 0:
		return t.terms[0].Unknown
	case len(t.others) > 0:
		return t.others[0]
	}
	return -1
}

// ties is the usual forest of disjoint sets.
type ties []int

func newTies(n int) ties {
	t := make(ties, n)
	for i := range t {
		t[i] = i
	}
	return t
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

func (t ties) all(w touch) {
	first := w.first()
	for _, term := range w.terms {
		t.join(first, term.Unknown)
	}
	for _, j := range w.others {
		t.join(first, j)
	}
	for j := range w.every {
		t.join(first, j)
	}
}
