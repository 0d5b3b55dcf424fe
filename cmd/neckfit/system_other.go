//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package main

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
)

// outputSignals come when nobody reads any more.
var outputSignals = []os.Signal{syscall.SIGPIPE}

func umask() os.FileMode { return 0 }

func giveTo(string, os.FileInfo) error { return nil }

// lockFolder holds a folder by a file that lies in it until it is released.
func lockFolder(dir string) (release func() error, err error) {
	f, err := os.OpenFile(filepath.Join(dir, ".neckfit.lock"), os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	return func() error { return errors.Join(f.Close(), os.Remove(f.Name())) }, nil
}
