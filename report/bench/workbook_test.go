package bench_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/bench"
)

// book makes a workbook in a folder of its own: the readings and kits as their headers alone, and a sheet of
// somebody's own with a formula, a format and a wide column.
func book(t *testing.T) (dir, file string) {
	t.Helper()
	dir = t.TempDir()
	file = filepath.Join(dir, "delivery.xlsx")
	f := excelize.NewFile()
	defer f.Close()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	_, failed := f.NewSheet("kits")
	_, other := f.NewSheet("My own")
	columns := func(name string) *[]string { c := measure.Columns(name); return &c }
	err = errors.Join(err, failed, other, f.SetSheetName("Sheet1", "Readings"),
		f.SetSheetRow("Readings", "A1", &[]string{"# what I read on Tuesday"}), f.SetSheetRow("Readings", "A3", columns("readings.csv")), f.SetSheetRow("kits", "A1", columns("kits.csv")),
		f.SetCellValue("My own", "B2", 21), f.SetCellFormula("My own", "B3", "B2*2"), f.SetCellStyle("My own", "B2", "B2", bold), f.SetColWidth("My own", "B", "B", 31),
		f.SaveAs(file))
	if err != nil {
		t.Fatal(err)
	}
	return dir, file
}

// cellsOf is a sheet of a workbook as a spreadsheet shows it.
func cellsOf(t *testing.T, file, sheet string) [][]string {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// The example typed into a workbook gives what it gives typed into a folder; half a row stands as a note, a
// repeat beside its first, and what is somebody's own stays.
func TestWorkbookIsTheTruth(t *testing.T) {
	dir, file := book(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil || f.File() != file {
		t.Fatal(err, f.File())
	}
	if err := f.NewKit("WE-1", "quick", counts, true); err != nil {
		t.Fatal(err)
	}
	if kits := cellsOf(t, file, "kits"); len(kits) != 2 || kits[1][0] != "WE-1" || kits[1][3] != "left" {
		t.Errorf("%q", kits)
	}
	plain, err := bench.OpenFolder(emptyFolder(t), options)
	if err == nil {
		err = plain.NewKit("WE-1", "quick", counts, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range [][3]string{
		{"heel, width", "station", "478"}, {"heel, width", "size", "63.52"}, {"heel, width", "station", "543"}, {"heel, width", "size", "63.48"},
		{"pocket, width", "station", "478"}, {"pocket, width", "size", "63.96"}, {"pocket, width", "station", "543"}, {"pocket, width", "size", "64.28"},
		{"bridge screw 5, from the bass", "station", "806"}, {"bridge screw 5, from the bass", "offset", "12.40"},
		{"bridge screw 1, from the bass", "station", "806"}, {"bridge screw 1, from the bass", "offset", "64.46"},
		{"bridge screw 5, from the treble", "station", "804"}, {"bridge screw 5, from the treble", "offset", "62.07"},
		{"bridge screw 1, from the treble", "station", "804"}, {"bridge screw 1, from the treble", "offset", "10.00"},
	} {
		for _, f := range []*bench.Folder{f, plain} {
			if err := enter(t, f, "WE-1", n[0], n[1], n[2]); err != nil {
				t.Fatal(n, err)
			}
		}
		if rows := cellsOf(t, file, "Readings"); i == 0 && (rows[3][0] != "# half read: WE-1" || rows[3][6] != "478" || rows[0][0] != "# what I read on Tuesday") {
			t.Errorf("%q", rows[:4])
		} else if i == 1 && (rows[3][0] != "WE-1" || rows[3][8] != "63.52") {
			t.Errorf("%q", rows[:4])
		}
	}
	inBook, inFolder := judged(t, file), judged(t, filepath.Dir(plain.File()))
	for _, id := range []fit.ID{fit.CentreLineError, fit.PocketGapMouth, fit.PocketGapEnd} {
		if a, b := inBook.Find(id), inFolder.Find(id); a == nil || a.Value != b.Value || a.StdUncertainty != b.StdUncertainty {
			t.Errorf("%s: %+v in the workbook, %+v", id, a, b)
		}
	}
	s, err := f.State("WE-1")
	if err != nil || s.Foreign != 0 || s.Kit.Verdict != "fail" {
		t.Fatalf("%+v, %v", s, err)
	}
	before := cellsOf(t, file, "Readings")
	if err := f.Repeat(s.Kit.Rows[1].Row, s.Kit.Rows[1].Was); err != nil {
		t.Fatal(err)
	}
	again := slices.IndexFunc(cellsOf(t, file, "Readings"), func(row []string) bool { return len(row) > 12 && row[12] == "4" })
	if rows := cellsOf(t, file, "Readings"); again < 5 || len(rows) != len(before)+1 || rows[again][6] != "" || rows[again][2] != "heel" || !slices.Equal(rows[again+1], before[again]) || !slices.Equal(rows[again-1], before[again-1]) {
		t.Errorf("%d, %q", again, rows)
	}
	// Taken back, the row that moved in the meantime is as it was.
	if err := f.Undo(); err != nil {
		t.Fatal(err)
	}
	last := slices.IndexFunc(cellsOf(t, file, "Readings"), func(row []string) bool { return row != nil && row[0] == "# half read: WE-1" })
	if rows := cellsOf(t, file, "Readings"); last <= again || rows[last][3] != "1" || rows[last][6] != "804" || rows[last][7] != "" {
		t.Errorf("%d, %q", last, rows)
	}
	own, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer own.Close()
	value, err1 := own.GetCellValue("My own", "B2")
	formula, err2 := own.GetCellFormula("My own", "B3")
	style, err3 := own.GetCellStyle("My own", "B2")
	wide, err4 := own.GetColWidth("My own", "B")
	if value != "21" || formula != "B2*2" || style == 0 || wide != 31 || errors.Join(err1, err2, err3, err4) != nil {
		t.Errorf("%q %q %d %v, %v %v %v %v", value, formula, style, wide, err1, err2, err3, err4)
	}
}

// What a spreadsheet saved meanwhile is shown, and an entry into what it changed is refused.
func TestWorkbookChangedMeanwhile(t *testing.T) {
	dir, file := book(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("A", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	s, err := f.State("A")
	if err != nil {
		t.Fatal(err)
	}
	heel, pocket := s.Kit.Rows[0], s.Kit.Rows[2]
	x, err := excelize.OpenFile(file)
	if err = errors.Join(err, x.SetCellValue("Readings", "G4", 477.5), x.SetCellValue("Readings", "I4", 63.5), x.Save(), x.Close()); err != nil {
		t.Fatal(err)
	}
	theirs := readFile(t, file)
	if err := f.Enter(bench.Entry{Row: heel.Row, Was: heel.Was, Column: "station", Text: "10"}); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("%v", err)
	}
	if !bytes.Equal(readFile(t, file), theirs) {
		t.Error("overwritten")
	}
	if err := f.Enter(bench.Entry{Row: pocket.Row, Was: pocket.Was, Column: "station", Text: "10"}); err != nil {
		t.Error(err)
	}
	if s, err = f.State("A"); err != nil || s.Foreign != 1 || s.Kit.Rows[0].Cells[0].Text != "477.5" || s.Kit.Rows[2].Cells[0].Text != "10" {
		t.Errorf("%v, %+v", err, s.Kit.Rows[0])
	}
	// A formula is told of with its cell, and does not stand for a number.
	x, err = excelize.OpenFile(file)
	if err = errors.Join(err, x.SetCellFormula("Readings", "I6", "60+3"), x.Save(), x.Close()); err != nil {
		t.Fatal(err)
	}
	if s, err = f.State("A"); err != nil || s.Foreign != 2 || len(s.Kit.Faults) != 1 || !strings.Contains(s.Kit.Faults[0], "60+3") || !strings.Contains(s.Kit.Faults[0], "I6") || s.Kit.Rows[2].Done {
		t.Errorf("%v, %q", err, s.Kit.Faults)
	}
	if err := f.Enter(bench.Entry{Row: s.Kit.Rows[2].Row, Was: s.Kit.Rows[2].Was, Column: "size", Text: "63.9"}); err != nil {
		t.Error(err)
	}
	if s, err = f.State("A"); err != nil || s.Foreign != 2 || len(s.Kit.Faults) != 0 || !s.Kit.Rows[2].Done {
		t.Errorf("%v, %q", err, s.Kit.Faults)
	}
	// A gauge that is written into another sheet is there at once.
	x, err = excelize.OpenFile(file)
	_, failed := x.NewSheet("gauges")
	if err = errors.Join(err, failed, x.SetSheetRow("gauges", "A1", &[]string{"gauge", "resolution", "unit"}), x.SetSheetRow("gauges", "A2", &[]any{"my-rule", 0.5, "mm"}), x.Save(), x.Close()); err != nil {
		t.Fatal(err)
	}
	if s, err = f.State("A"); err != nil || s.Foreign != 3 || !strings.Contains(strings.Join(s.Gauges, " "), "my-rule") {
		t.Errorf("%v, %d, %q", err, s.Foreign, s.Gauges)
	}
}

func readFile(t *testing.T, file string) []byte {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Two workbooks in a folder, or one that spreadsheets put beside an open one, are not guessed at; a readings.csv
// goes before.
func TestWhichWorkbook(t *testing.T) {
	dir, file := book(t)
	write(t, filepath.Join(dir, "~$delivery.xlsx"), "open")
	if got := bench.Workbook(dir); got != file {
		t.Errorf("%q", got)
	}
	if f, err := bench.OpenFolder(file, options); err != nil || f.File() != file {
		t.Errorf("%v", err)
	}
	write(t, filepath.Join(dir, "another.XLSX"), "no workbook")
	if got := bench.Workbook(dir); got != "" {
		t.Errorf("%q", got)
	}
	if _, err := bench.OpenFolder(filepath.Join(dir, "another.XLSX"), options); err == nil || !strings.Contains(err.Error(), "is no workbook") {
		t.Errorf("%v", err)
	}
	write(t, filepath.Join(dir, "readings.csv"), "kit,datum\n")
	if got := bench.Workbook(dir); got != "" {
		t.Errorf("%q", got)
	}
}
