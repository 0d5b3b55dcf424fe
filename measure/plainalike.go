package measure

import "encoding/binary"

// alike remembers rows of late by all but their kit and their numbers. Most rows of a kit have the
// words of a row of the kit before, and after the same row as there: of such a row only the numbers
// are read, and that its words are good is known. It saves two thirds of the time for a row.
//
// It is for files whose rows begin with the kit and have station, offset and size side by side.
type alike struct {
	fits   bool
	commas uint64 // the delimiter eight times
	rows   [alikeRows]knownRow
	last   *knownRow // the row before
}

const alikeRows = 128 // a power of two; a batch of one way of working has some thirty

// knownRow is what rows have in common. Numbers and line of its reading mean nothing.
type knownRow struct {
	before, after rowPart // up to the station, and from the size's end to the line's
	has           [3]bool // which of station, offset and size are there
	unit          unit
	reading       Reading
	repeat        repeatKey
	next          [2]*knownRow // what followed it, or came to stand in that place
}

// rowPart is a part of a row as words of eight bytes, and masks of which of their bytes belong to it.
type rowPart struct {
	words, masks [mostPart / 8]uint64
	length       int
}

const mostPart = 64

func newAlike(l *layout) *alike {
	a := &alike{commas: uint64(l.comma) * ones}
	a.last = &a.rows[0]
	at := [readingColumns]int{}
	for place, column := range l.columns {
		if column < readingColumns {
			at[column] = place
		}
	}
	station := at[stationColumn]
	a.fits = l.kit == 0 && station > 0 && at[offsetColumn] == station+1 && at[sizeColumn] == station+2
	return a
}

// partOf is false for a longer one.
func partOf(text []byte) (p rowPart, ok bool) {
	if len(text) > mostPart {
		return p, false
	}
	var room, mask [mostPart]byte
	for i := range copy(room[:], text) {
		mask[i] = 0xff
	}
	for i := range p.words {
		p.words[i], p.masks[i] = binary.LittleEndian.Uint64(room[8*i:]), binary.LittleEndian.Uint64(mask[8*i:])
	}
	p.length = len(text)
	return p, true
}

// sum tells the parts of a batch apart well enough.
func (p *rowPart) sum() (sum uint64) {
	const odd = 0x9E3779B97F4A7C15 // as in wordTable
	for _, w := range p.words {
		sum = (sum ^ w) * odd
		sum ^= sum >> 32
	}
	return sum
}

// begins tells whether data, which is longer than any part, begins with the part. It looks at the first
// 32 bytes at once: parts are of all lengths up to that, and where each ends could not be guessed.
func (p *rowPart) begins(data []byte) bool {
	const atOnce = 32
	d := (*[mostPart]byte)(data)
	odd := p.differs(d, 0) | p.differs(d, 1) | p.differs(d, 2) | p.differs(d, 3)
	if odd != 0 || p.length <= atOnce {
		return odd == 0
	}
	return p.differs(d, 4)|p.differs(d, 5)|p.differs(d, 6)|p.differs(d, 7) == 0
}

// differs has bits where a word of data is another.
func (p *rowPart) differs(data *[mostPart]byte, i int) uint64 {
	return (binary.LittleEndian.Uint64(data[8*i:]) ^ p.words[i]) & p.masks[i]
}

// mostAlike is what a row known here has at most after its kit, and as much as is looked at.
const mostAlike = 3*mostPart + 3*8

// read fills in a reading from a row, whose kit ends before data, if a known one is like it. It gives
// the length of what it read, 0 for none.
func (a *alike) read(data []byte, d *decoder, line int, g *Reading) (int, *knownRow) {
	if len(data) < mostAlike {
		return 0, nil
	}
	for _, k := range a.last.next {
		if k != nil && k.before.begins(data) {
			if n := k.read(data, d, line, g, a.commas); n > 0 {
				return n, k
			}
		}
	}
	return 0, nil
}

// read is for a row that begins as the known one does.
func (k *knownRow) read(data []byte, d *decoder, line int, g *Reading, commas uint64) int {
	n := k.before.length
	var x [3]float64
	for i, has := range k.has {
		if has {
			w := binary.LittleEndian.Uint64(data[n:])
			length := lengthBefore(w, commas)
			number, sign, ok := decimalOf(w, length)
			if byte(w) == '-' {
				number, sign, ok = decimalOf(w>>8, length-1)
				number = -number
			}
			mm, inBounds := k.unit.plainLength(number)
			if !ok || !inBounds || !d.sign(sign, line) {
				return 0
			}
			x[i] = mm
			n += length
		}
		if data[n] != byte(commas) {
			return 0
		}
		n++
	}
	n-- // the last delimiter is the beginning of what follows
	if !k.after.begins(data[n:]) {
		return 0
	}
	*g = k.reading
	g.Station, g.Offset, g.Size, g.Place.Line = x[0], x[1], x[2], line
	if !g.possible(k.has[2]) {
		return 0
	}
	return n + k.after.length
}

// learn remembers a row, by its text with its end, the cells of it, and what it was decoded to.
func (a *alike) learn(row []byte, s *splitter, g *Reading) {
	if !a.fits || g.Note != "" { // notes differ from row to row
		return
	}
	kit, station, offset, size := s.cells[kitColumn], s.cells[stationColumn], s.cells[offsetColumn], s.cells[sizeColumn]
	before, ok := partOf(row[kit.to+1 : station.from])
	after, okAfter := partOf(row[size.to:])
	if !ok || !okAfter {
		return
	}
	k := a.placeFor(&before, &after)
	if k.before != before || k.after != after {
		u, _ := plainUnit(s.at(unitColumn))
		*k = knownRow{
			before: before, after: after, has: [3]bool{!station.empty(), !offset.empty(), !size.empty()},
			unit: u, reading: *g, repeat: repeatKeyOf(g),
		}
	}
	a.follow(k)
}

// placeFor finds where a row is or can be, which costs another its place when there is no other.
func (a *alike) placeFor(before, after *rowPart) *knownRow {
	const tries = 8
	first := before.sum() + after.sum()
	for i := range uint64(tries) {
		k := &a.rows[(first+i)%alikeRows]
		if k.before.length == 0 || k.before == *before && k.after == *after {
			return k
		}
	}
	return &a.rows[first%alikeRows]
}

// follow notes which row came after the last one. The first that did stays the first to be tried: of
// several rows alike, such as those of one edge, the first is followed by its like.
func (a *alike) follow(k *knownRow) {
	switch next := &a.last.next; {
	case next[0] == nil:
		next[0] = k
	case next[0] != k:
		next[1] = k
	}
	a.last = k
}
