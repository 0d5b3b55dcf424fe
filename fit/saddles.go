package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// reserves are the least distances, over the strings, from where each saddle must stand to the
// front and back stops of its travel. A saddle must stand at scale length plus compensation from
// the nut along the centre line.
func (a *assembly) reserves(f measure.Feature) finding {
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	var room [usualStrings]autodiff.Variable
	left := room[:0]
	var roomMarks [usualStrings]int
	marks := roomMarks[:0]
	for m := 1; m <= a.Strings; m++ {
		stop, ok := a.stop(a.bridge.carry, f, m)
		if !ok {
			continue
		}
		need := nut.Plus(scale).Plus(autodiff.Constant(a.compensation(m, scale.Value)))
		reserve := a.along.Dot(stop).Minus(need)
		if f == measure.SaddleFront {
			reserve = reserve.Negated()
		}
		left, marks = append(left, reserve), append(marks, m)
	}
	if len(left) == 0 {
		return missing(Missing{Want: WantSaddleStops, Feature: f})
	}
	return found(autodiff.Least(left...)).from(a, LeastOf, left, marks)
}

// usualStrings is for how many strings there is room without asking for memory.
const usualStrings = 8

func (a *assembly) saddleReserveFront() finding { return a.reserves(measure.SaddleFront) }
func (a *assembly) saddleReserveBack() finding  { return a.reserves(measure.SaddleBack) }
