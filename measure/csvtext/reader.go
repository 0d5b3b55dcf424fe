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

// record is one record of a file with what it takes to find the place of a cell in it.
type record struct {
	line  int    // its first line, from 1
	row   int    // the same as a spreadsheet counts, for which a cell of several lines is in one row
	text  string // as it stands in the file, without its last line end
	width int    // how many cells count; there may be more

	plain    bool          // the cells are those that end at ends; else they are the spans
	ends     [maxPlain]int // the cells' ends in text, after one that is before the first
	spans    []span
	unquoted []string // the cells whose doubled quotes were taken out
}

// maxPlain is more columns than any table has.
const maxPlain = 64

// span is a cell in its record's text; numbers, since strings would be pointers for the garbage collector
// to follow.
type span struct {
	start    int32 // with quote and space, as the place of the cell
	from, to int32 // of what is in it; with a negative to, unquoted[from] is
}

// cell is the text of a cell, without quotes and without the space around it; blank for one that the
// record does not have.
func (r *record) cell(i int) string {
	if r.plain && uint(i) < uint(r.width) {
		return r.text[r.ends[i]+1 : r.ends[i+1]]
	}
	return r.carefully(i)
}

// carefully is cell where quotes or spaces are about.
func (r *record) carefully(i int) string {
	if i >= r.width {
		return ""
	}
	s := r.spans[i]
	if s.to < 0 {
		return r.unquoted[s.from]
	}
	return r.text[s.from:s.to]
}

// texts are the texts of all cells.
func (r *record) texts() []string {
	all := make([]string, r.width)
	for i := range all {
		all[i] = r.cell(i)
	}
	return all
}

// place tells line and column, in characters, of a byte of the record.
func (r *record) place(i int) (line, column int) {
	before := r.text[:min(i, len(r.text))]
	lines := strings.Count(before, "\n")
	return r.line + lines, utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]) + 1
}

// cellPlace tells line and column of a cell; one that the record does not have is at its end.
func (r *record) cellPlace(i int) (line, column int) {
	switch {
	case i == noColumn: // the table does not have it
		return r.place(0)
	case i >= r.width:
		return r.place(len(r.text))
	case r.plain:
		return r.place(r.ends[i] + 1)
	}
	return r.place(int(r.spans[i].start))
}

// reader parts a file into its records. Blank lines, rows of blank cells and lines that start with #
// are passed over; a record that is malformed is reported and passed over too.
type reader struct {
	record // the last one that was read
	dialect
	file string
	errs *Collector
	in   *bufio.Reader
	err  error // of the stream

	block string // what was read of the stream
	at    int    // of block, what comes next
	room  []byte
	lines int  // lines gone by
	inner int  // of them, those within records
	atEnd bool // the stream has ended
	ended bool // nothing more is to be read

	class [256]byte // of the bytes

	header, need           int   // cells of the header, and that a row must have; 0 before the header is known
	required               []int // the columns that the header must have
	nameless               []int // columns of the header in which nothing may stand
	wide                   bool  // the file was UTF-16
	likeRows, firstLikeRow int   // comments that look like rows
	lost                   bool  // it was said already that characters cannot be read
}

// newReader reports a file that is no table and gives nil for it.
func newReader(in io.Reader, file string, errs *Collector) (*reader, error) {
	if !slices.Contains(errs.files, file) {
		errs.files = append(errs.files, file)
	}
	text, wide, err := Text(in)
	if err != nil {
		return nil, err
	}
	head, err := peek(text)
	if err != nil {
		return nil, err
	}
	if f := foreign(head); f != nil {
		errs.Add(&CellError{Place: Place{file, 1}, Column: 1, What: f.What, Expected: f.Expected})
		return nil, nil
	}
	r := &reader{in: text, dialect: dialectOf(head), file: file, errs: errs, wide: wide}
	for b := range r.class {
		if b < ' ' || b == '"' || b >= utf8.RuneSelf {
			r.class[b] = special
		}
	}
	r.class[' '], r.class[r.comma] = space, delimiter
	return r, nil
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
		r.line, r.row, r.width, r.spans, r.unquoted = r.lines+1, r.lines+1-r.inner, 0, r.spans[:0], r.unquoted[:0]
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
		r.ended = r.ended || r.header == 0 && len(r.spans) > 0 // without a header the rows mean nothing
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
	if r.plain = r.splitPlain(); r.plain {
		r.lines++
		r.at = min(r.at+end+1, len(r.block))
		return whole
	}
	for i := 0; ; i++ {
		cell := span{start: int32(i)}
		begun := i
		i += r.leadingSpace(i)
		if i < len(r.text) && r.text[i] == '"' {
			if o := r.quoted(text, &cell, &i, &end); o != whole {
				return o
			}
		} else {
			for i < len(r.text) && r.text[i] != r.comma {
				i++
			}
			cell.from, cell.to = r.trim(begun, i)
		}
		r.spans = append(r.spans, cell)
		if i == len(r.text) {
			r.width = len(r.spans)
			return r.pass(end, whole)
		}
	}
}

// The classes of bytes.
const (
	inCell byte = iota
	delimiter
	special // ends nothing, but is not just part of a cell
	_
	space
)

