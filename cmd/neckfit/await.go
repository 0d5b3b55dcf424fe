package main

import (
	"context"
	"io"
	"os"
)

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

func (r interruptible) Read(p []byte) (int, error) {
	own := make([]byte, len(p)) // the caller may use p again once Read has returned
	n, err := await(r.ctx, func() (int, error) { return r.in.Read(own) })
	return copy(p, own[:n]), err
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
