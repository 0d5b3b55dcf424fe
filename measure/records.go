package measure

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxRecord is far more than a row with a long note takes; more means that a quote was opened and
// never closed, and reading on would fill the memory.
const maxRecord = 1 << 16

// records reads the records of a CSV file and hands them on as clean CSV: every record has as many
// cells as the header, blank lines and comments are empty lines, and what is malformed is reported
// and dropped. The number of lines stays the same. It hands on one record at each Read, so that
// whoever asks for the place of a cell asks about the record that was read last.
type records struct {
	in   *bufio.Reader
	file string
	errs *collector
	sniffed

	width, need int   // cells of the header, and that a row must have; 0 before the header is known
	nameless    []int // columns of the header in which nothing may stand
	line        int   // lines read so far
	badText     bool
	ended       bool

	raw    []byte // the record as it stands in the file, without its last line end
	starts []int  // where its cells start in raw
	first  int    // its first line
	out    []byte // what is still to be handed on
	clean  []byte
}

// newRecords reports a file that is no CSV and gives nil for it.
func newRecords(in io.Reader, file string, errs *collector) (*records, error) {
	errs.begin(file)
	text, err := textOf(in)
	if err != nil {
		return nil, err
	}
	r := &records{in: text, file: file, errs: errs}
	s, f, err := sniff(r.in)
	if err != nil {
		return nil, err
	}
	if f != nil {
		errs.add(&CellError{Place{file, 1}, 1, f.what, f.expected})
		return nil, nil
	}
	r.sniffed = s
	return r, nil
}

// Read hands on the next record, or what is left of the last one.
func (r *records) Read(p []byte) (int, error) {
	if len(r.out) == 0 {
		if err := r.next(); err != nil {
			return 0, err
		}
	}
	n := copy(p, r.out)
	r.out = r.out[n:]
	return n, nil
}

// next makes out from the next record of the file.
func (r *records) next() error {
	r.raw, r.starts, r.first = r.raw[:0], r.starts[:0], r.line+1
	if r.ended {
		return io.EOF
	}
	if err := r.addLine(); err != nil {
		return err
	}
	text := bytes.TrimSpace(r.raw)
	if len(text) == 0 || text[0] == '#' {
		r.drop()
		return nil
	}
	if r.sep {
		r.sep = false // sniff has read the line
		r.drop()
		return nil
	}
	good, err := r.split()
	if err != nil {
		return err
	}
	if good && r.blank() {
		r.drop()
		return nil
	}
	if !good || !r.text() || !r.fit() {
		r.ended = r.ended || r.width == 0 // without a header the rows mean nothing
		r.drop()
	}
	return nil
}

// addLine reads one line of the file to the end of raw, without its line end.
func (r *records) addLine() error {
	if len(r.raw) > 0 {
		r.raw = append(r.raw, '\n')
	}
	begun := len(r.raw)
	for {
		part, err := r.in.ReadSlice('\n')
		r.raw = append(r.raw, part...)
		if err == io.EOF && len(r.raw) == begun {
			return io.EOF
		}
		if err == nil || err == io.EOF {
			break
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return err
		}
		if len(r.raw) > maxRecord {
			r.ended = true
			r.line++
			r.fail(begun, "the line is longer than 65536 bytes", "a table with a row a line")
			return io.EOF
		}
	}
	r.line++
	r.raw = bytes.TrimSuffix(bytes.TrimSuffix(r.raw, []byte("\n")), []byte("\r"))
	return nil
}

// drop hands on empty lines instead of the record.
func (r *records) drop() {
	r.clean = r.clean[:0]
	for range r.line - r.first + 1 {
		r.clean = append(r.clean, '\n')
	}
	r.out = r.clean
}

// split finds where the cells start, reading on while a quote is open. It is false for a record
// whose quotes are wrong.
func (r *records) split() (bool, error) {
	for i := 0; ; {
		r.starts = append(r.starts, i)
		i += r.leadingSpace(i)
		if i < len(r.raw) && r.raw[i] == '"' {
			end, err := r.closing(i)
			if end < 0 || err != nil {
				return false, err
			}
			if end < len(r.raw) && r.raw[end] != r.comma {
				r.fail(i, "there is text after the closing quote of the cell", "a delimiter; a quote inside a quoted cell is doubled")
				return false, nil
			}
			i = end
		} else if n := bytes.IndexByte(r.raw[i:], r.comma); n >= 0 {
			i += n
		} else {
			i = len(r.raw)
		}
		if i == len(r.raw) {
			return true, nil
		}
		i++
	}
}

