package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

var names = []string{"readings.csv", "gauges.csv"}

// made saves a workbook that a function fills in.
func made(t *testing.T, fill func(f *excelize.File) error) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	path := filepath.Join(t.TempDir(), "batch.XLSX")
	if err := errors.Join(fill(f), f.SaveAs(path)); err != nil {
		t.Fatal(err)
	}
	return path
}

// cells reads a sheet's text as a table.
func cells(t *testing.T, s *Sheet) [][]string {
	t.Helper()
	in := csv.NewReader(bytes.NewReader(s.Text))
	in.Comma, in.FieldsPerRecord = '\t', -1
	all, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Texts, numbers to fifteen digits, lines within a cell, quotes and tabs come back as they were; a number
// is what is stored, however few digits of it are shown.
func TestReadWhatWasWritten(t *testing.T) {
	table := [][]string{
		{"kit", "note", "size"}, {"A", "two\nlines, a \"quote\"\tand a tab", "12.5"}, {"007", "=1+1", "0.1"}, {"12", "Höhe ½", "55.625"},
		{"1e5", "-x", "0.00001234"}, {"#5", "x", "2 3/16"}, {"B", "12,5", "1.50"}, {"C", "-0.123456789012345", "-7"},
	}
	path := filepath.Join(t.TempDir(), "one.xlsx")
	var out bytes.Buffer
	err := Write(&out, Table{"any name", func(yield func([]string, error) bool) {
		for _, row := range table {
			if !yield(row, nil) {
				return
			}
		}
	}})
	if err := errors.Join(err, os.WriteFile(path, out.Bytes(), 0o600)); err != nil {
		t.Fatal(err)
	}
	sheets, err := Read(path, names)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(table, cells(t, sheets["readings.csv"])); diff != "" || len(sheets["readings.csv"].Mistakes) > 0 {
		t.Error(diff, sheets["readings.csv"].Mistakes)
	}
	if text := string(sheets["readings.csv"].Text); !strings.Contains(text, "\n\"#5\"\t") {
		t.Error("the kit #5 became a comment")
	}
	// What looks like a number is one in the spreadsheet, what looks like a formula is none.
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for cell, want := range map[string]bool{"C2": true, "A3": false, "B3": false, "A4": true, "C4": true, "A5": false, "C6": false, "C7": false, "C8": true} {
		kind, err := f.GetCellType("any name", cell)
		if text := kind == excelize.CellTypeInlineString || kind == excelize.CellTypeSharedString; err != nil || text == want {
			t.Errorf("%s: type %v, %v", cell, kind, err)
		}
		if formula, _ := f.GetCellFormula("any name", cell); formula != "" {
			t.Errorf("%s is the formula %s", cell, formula)
		}
	}
}

// A number whose format shows less of it is taken whole; a date is called one; a formula is refused, with
// its cell; sheets are found by their names.
func TestCellsOfASpreadsheet(t *testing.T) {
	custom := "dd/mm/yyyy"
	metres := `0.00" mm day"`
	path := made(t, func(f *excelize.File) error {
		_, failed := f.NewSheet(" Readings ")
		_, other := f.NewSheet("gauges.csv")
		shown, err := f.NewStyle(&excelize.Style{NumFmt: 1})
		day, err2 := f.NewStyle(&excelize.Style{NumFmt: 14})
		own, err3 := f.NewStyle(&excelize.Style{CustomNumFmt: &custom})
		length, err4 := f.NewStyle(&excelize.Style{CustomNumFmt: &metres})
		return errors.Join(failed, other, err, err2, err3, err4,
			f.SetSheetRow(" Readings ", "A1", &[]any{"kit", "station", "size"}),
			f.SetSheetRow(" Readings ", "A3", &[]any{"A", 55.6, 12.345}), f.SetCellStyle(" Readings ", "C3", "C3", shown),
			f.SetSheetRow(" Readings ", "A4", &[]any{"A", time.Date(2026, 3, 16, 0, 0, 0, 0, time.UTC), 46097}), f.SetCellStyle(" Readings ", "B4", "B4", day), f.SetCellStyle(" Readings ", "C4", "C4", own),
			f.SetSheetRow(" Readings ", "A5", &[]any{"A", "55.6", 7.25}), f.SetCellFormula(" Readings ", "B5", "B3+1"), f.SetCellStyle(" Readings ", "C5", "C5", length),
			f.SetCellStr("gauges.csv", "A3", "# mine"), f.SetSheetRow("gauges.csv", "A1", &[]any{"gauge", "resolution"}), f.SetCellStr("gauges.csv", "B2", "0.01"),
		)
	})
	sheets, err := Read(path, names)
	if err != nil || len(sheets) != 2 {
		t.Fatal(sheets, err)
	}
	want := "kit\tstation\tsize\n\nA\t55.6\t12.345\nA\t2026-03-16\t2026-03-16\nA\t\t7.25\n"
	if diff := cmp.Diff(want, string(sheets["readings.csv"].Text)); diff != "" {
		t.Error(diff)
	}
	mistakes := []Mistake{{1, 5, "there is a formula, B3+1", "the number itself: copy the cell and paste its value only"}}
	if diff := cmp.Diff(mistakes, sheets["readings.csv"].Mistakes); diff != "" {
		t.Error(diff)
	}
	if got := string(sheets["gauges.csv"].Text); got != "gauge\tresolution\n\t0.01\n# mine\n" {
		t.Errorf("gauges %q", got)
	}
}

// What is no workbook, or none with readings, or one that would fill the memory, is refused in words.
func TestNoWorkbooks(t *testing.T) {
	dir := t.TempDir()
	file := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	if err != nil {
		t.Fatal(err)
	}
	zeros := make([]byte, 1<<20)
	for range 300 {
		if _, err := w.Write(zeros); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	var empty bytes.Buffer
	if err := zip.NewWriter(&empty).Close(); err != nil {
		t.Fatal(err)
	}
	two := made(t, func(f *excelize.File) error { _, err := f.NewSheet("other"); return err })
	for path, want := range map[string]string{
		file("a.xlsx", []byte("kit,datum\n")):             "is no workbook",
		file("b.xlsx", []byte("\xD0\xCF\x11\xE0 locked")): "locked by a password",
		file("c.xlsx", bomb.Bytes()):                      "unpacks to 300 MB from 2",
		file("d.xlsx", empty.Bytes()):                     "cannot be read as a workbook",
		two:                                               "has no sheet called readings; it has Sheet1, other",
	} {
		if sheets, err := Read(path, names); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, %v, want %q", path, sheets, err, want)
		}
	}
	if _, err := Read(filepath.Join(dir, "none.xlsx"), names); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
	if Is("readings.csv") || !Is("A.XlsX") {
		t.Error("a name is taken for another")
	}
}

func TestTooManyRows(t *testing.T) {
	broken := errors.New("broken")
	if err := Write(&bytes.Buffer{}, Table{"x", func(yield func([]string, error) bool) { yield(nil, broken) }}); err != broken {
		t.Errorf("got %v", err)
	}
}

// The formats of dates and times, and their neighbours that are none.
func TestDateFormats(t *testing.T) {
	for format, want := range map[int]bool{0: false, 1: false, 2: false, 13: false, 14: true, 22: true, 23: false, 26: false, 27: true, 36: true, 37: false, 44: false, 45: true, 47: true, 48: false, 49: false, 50: true, 58: true, 59: false} {
		if got := dateFormat(&excelize.Style{NumFmt: format}); got != want {
			t.Errorf("format %d: %v", format, got)
		}
	}
	for format, want := range map[string]bool{
		"0.00": false, "General": false, "#,##0.00": false, `0.0" mm"`: false, `[Red]0.00`: false, `0.00\d`: false, "0.0E+00": false,
		"yyyy-mm-dd": true, "d/m/yy": true, "mmm": true, "D. MMM": true, "m/d": true,
	} {
		if got := dateFormat(&excelize.Style{CustomNumFmt: &format}); got != want {
			t.Errorf("format %s: %v", format, got)
		}
	}
}

// Numbers that somebody typed with a comma into cells of text stand beside numbers that are stored as such:
// they have one decimal sign then. Where both signs were typed they stay apart, for readers to complain of.
func TestTypedCommas(t *testing.T) {
	for _, c := range []struct{ third, want string }{
		{"55,625", "kit\tsize\tsize\tsize\nA\t12,5\t1,234\t55,625\n"},
		{"55.625", "kit\tsize\tsize\tsize\nA\t12.5\t1,234\t55.625\n"},
		{"A.5", "kit\tsize\tsize\tsize\nA\t12,5\t1,234\tA.5\n"},
	} {
		path := made(t, func(f *excelize.File) error {
			return errors.Join(
				f.SetSheetRow("Sheet1", "A1", &[]any{"kit", "size", "size", "size"}),
				f.SetSheetRow("Sheet1", "A2", &[]any{"A", 12.5, "1,234", c.third}))
		})
		sheets, err := Read(path, names)
		if err != nil {
			t.Fatal(err)
		}
		if got := string(sheets["readings.csv"].Text); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
