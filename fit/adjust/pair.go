package adjust

import "math"

// pair solves a linear part of two unknowns, as a line is: gramSchmidt and polish in closed form.
// It gives up where anything is out of the ordinary.
func (w *work) pair(pt *part) bool {
	one, other, b := pt.units.row(0), pt.units.row(1), pt.misfits
	w.pairRows(pt, one, other, b)
	if !pt.pairFactor(one, other) {
		return false
	}
	c, d := dot(one, b), dot(other, b)
	if !finite(c) || !finite(d) {
		return false
	}
	w.pairMove(pt, c, d)
	for at, i := range pt.rows {
		b[at] = w.misfit(i) / w.p.Rows[i].Sigma
	}
	c, d = dot(one, b), dot(other, b)
	w.pairMove(pt, c, d)
	for at := range b {
		b[at] -= c*one[at] + d*other[at]
	}
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
	first, second := powerOfTwo(r11), powerOfTwo(before)
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
	a, b, c := 1/(r11*first), -r12/(r11*r22*first), 1/(r22*second)
	size := 1/(a*a) + before*second*second
	pt.condition = math.Sqrt(size * (a*a + b*b + c*c))
	if !(pt.condition < wellConditioned) {
		return false
	}
	scaleBy(other, 1/r22)
	pt.t.v[0], pt.t.v[1], pt.t.v[3] = a*first, b*first, c*second
	if pt.reach == nil {
		pt.scale[0], pt.scale[1] = first, second
		return true
	}
	return pt.fixedWithin(pt.reach)
}
