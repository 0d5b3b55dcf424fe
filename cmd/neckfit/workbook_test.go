package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"neckfit/measure"
)

// The demo as a workbook gives the same results to the last digit, and results as a workbook are those of
// CSV, cell by cell: check, remedy and lot.
func TestWorkbooks(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ command, batch string }{{"check", "demo"}, {"remedy", "demo"}, {"lot", "lots"}} {
		folder := filepath.Join("..", "..", "testdata", c.batch)
		want := produced(t, c.command, folder, "--format", "csv")
		book := filepath.Join(dir, c.command+".xlsx")
		bookOf(t, folder, book)
		got := places.ReplaceAllString(produced(t, c.command, book, "--format", "csv"), "")
		if diff := cmp.Diff(places.ReplaceAllString(want, ""), got); diff != "" {
			t.Errorf("%s of the workbook: %s", c.command, diff)
		}
		results := filepath.Join(dir, c.command+"-results.xlsx")
		produced(t, c.command, folder, "--out", results)
		sheet := sheetOf(t, results, c.command)
		table, err := csv.NewReader(strings.NewReader(want)).ReadAll()
		if err != nil || len(table) != len(sheet) {
			t.Fatal(c.command, len(table), len(sheet), err)
		}
		for i, cells := range table {
			for j, cell := range cells {
				got := ""
				if j < len(sheet[i]) {
					got = sheet[i][j]
				}
				x, err := strconv.ParseFloat(cell, 64)
				y, err2 := strconv.ParseFloat(got, 64)
				if got != cell && !(err == nil && err2 == nil && near(x, y)) && got != strings.TrimPrefix(cell, "'") {
					t.Errorf("%s, row %d, column %d: %q, in CSV %q", c.command, i+1, j+1, got, cell)
				}
			}
		}
	}
}

// places are files and lines, which are others in a workbook.
var places = regexp.MustCompile(`[^ ,;"]*readings(\.csv|\])(:[0-9]+)?|\blines? [0-9]+((,| or| and) [0-9]+)*`)

// near is for the fifteen digits that a workbook keeps.
func near(x, y float64) bool { return x-y <= 1e-14*max(x, -x) && y-x <= 1e-14*max(x, -x) }

// bookOf puts the tables of a folder into a workbook, numbers as numbers.
func bookOf(t *testing.T, folder, path string) {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for _, name := range measure.Tables() {
		text, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			continue
		}
		in := csv.NewReader(bytes.NewReader(text))
		in.FieldsPerRecord, in.Comment = -1, '#'
		rows, err := in.ReadAll()
		sheet := strings.TrimSuffix(name, ".csv")
		_, failed := f.NewSheet(sheet)
		if err := errors.Join(err, failed); err != nil {
			t.Fatal(err)
		}
		for i, cells := range rows {
			values := make([]any, len(cells))
			for j, cell := range cells {
				values[j] = cell
				if x, err := strconv.ParseFloat(cell, 64); err == nil && rows[0][j] != "kit" && rows[0][j] != "lot" && rows[0][j] != "note" {
					values[j] = x
				}
			}
			if err := f.SetSheetRow(sheet, "A"+strconv.Itoa(i+1), &values); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
}

// sheetOf reads the cells of a sheet as they are stored.
func sheetOf(t *testing.T, path, sheet string) [][]string {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// A sheet written as a workbook, filled in there, is checked as it is.
func TestSheetAsAWorkbook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kit.xlsx")
	produced(t, "sheet", "--way", "quick", "--kit", "A1", "--out", path)
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("readings")
	if err != nil {
		t.Fatal(err)
	}
	filled := 0
	for i, cells := range rows {
		if len(cells) > 5 && cells[1] == "edge-bass" && cells[2] == "bridge-screw" {
			at := strconv.Itoa(i + 1)
			err = errors.Join(err, f.SetCellFloat("readings", "G"+at, 600, -1, 64), f.SetCellStr("readings", "H"+at, "12.40"))
			filled++
		}
	}
	if err := errors.Join(err, f.Save()); err != nil || filled == 0 {
		t.Fatal(filled, err)
	}
	var out, talk bytes.Buffer
	code := run([]string{"check", path}, strings.NewReader(""), &out, &talk)
	if code != notGood || !strings.Contains(talk.String(), "kit.xlsx[readings]:") || !strings.Contains(talk.String(), "rows have no numbers yet") {
		t.Errorf("code %d\n%s%s", code, out.String(), talk.String())
	}
}

// A workbook to start with has every table; a limit becomes one's own when its # is taken away; and a
// workbook that comes by standard input is read as the file is.
func TestStartWithAWorkbook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kit.xlsx")
	produced(t, "start", path, "--kit", "A1")
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, table := range measure.Tables() {
		if rows, err := f.GetRows(strings.TrimSuffix(table, ".csv")); err != nil || len(rows) < 2 {
			t.Errorf("%s: %d rows, %v", table, len(rows), err)
		}
	}
	limits, err := f.GetRows("limits")
	if err != nil {
		t.Fatal(err)
	}
	for i, cells := range limits {
		if cells[0] == "# centre-line-error" {
			at := strconv.Itoa(i + 1)
			err = errors.Join(err, f.SetCellStr("limits", "A"+at, "centre-line-error"), f.SetCellStr("limits", "C"+at, "3,5"))
		}
	}
	readings, failed := f.GetRows("readings")
	for i, cells := range readings {
		if len(cells) > 5 && cells[2] == "bridge-screw" {
			at := strconv.Itoa(i + 1)
			err = errors.Join(err, f.SetCellFloat("readings", "G"+at, 806, -1, 64), f.SetCellStr("readings", "H"+at, map[string]string{"edge-bass 5": "12,40", "edge-bass 1": "64,46", "edge-treble 5": "62,07", "edge-treble 1": "10,00"}[cells[1]+" "+cells[3]]))
		}
	}
	if err := errors.Join(err, failed, f.Save()); err != nil {
		t.Fatal(err)
	}
	want := produced(t, "check", path, "--format", "jsonl")
	if !strings.Contains(want, `"upper":3.5`) {
		t.Errorf("the limit is not the workbook's: %s", want)
	}
	book, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	var out, talk bytes.Buffer
	if code := run([]string{"check", "-", "--format", "jsonl"}, book, &out, &talk); code != notGood || strings.ReplaceAll(out.String(), "stdin", path) != want {
		t.Errorf("code %d\n%s\n%s", code, out.String(), talk.String())
	}
	talk.Reset()
	if code := run([]string{"start", path}, strings.NewReader(""), &out, &talk); code != wrongUse {
		t.Errorf("code %d for a workbook that is there", code)
	}
}
