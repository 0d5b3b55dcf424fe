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

// leastSquares returns the x of least |b - A x|, shortest where it is free, improved with
// residuals in twice the precision on the augmented equations r + A x = b, A^T r = 0 (Björck,
// "Iterative refinement of linear least squares solutions", 1967).
func (f *basis) leastSquares(a grid, b []float64) []float64 {
	x, r := make([]float64, a.cols), make([]float64, a.rows)
	top, bottom := append([]float64(nil), b...), make([]float64, a.cols)
	c := make([]float64, f.q.cols)
	most := refinements
	if f.condition < wellConditioned {
		most = 0
	}
	for pass := 0; ; pass++ {
		clear(c)
		f.t.timesT(bottom, c)
		for k := range c {
			c[k] = -c[k]
		}
		f.q.timesT(top, c)
		f.t.times(c, x)
		for i := range r {
			r[i] += top[i] - dot(f.q.row(i), c)
		}
		if pass == most {
			return x
		}
		shortfall(a, b, x, r, top, bottom)
	}
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
