package report

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/pair"
	"neckfit/fit/simulate"
	"neckfit/fit/study"
	"neckfit/measure"
	"neckfit/report/words"
)

// odd names that must not reach a terminal, a spreadsheet or a line's end as they are.
var odd = []string{"=1+1", "a\x1b[31mred", strings.Repeat("long name ", 12), "é\u202eüß", "plain"}

// surveys are checked kits of random instruments.
func surveys(n int) []*fit.Result { return surveysFor(n, fit.Options{}) }

func surveysFor(n int, o fit.Options) []*fit.Result {
	rng := rand.New(rand.NewPCG(5, 1))
	setup := simulate.DefaultSetup()
	setup.Heights = true
	var list []*fit.Result
	for i := range n {
		in := simulate.Random(rng)
		k := in.Kit(fmt.Sprintf("%s %d", odd[i%len(odd)], i), simulate.LooseParts(in, rng, setup))
		k.Info.Lot, k.Info.Supplier = odd[i%2], odd[i%2+1]
		k.Readings[i].By, k.Readings[0].By = "somebody", "somebody else"
		list = append(list, fit.Check(k, o))
	}
	return list
}

// What JSONL writes of a kit is what ReadKits reads, to the last bit.
func TestKitsComeBackFromJSONLines(t *testing.T) {
	results := surveys(12)
	results[0].Nonsense = []fit.Nonsense{{What: fit.ScaleOfFrets, Place: measure.Place{File: "kits.csv", Line: 3}}}
	at := func(line int) *measure.Reading {
		return &measure.Reading{Place: measure.Place{File: "readings.csv", Line: line}}
	}
	results[1].Suspects = []fit.Suspect{{Reading: at(7), Rivals: []*measure.Reading{at(9)}}, {Reading: at(8)}}
	var text bytes.Buffer
	lines, _ := LinesOf("jsonl", nil)
	var want []delivery.Kit
	for _, r := range results {
		for _, name := range []*string{&r.Kit, &r.Info.Lot, &r.Info.Supplier} { // as a batch's are
			*name = measure.Canonical(strings.ReplaceAll(*name, "\x1b", ""))
		}
		line, err := lines.Append(nil, r)
		if err != nil {
			t.Fatal(err)
		}
		text.Write(line)
		want = append(want, delivery.Of(r))
		want[len(want)-1].Gauges = nil // told with the terms
	}
	var got []delivery.Kit
	if err := ReadKits(&text, "kits.jsonl", new(Merge), func(k delivery.Kit) error { got = append(got, k); return nil }); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for _, f := range want[0].Found {
		if f.Common < 0 || f.Common > f.StdUncertainty || math.IsNaN(f.Common) {
			t.Errorf("%s: common part %v of %v", f.Name, f.Common, f.StdUncertainty)
		}
	}
	if !slices.ContainsFunc(want[0].Found, func(f delivery.Found) bool { return f.Common > 0 }) {
		t.Error("no characteristic has a part common to all kits, though the gauges have maximum errors")
	}
}

func TestLinesThatAreNoKits(t *testing.T) {
	good := `{"kit":"A","verdict":"pass","characteristics":[]}`
	for name, line := range map[string]string{
		"torn":                 `{"kit":"A","verdict":"pa`,
		"no kit":               `{"neck":"A","body":"B","verdict":"pass","characteristics":[]}`,
		"no characteristics":   `{"kit":"A","verdict":"pass"}`,
		"unknown verdict":      `{"kit":"A","verdict":"good","characteristics":[]}`,
		"unknown class":        `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":0,"unit":"mm","verdict":"pass","class":"grave"}]}`,
		"no value":             `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","u":0,"unit":"mm","verdict":"pass"}]}`,
		"negative uncertainty": `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":-1,"unit":"mm","verdict":"pass"}]}`,
		"not JSON":             "kit,verdict",
		"an escape in a file":  `{"kit":"A","verdict":"pass","characteristics":[],"suspects":[{"file":"a\u001b[2J","line":2}]}`,
		"an escape in a name":  `{"kit":"A\u001b[2J","verdict":"pass","characteristics":[]}`,
		"a lot of two lines":   `{"kit":"A","lot":"a\nb","verdict":"pass","characteristics":[]}`,
		"limits swapped":       `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":0.1,"unit":"mm","verdict":"pass","lower":2,"upper":-2}]}`,
		"passing far beyond":   `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":50,"u":0.1,"unit":"mm","verdict":"pass","lower":-1,"upper":1}]}`,
		"passing far below":    `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":-50,"u":0.1,"unit":"mm","verdict":"pass","lower":-1}]}`,
		"a value like none":    `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1e308,"u":0.1,"unit":"mm","verdict":"pass"}]}`,
		"u like none":          `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":1e5,"unit":"mm","verdict":"pass"}]}`,
		"a control in by":      `{"kit":"A","verdict":"pass","characteristics":[],"read_by":["a\nb"]}`,
		"minutes like none":    `{"kit":"A","verdict":"fail","characteristics":[],"remedy":{"plans":[{"minutes":1e300,"p":0.5}]}}`,
		"odds above one":       `{"kit":"A","verdict":"fail","characteristics":[],"remedy":{"plans":[{"minutes":10,"p":1.5}]}}`,
		"one of them twice":    `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":1,"unit":"mm","verdict":"pass"},{"name":"x","value":1,"u":1,"unit":"mm","verdict":"pass"}]}`,
		"passing all the same": `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":2,"u":0.1,"unit":"mm","verdict":"fail","upper":1}]}`,
		"a limit like none":    `{"kit":"A","verdict":"pass","characteristics":[{"name":"x","value":1,"u":1,"unit":"mm","verdict":"pass","upper":1e9}]}`,
	} {
		err := ReadKits(strings.NewReader(good+"\n\n"+line+"\n"), "f.jsonl", new(Merge), func(delivery.Kit) error { return nil })
		cells, ok := err.(measure.Errors)
		if !ok || len(cells) != 1 || cells[0].Place != (measure.Place{File: "f.jsonl", Line: 3}) {
			t.Errorf("%s: %v, want an error on line 3", name, err)
		}
	}
}

