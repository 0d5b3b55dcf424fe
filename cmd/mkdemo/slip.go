package main

import (
	"math"
	"slices"

	"neckfit/measure"
)

// withoutHeelEnd forgets the heel's end.
func withoutHeelEnd(readings []measure.Reading) []measure.Reading {
	return slices.DeleteFunc(readings, func(r measure.Reading) bool { return r.Feature == measure.HeelEnd })
}

// leastSlip is how far apart two swapped decimals must be: 0.09 mm for each step, so at least
// 0.54 mm, which is well above what the calliper's 0.03 mm could bring about.
const leastSlip = 6

// withSwappedDigits swaps the two decimals of one offset of a fingerboard edge, as a hurried typist
// does. It panics when no offset would show it.
func withSwappedDigits(readings []measure.Reading) []measure.Reading {
	for i := range readings {
		r := &readings[i]
		if r.Feature != measure.EdgeBass && r.Feature != measure.EdgeTreble {
			continue
		}
		hundredths := int(math.Round(r.Offset * 100))
		tenth, hundredth := hundredths/10%10, hundredths%10
		if max(tenth, hundredth)-min(tenth, hundredth) >= leastSlip {
			r.Offset = float64(hundredths/100) + float64(hundredth*10+tenth)/100
			r.Offset = math.Round(r.Offset*100) / 100 // to be written with two decimals
			return readings
		}
	}
	panic("mkdemo: no offset whose swapped decimals would show; change the seed")
}
