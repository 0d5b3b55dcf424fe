package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"neckfit/measure"
	"neckfit/report"
)

// output gathers results in a spool and hands them on when they are whole.
type output struct {
	*report.Spool
	to     io.Writer // nil for a file
	target string    // the file, links followed
	mode   os.FileMode
}

// openOutput prepares for the file of that name, or for standard output when there is none. The
// spool of a file lies beside it, so that it is known at once whether it can be written.
func (p *program) openOutput(name string) (*output, error) {
	const newFile = 0o644
	o := &output{to: p.stdout, target: name, mode: newFile}
	dir := ""
	if name != "" {
		if link, err := filepath.EvalSymlinks(name); err == nil {
			o.target = link
		} else if to, err := os.Readlink(name); err == nil {
			return nil, misusef("--out %s is a link to %s, which is not there", name, to)
		}
		info, err := os.Stat(o.target)
		switch {
		case err == nil && info.IsDir():
			return nil, misusef("--out %s is a folder, not a file", name)
		case err == nil && !info.Mode().IsRegular():
			return o, o.openDevice(p.ctx)
		case err == nil:
			o.mode = info.Mode().Perm()
		}
		o.to, dir = nil, filepath.Dir(o.target)
	}
	spool, err := report.NewSpool(dir)
	if err != nil && name != "" {
		return nil, fmt.Errorf("cannot write to --out %s: %w", name, err)
	}
	if err != nil {
		return nil, err
	}
	o.Spool = spool
	return o, nil
}

// openDevice is for a pipe or a device, which must not be replaced by a file.
func (o *output) openDevice(ctx context.Context) error {
	f, err := await(ctx, func() (*os.File, error) { return os.OpenFile(o.target, os.O_WRONLY, 0) })
	if err != nil {
		return err
	}
	spool, err := report.NewSpool("")
	if err != nil {
		return errors.Join(err, f.Close())
	}
	o.Spool, o.to = spool, f
	return nil
}

// errCutShort is for results that were on their way when the interrupt came.
var errCutShort = errors.New("interrupted while the results were being written: they are not whole")

// deliver hands the results on, unless the context has ended.
func (o *output) deliver(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if o.to == nil {
		if err := o.MoveTo(o.target, o.mode); err != nil {
			return fmt.Errorf("cannot write the results: %w", err)
		}
		return nil
	}
	err := awaitDone(ctx, func() error { return o.CopyTo(o.to) })
	switch {
	case errors.Is(err, context.Canceled):
		return errCutShort
	case err != nil:
		return fmt.Errorf("cannot write the results: %w", err)
	}
	return nil
}

// close tidies up; what was not delivered is gone.
func (o *output) close() error {
	err := o.Close()
	if f, ok := o.to.(*os.File); ok && o.target != "" {
		err = errors.Join(err, f.Close())
	}
	return err
}

// refuseInput refuses an output that is also an input, or would be one the next time. An output
// without a name is standard output.
func (p *program) refuseInput(out, path string) error {
	target, what := p.outputFile(out)
	if target == nil {
		return p.refuseTable(out, path) // not there yet
	}
	if target.Mode()&os.ModeCharDevice != 0 {
		return nil // a terminal, or nothing at all, may be both
	}
	for _, input := range p.inputs(path) {
		if os.SameFile(target, input) {
			return misusef("%s is one of the tables that are read", what)
		}
	}
	return nil
}

// outputFile is the file that an output is, and its name in messages; nil when there is none.
func (p *program) outputFile(name string) (os.FileInfo, string) {
	if name != "" {
		info, err := os.Stat(name)
		if err != nil {
			return nil, ""
		}
		return info, "--out " + name
	}
	f, ok := p.stdout.(*os.File)
	if !ok {
		return nil, ""
	}
	info, err := f.Stat()
	if err != nil {
		return nil, ""
	}
	return info, "standard output"
}

// refuseTable refuses a new file that would be a table of the batch from then on.
func (p *program) refuseTable(out, path string) error {
	dir := p.tablesOf(path)
	if out == "" || dir == "" || !slices.Contains(measure.Tables(), filepath.Base(out)) {
		return nil
	}
	folder, err := os.Stat(dir)
	beside, errBeside := os.Stat(filepath.Dir(out))
	if err == nil && errBeside == nil && os.SameFile(folder, beside) {
		return misusef("--out %s would be read as a table of this batch the next time: choose another name", out)
	}
	return nil
}

// tablesOf is the folder of a batch's tables; "" when there is none.
func (p *program) tablesOf(path string) string {
	if p.tables != "" || path == "-" {
		return p.tables
	}
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		return filepath.Dir(path)
	}
	return path
}

// inputs are the files that a batch may read, as far as they are there.
func (p *program) inputs(path string) []os.FileInfo {
	var files []os.FileInfo
	note := func(info os.FileInfo, err error) {
		if err == nil && !info.IsDir() {
			files = append(files, info)
		}
	}
	if f, ok := p.stdin.in.(*os.File); ok && path == "-" {
		note(f.Stat())
	}
	if path != "-" {
		note(os.Stat(path))
		note(os.Stat(filepath.Join(path, measure.Tables()[0]))) // the readings stay where they are
	}
	if dir := p.tablesOf(path); dir != "" {
		for _, name := range measure.Tables() {
			note(os.Stat(filepath.Join(dir, name)))
		}
	}
	return files
}

// write hands a report to the file of that name, or to standard output when there is none, whole or
// not at all. The paths are what was read, which it must not overwrite.
func (p *program) write(name string, paths []string, report func(io.Writer) error) error {
	return p.writeAll([]string{name}, paths, []func(io.Writer) error{report})
}

// writeAll is write for several files, none of which is touched before all of them are ready.
func (p *program) writeAll(names, paths []string, reports []func(io.Writer) error) (err error) {
	for _, name := range names {
		for _, path := range paths {
			if err := p.refuseInput(name, path); err != nil {
				return err
			}
		}
	}
	var outs []*output
	defer func() {
		for _, out := range outs {
			err = errors.Join(err, out.close())
		}
	}()
	for i, name := range names {
		out, err := p.openOutput(name)
		if err != nil {
			return err
		}
		outs = append(outs, out)
		if err := awaitDone(p.ctx, func() error { return reports[i](out) }); err != nil {
			return err
		}
	}
	for _, out := range outs {
		if err := out.deliver(p.ctx); err != nil {
			return err
		}
	}
	return nil
}

// remembering is an output whose writer does not ask what became of it, as cobra's help.
type remembering struct {
	to  io.Writer
	err error // the first
}

func (r *remembering) Write(p []byte) (int, error) {
	n, err := r.to.Write(p)
	if r.err == nil {
		r.err = err
	}
	return n, err
}
