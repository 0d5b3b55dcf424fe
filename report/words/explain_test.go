package words

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/measure"
)

// Every word of the tables and every verdict is explained, each once in its group, in whole sentences.
func TestEverythingIsExplained(t *testing.T) {
	groups := map[string][]string{}
	for _, e := range Entries() {
		if slices.Contains(groups[e.Group], e.Word) {
			t.Errorf("%s %s is explained twice", e.Group, e.Word)
		}
		groups[e.Group] = append(groups[e.Group], e.Word)
		if !strings.HasSuffix(e.What, ".") || strings.Contains(e.What, "{") {
			t.Errorf("%s is explained as %q", e.Word, e.What)
		}
		for _, f := range e.Facts {
			if f.Text == "" || strings.Contains(f.Text, "{") {
				t.Errorf("%s, %s: %q", e.Word, f.Heading, f.Text)
			}
		}
	}
	want := map[string][]string{}
	for _, id := range fit.IDs() {
		want[characteristicGroup] = append(want[characteristicGroup], id.String())
	}
	for _, f := range measure.Features() {
		want[featureGroup] = append(want[featureGroup], f.String())
	}
	for _, k := range measure.Kinds() {
		want["kind"] = append(want["kind"], k.String())
	}
	for _, w := range measure.Works() {
		want["work"] = append(want["work"], w.String())
	}
	for _, d := range measure.Datums() {
		want["datum"] = append(want["datum"], d.String())
	}
	for v := fit.NotMeasured; v <= fit.Fail; v++ {
		want[verdictGroup] = append(want[verdictGroup], Verdict(v))
	}
	for c := measure.Critical; c <= measure.Minor; c++ {
		want[verdictGroup] = append(want[verdictGroup], c.String())
	}
	for w := fit.EdgeCheck; w <= fit.LooseParts; w++ {
		want[termGroup] = append(want[termGroup], Way(w))
	}
	for group, list := range want {
		for _, word := range list {
			if !slices.Contains(groups[group], word) {
				t.Errorf("the %s %s is not explained", group, word)
			}
		}
	}
}

// Of every characteristic it is said how it follows, what to read, and what its values mean.
func TestEveryCharacteristicIsWhole(t *testing.T) {
	for _, id := range fit.IDs() {
		a := aboutOf(id)
		if a.what == "" || a.formula == "" || a.read == "" || strings.Count(a.plus, "{v}") != 1 || strings.Count(a.minus, "{v}") != len(a.minus)/max(1, len(a.minus)) {
			t.Errorf("%s: %+v", id, a)
		}
		if (a.minus == "") != (a.side[1] == "") {
			t.Errorf("%s: negative is %q in a sentence, %q in a table", id, a.minus, a.side[1])
		}
		if Width(a.side[0]) > 14 || Width(a.side[1]) > 14 {
			t.Errorf("%s: %q is too wide for a table", id, a.side)
		}
	}
}

// A word is found in any case, with spaces or hyphens, and one that is not there leads to the nearest.
func TestExplain(t *testing.T) {
	for word, want := range map[string][]string{
		"pocket-end": {"pocket-end"}, "Pocket end": {"pocket-end"}, "POCKET_END ": {"pocket-end"}, "aql": {"AQL"}, "cpk": {"Cpk"},
		"station": {"station", "station"}, "U": {"U"}, "u": {"u"}, "K": {"k"},
	} {
		found, near := Explain(word)
		var got []string
		for _, e := range found {
			got = append(got, e.Word)
		}
		if diff := cmp.Diff(want, got); diff != "" || near != nil {
			t.Errorf("%q: %s, near %q", word, diff, near)
		}
	}
	for word, want := range map[string]string{
		"centerline-error": "centre-line-error", "reseat": "re-seat", "pocketend": "pocket-end", "shim": "side-shim", "fial": "fail", "redundamt": "redundant",
	} {
		found, near := Explain(word)
		if len(found) > 0 || len(near) == 0 || near[0] != want {
			t.Errorf("%q: found %v, near %q, want %q", word, found, near, want)
		}
	}
	for _, word := range []string{"", "xyzzy", strings.Repeat("w", 10_000)} {
		if found, near := Explain(word); len(found)+len(near) > 0 {
			t.Errorf("%q: %v, %q", word, found, near)
		}
	}
}

// What is said of limits is what holds.
func TestExplainedLimits(t *testing.T) {
	for id, want := range map[fit.ID]string{
		fit.CentreLineError: "1 mm either way allowed, critical (common practice, no source)",
		fit.MarginBass:      "at least 2.5 mm wanted, major",
		fit.PocketGapEnd:    "0.05 to 0.5 mm allowed, major",
		fit.FretError:       "0.15 mm either way allowed, minor",
		fit.BridgeSkew:      "0.8 deg either way allowed, major",
		fit.ScaleLength:     "1 mm either way of the scale in kits.csv",
		fit.HeelThickness:   "None, unless limits.csv sets them.",
	} {
		if got := limitsOf(id); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
}

// Sketches belong to words that are explained, fit the narrowest screen, and name what stands in the same entry's
// words: nothing is drawn that is called otherwise elsewhere.
func TestSketches(t *testing.T) {
	for word, sketch := range sketches {
		found, _ := Explain(word)
		if !slices.ContainsFunc(found, func(e Entry) bool { return e.Sketch == sketch && sketch != "" }) {
			t.Errorf("the sketch of %s is not shown", word)
		}
		for line := range strings.Lines(sketch) {
			if n := Width("  " + strings.TrimRight(line, "\n")); n > Narrowest {
				t.Errorf("%s: %d columns in %q", word, n, line)
			}
		}
	}
	if e, _ := Explain("feeler"); len(e) > 0 && e[0].Sketch != "" {
		t.Error("a feeler gauge has a sketch")
	}
	for _, id := range []fit.ID{fit.CentreLineError, fit.MarginTreble, fit.PocketGapEnd, fit.SaddleReserveBack, fit.FretPlaneHeight} {
		if e, _ := Explain(id.String()); e[0].Sketch == "" {
			t.Errorf("%s has no sketch", id)
		}
	}
}
