package measure

import (
	"errors"
	"fmt"
	"hash/maphash"
	"maps"
	"strings"
)

// ScatteredError names kits whose rows do not stand together. The results of that Each are to be
// thrown away, for such a kit was handed on without its later rows; Gather cures it.
type ScatteredError struct {
	Kits []string // each once, in the order in which they came back
}

// Error names some of the kits.
func (e *ScatteredError) Error() string {
	const shown = 5
	names := strings.Join(e.Kits[:min(shown, len(e.Kits))], ", ")
	if len(e.Kits) > shown {
		names += fmt.Sprintf(" and %d more", len(e.Kits)-shown)
	}
	return "the rows of these kits do not stand together: " + names
}

// Each reads the readings and calls fn once for each kit, in order of first appearance, with all
// its rows. Fn may keep the kit. An error of fn ends the reading and is returned as it is.
//
// Only one kit is in memory at a time, and 8 bytes (16 with the table's slack) for each name that
// was met. So a kit is taken to be complete when another one's row follows. When a kit comes back
// later, Each calls fn no more, reads on to find all such kits, and returns a *ScatteredError;
// after Gather the next Each will do.
//
// After the first cell that is wrong, in any table, fn is not called any more, but reading goes on
// so that all of them are found; Each then returns Errors. Any other error is for a file that
// cannot be read.
func (b *Batch) Each(fn func(*Kit) error) error {
	pass := &pass{
		batch: b, fn: fn, errs: b.errs.clone(),
		seed: maphash.MakeSeed(), seen: map[uint64]struct{}{}, scattered: map[string]bool{},
		delivered: map[string]bool{}, repeats: repeats{},
	}
	err := b.rows(pass.errs, pass.row)
	if err == nil {
		err = pass.finish()
	}
	if err != nil {
		return err
	}
	if err := pass.errs.err(); err != nil {
		return err
	}
	if len(pass.back) > 0 {
		return &ScatteredError{Kits: pass.back}
	}
	return nil
}

// Gather takes what Each or Map returned. For a *ScatteredError it reads the readings once more and
// holds all rows of those kits in memory, at its peak some 700 bytes a row, until the batch is let
// go; the next Each or Map hands such a kit on, complete, where it first appears. In all that is
// three readings of the file instead of one, and in the worst case, a file sorted by anything but
// kit, all of its rows in memory. Any other error is returned as it is, and nil is nil.
func (b *Batch) Gather(err error) error {
	var scattered *ScatteredError
	if !errors.As(err, &scattered) {
		return err
	}
	whole, err := b.gatherPlain(scattered.Kits)
	if err == errNotPlain {
		whole, err = b.gatherAll(scattered.Kits)
	}
	if err != nil {
		return err
	}
	if b.gathered == nil {
		b.gathered = map[string]*Kit{}
	}
	maps.Copy(b.gathered, whole)
	return nil
}

// gatherPlain reads a file whose rows are all plain.
func (b *Batch) gatherPlain(names []string) (map[string]*Kit, error) {
	in, err := b.readings.open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	c, err := newCutter(in)
	if err != nil {
		return nil, err
	}
	whole := b.blankKits(names)
	reader := newChunkReader(&Batch{Gauges: b.Gauges, readings: b.readings}, c.split.layout, maphash.MakeSeed())
	var signed decimals
	for k := new(chunk); !k.last; {
		c.next(k)
		if k.err != nil {
			return nil, k.err
		}
		if !k.odd {
			reader.read(k)
		}
		if k.odd || !signed.agree(k.signed) {
			return nil, errNotPlain
		}
		for _, s := range k.kits {
			if kit, ok := whole[s.name]; ok {
				kit.Readings = append(kit.Readings, k.readings[s.from:s.to]...)
			}
		}
	}
	if !reader.repeats.none(whole) {
		return nil, errNotPlain
	}
	return whole, nil
}

func (b *Batch) blankKits(names []string) map[string]*Kit {
	kits := map[string]*Kit{}
	for _, name := range names {
		kits[name] = b.blankKit(name)
	}
	return kits
}

// gatherAll is gatherPlain by way of gocsv.
func (b *Batch) gatherAll(names []string) (map[string]*Kit, error) {
	whole, seen := b.blankKits(names), map[string]repeats{}
	for _, name := range names {
		seen[name] = repeats{}
	}
	errs := b.errs.clone()
	err := b.rows(errs, func(w *readingRow, r *row) error {
		name := strings.TrimSpace(w.Kit)
		if repeats, ok := seen[name]; ok {
			_, reading := w.decode(r, b.Gauges)
			if !r.bad {
				repeats.check(&reading, r)
			}
			whole[name].Readings = append(whole[name].Readings, reading)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return whole, errs.err()
}

// pass is one Each.
type pass struct {
	batch *Batch
	fn    func(*Kit) error
	errs  *collector

	kit     *Kit // the one whose rows are being read; nil before the first and within gathered rows
	repeats repeats

	seed      maphash.Seed
	seen      map[uint64]struct{} // hashes of the kits met. Two names of one hash only cost a needless Gather
	scattered map[string]bool
	back      []string // the scattered ones in order

	delivered map[string]bool // gathered kits handed on
}

func (p *pass) row(w *readingRow, r *row) error {
	name := strings.TrimSpace(w.Kit)
	if whole, ok := p.batch.gathered[name]; ok {
		return p.deliver(whole)
	}
	if p.kit == nil || p.kit.Name != name {
		if err := p.finish(); err != nil {
			return err
		}
		p.begin(strings.Clone(name)) // the row's strings are one piece of memory
	}
	_, reading := w.decode(r, p.batch.Gauges)
	if r.bad {
		return nil
	}
	p.repeats.check(&reading, r)
	if p.wanted() {
		p.kit.Readings = append(p.kit.Readings, reading)
	}
	return nil
}

// wanted tells whether results can still be used.
func (p *pass) wanted() bool { return p.errs.empty() && len(p.back) == 0 }

func (p *pass) begin(name string) {
	p.kit = p.batch.blankKit(name)
	clear(p.repeats)
	hash := maphash.String(p.seed, name)
	if _, ok := p.seen[hash]; ok && !p.scattered[name] {
		p.scattered[name] = true
		p.back = append(p.back, name)
	}
	p.seen[hash] = struct{}{}
}

// finish hands on the kit whose rows have ended.
func (p *pass) finish() error {
	kit := p.kit
	p.kit = nil
	if kit == nil || !p.wanted() {
		return nil
	}
	return p.fn(kit)
}

// deliver hands on a gathered kit at its first row.
func (p *pass) deliver(whole *Kit) error {
	if err := p.finish(); err != nil || p.delivered[whole.Name] {
		return err
	}
	p.delivered[whole.Name] = true
	if !p.wanted() {
		return nil
	}
	return p.fn(whole)
}
