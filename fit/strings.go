package fit

import (
	"math"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// margins are the distances from the outer strings to the fingerboard's edges at the last fret,
// square to the centre line. Strings run straight from the nut's slots to the saddles.
type margins struct{ bass, treble autodiff.Variable }

func (a *assembly) margins() (margins, Missing) {
	if !a.looked {
		a.strung, a.unstrung = a.newMargins()
		a.looked = true
	}
	return a.strung, a.unstrung
}

func (a *assembly) newMargins() (margins, Missing) {
	if lack := a.lack(); !lack.None() {
		return margins{}, lack
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return margins{}, lack
	}
	last := a.lastFret()
	if last == 0 {
		return margins{}, Missing{Want: WantLastFret}
	}
	if a.bridge.carry.frame == measure.NoDatum {
		return margins{}, Missing{Want: WantSaddles}
	}
	share := adjust.FretShare(last)
	// Of a fanned board the last fret does not lie square.
	leadBass, leadTreble := autodiff.Constant(a.Fan.Lead(share, -0.5)), autodiff.Constant(a.Fan.Lead(share, 0.5))
	reach := scale.Scaled(share)
	fret, own := nut.Plus(reach), a.neck.x(a.neck.Boards.Get(a.neck.frame).S0).Plus(reach)
	bass, lackBass := a.stringAt(a.Strings, nut, fret.Plus(leadBass))
	treble, lackTreble := a.stringAt(1, nut, fret.Plus(leadTreble))
	for _, lack := range []Missing{lackBass, lackTreble} {
		if !lack.None() {
			return margins{}, lack
		}
	}
	return margins{
		bass:   bass.Minus(a.edgeAt(measure.EdgeBass, own.Plus(leadBass))),
		treble: a.edgeAt(measure.EdgeTreble, own.Plus(leadTreble)).Minus(treble),
	}, Missing{}
}

// edgeAt is how far toward treble of the centre line an edge, bass or treble, passes the last fret, which stands so far along it in the
// neck's own frame: where the edge itself is there, and not the line that fits it best.
func (a *assembly) edgeAt(f measure.Feature, along autodiff.Variable) autodiff.Variable {
	centre := a.neck.pair(a.neck.frame, measure.Fingerboard).mid
	edge, _ := a.neck.sideLine(a.neck.frame, f)
	y := centre.Crossing(edge, along)
	on := a.neck.Sides.Get(survey.SideAt(a.neck.frame, f))
	if on.Last < 0 {
		return y
	}
	station := centre.N.Y.Value*along.Value + centre.N.X.Value*(y.Value+centre.D.Value)
	y = y.Plus(a.neck.x(on.Last))
	if bow, by, ok := on.Bent(station); ok {
		y = y.Plus(a.neck.x(bow).Scaled(by))
	}
	return y
}

// lastFret is kits.csv's, or the highest that was read; 0 when there is neither.
func (a *assembly) lastFret() int {
	last := a.Kit.Info.Frets
	if b := a.neck.Boards.Get(a.neck.frame); b != nil && last == 0 {
		for _, n := range b.Frets {
			last = max(last, n)
		}
	}
	return last
}

// stringAt is how far toward treble of the centre line a string runs at a distance along it.
func (a *assembly) stringAt(mark int, nut, along autodiff.Variable) (autodiff.Variable, Missing) {
	slot, ok := a.slot(mark, nut)
	if !ok {
		return autodiff.Variable{}, Missing{Want: WantNutSlots, Datum: a.neck.frame}
	}
	saddle, _ := a.bridge.carry.contact(measure.Saddle, mark)
	return autodiff.Straight(a.onCentre(slot), a.onCentre(saddle), along), Missing{}
}

// onCentre is a place as seen from the centre line: how far along it and how far beside.
func (a *assembly) onCentre(p autodiff.Vector) autodiff.Vector {
	return autodiff.Vector{X: a.along.Dot(p), Y: a.centre.SignedDistance(p)}
}

// slot is where an outer string leaves the nut: its slot, on the nut's line where only its offset
// was read; or, lacking slots, half the outer strings' spread from the centre line.
func (a *assembly) slot(mark int, nut autodiff.Variable) (autodiff.Vector, bool) {
	if p, ok := a.neck.seen(measure.NutSlot, mark); ok {
		return p, true
	}
	nut = a.nutOf(mark, nut)
	at := a.neck.Point(a.neck.frame, measure.NutSlot, mark)
	if at != nil && at.HasOffset && a.way != EdgeCheck {
		// Where the offset's line in the neck's own frame, two places of which are carried along, meets the nut's.
		y := a.neck.x(at.Offset)
		p, q := a.neck.Place(autodiff.Vector{X: autodiff.Constant(0), Y: y}), a.neck.Place(autodiff.Vector{X: autodiff.Constant(survey.LengthReach), Y: y})
		share := nut.Minus(a.along.Dot(p)).Over(a.along.Dot(q.Minus(p)))
		return p.Plus(q.Minus(p).Times(share)), true
	}
	half := a.Kit.Info.NutSpread / 2
	if half == 0 {
		return autodiff.Vector{}, false
	}
	if mark != 1 {
		half = -half
	}
	return a.centre.At(nut).Plus(a.centre.N.Scaled(half)), true
}

// across is where a string stands among the strings: -0.5 for the outer bass string, 0.5 for the treble.
func (a *assembly) across(mark int) float64 {
	return 0.5 - float64(mark-1)/float64(max(a.Strings-1, 1))
}

// nutOf and scaleOf are a string's own nut, along the centre line, and scale: those of all but for a fan.
func (a *assembly) nutOf(mark int, nut autodiff.Variable) autodiff.Variable {
	if a.Fan.Difference == 0 {
		return nut
	}
	return nut.Plus(autodiff.Constant(a.Fan.Lead(0, a.across(mark))))
}

func (a *assembly) scaleOf(mark int, scale autodiff.Variable) autodiff.Variable {
	if a.Fan.Difference == 0 {
		return scale
	}
	return scale.Minus(autodiff.Constant(a.Fan.Difference * a.across(mark)))
}

// pickupOffset is how far toward treble of a pickup's poles the outer strings run, the mean of the two at
// the places of the outer poles.
func (a *assembly) pickupOffset() finding {
	treble, okTreble := a.body.seen(measure.Pickup, survey.TrebleEnd)
	bass, okBass := a.body.seen(measure.Pickup, survey.BassEnd)
	if !okTreble || !okBass {
		return missing(Missing{Want: WantPickup})
	}
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	nut, _, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	if a.bridge.carry.frame == measure.NoDatum {
		return missing(Missing{Want: WantSaddles})
	}
	off := func(mark int, pole autodiff.Vector) (autodiff.Variable, Missing) {
		on := a.onCentre(pole)
		y, lack := a.stringAt(mark, nut, on.X)
		return y.Minus(on.Y), lack
	}
	byTreble, lack := off(1, treble)
	byBass, lackBass := off(a.Strings, bass)
	for _, lack := range []Missing{lack, lackBass} {
		if !lack.None() {
			return missing(lack)
		}
	}
	return found(autodiff.Mean(byTreble, byBass))
}

// margin is so many times the bass margin and so many times the treble's.
func (a *assembly) margin(bass, treble float64) finding {
	m, lack := a.margins()
	if !lack.None() {
		return missing(lack)
	}
	return found(autodiff.Formula(bass*m.bass.Value+treble*m.treble.Value,
		autodiff.Partial{Of: m.bass, Slope: bass}, autodiff.Partial{Of: m.treble, Slope: treble}))
}

// reserves are the least distances, over the strings, from where each saddle must stand to the
// front and back stops of its travel. A saddle must stand at scale length plus compensation from
// the nut along the centre line; two that are set together at the best of both.
func (a *assembly) reserves(f measure.Feature) finding {
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	if !a.bridge.carry.Marked(a.bridge.carry.frame, f) {
		return missing(Missing{Want: WantSaddleStops, Feature: f})
	}
	var room [usualStrings]autodiff.Variable
	left := room[:0]
	var roomMarks [usualStrings]int
	marks := roomMarks[:0]
	var without Marks
	for m := 1; m <= a.Strings; m++ {
		stop, ok := a.bridge.carry.stop(f, m)
		if !ok {
			without.add(m)
			continue
		}
		need := a.need(m, nut, scale)
		if by, ok := a.compromise(m, nut, scale); ok {
			need = need.Plus(by)
		}
		reserve := a.along.Dot(stop).Minus(need)
		if f == measure.SaddleFront {
			reserve = reserve.Negated()
		}
		left, marks = append(left, reserve), append(marks, m)
	}
	if len(left) == 0 {
		return missing(Missing{Want: WantSaddleStops, Feature: f})
	}
	if without != (Marks{}) {
		return missing(Missing{Want: WantSaddleStops, Feature: f, Marks: without})
	}
	worst := 0
	for i := range left {
		if left[i].Value < left[worst].Value {
			worst = i
		}
	}
	reserve := found(left[worst])
	_, given := a.options.Compensation[marks[worst]]
	_, described := a.options.Specs[marks[worst]]
	switch {
	case given:
	case described:
		reserve.besides = formulaWithin
	default:
		reserve.besides = ruleWithin
	}
	return reserve.from(a, LeastOf, left, marks)
}

// usualStrings is for how many strings there is room without asking for memory.
const usualStrings = 8

// builtInCompensation is the preset rule of set-up sheets, each saddle behind the one before it
// by the string's own gauge (common practice, no source; .045 to .105 in for a bass, .010 to .046
// in for a guitar, where the fourth string stands level with the second). By number of strings, mm.
var builtInCompensation = map[int]measure.Strings{
	4: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35},
	5: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35, 5: 9.7},
	6: {1: 0, 2: 0.33, 3: 0.76, 4: 0.33, 5: 1.24, 6: 2.4},
}

