package main

import (
	"context"
	"io"
	"os"
)

// terminal tells whether a stream is a terminal, or at least a character device.
func terminal(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// colourWanted decides about colour. NO_COLOR, when it is set and not empty, turns off what is
// only a default, as no-color.org has it.
func colourWanted(when string, out io.Writer) bool {
	switch when {
	case "always":
		return true
	case "never":
		return false
	}
	return terminal(out) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// interruptible is a stream whose waiting Read ends with the context. The Read that is left behind
// takes what comes next, which nobody wants any more.
type interruptible struct {
	ctx context.Context
	in  io.Reader
}

func (r interruptible) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	type read struct {
		n   int
		err error
	}
	own := make([]byte, len(p)) // the caller may use p again once Read has returned
	done := make(chan read, 1)
	go func() {
		n, err := r.in.Read(own)
		done <- read{n, err}
	}()
	select {
	case got := <-done:
		return copy(p, own[:got.n]), got.err
	case <-r.ctx.Done():
		return 0, r.ctx.Err()
	}
}
