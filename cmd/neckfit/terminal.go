package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"
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

// plainly writes out what a terminal would obey, or turn the writing by: a path may have it in it.
func plainly(text string) string {
	var b strings.Builder
	for _, c := range text {
		if unicode.IsPrint(c) || c == '\n' || c == '\t' {
			b.WriteRune(c)
		} else {
			fmt.Fprintf(&b, "<U+%04X>", c)
		}
	}
	return b.String()
}
