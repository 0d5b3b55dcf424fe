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
	"neckfit/report/sheet"
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
		if readings[i].Datum == measure.DatumBridge && readings[i].Kind != measure.Height { // the sheet says so
			readings[i].StationGauge = gauges[measure.Calliper]
		}
	}
	return readings
}

// blankInfo takes away what kits.csv would have said.
func blankInfo(k *measure.Kit) *measure.Kit {
	k.Info = measure.Info{Kit: k.Name}
	return k
}

// filledWith fills a sheet in with readings of the same places, in the order in which they were taken, and leaves
// blank what is to be read once more.
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
		if trial := row[column["trial"]]; trial > "1" {
			continue
		}
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

// The quick sheet, filled in with what plane geometry says of a neck and a bridge that are laid down here
// by hand, gives back what was laid down. The board's edges are two straight lines that part toward the
// body; the zero of each straightedge is where the nut meets the edge.
func TestQuickSheetTellsWhatWasLaidDown(t *testing.T) {
	const (
		scale, off               = 762.0, 0.7 // mm; the bridge's middle lies so far toward treble
		halfNut, perMM           = 20.0, 0.016
		bridgeAt, halfRow        = 790.0, 26.0
		heel, gapMouth, gapEnd   = 63.5, 0.30, 0.20
		mouthStation, endStation = 470.0, 520.0
	)
	// An edge goes from (0, halfNut) by (1, perMM), mirrored for the other; its inward normal turns from there.
	length := math.Hypot(1, perMM)
	seen := func(side, x, y float64) (station, offset float64) { // side 1: the bass edge, at negative y
		y = -side * y
		dx, dy := x, y-halfNut
		return (dx + dy*perMM) / length, (dx*perMM - dy) / length
	}
	dir := t.TempDir()
	kitsText := "kit,scale,aim\nQ,762," + strings.Join(sheet.Aim("quick"), " ") + "\n"
	rows, err := csv.NewReader(strings.NewReader(produced(t, "sheet", "--kit", "Q"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	widths := map[string][2]float64{"heel": {heel, heel}, "pocket": {heel + gapMouth, heel + gapEnd}}
	lastFret := scale * (1 - math.Pow(2, -20./12))
	for _, row := range rows[1:] {
		cell := func(name string) string { return row[column[name]] }
		set := func(name string, x float64) { row[column[name]] = fmt.Sprintf("%.4f", x) }
		side := map[string]float64{"edge-bass": 1, "edge-treble": -1}[cell("datum")]
		switch feature := cell("feature"); feature {
		case "heel", "pocket":
			set("size", widths[feature][0])
			set("station", mouthStation)
			if strings.Contains(cell("note"), "near the pocket's end") {
				set("size", widths[feature][1])
				set("station", endStation)
			}
		case "nut":
			set("station", 0)
		case "fret":
			set("station", lastFret*length) // where a line square to the centre line meets the edge
		case "bridge-screw":
			y := off + halfRow
			if cell("mark") != "1" { // the last is the bass-most
				y = off - halfRow
			}
			station, offset := seen(side, bridgeAt, y)
			set("station", station)
			set("offset", offset)
		default:
			t.Fatalf("the sheet asks for %s", feature)
		}
	}
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(dir, "readings.csv"), text.String())
	writeFile(t, filepath.Join(dir, "kits.csv"), kitsText)
	var got checked
	if err := json.Unmarshal([]byte(produced(t, "check", dir, "--format", "jsonl")), &got); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{
		"centre-line-error": off, "bridge-skew": 0, "scale-length": scale, "pocket-gap-mouth": gapMouth, "pocket-gap-end": gapEnd,
	} {
		value, _ := got.value(t, name)
		// Four decimals were written; a scale from one fret doubles them.
		if math.Abs(value-want) > 0.005 {
			t.Errorf("%s is %.4f, laid down were %.4f", name, value, want)
		}
	}
}
