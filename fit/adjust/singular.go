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
	left, s, right := singular(mem, a)
	rank := 0
	for rank < len(s) && s[rank] > max(rankTolerance*s[0], least) {
		rank++
	}
	if rank > 0 {
		b.condition = s[0] / s[rank-1]
	}
	b.units, b.t = mem.grid(rank, a.rows), mem.grid(n, rank)
	for k := range rank {
		copy(b.units.row(k), left.row(k))
		for j, v := range right.row(k) {
			b.t.row(j)[k] = scale[j] * v / s[k]
		}
	}
	b.free(mem, right, rank)
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

// singular returns the singular values of a, falling, with the left directions and all right ones, a
// row each.
func singular(mem *arena, a grid) (left grid, s []float64, right grid) {
	if a.rows == 0 || a.cols == 0 {
		right = mem.grid(a.cols, a.cols)
		for j := range a.cols {
			right.row(j)[j] = 1
		}
		return left, nil, right
	}
	var svd mat.SVD
	if !svd.Factorize(mat.NewDense(a.rows, a.cols, a.v), mat.SVDThinU|mat.SVDFullV) {
		panic("adjust: singular values of finite numbers did not converge")
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	return turned(mem, &u), svd.Values(nil), turned(mem, &v)
}

// turned is the transpose.
func turned(mem *arena, m *mat.Dense) grid {
	rows, cols := m.Dims()
	g := mem.grid(cols, rows)
	grid{rows, cols, m.RawMatrix().Data}.turn(g)
	return g
}

// free takes the free directions from the right ones (in scaled unknowns) after the first rank and
// makes them orthonormal in the unknowns themselves.
func (b *basis) free(mem *arena, right grid, rank int) {
	n := len(b.scale)
	b.scaled, b.null = mem.lists.take(n - rank)[:0], mem.lists.take(n - rank)[:0]
	for k := rank; k < n; k++ {
		d := mem.floats.take(n)
		for j, v := range right.row(k) {
			d[j] = v * b.scale[j]
		}
		b.scaled = append(b.scaled, right.row(k))
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
