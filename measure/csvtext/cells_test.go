package csvtext

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// opened is a table of some columns, the first of them required, and what is wrong with it.
func opened(t *testing.T, text string, columns ...string) (*Rows, *Collector) {
	t.Helper()
	errs := &Collector{}
	rows, err := (&Table{Name: "x.csv", Columns: columns, required: columns[:1]}).Open("x.csv", strings.NewReader(text), errs, nil)
	if err != nil {
		t.Fatal(err)
	}
	return rows, errs
}

func lines(errs *Collector) []string {
	if err := errs.Err(); err != nil {
		return strings.Split(err.Error(), "\n")
	}
	return nil
}

// Each reader of a cell: what it makes of a good one, and that a bad one is zero, makes the row bad and is said with its place.
func TestReadersOfCells(t *testing.T) {
	words := NewWords("each", "pairs", "fixed", "bass")
	type of = func(r *Row, cell string) any
	number := func(read func(r *Row, column, cell string, u Unit) (float64, bool), u Unit) of {
		return func(r *Row, cell string) any {
			x, ok := read(r, "c", cell, u)
			return fmt.Sprint(x, ok)
		}
	}
	text := func(r *Row, cell string) any { return r.Text("c", cell) }
	name := func(r *Row, cell string) any { return r.Name("c", cell) }
	prose := func(r *Row, cell string) any { return r.Prose("c", cell) }
	id := func(r *Row, cell string) any { return r.ID("c", cell) }
	word := func(r *Row, cell string) any { return r.Word("c", cell, words) }
	orBlank := func(r *Row, cell string) any { return r.WordOrBlank("c", cell, words) }
	unit := func(r *Row, cell string) any { return r.Unit(cell) }
	count := func(r *Row, cell string) any { return r.Count("c", cell, "a string", 24) }
	plain := func(r *Row, cell string) any {
		x, ok := r.Plain("c", cell, "a share")
		return fmt.Sprint(x, ok)
	}
	anyway, positive, notNegative := number((*Row).Number, Millimetres), number((*Row).Positive, Millimetres), number((*Row).NotNegative, Millimetres)
	const broken, notANumber = " has a line break or another control character, expected plain text", " is not a number, expected a length in millimetres such as 55.6"
	for _, c := range []struct {
		read of
		cell string
		want any
		says string
	}{
		{text, "", "", ""}, {text, "Höhe 3", "Höhe 3", ""}, {text, "a\tb", "", `c "a\tb"` + broken}, {text, "a\nb", "", `c "a\nb"` + broken},
		{name, "K1", "K1", ""}, {name, "", "", "c is blank, expected a name"}, {name, "K\a", "", `c "K\a"` + broken},
		{id, "cafe\u0301", "café", ""}, {id, "", "", "c is blank, expected a name"},
		{prose, "two\nlines,\ta tab", "two\nlines,\ta tab", ""}, {prose, "a bell\a", "", `c "a bell\a" has a control character, expected plain text`},
		{word, "each", 1, ""}, {word, "PAIRS", 2, ""}, {word, "bass", 4, ""}, {word, "fixd", 0, `c "fixd" is unknown, expected "fixed"`},
		{word, "", 0, "c is blank, expected one of each, pairs, fixed, bass"}, {word, "sideways", 0, `c "sideways" is unknown, expected one of each, pairs, fixed, bass`},
		{orBlank, "", 0, ""}, {orBlank, "fixed", 3, ""}, {orBlank, "x", 0, `c "x" is unknown, expected one of each, pairs, fixed, bass`},
		{unit, "", Millimetres, ""}, {unit, "mm", Millimetres, ""}, {unit, "MM", Millimetres, ""}, {unit, "Inch", Inches, ""}, {unit, `"`, Inches, ""}, {unit, "in", Inches, ""},
		{unit, "deg", NoUnit, `unit "deg" is no unit of length, expected mm or in, or blank for mm`}, {unit, "cm", NoUnit, `unit "cm" is no unit of length, expected mm or in, or blank for mm`},
		{anyway, "", "0 false", ""}, {anyway, "-1.5", "-1.5 true", ""}, {anyway, "0", "0 true", ""}, {anyway, "x", "0 false", `c "x"` + notANumber},
		{number((*Row).Number, NoUnit), "7", "0 false", ""}, {number((*Row).Number, Inches), "1 1/2", "38.1 true", ""},
		{positive, "", "0 false", ""}, {positive, "0.001", "0.001 true", ""}, {positive, "0", "0 false", `c "0" is not above zero, expected a length above 0`},
		{positive, "-0.5", "0 false", `c "-0.5" is not above zero, expected a length above 0`}, {positive, "x", "0 false", `c "x"` + notANumber},
		{notNegative, "", "0 false", ""}, {notNegative, "0", "0 true", ""}, {notNegative, "0.5", "0.5 true", ""},
		{notNegative, "-0.001", "0 false", `c "-0.001" is negative, expected 0 or more`}, {notNegative, "x", "0 false", `c "x"` + notANumber},
		{plain, "", "0 false", ""}, {plain, "0.95", "0.95 true", ""}, {plain, "0", "0 false", `c "0" is no such number, expected a share`},
		{plain, "-1", "0 false", `c "-1" is no such number, expected a share`}, {plain, "x", "0 false", `c "x" is no such number, expected a share`},
		{count, "", 0, ""}, {count, "1", 1, ""}, {count, "24", 24, ""}, {count, "0", 0, `c "0" is no such number, expected a string, from 1 to 24`},
		{count, "25", 0, `c "25" is no such number, expected a string, from 1 to 24`}, {count, "1.5", 0, `c "1.5" is no such number, expected a string, from 1 to 24`},
		{count, "100001", 0, `c "100001" is no such number, expected a string, from 1 to 24`},
	} {
		rows, errs := opened(t, "c,unit\nx,y\n", "c", "unit")
		if !rows.Next() {
			t.Fatal(errs.Err())
		}
		r := rows.Row()
		if got := c.read(r, c.cell); got != c.want || r.Bad != (c.says != "") {
			t.Errorf("%q: %v, bad %v, want %v", c.cell, got, r.Bad, c.want)
		}
		column := 1
		if strings.HasPrefix(c.says, "unit") {
			column = 3
		}
		if got := lines(errs); c.says == "" && got != nil || c.says != "" && !cmp.Equal(got, []string{fmt.Sprintf("x.csv:2:%d: %s", column, c.says)}) {
			t.Errorf("%q: %q, want %q", c.cell, got, c.says)
		}
	}
}

