package lot

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"neckfit/measure/workers"
)

// Assignment is a one-to-one match of rows (necks) with columns (bodies).
type Assignment struct {
	Column           []int // for each row its column, or -1
	Matched          int
	Total            float64 // cost of the matched pairs
	UnmatchedRows    []int   // ascending
	UnmatchedColumns []int
}

// Assign matches rows with columns one to one: as many pairs as can be, at the least total cost among
// those. The cost table is a slice of rows of equal length; costs are finite, or +Inf for a pair that
// cannot be. Of several best matches it returns the same one every time. A table that is empty, ragged
// or holds NaN or -Inf is an error.
func Assign(costs [][]float64) (*Assignment, error) {
	if len(costs) == 0 || len(costs[0]) == 0 {
		return nil, fmt.Errorf("nothing to match: the table of costs is empty")
	}
	for i, row := range costs {
		if len(row) != len(costs[0]) {
			return nil, fmt.Errorf("row %d has %d costs, the first has %d", i+1, len(row), len(costs[0]))
		}
		for j, c := range row {
			if math.IsNaN(c) || math.IsInf(c, -1) {
				return nil, fmt.Errorf("cost of row %d, column %d is %v", i+1, j+1, c)
			}
		}
	}
	return AssignPriced(len(costs), len(costs[0]), func(i, j int) float64 { return costs[i][j] }, func(cells []Cell) []float64 {
		prices := make([]float64, len(cells))
		for k, c := range cells {
			prices[k] = costs[c.Row][c.Column]
		}
		return prices
	}), nil
}

// Cell is a row with a column.
type Cell struct{ Row, Column int }

// AssignPriced is Assign of a table whose costs are dear to find. Least is what a pair costs at the least, and price
// gives the costs of pairs, each of which is asked for once, as soon as it may take part. Least is asked by several at once.
//
// Method: shortest augmenting paths with prices among the pairs that are known (R. Jonker, A. Volgenant, Computing 38
// (1987) 325), a row that is better left alone going to a column of its own. While the prices of some other pair's row
// and column come to more than its bound it may make a better match: such pairs are asked for, cheapest first and more of
// each row each time, and the match is made anew. When there is none left the prices prove that no match of all pairs
// is better. Costs are pairs, compared first by how many rows they leave alone, which is what makes the number of matches
// come first without a large number that would swallow the digits of the others.
func AssignPriced(rows, columns int, least func(row, column int) float64, price func([]Cell) []float64) *Assignment {
	turned := rows > columns
	m := newMatcher(min(rows, columns), max(rows, columns))
	m.match(func(i, j int) float64 {
		if turned {
			return least(j, i)
		}
		return least(i, j)
	}, func(cells []Cell) []float64 {
		if turned {
			turn(cells)
			defer turn(cells)
		}
		return price(cells)
	})
	return m.assignment(turned)
}

// firstAsked is how many pairs a row are asked for at first: with so many at random there is nearly always a match, and
// mostly a good one.
const firstAsked = 32

// price is a cost: rows left alone first, then cost proper.
type price struct {
	alone int
	cost  float64
}

func (p price) plus(q price) price  { return price{p.alone + q.alone, p.cost + q.cost} }
func (p price) minus(q price) price { return price{p.alone - q.alone, p.cost - q.cost} }

func (p price) less(q price) bool {
	return p.alone < q.alone || p.alone == q.alone && p.cost < q.cost
}

// matcher assigns every one of its rows, of which there are no more than columns, a column or none. Between
// augmentations cost(i, j) >= rowPrice[i] + columnPrice[j] holds for the pairs that are known, with equality for matched
// ones, rowPrice[i] is at most what it costs to leave the row alone, and a free column's price is zero: so the match
// is the cheapest of its rows.
type matcher struct {
	arcs     [][]arc  // the possible pairs whose costs are known, by row, cheapest first
	known    []uint64 // a bit for each pair that was asked for
	rowPrice []price
	columnOf []int // of a row: its column, or -1
	columns  []column

	touched []int // columns that the search has reached
	queue   frontier
}

// column is one, with the search of the latest augmentation.
type column struct {
	price    price
	owner    int // its row, or -1
	distance price
	from     int // row from which it was reached
	state    searchState
}

