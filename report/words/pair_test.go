package words_test

import (
	"testing"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/measure"
	"neckfit/report/words"
)

func TestActions(t *testing.T) {
	for a, want := range map[pair.Action]string{
		0:                          "leave",
		pair.Reseat:                "re-seat the neck",
		pair.Shim | pair.Read:      "shim both walls; read again",
		pair.Relieve | pair.Round:  "relieve a wall; round the heel's corners",
		pair.Ream:                  "open the neck screws' holes",
		pair.Drill | pair.Lift:     "plug and re-drill the neck screws; shim under the heel",
		pair.Replan | pair.PartOwn: "plug and re-drill the bridge; mend the part's own fault",
	} {
		if got := words.Actions(a); got != want {
			t.Errorf("%b is said as %q, want %q", a, got, want)
		}
	}
}

func TestWhyLone(t *testing.T) {
	unread := pair.Obstacle{Kind: pair.NeckUnread, Missing: fit.Missing{Want: fit.WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}}
	for _, c := range []struct {
		why  []pair.Obstacle
		want string
	}{
		{nil, "one too many"},
		{[]pair.Obstacle{{Kind: pair.NoBody}}, "there is no body"},
		{[]pair.Obstacle{{Kind: pair.NoNeck}}, "there is no neck"},
		{[]pair.Obstacle{unread}, "the neck cannot be seated: not measured is heel-end at two offsets (datum neck)"},
		{[]pair.Obstacle{{Kind: pair.BodyUnread, Missing: fit.Missing{Want: fit.WantEndGap}}}, "no neck can be seated: not measured is pocket-end gap toward both corners (datum body)"},
		{[]pair.Obstacle{{Kind: pair.StringCount, NeckStrings: 4, BodyStrings: 5}}, "the neck is for 4 strings, the body for 5"},
		{[]pair.Obstacle{{Kind: pair.Handedness}}, "one is left-handed, the other not"},
		{[]pair.Obstacle{{Kind: pair.BridgeTooFar}}, "the bridge would stand too far from where the neck wants it"},
		{
			[]pair.Obstacle{{Kind: pair.HeelTooWide}, unread},
			"fits none: the heel is too wide for the pocket; the neck cannot be seated: not measured is heel-end at two offsets (datum neck)",
		},
	} {
		if got := words.WhyLone(pair.Lone{Why: c.why}); got != c.want {
			t.Errorf("%+v is said as %q, want %q", c.why, got, c.want)
		}
	}
}
