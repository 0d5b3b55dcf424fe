package measure

import (
	"strings"
	"testing"
)

// The numbers of the words are the constants' numbers: the last of each list ties the two.
func TestWordsAndConstants(t *testing.T) {
	for _, c := range []struct {
		got  interface{ String() string }
		want string
	}{
		{DatumBody, "body"}, {DatumEdgeTreble, "edge-treble"}, {NoDatum, ""},
		{Point, "point"}, {OffsetFar, "offset-far"}, {Gap, "gap"}, {NoKind, ""},
		{EdgeBass, "edge-bass"}, {FretTop, "fret-top"}, {PlateEdge, "plate-edge"}, {NoFeature, ""},
		{BridgePart, "bridge"}, {Minor, "minor"}, {NoClass, ""}, {Angle, "angle"},
		{Datum(99), "?"}, {Kind(99), "?"}, {Feature(99), "?"},
	} {
		if got := c.got.String(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	if len(Datums()) != int(DatumEdgeTreble) || len(Kinds()) != int(Gap) || len(Features()) != int(PlateEdge) {
		t.Error("a list of words is not as long as its constants")
	}
}

func TestParseIsTheInverse(t *testing.T) {
	for _, d := range Datums() {
		if got, ok := ParseDatum(strings.ToUpper(d.String())); got != d || !ok {
			t.Errorf("datum %v became %v", d, got)
		}
	}
	for _, k := range Kinds() {
		if got, ok := ParseKind(k.String()); got != k || !ok {
			t.Errorf("kind %v became %v", k, got)
		}
	}
	for _, f := range Features() {
		if got, ok := ParseFeature(f.String()); got != f || !ok {
			t.Errorf("feature %v became %v", f, got)
		}
	}
	for _, c := range []Class{Critical, Major, Minor} {
		if got, ok := ParseClass(c.String()); got != c || !ok {
			t.Errorf("class %v became %v", c, got)
		}
	}
	for _, word := range []string{"", "bodie", "?"} {
		if d, ok := ParseDatum(word); d != NoDatum || ok {
			t.Errorf("%q became %v", word, d)
		}
	}
}
