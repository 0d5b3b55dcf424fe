package report

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
	"neckfit/report/words"
)

// Every number of a result comes back from JSON as the same float, and nothing open is there.
func TestJSONLReadsBack(t *testing.T) {
	results := batch(rand.New(rand.NewPCG(1, 1)), 200)
	text, err := written("jsonl", Options{}, results...)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) != len(results) {
		t.Fatalf("%d lines for %d kits", len(lines), len(results))
	}
	for i, r := range results {
		var got jsonKit
		d := json.NewDecoder(strings.NewReader(lines[i]))
		d.DisallowUnknownFields()
		if err := d.Decode(&got); err != nil {
			t.Fatalf("line %d: %v", i+1, err)
		}
		if want := strings.ToValidUTF8(r.Kit, "\uFFFD"); got.Kit != want {
			t.Errorf("kit %q became %q", want, got.Kit)
		}
		if got.Verdict != words.Verdict(r.Verdict) || got.ChiSquare != r.ChiSquare || got.Scale != r.Scale || got.Readings != r.Readings || got.DOF != r.DOF {
			t.Errorf("kit %d: %+v", i, got)
		}
		if (got.Swing == nil) != (r.Swing == nil) || r.Swing != nil && (fit.Swing{Low: got.Swing.Low, High: got.Swing.High} != *r.Swing) {
			t.Errorf("kit %d: swing %v of %v", i, got.Swing, r.Swing)
		}
		for j := range r.Characteristics {
			checkJSON(t, &r.Characteristics[j], got.Characteristics[j])
		}
		for j, s := range r.Suspects {
			g := got.Suspects[j]
			if g.Line != s.Reading.Place.Line || g.W != s.W || g.Critical != s.Critical || g.Read != s.Read || g.Expected != s.Expected {
				t.Errorf("kit %d: suspect %+v of %+v", i, g, s)
			}
		}
	}
}

func checkJSON(t *testing.T, want *fit.Characteristic, got jsonCharacteristic) {
	t.Helper()
	if want.Measured() != (got.Value != nil) || want.Measured() == (got.Missing != "") || words.Judged(want) != (got.P != nil) {
		t.Fatalf("%s: what is there does not match: %+v of %+v", want.ID, got, want)
	}
	if want.Measured() && (*got.Value != want.Value || *got.U != want.StdUncertainty) || words.Judged(want) && *got.P != want.P {
		t.Errorf("%s: value, u or p differs", want.ID)
	}
	for _, l := range []struct {
		want float64
		got  *float64
	}{{want.Lower, got.Lower}, {want.Upper, got.Upper}} {
		if math.IsInf(l.want, 0) != (l.got == nil) || l.got != nil && *l.got != l.want {
			t.Errorf("%s: limit %v became %v", want.ID, l.want, l.got)
		}
	}
}

// A table has one line a kit, as many cells everywhere, and exact numbers.
func TestCSVReadsBack(t *testing.T) {
	results := batch(rand.New(rand.NewPCG(2, 2)), 200)
	text, err := written("csv", Options{}, results...)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(text, "\n"); n != 1+len(results) {
		t.Errorf("%d lines for %d kits", n, len(results))
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll() // it refuses lines of unlike length
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for i, r := range results {
		cells := rows[i+1]
		for _, cell := range cells {
			if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.Contains("=+-@\t\r", cell[:1]) {
				t.Errorf("cell %q would be a formula", cell)
			}
		}
		for _, c := range r.Characteristics {
			value := cells[column[c.ID.String()+"_"+words.Unit(&c)]]
			got, err := strconv.ParseFloat(value, 64)
			if c.Measured() && (err != nil || math.Abs(got-c.Value) > 0.501e-9) || !c.Measured() && value != "" {
				t.Errorf("%s: %v became %q", c.ID, c.Value, value)
			}
			if got := cells[column[c.ID.String()+"_verdict"]]; got != words.Verdict(c.Verdict) {
				t.Errorf("%s: verdict %q", c.ID, got)
			}
		}
	}
}

// Nine decimals are as near as nine can be, by math/big.
func TestSizesToNineDecimals(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", math.Copysign(0, -1): "0", 1.2: "1.2", -0.05: "-0.05", 762: "762", 1e-9: "0.000000001", 4e-10: "0", -4e-10: "0", -6e-10: "-0.000000001",
		0.3865402906783211: "0.386540291", 99.9999999999: "100", 1e7: "1e+07", math.NaN(): "", math.Inf(1): "",
	} {
		var l record
		if l.size(x); string(l.to) != want {
			t.Errorf("%v became %q, want %q", x, l.to, want)
		}
	}
	rng := rand.New(rand.NewPCG(43, 44))
	for range 20_000 {
		x := (rng.Float64() - 0.5) * math.Pow(10, float64(rng.IntN(12)-7))
		var l record
		l.size(x)
		exact, ok := new(big.Float).SetString(string(l.to))
		if off, _ := exact.Sub(exact, big.NewFloat(x)).Float64(); !ok || math.Abs(off) > 0.5e-9+math.Abs(x)*0x1p-52 {
			t.Fatalf("%v became %s", x, l.to)
		}
	}
}

// What begins like a formula is marked, and nothing else is touched.
func TestNoFormula(t *testing.T) {
	for in, want := range map[string]string{
		"=1": "'=1", "+1": "'+1", "-1": "'-1", "@a": "'@a", "\t=1": "' =1", " =1": "' =1",
		"SSB-01": "SSB-01", "": "", "a=1": "a=1", "'=": "'=", "two\nlines": "two lines",
	} {
		var l record
		if l.text(in); string(l.to) != want {
			t.Errorf("%q became %q, want %q", in, l.to, want)
		}
	}
}

