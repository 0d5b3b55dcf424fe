package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit/simulate"
	"neckfit/measure"
	"neckfit/report/sheet"
)

// reference is the instrument that the simulation measures.
func reference() (simulate.Instrument, sheet.Instrument) {
	in := simulate.ShortScaleBass()
	in.BridgeScrews = []simulate.Point{{Station: 4, Offset: 38}, {Station: 31, Offset: 26}, {Station: 31}, {Station: 31, Offset: -26}, {Station: 4, Offset: -38}} // 1 is the treble-most
	in.Pickup, in.PickupSpread, in.Joint = &simulate.Point{Station: 90}, 54, &simulate.Pose{}
	in.FerruleErrors = map[int]simulate.Point{1: {}, 2: {}, 3: {}, 4: {}}
	return in, sheet.Instrument{Strings: in.Strings, Frets: in.Frets, NeckScrews: len(in.NeckScrews), BridgeScrews: len(in.BridgeScrews)}
}

// A sheet asks for exactly the readings that the simulated practitioner takes, from which all that
// a way of working can give is known.
func TestSheetIsWhatIsRead(t *testing.T) {
	in, counts := reference()
	for way, read := range map[string]func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{
		"loose": simulate.LooseParts, "dry": simulate.DryFit, "edge": simulate.EdgeCheck, "quick": simulate.QuickCheck,
	} {
		setup := simulate.DefaultSetup()
		setup.Heights = true
		var want, got []string
		for _, r := range read(in, rand.New(rand.NewPCG(7, 7)), setup) {
			want = append(want, fmt.Sprintln(r.Datum, r.Feature, r.Mark, r.Kind))
		}
		for _, k := range sheet.Plan(way, counts) {
			if k.Trial > 1 {
				continue
			}
			got = append(got, fmt.Sprintln(k.Datum, k.Feature, k.Mark, k.Kind))
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
	for _, way := range sheet.Ways() {
		for _, in := range []sheet.Instrument{{Strings: 4, Frets: 20, NeckScrews: 4, BridgeScrews: 5}, {Strings: 6, Frets: 22, NeckScrews: 3, BridgeScrews: 6}, {Strings: 1, Frets: 12, NeckScrews: 0, BridgeScrews: 0}, {Strings: 12, Frets: 36, NeckScrews: 5, BridgeScrews: 2}} {
			var text bytes.Buffer
			p := &program{ctx: t.Context(), stdout: &text, stderr: io.Discard}
			if err := (&sheetOptions{way: way, kits: []string{"A", "B"}, Instrument: in}).run(p); err != nil {
				t.Fatal(err)
			}
			kits, readings := filled(t, text.String())
			if want := 2 * len(sheet.Plan(way, in)); kits != 2 || readings != want {
				t.Errorf("%s %+v: %d kits with %d readings, want 2 with %d", way, in, kits, readings, want)
			}
		}
	}
}

// filled fills a sheet in and counts what measure reads.
func filled(t *testing.T, sheet string) (kits, readings int) {
	t.Helper()
	eachFilled(t, sheet, func(k *measure.Kit) {
		kits++
		readings += len(k.Readings)
	})
	return kits, readings
}

// nameOfFilled is the name of the one kit of a sheet.
func nameOfFilled(t *testing.T, sheet string) (name string) {
	t.Helper()
	eachFilled(t, sheet, func(k *measure.Kit) { name = k.Name })
	return name
}

// eachFilled fills a sheet in with numbers that are all different, and reads it.
func eachFilled(t *testing.T, sheet string, each func(*measure.Kit)) {
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
	kits, err := batch.All(t.Context())
	if err != nil {
		t.Error(err)
	}
	for _, k := range kits {
		each(k)
	}
	if err := batch.Close(); err != nil {
		t.Error(err)
	}
}

// A sheet of a name that check would refuse, or a spreadsheet reckon out, is not written. All other
// names come back as they were.
func TestNamesOnASheet(t *testing.T) {
	for _, name := range append(hostileNames, "", " ", "#1", "two\nlines", "esc\x1b[2J", "bad \xff", "plain", "comma, \"quote\"; semicolon") {
		var sheet, talk bytes.Buffer
		code := run([]string{"sheet", "--kit", name}, strings.NewReader(""), &sheet, &talk)
		bare := strings.TrimSpace(name)
		if bare == "" || strings.Contains("=+-@#", bare[:1]) || strings.ContainsAny(name, "\n\x1b") || !utf8.ValidString(name) {
			if code != wrongUse || sheet.Len() > 0 || !strings.Contains(talk.String(), "--kit is ") {
				t.Errorf("%q: code %d, %d bytes, %q", name, code, sheet.Len(), talk.String())
			}
			continue
		}
		if code != allPass {
			t.Errorf("%q: code %d, %s", name, code, talk.String())
			continue
		}
		if kit := nameOfFilled(t, sheet.String()); kit != measure.Canonical(bare) {
			t.Errorf("%q became %q", bare, kit)
		}
	}
	if code := run([]string{"sheet", "--kit", "A", "--kit", " A"}, strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer)); code != wrongUse {
		t.Errorf("a kit twice: code %d", code)
	}
}
