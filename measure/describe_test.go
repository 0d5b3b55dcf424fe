package measure

import "testing"

func TestDescribe(t *testing.T) {
	for _, c := range []struct {
		g    Reading
		want string
	}{
		{Reading{Datum: DatumBody, Feature: Pocket, Kind: Width, Station: 40, HasStation: true}, "pocket width at station 40 mm (body)"},
		{Reading{Datum: DatumEdgeBass, Feature: BridgeScrew, Mark: Mark{Number: 2}, Kind: Offset, HasOffset: true, Offset: 3}, "bridge-screw 2 offset (edge-bass)"},
		{Reading{Datum: DatumBridge, Feature: Saddle, Mark: Mark{Number: 1}, To: Mark{Number: 4}, Kind: Distance, Trial: 2}, "saddle 1 to 4 distance (bridge, trial 2)"},
		{Reading{Datum: DatumBody, Feature: Pocket, Kind: Width, Station: 40.006, HasStation: true, Trial: 1, Stage: Received + 1}, "pocket width at station 40.01 mm (body, " + (Received + 1).String() + ", trial 1)"},
		{Reading{Datum: DatumNeck, Feature: Fret, Mark: Mark{Number: 12}, Kind: Station, Station: 381, HasStation: true, Offset: -3.125, HasOffset: true}, "fret 12 station at offset -3.13 mm (neck)"},
		{Reading{Datum: DatumBody, Feature: Top, Kind: Height, Station: 1, HasStation: true, Offset: 38.1 / 3, HasOffset: true}, "top height at station 1 mm, offset 12.7 mm (body)"},
		{Reading{Datum: DatumBody, Feature: Cavity, Mark: Mark{Name: "control 3"}, Kind: Point, HasStation: true, HasOffset: true}, "cavity control 3 point (body)"},
		{Reading{Datum: DatumNeck, Feature: HeelBass, Kind: Offset, HasStation: true, Station: 450, HasOffset: true}, "heel-bass offset at station 450 mm (neck)"},
	} {
		if got := c.g.Describe(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
