package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"

	"neckfit/measure"
	"neckfit/measure/csvtext"
	"neckfit/report"
)

// output gathers results in a spool and hands them on when they are whole.
type output struct {
	*report.Spool
	to       io.Writer // where they are copied to; nil for a file whose place they take
	opened   *os.File  // what is to be closed
	emptying bool      // opened is a file that is written over in its place
	become   func() rewriting
	target   string // the file whose place they take, links followed
	mode     os.FileMode
}

// openOutput prepares for the file of that name, or for standard output when there is none. The
// spool of a file lies beside it, so that it is known at once whether it can be written.
func (p *program) openOutput(name string) (o *output, err error) {
	const anybody = 0o666
	o = &output{to: p.stdout, become: p.rewriting, mode: anybody &^ umask()}
	if name == "" {
		o.Spool, err = report.NewSpool("")
		return o, err
	}
	o.target, o.opened, err = followed(name)
	if err != nil {
		return nil, err
	}
	old, err := os.Stat(o.target)
	switch {
	case o.opened != nil: // a descriptor that was open already
		err = nil
	case err == nil && old.IsDir():
		return nil, misusef("--out %s is a folder, not a file", name)
	case err == nil && !old.Mode().IsRegular(): // a pipe or a device, which no file may replace
		o.opened, err = await(p.ctx, func() (*os.File, error) { return os.OpenFile(o.target, os.O_WRONLY, 0) })
	case err == nil && old.Mode().Perm()&0o222 == 0:
		return nil, fmt.Errorf("cannot write to --out %s: it is read-only", name)
	case err == nil:
		err = o.replace(old)
	default:
		o.to = nil
		o.Spool, err = report.NewSpool(filepath.Dir(o.target))
	}
	if err == nil && o.opened != nil {
		o.to = o.opened
		o.Spool, err = report.NewSpool("")
	}
	if err != nil {
		if o.opened != nil {
			err = errors.Join(err, o.opened.Close())
		}
		return nil, fmt.Errorf("cannot write to --out %s: %w", name, err)
	}
	return o, nil
}

// descriptor is a name of one of the program's own open files.
var descriptor = regexp.MustCompile(`^/(?:dev|proc/self)/fd/([0-9]+)$`)

// followed follows the links of an output's name to a file, which may be still to come, or to a
// descriptor, which must not be opened anew: a shell that appends would have its file written over.
func followed(name string) (string, *os.File, error) {
	const enough = 40 // links that the system itself follows
	at := name
	for range enough {
		if m := descriptor.FindStringSubmatch(at); m != nil {
			if fd, err := strconv.Atoi(m[1]); err == nil {
				return at, os.NewFile(uintptr(fd), name), nil
			}
		}
		to, err := os.Readlink(at)
		if err != nil { // no link
			if _, err := os.Stat(at); at != name && err != nil {
				return "", nil, misusef("--out %s is a link to %s, which is not there", name, at)
			}
			return at, nil, nil
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(at), to)
		}
		at = to
	}
	return "", nil, misusef("--out %s is a link that leads to itself", name)
}

// replace prepares to take the place of a file, with its mode and owner. Where that cannot be, since
// its folder may not be written or the owner is somebody else, the file is to be written over.
func (o *output) replace(old os.FileInfo) error {
	o.to, o.mode = nil, old.Mode().Perm()
	spool, err := report.NewSpool(filepath.Dir(o.target))
	if err == nil {
		if err = giveTo(spool.Name(), old); err == nil {
			o.Spool = spool
			return nil
		}
		err = errors.Join(err, spool.Close())
	}
	if !errors.Is(err, os.ErrPermission) {
		return err
	}
	o.opened, err = os.OpenFile(o.target, os.O_WRONLY, 0)
	o.emptying = true
	return err
}

// rewriting makes something else of results that were written as CSV.
type rewriting = func(w io.Writer, r io.Reader) error

// rewriting is what is to be made of the results; nil when they stay as they are.
func (p *program) rewriting() rewriting {
	switch {
	case p.workbook != "":
		return func(w io.Writer, r io.Reader) error { return report.Workbook(w, p.workbook, r) }
	case p.likeInput && p.dialect != csvtext.Dialect{}:
		return func(w io.Writer, r io.Reader) error { return report.InDialect(w, r, p.dialect) }
	}
	return nil
}

// errCutShort is for results that were on their way when the interrupt came.
var errCutShort = errors.New("interrupted while the results were being written: they are not whole")

