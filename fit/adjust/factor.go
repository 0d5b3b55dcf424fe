package adjust

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	// rankTolerance is the singular value of the column-scaled equations, relative to the
	// largest, below which a direction counts as free. Readings carry six digits at most and
	// doubles sixteen: what shows only beyond the tenth is rounding.
	rankTolerance = 1e-10
	// surelyFull is the condition number up to which the rank needs no singular values: well
	// inside 1/rankTolerance.
	surelyFull = 1e8
	// negligible is the coefficient, relative to the largest of its row, that is the rounding
	// of one that should be zero (a few hundred units in the last place). Without this column
	// scaling would blow such a column up to a real one.
	negligible = 1e-13
	// mostLost is the share of a column's squared length that must be left once the directions
	// before it are taken out: a tenth of its length, so that rounding turns it by ten units in the
	// last place. With less they are taken out again; twice is enough (Kahan; Giraud, Langou,
	// Rozloznik, "The loss of orthogonality in the Gram-Schmidt orthogonalization process", 2005).
	mostLost = 0.01
	// leastSquare and mostSquare bound sums of squares that neither underflow nor overflow.
	leastSquare = 1e-200
	mostSquare  = 1e200
)

// factor is a set of equations A x = b of rank r taken apart: A rInverse = Q, whose columns are orthonormal
// and span those of A. So rInverse Q^T is a left inverse of A for least squares; where the rank is short its
// solutions are the shortest in scaled unknowns.
type factor struct {
	q         grid        // a column of Q each: r by rows
	rInverse  grid        // unknowns by r
	scale     []float64   // of the unknowns: the reach, or one over the lengths of A's columns
	null      [][]float64 // orthonormal free directions
	scaled    [][]float64 // the same space in scaled unknowns, orthonormal there
	condition float64
}

// take factors A by QR and, where that does not prove full rank, by singular values. With a reach,
// directions that move all fitted values together by less than 1 within it are free.
func (f *factor) take(mem *arena, a grid, reach []float64) {
	f.null, f.scaled = nil, nil
	if a.cols == 0 || a.rows < a.cols || !f.gramSchmidt(mem, a, reach) {
		f.singular(mem, a, reach)
	}
}

// gramSchmidt is QR by the modified process of Gram and Schmidt. It gives up where the condition number
// of the column-scaled equations, for which the Frobenius norms of R and of its inverse are a bound, or
// the reach leaves the rank in doubt.
func (f *factor) gramSchmidt(mem *arena, a grid, reach []float64) bool {
	n := a.cols
	f.q, f.rInverse = mem.raw(n, a.rows), mem.grid(n, n)
	a.transpose(f.q)
	squares, total := mem.floats.raw(n), 0.0
	for j := range squares {
		squares[j] = dot(f.q.row(j), f.q.row(j))
		total += squares[j]
	}
	for _, s := range squares { // no column may be zero or the rounding of the others
		if !(s > negligible*negligible*total && s > leastSquare && s < mostSquare) {
			return false
		}
	}
	if !f.orthonormal(squares) {
		return false
	}
	invert(f.rInverse)
	f.scale = mem.floats.raw(n)
	inverse, reached := 0.0, 0.0
	for j, s := range squares {
		row := f.rInverse.row(j)[j:]
		length := dot(row, row)
		inverse += length * s
		f.scale[j] = 1 / math.Sqrt(s)
		if reach != nil {
			f.scale[j] = reach[j]
			reached += length / (reach[j] * reach[j])
		}
	}
	f.condition = math.Sqrt(float64(n) * inverse)
	return f.condition < surelyFull && reached <= 1 // the largest singular value is at most the Frobenius norm
}

// orthonormal makes the columns so and leaves R in rInverse. squares are their squared lengths. Each column,
// once it is square to those before, is taken out of all that follow.
func (f *factor) orthonormal(squares []float64) bool {
	n := f.q.rows
	for k := range n {
		column := f.q.row(k)
		left := dot(column, column)
		if left <= mostLost*squares[k] {
			for i := range k {
				along := dot(f.q.row(i), column)
				addTo(column, -along, f.q.row(i))
				f.rInverse.v[i*n+k] += along
			}
			left = dot(column, column)
		}
		if left == 0 {
			return false
		}
		length := math.Sqrt(left)
		scaleBy(column, 1/length)
		r := f.rInverse.row(k)
		r[k] = length
		for j := k + 1; j < n; j++ {
			later := f.q.row(j)
			r[j] = dot(column, later)
			addTo(later, -r[j], column)
		}
	}
	return true
}

// invert puts the inverse of an upper triangle R in its place. Column j is -T r_j / r_jj, with T the
// inverse of the triangle before it.
func invert(r grid) {
	n, t := r.cols, r.v
	for j := range n {
		diagonal := 1 / t[j*n+j]
		for i := range j {
			row, s := t[i*n:], 0.0
			for k, below := i, i*n+j; k < j; k++ {
				s += row[k] * t[below]
				below += n
			}
			row[j] = -s * diagonal
		}
		t[j*n+j] = diagonal
	}
}

