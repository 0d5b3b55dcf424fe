package csvtext

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

// row is a record with the places of its cells.
type row struct {
	Line  int
	Cells []string
	At    []string // line:column
}

// split reads all records of a stream, the header too.
func split(t testing.TB, in io.Reader) ([]row, error) {
	t.Helper()
	errs := &Collector{}
	r, err := newReader(in, "x.csv", errs)
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for r != nil && r.next() {
		r.header = max(r.header, r.width)
		one := row{Line: r.line, Cells: r.texts()}
		for i := range one.Cells {
			line, column := r.cellPlace(i)
			one.At = append(one.At, fmt.Sprintf("%d:%d", line, column))
		}
		rows = append(rows, one)
	}
	if r != nil && r.err != nil {
		return rows, r.err
	}
	return rows, errs.Err()
}

// The corpus csv-spectrum (see testdata/measure/csv-spectrum/README.md) says beside each file what is
// in it.
func TestCSVSpectrum(t *testing.T) {
	files, err := filepath.Glob("../../testdata/measure/csv-spectrum/*.csv")
	if err != nil || len(files) != 11 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		said, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var want []map[string]string
		if err := json.Unmarshal(said, &want); err != nil {
			t.Fatal(err)
		}
		for _, one := range want {
			for _, name := range slices.Collect(maps.Keys(one)) {
				one[name] = strings.ReplaceAll(one[name], "\r\n", "\n") // a note's line ends are line feeds here
			}
		}
		rows, err := split(t, bytes.NewReader(text))
		if err != nil || len(rows) == 0 {
			t.Fatal(file, err)
		}
		got := []map[string]string{}
		for _, one := range rows[1:] {
			cells := map[string]string{}
			for i, cell := range one.Cells {
				cells[rows[0].Cells[i]] = cell
			}
			got = append(got, cells)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", filepath.Base(file), diff)
		}
	}
}

// byLibrary splits by encoding/csv, whose columns are counted in bytes; blank rows are left out.
func byLibrary(text string, comma byte) ([]row, error) {
	in := csv.NewReader(strings.NewReader(text))
	in.Comma, in.Comment, in.LazyQuotes, in.FieldsPerRecord = rune(comma), '#', true, -1
	in.TrimLeadingSpace = comma != '\t'
	lines := strings.SplitAfter(text, "\n")
	var rows []row
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return rows, nil
		} else if err != nil {
			return nil, err
		}
		one := row{Cells: cells}
		blank := true
		for i := range cells {
			line, column := in.FieldPos(i)
			if i == 0 {
				one.Line = line
			}
			// The library counts bytes, and from where a cell begins after its spaces; the place here
			// is before them.
			before := lines[line-1][:column-1]
			if comma != '\t' {
				before = strings.TrimRight(before, " \t")
			}
			one.At = append(one.At, fmt.Sprintf("%d:%d", line, utf8.RuneCountInString(before)+1))
			one.Cells[i] = strings.TrimSpace(cells[i])
			blank = blank && one.Cells[i] == ""
		}
		if !blank {
			rows = append(rows, one)
		}
	}
}

// randomCSV is a table of some columns in a random manner.
func randomCSV(random *rand.Rand, comma byte) string {
	lineEnd := []string{"\n", "\r\n"}[random.IntN(2)]
	width := 1 + random.IntN(20)
	var out strings.Builder
	for range 1 + random.IntN(40) {
		for i := range width {
			if i > 0 {
				out.WriteByte(comma)
			}
			cell := []string{"", "a", "12.5", " b ", "two words", "Höhe", "𝄞", `2 3/16"`}[random.IntN(8)]
			if i == 0 && random.IntN(3) > 0 {
				cell = "x"
			}
			if random.IntN(6) == 0 {
				cell = `"` + []string{"", cell, "a" + string(comma) + "b", "two" + lineEnd + "lines", `a ""quote""`, "ü" + lineEnd + lineEnd + "ö"}[random.IntN(6)] + `"`
				cell = strings.ReplaceAll(cell, `16""`, `16"""`)
			}
			out.WriteString(cell)
		}
		out.WriteString(lineEnd)
		switch random.IntN(20) {
		case 0:
			out.WriteString("# a \"comment" + lineEnd)
		case 1:
			out.WriteString(lineEnd)
		}
	}
	return out.String()
}

