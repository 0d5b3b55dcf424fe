package adjust

import "math"

// sum2 is a running sum in twice the working precision: every product and every addition keeps
// what rounding took from it (Ogita, Rump, Oishi, "Accurate sum and dot product", 2005).
type sum2 struct{ hi, lo float64 }

func (s *sum2) add(x float64) {
	t := s.hi + x
	z := t - s.hi
	s.lo += (s.hi - (t - z)) + (x - z)
	s.hi = t
}

func (s *sum2) addProduct(a, b float64) {
	p := a * b
	s.lo += math.FMA(a, b, -p)
	s.add(p)
}

func (s *sum2) value() float64 { return s.hi + s.lo }

// refinements is how often a solution is improved. One gains as many digits as the factorisation
// had right; the second makes up for badly conditioned columns. Below wellConditioned the first
// solution has all but three of a double's digits, a thousandth of a millionth of a millimetre
// in a metre, and is left as it is.
const (
	refinements     = 2
	wellConditioned = 1e3
)

// along is what the misfits b come to along the orthonormal columns.
func (f *basis) along(mem *arena, b []float64) []float64 {
	c := mem.floats.take(f.units.rows)
	f.units.times(b, c)
	return c
}

// back takes coefficients of the orthonormal columns to the unknowns.
func (f *basis) back(mem *arena, c []float64) []float64 {
	x := mem.floats.take(f.t.rows)
	f.t.times(c, x)
	return x
}

// leastSquares returns the x of least |b - A x|, shortest where it is free, improved with
// residuals in twice the precision on the augmented equations r + A x = b, A^T r = 0 (Björck,
// "Iterative refinement of linear least squares solutions", 1967). c is along(b).
func (f *basis) leastSquares(mem *arena, a grid, b, c []float64) []float64 {
	x := f.back(mem, c)
	if f.condition < wellConditioned {
		return x
	}
	r, top, bottom := mem.floats.take(a.rows), mem.floats.take(a.rows), mem.floats.take(a.cols)
	inner, columns := mem.floats.take(len(c)), mem.sums.take(a.cols)
	copy(top, b)
	copy(inner, c)
	for range refinements {
		addTo(r, 1, top)
		for k, v := range inner {
			addTo(r, -v, f.units.row(k))
		}
		shortfall(a, b, x, r, top, bottom, columns)
		clear(inner)
		f.t.timesT(bottom, inner)
		scaleBy(inner, -1)
		f.units.times(top, inner)
		f.t.times(inner, x)
	}
	return x
}

// shortfall sets top to b - r - A x and bottom to -A^T r, both in twice the precision.
func shortfall(a grid, b, x, r, top, bottom []float64, columns []sum2) {
	clear(columns)
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
