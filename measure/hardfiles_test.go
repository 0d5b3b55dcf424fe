package measure

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"neckfit/measure/csvtext"
)

func inUTF16(text string, order binary.AppendByteOrder) string {
	var out []byte
	for _, unit := range utf16.Encode([]rune("\ufeff" + text)) {
		out = order.AppendUint16(out, unit)
	}
	return string(out)
}

// Files in another coding or with old line ends, as far as that can be told for certain, say what
// the same text says in UTF-8.
func TestOtherCodings(t *testing.T) {
	data, err := os.ReadFile("../testdata/measure/variants/excel-comma.csv")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	returns := strings.ReplaceAll(text, "\n", "\r")
	for name, variant := range map[string]string{
		"UTF-16, low byte first":     inUTF16(text, binary.LittleEndian),
		"UTF-16, high byte first":    inUTF16(text, binary.BigEndian),
		"UTF-16 of a spreadsheet":    inUTF16(string(data), binary.LittleEndian),
		"carriage returns":           returns,
		"UTF-16 of carriage returns": inUTF16(returns, binary.BigEndian),
	} {
		kits, err := readAll(t, "-", variant)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if diff := cmp.Diff(wantVariants(), kits, noPlaces); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
	pair := strings.Replace(onePocket, "A,", "A𝄞,", 1)
	if kits, err := readAll(t, "-", inUTF16(strings.Replace(pair, "long", "", 1), binary.LittleEndian)); err != nil || kits[0].Name != "A𝄞" {
		t.Errorf("a pair of surrogates: %v", err)
	}
	for _, broken := range []string{"\x00\xd8", "\x00\xdc", "\x00\xd8\x41\x00", "x"} {
		_, err := readAll(t, "-", inUTF16("kit,datum,feature,kind\nA", binary.LittleEndian)+broken)
		if err == nil || !strings.Contains(err.Error(), "half a character of UTF-16") {
			t.Errorf("%q: got %v", broken, err)
		}
	}
}

// What a spreadsheet leaves at the end of rows and between blocks is passed over; cells that it
// merged are not guessed.
func TestSpreadsheetsLeftovers(t *testing.T) {
	text := "kit,datum,feature,kind,station,size,,\n,,,,,,,\nA,body,pocket,width,40,63,,\n,,,,,\nA,body,pocket,width,50,63,,,,,,\n"
	if kits := mustRead(t, text); len(kits) != 1 || len(kits[0].Readings) != 2 {
		t.Errorf("got %v", kits)
	}
	_, err := readAll(t, "-", text+",body,pocket,width,60,63\n")
	if diff := cmp.Diff([]string{"stdin:6:1: kit is blank, expected a name in every row; merged cells fill only their first"}, messages(err, "")); diff != "" {
		t.Error(diff)
	}
}

// A spreadsheet's own file is known by its first bytes, whatever its name.
func TestSpreadsheetsOwnFile(t *testing.T) {
	for _, magic := range []string{"PK\x03\x04", "\xD0\xCF\x11\xE0"} {
		dir := folder(t, map[string]string{"readings.csv": magic + strings.Repeat("\x00\x01", 3000)})
		_, err := readAll(t, dir, "")
		if err == nil || !strings.Contains(err.Error(), "spreadsheet's own file") || !strings.Contains(err.Error(), "expected the table exported as CSV in UTF-8") {
			t.Errorf("got %v", err)
		}
	}
}

// endless is a stream of one byte; it counts what was taken of it.
type endless struct {
	byte byte
	n    int64
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.byte
	}
	e.n += int64(len(p))
	return len(p), nil
}

// Of a line, a quote, a comment or a device without an end no more is taken than it needs to be refused.
func TestNoEnd(t *testing.T) {
	for _, c := range []struct {
		begins string
		byte   byte
		want   string
	}{
		{"kit,datum,feature,kind\n", 'A', "stdin:2:1: the line is longer than 65536 bytes"},
		{"kit,datum,feature,kind\n\"", '\n', "stdin:2:1: a quote is opened here and never closed"},
		{"", 'A', "stdin:1:1: the line is longer than 65536 bytes"},
		{"# ", 'A', "stdin:1:1: the line is longer than 65536 bytes"},
		{"", 0, "stdin:1:1: this file is in UTF-16 without a byte-order mark, or is no text"},
	} {
		tail := &endless{byte: c.byte}
		b, err := Open("-", Options{Stdin: io.MultiReader(strings.NewReader(c.begins), tail)})
		if err != nil {
			t.Fatal(err)
		}
		defer b.Close()
		_, err = kitsOf(b, 2)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: got %v", c.begins, err)
		}
		if tail.n > 8<<16 {
			t.Errorf("%q: %d bytes were taken", c.begins, tail.n)
		}
	}
}