// compensation is what is added to the scale length for a string, in mm: as strings.csv gives it,
// or worked out from the string that it describes, or the built-in rule.
func (a *assembly) compensation(mark int, scale float64) float64 {
	action, _ := a.action()
	return a.options.compensation(a.Strings, mark, scale, action)
}

func (o Options) compensation(strings, mark int, scale, action float64) float64 {
	if c, ok := o.Compensation[mark]; ok {
		return c
	}
	if s, ok := o.Specs[mark]; ok && scale > 0 {
		return Compensation(s, scale, action)
	}
	return builtInCompensation[strings][mark]
}

// What a compensation that strings.csv does not give is good to, as a standard uncertainty (common practice,
// no source): the formula leaves out stiffness, and the built-in rule knows nothing of the strings, so that
// the two differ by up to a millimetre on the same set.
const (
	formulaWithin = 0.3 // mm
	ruleWithin    = 0.5 // mm
)

// steelModulus is Young's modulus of a string's steel core, N/mm^2: about 200 to 210 thousand in
// tables of materials (from memory).
const steelModulus = 200e3

// Tension is that of a string of unit weight mu over a length, N: T = mu (2 L f)^2 (the string
// equation; OpenStax, University Physics 1, section 16.3).
func Tension(s measure.StringSpec, scale float64) float64 {
	const grams, millimetres = 1e-3, 1e-3
	v := 2 * scale * millimetres * s.Pitch
	return s.UnitWeight * grams * v * v
}

// Compensation is how much longer than the scale a string must be to sound its octave at fret 12,
// in mm. Scale and action (string over fret 12) in mm. Pressing the string down stretches it by
// 2 action^2/L; the tension rises by e = E A 2 action^2/(T L^2) of itself; and sqrt(1+e) (L+c) =
// L + 2c wants c = L (r-1)/(2-r) with r = sqrt(1+e), E A action^2/(T L) to first order. The core
// alone carries (A = pi d^2/4), nothing yields, and the string's stiffness is left out: it adds some
// tenths of a millimetre on the thickest strings.
func Compensation(s measure.StringSpec, scale, action float64) float64 {
	area := math.Pi / 4 * s.Core * s.Core
	e := steelModulus * area * 2 * action * action / (Tension(s, scale) * scale * scale)
	// r - 1 without cancellation.
	rise := e / (math.Sqrt(1+e) + 1)
	return scale * rise / (1 - rise)
}
