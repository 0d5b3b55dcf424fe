package measure

import (
	"cmp"
	"context"
	"hash/maphash"
	"io"
	"maps"
	"slices"
	"strings"
	"sync"

	"neckfit/measure/csvtext"
	"neckfit/measure/workers"
)

// Kits reads the readings, judges each kit on one of several goroutines and emits the results on the
// caller's, in the order in which the kits first appear. A kit and its readings are judge's for as long
// as it runs: they are used again after it, so what a result keeps of them must be a Clone's.
//
// A kit is taken to be complete when another one's row follows, so the file is read as a stream: a few
// kits a worker are in memory at a time, and of each name that was met 8 bytes (16 with the table's
// slack). When a kit comes back later, what was emitted is void: the file is read to its end, twice more
// to gather the rows of all such kits, which are held in memory at some 200 bytes a row, and after
// again was called everything is emitted from the beginning, those kits where they first appear.
//
// After the first cell that is wrong, in any table, nothing is judged any more, but reading goes on so
// that all of them are found. The error is then Errors, and what was emitted is void. Other errors are
// the context's, emit's or again's, as they are, or that of a file that cannot be read or was changed
// meanwhile.
func Kits[T any](ctx context.Context, b *Batch, count int, judge func(*Kit) T, emit func(T) error, again func() error) error {
	first := newKitReader(b)
	err := kits(ctx, first, count, judge, emit)
	if err != nil || len(first.scattered) == 0 {
		return err
	}
	second := newKitReader(b)
	if err := second.gather(ctx, first.scattered); err != nil {
		return err
	}
	if err := again(); err != nil {
		return err
	}
	return kits(ctx, second, count, judge, emit)
}

// All reads a whole batch into memory.
func (b *Batch) All(ctx context.Context) (all []*Kit, err error) {
	err = Kits(ctx, b, 1, (*Kit).Clone,
		func(k *Kit) error { all = append(all, k); return nil },
		func() error { all = nil; return nil })
	if err != nil {
		return nil, err
	}
	return all, nil
}