// Cells, lines and places are those of encoding/csv.
func TestSplitAsTheLibraryDoes(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 600 {
		comma := ",;\t"[random.IntN(3)]
		text := randomCSV(random, comma)
		if dialectOf([]byte(text)) != (dialect{comma: comma}) {
			continue // a first line of one column, say
		}
		got, err := split(t, strings.NewReader(text))
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		want, err := byLibrary(text, comma)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("%q: %s", text, diff)
		}
	}
}

// However the bytes arrive, and wherever a block ends, the records are the same.
func TestBlocks(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	note := strings.Repeat(`note ""n""`+"\r\n", 700)
	var out strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&out, "%d,ä,%s,z\r\n", i, strings.Repeat("y", random.IntN(60)))
		if i%500 == 499 {
			fmt.Fprintf(&out, "%d,\"%s\",,z\r\n", i, note)
		}
	}
	text := strings.TrimSuffix(out.String(), "\r\n")
	want, err := byLibrary(text, ',')
	if err != nil {
		t.Fatal(err)
	}
	for name, in := range map[string]io.Reader{
		"whole": strings.NewReader(text), "halves": iotest.HalfReader(strings.NewReader(text)),
		"early end": iotest.DataErrReader(strings.NewReader(text)),
		"UTF-16":    bytes.NewReader(wide(text, binary.LittleEndian)),
	} {
		got, err := split(t, in)
		if err != nil {
			t.Fatal(name, err)
		}
		if !cmp.Equal(want, got) {
			t.Errorf("%s: %s", name, cmp.Diff(want, got))
		}
	}
	short := text[:3000]
	want, _ = split(t, strings.NewReader(short))
	if got, err := split(t, iotest.OneByteReader(strings.NewReader(short))); err != nil || !cmp.Equal(want, got) {
		t.Errorf("byte by byte: %v %s", err, cmp.Diff(want, got))
	}
	if _, err := split(t, io.MultiReader(strings.NewReader(text), iotest.ErrReader(io.ErrClosedPipe))); err != io.ErrClosedPipe {
		t.Errorf("a stream that breaks: %v", err)
	}
}

func wide(text string, order binary.AppendByteOrder) []byte {
	var out []byte
	for _, unit := range utf16.Encode([]rune("\ufeff" + text)) {
		out = order.AppendUint16(out, unit)
	}
	return out
}

// A line of the greatest length is taken, a longer one is not, wherever it ends.
func TestLongestLine(t *testing.T) {
	const maxRecord = 65536
	for _, c := range []struct {
		n    int
		good bool
	}{{maxRecord, true}, {maxRecord + 1, false}} {
		for _, end := range []string{"", "\n", "\n1,2\n"} {
			rows, err := split(t, strings.NewReader("a,b\n1,"+strings.Repeat("x", c.n-2)+end))
			if (err == nil) != c.good || c.good && len(rows) < 2 {
				t.Errorf("%d bytes before %q: %d rows, %v", c.n, end, len(rows), err)
			}
		}
	}
	for n, good := range map[int]bool{maxRecord / 2: true, maxRecord + 5: false} {
		if _, err := split(t, strings.NewReader("a,b\n1,\""+strings.Repeat("x\n", n/2)+"\"\n")); (err == nil) != good {
			t.Errorf("a quote over %d bytes: %v", n, err)
		}
	}
}

// counted counts what is taken of a stream.
type counted struct {
	io.Reader
	n int
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.n += n
	return n, err
}

// Of a line without an end no more is taken than one block beyond the longest that is read, and a page of comments above the
// header does not hide its delimiter.
func TestHowMuchIsTaken(t *testing.T) {
	in := &counted{Reader: strings.NewReader("a,b\n" + strings.Repeat("x", 1<<20))}
	if _, err := split(t, in); err == nil || in.n > 2*65536 {
		t.Errorf("%d bytes taken, %v", in.n, err)
	}
	rows, err := split(t, strings.NewReader(strings.Repeat("# 1,2,3\n", 8190)+"a;b\n1,5;2\n"))
	if err != nil || len(rows) != 2 || len(rows[1].Cells) != 2 {
		t.Errorf("after 65,520 bytes of comments: %v, %v", rows, err)
	}
}

