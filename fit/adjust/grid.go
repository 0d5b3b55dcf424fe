package adjust

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// grid is a dense matrix, row after row, that may have no rows or no columns.
type grid struct {
	rows, cols int
	v          []float64
}

func (g grid) row(i int) []float64 { return g.v[i*g.cols : (i+1)*g.cols] }

// times adds g x to into, which has a place for each row.
func (g grid) times(x, into []float64) {
	for i := range into {
		into[i] += dot(g.row(i), x)
	}
}

// timesT adds g^T y to into, which has a place for each column.
func (g grid) timesT(y, into []float64) {
	for i, w := range y {
		if w != 0 {
			addTo(into, w, g.row(i))
		}
	}
}

// turn writes g^T to into.
func (g grid) turn(into grid) {
	for i := range g.rows {
		for j, v := range g.row(i) {
			into.v[j*into.cols+i] = v
		}
	}
}

// general is the same numbers as LAPACK wants them.
func (g grid) general() blas64.General {
	return blas64.General{Rows: g.rows, Cols: g.cols, Stride: max(1, g.cols), Data: g.v}
}

// upper is the triangle above and on the diagonal of the first rows.
func (g grid) upper() blas64.Triangular {
	return blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: g.cols, Stride: g.cols, Data: g.v}
}

// dot sums in two strands, for a processor waits for one addition to begin the next.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	even, odd := 0.0, 0.0
	i := 0
	for ; i+1 < len(a); i += 2 {
		even += a[i] * b[i]
		odd += a[i+1] * b[i+1]
	}
	if i < len(a) {
		even += a[i] * b[i]
	}
	return even + odd
}

// addTo adds by times b to a.
func addTo(a []float64, by float64, b []float64) {
	b = b[:len(a)]
	for i := range a {
		a[i] += by * b[i]
	}
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }
