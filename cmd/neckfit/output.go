package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

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
		}
		info, err := os.Stat(o.target)
		switch {
		case err == nil && info.IsDir():
			return nil, misusef("--out %s is a folder, not a file", name)
		case err == nil && !info.Mode().IsRegular():
			return o.openDevice()
		case err == nil:
			o.mode = info.Mode().Perm()
		}
		o.to, dir = nil, filepath.Dir(o.target)
	}
	spool, err := report.NewSpool(dir)
	if err != nil {
		return nil, err
	}
	o.Spool = spool
	return o, nil
}

// openDevice is for a pipe or a device, which must not be replaced by a file.
func (o *output) openDevice() (*output, error) {
	f, err := os.OpenFile(o.target, os.O_WRONLY, 0)
	if err != nil {
		return nil, err
	}
	spool, err := report.NewSpool("")
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	o.Spool, o.to = spool, f
	return o, nil
}

// deliver hands the results on.
func (o *output) deliver() error {
	if o.to == nil {
		if err := o.MoveTo(o.target, o.mode); err != nil {
			return fmt.Errorf("cannot write the results: %w", err)
		}
		return nil
	}
	if err := o.CopyTo(o.to); err != nil {
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

// refuseInput refuses an output that is also an input.
func (p *program) refuseInput(out, path string) error {
	target, err := os.Stat(out)
	if err != nil {
		return nil // not there yet
	}
	for _, input := range p.inputs(path) {
		if os.SameFile(target, input) {
			return misusef("--out %s is one of the tables that are read", out)
		}
	}
	return nil
}

// inputs are the files that a batch may read, as far as they are there.
func (p *program) inputs(path string) []os.FileInfo {
	var files []os.FileInfo
	if path == "-" {
		if f, ok := p.stdin.in.(*os.File); ok {
			if info, err := f.Stat(); err == nil {
				files = append(files, info)
			}
		}
		return files
	}
	dir := path
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		files, dir = append(files, info), filepath.Dir(path)
	}
	for _, name := range measure.Tables() {
		if info, err := os.Stat(filepath.Join(dir, name)); err == nil {
			files = append(files, info)
		}
	}
	return files
}
