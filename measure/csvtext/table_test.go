package csvtext

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
)

type gaugeRow struct {
	Gauge string `csv:"gauge"`
	Size  string `csv:"size"`
	Note  string `csv:"note"`
}

var (
	gaugeTable = NewTable[gaugeRow]("gauges.csv", "gauge", "size")
	otherTable = NewTable[struct {
		String string `csv:"string"`
		Note   string `csv:"note"`
	}]("strings.csv", "string")
)

// readGauges reads a table of gauges: its rows by their lines, what is wrong with it, what is to be noted.
func readGauges(t *testing.T, text string) (got []string, errs *Collector) {
	t.Helper()
	errs = &Collector{}
	err := Read(gaugeTable, "g.csv", strings.NewReader(text), errs, []*Table{gaugeTable, otherTable}, func(g *gaugeRow, r *Row) {
		got = append(got, strings.Join([]string{CellName(0, r.Line), g.Gauge, g.Size, g.Note}, "|"))
		if g.Size == "bad" {
			r.FailCell("size", g.Size, "is bad", "good")
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return got, errs
}

// Rows come with the lines they stand on, in whatever order the columns are, and messages with the cell's place.
func TestRows(t *testing.T) {
	if diff := cmp.Diff([]string{"gauge", "size", "note"}, gaugeTable.Columns); diff != "" {
		t.Error(diff)
	}
	for _, c := range []struct {
		text string
		want []string
		told []string
	}{
		{"gauge,size,note\nrule,1,x\nfeeler,2,\n", []string{"A2|rule|1|x", "A3|feeler|2|"}, nil},
		{"\n# what was read\n;;\nSize;#mine;Gauge\n\n1;skipped;rule\n;;\n2;;feeler;;\n", []string{"A6|rule|1|", "A8|feeler|2|"}, nil},
		{"sep=;\ngauge;size\nrule;1,5\n", []string{"A3|rule|1,5|"}, nil},
		{"SEP=,\ngauge,size\nrule,1.5\n", []string{"A3|rule|1.5|"}, nil},
		{"gauge\tsize\n rule \tbad\n", []string{"A2|rule|bad|"}, []string{`g.csv:2:8: size "bad" is bad, expected good`}},
		{"gauge,size,note\n\"a\"\"b\",1,\"two\r\nlines\"\nrule,bad,\n", []string{"A2|a\"b|1|two\nlines", "A4|rule|bad|"}, []string{`g.csv:4:6: size "bad" is bad, expected good`}},
		{"gauge,size\nä, bad\n", []string{"A2|ä|bad|"}, []string{`g.csv:2:3: size "bad" is bad, expected good`}},
		{"gauge,size\n  \"a\",\" 1 \"\n", []string{"A2|a|1|"}, nil},
		{"size,gauge\n,ä\n", []string{"A2|ä||"}, nil},
		{"gauge,size\nrule,\"1\n\"", []string{"A2|rule|1|"}, nil},
		{"gauge,size\nrule,\"1\n2\"", []string{"A2|rule|1\n2|"}, nil},
		{"gauge,size\n#rule,1\nx,1\n", []string{"A3|x|1|"}, []string{"g.csv:2: a line that looks like a row begins with # and is passed over as a comment; a name that begins with # wants quotes"}},
		{"gauge,size\n# rule,1\n#,\n#a\n\"#b\",2\n", []string{"A5|#b|2|"}, nil},
	} {
		got, errs := readGauges(t, c.text)
		told := lines(errs)
		for _, n := range errs.Notices() {
			told = append(told, n.String())
		}
		if diff := cmp.Diff([][]string{c.want, c.told}, [][]string{got, told}); diff != "" {
			t.Errorf("%q: %s", c.text, diff)
		}
	}
}

// What is no such table says so at its place, and hands on no row.
func TestHeaders(t *testing.T) {
	const wanted = "gauge, size, note"
	for _, c := range []struct{ text, want string }{
		{"", "1:1: the file has no header, expected the columns " + wanted},
		{"\n# nothing\n", "1:1: the file has no header, expected the columns " + wanted},
		{"a\nrule\n", "1:1: the first line is no header, expected the columns " + wanted + ", parted by commas, semicolons or tabs; lines above them begin with #"},
		{"string,note\n1,x\n", "1:1: this is the header of a strings.csv, expected that of a gauges.csv, with gauge, size"},
		{"String,#x,\n1,x\n", "1:1: this is the header of a strings.csv, expected that of a gauges.csv, with gauge, size"},
		{"gauge,note\nx,y\n", `1:1: column "size" is missing, expected a header with gauge, size`},
		{"note,gauge,SIZE,Gauge\n", `1:17: column "gauge" is there twice, first as column 2, expected one column of that name`},
		{"gauge,size,nots\n", `1:12: column "nots" is unknown, expected "note"; a header that starts with # is passed over`},
		{"\ngauge,size,zebra\n", `2:12: column "zebra" is unknown, expected one of ` + wanted + "; a header that starts with # is passed over"},
		{"gauge,\"size\"x\nrule,1\n", "1:7: there is text after the closing quote of the cell, expected a delimiter; a quote inside a quoted cell is doubled"},
		{"\"gauge\"x,size\nrule,1\n", "1:1: there is text after the closing quote of the cell, expected a delimiter; a quote inside a quoted cell is doubled"},
		{"gauge,size\n\xe4,1\n", "2:1: byte 0xE4 is not UTF-8, expected " + exportAgain},
		{"gauge,size\nrule,\"1\n", "2:6: a quote is opened here and never closed, expected a closing quote, or none"},
		{"gauge,size\nrule,\"1", "2:6: a quote is opened here and never closed, expected a closing quote, or none"},
		{"gauge,size\nrule,\"1\n\n\n", "2:6: a quote is opened here and never closed, expected a closing quote, or none"},
		{"gauge,size\nrule,1," + strings.Repeat("x", 65536), "2:1: the line is longer than 65536 bytes, expected a table with a row a line"},
		{"gauge,size\nr\xe4le,1\nx,\xff\n", "2:2: byte 0xE4 is not UTF-8, expected " + exportAgain},
		{"gauge,size\nrule,\xff\n", "2:6: byte 0xFF is not UTF-8, expected " + exportAgain},
		{"\xff\xfeg\x00a\x00u\x00g\x00e\x00,\x00s\x00i\x00z\x00e\x00\n\x00a\x00,\x00\x00\xd8\n\x00", "2:3: half a character of UTF-16 stands alone, expected " + exportAgain},
		{"PK\x03\x04", "1:1: this is a spreadsheet's own file (.xlsx or .ods), not CSV, expected " + exportAgain},
		{"\xD0\xCF\x11\xE0", "1:1: this is a spreadsheet's own file (.xls), not CSV, expected " + exportAgain},
		{"%PDF-1.4", "1:1: this is a PDF, not CSV, expected " + exportAgain},
		{"\x1F\x8B", "1:1: this file is compressed (gzip), not CSV, expected " + exportAgain},
		{"<html>", "1:1: this is a web page or another file of tags, not CSV, expected " + exportAgain},
		{"{}", "1:1: this is JSON, not CSV, expected " + exportAgain},
		{"\xFF\xFE\x00\x00", "1:1: this file is in UTF-32, expected " + exportAgain},
		{"\x00\x00\xFE\xFF", "1:1: this file is in UTF-32, expected " + exportAgain},
		{"\x00g\x00a", "1:1: this file is in UTF-16 without a byte-order mark, or is no text, expected " + exportAgain},
		{"g\x00a\x00", "1:1: this file is in UTF-16 without a byte-order mark, or is no text, expected " + exportAgain},
	} {
		got, errs := readGauges(t, c.text)
		if diff := cmp.Diff([]string{"g.csv:" + c.want}, lines(errs)); diff != "" || len(got) > 0 {
			t.Errorf("%.40q: %v %s", c.text, got, diff)
		}
	}
	if _, errs := readGauges(t, "gauge,size\n\x01,1\n"); errs.Err() != nil {
		t.Errorf("a control character is for the readers of cells to refuse: %v", errs.Err())
	}
}

// A stream that breaks is no table, wherever it does.
func TestBrokenStreams(t *testing.T) {
	broken := errors.New("broken")
	for _, text := range []string{"", "gauge", "gauge,size\n", "gauge,size\nrule,1\n"} {
		errs := &Collector{}
		in := io.MultiReader(strings.NewReader(text), iotest.ErrReader(broken))
		rows := 0
		err := Read(gaugeTable, "g.csv", in, errs, nil, func(*gaugeRow, *Row) { rows++ })
		if !errors.Is(err, broken) || rows > 0 || errs.Err() != nil {
			t.Errorf("%q: %d rows, %v, %v", text, rows, err, errs.Err())
		}
	}
}

// The delimiter is the file's, the decimal sign that of its first number with decimals, and without one that which
// spreadsheets write beside such a delimiter.
func TestDialectOfATable(t *testing.T) {
	for text, want := range map[string]Dialect{
		"c,d\n1,2\n": {',', '.'}, "c;d\n1;2\n": {';', ','}, "c\td\n1\t2\n": {'\t', '.'},
		"c;d\n1.5;2\n": {';', '.'}, "c\td\n1,5\t2\n": {'\t', ','}, "c;d\n7;1,5\n": {';', ','},
	} {
		rows, errs := opened(t, text, "c", "d")
		for rows.Next() {
			rows.Row().Number("c", rows.Cell(0), Millimetres)
			rows.Row().Number("d", rows.Cell(1), Millimetres)
		}
		if got := rows.Dialect(); got != want || errs.Err() != nil {
			t.Errorf("%q: %q, want %q, %v", text, got, want, errs.Err())
		}
	}
	if rows, errs := opened(t, "c\n1\n#2\n", "c", "d"); !rows.Next() || rows.Cell(1) != "" || rows.Next() || rows.Next() || len(errs.Notices()) != 1 {
		t.Error("a column that the file does not have is not blank, or the end is none, or told twice")
	}
	// A collector that is full still knows that the header was refused.
	full := &Collector{}
	for range 1000 {
		full.Add(&CellError{What: "x"})
	}
	for i, text := range []string{"\"c", ""} {
		if rows, err := gaugeTable.Open("x.csv", strings.NewReader(text), full, nil); rows != nil || err != nil || len(full.list)+full.more != 1001+i {
			t.Errorf("%q in a full collector: %v, %d errors", text, err, len(full.list)+full.more)
		}
	}
}
