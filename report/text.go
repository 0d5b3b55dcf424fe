package report

import (
	"errors"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

// NewText writes for people: at most 100 words.Columns (counted in runes), measured values rounded to
// what their uncertainty allows. A batch of one kit is its whole table. More kits are a tally, what
// to do first and a line a kit, after which Options.Full puts the whole tables.
//
// The tally comes first but is known last. Until Close the writer holds a line a kit in memory, some
// hundred bytes, and the whole tables in a temporary file.
func NewText(w io.Writer, o Options) Writer { return &text{out: w, options: o} }

type text struct {
	out     io.Writer
	options Options
	batch   summary
	only    *fit.Result // the first kit while it is the only one
	tables  *Spool      // with Options.Full
}

func (t *text) Kit(r *fit.Result) error {
	if err := Check(r); err != nil {
		return err
	}
	t.batch.add(r)
	t.only = nil
	if len(t.batch.lines) == 1 {
		t.only = r
	}
	if !t.options.Full {
		return nil
	}
	if t.tables == nil {
		spool, err := NewSpool("")
		if err != nil {
			return err
		}
		t.tables = spool
	}
	return writeLines(t.tables, append([]string{"", strings.Repeat("-", words.Columns)}, full(r, t.options.Colour)...))
}

func (t *text) Close() error {
	switch {
	case t.only != nil:
		return errors.Join(writeLines(t.out, full(t.only, t.options.Colour)), t.closeTables())
	case len(t.batch.lines) == 0:
		return t.closeTables()
	}
	err := writeLines(t.out, t.batch.write(t.options.Colour))
	if err == nil && t.tables != nil {
		err = t.tables.CopyTo(t.out)
	}
	return errors.Join(err, t.closeTables())
}

func (t *text) closeTables() error {
	if t.tables == nil {
		return nil
	}
	return t.tables.Close()
}

func writeLines(w io.Writer, lines []string) error {
	_, err := io.WriteString(w, strings.Join(lines, "\n")+"\n")
	return err
}
