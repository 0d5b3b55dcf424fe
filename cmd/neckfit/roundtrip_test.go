package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// What start and sheet write, check reads once it is filled in, and finds what the readings say that
// were filled in: those of a simulated instrument, judged without any file.
func TestStartAndSheetFilledInAreChecked(t *testing.T) {
	in, counts := reference()
	for way, read := range map[string]func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{
		"loose": simulate.LooseParts, "dry": simulate.DryFit, "edge": simulate.EdgeCheck,
	} {
		setup := simulate.DefaultSetup()
		setup.Heights = true
		readings := withBuiltInGauges(read(in, rand.New(rand.NewPCG(3, 9)), setup))
		dir := filepath.Join(t.TempDir(), "delivery")
		produced(t, "start", dir)
		sheet := produced(t, "sheet", "--way", way, "--kit", "A1", "--strings", fmt.Sprint(counts.Strings), "--frets", fmt.Sprint(counts.Frets),
			"--neck-screws", fmt.Sprint(counts.NeckScrews), "--bridge-screws", fmt.Sprint(counts.BridgeScrews))
		appendTo(t, filepath.Join(dir, "readings.csv"), inSemicolons(t, filledWith(t, sheet, readings)))

		var got checked
		if err := json.Unmarshal([]byte(produced(t, "check", dir, "--format", "jsonl")), &got); err != nil {
			t.Fatal(err)
		}
		measured := 0
		for _, want := range fit.Check(blankInfo(in.Kit("A1", readings)), fit.Options{Brief: true}).Characteristics {
			if !want.Missing.None() {
				continue
			}
			measured++
			value, u := got.value(t, want.ID.String())
			// The numbers are written with all their digits; the order of the rows is another.
			if math.Abs(value-want.Value) > 1e-6 || math.Abs(u-want.StdUncertainty) > 1e-6 {
				t.Errorf("%s: %s is %v ± %v, without files %v ± %v", way, want.ID, value, u, want.Value, want.StdUncertainty)
			}
		}
		if measured < 5 {
			t.Errorf("%s: only %d characteristics", way, measured)
		}
	}
}

// withBuiltInGauges takes the readings with the gauges that stand for blank cells.
func withBuiltInGauges(readings []measure.Reading) []measure.Reading {
	gauges := map[string]*measure.Gauge{}
	for _, g := range measure.BuiltInGauges() {
		gauges[g.ID] = &g
	}
	for i := range readings {
		readings[i].Gauge, readings[i].StationGauge = gauges[measure.BlankGauge(readings[i].Feature, readings[i].Kind)], gauges[measure.Rule]
	}
	return readings
}

// blankInfo takes away what kits.csv would have said.
func blankInfo(k *measure.Kit) *measure.Kit {
	k.Info = measure.Info{Kit: k.Name}
	return k
}

// filledWith fills a sheet in with readings of the same places, in the order in which they were taken.
func filledWith(t *testing.T, sheet string, readings []measure.Reading) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(sheet)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	left := map[string][]measure.Reading{}
	for _, r := range readings {
		key := fmt.Sprint(r.Datum, r.Feature, r.Mark, r.Kind)
		left[key] = append(left[key], r)
	}
	for _, row := range rows[1:] {
		key := row[column["datum"]] + " " + row[column["feature"]] + " " + row[column["mark"]] + " " + row[column["kind"]]
		list := left[key]
		if len(list) == 0 {
			t.Fatalf("the sheet asks for %q, which nobody reads", key)
		}
		left[key] = list[1:]
		r := list[0]
		fill := func(name string, x float64, has bool) {
			row[column[name]] = ""
			if has {
				row[column[name]] = fmt.Sprint(x)
			}
		}
		fill("station", r.Station, r.HasStation)
		fill("offset", r.Offset, r.HasOffset)
		_, _, size, _ := r.Feature.Needs(r.Kind)
		fill("size", r.Size, size != measure.Unused)
		if row[column["by"]] = r.By; r.Trial > 0 {
			row[column["trial"]] = fmt.Sprint(r.Trial)
		}
	}
	return rows
}

// inSemicolons writes rows as a spreadsheet does that knows decimal commas.
func inSemicolons(t *testing.T, rows [][]string) string {
	t.Helper()
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	w.Comma, w.UseCRLF = ';', true
	for _, row := range rows {
		for i, cell := range row {
			if rows[0][i] == "station" || rows[0][i] == "offset" || rows[0][i] == "size" {
				row[i] = strings.Replace(cell, ".", ",", 1)
			}
		}
	}
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	return text.String()
}

// appendTo replaces the header of a table that start wrote, and leaves its comments.
func appendTo(t *testing.T, file, text string) {
	t.Helper()
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	comments := ""
	for line := range strings.Lines(string(old)) {
		if strings.HasPrefix(line, "#") {
			comments += line
		}
	}
	writeFile(t, file, comments+text)
}
