package csvtext

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxRecord is far more than a row with a long note takes; more means that a quote was opened and
// never closed, and reading on would fill the memory.
const maxRecord = 1 << 16

// Record is one record of a file with what it takes to find the place of a cell in it.
type Record struct {
	Line  int      // its first line, from 1
	Cells []string // without quotes and without the space around them

	text   string  // as it stands in the file, without its last line end
	starts []int32 // where its cells start in text; there may be more of them than Cells
}

// clone is for a record that is to outlive the next one.
func (r *Record) clone() Record {
	return Record{r.Line, slices.Clone(r.Cells), r.text, slices.Clone(r.starts)}
}

// place tells line and column, in characters, of a byte of the record.
func (r *Record) place(i int) (line, column int) {
	before := r.text[:min(i, len(r.text))]
	lines := strings.Count(before, "\n")
	return r.Line + lines, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
}

// cellPlace tells line and column of a cell; one that the record does not have is at its end.
func (r *Record) cellPlace(i int) (line, column int) {
	if i >= len(r.starts) {
		return r.place(len(r.text))
	}
	return r.place(int(r.starts[i]))
}

// reader parts a file into its records. Blank lines, rows of blank cells and lines that start with #
// are passed over; a record that is malformed is reported and passed over too.
type reader struct {
	Record // the last one that was read
	dialect
	file string
	errs *Collector
	in   *bufio.Reader
	err  error // of the stream

	block string // what was read of the stream
	at    int    // of block, what comes next
	room  []byte
	line  int  // lines gone by
	atEnd bool // the stream has ended
	ended bool // nothing more is to be read

	width, need int   // cells of the header, and that a row must have; 0 before the header is known
	nameless    []int // columns of the header in which nothing may stand
	wide        bool  // the file was UTF-16
	lost        bool  // it was said already that characters cannot be read
}

// newReader reports a file that is no table and gives nil for it.
func newReader(in io.Reader, file string, errs *Collector) (*reader, error) {
	errs.begin(file)
	text, wide, err := Text(in)
	if err != nil {
		return nil, err
	}
	head, err := peek(text)
	if err != nil {
		return nil, err
	}
	if f := foreign(head); f != nil {
		errs.Add(&CellError{Place{file, 1}, 1, f.What, f.Expected})
		return nil, nil
	}
	return &reader{in: text, dialect: dialectOf(head), file: file, errs: errs, wide: wide}, nil
}

// next reads on to the next record that is good as a record. It is false at the end, or where the
// stream breaks, which err tells.
func (r *reader) next() bool {
	for !r.ended {
		text := r.block[r.at:]
		end := strings.IndexByte(text, '\n')
		if end < 0 && !r.atEnd && len(text) <= maxRecord {
			r.fill()
			continue
		}
		if end < 0 {
			end = len(text)
			r.ended = r.atEnd
		}
		r.Line, r.starts, r.Cells = r.line+1, r.starts[:0], r.Cells[:0]
		if end > maxRecord {
			r.text, r.ended = text[:maxRecord], true
			r.fail(0, "the line is longer than 65536 bytes", "a table with a row a line")
			return false
		}
		switch r.split(text, end) {
		case cutOff:
			r.fill()
			continue
		case whole:
			if r.fit() {
				return true
			}
		}
		r.ended = r.ended || r.width == 0 && len(r.starts) > 0 // without a header the rows mean nothing
	}
	return false
}

// fill reads another block and puts what is left of the last one before it.
func (r *reader) fill() {
	r.ended = false
	left := len(r.block) - r.at
	if len(r.room) < left+peekSize {
		r.room = make([]byte, left+2*peekSize)
	}
	copy(r.room, r.block[r.at:])
	n, err := r.in.Read(r.room[left : left+peekSize])
	r.block, r.at = string(r.room[:left+n]), 0
	if err == io.EOF {
		r.atEnd = true
	} else if err != nil {
		r.err, r.ended = err, true
	}
}

// outcome is what became of a record.
type outcome uint8

const (
	whole   outcome = iota
	nothing         // a blank line or a comment, or what was reported
	cutOff          // the block ends before the record does
)

// split parts the record at the beginning of text, whose first line has a length.
func (r *reader) split(text string, end int) outcome {
	r.text = strings.TrimSuffix(text[:end], "\r")
	if r.passedOver() {
		return r.pass(end, nothing)
	}
	for i := 0; ; i++ {
		r.starts = append(r.starts, int32(i))
		begun := i
		i += r.leadingSpace(i)
		if i < len(r.text) && r.text[i] == '"' {
			cell, o := r.quoted(text, &i, &end)
			if o != whole {
				return o
			}
			r.Cells = append(r.Cells, strings.TrimSpace(cell))
		} else {
			for i < len(r.text) && r.text[i] != r.comma {
				i++
			}
			r.Cells = append(r.Cells, trimmed(r.text[begun:i]))
		}
		if i == len(r.text) {
			return r.pass(end, whole)
		}
	}
}

// pass goes on to what comes after the record.
func (r *reader) pass(end int, o outcome) outcome {
	r.line += 1 + strings.Count(r.text, "\n")
	r.at = min(r.at+end+1, len(r.block))
	return o
}

