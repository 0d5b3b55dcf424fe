package report

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// Every byte is found wherever it stands, and nothing else is.
func TestPlain(t *testing.T) {
	for n := range 40 {
		for at := range n {
			for c := range 256 {
				text := []byte(strings.Repeat("x", n))
				text[at] = byte(c)
				want := c >= ' ' && c <= '~' && c != '"' && c != '\\' && c != ','
				if got := plain(text, ','); got != want {
					t.Fatalf("%q: %v", text, got)
				}
				if got := plain(string(text), '"'); got != (want || c == ',') {
					t.Fatalf("%q: %v", text, got)
				}
			}
		}
		if text := strings.Repeat("~", n); !plain(text, ',') || !plain([]byte(text), ',') {
			t.Errorf("%q is plain", text)
		}
	}
}

// anyLetters is a text of what may need care and what needs none.
func anyLetters(rng *rand.Rand) string {
	const letters = "ab01 ,.=+-@'\"\\\r\n\t;\x7f\u00e9\U0001d11e\xff\u2028x"
	text := []byte(strings.Repeat("x", rng.IntN(20)))
	for range rng.IntN(4) {
		i := rng.IntN(len(text) + 1)
		text = append(text[:i:i], append([]byte{letters[rng.IntN(len(letters))]}, text[i:]...)...)
	}
	return string(text)
}

// Cells and strings are those of encoding/csv and encoding/json.
func TestPlainAndSlowWaysAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	for range 200_000 {
		text := anyLetters(rng)
		var cell bytes.Buffer
		writeRecord(&cell, []string{noFormula(text)})
		if got, want := string(appendText(nil, text)), strings.TrimSuffix(cell.String(), "\n"); got != want {
			t.Fatalf("%q: %s, encoding/csv has %s", text, got, want)
		}
		var line bytes.Buffer
		e := json.NewEncoder(&line)
		e.SetEscapeHTML(false)
		if err := e.Encode(text); err != nil {
			t.Fatal(err)
		}
		j := jsonText{}
		j.text("", text)
		if got, want := string(j.to), strings.TrimSuffix(line.String(), "\n"); got != want {
			t.Fatalf("%q: %s, encoding/json has %s", text, got, want)
		}
	}
}

// The cell of suspects is the slow way's.
func TestSuspectsCell(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 44))
	for range 20_000 {
		r := new(fit.Result)
		for range rng.IntN(4) {
			r.Suspects = append(r.Suspects, fit.Suspect{What: anyLetters(rng), Place: measure.Place{File: anyLetters(rng), Line: rng.IntN(1000)}})
		}
		var cell bytes.Buffer
		writeRecord(&cell, []string{suspectsCell(r)})
		if got, want := string(appendSuspects(nil, r)), strings.TrimSuffix(cell.String(), "\n"); got != want {
			t.Fatalf("%s, expected %s", got, want)
		}
	}
}

// What is ordinary is written without allocation.
func TestLinesAllocateNothing(t *testing.T) {
	r := &fit.Result{Kit: "K1", Info: measure.Info{Lot: "L 2"}, Verdict: fit.Fail, Way: fit.LooseParts, Scale: 1, ChiSquare: 1e-9,
		Swing:    &fit.Swing{Low: -0.25, High: 1.0 / 3},
		Suspects: []fit.Suspect{{What: "fret 5 station", Place: measure.Place{File: "readings.csv", Line: 3}, W: 4.5}}}
	for _, id := range ids {
		r.Characteristics = append(r.Characteristics, fit.Characteristic{ID: id, Value: 1.0 / 7, StdUncertainty: 1e-3 / 3, Common: 1e-12 / 3,
			Lower: -1, Upper: 0.15, P: 0.9634059271942768, Verdict: fit.Unsure, Class: measure.Major, Advice: "read it again"})
	}
	for _, format := range []string{"csv", "jsonl"} {
		lines, _ := LinesOf(format)
		var room []byte
		n := testing.AllocsPerRun(100, func() {
			var err error
			if room, err = lines.Append(room[:0], r); err != nil {
				t.Fatal(err)
			}
		})
		if n != 0 {
			t.Errorf("%s: %v allocations a kit", format, n)
		}
	}
}

// Numbers as encoding/json writes them, of every size and around the places where the form changes.
func TestJSONNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	numbers := []float64{0, math.Copysign(0, -1), 1e-6, 1e-7, 9.99e-7, 1e-10, 1e20, 1e21, 1e300, 5e-324, math.MaxFloat64}
	for range 200_000 {
		x := math.Float64frombits(rng.Uint64())
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			numbers = append(numbers, x, rng.NormFloat64()*math.Pow(10, float64(rng.IntN(30)-12)))
		}
	}
	var j jsonText
	for _, x := range numbers {
		for _, signed := range []float64{x, -x} {
			want, err := json.Marshal(signed)
			if err != nil {
				t.Fatal(err)
			}
			j.to = j.to[:0]
			if j.number("", signed); string(j.to) != string(want) {
				t.Fatalf("%v is written %s, by encoding/json %s", signed, j.to, want)
			}
		}
	}
}
