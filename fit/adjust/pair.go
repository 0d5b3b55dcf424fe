package adjust

import "math"

// pair solves a linear part of two unknowns, as a line is: gramSchmidt and polish in closed form.
// It gives up where anything is out of the ordinary.
func (w *work) pair(pt *part) bool {
	m := len(pt.rows)
	if m < 2 {
		return false
	}
	room := w.mem.floats.take(3*m + 6)
	one, other, b := room[:m:m], room[m:2*m], room[2*m:3*m]
	w.pairRows(pt, one, other, b)
	pt.units, pt.t, pt.scale = grid{2, m, room[:2*m]}, grid{2, 2, room[3*m : 3*m+4]}, room[3*m+4:]
	if !pt.pairFactor(one, other) {
		pt.basis = basis{}
		return false
	}
	if c, d := dot(one, b), dot(other, b); finite(c) && finite(d) {
		w.pairMove(pt, c, d)
	} else {
		pt.basis = basis{}
		return false
	}
	for at, i := range pt.rows {
		b[at] = w.misfit(i) / w.p.Rows[i].Sigma
	}
	c, d := dot(one, b), dot(other, b)
	w.pairMove(pt, c, d)
	for at := range b {
		b[at] -= c*one[at] + d*other[at]
	}
	pt.misfits = b
	return true
}

// pairMove moves by coefficients of the orthonormal columns.
func (w *work) pairMove(pt *part, c, d float64) {
	w.x[pt.unknowns[0]] += pt.t.v[0]*c + pt.t.v[1]*d
	w.x[pt.unknowns[1]] += pt.t.v[3] * d
}

// pairRows writes the whitened columns and misfits.
func (w *work) pairRows(pt *part, one, other, b []float64) {
	first, x, y := pt.unknowns[0], w.x[pt.unknowns[0]], w.x[pt.unknowns[1]]
	for at, i := range pt.rows {
		r := &w.p.Rows[i]
		c, d := 0.0, 0.0
		for _, t := range r.Terms {
			if t.Unknown == first {
				c += t.Coef
			} else {
				d += t.Coef
			}
		}
		weight := 1 / r.Sigma
		one[at], other[at], b[at] = c*weight, d*weight, (r.Value-c*x-d*y)*weight
	}
}

// pairFactor makes the columns orthonormal and fills in t, scale and condition. With
// R = [r11 r12; 0 r22] the inverse is [1/r11, -r12/(r11 r22); 0, 1/r22].
func (pt *part) pairFactor(one, other []float64) bool {
	r11, before := dot(one, one), dot(other, other)
	if !comparableColumns([]float64{r11, before}) {
		return false
	}
	pt.scale[0], pt.scale[1] = powerOfTwo(r11), powerOfTwo(before)
	r11 = math.Sqrt(r11)
	scaleBy(one, 1/r11)
	r12, left := 0.0, before
	for range 2 {
		last, along := left, dot(one, other)
		addTo(other, -along, one)
		r12 += along
		if left = dot(other, other); left > mostLost*last {
			break
		}
	}
	r22 := math.Sqrt(left)
	a, b, c := 1/(r11*pt.scale[0]), -r12/(r11*r22*pt.scale[0]), 1/(r22*pt.scale[1])
	size := 1/(a*a) + before*pt.scale[1]*pt.scale[1]
	pt.condition = math.Sqrt(size * (a*a + b*b + c*c))
	if !(pt.condition < wellConditioned) {
		return false
	}
	scaleBy(other, 1/r22)
	pt.t.v[0], pt.t.v[1], pt.t.v[3] = a*pt.scale[0], b*pt.scale[0], c*pt.scale[1]
	if pt.reach == nil {
		return true
	}
	pt.scale = pt.reach
	return pt.fixedWithin(pt.reach)
}