// No table takes more than it needs to refuse a line without an end.
func TestNoEndInAnyTable(t *testing.T) {
	for _, table := range append(tables(), historyTable) {
		for _, begins := range []string{"", strings.Join(table.Columns, ",") + "\n", strings.Join(table.Columns, ",") + "\n\""} {
			tail := &endless{byte: 'A'}
			in, errs := io.MultiReader(strings.NewReader(begins), tail), &csvtext.Collector{}
			err := read(table, table.Name, in, errs, func(*struct {
				Any string `csv:"any"`
			}, *csvtext.Row) {
			})
			if text := fmt.Sprint(errs.Err()); err != nil || strings.Contains(text, "\n") || !strings.Contains(text, "65536 bytes") && !strings.Contains(text, "never closed") {
				t.Errorf("%s after %q: %v, %v", table.Name, begins, err, text)
			}
			if tail.n > 4*(1<<16) {
				t.Errorf("%s after %q: %d bytes were taken", table.Name, begins, tail.n)
			}
		}
	}
}

func TestDevice(t *testing.T) {
	kits, err := readAll(t, os.DevNull, "")
	if len(kits) != 0 || err == nil || !strings.HasPrefix(err.Error(), os.DevNull+":1:1: the file has no header") {
		t.Errorf("a device: %v", err)
	}
}

func TestFoldersAndLinks(t *testing.T) {
	dir := folder(t, map[string]string{"there.csv": strings.Replace(onePocket, "long", "", 1), "kits.csv": "kit\n"})
	link := filepath.Join(dir, "readings.csv")
	if _, err := Open(dir, Options{}); !errors.Is(err, fs.ErrNotExist) || !strings.HasPrefix(err.Error(), "the folder has no readings.csv, but "+filepath.Join(dir, "there.csv")+": name") {
		t.Errorf("a folder without readings: %v", err)
	}
	if _, err := Open(t.TempDir(), Options{}); !errors.Is(err, fs.ErrNotExist) || !strings.HasPrefix(err.Error(), "the folder has no readings.csv, nor a table that could be one: is it the right folder?") {
		t.Errorf("a folder with nothing: %v", err)
	}
	if err := os.Symlink("there.csv", link); err != nil {
		t.Fatal(err)
	}
	if kits, err := readAll(t, dir, ""); err != nil || len(kits) != 1 {
		t.Errorf("a link: %v", err)
	}
	if err := errors.Join(os.Remove(link), os.Symlink("nowhere.csv", link)); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, Options{}); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "is a link to nowhere.csv") {
		t.Errorf("a link to nothing: %v", err)
	}
	if err := errors.Join(os.Remove(link), os.Symlink("readings.csv", link)); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{dir, link} {
		if _, err := Open(path, Options{}); err == nil || !strings.Contains(err.Error(), "is a link that leads back to itself") {
			t.Errorf("a link to itself: %v", err)
		}
	}
	limits := filepath.Join(dir, "limits.csv")
	if err := os.Symlink("nowhere.csv", limits); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(filepath.Join(dir, "there.csv"), Options{}); err == nil || !strings.Contains(err.Error(), "limits.csv is a link to what is not there") {
		t.Errorf("a table that is a link to nothing: %v", err)
	}
	if err := os.Remove(limits); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Remove(link), os.Mkdir(link, 0o700)); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, Options{}); err == nil || !strings.Contains(err.Error(), "is a folder, not a file") {
		t.Errorf("a folder of that name: %v", err)
	}
}

// The other tables of standard input, or of any readings, are taken from where one says.
func TestTablesElsewhere(t *testing.T) {
	dir := wholeFolder(t)
	for _, path := range []string{"-", filepath.Join(folder(t, map[string]string{"x.csv": onePocket, "limits.csv": "no table"}), "x.csv")} {
		b, err := Open(path, Options{Characteristics: known, Stdin: strings.NewReader(onePocket), Tables: dir})
		if err != nil {
			t.Fatal(err)
		}
		defer b.Close()
		kits, err := b.All(t.Context())
		if err != nil || len(kits) != 1 {
			t.Fatalf("%s: %d kits, %v", path, len(kits), err)
		}
		if g := kits[0].Readings[0].Gauge; g.ID != "long" || g.Place.File != filepath.Join(dir, "gauges.csv") || kits[0].Info.Lot != "L1" || len(b.Limits) != 2 {
			t.Errorf("%s: gauge %+v, kit %+v, limits %v", path, g, kits[0].Info, b.Limits)
		}
	}
	for tables, want := range map[string]string{filepath.Join(dir, "none"): "there is no file or folder ", filepath.Join(dir, "kits.csv"): "is a file, not a folder"} {
		if _, err := Open("-", Options{Stdin: strings.NewReader(""), Tables: tables}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", tables, err)
		}
	}
}

// closed is a source that may not be read.
type closed struct{ memory }

func (closed) open() (io.ReadCloser, error) {
	return nil, &fs.PathError{Op: "open", Path: "readings.csv", Err: fs.ErrPermission}
}

// A file that may not be read is an error of reading. (Who runs the tests may read everything, so
// the refusal is put in.)
func TestUnreadable(t *testing.T) {
	b := &Batch{Gauges: builtInGaugeSet(), errs: &csvtext.Collector{}, readings: closed{}}
	if _, err := b.All(t.Context()); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("got %v", err)
	}
	late := &Batch{Gauges: builtInGaugeSet(), errs: &csvtext.Collector{}, readings: &spool{named: "x", in: io.MultiReader(strings.NewReader(tableOf(t, manyKits(8000))), &failing{})}}
	defer late.Close()
	if _, err := kitsOf(late, 2); !errors.Is(err, errBroken) {
		t.Errorf("a stream that breaks late: %v", err)
	}
}
