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
	if total := r11 + before; !comparableTo(r11, total) || !comparableTo(before, total) {
		return false
	}
	first, second := powerOfTwo(r11), powerOfTwo(before)
	size := r11*first*first + before*second*second
	a := 1 / math.Sqrt(r11)
	scaleBy(one, a)
	r12, r22 := squareOff(one, other, before)
	c := 1 / r22
	b := -r12 * a * c
	scaleBy(other, c)
	pt.t.v[0], pt.t.v[1], pt.t.v[3] = a, b, c
	along, across := a*a+b*b, c*c
	pt.condition = math.Sqrt(size * (along/(first*first) + across/(second*second)))
	if !(pt.condition < wellConditioned) {
		return false
	}
	if pt.reach == nil {
		pt.scale[0], pt.scale[1] = first, second
		return true
	}
	return along/(pt.reach[0]*pt.reach[0])+across/(pt.reach[1]*pt.reach[1]) <= 1 // see fixedWithin
}

// squareOff takes a unit vector out of another one, whose squared length is before, and returns how
// much of it there was and what length is left. In a plane only one direction is square to it.
func squareOff(unit, other []float64, before float64) (along, left float64) {
	if len(other) == 2 {
		x, y := unit[0], unit[1]
		along, left = x*other[0]+y*other[1], x*other[1]-y*other[0]
		other[0], other[1] = -y*left, x*left
		return along, math.Abs(left)
	}
	for range 2 {
		last, more := before, dot(unit, other)
		addTo(other, -more, unit)
		along += more
		if before = dot(other, other); before > mostLost*last {
			break
		}
	}
	return along, math.Sqrt(before)
}
