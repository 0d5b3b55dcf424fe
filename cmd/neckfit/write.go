package main

import (
	"errors"
	"io"
)

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
