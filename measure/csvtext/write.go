package csvtext

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/gocarina/gocsv"
)

// Writer writes a table with commas and line feeds, so that this package reads the same again. It
// refuses text that the readers of cells refuse. It is what gocsv asks of a writer.
type Writer struct {
	out    *bufio.Writer
	header []string // the first record
	err    error
}

// NewWriter writes to out.
func NewWriter(out io.Writer) *Writer { return &Writer{out: bufio.NewWriter(out)} }

// Write writes a record, the header first.
func (w *Writer) Write(cells []string) error {
	if w.header == nil {
		w.header = slices.Clone(cells) // gocsv writes the next row into the same
	}
	for i, cell := range cells {
		prose := w.header[i] == "note" || w.header[i] == "source" // which may have several lines
		odd := func(c rune) bool { return unicode.IsControl(c) && (!prose || badInProse(c)) }
		if w.err == nil && (!utf8.ValidString(cell) || strings.ContainsFunc(cell, odd)) { // it would not be read again
			w.err = fmt.Errorf("cannot write %s %s of %q into a table", w.header[i], Quote(cell), cells[0])
		}
		if i > 0 {
			w.out.WriteByte(',')
		}
		if strings.ContainsAny(cell, ",;\t\n\"#") {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		w.out.WriteString(cell)
	}
	w.out.WriteByte('\n')
	return w.err
}

// Flush hands on what is still held back.
func (w *Writer) Flush() {
	if err := w.out.Flush(); w.err == nil {
		w.err = err
	}
}

// Error is the first error of all, or nil.
func (w *Writer) Error() error { return w.err }

// Write writes a whole table of rows, structs of strings with csv tags.
func Write[R any](out io.Writer, rows []R) error { return gocsv.MarshalCSV(rows, NewWriter(out)) }

// Numbers writes numbers into cells and keeps in mind whether there was one that no table can hold.
type Numbers struct{ Err error }

// Exact is the shortest decimal that is read as the same float. Exponents are left to numbers so small
// that they would be too long without.
func (n *Numbers) Exact(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		n.Err = fmt.Errorf("cannot write %v into a table", x)
	}
	format := byte('f')
	if x != 0 && math.Abs(x) < 1e-4 {
		format = 'e'
	}
	return strconv.FormatFloat(x, format, -1, 64)
}

// ExactIf is Exact, or a blank for what is not there.
func (n *Numbers) ExactIf(there bool, x float64) string {
	if !there {
		return ""
	}
	return n.Exact(x)
}

// Count writes a whole number, and a blank for 0.
func Count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