// deliver hands the results on, unless the context has ended.
func (o *output) deliver(ctx context.Context) error {
	err := ctx.Err()
	if rewrite := o.become(); err == nil && rewrite != nil {
		err = o.Become(rewrite)
	}
	switch {
	case err != nil:
		return err
	case o.to == nil:
		err = o.MoveTo(o.target, o.mode)
	default:
		err = awaitDone(ctx, func() error {
			if o.emptying {
				if err := o.opened.Truncate(0); err != nil {
					return err
				}
			}
			return o.CopyTo(o.to)
		})
		if errors.Is(err, context.Canceled) {
			return errCutShort
		}
	}
	if err != nil {
		return fmt.Errorf("cannot write the results: %w", err)
	}
	return nil
}

// close tidies up; what was not delivered is gone.
func (o *output) close() error {
	err := o.Close()
	if o.opened != nil {
		err = errors.Join(err, o.opened.Close())
	}
	return err
}

// refuseInput refuses an output that is also an input, or would be a table of the batch the next time.
// An output without a name is standard output.
func (p *program) refuseInput(out, path string) error {
	var target os.FileInfo
	what := "standard output"
	err := os.ErrNotExist
	if out != "" {
		what = "--out " + out
		target, err = os.Stat(out)
	} else if f, ok := p.stdout.(*os.File); ok {
		target, err = f.Stat()
	}
	if err == nil && target.Mode()&os.ModeCharDevice != 0 {
		return nil // a terminal, or nothing at all, may be both
	}
	if err == nil {
		for _, input := range p.inputs(path) {
			if os.SameFile(target, input) {
				return misusef("%s is one of the tables that are read", what)
			}
		}
		return nil
	}
	dir := p.tablesOf(path)
	if out == "" || dir == "" || !slices.Contains(measure.Tables(), filepath.Base(out)) {
		return nil
	}
	folder, err := os.Stat(dir)
	beside, failed := os.Stat(filepath.Dir(out))
	if err == nil && failed == nil && os.SameFile(folder, beside) {
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
	if f, ok := p.input.(*os.File); ok && path == "-" {
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
	for _, name := range names {
		out, err := p.openOutput(name)
		if err != nil {
			return err
		}
		outs = append(outs, out)
	}
	return newProgress(p.stderr).during("writing", func() error {
		for i, out := range outs {
			if err := awaitDone(p.ctx, func() error { return reports[i](out) }); err != nil {
				return err
			}
		}
		return p.deliverAll(outs)
	})
}

// streamed opens a batch and an output, has the one written into the other, kit by kit, and delivers what came of it
// when it is whole.
func (p *program) streamed(path, name string, write func(*measure.Batch, *output) (good bool, err error)) (err error) {
	if err := p.refuseInput(name, path); err != nil {
		return err
	}
	batch, err := p.open(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	out, err := p.openOutput(name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.close()) }()
	good, err := write(batch, out)
	if err == nil {
		err = newProgress(p.stderr).during("writing", func() error { return out.deliver(p.ctx) })
	}
	if err == nil && !good {
		err = errNotGood
	}
	return err
}

// deliverAll delivers several outputs, or leaves all files as they were.
func (p *program) deliverAll(outs []*output) (err error) {
	var undo []func() error
	defer func() {
		for _, back := range slices.Backward(undo) {
			err = errors.Join(err, back())
		}
	}()
	for _, out := range outs {
		if out.to == nil && len(outs) > 1 {
			switch err := os.Link(out.target, out.Name()+".old"); {
			case errors.Is(err, os.ErrNotExist):
				undo = append(undo, func() error { return removeIfThere(out.target) }) // it was not there, and is to go again
			case err != nil:
				return fmt.Errorf("cannot keep %s while others are written: %w", out.target, err)
			default:
				undo = append(undo, func() error { return os.Rename(out.Name()+".old", out.target) })
			}
		}
		if err := out.deliver(p.ctx); err != nil {
			return err
		}
	}
	for _, out := range outs {
		err = errors.Join(err, removeIfThere(out.Name()+".old"))
	}
	undo = nil
	return err
}

func removeIfThere(file string) error {
	if err := os.Remove(file); !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// remembering is an output whose writer does not ask what became of it, or complains of it in a way of its
// own, as cobra's help: all seems well to it.
type remembering struct {
	to  io.Writer
	err error // the first
}

// Write never fails: its error is kept.
func (r *remembering) Write(p []byte) (int, error) {
	if r.err == nil {
		_, r.err = r.to.Write(p)
	}
	return len(p), nil
}
