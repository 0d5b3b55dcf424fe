package adjust

// layout is how equations fall into parts. That hangs on which unknowns each row has and on nothing
// else, and kits that are measured by one sheet all have the same: so it is kept from one Solve to
// the next, with room for what the closed forms write.
type layout struct {
	mem      arena   // apart from a Solver's, which begins anew with each Solve
	known    bool    // it is of the last problem, and as new
	sheet    []int32 // which unknowns each row has, see note
	unknowns int     // how many
	rows     int
	reached  bool // there was a reach
	parts    []part
	order    []int     // the unknowns, part after part
	reach    []float64 // likewise
	lones    []lone
	own      []float64 // t of each unknown that is one, 0 of others
	signs    []float64 // and its orthonormal column
	column   []int     // that column's number
	rest     []int     // the parts that are not among them

	// where a row and an unknown are: the part and the place in it
	rowPart, rowPlace, unknownPart, unknownPlace []int

	touched []int // scratch
}

// begin takes back all that is of another problem.
func (l *layout) begin(p *Problem) {
	l.mem.reset()
	l.unknowns, l.rows, l.reached = len(p.Start), len(p.Rows), p.Reach != nil
	l.parts, l.sheet, l.lones, l.rest = l.parts[:0], l.sheet[:0], l.lones[:0], l.rest[:0]
}

// choose says how each part is solved and gives those of one and two unknowns, which most parts are,
// the room that they write their factors to.
func (l *layout) choose(p *Problem, plain bool) {
	n := len(p.Start)
	l.own, l.signs, l.column = l.mem.floats.take(n), l.mem.floats.take(n), l.mem.ints.take(n)
	for k := range l.parts {
		at := &l.parts[k]
		at.choose(p, plain)
		switch m := len(at.rows); at.way {
		case byItself:
			l.lone(at)
			continue
		case asMean:
			if m == 0 {
				l.unread(at)
			} else {
				l.furnish(at, m)
			}
		case asLine:
			l.furnish(at, m)
			at.misfits = l.mem.floats.take(m)
		case inSteps:
		}
		l.rest = append(l.rest, k)
	}
}

func (pt *part) choose(p *Problem, plain bool) {
	switch n, m := len(pt.unknowns), len(pt.rows); {
	case plain || !pt.linear:
	case n == 1 && m == 1 && len(p.Rows[pt.rows[0]].Terms) == 1:
		pt.way = byItself
	case n == 1:
		pt.way = asMean
	case n == 2 && m >= 2:
		pt.way = asLine
	}
}

// furnish makes room for the factors of a part of full rank with so many rows.
func (l *layout) furnish(pt *part, rows int) {
	n := len(pt.unknowns)
	pt.basis = basis{units: l.mem.grid(n, rows), t: l.mem.grid(n, n), scale: pt.reach, condition: 1}
	if pt.reach == nil {
		pt.scale = l.mem.floats.take(n)
	}
}

// lone notes an unknown with a row to itself.
func (l *layout) lone(pt *part) {
	u := pt.unknowns[0]
	l.lones = append(l.lones, lone{pt.rows[0], u, pt.first})
	l.column[u] = pt.first
	pt.basis = basis{
		units: grid{1, 1, l.signs[u : u+1 : u+1]}, t: grid{1, 1, l.own[u : u+1 : u+1]}, scale: pt.reach, condition: 1,
	}
	if pt.reach == nil {
		pt.scale = l.mem.floats.take(1)
	}
}

// alone is the free direction of a part of one unknown.
var alone = [][]float64{{1}}

// unread is the basis of an unknown without rows.
func (l *layout) unread(pt *part) {
	pt.basis = basis{t: grid{rows: 1}, null: alone, scaled: alone, scale: pt.reach, condition: 1}
	if pt.reach == nil {
		pt.scale = alone[0]
	}
}

// note adds a row to the sheet: the number of its terms and whether there is a model in one word, the
// terms' unknowns, and of a model the number of its unknowns and these.
func (l *layout) note(r *Row) {
	l.sheet = append(l.sheet, kindOf(r))
	for _, t := range r.Terms {
		l.sheet = append(l.sheet, int32(t.Unknown))
	}
	if r.Model == nil {
		return
	}
	list, all := l.modelled(r.Model)
	l.sheet = append(l.sheet, all)
	for _, j := range list {
		l.sheet = append(l.sheet, int32(j))
	}
}

func kindOf(r *Row) int32 {
	if r.Model != nil {
		return int32(2*len(r.Terms) + 1)
	}
	return int32(2 * len(r.Terms))
}

// modelled lists a model's unknowns and gives their number, -1 for all that there are.
func (l *layout) modelled(m Model) (list []int, n int32) {
	scoped, ok := m.(Scoped)
	if !ok {
		return nil, -1
	}
	l.touched = scoped.AppendUnknowns(l.touched[:0])
	return l.touched, int32(len(l.touched))
}

// fits reports whether a problem is laid out as the last one was and all its numbers can be used, in
// one go over the rows. Whoever hears no has to look which it is.
func (l *layout) fits(p *Problem) bool {
	if !l.known || len(p.Start) != l.unknowns || len(p.Rows) != l.rows || (p.Reach != nil) != l.reached || !p.usable() {
		return false
	}
	at := 0
	for i := range p.Rows {
		r := &p.Rows[i]
		if !r.usable(len(p.Causes)) || l.sheet[at] != kindOf(r) {
			return false
		}
		at++
		for k := range r.Terms {
			if t := &r.Terms[k]; t.Unknown != int(l.sheet[at]) || !finite(t.Coef) {
				return false
			}
			at++
		}
		if r.Model == nil {
			continue
		}
		list, all := l.modelled(r.Model)
		if l.sheet[at] != all {
			return false
		}
		at++
		for _, j := range list {
			if j != int(l.sheet[at]) {
				return false
			}
			at++
		}
	}
	return true
}

// usable is check of all but the rows.
func (p *Problem) usable() bool {
	if p.Reach != nil && len(p.Reach) != len(p.Start) {
		return false
	}
	for _, x := range p.Start {
		if !finite(x) {
			return false
		}
	}
	for _, r := range p.Reach {
		if !(r > 0 && finite(r)) {
			return false
		}
	}
	for _, sd := range p.Causes {
		if !(sd >= 0 && finite(sd)) {
			return false
		}
	}
	return true
}

// usable is checkRow of all but the terms.
func (r *Row) usable(causes int) bool {
	if !(r.Sigma > 0) || !finite(r.Value) || !finite(r.Sigma) {
		return false
	}
	for k := range r.Shifts {
		if s := &r.Shifts[k]; uint(s.Cause) >= uint(causes) || !finite(s.Coef) {
			return false
		}
	}
	return true
}