// Lines in UTF-16, or with a mark before them, as some shells write them, are the same lines.
func TestLinesInOtherCodings(t *testing.T) {
	text := `{"kit":"Käse","verdict":"pass","characteristics":[{"name":"x","value":1,"u":0.1,"unit":"mm","verdict":"pass","lower":-2,"upper":2}]}` + "\n"
	var wide []byte
	for _, unit := range utf16.Encode([]rune("\ufeff" + strings.ReplaceAll(text, "\n", "\r\n"))) {
		wide = binary.LittleEndian.AppendUint16(wide, unit)
	}
	for name, data := range map[string]string{"UTF-8": text, "with a mark": "\ufeff" + text, "UTF-16": string(wide)} {
		var got []delivery.Kit
		err := ReadKits(strings.NewReader(data), "f.jsonl", new(Merge), func(k delivery.Kit) error { got = append(got, k); return nil })
		if err != nil || len(got) != 1 || got[0].Name != "Käse" || len(got[0].Found) != 1 || got[0].Found[0].Upper != 2 {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

// delivered is a judged delivery of those kits.
func delivered(t *testing.T, results []*fit.Result, unread bool) *delivery.Report {
	t.Helper()
	d := &delivery.Delivery{}
	for _, r := range results {
		if err := d.Add(delivery.Of(r)); err != nil {
			t.Fatal(err)
		}
	}
	if unread {
		for i := range 40 {
			d.List(fmt.Sprintf("%s unread %d", odd[i%len(odd)], i), odd[0], odd[1])
		}
	}
	o := delivery.Options{Seed: 1}
	o.AQL = [measure.Minor + 1]float64{measure.Critical: 0.65, measure.Major: 2.5, measure.Minor: 15}
	r, err := d.Judge(o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// matched is a match of loose parts with odd names, with parts left over.
func matched(t *testing.T) *pair.Match {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 2))
	var kits []*measure.Kit
	for i := range 7 {
		in := simulate.Random(rng)
		all := simulate.LooseParts(in, rng, simulate.DefaultSetup())
		for _, part := range []string{"neck", "body"} {
			kits = append(kits, in.Kit(fmt.Sprintf("%s %s %d", odd[i%len(odd)], part, i), slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool {
				return (r.Datum == measure.DatumNeck) != (part == "neck") || i == 6 && r.Feature == measure.HeelEnd
			})))
		}
	}
	parts, err := pair.Sort(kits[1:])
	if err != nil {
		t.Fatal(err)
	}
	m, err := pair.Find(parts, pair.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func studied(t *testing.T) []*study.Study {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 3))
	var c study.Collection
	for i := range 6 {
		k := &measure.Kit{Name: odd[i%len(odd)] + fmt.Sprint(i)}
		for g, name := range odd {
			gauge := &measure.Gauge{ID: name, Repeatability: 0.05}
			for trial := range 3 {
				for _, by := range odd[:g%3+1] {
					k.Readings = append(k.Readings, measure.Reading{
						Datum: measure.DatumNeck, Feature: measure.Heel, Kind: measure.Width, Station: 20, HasStation: true,
						Size: 63 + rng.NormFloat64()*math.Pow10(-g), Gauge: gauge, StationGauge: gauge, By: by, Trial: trial + 1,
					})
				}
			}
		}
		c.Add(k)
	}
	return c.Judge(study.Tolerance{Width: 0.45, Of: odd[2]})
}

// every format of the three reports, whatever the names: text keeps to its width and prints nothing
// that does not print, CSV has equal rows without formulas, each line of JSON Lines is an object.
func TestReportsOfLotsGaugesAndPairs(t *testing.T) {
	results := surveys(30)
	lots, one := delivered(t, results, false), delivered(t, results[:1], false)
	unread, nothing := delivered(t, results[:4], true), delivered(t, nil, true)
	match, studies := matched(t), studied(t)
	reports := map[string]func(format string, w *bytes.Buffer, o Options) error{
		"lots":    func(f string, w *bytes.Buffer, o Options) error { return Lot(f, w, lots, o) },
		"one kit": func(f string, w *bytes.Buffer, o Options) error { return Lot(f, w, one, o) },
		"unread":  func(f string, w *bytes.Buffer, o Options) error { return Lot(f, w, unread, o) },
		"nothing": func(f string, w *bytes.Buffer, o Options) error { return Lot(f, w, nothing, o) },
		"pairs":   func(f string, w *bytes.Buffer, o Options) error { return Pair(f, w, match, nil, o) },
		"no pairs": func(f string, w *bytes.Buffer, o Options) error {
			return Pair(f, w, &pair.Match{Necks: 1, LoneNecks: []pair.Lone{{Name: odd[1]}}}, nil, o)
		},
		"gauges": func(f string, w *bytes.Buffer, o Options) error { return Gauge(f, w, studies, o) },
		"draw": func(f string, w *bytes.Buffer, o Options) error {
			return Draw(f, w, &delivery.Draw{Size: 900, Seed: 1, Kits: []int{1, 5, 800}}, o)
		},
	}
	for name, write := range reports {
		for _, format := range Formats() {
			for _, columns := range []int{0, 60, 80, 120} {
				var out, again bytes.Buffer
				o := Options{Columns: columns}
				if err := write(format, &out, o); err != nil {
					t.Fatalf("%s as %s: %v", name, format, err)
				}
				if err := write(format, &again, o); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
					t.Errorf("%s as %s: a second time gives other bytes (%v)", name, format, err)
				}
				switch format {
				case "text":
					checkText(t, name, out.String(), columnsOf(columns))
				case "csv":
					checkCSV(t, name, out.String())
				case "jsonl":
					checkJSONL(t, name, out.String())
				}
			}
		}
		if err := write("pdf", &bytes.Buffer{}, Options{}); err == nil {
			t.Errorf("%s as pdf: no error", name)
		}
	}
}

func columnsOf(columns int) int {
	if columns == 0 {
		return 100
	}
	return columns
}

func checkText(t *testing.T, name, text string, columns int) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if words.Width(line) > columns {
			t.Errorf("%s: a line of %d columns: %s", name, words.Width(line), line)
		}
		if words.Harmless(line) != line {
			t.Errorf("%s: a line that does something to a terminal: %q", name, line)
		}
		if strings.Contains(line, "NaN") || strings.Contains(line, "Inf") {
			t.Errorf("%s: %s", name, line)
		}
	}
}

