// Package workbook reads and writes the tables of a batch as the sheets of a spreadsheet's own file
// (.xlsx). A sheet becomes the text that the same cells would make in a file, one line a row, so that
// whoever reads that text finds every mistake in the cell in which it stands.
package workbook

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"
)

// How large a workbook may be, unpacked: some 300,000 filled cells, far more than a delivery has. A file
// that packs more than a hundred times as small is no honest one.
const (
	maxUnpacked = 200 << 20
	maxPacking  = 100
	small       = 1 << 20 // below which nothing is asked
)

// Sheet is one sheet as text: cells parted by tabs, quoted where that is needed.
type Sheet struct {
	Title    string // as the workbook has it
	Text     []byte
	Mistakes []Mistake
}

// Mistake is a cell that no text can stand for.
type Mistake struct {
	Column, Row    int // from 0, and from 1
	What, Expected string
}

// Magic is how a workbook begins, as every zip file.
const Magic = "PK\x03\x04"

// Is tells whether a name is that of a workbook.
func Is(file string) bool { return strings.HasSuffix(strings.ToLower(file), ".xlsx") }

// Read reads the sheets that have one of the names, in any case and with or without .csv; the first of the
// names is that of the only sheet too, whatever that is called. An error wraps that of package os, or
// says why the file is no workbook to be read.
func Read(file string, names []string) (map[string]*Sheet, error) {
	in, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return nil, err
	}
	return Parse(file, in, info.Size(), names)
}

// Parse reads as Read does, from what is open or in memory already.
func Parse(file string, in io.ReaderAt, size int64, names []string) (map[string]*Sheet, error) {
	if err := weigh(file, in, size); err != nil {
		return nil, err
	}
	f, err := open(io.NewSectionReader(in, 0, size))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a workbook: %w", file, err)
	}
	defer f.Close()
	sheets := map[string]*Sheet{}
	all := f.GetSheetList()
	for _, sheet := range all {
		for i, name := range names {
			plain := strings.TrimSpace(strings.ToLower(sheet))
			if plain != name && plain+".csv" != name && !(len(all) == 1 && i == 0) {
				continue
			}
			if sheets[name], err = read(f, sheet); err != nil {
				return nil, fmt.Errorf("%s, sheet %q: %w", file, sheet, err)
			}
			sheets[name].Title = sheet
			break
		}
	}
	if sheets[names[0]] == nil {
		return nil, fmt.Errorf("%s has no sheet called %s; it has %s", file, strings.TrimSuffix(names[0], ".csv"), strings.Join(all, ", "))
	}
	return sheets, nil
}

func open(in io.Reader) (*excelize.File, error) {
	return excelize.OpenReader(in, excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: 16 << 20})
}

// weigh refuses a file that would not fit into the memory.
func weigh(file string, in io.ReaderAt, size int64) error {
	z, err := zip.NewReader(in, size)
	if errors.Is(err, zip.ErrFormat) {
		return fmt.Errorf("%s is no workbook of the sort .xlsx, or it is locked by a password: save it as .xlsx without one, or as CSV", file)
	}
	if err != nil {
		return err
	}
	var unpacked uint64
	for _, part := range z.File {
		unpacked += part.UncompressedSize64
	}
	if unpacked > maxUnpacked || unpacked > small && unpacked > maxPacking*uint64(size) {
		return fmt.Errorf("%s unpacks to %d MB from %d kB, more than a workbook of readings has: save its tables as CSV", file, unpacked>>20, size>>10)
	}
	return nil
}

