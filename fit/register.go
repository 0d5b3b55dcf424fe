package fit

import (
	"math"
	"slices"

	"neckfit/measure"
)

// registration is the rigid motion that lays one pattern of holes on another by least squares,
// every hole alike (closed form: the turn's tangent is sum of crosses over sum of dots of the
// places seen from their centroids; Umeyama 1991 with scale 1 in the plane).
type registration struct {
	motion
	from, to []vector // the places matched
	marks    []int
	matched  bool // enough of them
}

func (r *registration) wipe() {
	*r = registration{from: r.from[:0], to: r.to[:0], marks: r.marks[:0]}
}

// leastMatch is how many matched holes fix a rigid motion.
const leastMatch = 2

// register lays feature from of one frame on feature to of another, matching marks.
func (s *solved) register(fromFrame measure.Datum, from measure.Feature, toFrame measure.Datum, to measure.Feature) (*registration, bool) {
	r := s.laid.get(layKey{fromFrame, from, toFrame, to})
	if r == nil {
		r = s.laid.put(layKey{fromFrame, from, toFrame, to})
		s.newRegistration(r, layKey{fromFrame, from, toFrame, to})
	}
	return r, r.matched
}

// layKey names the two patterns of a registration.
type layKey struct {
	fromFrame measure.Datum
	from      measure.Feature
	toFrame   measure.Datum
	to        measure.Feature
}

func (s *solved) newRegistration(r *registration, k layKey) {
	for _, m := range s.marks(k.fromFrame, k.from) {
		if q, ok := s.place(k.toFrame, k.to, m); ok {
			p, _ := s.place(k.fromFrame, k.from, m)
			r.from, r.to, r.marks = append(r.from, p), append(r.to, q), append(r.marks, m)
		}
	}
	if r.matched = len(r.marks) >= leastMatch; r.matched {
		r.motion = rigid(r.from, r.to)
	}
}

// residualOf is the place that a mark was to reach less the one to which it was moved.
func (r *registration) residualOf(mark int) vector {
	i := slices.Index(r.marks, mark)
	return r.to[i].minus(r.place(r.from[i]))
}

// rigid is the motion that takes the places a nearest to the places b.
func rigid(a, b []vector) motion {
	ca, cb := centroid(a), centroid(b)
	var roomCross, roomDot [usualParts]by
	crosses, dots, cross, dot := roomCross[:0], roomDot[:0], 0.0, 0.0
	for i := range a {
		// By the centroids neither sum changes: the others' places seen from theirs add up to nothing.
		px, py := a[i].x.v-ca.x.v, a[i].y.v-ca.y.v
		qx, qy := b[i].x.v-cb.x.v, b[i].y.v-cb.y.v
		cross += px*qy - py*qx
		dot += px*qx + py*qy
		crosses = append(crosses, by{a[i].x, qy}, by{a[i].y, -qx}, by{b[i].x, -py}, by{b[i].y, px})
		dots = append(dots, by{a[i].x, qx}, by{a[i].y, qy}, by{b[i].x, px}, by{b[i].y, py})
	}
	c, d := join(cross, crosses...), join(dot, dots...)
	h := constant(1).over(c.hypot(d))
	cos, sin := d.times(h), c.times(h)
	m := motion{ex: vector{cos, sin.negated()}, ey: vector{sin, cos}}
	moved := m.direction(ca)
	m.sx, m.sy = cb.x.minus(moved.x), cb.y.minus(moved.y)
	return m
}

func centroid(ps []vector) vector {
	var roomX, roomY [usualParts]by
	xs, ys, x, y, share := roomX[:0], roomY[:0], 0.0, 0.0, 1/float64(len(ps))
	for _, p := range ps {
		x += p.x.v
		y += p.y.v
		xs, ys = append(xs, by{p.x, share}), append(ys, by{p.y, share})
	}
	return vector{join(x*share, xs...), join(y*share, ys...)}
}

// worst is the longest of the marks' residuals, and its mark.
func worst(marks []int, residual func(mark int) vector) (quantity, int) {
	at, far := marks[0], -1.0
	for _, m := range marks {
		r := residual(m)
		if d := math.Hypot(r.x.v, r.y.v); d > far {
			at, far = m, d
		}
	}
	return residual(at).length(), at
}
