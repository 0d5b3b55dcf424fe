package fit

import (
	"math"
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// registration is the rigid motion that lays one pattern of holes on another by least squares,
// every hole alike (closed form: the turn's tangent is sum of crosses over sum of dots of the
// places seen from their centroids; Umeyama 1991 with scale 1 in the plane).
type registration struct {
	autodiff.Motion
	from, to []autodiff.Vector // the places matched
	marks    []int
	matched  bool // enough of them
}

// Reset empties the registration.
func (r *registration) Reset() {
	*r = registration{from: r.from[:0], to: r.to[:0], marks: r.marks[:0]}
}

// leastMatch is how many matched holes fix a rigid motion.
const leastMatch = 2

// register lays feature from of one frame on feature to of another, matching marks.
func (s *solved) register(fromFrame measure.Datum, from measure.Feature, toFrame measure.Datum, to measure.Feature) (*registration, bool) {
	r := s.laid.Get(layKey{fromFrame, from, toFrame, to})
	if r == nil {
		r = s.laid.Put(layKey{fromFrame, from, toFrame, to})
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
		r.Motion = autodiff.Rigid(r.from, r.to)
	}
}

// residualOf is the place that a mark was to reach less the one to which it was moved.
func (r *registration) residualOf(mark int) autodiff.Vector {
	i := slices.Index(r.marks, mark)
	return r.to[i].Minus(r.Place(r.from[i]))
}

// apart is the length of residualOf as a number.
func (r *registration) apart(mark int) float64 {
	i := slices.Index(r.marks, mark)
	p, q := r.from[i], r.to[i]
	dx := q.X.Value - r.Cos.Value*p.X.Value + r.Sin.Value*p.Y.Value - r.ShiftX.Value
	dy := q.Y.Value - r.Sin.Value*p.X.Value - r.Cos.Value*p.Y.Value - r.ShiftY.Value
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
