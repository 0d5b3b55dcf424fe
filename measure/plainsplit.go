package measure

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"unicode/utf8"
)

// maxPlain is the longest record that is plain, in bytes. It lies below maxRecord, so that whether
// a record is too long is for the records to say.
const maxPlain = maxRecord / 2

// splitter parts one record after another. Its cells stand in the order of the table's columns;
// what the record does not have is empty.
type splitter struct {
	*layout
	src   []byte         // what the cells are parts of
	cells [allCells]span // of the columns by number, and of the two sorts that have none
	text  []byte         // room for cells that are not in the file as they are meant
}

// span is a cell by its first byte and the one after it.
type span struct{ from, to int32 }

func (s span) empty() bool { return s.from == s.to }

// allCells is a power of two, so that a masked number needs no check.
const allCells = 32

func (s *splitter) at(column int) []byte {
	c := s.cells[column]
	return s.src[c.from:c.to]
}

// The outcomes of a splitting.
type outcome uint8

const (
	isRow    outcome = iota
	isNone           // a blank line, blank cells or a comment
	isOdd            // not plain: the records have to look at it
	isCutOff         // the data ends within a quote or before the line's end
)

// Words of eight equal bytes.
const (
	ones   = 0x0101010101010101
	sevens = 0x7f * ones // all but the high bits
	highs  = 0x80 * ones
	quotes = '"' * ones
)

// oddBytes has the high bit of every byte of w that is no printable ASCII, is a quote, or follows a
// quote within w and happens to look like one. (The tests for bytes of zero, and below and above a
// number, are those of Warren, Hacker's Delight, chapter 6.)
func oddBytes(w uint64) uint64 {
	const fromSpace = (0x80 - ' ') * ones // carries into the high bit from the space on
	low, q := w&sevens, w^quotes
	return (w | ^(low + fromSpace) | (low + ones) | (q-ones)&^q) & highs
}

// plain parts the record at the beginning of data when it is the commonest sort: printable ASCII
// without quotes, on one line. It gives the length with the line's end; isOdd means only that next
// has to be asked, as for the last few bytes of data. Delimiters are gathered from 64 bytes before
// any is looked at, so that a row takes one loop over its cells.
func (s *splitter) plain(data []byte) (int, outcome) {
	const (
		gather = 0x0102040810204080 // times a word of bytes 0 and 1 gives them as the bits of its last byte
		block  = 64
	)
	s.src = data
	var commas uint64
	begun, cells, eight := 0, 0, uint64(s.comma)*ones
	for i, end := 0, min(len(data), maxPlain)-8; i <= end; i += 8 {
		w := binary.LittleEndian.Uint64(data[i:])
		commas |= (equalBytes(w, eight) >> 7) * gather >> 56 << (i % block)
		odd := oddBytes(w)
		if odd == 0 && i%block < block-8 {
			continue
		}
		at := i + bits.TrailingZeros64(odd)/8 // in the next block when there is none
		if odd != 0 {
			commas &= 1<<(at%block) - 1
		}
		for ; commas != 0; commas &= commas - 1 {
			stop := i&^(block-1) + bits.TrailingZeros64(commas)
			if !s.put(cells, begun, stop) {
				return 0, isOdd
			}
			begun = stop + 1
			cells++
		}
		if odd != 0 {
			if !s.put(cells, begun, at) {
				return 0, isOdd
			}
			return s.plainEnd(data, at, cells+1)
		}
	}
	return 0, isOdd
}

// put notes a cell by its place in the row. It is false where there must be none.
func (s *splitter) put(place, from, to int) bool {
	if place >= len(s.columns) {
		return false
	}
	column := s.columns[place] % allCells
	s.cells[column] = span{int32(from), int32(to)}
	return column != emptyColumn || from == to
}

// plainEnd is for the first byte that is neither plain nor a delimiter: mostly the line's end.
func (s *splitter) plainEnd(data []byte, at, cells int) (int, outcome) {
	n := at + 1
	if data[at] == '\r' && n < len(data) {
		n++
	}
	if data[n-1] != '\n' || data[0] == '#' || data[0] == ' ' || cells < s.need {
		return 0, isOdd
	}
	for _, column := range s.columns[cells:] {
		s.cells[column] = span{}
	}
	if s.cells[kitColumn].empty() {
		return 0, isOdd
	}
	return n, isRow
}

