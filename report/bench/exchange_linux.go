package bench

import (
	"bytes"
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange puts a new file in the place of an old one that holds the text expected. The two change
// places in one step, and back again when it turns out that the old one was changed in the moment
// between: so nobody's change is lost. The old one is then what is left under the new one's name.
func exchange(fresh, name string, expected []byte) error {
	swap := func() error { return unix.Renameat2(unix.AT_FDCWD, fresh, unix.AT_FDCWD, name, unix.RENAME_EXCHANGE) }
	switch err := swap(); {
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS): // not on this file system
		return os.Rename(fresh, name)
	case err != nil:
		return err
	}
	old, err := os.ReadFile(fresh)
	if err != nil || !bytes.Equal(old, expected) {
		return errors.Join(errForeign, err, swap())
	}
	return nil
}
