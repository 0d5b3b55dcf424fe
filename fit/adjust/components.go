package adjust

// way is how a part is solved.
type way uint8

const (
	inSteps  way = iota // by factors
	byItself            // one unknown, one row that is a multiple of it: see lone
	asMean              // one unknown: see single
	asLine              // two: see pair
)

// part is a set of unknowns that rows tie to each other, and to no others, with those rows. Its
// equations are solved by themselves.
type part struct {
	unknowns  []int // indices into Start, rising
	rows      []int // indices into Rows, rising
	way       way
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
func (l *layout) split(p *Problem, plain bool) {
	l.begin(p)
	l.unknownPart, l.unknownPlace = l.mem.ints.take(len(p.Start)), l.mem.ints.take(len(p.Start))
	l.rowPart, l.rowPlace = l.mem.ints.take(len(p.Rows)), l.mem.ints.take(len(p.Rows))
	tied := newTies(l.mem.ints.take(len(p.Start)))
	for i := range p.Rows {
		l.rowPart[i] = l.tie(tied, p, i) // an unknown for now
	}
	for j := range p.Start {
		root := tied.root(j)
		if root == j {
			l.unknownPart[j] = len(l.parts)
			l.add().count.first = j
		} else {
			l.unknownPart[j] = l.unknownPart[root] // it is lower
		}
		at := &l.parts[l.unknownPart[j]]
		l.unknownPlace[j] = at.count.unknowns
		at.count.unknowns++
		at.count.last = j
	}
	l.sortRows(p)
	l.fill(p)
	l.choose(p, plain)
}

// add adds a part and returns it, empty.
func (l *layout) add() *part {
	if k := len(l.parts); k < cap(l.parts) {
		l.parts = l.parts[:k+1]
	} else {
		l.parts = append(l.parts, part{})
	}
	at := &l.parts[len(l.parts)-1]
	*at = part{linear: true}
	return at
}

// tie joins the unknowns of row i, notes them on the sheet and returns the first of them, -1 if it has
// none.
func (l *layout) tie(tied ties, p *Problem, i int) int {
	r := &p.Rows[i]
	l.note(r)
	list := l.touched[:0]
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
	l.touched = list
	if len(list) == 0 {
		return -1
	}
	for _, j := range list[1:] {
		tied.join(list[0], j)
	}
	return list[0]
}

// sortRows finds each row's part and place in it.
func (l *layout) sortRows(p *Problem) {
	bare := -1
	for i, unknown := range l.rowPart {
		k := bare
		switch {
		case unknown >= 0:
			k = l.unknownPart[unknown]
		case bare < 0:
			k, bare = len(l.parts), len(l.parts)
			l.add()
		}
		at := &l.parts[k]
		l.rowPart[i], l.rowPlace[i] = k, at.count.rows
		at.count.rows++
		if p.Rows[i].Model != nil {
			at.linear = false
		}
	}
}

// fill gives the parts their lists, once all are counted.
func (l *layout) fill(p *Problem) {
	l.reach = l.mem.floats.take(len(p.Reach)) // in order of the columns
	unknowns, rows, first := l.mem.ints.take(len(p.Start)), l.mem.ints.take(len(p.Rows)), 0
	for k := range l.parts {
		at := &l.parts[k]
		end := first + at.count.unknowns
		at.rows, rows = rows[:at.count.rows], rows[at.count.rows:]
		at.unknowns, at.first = unknowns[first:end:end], first
		if p.Reach != nil {
			at.reach = l.reach[first:end:end]
		}
		first = end
	}
	l.order = unknowns
	for j, k := range l.unknownPart {
		l.parts[k].unknowns[l.unknownPlace[j]] = j
	}
	for i, k := range l.rowPart {
		l.parts[k].rows[l.rowPlace[i]] = i
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
