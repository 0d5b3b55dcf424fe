package measure

import (
	"cmp"
	"context"
	"hash/maphash"
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
// slack). When a kit comes back later, what was emitted is void: the file is read to its end, once more
// to gather the rows of all such kits, which are held in memory at some 250 bytes a row, and after
// again was called everything is emitted from the beginning, those kits where they first appear.
//
// After the first cell that is wrong, in any table, nothing is judged any more, but reading goes on so
// that all of them are found. The error is then Errors, and what was emitted is void. Other errors are
// the context's, emit's or again's, as they are, or that of a file that cannot be read.
func Kits[T any](ctx context.Context, b *Batch, count int, judge func(*Kit) T, emit func(T) error, again func() error) error {
	scattered, err := kits(ctx, b, count, nil, judge, emit)
	if err != nil || len(scattered) == 0 {
		return err
	}
	whole, err := b.gather(ctx, scattered)
	if err != nil {
		return err
	}
	if err := again(); err != nil {
		return err
	}
	_, err = kits(ctx, b, count, whole, judge, emit)
	return err
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

// kits is one reading of the file. Whole has the kits whose rows were gathered; scattered names those
// that came back and are not among them.
func kits[T any](ctx context.Context, b *Batch, count int, whole map[string]*Kit, judge func(*Kit) T, emit func(T) error) (scattered []string, err error) {
	r := kitReader{
		batch: b, errs: b.errs.Clone(), whole: whole, handed: map[string]bool{},
		seed: maphash.MakeSeed(), seen: map[uint64]struct{}{}, back: map[string]bool{},
	}
	judgeAll := func(l *load) []T {
		results := make([]T, len(l.kits))
		for i := range l.kits {
			l.kits[i].Info = b.infoOf(l.kits[i].Name)
			results[i] = judge(&l.kits[i])
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
	err = workers.Map(ctx, count, func(yield func(*load) bool) error { return r.read(ctx, yield) }, judgeAll, emitAll)
	if err != nil {
		return nil, err
	}
	return r.scattered, r.errs.Err()
}

// load is what a worker gets at a time: so many kits that handing them on costs nothing beside reading
// them, so few that their readings stay in a processor's cache.
type load struct {
	kits     []Kit
	readings []Reading // of all of them, one after another
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

	name    string // of the kit whose rows are being read; "" before the first
	from    int    // its first reading in the load
	repeats repeats

	whole  map[string]*Kit // those whose rows were gathered
	handed map[string]bool // those of them that were handed on

	seed      maphash.Seed
	seen      map[uint64]struct{} // hashes of the kits met. Two names of one hash only cost a needless gathering
	back      map[string]bool     // those that came back
	scattered []string            // the same in order
}

// read reads the file once and yields its kits.
func (k *kitReader) read(ctx context.Context, yield func(*load) bool) error {
	in, err := k.batch.readings.open()
	if err != nil {
		return err
	}
	defer in.Close()
	d, err := openReadings(k.batch.readings.name(), in, k.errs, k.batch.Gauges)
	if d == nil || err != nil {
		return err
	}
	k.fresh()
	for d.Next() {
		row := d.Row()
		if name := d.Cell(kitColumn); name != k.name || name == "" {
			k.finish()
			if ctx.Err() != nil || len(k.load.readings) >= fullLoad && !k.hand(yield) {
				return ctx.Err()
			}
			k.begin(d.kit(row))
		}
		if k.whole[k.name] == nil {
			k.add(d, row)
		}
	}
	k.finish()
	if d.Err() == nil {
		k.hand(yield)
	}
	return d.Err()
}

// wanted tells whether results can still be used.
func (k *kitReader) wanted() bool { return k.errs.Empty() && len(k.scattered) == 0 }

// fresh begins a load.
func (k *kitReader) fresh() {
	k.load = loads.Get().(*load)
	k.load.kits, k.load.readings = k.load.kits[:0], k.load.readings[:0]
}

// hand hands on the load. It is false when nobody wants more.
func (k *kitReader) hand(yield func(*load) bool) bool {
	full := k.load
	k.fresh()
	return !k.wanted() || yield(full)
}

// begin begins a kit at its first row, or at the first after another kit's.
func (k *kitReader) begin(name string) {
	k.name, k.from = strings.Clone(name), len(k.load.readings)
	k.repeats.clear()
	if whole := k.whole[name]; whole != nil {
		if !k.handed[name] {
			k.handed[name] = true
			k.load.kits = append(k.load.kits, *whole)
		}
		return
	}
	hash := maphash.String(k.seed, name)
	if _, ok := k.seen[hash]; ok && !k.back[name] {
		k.back[name] = true
		k.scattered = append(k.scattered, k.name)
	}
	k.seen[hash] = struct{}{}
}

// add adds a row to its kit.
func (k *kitReader) add(d *decoder, row *csvtext.Row) {
	n := len(k.load.readings)
	if n < cap(k.load.readings) {
		k.load.readings = k.load.readings[:n+1]
	} else {
		k.load.readings = append(k.load.readings, Reading{})
	}
	g := &k.load.readings[n]
	d.decode(row, g)
	if !row.Bad {
		k.repeats.check(g, row)
	}
	if !k.wanted() {
		k.load.readings = k.load.readings[:n]
	}
}

// finish adds the kit whose rows have ended to the load.
func (k *kitReader) finish() {
	if n := len(k.load.readings); n > k.from && k.wanted() {
		k.load.kits = append(k.load.kits, Kit{Name: k.name, Readings: k.load.readings[k.from:n:n]})
	}
	k.from = len(k.load.readings)
}

// gather reads the file once more for the rows of some kits, which lie scattered in it.
func (b *Batch) gather(ctx context.Context, names []string) (map[string]*Kit, error) {
	whole, seen := map[string]*Kit{}, map[string]*repeats{}
	for _, name := range names {
		whole[name], seen[name] = &Kit{Name: name}, &repeats{}
	}
	in, err := b.readings.open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	errs := b.errs.Clone()
	d, err := openReadings(b.readings.name(), in, errs, b.Gauges)
	if d == nil || err != nil {
		return nil, cmp.Or(err, errs.Err())
	}
	for d.Next() && ctx.Err() == nil {
		kit := whole[d.Cell(kitColumn)]
		if kit == nil {
			continue
		}
		var g Reading
		row := d.Row()
		d.decode(row, &g)
		if !row.Bad {
			seen[kit.Name].check(&g, row)
		}
		kit.Readings = append(kit.Readings, g)
	}
	return whole, cmp.Or(ctx.Err(), d.Err(), errs.Err())
}
