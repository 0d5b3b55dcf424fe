//go:build !linux

package bench

import "os"

// exchange puts a new file in the place of an old one, whose text was just looked at.
func exchange(fresh, name string, _ []byte) error { return os.Rename(fresh, name) }