// read makes text of a sheet.
func read(f *excelize.File, sheet string) (*Sheet, error) {
	rows, err := f.Rows(sheet)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := &Sheet{}
	dates := map[int]bool{}
	var signs signs
	for row := 1; rows.Next(); row++ {
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return nil, err
		}
		// A row that begins with # is a comment if nothing else is in it or a space follows; #5 is a name.
		comment := len(cells) > 0 && strings.HasPrefix(cells[0], "# ") || strings.TrimSpace(strings.Join(cells[min(1, len(cells)):], "")) == ""
		for column, text := range cells {
			if column > 0 {
				out.Text = append(out.Text, '\t')
			}
			name, err := excelize.CoordinatesToCellName(column+1, row)
			if err != nil {
				return nil, err
			}
			if text, err = cell(f, sheet, name, text, dates); err != nil {
				return nil, err
			}
			if decimal.MatchString(text) {
				kind, err := f.GetCellType(sheet, name)
				if err != nil {
					return nil, err
				}
				signs.note(text, kind == excelize.CellTypeSharedString || kind == excelize.CellTypeInlineString, len(out.Text))
			}
			if formula, err := f.GetCellFormula(sheet, name); err == nil && formula != "" {
				out.Mistakes = append(out.Mistakes, Mistake{column, row, "there is a formula, " + formula, "the number itself: copy the cell and paste its value only"})
				text = ""
			}
			if strings.ContainsAny(text, "\t\n\r\"") || strings.HasPrefix(text, "#") && column == 0 && !comment {
				text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
			}
			out.Text = append(out.Text, text...)
		}
		out.Text = append(out.Text, '\n')
	}
	signs.agree(out.Text)
	return out, rows.Error()
}

// decimal is a number with a decimal sign.
var decimal = regexp.MustCompile(`^[+-]?[0-9]+[.,][0-9]+$`)

// signs are the decimal signs of a sheet. Numbers stored as such have none: theirs is a point only because the
// file has it so, whatever the spreadsheet shows.
type signs struct {
	stored        []int // where the points of such numbers stand
	points, comma bool  // those that somebody typed into cells of text
}

func (s *signs) note(number string, typed bool, at int) {
	switch i := strings.IndexAny(number, ".,"); {
	case !typed:
		s.stored = append(s.stored, at+i)
	case number[i] == '.':
		s.points = true
	default:
		s.comma = true
	}
}

// agree gives stored numbers the comma where all that was typed has it.
func (s *signs) agree(text []byte) {
	if !s.comma || s.points {
		return
	}
	for _, at := range s.stored {
		text[at] = ','
	}
}

// cell gives the text of a cell: numbers as they are stored, to the last digit, and a date as a date, for
// the number behind it is not what anybody read.
func cell(f *excelize.File, sheet, name, text string, dates map[int]bool) (string, error) {
	if text == "" {
		return "", nil
	}
	style, err := f.GetCellStyle(sheet, name)
	if err != nil || style == 0 {
		return text, err
	}
	isDate, known := dates[style]
	if !known {
		format, err := f.GetStyle(style)
		if err != nil {
			return "", err
		}
		isDate = dateFormat(format)
		dates[style] = isDate
	}
	if kind, err := f.GetCellType(sheet, name); !isDate || err != nil || kind == excelize.CellTypeSharedString || kind == excelize.CellTypeInlineString {
		return text, err
	}
	shown, err := f.GetCellValue(sheet, name)
	var serial float64
	if _, failed := fmt.Sscanf(text, "%g", &serial); failed != nil {
		return shown, err
	}
	day, err := excelize.ExcelDateToTime(serial, false)
	return day.Format("2006-01-02"), err
}

// dateSigns are what a format has that shows days, months or years, and none of those in quotes or
// brackets.
var (
	dateSigns = regexp.MustCompile(`(?i)[dy]|m{2,}|m/|/m`)
	noSigns   = regexp.MustCompile(`"[^"]*"|\[[^\]]*\]|\\.`)
)

// dateFormat tells whether a cell's format shows dates or times of day. Formats 14 to 22 and 45 to 47 are
// those of ECMA-376, part 1, section 18.8.30; 27 to 36 and 50 to 58 are dates in East Asian versions.
func dateFormat(s *excelize.Style) bool {
	if s.CustomNumFmt != nil {
		return dateSigns.MatchString(noSigns.ReplaceAllString(*s.CustomNumFmt, ""))
	}
	n := s.NumFmt
	return n >= 14 && n <= 22 || n >= 27 && n <= 36 || n >= 45 && n <= 47 || n >= 50 && n <= 58
}