// splitPlain parts the line at once when it is printable ASCII without quotes, as nearly all are. It
// notes every byte as the end of the cell, lest the processor guess where the delimiters are; that halves
// the time.
func (r *reader) splitPlain() bool {
	r.ends[0] = -1
	n, all := uint(1), inCell
	for i, b := range []byte(r.text) {
		class := r.class[b]
		all |= class
		r.ends[n%maxPlain] = i
		n += uint(class & delimiter)
	}
	if n >= maxPlain {
		return false
	}
	r.ends[n] = len(r.text)
	r.width = int(n)
	for i := 0; i < r.width && all&space != 0; i++ { // space around a cell is for the careful
		if cell := r.text[r.ends[i]+1 : r.ends[i+1]]; strings.HasPrefix(cell, " ") || strings.HasSuffix(cell, " ") {
			return false
		}
	}
	return all&special == 0
}

// pass goes on to what comes after the record.
func (r *reader) pass(end int, o outcome) outcome {
	n := strings.Count(r.text, "\n")
	r.lines += 1 + n
	r.inner += n
	r.at = min(r.at+end+1, len(r.block))
	return o
}

// passedOver tells whether the line is no record.
func (r *reader) passedOver() bool {
	if r.text != "" && r.text[0] > '#' && r.text[0] < utf8.RuneSelf && !r.sep {
		return false // its first byte tells
	}
	line := strings.TrimSpace(r.text)
	if line == "" || line[0] == '#' {
		r.likeRow(line)
		return true
	}
	sep := r.sep
	r.sep = false // the first line that is none of these names the delimiter
	return sep
}

// likeRow notes a comment that looks like a row: as many cells as the header, the needed ones filled, and
// no space after its sign.
func (r *reader) likeRow(line string) {
	cells := strings.Split(line, string(r.comma))
	name := strings.TrimPrefix(line, "#")
	if len(cells) != r.header || name == "" || name[0] == ' ' {
		return
	}
	for _, i := range r.required {
		if strings.TrimSpace(cells[i]) == "" {
			return
		}
	}
	if r.likeRows == 0 {
		r.firstLikeRow = r.line
	}
	r.likeRows++
}

// leadingSpace counts the bytes of space before a cell. Where the tab is the delimiter there is none.
func (r *reader) leadingSpace(i int) int {
	if r.comma == '\t' {
		return 0
	}
	rest := r.text[i:]
	return len(rest) - len(strings.TrimLeftFunc(rest, unicode.IsSpace))
}

// trim takes the space around a part of the text off.
func (r *reader) trim(from, to int) (int32, int32) {
	left := strings.TrimLeftFunc(r.text[from:to], unicode.IsSpace)
	from = to - len(left)
	return int32(from), int32(from + len(strings.TrimRightFunc(left, unicode.IsSpace)))
}

// quoted reads the cell whose quote opens at i, and moves i behind its closing quote. It reads over
// the ends of lines, and moves the end of the record to that of the last one. The line ends in a cell
// are line feeds.
func (r *reader) quoted(text string, cell *span, i, end *int) outcome {
	open := *i
	doubled := false
	for j := open + 1; ; {
		n := strings.IndexByte(r.text[j:], '"')
		if n < 0 {
			j = len(r.text)
			if o := r.longer(text, open, end); o != whole {
				return o
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
	closing := *i
	if *i += r.leadingSpace(closing); *i < len(r.text) && r.text[*i] != r.comma { // space is taken on either side of quotes
		r.fail(open, "there is text after the closing quote of the cell", "a delimiter; a quote inside a quoted cell is doubled")
		r.spans = append(r.spans, *cell)
		return r.pass(*end, nothing)
	}
	cell.from, cell.to = r.trim(open+1, closing-1)
	inside := r.text[cell.from:cell.to]
	if doubled || strings.Contains(inside, "\r\n") {
		r.unquoted = append(r.unquoted, strings.NewReplacer(`""`, `"`, "\r\n", "\n").Replace(inside))
		cell.from, cell.to = int32(len(r.unquoted)-1), -1
	}
	return whole
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
	if r.plain && r.width == r.header && len(r.nameless) == 0 && r.ends[1] > 0 {
		return true // nearly all have just the header's cells, the first of them filled
	}
	if r.filled(0) == r.width {
		r.width, r.spans = 0, r.spans[:0]
		return false
	}
	if !r.plain && !r.readable() {
		return false
	}
	if r.header == 0 {
		return true
	}
	for _, i := range r.nameless {
		if r.cell(i) != "" {
			r.failCell(i, "there is a cell in a column without a name", "a name in the header, or # to pass the column over")
			return false
		}
	}
	at := r.filled(r.header)
	if at == r.width && r.width >= r.need {
		r.width = min(r.width, r.header)
		return true
	}
	r.failCell(at, fmt.Sprintf("the row has %d cells", r.width), fmt.Sprintf("%d as the header has", r.header))
	return false
}

// filled is the first cell from one on that is not blank, or as many as there are.
func (r *reader) filled(from int) int {
	for i := from; i < r.width; i++ {
		if r.cell(i) != "" {
			return i
		}
	}
	return r.width
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

// failCell reports a cell of the record.
func (r *reader) failCell(i int, what, expected string) {
	line, column := r.cellPlace(i)
	r.errs.Add(&CellError{Place: Place{r.file, line}, Column: column, What: what, Expected: expected, fault: what})
}

// fail reports a byte of the record.
func (r *reader) fail(i int, what, expected string) {
	line, column := r.place(i)
	r.errs.Add(&CellError{Place: Place{r.file, line}, Column: column, What: what, Expected: expected, fault: what})
}
