//go:build unix

package main

import (
	"os"
	"syscall"
)

// outputSignals come when nobody reads any more, and when a file may not grow further.
var outputSignals = []os.Signal{syscall.SIGPIPE, syscall.SIGXFSZ}

// umask is what the mode of a new file goes without.
func umask() os.FileMode {
	mask := syscall.Umask(0o077) // it is told only by setting it
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

// wasClosed tells whether a standard stream was closed when the program began. Go then puts the null
// device in its place, opened for reading and writing, which a shell's >/dev/null is not.
func wasClosed(f *os.File) bool {
	info, err := f.Stat()
	null, failed := os.Stat(os.DevNull)
	if err != nil || failed != nil || !os.SameFile(info, null) {
		return false
	}
	flags, _, errno := syscall.Syscall(syscall.SYS_FCNTL, f.Fd(), syscall.F_GETFL, 0)
	return errno == 0 && flags&syscall.O_ACCMODE == syscall.O_RDWR
}
