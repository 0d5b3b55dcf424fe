package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

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
		q := a.edges[0].SignedDistance(place)
		if d == measure.DatumEdgeTreble {
			q = a.edges[1].SignedDistance(place).Negated()
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
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	return foundOn(a.along.AngleTo(a.bridge.heading()).Degrees(), a.bridge.basis)
}
