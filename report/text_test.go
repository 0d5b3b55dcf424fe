package report

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"neckfit/fit"
	"neckfit/measure"
)

// centred is a kit whose centre-line error is known to 0.1 mm (standard) and limited to 1 mm.
func centred(value float64) *fit.Result {
	return &fit.Result{
		Kit: "K", Verdict: fit.Pass, Readings: 12, DOF: 3, ChiSquare: 2.5, Scale: 1,
		Characteristics: []fit.Characteristic{
			{ID: fit.CentreLineError, Dimension: measure.Length, Value: value, StdUncertainty: 0.1, Lower: -1, Upper: 1, P: 0.99, Verdict: fit.Pass, Class: measure.Critical, LimitSource: fit.LimitSource{Origin: fit.CommonPractice}},
			{ID: fit.BridgeSkew, Dimension: measure.Angle, Value: 0.1, StdUncertainty: 0.05, Lower: math.Inf(-1), Upper: 0.25, P: 0.99, Verdict: fit.Pass, Class: measure.Major, LimitSource: fit.LimitSource{Origin: fit.CommonPractice}},
			{ID: fit.FretError, Dimension: measure.Length, Lower: math.Inf(-1), Upper: math.Inf(1), Missing: fit.Missing{Want: fit.WantFrets}},
		},
	}
}

// failing is centred outside its limits.
func failing() *fit.Result {
	r := centred(1.92)
	r.Verdict, r.Characteristics[0].Verdict, r.Characteristics[0].P = fit.Fail, fit.Fail, 0
	return r
}

func mustText(t *testing.T, o Options, results ...*fit.Result) string {
	t.Helper()
	text, err := written("text", o, results...)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

var escape = regexp.MustCompile("\x1b\\[[0-9;]*m")

// No line is longer than 100 words.Columns, with or without colour, for one kit and for many; colour
// changes nothing but the escapes.
func TestWidth(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		results := batch(rng, 1+rng.IntN(4))
		plain := mustText(t, Options{Full: true}, results...)
		for _, l := range strings.Split(plain, "\n") {
			if n := utf8.RuneCountInString(l); n > 100 {
				t.Fatalf("%d columns: %s", n, l)
			}
			if strings.TrimRight(l, " ") != l {
				t.Fatalf("line ends in spaces: %q", l)
			}
		}
		if coloured := mustText(t, Options{Full: true, Colour: true}, results...); escape.ReplaceAllString(coloured, "") != plain {
			t.Fatal("the colours change the text")
		}
	}
}

