package fit

import (
	"math"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// reference is what stands for the bridge: the middle of the outer strings' line of contact, the
// line's direction from bass to treble, and where both come from.
type reference struct {
	middle autodiff.Vector
	row    autodiff.Vector // from bass to treble, square to the bridge
	basis  Basis
	carry  part // where the bridge's own places were read; its frame is NoDatum when they were not
}

// known tells whether the bridge was found.
func (r reference) known() bool { return r.basis.Kind != NoBasis }

// findBridge takes, in order of preference, saddles read in place, the bridge
// laid by its pattern on the body's screw holes, the row of string holes, the row of screws.
func (a *assembly) findBridge() {
	if a.way == LooseParts && a.seat == nil {
		a.unbridged = a.unseated
	}
	a.bridge.carry.solved = a.body.solved
	if a.takeRow(&a.body, measure.Saddle, SaddlesInPlace) {
		a.bridge.carry = a.body
		return
	}
	if r, ok := a.body.register(measure.DatumBridge, measure.PlateScrew, a.body.frame, measure.BridgeScrew); ok {
		laid := part{a.body.solved, measure.DatumBridge, r.Then(a.body.Motion)}
		if a.takeRow(&laid, measure.Saddle, BridgeByScrews) {
			a.bridge.carry = laid
			return
		}
	}
	if a.takeRow(&a.body, measure.StringHole, RowOfHoles) || a.takeScrews() {
		return
	}
	for _, p := range []part{a.body, {a.body.solved, measure.DatumBridge, a.body.Motion}} {
		for _, f := range []measure.Feature{measure.Saddle, measure.StringHole} {
			var read, lack Marks
			for _, m := range p.marks(p.frame, f) {
				read.add(m)
			}
			for m := 1; m <= a.Strings; m++ {
				lack.add(m)
			}
			if lack = lack.without(read); read != (Marks{}) && lack != (Marks{}) {
				a.unbridged = Missing{Want: WantAllStrings, Feature: f, Marks: lack}
				return
			}
		}
	}
	switch {
	case !a.unbridged.None():
	case a.way == EdgeCheck:
		a.unbridged = Missing{Want: WantBridgeByEdge}
	default:
		a.unbridged = Missing{Want: WantBridge}
	}
}

// takeRow takes the outer strings' places of a feature as the reference.
func (a *assembly) takeRow(p *part, f measure.Feature, basis BasisKind) bool {
	if a.Strings < 2 {
		return false
	}
	bass, okBass := p.contact(f, a.Strings)
	treble, okTreble := p.contact(f, 1)
	if okBass && okTreble && p.Point(p.frame, f, a.Strings).Located() != p.Point(p.frame, f, 1).Located() {
		// A saddle amid its travel and one at its front stop are no row; both at their front stops are.
		bass, okBass = p.stop(measure.SaddleFront, a.Strings)
		treble, okTreble = p.stop(measure.SaddleFront, 1)
	}
	if !okBass || !okTreble {
		return false
	}
	a.bridge.middle, a.bridge.row, a.bridge.basis = autodiff.Middle(bass, treble), treble.Minus(bass), Basis{Kind: basis}
	if f == measure.Saddle {
		a.squareRow(p)
	}
	return true
}

// squareRow makes the row of saddles one that is square to the bridge. Saddles stand where the strings
// want them, the bass ones farther back; so the row is that of their front stops where these were read, less
// the slant that the bridge has by its own design or for the sake of a fan. Saddles that cannot be set and of which no slant is told
// say nothing of the heading where the screws do.
func (a *assembly) squareRow(p *part) {
	info := &a.Kit.Info
	slant := info.Slant
	if slant == 0 { // of a bridge that was made for a fan
		slant = a.Fan.Lead(1, -0.5) - a.Fan.Lead(1, 0.5)
	}
	if info.Saddles == measure.SaddleFixed && slant == 0 {
		if row, ok := a.screwRow(p); ok {
			a.bridge.row = row
			return
		}
	}
	bass, okBass := p.stop(measure.SaddleFront, a.Strings)
	treble, okTreble := p.stop(measure.SaddleFront, 1)
	if okBass && okTreble {
		a.bridge.row = treble.Minus(bass)
	}
	if slant == 0 {
		return
	}
	row := a.bridge.row
	sin := autodiff.Constant(slant).Over(row.Length())
	cos := math.Sqrt(1 - sin.Value*sin.Value) // a slant is a small part of the row
	back := autodiff.Motion{Cos: autodiff.Formula(cos, autodiff.Partial{Of: sin, Slope: -sin.Value / cos}), Sin: sin.Negated()}
	a.bridge.row = back.Direction(row)
}

// mostOblique is how far two screws of a plate may lie from the row of saddles to be taken for two that
// are square to the bridge, as a tangent: screws of different rows lie farther off.
const mostOblique = 0.2

// screwRow is from bass to treble along the two screws, farthest apart, that lie abreast: of the plate, or of
// the body where the bridge was read in its place.
func (a *assembly) screwRow(p *part) (autodiff.Vector, bool) {
	feature := measure.PlateScrew
	if p.frame == a.body.frame {
		feature = measure.BridgeScrew
	}
	along, longest, row := a.bridge.row, 0.0, autodiff.Vector{}
	marks := p.marks(p.frame, feature)
	for i, m := range marks {
		for _, n := range marks[:i] {
			from, _ := p.seen(feature, m)
			to, _ := p.seen(feature, n)
			v := to.Minus(from)
			if along.Dot(v).Value < 0 {
				v = from.Minus(to)
			}
			if far := v.Length().Value; far > longest && math.Abs(along.Cross(v).Value) < mostOblique*along.Dot(v).Value {
				longest, row = far, v
			}
		}
	}
	return row, longest > 0
}

// meant is where a hole that stands for the bridge was meant to be, as well as it tells that.
func (p *part) meant(f measure.Feature, mark int) (autodiff.Vector, bool) {
	at, ok := p.place(p.frame, f, mark)
	if !ok {
		return at, false
	}
	if hole := p.Point(p.frame, f, mark); hole.Astray[0] >= 0 {
		at = at.Minus(autodiff.Vector{X: p.x(hole.Astray[0]), Y: p.x(hole.Astray[1])})
	}
	return p.Place(at), true
}

// contact is a string's place. A saddle of which only the offset was read stands at its front stop.
func (p *part) contact(f measure.Feature, mark int) (autodiff.Vector, bool) {
	if f != measure.Saddle {
		return p.meant(f, mark)
	}
	if v, ok := p.seen(f, mark); ok {
		return v, true
	}
	return p.stop(measure.SaddleFront, mark)
}

// stop is the place of a string's contact at an end of its travel. Where its offset was not read
// it is the saddle's.
func (p *part) stop(f measure.Feature, mark int) (autodiff.Vector, bool) {
	if v, ok := p.seen(f, mark); ok {
		return v, true
	}
	at := p.Point(p.frame, f, mark)
	beside := p.Point(p.frame, measure.Saddle, mark)
	if at == nil || !at.HasStation || beside == nil || !beside.HasOffset {
		return autodiff.Vector{}, false
	}
	return p.Place(autodiff.Vector{X: p.x(at.Station), Y: p.x(beside.Offset)}), true
}

// oneRow is how far a screw may stand off the line through the outermost two for all to be one
// row: half a screw's diameter and more; a second row stands off by much more.
const oneRow = 3.0 // mm

// takeScrews takes the outermost two of a single row of bridge screws.
func (a *assembly) takeScrews() bool {
	marks := a.body.marks(a.body.frame, measure.BridgeScrew)
	if len(marks) < 2 {
		return false
	}
	places := make([]autodiff.Vector, len(marks))
	for i, m := range marks {
		places[i], _ = a.body.meant(measure.BridgeScrew, m)
	}
	i, j := outermost(places)
	bass, treble := places[i], places[j]
	if bass.Y.Value > treble.Y.Value {
		bass, treble = treble, bass
	}
	row := autodiff.Through(bass, treble)
	for _, p := range places {
		if math.Abs(row.SignedDistance(p).Value) > oneRow {
			a.unbridged = Missing{Want: WantPlate}
			return false
		}
	}
	a.bridge.middle, a.bridge.row, a.bridge.basis = autodiff.Middle(bass, treble), treble.Minus(bass), Basis{Kind: RowOfScrews}
	return true
}

// outermost are the two places farthest from each other.
func outermost(places []autodiff.Vector) (bi, bj int) {
	far := -1.0
	for i := range places {
		for j := range i {
			d := math.Hypot(places[i].X.Value-places[j].X.Value, places[i].Y.Value-places[j].Y.Value)
			if d > far {
				bi, bj, far = i, j, d
			}
		}
	}
	return bi, bj
}

// centreLineError is how far the middle of the bridge lies from the neck's centre line, positive
// toward treble. An edge check whose readings do not fix the board's taper has it as half the
// difference of two distances inward, one from each edge: with a half taper of g and the two spots
// a station s apart that is out by s tan(g)/2 at the most, 0.01 mm for 1 mm and one degree.
func (a *assembly) centreLineError() finding {
	if a.way == EdgeCheck {
		return a.edgeError()
	}
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	return foundOn(a.centre.SignedDistance(a.bridge.middle), a.bridge.basis)
}

// lack is what centre line or bridge are short of.
func (a *assembly) lack() Missing {
	if !a.uncentred.None() {
		return a.uncentred
	}
	return a.unbridged
}

func (a *assembly) edgeError() finding {
	if a.bridge.known() {
		q := a.centre.SignedDistance(a.bridge.middle)
		if a.fit.Estimable(a.gradient(q)) {
			return foundOn(q, a.bridge.basis)
		}
	}
	for _, f := range []measure.Feature{measure.Saddle, measure.PlateScrew, measure.BridgeScrew, measure.StringHole, measure.PlateHole} {
		bass, treble := a.inward(f, measure.DatumEdgeBass), a.inward(f, measure.DatumEdgeTreble)
		if !bass.IsConstant() && !treble.IsConstant() {
			return foundOn(bass.Minus(treble).Scaled(0.5), Basis{Kind: Symmetric, Feature: f})
		}
	}
	return missing(Missing{Want: WantInwardByEdge})
}

// inward is the least distance inward of the feature's marks that were read from an edge datum,
// the outermost one's: the zero quantity when there is none.
func (a *assembly) inward(f measure.Feature, d measure.Datum) autodiff.Variable {
	var nearest autodiff.Variable
	for i := range a.Kit.Readings {
		r := &a.Kit.Readings[i]
		if r.Datum != d || r.Feature != f || !r.HasOffset || r.Kind == measure.Distance {
			continue
		}
		p := a.Points.Get(survey.PointAt(survey.Frame(d), f, r.Mark.Number))
		place := autodiff.Vector{X: a.x(p.Station), Y: a.x(p.Offset)}
		if p.Astray[0] >= 0 {
			place = place.Minus(autodiff.Vector{X: a.x(p.Astray[0]), Y: a.x(p.Astray[1])})
		}
		q := a.edge(measure.EdgeBass).SignedDistance(place)
		if d == measure.DatumEdgeTreble {
			q = a.edge(measure.EdgeTreble).SignedDistance(place).Negated()
		}
		if nearest.IsConstant() || q.Value < nearest.Value {
			nearest = q
		}
	}
	return nearest
}

// bridgeSkew is the angle from the neck's centre line to the bridge's heading, in degrees,
// positive when the bridge's tail side turns toward treble.
func (a *assembly) bridgeSkew() finding {
	if a.neck.untold != 0 { // how its row is to stand is the fan's
		return missing(Missing{Want: WantFan})
	}
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	return foundOn(a.centre.N.AngleTo(a.bridge.row), a.bridge.basis)
}