// Cells come back from encoding/csv as they were written, whatever is in them.
func TestCellsReadBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	for range 20_000 {
		cells := []string{anyLetters(rng), anyLetters(rng), anyLetters(rng)}
		var l record
		l.words(cells...)
		l.end()
		got, err := csv.NewReader(strings.NewReader(string(l.to))).Read()
		if err == io.EOF && strings.Join(cells, "") == "" {
			continue // a line of commas alone is one only when it has some
		}
		for i := range cells {
			cells[i] = strings.ReplaceAll(cells[i], "\r\n", "\n") // as encoding/csv reads them
		}
		if diff := cmp.Diff(cells, got); err != nil || diff != "" {
			t.Fatalf("%q: %v %s", l.to, err, diff)
		}
	}
}

// anyLetters is a text of what may need care and what needs none.
func anyLetters(rng *rand.Rand) string {
	letters := []rune("ab01 ,.=+-@'\"\\\r\n\t;\x7f\u00e9\U0001d11e\u2028x")
	text := []rune(strings.Repeat("x", rng.IntN(20)))
	for range rng.IntN(4) {
		text = slices.Insert(text, rng.IntN(len(text)+1), letters[rng.IntN(len(letters))])
	}
	return string(text)
}

func TestCSVWithoutKits(t *testing.T) {
	text, err := written("csv", Options{})
	if err != nil || text != "kit,lot,supplier,verdict,way,worst,swing_low_mm,swing_high_mm,suspects,warnings,assumed_gauges\n" {
		t.Errorf("%q, %v", text, err)
	}
}

// A result with a number that is none is refused by every format, whichever number it is.
func TestNotFinite(t *testing.T) {
	spoil := map[string]func(*fit.Result){
		"value":       func(r *fit.Result) { r.Characteristics[0].Value = math.NaN() },
		"uncertainty": func(r *fit.Result) { r.Characteristics[1].StdUncertainty = math.Inf(1) },
		"probability": func(r *fit.Result) { r.Characteristics[1].P = math.NaN() },
		"limit":       func(r *fit.Result) { r.Characteristics[0].Lower = math.NaN() },
		"swing":       func(r *fit.Result) { r.Swing = &fit.Swing{Low: math.Inf(-1)} },
		"suspect":     func(r *fit.Result) { r.Suspects = []fit.Suspect{{Reading: new(measure.Reading), Expected: math.NaN()}} },
		"scale":       func(r *fit.Result) { r.Scale = math.NaN() },
		"chi-square":  func(r *fit.Result) { r.ChiSquare = math.Inf(1) },
	}
	for name, f := range spoil {
		for _, format := range Formats() {
			r := centred(0.2)
			f(r)
			if text, err := written(format, Options{}, r); err == nil || strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%s, %s: error %v, output %q", name, format, err, text)
			}
		}
	}
}

// An output that fails is reported by Kit or Close.
func TestBrokenOutput(t *testing.T) {
	want := errors.New("disk full")
	w := NewText(broken{want}, Options{})
	if err := errors.Join(w.Kit(centred(0)), w.Kit(centred(1)), w.Close()); !errors.Is(err, want) {
		t.Errorf("text: %v", err)
	}
	match, lots, studies := matched(t), delivered(t, surveys(2), false), studied(t)
	for _, format := range Formats() {
		for name, err := range map[string]error{
			"pairs": Pair(format, broken{want}, match, nil, Options{}), "lots": Lot(format, broken{want}, lots, Options{}),
			"gauges": Gauge(format, broken{want}, studies, Options{}), "draw": Draw(format, broken{want}, &delivery.Draw{Size: 9, Kits: []int{1}}, Options{}),
		} {
			if !errors.Is(err, want) {
				t.Errorf("%s as %s: %v", name, format, err)
			}
		}
	}
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

// The same results give the same bytes.
func TestSameBytes(t *testing.T) {
	for _, format := range Formats() {
		a, errA := written(format, Options{Full: true}, batch(rand.New(rand.NewPCG(3, 3)), 20)...)
		b, errB := written(format, Options{Full: true}, batch(rand.New(rand.NewPCG(3, 3)), 20)...)
		if diff := cmp.Diff(a, b); diff != "" || errA != nil || errB != nil {
			t.Errorf("%s: %v %v %s", format, errA, errB, diff)
		}
	}
}

// No format lets a control character through, not even one that is only a turn of the writing
// direction; JSON escapes what is below a space.
func TestNoControlCharacters(t *testing.T) {
	for _, format := range []string{"text", "csv"} {
		text, err := written(format, Options{Full: true}, batch(rand.New(rand.NewPCG(4, 4)), 100)...)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range text {
			if c != '\n' && !unicode.IsPrint(c) {
				t.Fatalf("%s: %U", format, c)
			}
		}
	}
}

func BenchmarkLines(b *testing.B) {
	results := surveys(8)
	for _, format := range []string{"csv", "jsonl"} {
		b.Run(format, func(b *testing.B) {
			lines, _ := LinesOf(format, nil)
			var line []byte
			var err error
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if line, err = lines.Append(line[:0], results[i%len(results)]); err != nil {
					b.Fatal(err)
				}
			}
			b.SetBytes(int64(len(line)))
		})
	}
}
