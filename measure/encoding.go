package measure

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"
	"unicode/utf16"
	"unicode/utf8"
)

// textOf gives a stream as UTF-8 whose lines end in line feeds, as far as its first bytes tell
// without a guess: UTF-16 is known by its byte-order mark, and lines that end in carriage returns
// alone by there being no line feed at all. Whatever else it may be is left as it is.
func textOf(in io.Reader) (*bufio.Reader, error) {
	text := bufio.NewReaderSize(in, peekSize)
	head, err := peek(text)
	if err != nil {
		return nil, err
	}
	if order := byteOrder(head); order != nil {
		text = bufio.NewReaderSize(&utf16Text{in: text, order: order}, peekSize)
		if head, err = peek(text); err != nil {
			return nil, err
		}
	}
	if bytes.IndexByte(head, '\r') >= 0 && bytes.IndexByte(head, '\n') < 0 {
		text = bufio.NewReaderSize(&returnsOnly{text}, peekSize)
	}
	return text, nil
}

// peek looks at the beginning of a stream, or all of a short one.
func peek(in *bufio.Reader) ([]byte, error) {
	head, err := in.Peek(peekSize)
	if err == io.EOF || err == bufio.ErrBufferFull {
		err = nil
	}
	return head, err
}

// byteOrder is that of UTF-16 with a byte-order mark, or nil. UTF-32 begins alike and has zeros
// next.
func byteOrder(head []byte) binary.ByteOrder {
	switch {
	case bytes.HasPrefix(head, []byte("\xFF\xFE\x00\x00")):
		return nil
	case bytes.HasPrefix(head, []byte("\xFF\xFE")):
		return binary.LittleEndian
	case bytes.HasPrefix(head, []byte("\xFE\xFF")):
		return binary.BigEndian
	}
	return nil
}

// utf16Text turns UTF-16 into UTF-8. Half a character becomes a byte that is no UTF-8, so that it
// is reported like any other that cannot be read.
type utf16Text struct {
	in    *bufio.Reader
	order binary.ByteOrder
	out   []byte // what is still to be handed on
	room  [utf8.UTFMax]byte
}

const notUTF8 = 0xFF

func (t *utf16Text) Read(p []byte) (int, error) {
	n := 0
	for n+utf8.UTFMax <= len(p) || n == 0 {
		if len(t.out) == 0 {
			if err := t.next(); err != nil {
				if n > 0 && err == io.EOF {
					err = nil // the next Read gives it again
				}
				return n, err
			}
		}
		copied := copy(p[n:], t.out)
		t.out = t.out[copied:]
		n += copied
		if n == len(p) {
			break
		}
	}
	return n, nil
}

// next makes out from the next character.
func (t *utf16Text) next() error {
	first, err := t.unit()
	if err != nil {
		return err
	}
	r := rune(first)
	if utf16.IsSurrogate(r) {
		r = utf8.RuneError
		if pair, err := t.in.Peek(2); err == nil {
			r = utf16.DecodeRune(rune(first), rune(t.order.Uint16(pair)))
		}
		if r == utf8.RuneError {
			t.out = append(t.room[:0], notUTF8)
			return nil
		}
		if _, err := t.in.Discard(2); err != nil {
			return err
		}
	}
	t.out = utf8.AppendRune(t.room[:0], r)
	return nil
}

// unit reads two bytes. A single one at the end is no text.
func (t *utf16Text) unit() (uint16, error) {
	var b [2]byte
	switch _, err := io.ReadFull(t.in, b[:]); err {
	case nil:
		return t.order.Uint16(b[:]), nil
	case io.ErrUnexpectedEOF:
		return 0xD800, nil // half a pair, which stands for what cannot be read
	default:
		return 0, err
	}
}

// returnsOnly turns carriage returns into line feeds.
type returnsOnly struct{ in io.Reader }

func (r *returnsOnly) Read(p []byte) (int, error) {
	n, err := r.in.Read(p)
	for i, b := range p[:n] {
		if b == '\r' {
			p[i] = '\n'
		}
	}
	return n, err
}
