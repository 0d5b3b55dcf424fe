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
