package measure

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"unicode/utf8"
)

// chunkSize is what a chunk has at least, but for the last one: enough that handing it on costs
// nothing beside reading it, little enough that its readings stay in a processor's cache.
const chunkSize = 64 << 10

// cutter cuts the readings into chunks between kits. Only one kit that is larger than a chunk makes
// a larger one.
type cutter struct {
	in    *bufio.Reader
	split splitter
	rest  []byte // of what was read, the part after the last cut
	line  int    // number of its first line
	ended bool
}

// errNotPlain is for readings that only the way through gocsv can tell the mistakes of.
var errNotPlain = errors.New("the readings are not plain")

// newCutter reads the header.
func newCutter(in io.Reader) (*cutter, error) {
	text, err := textOf(in)
	if err != nil {
		return nil, err
	}
	s, f, err := sniff(text)
	if err != nil {
		return nil, err
	}
	if f != nil {
		return nil, errNotPlain
	}
	c := &cutter{in: text, line: 1, split: splitter{layout: &layout{comma: s.comma}}}
	return c, c.header(s.sep)
}

// header reads on to the header and takes it off. It must lie in what sniff looked at.
func (c *cutter) header(sep bool) error {
	head, err := peek(c.in)
	if err != nil {
		return err
	}
	for at, atEnd := 0, len(head) < peekSize; at < len(head); {
		data := head[at:]
		n, o := lineLength(data, atEnd)
		if o != isRow {
			return errNotPlain
		}
		line := bytes.TrimSpace(data[:n])
		passed := len(line) == 0 || line[0] == '#' || sep
		if len(line) > 0 && line[0] != '#' {
			sep = false // it is the line that names the delimiter
		}
		blank := len(bytes.Trim(line, ",; \t")) == 0
		if !passed && !blank {
			return c.columns(data, at, atEnd)
		}
		at += n
		c.line++
	}
	return errNotPlain
}

// columns reads the header's record, which stands at a place of what lies ahead.
func (c *cutter) columns(data []byte, at int, atEnd bool) error {
	var cells [][]byte
	n, _, o := c.split.parts(data, atEnd, func(_ int, cell []byte) { cells = append(cells, cell) })
	if o != isRow || n > maxPlain {
		return errNotPlain
	}
	l, ok := plainLayout(c.split.comma, cells)
	if !ok || !utf8.Valid(data[:n]) {
		return errNotPlain
	}
	c.split.layout = l
	c.line += bytes.Count(data[:n], []byte("\n"))
	_, err := c.in.Discard(at + n)
	return err
}

// next fills a chunk. After the last one, and after one with an error or an odd one, it must not
// be asked again.
func (c *cutter) next(k *chunk) {
	*k = chunk{data: append(k.data[:0], c.rest...), line: c.line, readings: k.readings, kits: k.kits}
	cut := 0
	for size := chunkSize; cut == 0 && !k.last; size *= 2 {
		if err := c.fill(k, size); err != nil {
			k.data, k.err = k.data[:0], err
			return
		}
		var ok bool
		if cut, ok = c.cut(k.data); !ok {
			k.odd = true
			return
		}
		k.last = c.ended // then cut is at the end, even where there is nothing
	}
	c.rest = append(c.rest[:0], k.data[cut:]...)
	k.data = k.data[:cut]
	k.lines = bytes.Count(k.data, []byte("\n"))
	c.line += k.lines
}

// fill reads until there are so many bytes, or the file ends.
func (c *cutter) fill(k *chunk, size int) error {
	for len(k.data) < size && !c.ended {
		if cap(k.data)-len(k.data) < chunkSize {
			k.data = append(make([]byte, 0, 2*size), k.data...)
		}
		n, err := c.in.Read(k.data[len(k.data):cap(k.data)])
		k.data = k.data[:len(k.data)+n]
		if err == io.EOF {
			c.ended = true
		} else if err != nil {
			return err
		}
	}
	return nil
}

// cut finds the last place in data where one kit ends and another begins, or data's end when the
// file ends there. 0 asks for more data; false says that the records are not plain.
func (c *cutter) cut(data []byte) (int, bool) {
	if c.ended {
		return len(data), true
	}
	if bytes.IndexByte(data, '"') < 0 {
		return c.cutLines(data)
	}
	return c.cutRecords(data)
}

// cutLines is cut for data without quotes, where every line is a record: it looks from the end.
func (c *cutter) cutLines(data []byte) (int, bool) {
	end := bytes.LastIndexByte(data, '\n') + 1
	if len(data)-end > maxPlain {
		return 0, false
	}
	var later []byte
	at := 0 // where the records of that kit begin
	for end > 0 {
		begun := bytes.LastIndexByte(data[:end-1], '\n') + 1
		if end-begun > maxPlain {
			return 0, false
		}
		if kit := c.kitOf(data[begun:end]); len(kit) > 0 {
			if at > 0 && !bytes.Equal(kit, later) {
				return at, true
			}
			later, at = kit, begun
		}
		end = begun
	}
	return 0, true
}

// cutRecords is cut for data with quotes, within which lines may end: it looks from the beginning.
func (c *cutter) cutRecords(data []byte) (int, bool) {
	var kit []byte // of the record before, copied
	cut, at := 0, 0
	for at < len(data) {
		n, here, o := c.record(data[at:])
		if o == isCutOff {
			break
		}
		if o == isOdd {
			return 0, false
		}
		if len(here) > 0 && !bytes.Equal(here, kit) {
			if len(kit) > 0 {
				cut = at
			}
			kit = append(kit[:0], here...)
		}
		at += n
	}
	return cut, len(data)-at <= maxPlain
}

// record gives the length of the record at the beginning of data, and its kit.
func (c *cutter) record(data []byte) (int, []byte, outcome) {
	n, o := lineLength(data, false)
	if o != isRow {
		return 0, nil, o
	}
	if bytes.IndexByte(data[:n], '"') < 0 {
		return n, c.kitOf(data[:n]), isRow
	}
	n, o = c.split.next(data, false)
	if o == isRow {
		return n, c.split.at(kitColumn), o
	}
	return n, nil, o
}

// kitOf finds the kit of a line without quotes; nothing for a comment or a blank line.
func (c *cutter) kitOf(line []byte) []byte {
	if line = bytes.TrimSpace(line); len(line) == 0 || line[0] == '#' {
		return nil
	}
	for range c.split.kit {
		i := bytes.IndexByte(line, c.split.comma)
		if i < 0 {
			return nil
		}
		line = line[i+1:]
	}
	if i := bytes.IndexByte(line, c.split.comma); i >= 0 {
		line = line[:i]
	}
	return bytes.TrimSpace(line)
}