// leadingSpace counts the bytes of space before a cell, as the csv package trims it. Where the tab
// is the delimiter nothing is trimmed there.
func (r *records) leadingSpace(i int) int {
	if r.comma == '\t' {
		return 0
	}
	rest := r.raw[i:]
	return len(rest) - len(bytes.TrimLeftFunc(rest, unicode.IsSpace))
}

// closing finds the place after the quote that closes the one at i, or -1.
func (r *records) closing(i int) (int, error) {
	for j := i + 1; ; {
		n := bytes.IndexByte(r.raw[j:], '"')
		if n >= 0 && j+n+1 < len(r.raw) && r.raw[j+n+1] == '"' {
			j += n + 2
			continue
		}
		if n >= 0 {
			return j + n + 1, nil
		}
		j = len(r.raw)
		err := r.addLine()
		if err == io.EOF || len(r.raw) > maxRecord {
			r.ended = true
			r.fail(i, "a quote is opened here and never closed", "a closing quote, or none")
			return -1, nil
		}
		if err != nil {
			return -1, err
		}
	}
}

// blank tells whether no cell has anything in it.
func (r *records) blank() bool {
	for i := range r.starts {
		if !r.blankCell(i) {
			return false
		}
	}
	return true
}

func (r *records) blankCell(i int) bool {
	cell := bytes.TrimSpace(r.cell(i))
	return len(cell) == 0 || string(cell) == `""`
}

func (r *records) cell(i int) []byte {
	end := len(r.raw)
	if i+1 < len(r.starts) {
		end = r.starts[i+1] - 1
	}
	return r.raw[r.starts[i]:end]
}

// text tells whether the record is UTF-8. The first one that is not is reported: all of the file
// has the same cure.
func (r *records) text() bool {
	if utf8.Valid(r.raw) {
		return true
	}
	for i := 0; i < len(r.raw) && !r.badText; {
		c, n := utf8.DecodeRune(r.raw[i:])
		if c == utf8.RuneError && n == 1 {
			f := invalid(r.raw[i])
			r.fail(i, f.what, f.expected)
			r.badText = true
		}
		i += n
	}
	return false
}

// fit gives the record as many cells as the header has. Blank cells too many are cut off; cells
// too few are filled up when the header says that they may be blank.
func (r *records) fit() bool {
	cells, end := len(r.starts), len(r.raw)
	if r.width == 0 {
		r.width = cells
	}
	for _, i := range r.nameless {
		if i < cells && !r.blankCell(i) {
			r.fail(r.starts[i], "there is a cell in a column without a name", "a name in the header, or # to pass the column over")
			return false
		}
	}
	for i := r.width; i < cells; i++ {
		if !r.blankCell(i) {
			r.fail(r.starts[i], fmt.Sprintf("the row has %d cells", cells), fmt.Sprintf("%d as the header has", r.width))
			return false
		}
	}
	if cells > r.width {
		end = r.starts[r.width] - 1
	}
	if cells < r.need {
		r.fail(end, fmt.Sprintf("the row has %d cells", cells), fmt.Sprintf("%d as the header has", r.width))
		return false
	}
	r.clean = append(r.clean[:0], r.raw[:end]...)
	for range r.width - cells {
		r.clean = append(r.clean, r.comma)
	}
	r.clean = append(r.clean, '\n')
	r.out = r.clean
	return true
}

// place tells line and column of a byte of the record.
func (r *records) place(i int) (line, column int) {
	before := string(r.raw[:min(i, len(r.raw))])
	lines := strings.Count(before, "\n")
	return r.first + lines, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
}

// cellPlace tells line and column of a cell; one that the row does not have is at its end.
func (r *records) cellPlace(i int) (line, column int) {
	if i >= len(r.starts) {
		return r.place(len(r.raw))
	}
	return r.place(r.starts[i])
}

func (r *records) fail(i int, what, expected string) {
	line, column := r.place(i)
	r.errs.add(&CellError{Place{r.file, line}, column, what, expected})
}
