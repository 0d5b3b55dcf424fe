//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package main

import (
	"errors"
	"os"
	"strconv"
	"strings"
	"syscall"

	"golang.org/x/sys/unix"
)

// outputSignals come when nobody reads any more, and when a file may not grow further.
var outputSignals = []os.Signal{syscall.SIGPIPE, syscall.SIGXFSZ}

// umask is what the mode of a new file goes without. Where the system does not show it, it is told only by
// setting it, which other goroutines that make files in that moment would feel.
func umask() os.FileMode {
	if status, err := os.ReadFile("/proc/self/status"); err == nil {
		if _, rest, ok := strings.Cut(string(status), "\nUmask:"); ok {
			text, _, _ := strings.Cut(rest, "\n")
			if mask, err := strconv.ParseUint(strings.TrimSpace(text), 8, 32); err == nil {
				return os.FileMode(mask)
			}
		}
	}
	mask := syscall.Umask(0o077)
	syscall.Umask(mask)
	return os.FileMode(mask)
}

// giveTo gives a file the owner and group of another.
func giveTo(name string, as os.FileInfo) error {
	want, ok := as.Sys().(*syscall.Stat_t)
	info, err := os.Stat(name)
	if err != nil || !ok {
		return err
	}
	if have, ok := info.Sys().(*syscall.Stat_t); ok && have.Uid == want.Uid && have.Gid == want.Gid {
		return nil
	}
	return os.Chown(name, int(want.Uid), int(want.Gid))
}

// lockFolder holds a folder until it is released or the program ends, however it ends.
func lockFolder(dir string) (release func() error, err error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f.Close, nil
}
