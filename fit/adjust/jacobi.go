package adjust

import "math"

const (
	// mostJacobi is how many columns are taken apart here rather than by LAPACK, which is the faster
	// at 12.
	mostJacobi = 8
	// squareEnough is the cosine of the angle of two columns that counts as square: some units in the
	// last place.
	squareEnough = 0x1p-50
	// emptied is the squared length of a column, over that of all, that is rounding alone.
	emptied = 0x1p-102
	// mostSweeps is more than it ever takes; a handful is usual.
	mostSweeps = 30
)

// jacobi takes singular values of few columns, which cost less this way than LAPACK's calls: columns
// are turned in pairs until all are square to each other (Hestenes, "Inversion of matrices by
// biorthogonalization and related results", 1958). It is singular otherwise; ok is false where it
// does not come to an end.
func jacobi(mem *arena, a grid) (left grid, s []float64, right grid, ok bool) {
	n := a.cols
	left, right, s = mem.grid(n, a.rows), mem.grid(n, n), mem.floats.take(n)
	a.turn(left)
	for j := range n {
		right.row(j)[j] = 1
	}
	least := emptied * dot(a.v, a.v)
	for sweep := 0; turnPairs(left, right, least); sweep++ {
		if sweep == mostSweeps {
			return left, s, right, false
		}
	}
	for k := range n {
		s[k] = norm(left.row(k))
	}
	for k := range n {
		longest := k
		for l := k + 1; l < n; l++ {
			if s[l] > s[longest] {
				longest = l
			}
		}
		s[k], s[longest] = s[longest], s[k]
		swap(left.row(k), left.row(longest))
		swap(right.row(k), right.row(longest))
		if s[k] > 0 {
			scaleBy(left.row(k), 1/s[k])
		}
	}
	return left, s, right, true
}

// turnPairs makes every two columns square to each other once, and reports whether any were not.
func turnPairs(left, right grid, least float64) (turned bool) {
	for p := range left.rows {
		for q := p + 1; q < left.rows; q++ {
			x, y := left.row(p), left.row(q)
			xx, yy, xy := dot(x, x), dot(y, y), dot(x, y)
			if min(xx, yy) <= least || math.Abs(xy) <= squareEnough*math.Sqrt(xx*yy) {
				continue
			}
			turned = true
			zeta := (yy - xx) / (2 * xy)
			tan := math.Copysign(1/(math.Abs(zeta)+math.Sqrt(1+zeta*zeta)), zeta)
			cos := 1 / math.Sqrt(1+tan*tan)
			turnPair(x, y, cos, cos*tan)
			turnPair(right.row(p), right.row(q), cos, cos*tan)
		}
	}
	return turned
}

func turnPair(x, y []float64, cos, sin float64) {
	for i, v := range x {
		w := y[i]
		x[i], y[i] = cos*v-sin*w, sin*v+cos*w
	}
}

func swap(x, y []float64) {
	for i, v := range x {
		x[i], y[i] = y[i], v
	}
}
