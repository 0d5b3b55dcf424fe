package measure

import (
	"bufio"
	"bytes"
	"fmt"
)

// peekSize is how much of a file is looked at to find its delimiter: room for a page of comments
// above the header.
const peekSize = 1 << 16

// sniffed is what the beginning of a file tells.
type sniffed struct {
	comma byte
	sep   bool // the first line is a spreadsheet's sep=; and no header
}

// sniff looks at the beginning of a file, takes a byte-order mark off and finds the delimiter. The
// fault is for a file that is no CSV in UTF-8 at all.
func sniff(in *bufio.Reader) (sniffed, *fault, error) {
	head, err := peek(in)
	if err != nil {
		return sniffed{}, nil, err
	}
	if f := foreign(head); f != nil {
		return sniffed{}, f, nil
	}
	if body, ok := bytes.CutPrefix(head, []byte("\uFEFF")); ok {
		if _, err := in.Discard(len(head) - len(body)); err != nil {
			return sniffed{}, nil, err
		}
		head = body
	}
	return delimiter(head), nil, nil
}

// foreign names what a file is that people save by mistake.
func foreign(head []byte) *fault {
	const cure = "the table exported as CSV in UTF-8"
	text := bytes.TrimPrefix(head, []byte("\uFEFF"))
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
		if bytes.HasPrefix(text, []byte(sign.magic)) {
			return &fault{what: sign.what, expected: cure}
		}
	}
	line, _, _ := bytes.Cut(head, []byte("\n"))
	if bytes.IndexByte(line, 0) >= 0 {
		return &fault{what: "this file is in UTF-16 without a byte-order mark, or is no text", expected: cure}
	}
	return nil
}

// delimiter counts the candidates outside quotes in the first line that is neither blank nor a
// comment; the commonest is it, and the comma when there is none.
func delimiter(head []byte) sniffed {
	for len(head) > 0 {
		var line []byte
		line, head, _ = bytes.Cut(head, []byte("\n"))
		line = bytes.TrimSpace(line)
		if len(line) == 5 && bytes.EqualFold(line[:4], []byte("sep=")) && bytes.IndexByte([]byte(",;"), line[4]) >= 0 {
			return sniffed{comma: line[4], sep: true}
		}
		if len(bytes.Trim(line, ",; \t")) > 0 && line[0] != '#' {
			return sniffed{comma: commonest(line)}
		}
	}
	return sniffed{comma: ','}
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

// invalid names the first byte that is not UTF-8.
func invalid(b byte) *fault {
	return &fault{what: fmt.Sprintf("byte 0x%02X is not UTF-8", b), expected: "the table exported as CSV in UTF-8"}
}
