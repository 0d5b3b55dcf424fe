package lot

import "math"

// price is a cost: impossible pairs first, then cost proper.
type price struct {
	impossible int
	cost       float64
}

func (p price) plus(q price) price  { return price{p.impossible + q.impossible, p.cost + q.cost} }
func (p price) minus(q price) price { return price{p.impossible - q.impossible, p.cost - q.cost} }

func (p price) less(q price) bool {
	return p.impossible < q.impossible || p.impossible == q.impossible && p.cost < q.cost
}

func priceOf(cost float64) price {
	if math.IsInf(cost, 1) {
		return price{1, 0}
	}
	return price{0, cost}
}

// unreached is dearer than any path.
var unreached = price{math.MaxInt, 0}

// matcher assigns every one of its rows, of which there are no more than columns. Between
// augmentations cost(i, j) >= rowPrice[i] + columnPrice[j] holds, with equality for matched pairs, and
// a free column's price is zero: so the match is the cheapest of its rows.
type matcher struct {
	costs                 [][]price // by row
	rowPrice, columnPrice []price
	owner                 []int // of a column: its row, or -1
	columnOf              []int // of a row: its column, or -1

	// The search of one augmentation, by column.
	distance []price
	from     []int // row from which the column was reached
	settled  []bool
}

func newMatcher(rows, columns int, raw func(i, j int) float64) *matcher {
	m := &matcher{
		costs:    make([][]price, rows),
		rowPrice: make([]price, rows), columnPrice: make([]price, columns),
		owner: make([]int, columns), columnOf: make([]int, rows),
		distance: make([]price, columns), from: make([]int, columns), settled: make([]bool, columns),
	}
	for j := range m.owner {
		m.owner[j] = -1
	}
	for i := range m.columnOf {
		m.columnOf[i] = -1
		m.costs[i] = make([]price, columns)
		for j := range m.costs[i] {
			m.costs[i][j] = priceOf(raw(i, j))
		}
	}
	return m
}

func (m *matcher) cost(i, j int) price { return m.costs[i][j] }

func (m *matcher) solve() {
	for i := range m.rowPrice {
		end, length := m.search(i)
		m.reprice(i, length)
		m.augment(i, end)
	}
}

// search finds the shortest path, in reduced costs, from a free row to a free column (Dijkstra).
func (m *matcher) search(start int) (end int, length price) {
	for j := range m.distance {
		m.distance[j], m.settled[j] = unreached, false
	}
	row, length := start, price{}
	for {
		next, nearest := -1, unreached
		base := length.minus(m.rowPrice[row])
		for j, cost := range m.costs[row] {
			if m.settled[j] {
				continue
			}
			if d := base.plus(cost).minus(m.columnPrice[j]); d.less(m.distance[j]) {
				m.distance[j], m.from[j] = d, row
			}
			if m.distance[j].less(nearest) {
				next, nearest = j, m.distance[j]
			}
		}
		m.settled[next], length = true, nearest
		if m.owner[next] < 0 {
			return next, length
		}
		row = m.owner[next]
	}
}

// reprice keeps the reduced costs from going negative, and makes those along the path zero.
func (m *matcher) reprice(start int, length price) {
	m.rowPrice[start] = m.rowPrice[start].plus(length)
	for j, settled := range m.settled {
		if i := m.owner[j]; settled && i >= 0 {
			spare := length.minus(m.distance[j])
			m.rowPrice[i] = m.rowPrice[i].plus(spare)
			m.columnPrice[j] = m.columnPrice[j].minus(spare)
		}
	}
}

// augment shifts the owners along the path that ends at column end.
func (m *matcher) augment(start, end int) {
	for j := end; ; {
		i := m.from[j]
		m.owner[j] = i
		m.columnOf[i], j = j, m.columnOf[i]
		if i == start {
			return
		}
	}
}
