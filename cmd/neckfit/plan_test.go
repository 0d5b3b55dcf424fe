package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// reference is the instrument that the simulation measures.
func reference() (simulate.Instrument, instrument) {
	in := simulate.ShortScaleBass()
	return in, instrument{strings: in.Strings, frets: in.Frets, neckScrews: len(in.NeckScrews), bridgeScrews: len(in.BridgeScrews)}
}

// A sheet asks for exactly the readings that the simulated practitioner takes, from which all that
// a way of working can give is known.
func TestSheetIsWhatIsRead(t *testing.T) {
	in, counts := reference()
	for way, read := range map[string]func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{
		"loose": simulate.LooseParts, "dry": simulate.DryFit, "edge": simulate.EdgeCheck,
	} {
		setup := simulate.DefaultSetup()
		setup.Heights = true
		var want, got []string
		for _, r := range read(in, rand.New(rand.NewPCG(7, 7)), setup) {
			want = append(want, fmt.Sprintln(r.Datum, r.Feature, r.Mark, r.Kind))
		}
		for _, k := range planFor(way, counts) {
			got = append(got, fmt.Sprintln(k.datum, k.feature, k.mark, k.kind))
		}
		slices.Sort(want)
		slices.Sort(got)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (- read, + on the sheet):\n%s", way, diff)
		}
	}
}

// With every cell that a row's note names filled in, a sheet is a readings.csv without a mistake,
// whatever the instrument has.
func TestSheetFilledIn(t *testing.T) {
	for _, way := range wayNames {
		for _, in := range []instrument{{4, 20, 4, 5}, {6, 22, 3, 6}, {1, 12, 0, 0}, {12, 36, 5, 2}} {
			var sheet bytes.Buffer
			p := &program{stdout: &sheet}
			if err := p.sheet(sheetOptions{way: way, kits: []string{"A", "B"}, instrument: in}); err != nil {
				t.Fatal(err)
			}
			kits, readings := filled(t, sheet.String())
			if want := 2 * len(planFor(way, in)); kits != 2 || readings != want {
				t.Errorf("%s %+v: %d kits with %d readings, want 2 with %d", way, in, kits, readings, want)
			}
		}
	}
}

// filled fills a sheet in with numbers that are all different, and counts what measure reads.
func filled(t *testing.T, sheet string) (kits, readings int) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(sheet)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows[1:] {
		for j, name := range rows[0] {
			if _, cells, _ := strings.Cut(row[len(row)-1], "fill in "); slices.Contains(strings.Fields(cells), name) {
				row[j] = fmt.Sprint(10 + i)
			}
		}
	}
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	batch, err := measure.Open("-", measure.Options{Stdin: &text})
	if err != nil {
		t.Fatal(err)
	}
	err = batch.Each(func(k *measure.Kit) error {
		kits++
		readings += len(k.Readings)
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if err := batch.Close(); err != nil {
		t.Error(err)
	}
	return kits, readings
}
