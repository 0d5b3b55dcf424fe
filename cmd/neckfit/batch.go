package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
)

// open opens the batch at a path with what package fit knows.
func (p *program) open(path string) (*measure.Batch, error) {
	if path == "-" {
		if p.stdinTaken {
			return nil, misusef("standard input, -, can be read only once")
		}
		p.stdinTaken = true
	}
	return measure.Open(path, p.from())
}

// from is what a batch needs from outside.
func (p *program) from() measure.Options {
	return measure.Options{Characteristics: fit.Characteristics(), Stdin: p.stdin, Tables: p.tables, Pipe: p.pipe, Planned: p.planned}
}

// tablesFlag is for a command that reads a batch.
func (p *program) tablesFlag(c *cobra.Command) {
	c.Flags().Var(newChoice(&p.errors, "text", "jsonl"), "errors", "how to list mistakes in the tables: in words, one line for all cells that have it, or each cell as JSON")
	c.Flags().BoolVar(&p.likeInput, "csv-like-input", false, "write csv with the delimiter and the decimal sign of the readings")
	c.Flags().StringVar(&p.tables, "tables", "", "take the tables besides the readings from this `folder`, for readings from - or from elsewhere")
}

// eachKit judges the kits of a batch, or the only one wanted, on all processors and hands the results
// on in order. A kit and its readings are judge's only while it runs, as measure.Kits has it. When kits
// lie scattered in the batch, begin is called a second time, and all are handed on anew.
func eachKit[T any](p *program, batch *measure.Batch, only string, begin func() error, judge func(*measure.Kit) T, fn func(T) error) error {
	show := newProgress(p.stderr)
	defer show.done()
	only = measure.Canonical(only)
	wanted := selection{name: only}
	type outcome struct {
		kit   string
		value T
	}
	one := func(kit *measure.Kit) outcome {
		if only != "" && !strings.EqualFold(only, kit.Name) {
			return outcome{kit: kit.Name}
		}
		return outcome{kit.Name, judge(kit)}
	}
	var alike []outcome // of another case than the one that is wanted
	each := func(o outcome) error {
		show.kit()
		switch {
		case wanted.takes(o.kit):
			return fn(o.value)
		case strings.EqualFold(only, o.kit):
			alike = append(alike, o)
		}
		return nil
	}
	again := func() error {
		wanted, alike = selection{name: only}, nil
		return begin()
	}
	err := begin()
	if err == nil {
		err = measure.Kits(p.ctx, batch, runtime.GOMAXPROCS(0), one, each, again)
	}
	show.done()
	p.dialect = cmp.Or(p.dialect, batch.Dialect)
	for _, n := range batch.Notices() {
		if text := plainly(n.String()); !p.told[text] { // a batch may be read twice
			p.told[text] = true
			fmt.Fprintln(p.stderr, text)
		}
	}
	switch {
	case err != nil:
		return err
	case wanted.met == 0:
		return errNoReadings
	case wanted.taken == 0 && len(alike) == 1: // there is no doubt which is meant
		return fn(alike[0].value)
	case wanted.taken == 0:
		return misusef("there is no kit %q in the batch; it has %s", only, strings.Join(wanted.some, ", "))
	}
	return nil
}

// selection is the kits of a batch that are wanted: all, or the one of a name.
type selection struct {
	name       string // "" for all
	met, taken int
	some       []string // the first few names
}

// takes counts a kit that was met, and tells whether it is wanted.
func (s *selection) takes(kit string) bool {
	const shown = 5
	s.met++
	switch {
	case s.met <= shown:
		s.some = append(s.some, fmt.Sprintf("%q", kit))
	case s.met == shown+1:
		s.some = append(s.some, "and more")
	}
	if s.name != "" && s.name != kit {
		return false
	}
	s.taken++
	return true
}

// errNoReadings is the complaint about a batch without any.
var errNoReadings = misusef("there are no readings in the batch: fill in the numbers of readings.csv (neckfit sheet gives its rows)")

// gather opens a batch and keeps what judge, which is made for it, gives for each kit.
func gather[T any](p *program, path, only string, judgeOf func(*measure.Batch) func(*measure.Kit) T) (all []T, batch *measure.Batch, err error) {
	batch, err = p.open(path)
	if err != nil {
		return nil, nil, err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	begin := func() error { all = nil; return nil }
	err = eachKit(p, batch, only, begin, judgeOf(batch), func(result T) error {
		all = append(all, result)
		return nil
	})
	return all, batch, err
}

// whole keeps the kits themselves.
func whole(*measure.Batch) func(*measure.Kit) *measure.Kit { return (*measure.Kit).Clone }

// await does what may take for ever, and lets go of it when the context ends. What is left behind
// goes on until the program ends; nobody wants what comes of it.
func await[T any](ctx context.Context, do func() (T, error)) (T, error) {
	type outcome struct {
		value T
		err   error
	}
	var nothing T
	if err := ctx.Err(); err != nil {
		return nothing, err
	}
	done := make(chan outcome, 1)
	go func() {
		value, err := do()
		done <- outcome{value, err}
	}()
	select {
	case o := <-done:
		return o.value, o.err
	case <-ctx.Done():
		return nothing, ctx.Err()
	}
}

// patiently is await that shows on a terminal what is being done.
func patiently[T any](p *program, what string, do func() (T, error)) (value T, err error) {
	err = newProgress(p.stderr).during(what, func() error {
		value, err = await(p.ctx, do)
		return err
	})
	return value, err
}

// awaitDone is await for what gives nothing but an error.
func awaitDone(ctx context.Context, do func() error) error {
	_, err := await(ctx, func() (struct{}, error) { return struct{}{}, do() })
	return err
}

// interruptible is a stream whose waiting Read ends with the context. The Read that is left behind
// takes what comes next.
type interruptible struct {
	ctx context.Context
	in  io.Reader
}

// Read ends with the context, whatever becomes of what it reads.
func (r interruptible) Read(p []byte) (int, error) {
	own := make([]byte, len(p)) // the caller may use p again once Read has returned
	n, err := await(r.ctx, func() (int, error) { return r.in.Read(own) })
	return copy(p, own[:n]), err
}

// untilEnded is an output that takes nothing more once the context has ended, for one who writes much.
type untilEnded struct {
	ctx context.Context
	out io.Writer
}

// Write is the output's, or the context's error.
func (w untilEnded) Write(p []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	return w.out.Write(p)
}

// pipe opens a named pipe or a device, for whose other end one may wait for ever.
func (p *program) pipe(file string) (io.ReadCloser, error) {
	f, err := await(p.ctx, func() (*os.File, error) { return os.Open(file) })
	if err != nil {
		return nil, err
	}
	return struct {
		io.Reader
		io.Closer
	}{interruptible{p.ctx, f}, f}, nil
}

// openTable opens a file that is no table of a batch.
func (p *program) openTable(file string) (io.ReadCloser, error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, misusef("%s is a folder, not a file", file)
	case !info.Mode().IsRegular():
		return p.pipe(file)
	}
	return os.Open(file)
}
