package report

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Spool holds output in a temporary file until it is known to be whole, so that memory does not
// grow with a batch and nothing half-written reaches anybody.
type Spool struct {
	file *os.File
	buf  *bufio.Writer
}

// NewSpool makes a spool in a folder, or where the system keeps temporary files when dir is "".
func NewSpool(dir string) (*Spool, error) {
	f, err := os.CreateTemp(dir, ".neckfit-*.tmp")
	if err != nil {
		return nil, fmt.Errorf("cannot make a temporary file: %w", err)
	}
	const enough = 64 << 10 // that calls to the system do not count beside what is written
	return &Spool{f, bufio.NewWriterSize(f, enough)}, nil
}

// Name is the temporary file's.
func (s *Spool) Name() string { return s.file.Name() }

// Write adds to the spool.
func (s *Spool) Write(p []byte) (int, error) { return s.buf.Write(p) }

// Reset empties the spool.
func (s *Spool) Reset() error {
	s.buf.Reset(s.file)
	if err := s.file.Truncate(0); err != nil {
		return err
	}
	_, err := s.file.Seek(0, io.SeekStart)
	return err
}

// CopyTo copies all that was written; nothing may be written after it.
func (s *Spool) CopyTo(w io.Writer) error {
	if err := s.buf.Flush(); err != nil {
		return err
	}
	if _, err := s.file.Seek(0, io.SeekStart); err != nil {
		return err
	}
	_, err := io.Copy(w, s.file)
	return err
}

// Become puts what make makes of all that was written in its place.
func (s *Spool) Become(make func(w io.Writer, r io.Reader) error) error {
	other, err := NewSpool(filepath.Dir(s.file.Name()))
	if err != nil {
		return err
	}
	err = s.buf.Flush()
	if err == nil {
		_, err = s.file.Seek(0, io.SeekStart)
	}
	if err == nil {
		err = make(other, s.file)
	}
	if err == nil {
		err = s.Reset()
	}
	if err == nil {
		err = other.CopyTo(s)
	}
	return errors.Join(err, other.Close())
}

// MoveTo turns the spool into the file of that path, which takes the place of one that is there.
// The path must lie in the spool's folder. Only Close may follow.
func (s *Spool) MoveTo(path string, mode os.FileMode) error {
	err := errors.Join(s.buf.Flush(), s.file.Chmod(mode), s.file.Close())
	if err != nil {
		return err
	}
	return os.Rename(s.file.Name(), path)
}

// Close removes the temporary file if it is still there.
func (s *Spool) Close() error {
	closed, removed := s.file.Close(), os.Remove(s.file.Name())
	if errors.Is(closed, os.ErrClosed) {
		closed = nil // MoveTo did it
	}
	if errors.Is(removed, os.ErrNotExist) {
		removed = nil
	}
	return errors.Join(closed, removed)
}
