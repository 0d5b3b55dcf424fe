package csvtext

import (
	"bytes"
	"cmp"
)

// Dialect is how the cells of a table are parted and its decimals written.
type Dialect struct{ Delimiter, Decimal byte }

// Dialect is the table's own, as far as it was read. Where no number had decimals, a table parted by
// semicolons is taken to be of a spreadsheet that writes commas, since that is why it parts by semicolons.
func (rows *Rows) Dialect() Dialect {
	usual := byte('.')
	if rows.reader.comma == ';' {
		usual = ','
	}
	return Dialect{rows.reader.comma, cmp.Or(rows.numbers.sign, usual)}
}

// dialect is what the beginning of a file tells of how its cells are parted.
type dialect struct {
	comma byte
	sep   bool // the first line is a spreadsheet's sep=; and no header
}

const exportAgain = "the table exported as CSV in UTF-8"

// foreign names what a file is that people save by mistake; nil is for a table.
func foreign(head []byte) *Fault {
	for _, sign := range []struct{ magic, what string }{
		{"PK\x03\x04", "this is a spreadsheet's own file (.xlsx or .ods), not CSV"},
		{"\xD0\xCF\x11\xE0", "this is a spreadsheet's own file (.xls), not CSV"},
		{"%PDF", "this is a PDF, not CSV"},
		{"\x1F\x8B", "this file is compressed (gzip), not CSV"},
		{"<", "this is a web page or another file of tags, not CSV"},
		{"{", "this is JSON, not CSV"},
		{"\xFF\xFE\x00\x00", "this file is in UTF-32"},
		{"\x00\x00\xFE\xFF", "this file is in UTF-32"},
	} {
		if bytes.HasPrefix(head, []byte(sign.magic)) {
			return &Fault{sign.what, exportAgain}
		}
	}
	line, _, _ := bytes.Cut(head, []byte("\n"))
	if bytes.Contains(line, []byte{0}) {
		return &Fault{"this file is in UTF-16 without a byte-order mark, or is no text", exportAgain}
	}
	return nil
}

// dialectOf counts the candidates outside quotes in the first line that is neither blank nor a
// comment; the commonest is the delimiter, and the comma when there is none.
func dialectOf(head []byte) dialect {
	for line := range bytes.Lines(head) {
		line = bytes.TrimSpace(line)
		for _, comma := range []byte(",;") {
			if bytes.EqualFold(line, []byte("sep="+string(comma))) {
				return dialect{comma: comma, sep: true}
			}
		}
		if len(bytes.Trim(line, ",; \t")) > 0 && line[0] != '#' {
			return dialect{comma: commonest(line)}
		}
	}
	return dialect{comma: ','}
}

func commonest(line []byte) byte {
	var count [256]int
	quoted := false
	for _, b := range line {
		if b == '"' {
			quoted = !quoted
		}
		if !quoted {
			count[b]++
		}
	}
	best := byte(',')
	for _, b := range []byte(";\t") {
		if count[b] > count[best] {
			best = b
		}
	}
	return best
}
