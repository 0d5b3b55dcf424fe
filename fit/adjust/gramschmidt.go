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

// orthonormal makes the columns so and leaves R in t. squares are their squared lengths. Each column
// once finished is taken out of all that follow, which need not wait for each other.
func (f *basis) orthonormal(squares []float64) bool {
	n := f.units.rows
	for k := range n {
		if !f.finish(k, squares[k]) {
			return false
		}
		unit, r := f.units.row(k), f.t.row(k)
		j := k + 1
		for ; j+1 < n; j += 2 {
			r[j], r[j+1] = takeOutOf2(unit, f.units.row(j), f.units.row(j+1))
		}
		if j < n {
			along := dot(unit, f.units.row(j))
			addTo(f.units.row(j), -along, unit)
			r[j] = along
		}
	}
	return true
}

// finish brings column k, out of which those before it are taken, to length 1; before is its first
// squared length.
func (f *basis) finish(k int, before float64) bool {
	column, n := f.units.row(k), f.t.cols
	left := dot(column, column)
	if left <= mostLost*before {
		for i := range k {
			along := dot(f.units.row(i), column)
			addTo(column, -along, f.units.row(i))
			f.t.v[i*n+k] += along
		}
		left = dot(column, column)
	}
	if left == 0 {
		return false
	}
	length := math.Sqrt(left)
	f.t.v[k*n+k] = length
	scaleBy(column, 1/length)
	return true
}

// takeOutOf2 takes a unit vector out of two others and returns how much of it there was in each.
// Together they cost little more than one.
func takeOutOf2(unit, a, b []float64) (alongA, alongB float64) {
	a, b = a[:len(unit)], b[:len(unit)]
	var oddA, oddB float64
	i := 0
	for ; i+1 < len(unit); i += 2 {
		v, w := unit[i], unit[i+1]
		alongA += v * a[i]
		oddA += w * a[i+1]
		alongB += v * b[i]
		oddB += w * b[i+1]
	}
	if i < len(unit) {
		alongA += unit[i] * a[i]
		alongB += unit[i] * b[i]
	}
	alongA += oddA
	alongB += oddB
	for i, v := range unit {
		a[i] -= alongA * v
		b[i] -= alongB * v
	}
	return alongA, alongB
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
