package measure

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// source is where the readings come from; it can be read several times.
type source interface {
	name() string
	open() (io.ReadCloser, error)
	close() error
}

// diskFile is a file by its path.
type diskFile string

func (f diskFile) name() string                 { return string(f) }
func (f diskFile) open() (io.ReadCloser, error) { return os.Open(string(f)) }
func (f diskFile) close() error                 { return nil }

// spool is a stream that comes once, such as standard input. The first reading copies it to a
// temporary file as it goes; later ones read that, and then on from where the first one stopped.
type spool struct {
	named string
	in    io.Reader
	owned io.Closer // what close is to close besides; nil for what the caller opened
	copy  *os.File
}

func (s *spool) name() string { return s.named }

func (s *spool) open() (io.ReadCloser, error) {
	if s.copy != nil {
		f, err := os.Open(s.copy.Name())
		if err != nil {
			return nil, err
		}
		return struct {
			io.Reader
			io.Closer
		}{io.MultiReader(f, io.TeeReader(s.in, s.copy)), f}, nil
	}
	f, err := os.CreateTemp("", "neckfit-*.csv")
	if err != nil {
		return nil, fmt.Errorf("copy %s to a temporary file: %w", s.named, err)
	}
	s.copy = f
	return io.NopCloser(io.TeeReader(s.in, f)), nil
}

func (s *spool) close() error {
	var errs []error
	if s.owned != nil {
		errs = append(errs, s.owned.Close())
	}
	if s.copy != nil {
		errs = append(errs, s.copy.Close(), os.Remove(s.copy.Name()))
	}
	s.owned, s.copy = nil, nil
	return errors.Join(errs...)
}
