package csvtext

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Errors stand in the order of their files as they were begun, then of lines, then of columns, whichever was found first.
func TestErrorsInOrder(t *testing.T) {
	errs := &Collector{}
	for _, file := range []string{"z.csv", "a.csv", "z.csv"} {
		if _, err := newReader(strings.NewReader("a,b\n"), file, errs); err != nil {
			t.Fatal(err)
		}
	}
	for _, at := range []struct {
		file         string
		line, column int
	}{{"a.csv", 2, 9}, {"z.csv", 10, 1}, {"a.csv", 2, 3}, {"z.csv", 9, 40}, {"a.csv", 1, 50}} {
		errs.Add(&CellError{Place: Place{at.file, at.line}, Column: at.column, What: "x"})
	}
	want := []string{"z.csv:9:40: x", "z.csv:10:1: x", "a.csv:1:50: x", "a.csv:2:3: x", "a.csv:2:9: x"}
	if diff := cmp.Diff(want, lines(errs)); diff != "" {
		t.Error(diff)
	}
	if !cmp.Equal(errs.files, []string{"z.csv", "a.csv"}) {
		t.Errorf("files %v", errs.files)
	}
	if (&Collector{}).Err() != nil || !(&Collector{}).Empty() || errs.Empty() {
		t.Error("an empty collector is not")
	}
}

// Of a thousand errors all are listed, of more the first thousand and how many there were.
func TestAThousandErrors(t *testing.T) {
	for n, want := range map[int]int{999: 999, 1000: 1000, 1001: 1001, 1300: 1001} {
		errs := &Collector{}
		for i := range n {
			errs.Add(&CellError{Place: Place{"x.csv", 1 + i}, Column: 1, What: "x"})
		}
		got := lines(errs)
		if last := got[len(got)-1]; len(got) != want || n > 1000 && last != fmt.Sprintf("and %d more errors that are not listed", n-1000) {
			t.Errorf("of %d errors %d are listed, the last %q", n, len(got), last)
		}
	}
}

// A wrong word is told once: where it stands first, how many rows have it, however often one row does.
func TestToldOnce(t *testing.T) {
	rows, errs := opened(t, "c,d\nruler,x\ntape,x\nruler,ruler\ncord,x\n", "c", "d")
	asked := 0
	for rows.Next() {
		for i, column := range []string{"c", "d"} {
			if cell := rows.Cell(i); cell != "x" {
				rows.Row().FailOnce(column, cell, "is in no table", func() string { asked++; return "one that is" })
			}
		}
	}
	want := []string{
		`x.csv:2:1: c "ruler" is in no table (2 rows have it), expected one that is`,
		`x.csv:3:1: c "tape" is in no table, expected one that is`,
		`x.csv:5:1: c "cord" is in no table, expected one that is`,
	}
	if diff := cmp.Diff(want, lines(errs)); diff != "" || asked != 3 {
		t.Errorf("asked %d times what is expected: %s", asked, diff)
	}
	clone := errs.Clone()
	clone.Add(&CellError{What: "of the clone"})
	clone.Note(Notice{What: "likewise"})
	if len(lines(errs)) != 3 || len(errs.Notices()) != 0 || len(clone.Notices()) != 1 {
		t.Error("a clone adds to its original")
	}
	// Of more different words than are kept the rest are counted.
	many := &Collector{}
	for i := range 1005 {
		many.addOnce(fmt.Sprint(i), i, func() *CellError { return &CellError{Place: Place{"x", i}, What: "x"} })
	}
	if got := lines(many); len(got) != 1001 || got[1000] != "and 5 more errors that are not listed" {
		t.Errorf("%d, the last %q", len(got), got[len(got)-1])
	}
}