// The first line of one kit says its verdict and the value that matters most, rounded to two digits
// of the expanded uncertainty: 1.96 x 0.1 = 0.196, so 0.20.
func TestFirstLine(t *testing.T) {
	got := strings.Join(strings.Split(mustText(t, Options{}, failing()), "\n")[:2], " ")
	if want := "fail  K: the bridge lies 1.92 ± 0.20 mm toward treble (the thin strings), more than the 1 mm allowed       (centre-line-error)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A suspect reading comes before everything else, for one kit, and in the head of a batch.
func TestSuspectFirst(t *testing.T) {
	r := failing()
	r.Suspects = []fit.Suspect{{Reading: &measure.Reading{Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Place: measure.Place{File: "dir/readings.csv", Line: 17}}, W: 9, Critical: 3, Read: 65.3, Expected: 63.5}}
	if got := mustText(t, Options{}, r); !strings.HasPrefix(got, "Read again first: readings.csv line 17, pocket width (body).\n") {
		t.Error(got)
	}
	got := mustText(t, Options{}, r, centred(0))
	if lines := strings.Split(got, "\n"); !strings.HasPrefix(lines[0], "2 kits: ") || !strings.HasPrefix(lines[2], "Read again first: readings.csv line 17 of K.") {
		t.Error(got)
	}
}

// The head of a batch counts the verdicts and names the worst kit.
func TestTally(t *testing.T) {
	unsure := centred(0.95)
	unsure.Verdict, unsure.Characteristics[0].Verdict = fit.Unsure, fit.Unsure
	bad := failing()
	bad.Kit = "BAD"
	got, rest, _ := strings.Cut(mustText(t, Options{Columns: 200}, centred(0), unsure, bad, centred(0.1)), "\n")
	want := "4 kits: 2 pass, 1 fail, 1 unsure. Worst: BAD, the bridge lies 1.92 ± 0.20 mm toward treble (the thin strings), more than the 1 mm allowed (centre-line-error)."
	if got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if n := strings.Count(rest, "\nK  "); n != 3 {
		t.Errorf("%d lines of kits K in %s", n, rest)
	}
}

// Whether the pocket's play can cure a failing centre line is said as the swing and the limits have it.
func TestSwing(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{0.7, 2.9, "re-seating the neck may be all it takes"},
		{-1.2, 1, "re-seating the neck may be all it takes"},
		{1.1, 2.9, "cannot cure it"},
		{-5, -1.5, "cannot cure it"},
	} {
		r := failing()
		r.Swing = &fit.Swing{Low: c.low, High: c.high}
		if got := strings.Join(strings.Fields(mustText(t, Options{}, r)), " "); !strings.Contains(got, c.want) {
			t.Errorf("swing %v to %v does not say %q: %s", c.low, c.high, c.want, got)
		}
		r = centred(0)
		r.Swing = &fit.Swing{Low: c.low, High: c.high}
		if got := mustText(t, Options{}, r); strings.Contains(got, "re-seat") || strings.Contains(got, "cure") {
			t.Errorf("a passing kit is to be cured: %s", got)
		}
	}
}

// What is not measured stands apart from the table with what it needs, and cautions come where
// something is to be mended.
func TestParts(t *testing.T) {
	good, bad := mustText(t, Options{}, centred(0)), mustText(t, Options{}, failing())
	if !strings.Contains(good, "Not measured either: fret-error. neckfit explain NAME says what to read for one.\n") {
		t.Error(good)
	}
	const caution = "strings slack, neck clamped"
	if strings.Contains(good, caution) || !strings.Contains(bad, caution) {
		t.Errorf("cautions are at the wrong kit:\n%s\n%s", good, bad)
	}
}

// One kit is a whole table; of two there are lines, and tables when they are asked for.
func TestFull(t *testing.T) {
	const head = "characteristic"
	for _, c := range []struct {
		options Options
		kits    int
		tables  int
	}{{Options{}, 1, 1}, {Options{Full: true}, 1, 1}, {Options{}, 2, 0}, {Options{Full: true}, 2, 2}} {
		var results []*fit.Result
		for range c.kits {
			results = append(results, centred(0))
		}
		got := strings.Count(mustText(t, c.options, results...), "\n"+head)
		if got != c.tables {
			t.Errorf("%+v of %d kits: %d tables", c.options, c.kits, got)
		}
	}
}

// What is longer than the screen says at its end again what matters and what to do; nothing else does.
func TestLastLines(t *testing.T) {
	long := mustText(t, Options{}, failing())
	lines := strings.Split(strings.TrimSuffix(long, "\n"), "\n")
	head := strings.Join(lines[:3], "\n") // two lines of verdict, one of what to do
	if !strings.Contains(lines[2], "To do first: ") {
		t.Fatalf("the third line is %q", lines[2])
	}
	for rows, want := range map[int]string{0: long, len(lines): long, len(lines) - 1: long + "\n" + head + "\n"} {
		if got := mustText(t, Options{Rows: rows}, failing()); got != want {
			t.Errorf("on a screen of %d rows, %d lines:\n%s", rows, len(lines), got)
		}
	}
	for _, full := range []bool{false, true} {
		got := mustText(t, Options{Rows: 5, Full: full}, centred(0), failing())
		if first := got[:strings.Index(got, "\n\n")]; !strings.HasSuffix(got, "\n\n"+first+"\n") || strings.Count(got, "2 kits: ") != 2 {
			t.Errorf("full %v: the list does not end as it begins:\n%s", full, got)
		}
	}
}
