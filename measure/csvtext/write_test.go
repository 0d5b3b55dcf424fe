package csvtext

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/unicode"
)

// What is written is read by encoding/csv as it was, and by this package.
func TestWriterAsTheLibraryReads(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	parts := []string{"a", "7.5", " ", `"`, ",", ";", "\t", "\n", "#", "é", "''", "="}
	for range 200 {
		rows := [][]string{{"kit", "note", "source"}}
		for range 1 + random.IntN(4) {
			row := []string{"K"}
			for range 2 {
				cell := ""
				for range random.IntN(5) {
					cell += parts[random.IntN(len(parts))]
				}
				row = append(row, cell)
			}
			rows = append(rows, row)
		}
		var out bytes.Buffer
		w := NewWriter(&out)
		for _, row := range rows {
			if err := w.Write(row); err != nil {
				t.Fatal(err)
			}
		}
		if w.Flush(); w.Error() != nil {
			t.Fatal(w.Error())
		}
		library, err := csv.NewReader(bytes.NewReader(out.Bytes())).ReadAll()
		if diff := cmp.Diff(rows, library); err != nil || diff != "" {
			t.Fatalf("%q: %v\n%s", out.String(), err, diff)
		}
		own, err := split(t, bytes.NewReader(out.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range own {
			for j, cell := range row.Cells {
				if want := strings.TrimSpace(rows[i][j]); strings.TrimSpace(cell) != want {
					t.Fatalf("%q is read as %q", rows[i][j], cell)
				}
			}
		}
	}
}

// Text that the readers of cells refuse is not written: it says of which row and column, and stays said.
func TestWriterRefuses(t *testing.T) {
	for name, row := range map[string][]string{
		"lot":  {"K1", "two\nlines", ""},
		"kit":  {"K\x01", "", ""},
		"note": {"K1", "", "a bell\a"},
	} {
		w := NewWriter(io.Discard)
		w.Write([]string{"kit", "lot", "note"})
		first := w.Write(row)
		if first == nil || !strings.Contains(first.Error(), "cannot write "+name+" ") || !strings.Contains(first.Error(), Quote(row[0])[:3]) {
			t.Errorf("%s: %v", name, first)
		}
		if again := w.Write([]string{"K2", "", ""}); again != first || w.Error() != first {
			t.Errorf("%s: then %v", name, again)
		}
	}
	w := NewWriter(io.Discard)
	w.Write([]string{"kit", "lot", "note"})
	if err := w.Write([]string{"K1", "", "two\nlines and\ta tab"}); err != nil {
		t.Error(err)
	}
}

// A write that fails is told at the end, also when nothing was wrong with the cells.
func TestWriterTellsOfItsStream(t *testing.T) {
	w := NewWriter(broken{})
	if err := w.Write([]string{"kit", "lot"}); err != nil || w.Error() != nil {
		t.Errorf("before it is flushed: %v", err)
	}
	if w.Flush(); w.Error() != io.ErrShortWrite {
		t.Errorf("then: %v", w.Error())
	}
	w = NewWriter(broken{})
	refused := w.Write([]string{"kit\a", ""})
	if w.Flush(); refused == nil || w.Error() != refused {
		t.Errorf("the first of two: %v", w.Error())
	}
	if Write(broken{}, []struct {
		Kit string `csv:"kit"`
	}{{"K1"}}) == nil {
		t.Error("a whole table does not fail")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// Numbers in cells: the shortest that is the same float, an exponent only below a ten-thousandth; what is no number is kept in mind.
func TestNumbersInCells(t *testing.T) {
	n := &Numbers{}
	for x, want := range map[float64]string{
		0: "0", 0.1: "0.1", -55.6: "-55.6", 1234567: "1234567", 0.0001: "0.0001", 0.000105: "0.000105", -0.0002: "-0.0002", 0.00009: "9e-05", -0.0000999: "-9.99e-05",
	} {
		if got := n.Exact(x); got != want || n.ExactIf(true, x) != want || n.ExactIf(false, x) != "" || n.Err != nil {
			t.Errorf("%v is written %s", x, got)
		}
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		n := &Numbers{}
		if n.Exact(x); n.Err == nil {
			t.Errorf("%v was written", x)
		}
	}
	for i, want := range map[int]string{0: "", 1: "1", 24: "24", -1: "-1"} {
		if got := Count(i); got != want {
			t.Errorf("%d is written %q", i, got)
		}
	}
}

// Every encoding that is known by its beginning gives the same text, also in blocks of one byte.
func TestEncodingsAsTheLibraryWrites(t *testing.T) {
	const want = "kit,note\nK1,½ inch – 12,5 mm 𝄢\n"
	encodings := map[string]encoding.Encoding{
		"utf-8": unicode.UTF8, "utf-8 with a mark": unicode.UTF8BOM,
		"utf-16 le": unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "utf-16 be": unicode.UTF16(unicode.BigEndian, unicode.UseBOM),
	}
	for name, e := range encodings {
		for _, ends := range []string{"\n", "\r"} {
			coded, err := e.NewEncoder().String(strings.ReplaceAll(want, "\n", ends))
			if err != nil {
				t.Fatal(err)
			}
			text, wide, err := Text(strings.NewReader(coded))
			if err != nil {
				t.Fatal(err)
			}
			got, err := io.ReadAll(text)
			if err != nil || string(got) != want || wide != strings.HasPrefix(name, "utf-16") {
				t.Errorf("%s with ends %q: %q, wide %v, %v", name, ends, got, wide, err)
			}
		}
	}
}

// Rows of another width than the header: each message stands where the first cell is that is too many, or where the
// missing one would be; comments that look like rows are counted from the first of them.
func TestWidths(t *testing.T) {
	table := &Table{Name: "x.csv", Columns: []string{"kit", "lot", "note"}, required: []string{"kit", "lot"}}
	read := func(text string) (kits, told []string) {
		errs := &Collector{}
		rows, err := table.Open("x.csv", strings.NewReader(text), errs, nil)
		if err != nil || rows == nil {
			t.Fatal(err, errs.Err())
		}
		for rows.Next() {
			kits = append(kits, rows.Cell(0))
		}
		if all, ok := errs.Err().(Errors); ok {
			for _, e := range all {
				told = append(told, e.Error())
			}
		}
		for _, n := range errs.Notices() {
			told = append(told, n.String())
		}
		return kits, told
	}
	const head = "kit,lot,note,\n"
	for _, c := range []struct {
		text string
		kits []string
		told []string
	}{
		{"K1,a\nK2,b,c,\nK3,c,,,,\n", []string{"K1", "K2", "K3"}, nil},
		{"K1\nK2,b\n", []string{"K2"}, []string{"x.csv:2:3: the row has 1 cells, expected 4 as the header has"}},
		{"K1,a,b,,,c\n", nil, []string{"x.csv:2:10: the row has 6 cells, expected 4 as the header has"}},
		{"K1,a,b,c\n", nil, []string{"x.csv:2:8: there is a cell in a column without a name, expected a name in the header, or # to pass the column over"}},
		{"K1,a\n#K2,b,,\n# K3,b,,\n#K4,,,\n#K5,b,c,\n", []string{"K1"},
			[]string{"x.csv:3: 2 lines that look like rows begin with # and are passed over as comments, the first of them here; a name that begins with # wants quotes"}},
	} {
		kits, told := read(head + c.text)
		if diff := cmp.Diff([][]string{c.kits, c.told}, [][]string{kits, told}); diff != "" {
			t.Errorf("%q: %s", c.text, diff)
		}
	}
}
