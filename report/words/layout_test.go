package words

import (
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

// Shortened names are as long as they may be, keep both ends and stay apart.
func TestShortNames(t *testing.T) {
	same := strings.Repeat("a", 30)
	seen := map[string]bool{}
	for i, name := range []string{same + "1" + same, same + "2" + same, same + "3" + same, "Grüße " + same} {
		short := ShortName(name, i+1)
		if seen[short] || utf8.RuneCountInString(short) != 24 || !strings.HasPrefix(short, name[:4]) {
			t.Errorf("%q", short)
		}
		seen[short] = true
	}
	if got := ShortName("abcdefghijklmnopqrstuvwxyz", 12); got != "abcdefghijklmn…uvwxyz#12" {
		t.Errorf("%q", got)
	}
	for _, name := range []string{"SSB-01", strings.Repeat("w", 24)} {
		if got := ShortName(name, 7); got != name {
			t.Errorf("a name short enough became %q", got)
		}
	}
}

func TestWidth(t *testing.T) {
	for text, want := range map[string]int{"": 0, "abc": 3, "Grüße ±": 7, "\x1b[1;31mfail\x1b[0m": 4} {
		if got := Width(text); got != want {
			t.Errorf("%q is %d wide, want %d", text, got, want)
		}
	}
	if got := Pad("±", 3) + "|" + PadLeft("±", 3) + "|" + Pad("long", 2); got != "±  |  ±|long" {
		t.Errorf("%q", got)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		columns     int
		first, text string
		want        []string
	}{
		{20, "", "one two three four five", []string{"one two three four", "five"}}, // 18, with five 23
		{23, "", "one two three four five", []string{"one two three four five"}},    // to the last column
		{12, "  - ", "one two three", []string{"  - one two", "    three"}},
		{10, "", "abcdefghijklmno p", []string{"abcdefghij", "klmno p"}}, // a word that is too long for any line
		{10, "", "ab abcdefghijkl", []string{"ab", "abcdefghij", "kl"}},
		{10, "x ", "", []string{"x"}},
		{8, "", " many   spaces ", []string{"many", "spaces"}},
		{12, "", "odds of 99.9 %, then", []string{"odds of", "99.9 %, then"}}, // 99.9 would have room
		{13, "", "odds of >99.9 % then", []string{"odds of", ">99.9 % then"}},
		{9, "", "95 % 5 %", []string{"95 % 5 %"}},
	} {
		if diff := cmp.Diff(c.want, Wrap(c.columns, c.first, c.text)); diff != "" {
			t.Errorf("%q in %d columns: %s", c.text, c.columns, diff)
		}
	}
	rng := rand.New(rand.NewPCG(8, 1))
	for range 500 {
		var list []string
		for range 1 + rng.IntN(40) {
			list = append(list, strings.Repeat("w", 1+rng.IntN(12)))
		}
		columns := 20 + rng.IntN(60)
		lines := Wrap(columns, "    ", strings.Join(list, " "))
		if diff := cmp.Diff(list, strings.Fields(strings.Join(lines, " "))); diff != "" {
			t.Fatalf("the words are not the same: %s", diff)
		}
		for i, line := range lines {
			if Width(line) > columns || !strings.HasPrefix(line, "    w") {
				t.Fatalf("%d columns: %q", columns, line)
			}
			if i > 0 && Width(lines[i-1])+1+Width(strings.Fields(line)[0]) <= columns {
				t.Fatalf("%d columns: %q would take a word of %q", columns, lines[i-1], line)
			}
		}
	}
}

func TestTable(t *testing.T) {
	rows := [][]string{{"name", "n", "note"}, {"critical"}, {"  first", "1", "short"}, {"  second", "234", "a note that is longer than the others are"}}
	for _, c := range []struct {
		columns int
		want    string
	}{
		// The last column begins in column 16 and takes 41 columns.
		{56, "name        n  note\ncritical\n  first     1  short\n  second  234  a note that is longer than the others are"},
		{55, "name        n  note\ncritical\n  first     1  short\n  second  234  a note that is longer than the others\n               are"},
		{39, "name        n  note\ncritical\n  first     1  short\n  second  234  a note that is longer\n               than the others are"},
		// With less than 24 columns for the last, each row stands by itself.
		{38, "critical\nfirst\n    n 1; note short\nsecond\n    n 234; note a note that is longer\n    than the others are"},
	} {
		if diff := cmp.Diff(c.want, strings.Join(Table(c.columns, "lrl", rows), "\n")); diff != "" {
			t.Errorf("%d columns: %s", c.columns, diff)
		}
	}
	// A last column set to the right is not wrapped; blanks and dashes are left out of entries.
	rows = [][]string{{"a", "b", ""}, {"x", "-", "12"}, {"yy", "", "3"}}
	for columns, want := range map[int]string{8: "a   b\nx   -  12\nyy      3", 7: "x\n    12\nyy\n    3"} {
		var got []string
		for _, line := range Table(columns+1, "llr", rows) {
			got = append(got, strings.TrimRight(line, " "))
		}
		if diff := cmp.Diff(want, strings.Join(got, "\n")); diff != "" {
			t.Errorf("%d columns: %s", columns+1, diff)
		}
	}
}

func TestHarmless(t *testing.T) {
	for text, want := range map[string]string{
		"plain ~": "plain ~", "a\tb\nc\u00a0d": "a b c d", "\x1b[31m": "<U+001B>[31m", "\u202eright": "<U+202E>right", "\x7f": "<U+007F>", "Grüße": "Grüße",
	} {
		if got := Harmless(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	names := strings.Fields("a b c d e f g h i j k l m n")
	if got := FirstNames(names); got != "a, b, c, d, e, f, g, h, i, j, k, l and 2 more" {
		t.Error(got)
	}
	if got := FirstNames(names[:12]); got != "a, b, c, d, e, f, g, h, i, j, k, l" {
		t.Error(got)
	}
	if got := AllNames([]string{"a", "b\x1b"}); got != "a, b<U+001B>" {
		t.Error(got)
	}
}
