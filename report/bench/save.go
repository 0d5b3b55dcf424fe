package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"neckfit/measure"
	"neckfit/measure/workbook"
	"neckfit/report/sheet"
)

// errForeign is for a file that another program changed in the moment of writing.
var errForeign = errors.New("another program has changed the readings just now: nothing was overwritten, type the number once more")

// save writes the table in the place of the file that was read. When that is not the file any more,
// it stays, and the table is read anew.
func (f *Folder) save() error {
	text, err := f.table.bytes(), error(nil)
	if f.sheets != nil {
		text, err = f.edited(f.sheets[measure.Tables()[0]], f.table)
	}
	if err == nil {
		err = Replace(f.file, f.text, text)
	}
	switch {
	case errors.Is(err, errForeign):
		f.table = nil // to be read anew
		_, failed := f.refresh()
		return errors.Join(err, failed)
	case err != nil:
		return errors.Join(err, f.load(f.text)) // as it was
	case f.sheets != nil:
		return f.load(text)
	}
	f.text = text
	f.table.number()
	return nil
}

// edited is the workbook with what a table has other than its sheet: the rows that were put in, and the cells
// that were changed.
func (f *Folder) edited(sheet *workbook.Sheet, t *table) ([]byte, error) {
	was := map[int][]string{} // by the line on which it stands in the sheet's text
	for _, l := range parseTable(sheet.Text).lines {
		was[l.at] = l.shown()
	}
	var rows []int
	var cells []workbook.Cell
	for i, l := range t.lines {
		row := i + 1
		if l.at == 0 && i < len(was)+len(rows) {
			rows = append(rows, row)
		}
		now, before := l.shown(), was[l.at]
		for column := range max(len(now), len(before)) {
			at := func(cells []string) string {
				if column < len(cells) {
					return cells[column]
				}
				return ""
			}
			if at(now) != at(before) {
				cells = append(cells, workbook.Cell{Column: column, Row: row, Text: at(now)})
			}
		}
	}
	return workbook.Edit(f.text, sheet.Title, rows, cells)
}

// Replace writes a file beside another and renames it, if the other still holds the text expected.
// Whoever reads finds the one or the other, whole, also after a crash.
func Replace(name string, expected, text []byte) (err error) {
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	fresh, err := os.CreateTemp(filepath.Dir(name), ".neckfit-*.tmp")
	if err != nil {
		return err
	}
	defer func() {
		if removed := os.Remove(fresh.Name()); removed != nil && !errors.Is(removed, fs.ErrNotExist) {
			err = errors.Join(err, removed)
		}
	}()
	_, err = fresh.Write(text)
	err = errors.Join(err, fresh.Chmod(info.Mode().Perm()), fresh.Sync(), fresh.Close())
	if err != nil {
		return err
	}
	if now, err := os.ReadFile(name); err != nil || !bytes.Equal(now, expected) {
		return errors.Join(errForeign, err)
	}
	return exchange(fresh.Name(), name, expected)
}

// describe writes into kits.csv what is known of a new kit, if the table is there and has columns for
// it. A kit that stands there already is left alone.
func (f *Folder) describe(name, way string, in sheet.Instrument, leftHanded bool) error {
	const kits = "kits.csv"
	file, own := filepath.Join(f.dir, kits), f.sheets[kits]
	text, err := []byte(nil), error(nil)
	switch {
	case own != nil:
		text = own.Text
	case f.sheets != nil:
		return nil
	default:
		text, err = os.ReadFile(file)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	t := parseTable(text)
	if t.column("kit") < 0 {
		return nil
	}
	for _, l := range t.lines {
		if l.cells != nil && t.cell(l, "kit") == name {
			return nil
		}
	}
	hand := "right"
	if leftHanded {
		hand = "left"
	}
	t.add(map[string]string{"kit": name, "hand": hand, "strings": strconv.Itoa(in.Strings), "frets": strconv.Itoa(in.Frets),
		"aim": strings.Join(sheet.Aim(way), "; "), "unit": "mm"})
	if own != nil {
		if text, err = f.edited(own, t); err == nil {
			err = Replace(f.file, f.text, text)
		}
		if err != nil {
			return err
		}
		return f.load(text)
	}
	if err := Replace(file, text, t.bytes()); err != nil {
		return fmt.Errorf("cannot write %s: %w", kits, err)
	}
	f.side = f.sideTables()
	f.judged = map[string]*kit{}
	return nil
}

// Tidy removes what an earlier run left beside the tables when it was ended in the middle of writing.
func Tidy(dir string) error {
	left, err := filepath.Glob(filepath.Join(dir, ".neckfit-*.tmp"))
	for _, name := range left {
		err = errors.Join(err, os.Remove(name))
	}
	return err
}