func checkCSV(t *testing.T, name, text string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll() // all rows must be as long as the first
	if err != nil {
		t.Errorf("%s: %v", name, err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if strings.HasPrefix(cell, "=") || strings.Contains(cell, "NaN") || strings.Contains(cell, "Inf") {
				t.Errorf("%s: cell %q", name, cell)
			}
		}
	}
}

func checkJSONL(t *testing.T, name, text string) {
	t.Helper()
	for _, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		var object map[string]any
		if err := json.Unmarshal([]byte(line), &object); err != nil {
			t.Errorf("%s: %v in %s", name, err, line)
		}
		for key, value := range object {
			if value == nil {
				t.Errorf("%s: %s is null", name, key)
			}
		}
	}
}

// The first line says what to do.
func TestFirstLines(t *testing.T) {
	results := surveys(6)
	first := func(lay func(*text)) string {
		page := newText(Options{})
		lay(page)
		return page.lines[0]
	}
	for _, c := range []struct{ text, want string }{
		{first(deliveryTable{delivered(t, results, false)}.toText), "2 lots: "},
		{first(deliveryTable{delivered(t, nil, true)}.toText), "undecided  "},
		{first(gaugeStudies(studied(t)).toText), "Mend =1+1 first "},
		{first(match{matched(t), nil}.toText), " pairs need"},
	} {
		if !strings.Contains(c.text, c.want) {
			t.Errorf("the first line is %q, want %q in it", c.text, c.want)
		}
	}
}