// One fault of many cells is one line with the cells as a spreadsheet names them: up to three of them, then how many more. A row is a
// record, however many lines its cells have, and comments count as rows do.
func TestGrouped(t *testing.T) {
	text := "# a comment\nc,d,note\n"
	for i, cells := range []string{"p,", "q,\"two\nmore\nlines\"", "q,", "r,", "r,", "r,", "s,", "s,", "s,", "s,"} {
		text += fmt.Sprintf("%d,%s\n", i, cells)
	}
	rows, errs := opened(t, text, "c", "d", "note")
	for rows.Next() {
		rows.Row().Fail("d", "d is "+rows.Cell(1), "")
		if rows.Cell(0) == "9" {
			rows.Row().Fail("nowhere", "no column", "")
		}
	}
	var all Errors
	if got, ok := errs.Err().(Errors); ok {
		all = got
	}
	want := []string{
		"x.csv:3:3: d is p (cell B3)", "x.csv:4:3: d is q (2 cells: B4, B5)", "x.csv:8:3: d is r (3 cells: B6, B7, B8)",
		"x.csv:11:3: d is s (4 cells: B9, B10, B11 and 1 more)", "x.csv:14:1: no column",
	}
	if diff := cmp.Diff(want, all.Grouped()); diff != "" {
		t.Error(diff)
	}
	// A word that counts its own cells stays by itself, and so does the same fault of another file or cure.
	bare := Errors{
		{Place: Place{"a", 1}, What: "x"}, {Place: Place{"a", 2}, What: "x"}, {Place: Place{"a", 3}, What: "y", fault: "y"},
		{Place: Place{"b", 3}, What: "y", fault: "y"}, {Place: Place{"b", 4}, What: "y", fault: "y", Expected: "z"}, {Place: Place{"b", 5}, What: "y 2", fault: "y"},
	}
	if diff := cmp.Diff([]string{"a:1:0: x", "a:2:0: x", "a:3:0: y", "b:3:0: y", "b:4:0: y, expected z"}, bare.Grouped()); diff != "" {
		t.Error(diff)
	}
}

// Words to choose from: the nearest, or all, or as many as can be read.
func TestOneOf(t *testing.T) {
	many := func(n int) (words []string) {
		for i := range n {
			words = append(words, fmt.Sprintf("w%03d", i))
		}
		return words
	}
	for _, c := range []struct {
		word  string
		known []string
		want  string
	}{
		{"fert", []string{"nut", "fret"}, `"fret"`}, {"zebra", []string{"nut", "fret"}, "one of nut, fret"}, {"zebra", []string{"fret"}, `"fret"`},
		{"zebra", many(60), "one of " + strings.Join(many(60), ", ")}, {"zebra", many(61), "one of " + strings.Join(many(60), ", ") + " and 1 more"},
		{"zebra", many(70), "one of " + strings.Join(many(60), ", ") + " and 10 more"},
	} {
		if got := OneOf(c.word, c.known); got != c.want {
			t.Errorf("%s of %d: %s, want %s", c.word, len(c.known), got, c.want)
		}
	}
	if got := OneOfThese([]string{"fret"}); got != "fret" {
		t.Errorf("one: %s", got)
	}
}

// A slip may take a third of the letters, and one of any word; a word of more than forty letters is none.
func TestHowFarASlipGoes(t *testing.T) {
	long := strings.Repeat("abcd", 10)
	for _, c := range []struct{ word, known, want string }{
		{"ab", "ax", "ax"}, {"ab", "xy", ""}, {"abcde", "abcdx", "abcdx"}, {"abcde", "abcxy", ""},
		{"abcdef", "abcdxy", "abcdxy"}, {"abcdef", "abcxyz", ""}, {"abcdefghi", "abcdefxyz", "abcdefxyz"}, {"abcdefghi", "abcdewxyz", ""},
		{"ba", "ab", "ab"}, {"bac", "abc", "abc"}, {"acb", "abc", "abc"}, {"a_b", "a-b", "a-b"}, {"A B", "a-b", "a-b"},
		{long, long[1:], long[1:]}, {long + "x", long, ""},
	} {
		if got := Nearest(c.word, []string{c.known}); got != c.want {
			t.Errorf("%s for %s: %q, want %q", c.word, c.known, got, c.want)
		}
	}
	if got := Nearest("nat", []string{"net", "nut"}); got != "net" {
		t.Errorf("of two equally near %q is taken, not the first", got)
	}
}
