package report

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// assumedKit is a kit that was read by one gauge of gauges.csv and by one that is taken for granted.
func assumedKit(name string) *fit.Result {
	builtIn := measure.BuiltInGauges()
	own := &measure.Gauge{ID: "own", Resolution: 0.01, Repeatability: 0.02, Place: measure.Place{File: "gauges.csv", Line: 2}}
	k := &measure.Kit{Name: name, Info: measure.Info{Kit: name}}
	for i, size := range []float64{63.5, 63.7} {
		for _, at := range []float64{10, 60} {
			k.Readings = append(k.Readings, measure.Reading{
				Datum: []measure.Datum{measure.DatumNeck, measure.DatumBody}[i], Feature: []measure.Feature{measure.Heel, measure.Pocket}[i], Kind: measure.Width,
				Station: at, HasStation: true, Size: size, Gauge: own, StationGauge: &builtIn[2], Place: measure.Place{File: "readings.csv", Line: len(k.Readings) + 2},
			})
		}
	}
	return fit.Check(k, fit.Options{Terse: true})
}

// Every report names the gauges that it rests on and that nobody described.
func TestEveryReportNamesAssumedGauges(t *testing.T) {
	const name = measure.Rule
	a, b := assumedKit("A"), assumedKit("B")
	last := func(what, text string) {
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %v: %q", what, err, text)
		}
		if n := len(rows[0]) - 1; rows[0][n] != "assumed_gauges" || rows[1][n] != name {
			t.Errorf("%s: the last column is %q with %q", what, rows[0][n], rows[1][n])
		}
	}
	says := func(what, text, want string) {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("%s does not say %q: %s", what, want, text)
		}
	}
	const inWords, inJSON = "Gauges taken for granted in some kits, since gauges.csv has none: " + name + ";", `"assumed_gauges":["` + name + `"]`

	var text bytes.Buffer
	w := NewText(&text, Options{})
	for _, r := range []*fit.Result{a, b} {
		if err := w.Kit(r); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	says("check", text.String(), inWords)
	lines, _ := LinesOf("csv", nil)
	line, err := lines.Append(lines.Header(a), a)
	if err != nil {
		t.Fatal(err)
	}
	last("check", string(line))
	lines, _ = LinesOf("jsonl", nil)
	if line, err = lines.Append(nil, a); err != nil {
		t.Fatal(err)
	}
	says("check", string(line), inJSON)

	var back []string // through a file of another machine
	if err := ReadKits(bytes.NewReader(line), "kits.jsonl", &Merge{}, func(k delivery.Kit) error { back = k.Assumed; return nil }); err != nil || len(back) != 1 || back[0] != name {
		t.Errorf("%v came back: %v", back, err)
	}
	var d delivery.Delivery
	for _, r := range []*fit.Result{a, b} {
		if err := d.Add(delivery.Of(r)); err != nil {
			t.Fatal(err)
		}
	}
	lots, err := d.Judge(delivery.Options{AQL: [measure.Minor + 1]float64{measure.Critical: 1, measure.Major: 1, measure.Minor: 1}})
	if err != nil {
		t.Fatal(err)
	}
	for _, format := range Formats() {
		var lot, plans bytes.Buffer
		if err := Lot(format, &lot, lots, Options{}); err != nil {
			t.Fatal(err)
		}
		advice, err := NewRemedy(format, &plans, 1, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range []*fit.Result{a, b} {
			if err := advice.Kit(r, &remedy.Advice{Plans: []remedy.Plan{{Actions: []remedy.Action{{Work: measure.Reseat}}}}}); err != nil {
				t.Fatal(err)
			}
		}
		if err := advice.Close(); err != nil {
			t.Fatal(err)
		}
		for what, text := range map[string]string{"lot": lot.String(), "remedy": plans.String()} {
			switch format {
			case "text":
				says(what, text, inWords)
			case "csv":
				last(what, text)
			case "jsonl":
				says(what, text, inJSON)
			}
		}
	}
	if got := words.AssumedByName(nil); got != "" {
		t.Errorf("none, and it says %q", got)
	}
}
