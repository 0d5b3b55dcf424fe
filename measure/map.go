package measure

import (
	"context"
	"hash/maphash"
	"sync"
	"sync/atomic"
)

// Map reads the readings as Each does, judges the kits on several workers and hands the results on
// in the order of the kits, whatever the number of workers. Judge runs on several goroutines at
// once; emit runs on the caller's. A kit and its readings are judge's for as long as it runs: they
// are used again after it, so what a result keeps of them must be a Clone's. An error of emit ends
// the reading and is returned as it is; so does the context, with its error.
//
// The file is read in chunks that end between kits, of 64 KiB or one larger kit, and a few chunks
// a worker are in memory at a time, besides the 16 bytes that Each keeps of each name. Map decodes
// plain rows itself. As soon as it meets one that is not plainly good it starts over by way of Each,
// on one goroutine, passing over the kits that were handed on: so places and messages are Each's,
// and so are the errors returned, a *ScatteredError among them.
func Map[T any](ctx context.Context, b *Batch, workers int, judge func(*Kit) T, emit func(T) error) error {
	m := newMapping(b, workers, judge, emit)
	err := errNotPlain
	if b.errs.empty() {
		err = m.run(ctx)
	}
	if err == errNotPlain {
		err = m.again(ctx)
	}
	return err
}

// Clone copies a kit and its readings.
func (k *Kit) Clone() *Kit {
	c := *k
	c.Readings = append([]Reading(nil), k.Readings...)
	return &c
}

// mapping is one Map.
type mapping[T any] struct {
	batch   *Batch
	workers int
	judge   func(*Kit) T
	emit    func(T) error

	emitted  int
	seed     maphash.Seed
	seen     map[uint64]struct{} // as in pass
	unwanted atomic.Bool         // a kit has come back: there are no results any more

	scattered map[string]bool
	back      []string
	signed    decimals // the decimal sign of the file so far
}

func newMapping[T any](b *Batch, workers int, judge func(*Kit) T, emit func(T) error) *mapping[T] {
	return &mapping[T]{
		batch: b, workers: max(1, workers), judge: judge, emit: emit,
		seed: maphash.MakeSeed(), seen: map[uint64]struct{}{}, scattered: map[string]bool{},
	}
}

// job is a chunk on its way.
type job[T any] struct {
	chunk
	results []T
	done    chan struct{} // gets one when the results are there
}

// again is the way through gocsv.
func (m *mapping[T]) again(ctx context.Context) error {
	kits := 0
	return m.batch.Each(func(k *Kit) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		if kits++; kits <= m.emitted {
			return nil
		}
		return m.emit(m.judge(k))
	})
}

// run is the way around it: one goroutine cuts, the workers decode and judge, this one hands on.
func (m *mapping[T]) run(ctx context.Context) error {
	in, err := m.batch.readings.open()
	if err != nil {
		return err
	}
	cutter, err := newCutter(in)
	if err != nil {
		in.Close()
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	line := newLine[T](m.workers)
	go func() {
		defer in.Close()
		line.cut(ctx, cutter)
	}()
	var workers sync.WaitGroup
	for range m.workers {
		workers.Go(func() { m.work(ctx, line, newChunkReader(m.batch, cutter.split.layout, m.seed)) })
	}
	err = m.collect(ctx, line)
	cancel()
	workers.Wait()
	if err == errNotPlain {
		<-line.ended // Each reads the same source. After other errors nothing waits for a stream that may never go on
	}
	return err
}

// line is what the goroutines pass chunks along. There are only so many, so none of its channels
// but free is ever full.
type line[T any] struct {
	free, work, order chan *job[T]
	ended             chan struct{} // closed when nothing is read any more
}

func newLine[T any](workers int) *line[T] {
	jobs := 2*workers + 2 // one being judged and one waiting a worker, one being cut and one handed on
	l := &line[T]{make(chan *job[T], jobs), make(chan *job[T], jobs), make(chan *job[T], jobs), make(chan struct{})}
	for range jobs {
		l.free <- &job[T]{done: make(chan struct{}, 1)}
	}
	return l
}

// cut fills one chunk after another.
func (l *line[T]) cut(ctx context.Context, c *cutter) {
	defer close(l.ended)
	defer close(l.order)
	for {
		select {
		case <-ctx.Done():
			return
		case j := <-l.free:
			c.next(&j.chunk)
			done := j.last || j.odd || j.err != nil
			l.work <- j
			l.order <- j
			if done {
				return
			}
		}
	}
}

// work decodes and judges chunks.
func (m *mapping[T]) work(ctx context.Context, l *line[T], r *chunkReader) {
	for {
		select {
		case <-ctx.Done():
			return
		case j := <-l.work:
			if !j.odd && j.err == nil {
				m.judgeAll(j, r)
			}
			j.done <- struct{}{}
		case <-l.ended:
			if len(l.work) == 0 {
				return
			}
		}
	}
}

func (m *mapping[T]) judgeAll(j *job[T], r *chunkReader) {
	r.read(&j.chunk)
	if j.odd || m.unwanted.Load() {
		return
	}
	clear(j.results)
	j.results = j.results[:0]
	for i := range j.kits {
		var result T
		if k := &j.kits[i]; k.gathered == nil || k.first {
			result = m.judge(r.kit(&j.chunk, k))
		}
		j.results = append(j.results, result)
	}
}

// collect hands on the results of one chunk after another.
func (m *mapping[T]) collect(ctx context.Context, l *line[T]) error {
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case j, ok := <-l.order:
			if !ok {
				return m.end(ctx)
			}
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-j.done:
			}
			if err := m.take(ctx, j); err != nil {
				return err
			}
			l.free <- j
		}
	}
}

// end is for a file that was read to its end.
func (m *mapping[T]) end(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if len(m.back) > 0 {
		return &ScatteredError{Kits: m.back}
	}
	return nil
}

// take hands on the results of a chunk.
func (m *mapping[T]) take(ctx context.Context, j *job[T]) error {
	if j.err != nil {
		return j.err
	}
	if j.odd || !m.signed.agree(j.signed) {
		return errNotPlain
	}
	for i := range j.kits {
		k := &j.kits[i]
		if k.gathered == nil {
			m.met(k)
		} else if !k.first {
			continue
		}
		if len(m.back) > 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := m.emit(j.results[i]); err != nil {
			return err
		}
		m.emitted++
	}
	return nil
}

// met notes a kit, and whether it was met before.
func (m *mapping[T]) met(k *stretch) {
	if _, ok := m.seen[k.hash]; ok && !m.scattered[k.name] {
		m.scattered[k.name] = true
		m.back = append(m.back, k.name)
		m.unwanted.Store(true)
	}
	m.seen[k.hash] = struct{}{}
}

// agree is false when the two write their decimals differently.
func (d *decimals) agree(next decimals) bool {
	if d.sign == 0 {
		d.sign = next.sign
	}
	return next.sign == 0 || next.sign == d.sign
}
