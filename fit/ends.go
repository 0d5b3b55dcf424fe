package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// endGap is the widest gap between the heel's end and the pocket's: felt, or what the seat rule
// leaves at the corner that does not touch.
func (a *assembly) endGap() finding {
	if felt := a.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketEnd)); felt != nil {
		low, _ := a.gapAt(measure.PocketEnd, felt.LowX)
		high, _ := a.gapAt(measure.PocketEnd, felt.HighX)
		return foundOn(autodiff.Greatest(low, high), Basis{Kind: EndFelt})
	}
	if a.seat == nil {
		if !a.unseated.None() {
			return missing(a.unseated)
		}
		return missing(Missing{Want: WantEndGap})
	}
	return foundOn(a.seat.slack, Basis{Kind: FirstCorner})
}

// squareness is the angle of an end's normal from its part's bisector, in degrees, positive when
// it is turned toward treble.
func (a *assembly) squareness(frame measure.Datum, end, across measure.Feature) finding {
	sides := a.pair(frame, across)
	stop, ok := a.endLine(frame, end)
	if !sides.there || !ok {
		return missing(Missing{Want: WantSquareEnd, Feature: end, Datum: frame})
	}
	return found(sides.mid.Direction().AngleTo(stop.N).Degrees())
}

func (a *assembly) pocketSquareness() finding {
	return a.squareness(measure.DatumBody, measure.PocketEnd, measure.Pocket)
}

func (a *assembly) heelSquareness() finding {
	return a.squareness(a.heelFrame(), measure.HeelEnd, measure.Heel)
}

// cornerReserve is the heel's corner radius less the pocket's, the smaller of the two sides':
// below zero the heel's corner meets the pocket's fillet before the end is home.
func (a *assembly) cornerReserve() finding {
	var room [usualStrings]autodiff.Variable
	left := room[:0]
	var roomMarks [usualStrings]int
	marks := roomMarks[:0]
	for i, name := range []string{"bass", "treble"} {
		pocket := a.Corners.Get(survey.CornerKey{Frame: measure.DatumBody, Feature: measure.PocketCorner, Name: name})
		heel := a.Corners.Get(survey.CornerKey{Frame: a.heelFrame(), Feature: measure.HeelCorner, Name: name})
		if pocket != nil && heel != nil && pocket.Known() && heel.Known() {
			left, marks = append(left, a.x(heel.Radius).Minus(a.x(pocket.Radius))), append(marks, i)
		}
	}
	if len(left) == 0 {
		return missing(Missing{Want: WantCorners})
	}
	return found(autodiff.Least(left...)).from(a, LeastOf, left, marks)
}
