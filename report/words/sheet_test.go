package words

import (
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// What is wanted and missing comes first, then what does not agree, then what could be read again.
func TestNext(t *testing.T) {
	reading := measure.Reading{Datum: measure.DatumNeck, Feature: measure.Heel, Kind: measure.Width, Station: 20, HasStation: true, Size: 63.5}
	r := &fit.Result{
		Info: measure.Info{Aim: []string{"scale-length", "pocket-gap-mouth"}},
		Characteristics: []fit.Characteristic{
			{ID: fit.PocketGapMouth, Dimension: measure.Length, Value: 0.48, Lower: 0.05, Upper: 0.5, Verdict: fit.Unsure, Advice: fit.Advice{Kind: fit.OnLimit}},
			{ID: fit.ScaleLength, Dimension: measure.Length, Missing: fit.Missing{Want: fit.WantSaddleStops, Feature: measure.SaddleBack}},
			{ID: fit.MarginBass, Dimension: measure.Length, Missing: fit.Missing{Want: fit.WantCorners}},
		},
		Suspects: []fit.Suspect{{Reading: &reading, Read: 63.5, Expected: 36.5}},
	}
	got := Next(r)
	for i, want := range []string{"read 63.5 mm, the others say 36.50 mm: read it again", "scale-length needs: saddle-back of each string", "pocket-gap-mouth: it lies on the limit"} {
		if len(got) != 3 || !strings.Contains(got[i], want) {
			t.Fatalf("%q, want %q at %d", got, want, i)
		}
	}
}

func TestHintAndNames(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Hint(measure.Heel, measure.Width, NearMouth), "near the pocket's mouth: fill in station and size"},
		{Hint(measure.Nut, measure.Station, AtStraightedge), "where it meets the straightedge: fill in station"},
		{Hint(measure.HeelScrew, measure.Diameter, Anywhere), "fill in size"},
		{TaskName(measure.DatumEdgeBass, measure.BridgeScrew, "5", measure.Point, ""), "bridge screw 5, from the bass edge"},
		{TaskName(measure.DatumEdgeTreble, measure.Nut, "", measure.Station, "1"), "nut, from the treble edge"},
		{TaskName(measure.DatumBody, measure.PocketEnd, "", measure.Gap, "2"), "pocket end, gap, time 2"},
		{NumberName("size", measure.Gap), "gap"},
		{NumberName("station", measure.Point), "station: how far along the straightedge"},
		{NumberName("offset", measure.Point), "offset: how far across from the straightedge"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
