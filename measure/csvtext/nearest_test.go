package csvtext

import (
	"strings"
	"testing"
)

// The first three are the examples of the Wikipedia articles "Levenshtein distance" and
// "Damerau-Levenshtein distance": kitten and sitting are 3 apart, and CA and ABC are 3 apart in the
// optimal string alignment form, where the unrestricted form has 2.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"ca", "abc", 3},
		{"", "abc", 3}, {"abc", "", 3}, {"fret", "fert", 1}, {"heel", "heel", 0},
	} {
		got, back := editDistance([]rune(c.a), []rune(c.b)), editDistance([]rune(c.b), []rune(c.a))
		if got != c.want || back != c.want {
			t.Errorf("%s to %s: %d and back %d, want %d", c.a, c.b, got, back, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	words := strings.Fields("edge-bass edge-treble heel heel-bass nut nut-slot fret fret-top pocket pocket-bass pocket-end top bridge-screw string-hole")
	for word, want := range map[string]string{
		"poket": "pocket", "pocket bass": "pocket-bass", "Bridge_Screw": "bridge-screw", "fert": "fret",
		"nutslot": "nut-slot", "zebra": "", "": "", "tpo": "top",
		"a word that is far too long to be a slip of any": "",
	} {
		if got := Nearest(word, words); got != want {
			t.Errorf("%q: got %q, want %q", word, got, want)
		}
	}
}
