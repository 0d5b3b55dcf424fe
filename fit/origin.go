package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// Which part is off. The heel lies on the pocket's axis, so that the error at the bridge is what the neck
// brings, its heel's axis beside the board's centre line, and what the body brings, its bridge beside the
// pocket's axis:
//
//	centre-line-error = heel-offset + bridge-off-pocket / cos(heel-skew)
//	bridge-skew       = heel-skew + bridge-turn
//
// Both sums hold for a neck seated by the rule of seat.go; one that lies askew in its pocket adds what it
// was swung.

// heelAxis is the bisector of the heel's sides in the assembled frame.
func (a *assembly) heelAxis() (autodiff.Line, Missing) {
	frame := a.heelFrame()
	heel := a.pair(frame, measure.Heel)
	switch {
	case !heel.there:
		return autodiff.Line{}, a.lackingSide(frame, measure.Heel)
	case a.neck.frame != frame: // an edge check reads the board from its edges and the heel by itself
		return autodiff.Line{}, Missing{Want: WantEdges, Datum: frame}
	}
	return a.neck.axis(heel), a.uncentred
}

// axis is where the bisector of a part's sides comes to lie: on the x axis where the part lies by them.
func (p *part) axis(sides *sleeve) autodiff.Line {
	if own := &sides.own; p.Cos == own.Cos && p.Sin == own.Sin && p.ShiftY == own.ShiftY {
		return autodiff.Line{N: fixed(0, 1)}
	}
	return p.Line(sides.mid)
}

// heelSkew is the angle from the board's centre line to the heel's axis, in degrees, positive when the
// axis turns toward treble tailward.
func (a *assembly) heelSkew() finding {
	axis, lack := a.heelAxis()
	if !lack.None() {
		return missing(lack)
	}
	return found(a.centre.N.AngleTo(axis.N))
}

// heelOffset is how far toward treble of the board's centre line the heel's axis passes abreast of the
// bridge's middle, square to the centre line; of a neck by itself, a scale length from the nut.
func (a *assembly) heelOffset() finding {
	axis, lack := a.heelAxis()
	if !lack.None() {
		return missing(lack)
	}
	if a.lack().None() {
		return foundOn(a.centre.Crossing(axis, a.along.Dot(a.bridge.middle)), Basis{Kind: AbreastOfBridge})
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	return foundOn(a.centre.Crossing(axis, nut.Plus(scale)), Basis{Kind: AtScaleLength})
}

// pocketAxis is the bisector of the pocket's sides, in the frame in which the bridge is known.
func (a *assembly) pocketAxis() (autodiff.Line, Missing) {
	pocket := a.pair(measure.DatumBody, measure.Pocket)
	switch {
	case !pocket.there:
		return autodiff.Line{}, a.lackingSide(measure.DatumBody, measure.Pocket)
	case !a.bridge.known(), a.way == EdgeCheck:
		return autodiff.Line{}, Missing{Want: WantBridge}
	}
	return a.body.axis(pocket), Missing{}
}

// bridgeOffPocket is how far the middle of the bridge lies from the pocket's axis, positive toward treble.
func (a *assembly) bridgeOffPocket() finding {
	axis, lack := a.pocketAxis()
	if !lack.None() {
		return missing(lack)
	}
	return foundOn(axis.SignedDistance(a.bridge.middle), a.bridge.basis)
}

// bridgeTurn is the angle from the pocket's axis to the bridge's heading, in degrees, positive when the
// bridge's tail side turns toward treble.
func (a *assembly) bridgeTurn() finding {
	axis, lack := a.pocketAxis()
	if !lack.None() {
		return missing(lack)
	}
	return foundOn(axis.N.AngleTo(a.bridge.row), a.bridge.basis)
}

// bodyCentre is the body's own middle line, in the frame in which the bridge is known.
func (a *assembly) bodyCentre() (autodiff.Line, Missing) {
	line, ok := a.sideLine(measure.DatumBody, measure.BodyCentre)
	if !ok {
		return line, Missing{Want: WantBodyCentre}
	}
	return a.body.Line(line), Missing{}
}

// pocketOffCentre is how far the pocket's axis lies from the body's own middle line, halfway between where its sides
// were read, positive toward treble: with bridgeOffCentre it tells which of the two the body has off its place.
func (a *assembly) pocketOffCentre() finding {
	line, lack := a.bodyCentre()
	if !lack.None() {
		return missing(lack)
	}
	pocket, ok := a.sleeve(measure.DatumBody, measure.Pocket)
	if !ok || !pocket.there {
		return missing(a.lackingSide(measure.DatumBody, measure.Pocket))
	}
	return found(line.SignedDistance(a.body.Place(pocket.own.Undo(autodiff.Vector{X: autodiff.Mean(pocket.ends[:]...)}))))
}

// bridgeOffCentre is how far the middle of the bridge lies from the body's own middle line, positive toward treble.
func (a *assembly) bridgeOffCentre() finding {
	line, lack := a.bodyCentre()
	switch {
	case !lack.None():
		return missing(lack)
	case !a.bridge.known(), a.way == EdgeCheck:
		return missing(Missing{Want: WantBridge})
	}
	return foundOn(line.SignedDistance(a.bridge.middle), a.bridge.basis)
}
