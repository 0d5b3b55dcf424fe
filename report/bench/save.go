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
	"neckfit/report/sheet"
)

// errForeign is for a file that another program changed in the moment of writing.
var errForeign = errors.New("another program has changed readings.csv just now: nothing was overwritten, type the number once more")

// save writes the table in the place of the file that was read. When that is not the file any more,
// it stays, and the table is read anew.
func (f *Folder) save() error {
	text := f.table.bytes()
	err := Replace(f.file(), f.text, text)
	if err != nil {
		f.table = parseTable(f.text) // as it was
		if errors.Is(err, errForeign) {
			_, failed := f.refresh()
			return errors.Join(err, failed)
		}
		return err
	}
	f.text = text
	f.table.number()
	return nil
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
	file := filepath.Join(f.dir, "kits.csv")
	text, err := os.ReadFile(file)
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
	if err := Replace(file, text, t.bytes()); err != nil {
		return fmt.Errorf("cannot write %s: %w", measure.Tables()[3], err)
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
