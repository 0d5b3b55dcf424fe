package lot

import (
	"cmp"
	"container/heap"
	"fmt"
	"math"
	"slices"
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
// gives the costs of pairs, each of which is asked for once, as soon as it may take part.
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
		for k := range cells {
			if c := &cells[k]; turned {
				c.Row, c.Column = c.Column, c.Row
			}
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
	arcs                  [][]arc  // the possible pairs whose costs are known, by row, cheapest first
	known                 []uint64 // a bit for each pair that was asked for
	rowPrice, columnPrice []price
	owner                 []int // of a column: its row, or -1
	columnOf              []int // of a row: its column, or -1

	// The search of one augmentation, by column.
	distance []price
	from     []int // row from which the column was reached
	state    []searchState
	touched  []int // columns that were reached
	queue    frontier
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

func lesser(p, q price) price {
	if q.less(p) {
		return q
	}
	return p
}

// alone is what it costs to leave a row without a column.
var alone = price{1, 0}

func newMatcher(rows, columns int) *matcher {
	return &matcher{
		arcs: make([][]arc, rows), known: make([]uint64, (rows*columns+63)/64),
		rowPrice: slices.Repeat([]price{alone}, rows), columnPrice: make([]price, columns),
		owner: slices.Repeat([]int{-1}, columns), columnOf: slices.Repeat([]int{-1}, rows),
		distance: make([]price, columns), from: make([]int, columns), state: make([]searchState, columns),
	}
}

// bit is where known has a pair.
func (m *matcher) bit(row, column int) (word int, mask uint64) {
	at := row*len(m.owner) + column
	return at / 64, 1 << (at % 64)
}

// match asks for pairs and solves until none of the others can be of use. Price may write over the pairs.
func (m *matcher) match(least func(row, column int) float64, price func([]Cell) []float64) {
	for most := firstAsked; ; most *= 8 {
		cells := m.wanted(least, most)
		if len(cells) == 0 {
			return
		}
		for k, cost := range price(slices.Clone(cells)) {
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
// Rows look from different columns on, lest all want the same of many that are alike.
func (m *matcher) wanted(least func(row, column int) float64, most int) (cells []Cell) {
	const rounding = 1e-9 // of sums of prices, beside them
	type offer struct {
		column int
		excess price // of the bound over the column's price
	}
	columns := len(m.owner)
	for i, rowPrice := range m.rowPrice {
		var best []offer
		for k := range columns {
			j := (i*columns/len(m.arcs) + k) % columns
			if word, mask := m.bit(i, j); m.known[word]&mask != 0 {
				continue
			}
			b := least(i, j)
			o := offer{j, price{0, b + rounding*(1+math.Abs(b))}.minus(m.columnPrice[j])}
			if math.IsInf(b, 1) || !o.excess.less(rowPrice) || len(best) == most && !o.excess.less(best[most-1].excess) {
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
		for _, o := range best {
			cells = append(cells, Cell{i, o.column})
		}
	}
	return cells
}

// solve matches the rows by the pairs that are known.
func (m *matcher) solve() {
	for _, arcs := range m.arcs {
		slices.SortFunc(arcs, func(a, b arc) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.column, b.column)) })
	}
	clear(m.rowPrice)
	clear(m.columnPrice)
	for j := range m.owner {
		m.owner[j] = -1
	}
	for i := range m.columnOf {
		m.columnOf[i] = -1
	}
	for i := range m.rowPrice {
		end, left, length := m.search(i)
		m.rowPrice[i] = m.rowPrice[i].plus(length) // the reduced costs along the path become zero, and none goes negative
		for _, j := range m.touched {
			if m.state[j] == settled {
				owner, spare := m.owner[j], length.minus(m.distance[j])
				m.rowPrice[owner] = m.rowPrice[owner].plus(spare)
				m.columnPrice[j] = m.columnPrice[j].minus(spare)
			}
		}
		m.augment(i, end, left)
	}
}

// search finds the shortest path, in reduced costs, from a free row to a free column (Dijkstra), or to a row that is
// left alone instead, where end is -1.
func (m *matcher) search(start int) (end, left int, length price) {
	for _, j := range m.touched {
		m.state[j] = unseen
	}
	m.touched, m.queue = m.touched[:0], m.queue[:0]
	row, least := start, price{math.MaxInt, 0} // of leaving a row alone
	shortest := least                          // of the paths found so far
	for {
		base := length.minus(m.rowPrice[row])
		if d := base.plus(alone); d.less(least) {
			left, least = row, d
			shortest = lesser(shortest, least)
		}
		for _, a := range m.arcs[row] {
			j, d := a.column, base.plus(price{0, a.cost}) // no column's price is above nothing
			if shortest.less(d) {
				break
			}
			if d = d.minus(m.columnPrice[j]); m.owner[j] < 0 {
				shortest = lesser(shortest, d)
			}
			if m.state[j] == settled || m.state[j] == reached && !d.less(m.distance[j]) {
				continue
			}
			if m.state[j] == unseen {
				m.state[j], m.touched = reached, append(m.touched, j)
			}
			m.distance[j], m.from[j] = d, row
			heap.Push(&m.queue, stop{d, j, m.owner[j] < 0})
		}
		for len(m.queue) > 0 && m.state[m.queue[0].column] == settled {
			heap.Pop(&m.queue)
		}
		if len(m.queue) == 0 || least.less(m.queue[0].distance) {
			return -1, left, least
		}
		next := heap.Pop(&m.queue).(stop)
		if length = next.distance; next.free {
			return next.column, 0, length
		}
		m.state[next.column], row = settled, m.owner[next.column]
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
		i := m.from[j]
		m.owner[j] = i
		m.columnOf[i], j = j, m.columnOf[i]
		if i == start {
			return
		}
	}
}

// assignment is the match that was found, of a table whose columns the matcher's rows are if it is turned; costs are
// added in the order of the matcher's rows.
func (m *matcher) assignment(turned bool) *Assignment {
	a, rowOf := &Assignment{Column: m.columnOf}, m.owner
	if turned {
		a.Column, rowOf = m.owner, m.columnOf
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

// frontier is a heap of the columns that were reached and are not settled; of those that are equally near free
// ones come first, for there the search ends.
type frontier []stop

// Len is how many there are.
func (f frontier) Len() int { return len(f) }

// Less tells which of two comes first.
func (f frontier) Less(a, b int) bool {
	p, q := f[a], f[b]
	switch {
	case p.distance != q.distance:
		return p.distance.less(q.distance)
	case p.free != q.free:
		return p.free
	}
	return p.column < q.column
}

// Swap exchanges two.
func (f frontier) Swap(a, b int) { f[a], f[b] = f[b], f[a] }

// Push adds one at the end.
func (f *frontier) Push(s any) { *f = append(*f, s.(stop)) }

// Pop takes the last one away.
func (f *frontier) Pop() any {
	last := len(*f) - 1
	s := (*f)[last]
	*f = (*f)[:last]
	return s
}
