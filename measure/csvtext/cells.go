package csvtext

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Row says where a row stands and reads its cells. Each reader of a cell reports what is wrong with
// it and then gives the zero value; whoever asks looks at Bad in the end.
type Row struct {
	Place
	Bad bool // something was wrong with this row

	rows   *Rows
	record *record
}

// mistake makes an error of a column of the row; one that the file does not have is at the row's beginning.
func (r *Row) mistake(column, what, expected string) *CellError {
	i, ok := r.rows.index[column]
	if !ok {
		i = noColumn
	}
	line, col := r.record.cellPlace(i)
	e := &CellError{Place: Place{r.File, line}, Column: col, What: what, Expected: expected, fault: what}
	if ok {
		e.Cell = CellName(i, r.record.row)
	}
	return e
}

// Fail reports a column of the row.
func (r *Row) Fail(column, what, expected string) {
	r.rows.reader.errs.Add(r.mistake(column, what, expected))
	r.Bad = true
}

// FailCell reports a cell of the row and quotes it.
func (r *Row) FailCell(column, text, what, expected string) {
	e := r.mistake(column, column+" "+Quote(text)+" "+what, expected)
	e.fault = column + " " + what
	r.rows.reader.errs.Add(e)
	r.Bad = true
}

// FailOnce is FailCell for a word that is wrong wherever it stands: its first row is reported, and
// how many there are. What is expected is asked for once.
func (r *Row) FailOnce(column, text, what string, expected func() string) {
	r.rows.reader.errs.addOnce(text+" "+what, r.Line, func() *CellError {
		e := r.mistake(column, column+" "+Quote(text)+" "+what, expected())
		e.fault = "" // its cells are counted in its words
		return e
	})
	r.Bad = true
}

// CellName is a cell as spreadsheets name it, by its column from 0 and its row from 1.
func CellName(column, row int) string {
	letters := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return letters + strconv.Itoa(row)
}

// Quote writes a cell so that it can stand in a line of a terminal.
func Quote(text string) string {
	if runes := []rune(text); len(runes) > maxWord {
		text = string(runes[:maxWord]) + "..."
	}
	return fmt.Sprintf("%q", text)
}

// Text reads a cell of free text in one line.
func (r *Row) Text(column, cell string) string {
	if strings.ContainsFunc(cell, unicode.IsControl) {
		r.FailCell(column, cell, "has a line break or another control character", "plain text")
		return ""
	}
	return cell
}

// Name reads a cell of text that must not be blank.
func (r *Row) Name(column, cell string) string {
	if cell == "" {
		r.Fail(column, column+" is blank", "a name")
		return ""
	}
	return r.Text(column, cell)
}

// ID reads a name by which things are found, as it is compared.
func (r *Row) ID(column, cell string) string { return Canonical(r.Name(column, cell)) }

// Prose reads a cell of text that may have several lines.
func (r *Row) Prose(column, cell string) string {
	if strings.ContainsFunc(cell, badInProse) {
		r.FailCell(column, cell, "has a control character", "plain text")
		return ""
	}
	return cell
}

func badInProse(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }

// Words are the words that a cell may hold, in any case, by their numbers from 1; number 0 is none.
type Words struct {
	names    []string
	byLength [][]int // the numbers of those of a length: a word is told apart from a few only
}

// NewWords makes them; names has number 1 first.
func NewWords(names ...string) *Words {
	w := &Words{names: append([]string{""}, names...)}
	for i, name := range names {
		for len(w.byLength) <= len(name) {
			w.byLength = append(w.byLength, nil)
		}
		w.byLength[len(name)] = append(w.byLength[len(name)], i+1)
	}
	return w
}

// Len is how many words there are.
func (w *Words) Len() int { return len(w.names) - 1 }

// Name gives the word of a number, and "?" for a number that no word has: it must not pass for none.
func (w *Words) Name(number int) string {
	if number >= len(w.names) {
		return "?"
	}
	return w.names[number]
}

