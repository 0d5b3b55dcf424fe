package words

import (
	"testing"

	"neckfit/measure"
)

func TestReading(t *testing.T) {
	for _, c := range []struct {
		g    measure.Reading
		want string
	}{
		{measure.Reading{Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Station: 40, HasStation: true}, "pocket width at station 40 mm (body)"},
		{measure.Reading{Datum: measure.DatumEdgeBass, Feature: measure.BridgeScrew, Mark: measure.Mark{Number: 2}, Kind: measure.Offset, HasOffset: true, Offset: 3}, "bridge-screw 2 offset (edge-bass)"},
		{measure.Reading{Datum: measure.DatumBridge, Feature: measure.Saddle, Mark: measure.Mark{Number: 1}, To: measure.Mark{Number: 4}, Kind: measure.Distance, Trial: 2}, "saddle 1 to 4 distance (bridge, trial 2)"},
		{measure.Reading{Datum: measure.DatumNeck, Feature: measure.Fret, Mark: measure.Mark{Number: 12}, Kind: measure.Station, Station: 381, HasStation: true, Offset: -3.125, HasOffset: true}, "fret 12 station at offset -3.13 mm (neck)"},
		{measure.Reading{Datum: measure.DatumBody, Feature: measure.Top, Kind: measure.Height, Station: 1, HasStation: true, Offset: 38.1 / 3, HasOffset: true}, "top height at station 1 mm, offset 12.7 mm (body)"},
		{measure.Reading{Datum: measure.DatumBody, Feature: measure.Cavity, Mark: measure.Mark{Name: "control 3"}, Kind: measure.Point, HasStation: true, HasOffset: true}, "cavity control 3 point (body)"},
		{measure.Reading{Datum: measure.DatumNeck, Feature: measure.HeelBass, Kind: measure.Offset, HasStation: true, Station: 450, HasOffset: true}, "heel-bass offset at station 450 mm (neck)"},
	} {
		if got := Reading(&c.g); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
