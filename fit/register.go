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
	m := turn(angleBetween(a, b, ca, cb))
	m.sx, m.sy = m.shiftX(ca, cb), m.shiftY(ca, cb)
	return m
}

// angleBetween is the angle of the turn, in radians. A shift of a centroid does not change it: the
// others' places seen from theirs add up to nothing.
func angleBetween(a, b []vector, ca, cb vector) quantity {
	cross, dot := 0.0, 0.0
	for i := range a {
		px, py, qx, qy := a[i].x.v-ca.x.v, a[i].y.v-ca.y.v, b[i].x.v-cb.x.v, b[i].y.v-cb.y.v
		cross += px*qy - py*qx
		dot += px*qx + py*qy
	}
	h := cross*cross + dot*dot
	c, d := cross/h, dot/h
	var room [4 * usualParts]by
	parts := room[:0]
	for i := range a {
		px, py, qx, qy := a[i].x.v-ca.x.v, a[i].y.v-ca.y.v, b[i].x.v-cb.x.v, b[i].y.v-cb.y.v
		parts = append(parts, by{a[i].x, d*qy - c*qx}, by{a[i].y, -d*qx - c*qy}, by{b[i].x, -d*py - c*px}, by{b[i].y, d*px - c*py})
	}
	return join(math.Atan2(cross, dot), parts...)
}

// turn is the motion that turns by an angle, in radians.
func turn(angle quantity) motion {
	sin, cos := math.Sincos(angle.v)
	return motion{cos: join(cos, by{angle, -sin}), sin: join(sin, by{angle, cos})}
}

// shiftX and shiftY are what carries p, once turned, to q.
func (m *motion) shiftX(p, q vector) quantity {
	return join(q.x.v-m.cos.v*p.x.v+m.sin.v*p.y.v, by{q.x, 1},
		by{m.cos, -p.x.v}, by{m.sin, p.y.v}, by{p.x, -m.cos.v}, by{p.y, m.sin.v})
}

func (m *motion) shiftY(p, q vector) quantity {
	return join(q.y.v-m.sin.v*p.x.v-m.cos.v*p.y.v, by{q.y, 1},
		by{m.sin, -p.x.v}, by{m.cos, -p.y.v}, by{p.x, -m.sin.v}, by{p.y, -m.cos.v})
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

// apart is the length of residualOf as a number.
func (r *registration) apart(mark int) float64 {
	i := slices.Index(r.marks, mark)
	p, q := r.from[i], r.to[i]
	dx := q.x.v - r.cos.v*p.x.v + r.sin.v*p.y.v - r.sx.v
	dy := q.y.v - r.sin.v*p.x.v - r.cos.v*p.y.v - r.sy.v
	return math.Hypot(dx, dy)
}

// worst is the mark that lies farthest apart.
func worst(marks []int, apart func(mark int) float64) int {
	at, far := marks[0], -1.0
	for _, m := range marks {
		if d := apart(m); d > far {
			at, far = m, d
		}
	}
	return at
}