// passedOver tells whether the line is no record.
func (r *reader) passedOver() bool {
	if r.text != "" && r.text[0] > '#' && r.text[0] < utf8.RuneSelf && !r.sep {
		return false
	}
	line := strings.TrimSpace(r.text)
	if line == "" || line[0] == '#' {
		return true
	}
	sep := r.sep
	r.sep = false // the first line that is none of these names the delimiter
	return sep
}

// leadingSpace counts the bytes of space before a cell. Where the tab is the delimiter there is none.
func (r *reader) leadingSpace(i int) int {
	if i == len(r.text) || r.text[i] > ' ' && r.text[i] < utf8.RuneSelf || r.comma == '\t' {
		return 0
	}
	rest := r.text[i:]
	return len(rest) - len(strings.TrimLeftFunc(rest, unicode.IsSpace))
}

// trimmed is strings.TrimSpace with a short way for what has none.
func trimmed(cell string) string {
	if cell == "" || cell[0] > ' ' && cell[0] < utf8.RuneSelf && cell[len(cell)-1] > ' ' && cell[len(cell)-1] < utf8.RuneSelf {
		return cell
	}
	return strings.TrimSpace(cell)
}

// quoted gives the text of the cell whose quote opens at i, and moves i behind its closing quote. It
// reads over the ends of lines, and moves the end of the record to that of the last one.
func (r *reader) quoted(text string, i, end *int) (string, outcome) {
	open := *i
	doubled := false
	for j := open + 1; ; {
		n := strings.IndexByte(r.text[j:], '"')
		if n < 0 {
			j = len(r.text)
			if o := r.longer(text, open, end); o != whole {
				return "", o
			}
			continue
		}
		j += n + 1
		if j == len(r.text) || r.text[j] != '"' {
			*i = j
			break
		}
		doubled = true
		j++
	}
	if *i < len(r.text) && r.text[*i] != r.comma {
		r.fail(open, "there is text after the closing quote of the cell", "a delimiter; a quote inside a quoted cell is doubled")
		return "", r.pass(*end, nothing)
	}
	cell := r.text[open+1 : *i-1]
	if doubled {
		cell = strings.ReplaceAll(cell, `""`, `"`)
	}
	return strings.ReplaceAll(cell, "\r\n", "\n"), whole
}

// longer adds another line to a record in which a quote is open.
func (r *reader) longer(text string, open int, end *int) outcome {
	n := -1
	if *end < len(text) {
		n = strings.IndexByte(text[*end+1:], '\n')
	}
	switch {
	case n >= 0 && *end <= maxRecord:
		*end += 1 + n
	case len(text) > maxRecord || r.atEnd && *end >= len(text)-1:
		r.ended = true
		r.fail(open, "a quote is opened here and never closed", "a closing quote, or none")
		return nothing
	case !r.atEnd:
		return cutOff
	default:
		*end, r.ended = len(text), true // the last line has no end
	}
	r.text = strings.TrimSuffix(text[:*end], "\r")
	return whole
}

// fit checks a record and gives it as many cells as the header has: blank ones too many are cut off;
// cells too few are allowed where the header says that they may be blank.
func (r *reader) fit() bool {
	if r.blank() || !r.readable() {
		return false
	}
	if r.width == 0 {
		return true
	}
	cells := len(r.Cells)
	for _, i := range r.nameless {
		if i < cells && r.Cells[i] != "" {
			r.fail(int(r.starts[i]), "there is a cell in a column without a name", "a name in the header, or # to pass the column over")
			return false
		}
	}
	for i := r.width; i < cells; i++ {
		if r.Cells[i] != "" {
			r.fail(int(r.starts[i]), fmt.Sprintf("the row has %d cells", cells), fmt.Sprintf("%d as the header has", r.width))
			return false
		}
	}
	if cells < r.need {
		r.fail(len(r.text), fmt.Sprintf("the row has %d cells", cells), fmt.Sprintf("%d as the header has", r.width))
		return false
	}
	r.Cells = r.Cells[:min(cells, r.width)]
	return true
}

// blank tells whether no cell has anything in it.
func (r *reader) blank() bool {
	for _, cell := range r.Cells {
		if cell != "" {
			return false
		}
	}
	r.starts = r.starts[:0]
	return true
}

// readable tells whether the record is UTF-8. The first one that is not is reported: all of the file
// has the same cure.
func (r *reader) readable() bool {
	if utf8.ValidString(r.text) && !(r.wide && strings.ContainsRune(r.text, utf8.RuneError)) {
		return true
	}
	for i := 0; i < len(r.text) && !r.lost; {
		c, n := utf8.DecodeRuneInString(r.text[i:])
		if r.lost = c == utf8.RuneError && (n == 1 || r.wide); r.lost {
			what := fmt.Sprintf("byte 0x%02X is not UTF-8", r.text[i])
			if r.wide {
				what = "half a character of UTF-16 stands alone"
			}
			r.fail(i, what, exportAgain)
		}
		i += n
	}
	return false
}

// fail reports a byte of the record.
func (r *reader) fail(i int, what, expected string) {
	line, column := r.place(i)
	r.errs.Add(&CellError{Place{r.file, line}, column, what, expected})
}
