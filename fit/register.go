package fit

import "neckfit/measure"

// registration is the rigid motion that lays one pattern of holes on another by least squares,
// every hole alike (closed form: the turn's tangent is sum of crosses over sum of dots of the
// places seen from their centroids; Umeyama 1991 with scale 1 in the plane).
type registration struct {
	motion
	residuals []vector // target less moved place, by matched mark
	marks     []int
}

// leastMatch is how many matched holes fix a rigid motion.
const leastMatch = 2

// register lays feature from of one frame on feature to of another, matching marks.
func (s *solved) register(fromFrame measure.Datum, from measure.Feature, toFrame measure.Datum, to measure.Feature) (*registration, bool) {
	var a, b []vector
	var marks []int
	for _, m := range s.marks(fromFrame, from) {
		if q, ok := s.place(toFrame, to, m); ok {
			p, _ := s.place(fromFrame, from, m)
			a, b, marks = append(a, p), append(b, q), append(marks, m)
		}
	}
	if len(marks) < leastMatch {
		return nil, false
	}
	r := &registration{motion: rigid(a, b), marks: marks}
	for i := range a {
		r.residuals = append(r.residuals, b[i].minus(r.place(a[i])))
	}
	return r, true
}

// rigid is the motion that takes the places a nearest to the places b.
func rigid(a, b []vector) motion {
	ca, cb := centroid(a), centroid(b)
	var cross, dot quantity
	for i := range a {
		p, q := a[i].minus(ca), b[i].minus(cb)
		cross = cross.plus(p.cross(q))
		dot = dot.plus(p.dot(q))
	}
	h := constant(1).over(cross.hypot(dot))
	cos, sin := dot.times(h), cross.times(h)
	m := motion{ex: vector{cos, sin.negated()}, ey: vector{sin, cos}}
	moved := m.place(ca)
	m.sx, m.sy = cb.x.minus(moved.x), cb.y.minus(moved.y)
	return m
}

func centroid(ps []vector) vector {
	var sum vector
	for _, p := range ps {
		sum = sum.plus(p)
	}
	return sum.scaled(1 / float64(len(ps)))
}

// worst is the longest of the residuals and its mark.
func worst(residuals []vector, marks []int) (quantity, int) {
	lengths := make([]quantity, len(residuals))
	for i, r := range residuals {
		lengths[i] = r.length()
	}
	w := greatest(lengths...)
	for i := range lengths {
		if lengths[i].v == w.v {
			return w, marks[i]
		}
	}
	panic("fit: the greatest is one of them")
}