// next parts the record at the beginning of data, whatever it is. Atend tells whether the file
// ends with data.
func (s *splitter) next(data []byte, atEnd bool) (int, outcome) {
	n, o := lineLength(data, atEnd)
	if o != isRow {
		return n, o
	}
	line := bytes.TrimSpace(data[:n])
	if len(line) == 0 || line[0] == '#' {
		return n, isNone
	}
	s.cells = [allCells]span{}
	s.text = s.text[:0]
	blank, fits := true, true
	end, cells, o := s.parts(data, atEnd, func(i int, cell []byte) {
		cell = bytes.TrimSpace(cell)
		blank = blank && len(cell) == 0
		column := s.column(i)
		fits = fits && (column != emptyColumn || len(cell) == 0)
		from := len(s.text)
		s.text = append(s.text, cell...)
		s.cells[column] = span{int32(from), int32(len(s.text))}
	})
	s.src = s.text
	if o != isRow || !fits {
		return 0, max(o, isOdd)
	}
	return end, s.whole(data[:end], cells, blank)
}

// parts hands on each cell's text of the record at the beginning of data, and gives the length of
// the record with its end and the number of its cells.
func (s *splitter) parts(data []byte, atEnd bool, each func(i int, cell []byte)) (n, cells int, _ outcome) {
	for at := 0; ; {
		cell, end, o := s.cell(data, at, atEnd)
		if o != isRow {
			return 0, 0, o
		}
		each(cells, cell)
		cells++
		if end == len(data) || data[end] != s.comma {
			return end + endLength(data[end:]), cells, isRow
		}
		at = end + 1
	}
}

func (s *splitter) whole(record []byte, cells int, blank bool) outcome {
	switch {
	case len(record) > maxPlain:
		return isOdd
	case blank:
		return isNone
	case cells < s.need || !utf8.Valid(record):
		return isOdd
	}
	return isRow
}

// lineLength is the length of the first line with its end.
func lineLength(data []byte, atEnd bool) (int, outcome) {
	n := bytes.IndexByte(data, '\n') + 1
	if n == 0 {
		n = len(data)
		if !atEnd {
			return 0, isCutOff
		}
	}
	if n > maxPlain {
		return 0, isOdd
	}
	return n, isRow
}

// endLength is the length of the line's end at the beginning of data.
func endLength(data []byte) int {
	switch {
	case bytes.HasPrefix(data, []byte("\r\n")):
		return 2
	case len(data) > 0:
		return 1
	}
	return 0
}

// cell gives the text of the cell that begins at a byte, and the byte after it, which is a comma,
// the line's end or the data's.
func (s *splitter) cell(data []byte, at int, atEnd bool) ([]byte, int, outcome) {
	begun := at
	for s.comma != '\t' && at < len(data) && (data[at] == ' ' || data[at] == '\t') {
		at++
	}
	if at < len(data) && data[at] == '"' {
		return s.quoted(data, at, atEnd)
	}
	for at < len(data) && data[at] != s.comma && data[at] != '\n' && data[at] != '\r' {
		at++
	}
	if !atLineEnd(data[at:]) && (at == len(data) || data[at] != s.comma) {
		return nil, 0, isOdd // a carriage return by itself
	}
	cell := data[begun:at]
	if s.comma != '\t' && bytes.HasPrefix(bytes.TrimSpace(cell), []byte(`"`)) {
		return nil, 0, isOdd // a quote after space of another sort
	}
	return cell, at, isRow
}

// atLineEnd tells whether data is at its end or begins with the end of a line.
func atLineEnd(data []byte) bool {
	return len(data) == 0 || data[0] == '\n' || bytes.HasPrefix(data, []byte("\r\n"))
}

// quoted gives the text of a cell whose quote is opened at a byte.
func (s *splitter) quoted(data []byte, at int, atEnd bool) ([]byte, int, outcome) {
	begun := len(s.text)
	for at++; at < len(data); at++ {
		switch b := data[at]; {
		case b == '"' && at+1 < len(data) && data[at+1] == '"':
			s.text = append(s.text, '"')
			at++
		case b == '"' && at+1 == len(data) && !atEnd:
			return nil, 0, isCutOff // it may be the first of two
		case b == '"':
			if rest := data[at+1:]; !atLineEnd(rest) && rest[0] != s.comma {
				return nil, 0, isOdd
			}
			cell := s.text[begun:len(s.text):len(s.text)]
			if len(cell) > 0 && len(bytes.TrimSpace(cell)) == 0 {
				return nil, 0, isOdd // quoted space is not blank
			}
			return cell, at + 1, isRow
		case b == '\r':
			if at+1 == len(data) && !atEnd {
				return nil, 0, isCutOff
			}
			if at+1 == len(data) || data[at+1] != '\n' {
				return nil, 0, isOdd
			}
			// A line's end within quotes is a line feed, however it is written.
		default:
			s.text = append(s.text, b)
		}
	}
	if atEnd || len(s.text)-begun > maxPlain {
		return nil, 0, isOdd
	}
	return nil, 0, isCutOff
}
