package adjust

import (
	"math"

	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
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

// basis is a factored set of equations A x = b of rank r: q has orthonormal columns that span
// those of A (rows by r), and t takes them back to the unknowns, A t = q. So t q^T is a left
// inverse of A for least squares; t is square to the free directions, or with a reach it is so in
// unknowns counted in reaches.
type basis struct {
	q, t      grid
	scale     []float64   // a column each: powers of two that bring the columns to about length 1
	null      [][]float64 // orthonormal free directions
	scaled    [][]float64 // the same space in scaled unknowns, orthonormal there
	condition float64
}

// factor takes the equations apart by QR (Householder) and, where that does not prove full rank,
// by singular values. reach is nil or as in Problem, a column each. It overwrites nothing.
func factor(a grid, reach []float64) basis {
	if a.cols > 0 && a.rows >= a.cols {
		take := factorQR
		if a.cols <= smallest {
			take = factorSmall
		}
		if b, ok := take(a, reach); ok {
			return b
		}
	}
	return factorSVD(a, reach)
}

// fixedWithin reports whether every direction is fixed to within the reach: the largest singular
// value of the inverse, in reaches per standard deviation, is at most its Frobenius norm.
func (b *basis) fixedWithin(reach []float64) bool {
	sum := 0.0
	for j, r := range reach {
		t := b.t.row(j)
		sum += dot(t, t) / (r * r)
	}
	return sum <= 1
}

// scaleColumns multiplies each column by the power of two that brings its length between 0.7 and
// 1.4, which loses no digit. A column of zeros stays.
func scaleColumns(a grid) (grid, []float64) {
	scaled := a.clone()
	dropRounding(scaled)
	squares := make([]float64, a.cols)
	for i := range a.rows {
		for j, v := range scaled.row(i) {
			squares[j] += v * v
		}
	}
	scale := make([]float64, a.cols)
	for j, s := range squares {
		scale[j] = 1
		if s > 0 {
			scale[j] = math.Exp2(-math.Round(math.Log2(s) / 2))
		}
	}
	for i := range a.rows {
		for j := range scale {
			scaled.row(i)[j] *= scale[j]
		}
	}
	return scaled, scale
}

// dropRounding clears the columns in which every coefficient is negligible beside its row.
func dropRounding(a grid) {
	counts := make([]bool, a.cols)
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

// factorQR gives up where the condition number or the reach leaves the rank in doubt.
func factorQR(a grid, reach []float64) (basis, bool) {
	n := a.cols
	q, scale := scaleColumns(a)
	tau := make([]float64, n)
	work := make([]float64, 64*n) // LAPACK wants 3 n at least and is faster with a block
	lapack64.Geqrf(q.general(), tau, work, len(work))
	r := newGrid(n, n)
	for i := range n {
		copy(r.row(i)[i:], q.row(i)[i:])
	}
	inverse := lapack64.Trcon(lapack.MaxRowSum, r.upper(), work, make([]int, n))
	if !(inverse*surelyFull > 1) || !lapack64.Trtri(r.upper()) {
		return basis{}, false
	}
	lapack64.Orgqr(q.general(), tau, work, len(work))
	for i := range n {
		for j := range n {
			r.row(i)[j] *= scale[i]
		}
	}
	b := basis{q: q, t: r, scale: scale, condition: 1 / inverse}
	if reach != nil {
		b.scale = reach
	}
	return b, b.fixedWithin(reach)
}

// factorSVD keeps the singular values above rankTolerance, and with reach above 1, and makes the
// rest free.
func factorSVD(a grid, reach []float64) basis {
	a, scale, least := scaledFor(a, reach)
	n := a.cols
	b := basis{scale: scale, condition: 1}
	u, s, v := singular(a)
	rank := 0
	for rank < len(s) && s[rank] > max(rankTolerance*s[0], least) {
		rank++
	}
	if rank > 0 {
		b.condition = s[0] / s[rank-1]
	}
	b.q, b.t = newGrid(a.rows, rank), newGrid(n, rank)
	for k := range rank {
		for i := range a.rows {
			b.q.row(i)[k] = u.At(i, k)
		}
		for j := range n {
			b.t.row(j)[k] = scale[j] * v[j*n+k] / s[k]
		}
	}
	b.free(v, rank)
	if reach == nil {
		b.shorten()
	}
	return b
}

// scaledFor scales the columns, by the reach if there is one, and gives the least singular value
// that counts.
func scaledFor(a grid, reach []float64) (scaled grid, scale []float64, least float64) {
	if reach == nil {
		scaled, scale = scaleColumns(a)
		return scaled, scale, 0
	}
	scaled = a.clone()
	for i := range a.rows {
		for j, r := range reach {
			scaled.row(i)[j] *= r
		}
	}
	return scaled, reach, 1
}

// singular returns the singular values of a with the left directions and all right ones (a.cols
// squared, row after row).
func singular(a grid) (u *mat.Dense, s, v []float64) {
	if a.rows == 0 || a.cols == 0 {
		return nil, nil, identity(a.cols)
	}
	var svd mat.SVD
	if !svd.Factorize(mat.NewDense(a.rows, a.cols, a.v), mat.SVDThinU|mat.SVDFullV) {
		panic("adjust: singular values of finite numbers did not converge")
	}
	u = new(mat.Dense)
	var right mat.Dense
	svd.UTo(u)
	svd.VTo(&right)
	return u, svd.Values(nil), right.RawMatrix().Data
}

func identity(n int) []float64 {
	one := make([]float64, n*n)
	for i := range n {
		one[i*n+i] = 1
	}
	return one
}

// free takes the free directions from the columns of v (scaled unknowns, n by n) after the first
// rank and makes them orthonormal in the unknowns themselves.
func (b *basis) free(v []float64, rank int) {
	n := len(b.scale)
	for k := rank; k < n; k++ {
		scaled, d := make([]float64, n), make([]float64, n)
		for j := range n {
			scaled[j] = v[j*n+k]
			d[j] = scaled[j] * b.scale[j]
		}
		b.scaled = append(b.scaled, scaled)
		b.null = append(b.null, orthonormal(d, b.null))
	}
}

// shorten takes the free directions out of t, so that solutions are the shortest in the unknowns
// themselves; before they are the shortest in scaled unknowns.
func (b *basis) shorten() {
	n := len(b.scale)
	for k := range b.t.cols {
		column := make([]float64, n)
		for j := range n {
			column[j] = b.t.row(j)[k]
		}
		removeAlong(column, b.null)
		for j := range n {
			b.t.row(j)[k] = column[j]
		}
	}
}

// orthonormal is d made square to the unit vectors of others and of length 1. Twice is enough
// (Gram and Schmidt, after Kahan).
func orthonormal(d []float64, others [][]float64) []float64 {
	for range 2 {
		removeAlong(d, others)
		length := norm(d)
		for j := range d {
			d[j] /= length
		}
	}
	return d
}

func removeAlong(d []float64, units [][]float64) {
	for _, u := range units {
		along := dot(d, u)
		for j := range d {
			d[j] -= along * u[j]
		}
	}
}
