package measure

import (
	"bytes"
	"hash/maphash"
	"unicode"
)

// chunk is a stretch of the readings file that ends where a kit ends, with what is made of it.
type chunk struct {
	data  []byte // whole records
	line  int    // number of the first line
	lines int    // how many end within it
	last  bool   // the file ends with it
	err   error  // reading the file failed after data

	// odd is for a chunk that is not plain: it has to be read once more, by way of gocsv, to find
	// out what is wrong with it, or that nothing is.
	odd      bool
	readings []Reading // of all its kits
	kits     []stretch
	signed   decimals // the decimal sign met in it
}

// stretch is the rows of one kit that stand together.
type stretch struct {
	name     string
	hash     uint64
	from, to int  // in chunk.readings
	gathered *Kit // the kit when Gather holds its rows
	first    bool // of a gathered kit
}

// chunkReader is what one worker needs to turn chunks into kits.
type chunkReader struct {
	batch   *Batch
	seed    maphash.Seed
	split   splitter
	decoder *decoder
	repeats plainRepeats
	alike   *alike
	judged  Kit
}

func newChunkReader(b *Batch, l *layout, seed maphash.Seed) *chunkReader {
	return &chunkReader{
		batch: b, seed: seed, split: splitter{layout: l}, decoder: newDecoder(b.readings.name(), b.Gauges, l.comma),
		alike: newAlike(l),
	}
}

// read decodes a chunk.
func (r *chunkReader) read(c *chunk) {
	c.readings, c.kits = c.readings[:0], c.kits[:0]
	if cap(c.readings) < c.lines {
		c.readings = make([]Reading, 0, c.lines+c.lines/8) // mostly enough for the chunks to come as well
	}
	r.decoder.numbers = decimals{commaAllowed: r.split.comma != ','}
	line := c.line
	for data := c.data; len(data) > 0; {
		n, lines, ok := r.record(c, data, line)
		if !ok {
			c.odd = true
			return
		}
		line += lines
		data = data[n:]
	}
	if len(c.kits) > 0 {
		c.kits[len(c.kits)-1].to = len(c.readings)
	}
	c.signed = r.decoder.numbers
}

// record takes the record at the beginning of data, and gives its length in bytes and lines.
func (r *chunkReader) record(c *chunk, data []byte, line int) (n, lines int, ok bool) {
	if n := r.known(c, data, line); n > 0 {
		return n, 1, true
	}
	readings, kits := len(c.readings), len(c.kits)
	if n, o := r.split.plain(data); o == isRow && r.row(c, line) {
		if last := len(c.readings); last > readings {
			r.alike.learn(data[:n], &r.split, &c.readings[last-1])
		}
		return n, 1, true
	}
	c.readings, c.kits = c.readings[:readings], c.kits[:kits]
	n, o := r.split.next(data, true)
	if o > isNone || o == isRow && !r.row(c, line) {
		return 0, 0, false
	}
	return n, max(1, bytes.Count(data[:n], []byte("\n"))), true
}

// known adds a row of the same kit as the row before that is like one met before.
func (r *chunkReader) known(c *chunk, data []byte, line int) int {
	if !r.alike.fits || len(c.kits) == 0 {
		return 0
	}
	kit := &c.kits[len(c.kits)-1]
	end := len(kit.name)
	if kit.gathered != nil || len(data) <= end || string(data[:end]) != kit.name || data[end] != r.split.comma {
		return 0
	}
	g := c.more()
	n, k := r.alike.read(data[end+1:], r.decoder, line, g)
	if n == 0 || !r.repeats.addKey(&k.repeat, g) {
		c.readings = c.readings[:len(c.readings)-1]
		return 0
	}
	r.alike.last = k
	return end + 1 + n
}

// more gives room for one more reading; what is in it means nothing.
func (c *chunk) more() *Reading {
	n := len(c.readings)
	if n == cap(c.readings) {
		c.readings = append(c.readings, Reading{})
	}
	c.readings = c.readings[:n+1]
	return &c.readings[n]
}

// row adds a row to its kit. It is false for one that is not plainly good.
func (r *chunkReader) row(c *chunk, line int) bool {
	name := r.split.at(kitColumn)
	if n := len(c.kits); n == 0 || c.kits[n-1].name != string(name) {
		if len(name) == 0 || spaced(name) || bytes.ContainsFunc(name, unicode.IsControl) {
			return false
		}
		r.begin(c, string(name), line)
	}
	if c.kits[len(c.kits)-1].gathered != nil {
		return true // Gather has looked at it
	}
	g := c.more()
	return r.decoder.decode(&r.split, line, g) && r.repeats.add(g)
}

func (r *chunkReader) begin(c *chunk, name string, line int) {
	if n := len(c.kits); n > 0 {
		c.kits[n-1].to = len(c.readings)
	}
	k := stretch{name: name, from: len(c.readings)}
	if whole, ok := r.batch.gathered[name]; ok {
		k.gathered, k.first = whole, len(whole.Readings) > 0 && whole.Readings[0].Place.Line == line
	} else {
		k.hash = maphash.String(r.seed, name)
		r.repeats.begin()
	}
	c.kits = append(c.kits, k)
}

// kit makes the kit of a stretch. It and its readings are used again after it.
func (r *chunkReader) kit(c *chunk, k *stretch) *Kit {
	if k.gathered != nil {
		return k.gathered
	}
	r.judged = Kit{Name: k.name, Info: r.batch.infoOf(k.name), Readings: c.readings[k.from:k.to:k.to]}
	return &r.judged
}
