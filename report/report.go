// Package report writes what fit found, kit by kit: text for people, rounded; CSV and JSON Lines
// for programs, exact. It judges nothing and works nothing out but how to lay out what package words
// says.
package report

import (
	"fmt"
	"io"
	"math"

	"neckfit/fit"
)

// Writer writes a batch.
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
	Why     bool // how the cost of each plan comes about
	Full    bool // the whole table of each kit, not only when there is just one
	Colour  bool // colours the verdicts, for a terminal
	Columns int  // the width of a line; 0 for words.Columns
	Rows    int  // the lines of a screen: what is longer says at its end again what matters; 0 for no screen
}

// Formats lists how results can be written, the default first.
func Formats() []string { return []string{"text", "csv", "jsonl"} }

// table is what can be written in each of the formats.
type table interface {
	toText(*text)
	toCSV(*record)
	toJSON() []any // a line each
}

func write(format string, w io.Writer, what table, o Options) error {
	switch format {
	case "text":
		t := newText(o)
		what.toText(t)
		return t.write(w)
	case "csv":
		var r record
		what.toCSV(&r)
		return r.write(w)
	case "jsonl":
		return writeJSON(w, what.toJSON()...)
	}
	return fmt.Errorf("format %q is unknown", format)
}

// Check refuses a result with a number that no report can show. Such a result is a programmer's
// mistake, but a batch of other kits should not die of it in a panic.
func Check(r *fit.Result) error {
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if math.IsNaN(c.Lower) || math.IsNaN(c.Upper) {
			return fmt.Errorf("kit %q: a limit of %s is not a number", r.Kit, c.ID)
		}
		if c.Measured() && !finite(c.Value, c.StdUncertainty, c.P) {
			return fmt.Errorf("kit %q: value, uncertainty or probability of %s is not finite", r.Kit, c.ID)
		}
	}
	for i := range r.Suspects {
		if s := &r.Suspects[i]; !finite(s.W, s.Critical, s.Read, s.Expected) {
			return fmt.Errorf("kit %q: a number of the suspect on line %d is not finite", r.Kit, s.Reading.Place.Line)
		}
	}
	if r.Swing != nil && !finite(r.Swing.Low, r.Swing.High) {
		return fmt.Errorf("kit %q: the swing is not finite", r.Kit)
	}
	if !finite(r.ChiSquare, r.Scale) {
		return fmt.Errorf("kit %q: chi-square or scale is not finite", r.Kit)
	}
	return nil
}

func finite(numbers ...float64) bool {
	sum := 0.0
	for _, x := range numbers {
		sum += x - x // not a number for what is not one, and for an infinity
	}
	return sum == 0
}
