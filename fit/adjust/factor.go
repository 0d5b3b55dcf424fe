package adjust

import (
	"math"

	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
)

const (
	// rankTolerance is the singular value of the column-scaled equations, relative to the
	// largest, below which a direction counts as free. Readings carry six digits at most and
	// doubles sixteen: what shows only beyond the tenth is rounding.
	rankTolerance = 1e-10
	// surelyFull is the condition number up to which the rank needs no singular values: well
	// inside 1/rankTolerance, for LAPACK only estimates it, within a factor of the size.
	surelyFull = 1e8
	// negligible is the coefficient, relative to the largest of its row, that is the rounding
	// of one that should be zero (a few hundred units in the last place). Without this column
	// scaling would blow such a column up to a real one.
	negligible = 1e-13
)

// basis is a factored set of equations A x = b of rank r: units has orthonormal columns that span
// those of A, one a row (r by rows), and t takes them back to the unknowns, A t = units^T. So
// t units is a left inverse of A for least squares; t is square to the free directions, or with a
// reach it is so in unknowns counted in reaches.
type basis struct {
	units, t  grid
	scale     []float64   // a column each: powers of two that bring the columns to about length 1; or the reach
	null      [][]float64 // orthonormal free directions
	scaled    [][]float64 // the same space in scaled unknowns, orthonormal there
	condition float64
}

// factor takes the part's equations apart by QR and, where that does not prove full rank, by
// singular values.
func (w *work) factor(pt *part, a grid) {
	if a.cols > 0 && a.rows >= a.cols {
		take := (*basis).factorQR
		if a.cols <= mostGramSchmidt && !w.plain {
			take = (*basis).gramSchmidt
		}
		if take(&pt.basis, &w.mem, a, pt.reach) {
			return
		}
	}
	pt.basis = factorSVD(&w.mem, a, pt.reach)
}

// fixedWithin reports whether every direction is fixed to within the reach: the largest singular
// value of the inverse, in reaches per standard deviation, is at most its Frobenius norm.
func (f *basis) fixedWithin(reach []float64) bool {
	sum := 0.0
	for j, r := range reach {
		t := f.t.row(j)
		sum += dot(t, t) / (r * r)
	}
	return sum <= 1
}

// factorQR (Householder) gives up where the condition number or the reach leaves the rank in doubt.
func (f *basis) factorQR(mem *arena, a grid, reach []float64) bool {
	n := a.cols
	q, scale := scaleColumns(mem, a)
	tau, work := mem.floats.take(n), mem.floats.take(64*n) // LAPACK wants 3 n at least and is faster with a block
	lapack64.Geqrf(q.general(), tau, work, len(work))
	r := mem.grid(n, n)
	for i := range n {
		copy(r.row(i)[i:], q.row(i)[i:])
	}
	inverse := lapack64.Trcon(lapack.MaxRowSum, r.upper(), work, mem.ints.take(n))
	if !(inverse*surelyFull > 1) || !lapack64.Trtri(r.upper()) {
		return false
	}
	lapack64.Orgqr(q.general(), tau, work, len(work))
	for i := range n {
		scaleBy(r.row(i), scale[i])
	}
	*f = basis{units: mem.again(f.units, n, a.rows), t: r, scale: scale, condition: 1 / inverse}
	q.turn(f.units)
	if reach != nil {
		f.scale = reach
	}
	return f.fixedWithin(reach)
}

// scaleColumns multiplies each column by the power of two that brings its length between 0.7 and
// 1.4, which loses no digit. A column of zeros stays.
func scaleColumns(mem *arena, a grid) (grid, []float64) {
	scaled := mem.grid(a.rows, a.cols)
	copy(scaled.v, a.v)
	dropRounding(mem, scaled)
	scale := mem.floats.take(a.cols)
	for i := range a.rows {
		for j, v := range scaled.row(i) {
			scale[j] += v * v
		}
	}
	for j, s := range scale {
		scale[j] = powerOfTwo(s)
	}
	for i := range a.rows {
		for j := range scale {
			scaled.row(i)[j] *= scale[j]
		}
	}
	return scaled, scale
}

// dropRounding clears the columns in which every coefficient is negligible beside its row.
func dropRounding(mem *arena, a grid) {
	counts := mem.bools.take(a.cols)
	for i := range a.rows {
		largest := 0.0
		for _, v := range a.row(i) {
			largest = max(largest, math.Abs(v))
		}
		for j, v := range a.row(i) {
			counts[j] = counts[j] || math.Abs(v) > negligible*largest
		}
	}
	for i := range a.rows {
		for j, v := range counts {
			if !v {
				a.row(i)[j] = 0
			}
		}
	}
}
