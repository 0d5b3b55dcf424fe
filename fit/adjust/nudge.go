package adjust

import "math"

// turned is how far the equations have turned from those factored: with A t = q when factored and A'
// now, the size of E = A' t - q, whose rows are left in n.turns. Beyond mostTurn it need not be exact.
func (w *work) turned(pt *part, n *round) float64 {
	if n.rank < len(pt.unknowns) || w.plain { // free directions are found anew
		return math.MaxFloat64
	}
	sum := 0.0
	for i, row := range pt.rows {
		if w.p.Rows[row].Model == nil {
			continue
		}
		turn, before := n.turns.row(i), n.factored.row(i)
		clear(turn)
		for j, v := range n.a.row(i) {
			if v != before[j] {
				addTo(turn, v-before[j], pt.t.row(j))
			}
		}
		if sum += dot(turn, turn); sum > mostTurn*mostTurn {
			break
		}
	}
	return math.Sqrt(sum)
}

// nudge turns the factor after the equations, to first order. Now A' t = q + E, and to make that
// orthonormal again it is multiplied by 1 - U, with U the triangle whose sum with its own transpose is
// q^T E + E^T q: what is left out is of the order of |E|^2.
func (w *work) nudge(pt *part, n *round) {
	clear(n.triangle.v)
	for i, row := range pt.rows {
		if w.p.Rows[row].Model == nil {
			continue
		}
		unit, turn := n.before, n.turns.row(i)
		for c, at := 0, i; at < len(pt.units.v); c++ {
			unit[c] = pt.units.v[at]
			pt.units.v[at] += turn[c]
			at += pt.units.cols
		}
		n.triangle.addTurn(unit, turn)
		copy(n.factored.row(i), n.a.row(i))
	}
	n.triangle.turnRows(pt.units)
	for j := range pt.t.rows {
		n.triangle.turnColumns(pt.t.row(j))
	}
}

// addTurn adds what one row has of q^T E + E^T q, on and above the diagonal, there half.
func (g grid) addTurn(unit, turn []float64) {
	for c, v := range unit {
		by, row := turn[c], g.v[c*g.cols:(c+1)*g.cols]
		row[c] += v * by
		for d := c + 1; d < len(row); d++ {
			row[d] += v*turn[d] + unit[d]*by
		}
	}
}

// turnRows multiplies the columns that a grid has as its rows by 1 - U, from the last on, so that those
// before are as they were.
func (g grid) turnRows(units grid) {
	for d := g.cols - 1; d >= 0; d-- {
		column := units.row(d)
		scaleBy(column, 1-g.v[d*g.cols+d])
		for c := range d {
			addTo(column, -g.v[c*g.cols+d], units.row(c))
		}
	}
}

// turnColumns multiplies one row by 1 - U.
func (g grid) turnColumns(row []float64) {
	for d := len(row) - 1; d >= 0; d-- {
		s := 0.0
		for c, at := 0, d; c <= d; c++ {
			s += row[c] * g.v[at]
			at += g.cols
		}
		row[d] -= s
	}
}
