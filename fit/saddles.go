package fit

import (
	"neckfit/measure"
)

// reserves are the least distances, over the strings, from where each saddle must stand to the
// front and back stops of its travel. A saddle must stand at scale length plus compensation from
// the nut along the centre line.
func (a *assembly) reserves(f measure.Feature) finding {
	if lack := a.lack(); lack != "" {
		return missing(lack)
	}
	nut, scale, lack := a.nut()
	if lack != "" {
		return missing(lack)
	}
	var left []quantity
	for m := 1; m <= a.strings; m++ {
		stop, ok := a.stop(a.bridge.carry, f, m)
		if !ok {
			continue
		}
		need := nut.plus(scale).plus(constant(a.compensation[m]))
		reserve := a.centre.along().dot(stop).minus(need)
		if f == measure.SaddleFront {
			reserve = reserve.negated()
		}
		left = append(left, reserve)
	}
	if len(left) == 0 {
		return missing(f.String() + " of each string, with its saddle's offset")
	}
	return found(least(left...))
}

func (a *assembly) saddleReserveFront() finding { return a.reserves(measure.SaddleFront) }
func (a *assembly) saddleReserveBack() finding  { return a.reserves(measure.SaddleBack) }

// builtInCompensation is the preset rule of set-up sheets, each saddle behind the one before it
// by the string's own gauge (common practice, no source; .045 to .105 in for a bass, .010 to .046
// in for a guitar, where the fourth string stands level with the second). In mm.
var builtInCompensation = map[int]measure.Strings{
	4: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35},
	5: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35, 5: 9.7},
	6: {1: 0, 2: 0.33, 3: 0.76, 4: 0.33, 5: 1.24, 6: 2.4},
}

func compensationFor(strings int, given measure.Strings) measure.Strings {
	if given != nil {
		return given
	}
	return builtInCompensation[strings]
}
