package fit

import (
	"math"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A characteristic speaks against no part whose readings do not move it: of the readings of a kit's loose parts those of one part
// after another are spoilt, and what then changes is a matter of that part.
func TestPartsThatACharacteristicSpeaksAgainst(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError, in.PocketMouth = 0.7, in.PocketMouth+0.4
	read := func(spoilt measure.Datum) map[ID]float64 {
		readings := simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})
		for i := range readings {
			if r := &readings[i]; r.Datum == spoilt {
				r.Station, r.Offset, r.Size = r.Station+0.1*math.Sin(float64(i)), r.Offset+0.1*math.Cos(float64(i)), r.Size+0.1*math.Sin(2*float64(i))
			}
		}
		values := map[ID]float64{}
		for _, c := range Check(in.Kit("K", readings), Options{Compensation: in.Compensation}).Characteristics {
			if c.Missing.None() {
				values[c.ID] = c.Value
			}
		}
		return values
	}
	whole, compared := read(0), 0
	for datum, part := range map[measure.Datum]measure.Part{measure.DatumNeck: measure.NeckPart, measure.DatumBody: measure.BodyPart, measure.DatumBridge: measure.BridgePart} {
		for id, v := range read(datum) {
			was, ok := whole[id]
			against := SpeaksAgainst(id)
			if !ok {
				continue
			}
			compared++
			moved := math.Abs(v-was) > 1e-9
			if !moved && slices.Contains(against.Off, part) && part != measure.BridgePart || moved && len(against.Off) == 1 && against.Off[0] != part { // saddles are on the bridge, however they were read
				t.Errorf("%s: with the %v's readings spoilt %.4f was %.4f, speaks against %v", id, part, v, was, against.Off)
			}
		}
	}
	if compared < 50 {
		t.Errorf("only %d compared", compared)
	}
	for _, id := range IDs() {
		a := SpeaksAgainst(id)
		if len(a.Off) == 0 || len(a.Back) == 0 || a.Shared != (a.Neck != a.Body) || a.Shared && (SpeaksAgainst(a.Neck).Off[0] != measure.NeckPart || SpeaksAgainst(a.Body).Off[0] != measure.BodyPart || len(a.Off) != 2) {
			t.Errorf("%s: %+v", id, a)
		}
		for _, part := range a.Back { // no part goes back that is not said to be off
			if !a.Shared && !slices.Contains(a.Off, part) {
				t.Errorf("%s: the %v goes back and %v are off", id, part, a.Off)
			}
		}
	}
}
