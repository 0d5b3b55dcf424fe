package measure

import (
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// asWorkbook puts the tables of a folder into a workbook as a person would: numbers as numbers, a title
// above the readings, a sheet of other things.
func asWorkbook(t *testing.T, dir string) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for _, name := range Tables() {
		in, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			continue
		}
		defer in.Close()
		sheet := strings.TrimSuffix(name, ".csv")
		if _, err := f.NewSheet(sheet); err != nil {
			t.Fatal(err)
		}
		table := csv.NewReader(in)
		table.FieldsPerRecord, table.Comment = -1, '#'
		rows, err := table.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for i, cells := range rows {
			values := make([]any, len(cells))
			for j, text := range cells {
				values[j] = text
				if x, err := strconv.ParseFloat(text, 64); err == nil && rows[0][j] != "kit" && rows[0][j] != "note" {
					values[j] = x
				}
			}
			if err := f.SetSheetRow(sheet, "A"+strconv.Itoa(i+3), &values); err != nil {
				t.Fatal(err)
			}
		}
	}
	path := filepath.Join(t.TempDir(), "batch.xlsx")
	if err := errors.Join(f.SetCellStr("readings", "A1", "# the workshop's"), f.SaveAs(path)); err != nil {
		t.Fatal(err)
	}
	return path
}

// A workbook that comes by standard input is the one that is there as a file, and leaves none behind.
func TestWorkbookByStandardInput(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	path := asWorkbook(t, "../testdata/example")
	in, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var kits [2][]*Kit
	for i, o := range []Options{{}, {Stdin: in}} {
		name := path
		if o.Stdin != nil {
			name = "-"
		}
		o.Characteristics = anyLimit("../testdata/example")
		b, err := Open(name, o)
		if err != nil {
			t.Fatal(err)
		}
		defer b.Close()
		if kits[i], err = b.All(t.Context()); err != nil || len(kits[i]) == 0 {
			t.Fatalf("%s: %d kits, %v", name, len(kits[i]), err)
		}
	}
	for i, k := range kits[0] {
		if piped := kits[1][i]; piped.Name != k.Name || len(piped.Readings) != len(k.Readings) || piped.Readings[0].Station != k.Readings[0].Station || piped.Readings[0].Place.File == k.Readings[0].Place.File {
			t.Errorf("%s: %+v, by standard input %+v", k.Name, k.Readings[0], piped.Readings[0])
		}
	}
	if left, err := os.ReadDir(os.Getenv("TMPDIR")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// A batch as a workbook is the same batch, to the last digit.
func TestWorkbookIsTheSameBatch(t *testing.T) {
	for _, dir := range []string{"../testdata/demo", "../testdata/example", "../testdata/pairs"} {
		read := func(path string) (*Batch, []*Kit) {
			t.Helper()
			b, err := Open(path, Options{Characteristics: anyLimit(dir)})
			if err != nil {
				t.Fatal(err)
			}
			defer b.Close()
			kits, err := b.All(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			return b, kits
		}
		want, wantKits := read(dir)
		got, gotKits := read(asWorkbook(t, dir))
		for _, diff := range []string{
			cmp.Diff(wantKits, gotKits, noPlaces), cmp.Diff(want.Gauges, got.Gauges, noPlaces), cmp.Diff(want.Limits, got.Limits, noPlaces), cmp.Diff(want.Infos, got.Infos, noPlaces),
			cmp.Diff(want.Compensation(), got.Compensation()), cmp.Diff(want.Stock, got.Stock, noPlaces), cmp.Diff(want.Costs, got.Costs, noPlaces),
		} {
			if diff != "" {
				t.Error(dir, diff)
			}
		}
	}
}

// anyLimit knows whatever the limits of a folder name, as lengths.
func anyLimit(dir string) map[string]Dimension {
	known := map[string]Dimension{}
	text, _ := os.ReadFile(filepath.Join(dir, "limits.csv")) // there may be none
	for _, line := range strings.Split(string(text), "\n") {
		name, rest, _ := strings.Cut(line, ",")
		known[name] = Length
		if strings.Contains(rest, "deg") {
			known[name] = Angle
		}
	}
	return known
}

// Mistakes in a workbook are named by sheet and cell, dates and formulas among them.
func TestMistakesInAWorkbook(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	path := filepath.Join(t.TempDir(), "b.xlsx")
	day, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	_, failed := f.NewSheet("kits")
	err = errors.Join(err, failed, f.SetSheetName("Sheet1", "Readings"),
		f.SetSheetRow("Readings", "A1", &[]any{"kit", "datum", "feature", "kind", "station", "size", "note"}),
		f.SetSheetRow("Readings", "A2", &[]any{"A", "body", "pocket", "width", 45000, 63, "two\nlines"}), f.SetCellStyle("Readings", "E2", "E2", day),
		f.SetSheetRow("Readings", "A4", &[]any{"A", "body", "pocket", "width", "x", 63}),
		f.SetSheetRow("Readings", "A5", &[]any{"A", "body", "pocket", "width", 7, 63}), f.SetCellFormula("Readings", "F5", "F4*2"),
		f.SetSheetRow("kits", "A1", &[]any{"kit", "strings"}), f.SetSheetRow("kits", "A2", &[]any{"A", "four"}), f.SaveAs(path))
	if err != nil {
		t.Fatal(err)
	}
	_, err = readAll(t, path, "")
	all, ok := err.(Errors)
	if !ok {
		t.Fatal(err)
	}
	want := []string{
		`b.xlsx[kits]:2:3: strings "four" is no such number, expected how many strings there are, from 1 to 24 (cell B2)`,
		`b.xlsx[readings]:2:21: station "2023-03-15" looks like a date, expected a length in millimetres such as 55.6; a spreadsheet leaves the number alone in a column whose format is text (cell E2)`,
		`b.xlsx[readings]:5:1: there is a formula, F4*2, expected the number itself: copy the cell and paste its value only (cell F5)`,
		`b.xlsx[readings]:5:21: station "x" is not a number, expected a length in millimetres such as 55.6 (cell E4)`,
		`b.xlsx[readings]:6:23: size is blank, but kind width of pocket needs it, expected a length (cell F5)`,
	}
	got := strings.Split(strings.ReplaceAll(strings.Join(all.Grouped(), "\n"), filepath.Dir(path)+"/", ""), "\n")
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