// kits is one reading of the file.
func kits[T any](ctx context.Context, r *kitReader, count int, judge func(*Kit) T, emit func(T) error) error {
	var straightedge *Gauge
	if g := r.batch.Gauges[Straightedge]; g != nil && g.Place != (Place{}) {
		straightedge = g
	}
	judgeAll := func(l *load) []T {
		results := make([]T, len(l.kits))
		for i := range l.kits {
			if ctx.Err() != nil {
				break // a load may take a second, and nobody wants the results
			}
			k := &l.kits[i]
			info, ok := r.batch.Infos[k.Name]
			if !ok {
				info.Kit = k.Name
			}
			k.Info, k.Straightedge = info, straightedge
			results[i] = judge(k)
		}
		loads.Put(l)
		return results
	}
	emitAll := func(results []T) error {
		for _, result := range results {
			err := ctx.Err()
			if err == nil {
				err = emit(result)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	err := workers.Map(ctx, count, func(yield func(*load) bool) error { return r.read(ctx, yield) }, judgeAll, emitAll)
	if err == nil {
		err = r.batch.readings.unchanged()
	}
	if err == nil {
		err = r.errs.Err()
	}
	if err == nil {
		r.batch.notices = r.notices()
	}
	return err
}

// load is what a worker gets at a time: so many kits that handing them on costs nothing beside reading
// them, so few that their readings stay in a processor's cache.
type load struct {
	kits     []Kit
	readings []Reading // one after another, of all of them but those whose rows were gathered,
	gathered int       // which have so many
}

// fullLoad is how many readings are enough. One kit that has more makes a larger load.
const fullLoad = 512

// loads are those that can be used again.
var loads = sync.Pool{New: func() any { return new(load) }}

// kitReader makes loads of the rows.
type kitReader struct {
	batch *Batch
	errs  *csvtext.Collector
	load  *load
	found found

	cell    string // the kit's name as it was written last
	name    string // of the kit whose rows are being read; "" before the first
	from    int    // its first reading in the load
	repeats repeats
	steps   steps

	whole  map[string]*Kit // those whose rows were gathered
	handed map[string]bool // those of them that were handed on

	seed      maphash.Seed
	seen      numbers         // hashes of the kits met. Two names of one hash only cost a needless gathering
	greatest  string          // of their names; mostly they rise, and one above it is a new one
	back      map[string]bool // those that came back
	scattered []string        // the same in order
}

func newKitReader(b *Batch) *kitReader {
	return &kitReader{
		batch: b, errs: b.errs.Clone(), whole: map[string]*Kit{}, handed: map[string]bool{},
		seed: maphash.MakeSeed(), back: map[string]bool{},
		found: found{gauges: map[*Gauge]bool{}},
	}
}

// open opens the readings from their beginning. The decoder is nil for what is no such table.
func (k *kitReader) open() (io.Closer, *decoder, error) {
	in, err := k.batch.readings.open()
	if err != nil {
		return nil, nil, err
	}
	d, err := openReadings(k.batch.readings.name(), in, k.errs, k.batch.Gauges)
	if err == nil && d == nil {
		err = k.errs.Err()
	}
	if err != nil {
		in.Close()
		return nil, nil, err
	}
	d.found, d.planned = &k.found, k.batch.planned
	return in, d, nil
}

// read reads the file once and yields its kits.
func (k *kitReader) read(ctx context.Context, yield func(*load) bool) error {
	in, d, err := k.open()
	if err != nil {
		return err
	}
	defer in.Close()
	k.fresh()
	for d.Next() {
		row := d.Row()
		if cell := d.Cell(kitColumn); cell != k.cell || cell == "" {
			k.cell = strings.Clone(cell)
			if name := d.kit(row); name != k.name || name == "" {
				k.finish()
				if ctx.Err() != nil || len(k.load.readings)+k.load.gathered >= fullLoad && !k.hand(yield) {
					return ctx.Err()
				}
				k.begin(strings.Clone(name))
			}
		}
		if k.whole[k.name] == nil {
			k.load.readings = k.add(k.load.readings, k.from, &k.repeats, d, row)
		}
	}
	k.finish()
	k.batch.Dialect = d.Dialect()
	if d.Err() == nil {
		k.hand(yield)
	}
	return d.Err()
}

// add adds a row to readings, in which those of its kit stand from one on, unless it is wrong, empty, or
// one that is there already.
func (k *kitReader) add(readings []Reading, from int, seen *repeats, d *decoder, row *csvtext.Row) []Reading {
	n := len(readings)
	if n < cap(readings) {
		readings = readings[:n+1]
	} else {
		readings = append(readings, Reading{})
	}
	g := &readings[n]
	read := d.decode(row, g)
	if !read && !row.Bad {
		k.found.blank.count(row.Line)
	}
	if read && !row.Bad && !d.planned {
		if before := seen.identical(readings[from:], row); before != nil {
			if k.found.identical.n == 0 {
				k.found.identicalTo = before.Place.Line
			}
			k.found.identical.count(row.Line)
			read = false
		}
	}
	if !read || !k.wanted() {
		readings = readings[:n]
	}
	return readings
}

// wanted tells whether results can still be used.
func (k *kitReader) wanted() bool { return k.errs.Empty() && len(k.scattered) == 0 }

// fresh begins a load.
func (k *kitReader) fresh() {
	k.load = loads.Get().(*load)
	k.load.kits, k.load.readings, k.load.gathered = k.load.kits[:0], k.load.readings[:0], 0
}

// hand hands on the load. It is false when nobody wants more.
func (k *kitReader) hand(yield func(*load) bool) bool {
	full := k.load
	k.fresh()
	return !k.wanted() || yield(full)
}

// begin begins a kit at its first row, or at the first after another kit's.
func (k *kitReader) begin(name string) {
	k.name, k.from = name, len(k.load.readings)
	k.repeats.clear()
	hash := maphash.String(k.seed, name)
	met := name <= k.greatest && k.seen.has(hash)
	k.greatest = max(k.greatest, name)
	whole := k.whole[name]
	switch {
	case whole != nil && !k.handed[name]:
		k.handed[name] = true
		if n := len(whole.Readings); n > 0 { // else nothing was written yet in any of its rows
			k.load.kits, k.load.gathered = append(k.load.kits, *whole), k.load.gathered+n
		}
	case whole == nil && met && !k.back[name]:
		k.back[name] = true
		k.scattered = append(k.scattered, name)
	}
	if !met {
		k.seen.add(hash)
		k.found.kit(name, k.batch.Infos)
	}
}

// finish adds the kit whose rows have ended to the load.
func (k *kitReader) finish() {
	if n := len(k.load.readings); n > k.from && k.wanted() {
		k.steps.floor(k.load.readings[k.from:n])
		k.load.kits = append(k.load.kits, Kit{Name: k.name, Readings: k.load.readings[k.from:n:n]})
	}
	k.from = len(k.load.readings)
}

// gather reads the file for the rows of some kits, which lie scattered in it: once to count them, so that they take no
// more memory than they need, and once more.
func (k *kitReader) gather(ctx context.Context, names []string) error {
	counts, seen := map[string]int{}, map[string]*repeats{}
	for _, name := range names {
		counts[name] = 0
	}
	counter := newKitReader(k.batch)
	all := 0
	err := counter.each(ctx, func(d *decoder) {
		name := csvtext.Canonical(d.Cell(kitColumn))
		if n, ok := counts[name]; ok {
			counts[name], all = n+1, all+1
		}
	})
	if err != nil {
		return err
	}
	room := make([]Reading, all)
	for _, name := range names {
		n := counts[name]
		k.whole[name], seen[name] = &Kit{Name: name, Readings: room[:0:n]}, &repeats{}
		room = room[n:]
	}
	if err := k.each(ctx, func(d *decoder) {
		if kit := k.whole[csvtext.Canonical(d.Cell(kitColumn))]; kit != nil {
			kit.Readings = k.add(kit.Readings, 0, seen[kit.Name], d, d.Row())
		}
	}); err != nil {
		return err
	}
	for _, kit := range k.whole {
		k.steps.floor(kit.Readings)
	}
	return nil
}

// numbers is a set that takes 8 bytes of each number and a tenth more: a sorted list, and the latest beside it. A map
// takes up to 38.
type numbers struct {
	sorted []uint64
	latest map[uint64]bool
}

func (s *numbers) has(x uint64) bool {
	_, found := slices.BinarySearch(s.sorted, x)
	return found || s.latest[x]
}

// add adds a number that is not there yet.
func (s *numbers) add(x uint64) {
	if s.latest == nil {
		s.latest = map[uint64]bool{}
	}
	s.latest[x] = true
	const least, share = 1 << 10, 64 // so many of the latest, or that share of all, are merged at once
	if len(s.latest) >= max(least, len(s.sorted)/share) {
		late := slices.Sorted(maps.Keys(s.latest))
		clear(s.latest)
		old := len(s.sorted) - 1
		s.sorted = slices.Grow(s.sorted, len(late))[:len(s.sorted)+len(late)]
		for at := len(s.sorted) - 1; len(late) > 0; at-- { // from the greatest down, each goes where nothing is wanted any more
			if last := len(late) - 1; old < 0 || late[last] > s.sorted[old] {
				s.sorted[at], late = late[last], late[:last]
			} else {
				s.sorted[at] = s.sorted[old]
				old--
			}
		}
	}
}

// each reads the file once, row by row.
func (k *kitReader) each(ctx context.Context, row func(*decoder)) error {
	in, d, err := k.open()
	if err != nil {
		return err
	}
	defer in.Close()
	for d.Next() && ctx.Err() == nil {
		row(d)
	}
	return cmp.Or(ctx.Err(), d.Err(), k.errs.Err())
}
