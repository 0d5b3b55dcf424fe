package adjust

import (
	"gonum.org/v1/gonum/mat"
)

// factorSVD keeps the singular values above rankTolerance, and with reach above 1, and makes the
// rest free.
func factorSVD(mem *arena, a grid, reach []float64) basis {
	a, scale, least := scaledFor(mem, a, reach)
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
	b.units, b.t = mem.grid(rank, a.rows), mem.grid(n, rank)
	for k := range rank {
		for i := range a.rows {
			b.units.row(k)[i] = u.At(i, k)
		}
		for j := range n {
			b.t.row(j)[k] = scale[j] * v[j*n+k] / s[k]
		}
	}
	b.free(mem, v, rank)
	if reach == nil {
		b.shorten(mem)
	}
	return b
}

// scaledFor scales the columns, by the reach if there is one, and gives the least singular value
// that counts.
func scaledFor(mem *arena, a grid, reach []float64) (scaled grid, scale []float64, least float64) {
	if reach == nil {
		scaled, scale = scaleColumns(mem, a)
		return scaled, scale, 0
	}
	scaled = mem.grid(a.rows, a.cols)
	copy(scaled.v, a.v)
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
func (b *basis) free(mem *arena, v []float64, rank int) {
	n := len(b.scale)
	for k := rank; k < n; k++ {
		scaled, d := mem.floats.take(n), mem.floats.take(n)
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
func (b *basis) shorten(mem *arena) {
	n := len(b.scale)
	column := mem.floats.take(n)
	for k := range b.t.cols {
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
		scaleBy(d, 1/norm(d))
	}
	return d
}

func removeAlong(d []float64, units [][]float64) {
	for _, u := range units {
		addTo(d, -dot(d, u), u)
	}
}
