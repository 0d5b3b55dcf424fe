package lot

import (
	"fmt"
	"math"
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
//
// Method: shortest augmenting paths with prices (R. Jonker, A. Volgenant, Computing 38 (1987) 325; the
// rectangular form as in D. F. Crouse, IEEE Trans. AES 52 (2016) 1679), at most r r c steps for r rows
// and c columns, r <= c. Costs are pairs, compared first by how many impossible pairs they hold, which
// is what makes the number of matches come first without a large number that would swallow the digits
// of the others.
func Assign(costs [][]float64) (*Assignment, error) {
	rows, columns, err := checkCosts(costs)
	if err != nil {
		return nil, err
	}
	turned := rows > columns
	m := newMatcher(min(rows, columns), max(rows, columns), func(i, j int) float64 {
		if turned {
			return costs[j][i]
		}
		return costs[i][j]
	})
	m.solve()
	a := &Assignment{Column: make([]int, rows)}
	for i := range a.Column {
		a.Column[i] = -1
	}
	for j, i := range m.owner {
		if i < 0 || m.cost(i, j).impossible > 0 {
			continue
		}
		if turned {
			a.Column[j] = i
		} else {
			a.Column[i] = j
		}
	}
	a.sum(costs, columns)
	return a, nil
}

func checkCosts(costs [][]float64) (rows, columns int, err error) {
	rows = len(costs)
	if rows == 0 || len(costs[0]) == 0 {
		return 0, 0, fmt.Errorf("nothing to match: the table of costs is empty")
	}
	columns = len(costs[0])
	for i, row := range costs {
		if len(row) != columns {
			return 0, 0, fmt.Errorf("row %d has %d costs, the first has %d", i+1, len(row), columns)
		}
		for j, c := range row {
			if math.IsNaN(c) || math.IsInf(c, -1) {
				return 0, 0, fmt.Errorf("cost of row %d, column %d is %v", i+1, j+1, c)
			}
		}
	}
	return rows, columns, nil
}

// sum fills in what follows from Column; pairs are added in the order of rows.
func (a *Assignment) sum(costs [][]float64, columns int) {
	taken := make([]bool, columns)
	for i, j := range a.Column {
		if j < 0 {
			a.UnmatchedRows = append(a.UnmatchedRows, i)
			continue
		}
		taken[j] = true
		a.Matched++
		a.Total += costs[i][j]
	}
	for j, t := range taken {
		if !t {
			a.UnmatchedColumns = append(a.UnmatchedColumns, j)
		}
	}
}

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
