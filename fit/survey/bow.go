package survey

import (
	"gonum.org/v1/gonum/stat"

	"neckfit/measure"
)

// Bow is how both edges of a fingerboard are bent alike: the sagitta of a parabola over the length that was read,
// positive where the middle lies toward treble. It is an unknown of its own, so that a bent board is no scatter
// of its readings.
type Bow struct {
	Unknown   int
	Low, High float64 // stations of the outermost readings
}

// numberBow gives the fingerboard of a frame its bow, where one of its edges was read at three places or more. What of the
// parabola a straight line along an edge's own readings takes up is left to that line: the centre line stays the
// edges' best straight one.
func (s *Survey) numberBow(frame measure.Datum) {
	edges := [2]*Side{s.Sides.Get(SideAt(frame, measure.EdgeBass)), s.Sides.Get(SideAt(frame, measure.EdgeTreble))}
	at := &s.edgeAt
	at[0], at[1] = at[0][:0], at[1][:0]
	told := false
	var low, high float64
	for i, on := range edges {
		if on == nil || on.N == 0 {
			continue
		}
		for k, of := range s.objects {
			if of == object(on) {
				at[i] = append(at[i], s.readings[k].Station) // in rising order
			}
		}
		if first, last := at[i][0], at[i][len(at[i])-1]; high == low {
			low, high = first, last
		} else {
			low, high = min(low, first), max(high, last)
		}
		places := 1
		for k := 1; k < len(at[i]); k++ {
			if at[i][k]-at[i][k-1] > samePlace {
				places++
			}
		}
		told = told || places >= 3
	}
	if !told {
		return
	}
	b := s.Bows.Put(frame)
	*b = Bow{s.unknown(0, LengthReach), low, high}
	for i, on := range edges {
		if len(at[i]) == 0 {
			continue
		}
		on.bow, on.bent = b, [2]float64{}
		if on.HighX-on.LowX <= samePlace {
			on.bent[0] = on.bendAt(on.LowX)
			continue
		}
		bend := s.bend[:0]
		for _, x := range at[i] {
			bend = append(bend, on.bendAt(x))
		}
		s.bend = bend
		on.bent[0], on.bent[1] = stat.LinearRegression(at[i], bend, nil, false)
	}
}

// bendAt is how far the edge lies off its straight line at a station where the sagitta is 1: all that counts of the parabola
// is how it curves.
func (on *Side) bendAt(x float64) float64 {
	u := 2 * x / (on.bow.High - on.bow.Low)
	return -u*u - on.bent[0] - on.bent[1]*x
}