// The way that is meant for nearly all lines is taken by them, and only by them.
func TestPlainLines(t *testing.T) {
	for text, want := range map[string]bool{
		"K1,5.5,~": true, "": false, ",two words,3": true, "K1, 5": false, "K1 ,5": false, "5, ": false,
		"K1,ä": false, `K1,"x"`: false, "K1,\tx": false, "\x7f,1": true, "\x7f,234567": true, "K1,\x80": false, "a b,c d,": true,
		"K1,oh!,34": true, "K1\t5 6\t78": true, "K1\t5 \t6789": false, "K1,5,6\x1f7": false, "K1,Ä,5678": false, `K1,5,678"`: false,
	} {
		header := "a,b,c\n"
		if strings.Contains(text, "\t") && !strings.Contains(text, ",") {
			header = "a\tb\tc\n"
		}
		r, err := newReader(strings.NewReader(header+text+"\n"), "x.csv", &Collector{})
		if err != nil || !r.next() {
			t.Fatal(err)
		}
		if more := r.next(); more && r.plain != want || !more && want {
			t.Errorf("%q: plain %v, want %v", text, r.plain, want)
		}
	}
}

// Space stands on either side of quotes as people type it; it is no part of the cell, and what is in the quotes is no more
// than without it. Of a table with tabs a tab is a delimiter.
func TestSpaceAroundQuotes(t *testing.T) {
	for text, want := range map[string][]string{
		"a,b,c\n \"1, x\" ,\"2\"\t, 3 \n": {"1, x", "2", "3"}, "a,b\n\"1\" ,\"2 \"\" \" \r\n": {"1", `2 "`}, "a\tb\n\"1\"\t\"2\"\n": {"1", "2"}, "a,b\n\"1\n2\" ,3": {"1\n2", "3"},
	} {
		rows, err := split(t, strings.NewReader(text))
		if err != nil || len(rows) != 2 || !slices.Equal(rows[1].Cells, want) {
			t.Errorf("%q: %v, %v", text, err, rows)
		}
	}
	for _, text := range []string{"a,b\n\"1\" x,2\n", "a,b\n\"1\" \"x\",2\n"} {
		if rows, err := split(t, strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), "2:1: there is text after the closing quote") {
			t.Errorf("%q: %v, %v", text, err, rows)
		}
	}
}

// More columns than are split at once are split all the same.
func TestManyColumns(t *testing.T) {
	for _, n := range []int{maxPlain - 2, maxPlain - 1, maxPlain, 3 * maxPlain} {
		rows, err := split(t, strings.NewReader("a"+strings.Repeat(",b", n-1)+"\n"+strings.Repeat("1,", n-1)+"2\n"))
		if err != nil || len(rows) != 2 || len(rows[1].Cells) != n || rows[1].Cells[n-1] != "2" || rows[1].At[n-1] != fmt.Sprintf("2:%d", 2*n-1) {
			t.Errorf("%d columns: %v %v", n, err, rows)
		}
	}
}

func FuzzSplit(f *testing.F) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 20 {
		f.Add([]byte(randomCSV(random, ',')))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, b := range data {
			if b >= utf8.RuneSelf || b < ' ' && b != '\n' {
				return // the library has other ideas of space and line ends
			}
		}
		text := string(data)
		d := dialectOf(data)
		if foreign(data) != nil || d.sep || strings.Contains(text, " #") || strings.Contains(text, "\n ") || strings.HasPrefix(text, " ") || strings.Contains(text, `" `) {
			return // lines that only this package passes over, and space behind a closing quote
		}
		got, err := split(t, bytes.NewReader(data))
		if err != nil {
			return
		}
		want, err := byLibrary(text, d.comma)
		if err != nil {
			t.Fatalf("%q: the library says %v", text, err)
		}
		for i := range got { // blank cells too many are cut off here
			for n := len(got[i].Cells); i < len(want) && len(want[i].Cells) > n; {
				last := len(want[i].Cells) - 1
				if want[i].Cells[last] != "" {
					break
				}
				want[i].Cells, want[i].At = want[i].Cells[:last], want[i].At[:last]
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("%q: %s", text, diff)
		}
	})
}
