package report

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"neckfit/fit"
	"neckfit/measure/csvtext"
	"neckfit/report/words"
)

// Numbers get the other sign, names and sentences keep theirs, and what the delimiter would part is quoted.
func TestInDialect(t *testing.T) {
	const table = "kit,value_mm,u_mm,n,note\n1.5,-0.25,1.5e-05,12,\"1.5 mm; off, 2.5\"\nA,1e-05,,3,2.5.1\n"
	for _, c := range []struct {
		dialect csvtext.Dialect
		want    string
	}{
		{csvtext.Dialect{Delimiter: ';', Decimal: ','}, "kit;value_mm;u_mm;n;note\n1.5;-0,25;1,5e-05;12;\"1.5 mm; off, 2.5\"\nA;1e-05;;3;2.5.1\n"},
		{csvtext.Dialect{Delimiter: '\t', Decimal: '.'}, "kit\tvalue_mm\tu_mm\tn\tnote\n1.5\t-0.25\t1.5e-05\t12\t1.5 mm; off, 2.5\nA\t1e-05\t\t3\t2.5.1\n"},
		{csvtext.Dialect{Delimiter: ',', Decimal: '.'}, table},
	} {
		var out strings.Builder
		if err := InDialect(&out, strings.NewReader(table), c.dialect); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.want, out.String()); diff != "" {
			t.Errorf("%c: %s", c.dialect.Delimiter, diff)
		}
	}
	if err := InDialect(io.Discard, iotest.ErrReader(io.ErrClosedPipe), csvtext.Dialect{Delimiter: ';', Decimal: ','}); !errors.Is(err, io.ErrClosedPipe) {
		t.Error(err)
	}
}

// A workbook has numbers where the table has them, and texts as they were before they were made harmless for CSV.
func TestWorkbook(t *testing.T) {
	var out bytes.Buffer
	if err := Workbook(&out, "check", strings.NewReader("kit,value_mm\n'=1+1,-0.25\n'quoted,'-5x\n007,1e-05\n")); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("check", excelize.Options{RawCellValue: true})
	if diff := cmp.Diff([][]string{{"kit", "value_mm"}, {"=1+1", "-0.25"}, {"'quoted", "-5x"}, {"007", "0.00001"}}, rows); err != nil || diff != "" {
		t.Error(err, diff)
	}
	for cell, want := range map[string]excelize.CellType{"B2": excelize.CellTypeUnset, "A4": excelize.CellTypeInlineString, "A2": excelize.CellTypeInlineString} {
		if got, err := f.GetCellType("check", cell); err != nil || got != want {
			t.Errorf("%s is of type %v, want %v (%v)", cell, got, want, err)
		}
		if formula, err := f.GetCellFormula("check", cell); err != nil || formula != "" {
			t.Errorf("%s is the formula %q, %v", cell, formula, err)
		}
	}
}

// What a spool becomes stands in its place, whole, and the spool goes on from there.
func TestSpoolBecomes(t *testing.T) {
	dir := t.TempDir()
	s, err := NewSpool(dir)
	if err != nil {
		t.Fatal(err)
	}
	long := strings.Repeat("a line\n", 20_000) // more than is held back before it is written
	if _, err := io.WriteString(s, long); err != nil {
		t.Fatal(err)
	}
	if err := s.Become(func(w io.Writer, r io.Reader) error {
		text, err := io.ReadAll(r)
		if err != nil || string(text) != long {
			t.Errorf("%d of %d bytes, %v", len(text), len(long), err)
		}
		_, err = io.WriteString(w, "short")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := s.CopyTo(&out); err != nil || out.String() != "short" {
		t.Errorf("%q, %v", out.String(), err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	broken := errors.New("broken")
	s, err = NewSpool(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Become(func(io.Writer, io.Reader) error { return broken }); !errors.Is(err, broken) {
		t.Error(err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// An explanation stands as its entry has it: word and group, what, facts under their headings, the sketch as drawn,
// each line no wider than the screen.
func TestExplainByHand(t *testing.T) {
	var out strings.Builder
	entry := words.Entry{
		Word: "play", Group: "term", What: "What the heel can move between the pocket's walls.",
		Facts: []words.Fact{{Heading: "formula", Text: "Pocket width less heel width, at the mouth and at the end of it."}}, Sketch: "\n ---- bass\n  |\n",
	}
	if err := Explain(&out, []words.Entry{entry, {Word: "x", Group: "kind", What: "Y."}}, Options{Columns: 60}); err != nil {
		t.Fatal(err)
	}
	const want = `play (term)
  What the heel can move between the pocket's walls.
  formula   Pocket width less heel width, at the mouth and
            at the end of it.

   ---- bass
    |

x (kind)
  Y.
`
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Error(diff)
	}
	out.Reset()
	if err := Words(&out, Options{Columns: 60}); err != nil {
		t.Fatal(err)
	}
	for _, id := range fit.IDs() {
		if !strings.Contains(out.String(), id.String()) {
			t.Errorf("%s is not listed", id)
		}
	}
	for line := range strings.Lines(out.String()) {
		if len([]rune(line)) > 61 {
			t.Errorf("%q is too wide", line)
		}
	}
}
