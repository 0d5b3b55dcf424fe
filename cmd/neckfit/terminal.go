package main

import (
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
