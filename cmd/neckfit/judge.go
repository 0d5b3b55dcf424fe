package main

import (
	"context"
	"runtime"
	"runtime/debug"
	"sync"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report"
)

// judged is what a worker makes of a kit.
type judged struct {
	name    string
	done    bool // it is one of those that were asked for
	passing bool
	line    *[]byte     // in a format of lines; back to room after use
	result  *fit.Result // in any other
	err     error
}

// rarely is how much memory may be left behind, in percent of what is in use, before it is collected
// while kits pass by that nobody keeps: some 10 MiB more than usual, for 4 % less time.
const rarely = 400

// checkers are those of the workers.
var checkers = sync.Pool{New: func() any { return new(fit.Checker) }}

// room is for the lines of kits on their way to the output.
var room = sync.Pool{New: func() any { return new([]byte) }}

// pass runs over the batch once and writes into the spool.
func (p *program) pass(ctx context.Context, batch *measure.Batch, out *output, o checkOptions) (*found, error) {
	show := newProgress(p.stderr)
	defer show.done()
	var found found
	count := func(j judged) {
		show.kit()
		found.note(j.name)
		if j.done {
			found.judged++
		}
		if j.passing {
			found.passing++
		}
	}
	if lines, ok := o.lines(); ok {
		return &found, o.passLines(ctx, batch, out, lines, count)
	}
	return &found, p.passResults(ctx, batch, out, o, count)
}

// passLines writes a format in which every kit stands by itself: the workers write too.
func (o checkOptions) passLines(ctx context.Context, batch *measure.Batch, out *output, lines report.Lines, count func(judged)) error {
	defer debug.SetGCPercent(debug.SetGCPercent(rarely))
	options := o.fit(batch)
	if _, err := out.Write(lines.Header(fit.Check(&measure.Kit{}, options))); err != nil {
		return err
	}
	judge := func(kit *measure.Kit) judged {
		if !o.wants(kit) {
			return judged{name: kit.Name}
		}
		checker := checkers.Get().(*fit.Checker)
		defer checkers.Put(checker)
		r := checker.Check(kit, options)
		j := judged{name: kit.Name, done: true, passing: r.Verdict == fit.Pass, line: room.Get().(*[]byte)}
		*j.line, j.err = lines.Append((*j.line)[:0], r)
		return j
	}
	return measure.Map(ctx, batch, runtime.GOMAXPROCS(0), judge, func(j judged) error {
		count(j)
		if !j.done || j.err != nil {
			return j.err
		}
		_, err := out.Write(*j.line)
		room.Put(j.line)
		return err
	})
}

// passResults writes a format that needs the batch as a whole.
func (p *program) passResults(ctx context.Context, batch *measure.Batch, out *output, o checkOptions, count func(judged)) (err error) {
	w, err := o.writer(p, out)
	if err != nil {
		return err
	}
	defer func() {
		if closed := w.Close(); err == nil {
			err = closed
		}
	}()
	options := o.fit(batch)
	judge := func(kit *measure.Kit) judged {
		if !o.wants(kit) {
			return judged{name: kit.Name}
		}
		r := fit.Check(kit.Clone(), options) // a result may point at its readings
		return judged{name: kit.Name, done: true, passing: r.Verdict == fit.Pass, result: r}
	}
	return measure.Map(ctx, batch, runtime.GOMAXPROCS(0), judge, func(j judged) error {
		count(j)
		if !j.done {
			return nil
		}
		return w.Kit(j.result)
	})
}

func (o checkOptions) wants(kit *measure.Kit) bool { return o.kit == "" || kit.Name == o.kit }
