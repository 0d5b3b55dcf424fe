package fit

import (
	"cmp"
	"math"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Where the strings are meant to lie over the fret plane where kits.csv does not say: common
// practice, no source.
const (
	actionAt12 = 2.0 // mm over fret 12
	nutHeight  = 0.5 // mm at the nut
)

// action is how high the strings are wanted over the fret plane, at fret 12 and at the nut, in mm.
func (a *assembly) action() (at12, nut float64) {
	nut = cmp.Or(a.Kit.Info.NutHeight, nutHeight)
	if a.Kit.Info.ZeroFret {
		nut = 0 // the strings lie on it
	}
	return cmp.Or(a.Kit.Info.Action, actionAt12), nut
}

// overPlane is how far a string wants to be above the fret plane at its saddle. A straight string at the
// nut's height at the nut and the action at fret 12 stands at twice the action less the nut's height
// there. Over a crowned board, where the plane lies on the middle of the crown, both are counted from the
// fret below the string, which lies lower by the crown's sag.
func (a *assembly) overPlane(mark int, saddle autodiff.Vector) (autodiff.Variable, Missing) {
	action, atRest := a.action()
	over := autodiff.Constant(2*action - atRest)
	radius := a.Kit.Info.BoardRadius
	switch {
	case radius == 0:
		return over, Missing{Want: WantRadius}
	case math.IsInf(radius, 1):
		return over, Missing{}
	}
	if !a.uncentred.None() {
		return over, a.uncentred
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return over, lack
	}
	atNut, ok := a.acrossAtNut(mark, nut)
	if !ok {
		return over, Missing{Want: WantNutSlots, Datum: a.neck.frame}
	}
	nut = a.nutOf(mark, nut)
	at12 := autodiff.Straight(autodiff.Vector{X: nut, Y: atNut}, a.onCentre(saddle), nut.Plus(a.scaleOf(mark, scale).Scaled(0.5)))
	sag := func(y autodiff.Variable, times float64) autodiff.Variable {
		slope := y.Value / math.Sqrt(max(radius*radius-y.Value*y.Value, 1))
		return autodiff.Formula(times*survey.Sag(radius, y.Value), autodiff.Partial{Of: y, Slope: times * slope})
	}
	return over.Plus(sag(at12, -2)).Plus(sag(atNut, 1)), Missing{}
}

// acrossAtNut is how far from the centre line a string crosses the nut: as read, or evenly between the outer
// two.
func (a *assembly) acrossAtNut(mark int, nut autodiff.Variable) (autodiff.Variable, bool) {
	if p, ok := a.neck.seen(measure.NutSlot, mark); ok {
		return a.centre.SignedDistance(p), true
	}
	treble, okTreble := a.slot(1, nut)
	bass, okBass := a.slot(a.Strings, nut)
	if !okTreble || !okBass || a.Strings < 2 {
		return autodiff.Variable{}, false
	}
	share := float64(mark-1) / float64(a.Strings-1)
	return a.centre.SignedDistance(treble).Scaled(1 - share).Plus(a.centre.SignedDistance(bass).Scaled(share)), true
}

// surface is a plane of heights in a part's own frame: at a place, and its slope along a direction.
type surface struct {
	at    func(p autodiff.Vector) autodiff.Variable
	slope func(direction autodiff.Vector) autodiff.Variable
}

// leastPlane is how many heights fix a plane, and leastFloor at how many places a floor must be read to be called flat.
const (
	leastPlane = 3
	leastFloor = 5
)

func (s *solved) surface(frame measure.Datum, f measure.Feature) (surface, bool) {
	p := s.Planes.Get(survey.SideAt(frame, f))
	if p == nil || p.N < leastPlane {
		return surface{}, false
	}
	a, b, c := s.x(p.A), s.x(p.B), s.x(p.C)
	return surface{
		at: func(v autodiff.Vector) autodiff.Variable {
			return a.Plus(b.Times(v.X.Minus(autodiff.Constant(p.X0)))).Plus(c.Times(v.Y.Minus(autodiff.Constant(p.Y0))))
		},
		slope: func(v autodiff.Vector) autodiff.Variable { return b.Times(v.X).Plus(c.Times(v.Y)) },
	}, true
}

// minus is how far one surface lies above another of the same frame.
func (s surface) minus(o surface) surface {
	return surface{
		at:    func(v autodiff.Vector) autodiff.Variable { return s.at(v).Minus(o.at(v)) },
		slope: func(v autodiff.Vector) autodiff.Variable { return s.slope(v).Minus(o.slope(v)) },
	}
}

// upright is the assembly that heights are read off. The edge datums have none: an edge check's are
// those read from the body's datum with the neck in the pocket, as in a dry fit.
func (a *assembly) upright() *assembly {
	if a.way != EdgeCheck {
		return a
	}
	if a.standing == nil {
		a.standing = new(assembly).put(a.solved, DryFit, a.options, nil)
	}
	return a.standing
}

// fretPlane is the plane of the fret tops over the body's top, at places of the assembled frame.
// Loose parts: the heel's underside lies on the floor's plane and heights are added plumb, which
// for planes inclined by up to a degree is out by less than 0.0003 of any height, 0.01 mm of 30.
func (a *assembly) fretPlane() (surface, Missing) {
	if !a.planed {
		a.plane, a.unplaned = a.stackedFretPlane()
		if a.unplaned.None() && a.nudges != nil {
			a.plane = a.nudges.lift(a.plane)
		}
		a.planed = true
	}
	return a.plane, a.unplaned
}

// stackedFretPlane is that plane before any remedy lifts it.
func (a *assembly) stackedFretPlane() (surface, Missing) {
	frets, ok := a.neck.surface(a.neck.frame, measure.FretTop)
	if !ok {
		return surface{}, Missing{Want: WantFretTops, Datum: a.neck.frame}
	}
	if a.way == LooseParts {
		if a.seat == nil {
			return surface{}, a.unseated
		}
		floor, ok := a.body.surface(measure.DatumBody, measure.PocketFloor)
		if !ok {
			return surface{}, Missing{Want: WantFloor}
		}
		if top, ok := a.body.surface(measure.DatumBody, measure.Top); ok {
			floor = floor.minus(top)
		}
		return surface{
			at: func(p autodiff.Vector) autodiff.Variable {
				return frets.at(a.neck.Undo(p)).Plus(floor.at(a.body.Undo(p)))
			},
			slope: func(v autodiff.Vector) autodiff.Variable {
				return frets.slope(a.neck.UndoDirection(v)).Plus(floor.slope(a.body.UndoDirection(v)))
			},
		}, Missing{}
	}
	if top, ok := a.body.surface(measure.DatumBody, measure.Top); ok && a.way == DryFit {
		frets = frets.minus(top)
	}
	return frets, Missing{}
}

// fretPlaneHeight is the fret plane over the body's top at the middle of the saddle line.
func (a *assembly) fretPlaneHeight() finding {
	a = a.upright()
	plane, lack := a.fretPlane()
	if lack.None() {
		lack = a.unbridged
	}
	if !lack.None() {
		return missing(lack)
	}
	return found(plane.at(a.bridge.middle))
}

// rise is the fret plane's over the body's top in degrees, along a direction that the centre line's
// normal leads to.
func (a *assembly) rise(direction func(normal autodiff.Vector) autodiff.Vector) finding {
	a = a.upright()
	plane, lack := a.fretPlane()
	if lack.None() {
		lack = a.uncentred
	}
	if !lack.None() {
		return missing(lack)
	}
	return found(plane.slope(direction(a.centre.N)).Atan2(autodiff.Constant(1)).Degrees())
}

// saddleHeightReserve is the least distance, over the strings, of the height that a saddle needs
// from an end of its range.
func (a *assembly) saddleHeightReserve(f measure.Feature) finding {
	a = a.upright()
	plane, lack := a.fretPlane()
	if lack.None() {
		lack = a.unbridged
	}
	if !lack.None() {
		return missing(lack)
	}
	var room [usualStrings]autodiff.Variable
	left := room[:0]
	var roomMarks [usualStrings]int
	marks := roomMarks[:0]
	var without Marks
	for m := 1; m <= a.Strings; m++ {
		h := a.bridge.carry.Heights.Get(survey.PointAt(a.bridge.carry.frame, f, m))
		at, ok := a.bridge.carry.contact(measure.Saddle, m)
		if h == nil || !ok {
			without.add(m)
			continue
		}
		over, lack := a.overPlane(m, at)
		if !lack.None() {
			return missing(lack)
		}
		reserve := plane.at(at).Plus(over).Minus(a.bridge.carry.x(h.Unknown))
		if f == measure.SaddleHigh {
			reserve = reserve.Negated()
		}
		left, marks = append(left, reserve), append(marks, m)
	}
	if len(left) == 0 {
		return missing(Missing{Want: WantSaddleHeights, Feature: f})
	}
	if without != (Marks{}) {
		return missing(Missing{Want: WantSaddleHeights, Feature: f, Marks: without})
	}
	return found(autodiff.Least(left...)).from(a, LeastOf, left, marks)
}

// floorFlatness is how far the place of the pocket's floor that is farthest from its least-squares plane lies from
// it, positive when it is high.
//
// Four places, or any number of which one corner of the pocket has none, tell how it is twisted, or humped, and not both.
func (a *assembly) floorFlatness() finding {
	p := a.Planes.Get(survey.SideAt(measure.DatumBody, measure.PocketFloor))
	if p == nil {
		return missing(Missing{Want: WantMoreFloor})
	}
	list := a.deviations(a.rowsByPlace(func(r *measure.Reading) bool { return r.Feature == measure.PocketFloor }))
	if len(list) < leastFloor {
		return missing(Missing{Want: WantMoreFloor})
	}
	corners := [4]bool{}
	for _, d := range list {
		at := 0
		if d.reading.Station > p.X0 {
			at++
		}
		if d.reading.Offset > p.Y0 {
			at += 2
		}
		corners[at] = true
	}
	if corners != [4]bool{true, true, true, true} {
		return missing(Missing{Want: WantMoreFloor})
	}
	return finding{form: list}
}

// pocketDepth is how far the floor's plane, or what a remedy lays on it, lies below the top, in the middle of the readings.
func (a *assembly) pocketDepth() finding {
	floor, ok := a.surface(measure.DatumBody, measure.PocketFloor)
	if !ok {
		return missing(Missing{Want: WantFloor})
	}
	if top, ok := a.surface(measure.DatumBody, measure.Top); ok {
		floor = floor.minus(top)
	}
	p := a.Planes.Get(survey.SideAt(measure.DatumBody, measure.PocketFloor))
	middle := autodiff.Vector{X: autodiff.Constant(p.X0), Y: autodiff.Constant(p.Y0)}
	depth := floor.at(middle).Negated()
	if a.nudges != nil {
		depth = depth.Minus(a.nudges.packing(a.body.Place(middle)))
	}
	return found(depth)
}

// What a neck screw needs (common practice, no source): so much thread in the heel, and so much wood left
// between its point and the fret plane, which is fingerboard and fret.
const (
	leastReach = 8.0 // mm
	leastLeft  = 6.0 // mm
)

// neckScrewReach is how far the neck's screws reach into the heel: their length under the head less what
// is left of the body under the pocket's floor, in the middle of its readings.
func (a *assembly) neckScrewReach() finding {
	info := &a.Kit.Info
	if info.NeckScrewLength == 0 || info.BodyThickness == 0 {
		return missing(Missing{Want: WantScrewLength})
	}
	depth := a.pocketDepth()
	if !depth.missing.None() {
		return depth
	}
	f := found(depth.value.Plus(autodiff.Constant(info.NeckScrewLength - info.BodyThickness)))
	if heel := a.heelThickness(); heel.missing.None() {
		f.bound = &bound{leastReach, heel.value.Value - leastLeft, LimitSource{Origin: ByHeel, Slack: leastLeft}}
	}
	return f
}

// relief is how much the fret tops are hollow along the neck: the sagitta of a quadratic over what was read,
// positive where the middle is lower than the ends.
func (a *assembly) relief() finding {
	a = a.upright()
	p := a.Planes.Get(survey.SideAt(a.neck.frame, measure.FretTop))
	if p == nil || p.Hollow < 0 {
		return missing(Missing{Want: WantFretTops, Datum: a.neck.frame})
	}
	return foundOn(a.x(p.Hollow), Basis{Kind: BowOver, Length: p.High - p.Low})
}

// heelThickness is from the heel's underside to the fret plane, midway along the heel.
func (a *assembly) heelThickness() finding {
	frets, ok := a.surface(measure.DatumNeck, measure.FretTop)
	heel, okHeel := a.sleeve(measure.DatumNeck, measure.Heel)
	if !ok || !okHeel {
		return missing(Missing{Want: WantHeelHeights})
	}
	return found(frets.at(heel.own.Undo(autodiff.Vector{X: autodiff.Mean(heel.ends[:]...)})))
}
