// Package report writes what fit found, kit by kit: text for people, rounded; CSV and JSON Lines
// for programs, exact. It judges nothing and works nothing out but how to round and what to say
// first.
package report

import (
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
)

// Writer writes a batch in one format.
type Writer interface {
	// Kit writes one kit, or keeps what it needs of it. Its error is the output's, or for a result
	// that holds a number which is not finite.
	Kit(r *fit.Result) error
	// Close writes what was kept and lets go of what the writer holds, but leaves the output open.
	// It is to be called after an error too.
	Close() error
}

// Options steer the text; the other formats have none.
type Options struct {
	Full   bool // the whole table of each kit, not only when there is just one
	Colour bool // colours the verdicts, for a terminal
}

// Formats lists what New takes, the default first.
func Formats() []string { return []string{"text", "csv", "jsonl"} }

// New gives the writer of a format.
func New(format string, w io.Writer, o Options) (Writer, error) {
	switch format {
	case "text":
		return NewText(w, o), nil
	case "csv":
		return NewCSV(w), nil
	case "jsonl":
		return NewJSONL(w), nil
	}
	return nil, fmt.Errorf("format %q is unknown, expected one of %s", format, strings.Join(Formats(), ", "))
}