// arc is a pair, by its row.
type arc struct {
	column int
	cost   float64
}

// searchState is how far a search has come with a column.
type searchState uint8

const (
	unseen searchState = iota
	reached
	settled
)

// alone is what it costs to leave a row without a column.
var alone = price{1, 0}

func newMatcher(rows, columns int) *matcher {
	return &matcher{
		arcs: make([][]arc, rows), known: make([]uint64, (rows*columns+63)/64),
		rowPrice: slices.Repeat([]price{alone}, rows), columnOf: slices.Repeat([]int{-1}, rows), columns: slices.Repeat([]column{{owner: -1}}, columns),
	}
}

// bit is where known has a pair.
func (m *matcher) bit(row, column int) (word int, mask uint64) {
	at := row*len(m.columns) + column
	return at / 64, 1 << (at % 64)
}

// turn makes columns of rows.
func turn(cells []Cell) {
	for k, c := range cells {
		cells[k] = Cell{c.Column, c.Row}
	}
}

// match asks for pairs and solves until none of the others can be of use.
func (m *matcher) match(least func(row, column int) float64, price func([]Cell) []float64) {
	for most := firstAsked; ; most *= 8 {
		cells := m.wanted(least, most)
		if len(cells) == 0 {
			return
		}
		for k, cost := range price(cells) {
			c := cells[k]
			word, mask := m.bit(c.Row, c.Column)
			m.known[word] |= mask
			if !math.IsInf(cost, 1) {
				m.arcs[c.Row] = append(m.arcs[c.Row], arc{c.Column, cost})
			}
		}
		m.solve()
	}
}

// wanted are the pairs that may cost less than the prices of their rows and columns, of each row the most promising.
func (m *matcher) wanted(least func(row, column int) float64, most int) (cells []Cell) {
	of := make([][]int, len(m.arcs))
	workers.Each(len(of), func(i int) { of[i] = m.wantedOf(i, least, most) })
	for i, columns := range of {
		for _, j := range columns {
			cells = append(cells, Cell{i, j})
		}
	}
	return cells
}

// wantedOf are those of a row. Rows look from different columns on, lest all want the same of many that are alike.
func (m *matcher) wantedOf(row int, least func(row, column int) float64, most int) []int {
	const rounding = 1e-9 // of sums of prices, beside them
	type offer struct {
		column int
		excess price // of the bound over the column's price
	}
	var best []offer
	columns := len(m.columns)
	for k := range columns {
		j := (row*columns/len(m.arcs) + k) % columns
		if word, mask := m.bit(row, j); m.known[word]&mask != 0 {
			continue
		}
		b := least(row, j)
		o := offer{j, price{0, b + rounding*(1+math.Abs(b))}.minus(m.columns[j].price)}
		if math.IsInf(b, 1) || !o.excess.less(m.rowPrice[row]) || len(best) == most && !o.excess.less(best[most-1].excess) {
			continue
		}
		at, _ := slices.BinarySearchFunc(best, o, func(a, b offer) int { // behind those that are alike
			if b.excess.less(a.excess) {
				return 1
			}
			return -1
		})
		best = slices.Insert(best, at, o)
		best = best[:min(len(best), most)]
	}
	wanted := make([]int, len(best))
	for k, o := range best {
		wanted[k] = o.column
	}
	return wanted
}

// solve matches the rows by the pairs that are known.
func (m *matcher) solve() {
	workers.Each(len(m.arcs), func(i int) {
		slices.SortFunc(m.arcs[i], func(a, b arc) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.column, b.column)) })
	})
	clear(m.rowPrice)
	for j := range m.columns {
		m.columns[j] = column{owner: -1}
	}
	for i := range m.columnOf {
		m.columnOf[i] = -1
	}
	for i := range m.rowPrice {
		end, left, length := m.search(i)
		m.rowPrice[i] = m.rowPrice[i].plus(length) // the reduced costs along the path become zero, and none goes negative
		for _, at := range m.touched {
			if j := &m.columns[at]; j.state == settled {
				spare := length.minus(j.distance)
				m.rowPrice[j.owner] = m.rowPrice[j.owner].plus(spare)
				j.price = j.price.minus(spare)
			}
		}
		m.augment(i, end, left)
	}
}