// Columns are named as spreadsheets do: 26 letters, then two; a sheet of 16,384 columns ends at XFD.
func TestCellNames(t *testing.T) {
	for column, want := range map[int]string{0: "A7", 1: "B7", 25: "Z7", 26: "AA7", 27: "AB7", 51: "AZ7", 52: "BA7", 701: "ZZ7", 702: "AAA7", 16383: "XFD7"} {
		if got := CellName(column, 7); got != want {
			t.Errorf("column %d: %s, want %s", column, got, want)
		}
	}
}

func TestWords(t *testing.T) {
	w := NewWords("bass", "treble", "end")
	if w.Len() != 3 || !cmp.Equal(w.All(), []string{"bass", "treble", "end"}) {
		t.Errorf("%d words: %v", w.Len(), w.All())
	}
	for i, want := range []string{"", "bass", "treble", "end", "?", "?"} {
		if got := w.Name(i); got != want {
			t.Errorf("number %d: %q, want %q", i, got, want)
		}
	}
	for word, want := range map[string]int{"bass": 1, "Treble": 2, "END": 3, "": 0, "bas": 0, "trebles": 0, "basse": 0} {
		if got, ok := w.Number(word); got != want || ok != (want > 0) {
			t.Errorf("%q: %d, %v, want %d", word, got, ok, want)
		}
	}
}

// What looks the same on a screen is the same name; what looks different is not.
func TestCanonical(t *testing.T) {
	for name, want := range map[string]string{
		"K1": "K1", "a b": "a b", "a  b": "a b", "a    b": "a b", "a b ": "a b ", // the reader has taken the space around it off
		"A\u2010B": "A-B", "A\u2011B": "A-B", "A\u2012B": "A-B", "A\u2212B": "A-B", "A\u2013B": "A\u2013B",
		"K\u00ad1": "K1", "K\u200b1": "K1", "K\u20601": "K1", "\ufeffK1": "K1",
		"a\u00a0b": "a b", "a\u2003\u00a0b": "a b", "\u00a0a\u202f": "a", "e\u0301": "é", "A\u030a": "Å", "é é": "é é",
	} {
		if got := Canonical(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// A cell is quoted as it stands up to forty characters, which are more than any word of the tables.
func TestQuote(t *testing.T) {
	for n, want := range map[int]string{1: `"ü"`, 40: `"` + strings.Repeat("ü", 40) + `"`, 41: `"` + strings.Repeat("ü", 40) + `..."`, 90: `"` + strings.Repeat("ü", 40) + `..."`} {
		if got := Quote(strings.Repeat("ü", n)); got != want {
			t.Errorf("%d characters: %s", n, got)
		}
	}
}