// All lists the words.
func (w *Words) All() []string { return w.names[1:] }

// Number finds a word, in any case.
func (w *Words) Number(word string) (int, bool) {
	if len(word) >= len(w.byLength) {
		return 0, false
	}
	for _, i := range w.byLength[len(word)] {
		if w.names[i] == word {
			return i, true
		}
	}
	for _, i := range w.byLength[len(word)] { // they are ASCII, so that another case is as long
		if strings.EqualFold(w.names[i], word) {
			return i, true
		}
	}
	return 0, false
}

// Word reads a cell that must hold one of the words and gives its number.
func (r *Row) Word(column, cell string, words *Words) int {
	if cell == "" {
		r.Fail(column, column+" is blank", OneOf("", words.All()))
		return 0
	}
	i, ok := words.Number(cell)
	if !ok {
		r.FailCell(column, cell, "is unknown", OneOf(cell, words.All()))
	}
	return i
}

// WordOrBlank is Word for a cell that may be blank, which is number 0.
func (r *Row) WordOrBlank(column, cell string, words *Words) int {
	if cell == "" {
		return 0
	}
	return r.Word(column, cell, words)
}

// Unit reads the unit cell of a row of lengths. After a bad one, NoUnit, nothing is said about the
// row's numbers.
func (r *Row) Unit(cell string) Unit {
	u, ok := ParseUnit(cell)
	if !ok || u == Degrees {
		r.FailCell("unit", cell, "is no unit of length", "mm or in, or blank for mm")
		return NoUnit
	}
	return u
}

// Number reads a cell that may be blank; ok is false when it is, or is wrong.
func (r *Row) Number(column, cell string, u Unit) (x float64, ok bool) {
	if cell == "" || u == NoUnit {
		return 0, false
	}
	x, f := r.rows.numbers.Parse(cell, u, r.Line)
	if f != nil {
		r.FailCell(column, cell, f.What, f.Expected)
		return 0, false
	}
	return x, true
}

// AboveZero reports a number that is not.
func (r *Row) AboveZero(column, cell string, x float64) bool {
	if x <= 0 {
		r.FailCell(column, cell, "is not above zero", "a length above 0")
	}
	return x > 0
}

// ZeroOrMore reports a number that is not.
func (r *Row) ZeroOrMore(column, cell string, x float64) bool {
	if x < 0 {
		r.FailCell(column, cell, "is negative", "0 or more")
	}
	return x >= 0
}

// Positive reads a number that must be above zero.
func (r *Row) Positive(column, cell string, u Unit) (float64, bool) {
	x, ok := r.Number(column, cell, u)
	if !ok || !r.AboveZero(column, cell, x) {
		return 0, false
	}
	return x, true
}

// NotNegative reads a number that must be zero or more.
func (r *Row) NotNegative(column, cell string, u Unit) (float64, bool) {
	x, ok := r.Number(column, cell, u)
	if !ok || !r.ZeroOrMore(column, cell, x) {
		return 0, false
	}
	return x, true
}

// Plain reads a number above zero that is no length, so the row's unit does not touch it.
func (r *Row) Plain(column, cell, expected string) (float64, bool) {
	if cell == "" {
		return 0, false
	}
	x, f := r.rows.numbers.Parse(cell, Millimetres, r.Line)
	if f != nil || x <= 0 {
		r.FailCell(column, cell, "is no such number", expected)
		return 0, false
	}
	return x, true
}

// Count reads a whole number from 1 to limit; blank is 0.
func (r *Row) Count(column, cell, expected string, limit int) int {
	if cell == "" {
		return 0
	}
	n, ok := small(cell)
	if !ok || n < 1 || n > limit {
		r.FailCell(column, cell, "is no such number", fmt.Sprintf("%s, from 1 to %d", expected, limit))
		return 0
	}
	return n
}