// search finds the shortest path, in reduced costs, from a free row to a free column (Dijkstra), or to a row that is
// left alone instead, where end is -1.
func (m *matcher) search(start int) (end, left int, length price) {
	for _, j := range m.touched {
		m.columns[j].state = unseen
	}
	m.touched, m.queue = m.touched[:0], m.queue[:0]
	row, least := start, price{math.MaxInt, 0} // of leaving a row alone
	shortest := least                          // of the paths found so far
	for {
		base := length.minus(m.rowPrice[row])
		if d := base.plus(alone); d.less(least) {
			left, least = row, d
			if least.less(shortest) {
				shortest = least
			}
		}
		for _, a := range m.arcs[row] {
			j, d := &m.columns[a.column], base.plus(price{0, a.cost}) // no column's price is above nothing
			if shortest.less(d) {
				break
			}
			d = d.minus(j.price)
			if shortest.less(d) || j.state == settled || j.state == reached && !d.less(j.distance) {
				continue
			}
			if j.owner < 0 {
				shortest = d
			}
			if j.state == unseen {
				j.state, m.touched = reached, append(m.touched, a.column)
			}
			j.distance, j.from = d, row
			m.queue.push(stop{d, a.column, j.owner < 0})
		}
		for len(m.queue) > 0 && m.columns[m.queue[0].column].state == settled {
			m.queue.pop()
		}
		if len(m.queue) == 0 || least.less(m.queue[0].distance) {
			return -1, left, least
		}
		next := m.queue.pop()
		if length = next.distance; next.free {
			return next.column, 0, length
		}
		j := &m.columns[next.column]
		j.state, row = settled, j.owner
	}
}

// augment shifts the owners along the path that ends at column end, or at the row that is left alone.
func (m *matcher) augment(start, end, left int) {
	j := end
	if end < 0 {
		j, m.columnOf[left] = m.columnOf[left], -1
		if left == start {
			return
		}
	}
	for {
		i := m.columns[j].from
		m.columns[j].owner = i
		m.columnOf[i], j = j, m.columnOf[i]
		if i == start {
			return
		}
	}
}

// assignment is the match that was found, of a table whose columns the matcher's rows are if it is turned; costs are
// added in the order of the matcher's rows.
func (m *matcher) assignment(turned bool) *Assignment {
	rowOf := make([]int, len(m.columns))
	for j := range m.columns {
		rowOf[j] = m.columns[j].owner
	}
	a := &Assignment{Column: m.columnOf}
	if turned {
		a.Column, rowOf = rowOf, m.columnOf
	}
	for i, arcs := range m.arcs {
		for _, arc := range arcs {
			if m.columnOf[i] == arc.column {
				a.Matched++
				a.Total += arc.cost
			}
		}
	}
	for i, j := range a.Column {
		if j < 0 {
			a.UnmatchedRows = append(a.UnmatchedRows, i)
		}
	}
	for j, i := range rowOf {
		if i < 0 {
			a.UnmatchedColumns = append(a.UnmatchedColumns, j)
		}
	}
	return a
}

// stop is a column that a search has reached.
type stop struct {
	distance price
	column   int
	free     bool
}

// before tells which of two comes first: the nearer, of equally near ones a free one, for there the search ends.
func (s stop) before(t stop) bool {
	switch {
	case s.distance != t.distance:
		return s.distance.less(t.distance)
	case s.free != t.free:
		return s.free
	}
	return s.column < t.column
}

// frontier is a heap of the columns that were reached and are not settled.
type frontier []stop

func (f *frontier) push(s stop) {
	*f = append(*f, s)
	q := *f
	at := len(q) - 1
	for at > 0 {
		above := (at - 1) / 2
		if !s.before(q[above]) {
			break
		}
		q[at], at = q[above], above
	}
	q[at] = s
}

// pop takes the first one away.
func (f *frontier) pop() stop {
	q := *f
	first, last := q[0], q[len(q)-1]
	q = q[:len(q)-1]
	*f = q
	if len(q) == 0 {
		return first
	}
	at := 0
	for {
		below := 2*at + 1
		if below+1 < len(q) && q[below+1].before(q[below]) {
			below++
		}
		if below >= len(q) || !q[below].before(last) {
			break
		}
		q[at], at = q[below], below
	}
	q[at] = last
	return first
}
