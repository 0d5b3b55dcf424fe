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
		size += s * powers[j] * powers[j]
		t := f.t.row(j)[j:]
		length := dot(t, t)
		inverse += length / (powers[j] * powers[j])
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
		for j, v := range a.row(i) {
			into.v[j*into.cols+i] = v
			squares[j] += v * v
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
		if !(s > negligible*negligible*total && s > leastSquare && s < mostSquare) {
			return false
		}
	}
	return true
}

// orthonormal makes the columns so and leaves R in t. squares are their squared lengths.
func (f *basis) orthonormal(squares []float64) bool {
	n := f.units.rows
	for j := range n {
		column, left := f.units.row(j), squares[j]
		for range 2 {
			before := left
			k := 0
			for ; k+1 < j; k += 2 {
				one, other := takeOut2(column, f.units.row(k), f.units.row(k+1))
				f.t.v[k*n+j] += one
				f.t.v[(k+1)*n+j] += other
			}
			if k < j {
				along := dot(f.units.row(k), column)
				addTo(column, -along, f.units.row(k))
				f.t.v[k*n+j] += along
			}
			if left = dot(column, column); left > mostLost*before {
				break
			}
		}
		if left == 0 {
			return false
		}
		length := math.Sqrt(left)
		f.t.v[j*n+j] = length
		scaleBy(column, 1/length)
	}
	return true
}

// takeOut2 takes two unit vectors, square to each other, out of a and returns how much of each there
// was. Together they cost little more than one.
func takeOut2(a, one, other []float64) (alongOne, alongOther float64) {
	one, other = one[:len(a)], other[:len(a)]
	var oddOne, oddOther float64
	i := 0
	for ; i+1 < len(a); i += 2 {
		v, w := a[i], a[i+1]
		alongOne += v * one[i]
		oddOne += w * one[i+1]
		alongOther += v * other[i]
		oddOther += w * other[i+1]
	}
	if i < len(a) {
		alongOne += a[i] * one[i]
		alongOther += a[i] * other[i]
	}
	alongOne += oddOne
	alongOther += oddOther
	for i, v := range one {
		a[i] -= alongOne*v + alongOther*other[i]
	}
	return alongOne, alongOther
}

// invert puts the inverse of the upper triangle t in its place.
// Column j is -T r_j / r_jj, with T the inverse of the triangle before it.
func (f *basis) invert() {
	n := f.t.cols
	for j := range n {
		diagonal := 1 / f.t.v[j*n+j]
		for i := range j {
			s := 0.0
			for k := i; k < j; k++ {
				s += f.t.v[i*n+k] * f.t.v[k*n+j]
			}
			f.t.v[i*n+j] = -s * diagonal
		}
		f.t.v[j*n+j] = diagonal
	}
}

func scaleBy(a []float64, by float64) {
	for i := range a {
		a[i] *= by
	}
}
