package fit

import (
	"math"
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// bridgeHoleMismatch is the worst distance of a screw hole in the body from the bridge plate's,
// the plate lying at its best. The plate's holes let the screws off centre by half their
// clearance, which is the limit where hole and screw are known.
func (a *assembly) bridgeHoleMismatch() finding {
	r, ok := a.register(measure.DatumBridge, measure.PlateScrew, measure.DatumBody, measure.BridgeScrew)
	if !ok {
		return missing(Missing{Want: WantPlateHoles})
	}
	if lack := a.unmatched(r.marks, a.told(measure.DatumBridge, measure.PlateScrew), a.told(measure.DatumBody, measure.BridgeScrew)); lack != (Marks{}) {
		return missing(Missing{Want: WantPlateHoles, Marks: lack})
	}
	f := farthest(r.marks, r.offOf, r.residualOf, Basis{Kind: AtScrew})
	f.bound = a.clearance(measure.DatumBridge, measure.PlateScrew, r.marks, a.Kit.Info.BridgeScrew)
	if a.nudges == nil || a.bridge.carry.frame != measure.DatumBridge {
		return f
	}
	return a.apart(f, r.marks, func(m int) autodiff.Vector {
		hole, _ := a.body.seen(measure.BridgeScrew, m)
		plate, _ := a.bridge.carry.seen(measure.PlateScrew, m)
		return hole.Minus(plate)
	})
}

// unmatched are the holes that one of two patterns tells of and that were not located in both: the worst
// of the others is not the kit's.
func (a *assembly) unmatched(matched []int, told ...Marks) (lack Marks) {
	var both Marks
	for _, m := range matched {
		both.add(m)
	}
	for _, t := range told {
		t = t.without(both)
		lack[0], lack[1] = lack[0]|t[0], lack[1]|t[1]
	}
	return lack
}

// clearance is half of what the holes are wider than the screw, where both are known.
func (a *assembly) clearance(frame measure.Datum, f measure.Feature, marks []int, screw float64) *bound {
	least := 0.0
	for _, m := range marks {
		if d, ok := a.body.diameter(frame, f, m); ok && (least == 0 || d < least) {
			least = d
		}
	}
	if screw == 0 || least == 0 {
		return nil
	}
	return &bound{-inf, max(0, least-screw) / 2, LimitSource{Origin: ByClearance, Feature: f, Hole: least, Screw: screw}}
}

// neckScrewMismatch is the worst distance of a hole in the heel from the body's, the neck seated. One
// pattern lying at its best on the other would not tell whether the screws go in.
func (a *assembly) neckScrewMismatch() finding {
	if a.way != LooseParts {
		return missing(Missing{Want: WantLooseHoles})
	}
	if a.seat == nil {
		return missing(a.unseated)
	}
	var room [8]int
	marks := room[:0]
	residual := func(mark int) autodiff.Vector {
		heel, _ := a.neck.seen(measure.HeelScrew, mark)
		body, _ := a.body.seen(measure.NeckScrew, mark)
		return body.Minus(heel)
	}
	for _, m := range a.body.marks(measure.DatumBody, measure.NeckScrew) {
		if _, ok := a.neck.seen(measure.HeelScrew, m); ok {
			marks = append(marks, m)
		}
	}
	if len(marks) < leastMatch {
		return missing(Missing{Want: WantNeckHoles})
	}
	if lack := a.unmatched(marks, a.neck.told(measure.DatumNeck, measure.HeelScrew), a.body.told(measure.DatumBody, measure.NeckScrew)); lack != (Marks{}) {
		return missing(Missing{Want: WantNeckHoles, Marks: lack})
	}
	f := farthest(marks, residual, residual, Basis{Kind: NeckSeated})
	f.bound = a.clearance(measure.DatumBody, measure.NeckScrew, marks, a.Kit.Info.NeckScrew)
	if a.nudges == nil {
		return f
	}
	return a.apart(f, marks, residual)
}

// apart notes, for a model, both coordinates of every hole's distance.
func (a *assembly) apart(f finding, marks []int, residual func(mark int) autodiff.Vector) finding {
	var elements []autodiff.Variable
	var both []int
	for _, m := range marks {
		v := residual(m)
		elements, both = append(elements, v.X, v.Y), append(both, m, m)
	}
	return f.from(a, LongestOf, elements, both)
}

// stringHolePitch is the worst distance of a string hole from an even row, which has four unknowns
// (a start and a step) and is fitted by least squares, every hole alike.
func (a *assembly) stringHolePitch() finding {
	marks := a.marks(measure.DatumBody, measure.StringHole)
	if len(marks) < 3 {
		return missing(Missing{Want: WantStringHoles})
	}
	var all Marks
	for m := 1; m <= a.Strings; m++ {
		all.add(m)
	}
	if lack := a.unmatched(marks, all); lack != (Marks{}) {
		return missing(Missing{Want: WantStringHoles, Marks: lack})
	}
	places := make([]autodiff.Vector, len(marks))
	middle, spread := 0.0, 0.0
	for i, m := range marks {
		places[i], _ = a.solved.place(measure.DatumBody, measure.StringHole, m)
		middle += float64(m) / float64(len(marks))
	}
	var step autodiff.Vector
	for i, m := range marks {
		k := float64(m) - middle
		spread += k * k
		step = step.Plus(places[i].Scaled(k))
	}
	step = step.Scaled(1 / spread)
	start := autodiff.Centroid(places)
	residual := func(m int) autodiff.Vector {
		return places[slices.Index(marks, m)].Minus(start).Minus(step.Scaled(float64(m) - middle))
	}
	return farthest(marks, residual, residual, Basis{Kind: AtString})
}

// holesApart is the worst distance of a string's hole in the body from what is to lie over or under it, a
// feature of another part or of the body's back.
func (a *assembly) holesApart(p *part, f measure.Feature) finding {
	var room [usualStrings]int
	marks := room[:0]
	residual := func(mark int) autodiff.Vector {
		other, _ := p.seen(f, mark)
		hole, _ := a.body.seen(measure.StringHole, mark)
		return hole.Minus(other)
	}
	for _, m := range a.marks(a.body.frame, measure.StringHole) {
		if _, ok := p.seen(f, m); ok {
			marks = append(marks, m)
		}
	}
	if len(marks) == 0 {
		return missing(Missing{Want: WantOverHoles, Feature: f})
	}
	if lack := a.unmatched(marks, a.told(p.frame, f), a.told(a.body.frame, measure.StringHole)); lack != (Marks{}) {
		return missing(Missing{Want: WantOverHoles, Feature: f, Marks: lack})
	}
	found := farthest(marks, residual, residual, Basis{Kind: AtString})
	if a.nudges == nil {
		return found
	}
	return a.apart(found, marks, residual)
}

// plateHoleMismatch is that of the bridge plate's holes, the bridge lying as it will.
func (a *assembly) plateHoleMismatch() finding {
	if a.bridge.carry.frame == measure.NoDatum {
		return missing(Missing{Want: WantOverHoles, Feature: measure.PlateHole})
	}
	return a.holesApart(&a.bridge.carry, measure.PlateHole)
}

// ferruleMismatch is that of the ferrules in the body's back.
func (a *assembly) ferruleMismatch() finding { return a.holesApart(&a.body, measure.Ferrule) }

// registration is the rigid motion that lays one pattern of holes on another by least squares,
// every hole alike (closed form: the turn's tangent is sum of crosses over sum of dots of the
// places seen from their centroids; Umeyama 1991 with scale 1 in the plane).
type registration struct {
	autodiff.Motion
	from, to []autodiff.Vector // the places matched
	off      []autodiff.Vector // by how much each misses, as plain numbers
	marks    []int
	matched  bool // enough of them
}

// Reset empties the registration.
func (r *registration) Reset() {
	*r = registration{from: r.from[:0], to: r.to[:0], off: r.off[:0], marks: r.marks[:0]}
}

// leastMatch is how many matched holes fix a rigid motion.
const leastMatch = 2

// register lays feature from of one frame on feature to of another, matching marks.
func (s *solved) register(fromFrame measure.Datum, from measure.Feature, toFrame measure.Datum, to measure.Feature) (*registration, bool) {
	key := layKey{fromFrame, from, toFrame, to}
	if r := s.laid.Get(key); r != nil {
		return r, r.matched
	}
	r := s.laid.Put(key)
	for _, m := range s.marks(fromFrame, from) {
		if q, ok := s.place(toFrame, to, m); ok {
			p, _ := s.place(fromFrame, from, m)
			r.from, r.to, r.marks = append(r.from, p), append(r.to, q), append(r.marks, m)
		}
	}
	if r.matched = len(r.marks) >= leastMatch; r.matched {
		r.Motion = autodiff.Rigid(r.from, r.to)
		for i, p := range r.from {
			x, y := r.At(p)
			r.off = append(r.off, fixed(r.to[i].X.Value-x, r.to[i].Y.Value-y))
		}
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

// residualOf is the place that a mark was to reach less the one to which it was moved.
func (r *registration) residualOf(mark int) autodiff.Vector {
	i := slices.Index(r.marks, mark)
	return r.to[i].Minus(r.Place(r.from[i]))
}

// offOf is that as plain numbers.
func (r *registration) offOf(mark int) autodiff.Vector { return r.off[slices.Index(r.marks, mark)] }

// farthest is the worst of holes that lie apart by so much, the first of equal ones; residual is by how much, with what it
// hangs on, if that is not the same.
func farthest(marks []int, off, residual func(mark int) autodiff.Vector, basis Basis) finding {
	d := &distances{apart: make([]deviation, len(marks))}
	farthest := -1.0
	for k, m := range marks {
		between := off(m)
		apart := math.Hypot(between.X.Value, between.Y.Value)
		if apart > farthest {
			farthest, basis.Mark = apart, m
		}
		d.apart[k].value = apart
	}
	d.between = residual(basis.Mark)
	return finding{value: d.between.Length(), holes: d, basis: basis}
}
