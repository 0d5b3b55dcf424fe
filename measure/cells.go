package measure

import (
	"fmt"
	"strings"
	"unicode"
)

// The readers of single cells. Each reports what is wrong with its cell and then gives the zero
// value; whoever asks looks at row.bad in the end.

// text reads a cell of free text in one line.
func (r *row) text(column, cell string) string {
	cell = strings.TrimSpace(cell)
	if strings.ContainsFunc(cell, unicode.IsControl) {
		r.failCell(column, cell, "has a line break or another control character", "plain text")
		return ""
	}
	return cell
}

// name reads a cell of text that must not be blank.
func (r *row) name(column, cell string) string {
	if strings.TrimSpace(cell) == "" {
		r.fail(column, column+" is blank", "a name")
		return ""
	}
	return r.text(column, cell)
}

// prose reads a cell of text that may have several lines.
func (r *row) prose(column, cell string) string {
	cell = strings.TrimSpace(cell)
	if strings.ContainsFunc(cell, badInProse) {
		r.failCell(column, cell, "has a control character", "plain text")
		return ""
	}
	return cell
}

func badInProse(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }

// word reads a cell that must hold one of the known words, in any case, and gives its number.
func (r *row) word(column, cell string, names []string) int {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		r.fail(column, column+" is blank", expectedOneOf("", names[1:]))
		return 0
	}
	i, ok := numberOf(names, cell)
	if !ok {
		r.failCell(column, cell, "is unknown", expectedOneOf(cell, names[1:]))
	}
	return i
}

// wordOrBlank is word for a cell that may be blank, which is number 0.
func (r *row) wordOrBlank(column, cell string, names []string) int {
	if strings.TrimSpace(cell) == "" {
		return 0
	}
	return r.word(column, cell, names)
}

// unit reads the unit cell of a row of lengths. After a bad one nothing is said about the row's
// numbers, for which nil is a signal.
func (r *row) unit(cell string) *unit {
	u, ok := parseUnit(strings.TrimSpace(cell))
	if !ok || u == degrees {
		r.failCell("unit", cell, "is no unit of length", "mm or in, or blank for mm")
		return nil
	}
	return &u
}

// number reads a cell that may be blank; ok is false when it is, or is wrong.
func (r *row) number(column, cell string, u *unit) (x float64, ok bool) {
	cell = strings.TrimSpace(cell)
	if cell == "" || u == nil {
		return 0, false
	}
	x, f := r.numbers.parseNumber(cell, *u, r.Line)
	if f != nil {
		r.failCell(column, cell, f.what, f.expected)
		return 0, false
	}
	return x, true
}

// positive reads a number that must be above zero.
func (r *row) positive(column, cell string, u *unit) (float64, bool) {
	x, ok := r.number(column, cell, u)
	if ok && x <= 0 {
		r.failCell(column, strings.TrimSpace(cell), "is not above zero", "a length above 0")
		return 0, false
	}
	return x, ok
}

// plain reads a number above zero that is no length, so the row's unit does not touch it.
func (r *row) plain(column, cell, expected string) (float64, bool) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return 0, false
	}
	x, f := r.numbers.parseNumber(cell, millimetres, r.Line)
	if f != nil || x <= 0 {
		r.failCell(column, cell, "is no such number", expected)
		return 0, false
	}
	return x, true
}

// notNegative reads a number that must be zero or more.
func (r *row) notNegative(column, cell string, u *unit) (float64, bool) {
	x, ok := r.number(column, cell, u)
	if ok && x < 0 {
		r.failCell(column, strings.TrimSpace(cell), "is negative", "0 or more")
		return 0, false
	}
	return x, ok
}

// count reads a whole number from 1 to limit; blank is 0.
func (r *row) count(column, cell, expected string, limit int) int {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return 0
	}
	n, ok := small(cell)
	if !ok || n < 1 || n > limit {
		r.failCell(column, cell, "is no such number", fmt.Sprintf("%s, from 1 to %d", expected, limit))
		return 0
	}
	return n
}
