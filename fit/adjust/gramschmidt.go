package adjust

import "math"

const (
	// mostGramSchmidt is how many columns are factored here rather than by LAPACK: 15 by 9 took a
	// tenth of the time, 39 by 22 a third, 70 by 45 still little more than half.
	mostGramSchmidt = 40
	// mostLost is the share of a column's squared length that must be left once the directions
	// before it are taken out: a tenth of its length, so that rounding turns it by ten units in the
	// last place. With less they are taken out again; twice is enough (Kahan; Giraud, Langou,
	// Rozloznik, "The loss of orthogonality in the Gram-Schmidt orthogonalization process", 2005).
	mostLost = 0.01
)

// gramSchmidt is factorQR by the modified process of Gram and Schmidt. It gives up where the
// condition number, for which the Frobenius norms of R and of its inverse are a bound, or the
// reach leaves the rank in doubt. Columns are scaled in thought only: powers of two would change
// no digit.
func (f *basis) gramSchmidt(mem *arena, a grid, reach []float64) bool {
	n := a.cols
	f.units, f.t = mem.again(f.units, n, a.rows), mem.again(f.t, n, n)
	f.null, f.scaled = nil, nil
	room := mem.floats.take(2 * n)
	squares, powers := room[:n], room[n:]
	turnSquared(a, f.units, squares)
	if !comparableColumns(squares) || !f.orthonormal(squares) {
		return false
	}
	f.invert()
	size, inverse, reached := 0.0, 0.0, 0.0
	for j, s := range squares {
		powers[j] = powerOfTwo(s)
		square := powers[j] * powers[j]
		size += s * square
		length := 0.0
		for _, v := range f.t.v[j*n+j : (j+1)*n] {
			length += v * v
		}
		inverse += length / square
		if reach != nil {
			reached += length / (reach[j] * reach[j])
		}
	}
	f.scale = powers
	if reach != nil {
		f.scale = reach
	}
	f.condition = math.Sqrt(size * inverse)
	return f.condition < surelyFull && reached <= 1 // see fixedWithin
}

// turnSquared writes a^T to into and the squared lengths of a's columns to squares.
func turnSquared(a, into grid, squares []float64) {
	for i := range a.rows {
		at := i
		for j, v := range a.row(i) {
			into.v[at] = v
			squares[j] += v * v
			at += into.cols
		}
	}
}

// comparableColumns reports whether squared lengths of columns are ordinary numbers and no column is zero
// or may be the rounding of the others: negligible in every row, it is shorter than that.
func comparableColumns(squares []float64) bool {
	total := 0.0
	for _, s := range squares {
		total += s
	}
	for _, s := range squares {
		if !comparableTo(s, total) {
			return false
		}
	}
	return true
}

func comparableTo(square, total float64) bool {
	return square > negligible*negligible*total && square > leastSquare && square < mostSquare
}

// orthonormal makes the columns so and leaves R in t. squares are their squared lengths. Each column
// once it is square to those before is taken out of all that follow, which need not wait for each other,
// nor for its length: it is made a unit last.
func (f *basis) orthonormal(squares []float64) bool {
	n, m := f.units.rows, f.units.cols
	columns := f.units.v
	for k := range n {
		column, later := columns[:m], columns[m:]
		left := dot(column, column)
		if left <= mostLost*squares[k] {
			left = f.again(k)
		}
		if left == 0 {
			return false
		}
		r, square := f.t.v[k*n+k:(k+1)*n], 1/left
		length := math.Sqrt(left)
		inverse := 1 / length
		j := 1
		for ; j+1 < len(r); j += 2 {
			one, other := takeOutOf2(column, later[:m], later[m:2*m], square)
			r[j], r[j+1] = one*inverse, other*inverse
			later = later[2*m:]
		}
		if j < len(r) {
			r[j] = takeOutOf(column, later[:m], square) * inverse
		}
		r[0] = length
		scaleBy(column, inverse)
		columns = columns[m:]
	}
	return true
}

// again takes the unit vectors before column k out of it once more and returns its squared length.
func (f *basis) again(k int) float64 {
	column, n := f.units.row(k), f.t.cols
	for i := range k {
		along := dot(f.units.row(i), column)
		addTo(column, -along, f.units.row(i))
		f.t.v[i*n+k] += along
	}
	return dot(column, column)
}

// takeOutOf takes what lies along a vector, one over whose squared length is given, out of another one
// and returns their product.
func takeOutOf(vector, a []float64, square float64) float64 {
	along := dot(vector, a)
	addTo(a, -along*square, vector)
	return along
}

// takeOutOf2 is takeOutOf two others. Together they cost little more than one.
func takeOutOf2(vector, a, b []float64, square float64) (alongA, alongB float64) {
	a, b = a[:len(vector)], b[:len(vector)]
	var oddA, oddB float64
	i := 0
	for ; i+1 < len(vector); i += 2 {
		v, w := vector[i], vector[i+1]
		alongA += v * a[i]
		oddA += w * a[i+1]
		alongB += v * b[i]
		oddB += w * b[i+1]
	}
	if i < len(vector) {
		alongA += vector[i] * a[i]
		alongB += vector[i] * b[i]
	}
	alongA += oddA
	alongB += oddB
	shareA, shareB := alongA*square, alongB*square
	for i, v := range vector {
		a[i] -= shareA * v
		b[i] -= shareB * v
	}
	return alongA, alongB
}

// invert puts the inverse of the upper triangle t in its place.
// Column j is -T r_j / r_jj, with T the inverse of the triangle before it.
func (f *basis) invert() {
	n, t := f.t.cols, f.t.v
	for j := range n {
		diagonal := 1 / t[j*n+j]
		for i := range j {
			row, s := t[i*n:i*n+j+1], 0.0
			for k, below := i, i*n+j; k < j; k++ {
				s += row[k] * t[below]
				below += n
			}
			row[j] = -s * diagonal
		}
		t[j*n+j] = diagonal
	}
}

func scaleBy(a []float64, by float64) {
	for i := range a {
		a[i] *= by
	}
}