// singular keeps the singular values above rankTolerance, and with reach above 1, and makes the rest free.
func (f *factor) singular(mem *arena, a grid, reach []float64) {
	n := a.cols
	scaled := mem.raw(a.rows, n)
	copy(scaled.v, a.v)
	least := 1.0
	f.scale, f.condition = reach, 1
	if reach == nil {
		dropRounding(scaled)
		f.scale, least = columnScale(mem, scaled), 0
	}
	for i := range a.rows {
		for j, s := range f.scale {
			scaled.row(i)[j] *= s
		}
	}
	left, values, right := svd(mem, scaled)
	rank := 0
	for rank < len(values) && values[rank] > max(rankTolerance*values[0], least) {
		rank++
	}
	if rank > 0 {
		f.condition = values[0] / values[rank-1]
	}
	f.q, f.rInverse = grid{rank, a.rows, left.v[:rank*a.rows]}, mem.grid(n, rank)
	for k := range rank {
		for j, v := range right.row(k) {
			f.rInverse.row(j)[k] = f.scale[j] * v / values[k]
		}
	}
	f.free(mem, right, rank)
}

// svd returns the singular values of a, falling, with the left directions and all right ones, a row each.
func svd(mem *arena, a grid) (left grid, values []float64, right grid) {
	right = mem.grid(a.cols, a.cols)
	if a.rows == 0 || a.cols == 0 {
		for j := range a.cols {
			right.row(j)[j] = 1
		}
		return left, nil, right
	}
	var d mat.SVD
	if !d.Factorize(mat.NewDense(a.rows, a.cols, a.v), mat.SVDThinU|mat.SVDFullV) {
		panic("adjust: singular values of finite numbers did not converge")
	}
	var u, v mat.Dense
	d.UTo(&u)
	d.VTo(&v)
	rows, cols := u.Dims()
	left = mem.grid(cols, rows)
	(&grid{rows, cols, u.RawMatrix().Data}).transpose(left)
	(&grid{a.cols, a.cols, v.RawMatrix().Data}).transpose(right)
	return left, d.Values(nil), right
}

// columnScale brings each column to length 1. A column of zeros stays.
func columnScale(mem *arena, a grid) []float64 {
	scale := mem.floats.take(a.cols)
	for i := range a.rows {
		for j, v := range a.row(i) {
			scale[j] = math.Hypot(scale[j], v)
		}
	}
	for j, length := range scale {
		scale[j] = 1
		if length > 0 {
			scale[j] = 1 / length
		}
	}
	return scale
}

// dropRounding clears the columns in which every coefficient is negligible beside its row.
func dropRounding(a grid) {
	for j := range a.cols {
		counts := false
		for i := range a.rows {
			largest := 0.0
			for _, v := range a.row(i) {
				largest = max(largest, math.Abs(v))
			}
			counts = counts || math.Abs(a.row(i)[j]) > negligible*largest
		}
		if !counts {
			for i := range a.rows {
				a.row(i)[j] = 0
			}
		}
	}
}

// free takes the free directions from the right ones (in scaled unknowns) after the first rank and
// makes them orthonormal in the unknowns themselves.
func (f *factor) free(mem *arena, right grid, rank int) {
	n := len(f.scale)
	f.scaled, f.null = mem.lists.raw(n - rank)[:0], mem.lists.raw(n - rank)[:0]
	for k := rank; k < n; k++ {
		d := mem.floats.raw(n)
		for j, v := range right.row(k) {
			d[j] = v * f.scale[j]
		}
		for range 2 { // twice is enough
			for _, u := range f.null {
				addTo(d, -dot(d, u), u)
			}
			scaleBy(d, 1/norm(d))
		}
		f.scaled, f.null = append(f.scaled, right.row(k)), append(f.null, d)
	}
}

// refinements is how often a solution is improved. One gains as many digits as the factorisation
// had right; the second makes up for badly conditioned columns. Below wellConditioned the first
// solution has all but three of a double's digits, a thousandth of a millionth of a millimetre
// in a metre, and is left as it is.
const (
	refinements     = 2
	wellConditioned = 1e3
)

// leastSquares returns the x of least |b - A x|, shortest where it is free, and |A x|. It is improved with
// residuals in twice the precision on the augmented equations r + A x = b, A^T r = 0 (Björck,
// "Iterative refinement of linear least squares solutions", 1967).
func (f *factor) leastSquares(mem *arena, a grid, b []float64) (x []float64, length float64) {
	x = mem.floats.take(a.cols)
	along := mem.floats.take(f.q.rows)
	f.q.times(b, along)
	f.rInverse.times(along, x)
	length = norm(along)
	if f.condition < wellConditioned {
		return x, length
	}
	r, top, bottom := mem.floats.take(a.rows), mem.floats.raw(a.rows), mem.floats.raw(a.cols)
	copy(top, b)
	for range refinements {
		addTo(r, 1, top)
		for k, v := range along {
			addTo(r, -v, f.q.row(k))
		}
		shortfall(a, b, x, r, top, bottom)
		clear(along)
		f.rInverse.timesT(bottom, along)
		scaleBy(along, -1)
		f.q.times(top, along)
		f.rInverse.times(along, x)
	}
	return x, length
}

// shortfall sets top to b - r - A x and bottom to -A^T r, both in twice the precision.
func shortfall(a grid, b, x, r, top, bottom []float64) {
	columns := make([]sum2, a.cols)
	for i := range a.rows {
		var s sum2
		s.add(b[i])
		s.add(-r[i])
		for j, v := range a.row(i) {
			s.addProduct(-v, x[j])
			columns[j].addProduct(-v, r[i])
		}
		top[i] = s.value()
	}
	for j := range columns {
		bottom[j] = columns[j].value()
	}
}
