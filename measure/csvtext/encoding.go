package csvtext

import (
	"bufio"
	"bytes"
	"io"

	"golang.org/x/text/encoding/unicode"
)

// peekSize is how much of a file is looked at to find its encoding and its delimiter: room for a page
// of comments above the header.
const peekSize = 1 << 16

// Text gives a stream as UTF-8 whose lines end in line feeds, as far as its first bytes tell
// without a guess: UTF-16 is known by its byte-order mark, and lines that end in carriage returns
// alone by there being no line feed at all. Whatever else it may be is left as it is, but for the
// byte-order mark of UTF-8. Wide tells that it was UTF-16, in which half a character has become U+FFFD.
func Text(in io.Reader) (text *bufio.Reader, wide bool, err error) {
	text = bufio.NewReaderSize(in, peekSize)
	head, err := peek(text)
	if err != nil {
		return nil, false, err
	}
	switch {
	case bytes.HasPrefix(head, []byte("\xFF\xFE\x00\x00")): // UTF-32 begins alike
	case bytes.HasPrefix(head, []byte("\xFF\xFE")), bytes.HasPrefix(head, []byte("\xFE\xFF")):
		wide = true
		decoder := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder()
		text = bufio.NewReaderSize(decoder.Reader(text), peekSize)
		if head, err = peek(text); err != nil {
			return nil, false, err
		}
	}
	if bytes.ContainsRune(head, '\r') && !bytes.ContainsRune(head, '\n') {
		text = bufio.NewReaderSize(&returnsOnly{text}, peekSize)
		if head, err = peek(text); err != nil {
			return nil, false, err
		}
	}
	const mark = "\uFEFF"
	if bytes.HasPrefix(head, []byte(mark)) {
		_, err = text.Discard(len(mark))
	}
	return text, wide, err
}

// peek looks at the beginning of a stream, or all of a short one.
func peek(in *bufio.Reader) ([]byte, error) {
	head, err := in.Peek(peekSize)
	if err == io.EOF {
		err = nil
	}
	return head, err
}

// returnsOnly turns carriage returns into line feeds.
type returnsOnly struct{ in io.Reader }

// Read reads on.
func (r *returnsOnly) Read(p []byte) (int, error) {
	n, err := r.in.Read(p)
	for i, b := range p[:n] {
		if b == '\r' {
			p[i] = '\n'
		}
	}
	return n, err
}
