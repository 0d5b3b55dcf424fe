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

func newGrid(rows, cols int) grid { return grid{rows, cols, make([]float64, rows*cols)} }

func (g grid) row(i int) []float64 { return g.v[i*g.cols : (i+1)*g.cols] }

func (g grid) clone() grid { return grid{g.rows, g.cols, append([]float64(nil), g.v...)} }

// times adds g x to into, which has a place for each row.
func (g grid) times(x, into []float64) {
	for i := range into {
		into[i] += dot(g.row(i), x)
	}
}

// timesT adds g^T y to into, which has a place for each column.
func (g grid) timesT(y, into []float64) {
	for i, w := range y {
		if w == 0 {
			continue
		}
		for j, a := range g.row(i) {
			into[j] += a * w
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

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }
