package report

import (
	"cmp"
	"errors"
	"io"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

// text is a report for people being laid out.
type text struct {
	Options
	lines []string
	head  int // how many lines say what matters
}

func newText(o Options) *text {
	o.Columns = cmp.Or(o.Columns, words.Columns)
	return &text{Options: o}
}

// opened marks the end of what says what matters and what to do: what is longer than a screen ends
// with it once more.
func (t *text) opened() { t.head = len(t.lines) }

// closing is what stands at the end of a report that had so many lines.
func (t *text) closing(lines int) []string {
	if t.Rows == 0 || lines <= t.Rows || t.head == 0 {
		return nil
	}
	return append([]string{""}, t.lines[:t.head]...)
}

func (t *text) cautions() {
	t.section("")
	t.add("", words.ShortCautions)
}

// add wraps a paragraph, the lines below the first set in as far as first is wide; nothing for "".
func (t *text) add(first, paragraph string) {
	if paragraph != "" {
		t.lines = append(t.lines, words.Wrap(t.Columns, first, paragraph)...)
	}
}

// section leaves a blank line before what follows.
func (t *text) section(heading string) {
	t.lines = append(t.lines, "")
	t.add("", heading)
}

// list adds items under a heading; nothing when there are none.
func (t *text) list(heading string, items []string) {
	if len(items) == 0 {
		return
	}
	t.section(heading)
	for _, item := range items {
		t.add("  - ", words.Harmless(item))
	}
}

// table adds rows, set in by so many columns.
func (t *text) table(indent int, align string, rows [][]string) {
	for _, line := range words.Table(t.Columns-indent, align, rows) {
		t.lines = append(t.lines, strings.TrimRight(strings.Repeat(" ", indent)+line, " "))
	}
}

// verdict is the word for a verdict in its colour.
func (t *text) verdict(v fit.Verdict) string {
	const green, yellow, boldRed = "32", "33", "1;31"
	code := [...]string{
		fit.NotMeasured: "", fit.NotJudged: "", fit.Pass: green, fit.TooCoarse: yellow, fit.Incomplete: yellow, fit.Unsure: yellow, fit.Implausible: yellow, fit.Fail: boldRed,
	}[v]
	if code == "" || !t.Colour {
		return words.Verdict(v)
	}
	return "\x1b[" + code + "m" + words.Verdict(v) + "\x1b[0m"
}

func (t *text) write(w io.Writer) error {
	_, err := io.WriteString(w, strings.Join(append(t.lines, t.closing(len(t.lines))...), "\n")+"\n")
	return err
}

// NewText writes a batch for people, measured values rounded to what their uncertainty allows. A
// batch of one kit is its whole table. More kits are a tally, what to do first and a line a kit, after
// which Options.Full puts the whole tables.
//
// The tally comes first but is known last. Until Close the writer holds a line a kit in memory, some
// hundred bytes, and the whole tables in a temporary file.
func NewText(w io.Writer, o Options) Writer {
	return &batchText{out: w, page: newText(o), rows: [][]string{{"kit", "verdict", "value", "what matters most"}}}
}

type batchText struct {
	out     io.Writer
	page    *text
	batch   words.Batch
	rows    [][]string
	assumed []string
	only    *fit.Result // the first kit while it is the only one
	tables  *Spool      // with Options.Full
}

// Kit keeps a row, and with Options.Full lays the whole table out.
func (b *batchText) Kit(r *fit.Result) error {
	if err := Check(r); err != nil {
		return err
	}
	name := words.ShortName(r.Kit, len(b.rows))
	b.batch.Add(r, name)
	b.assumed = words.WithAssumed(b.assumed, r.Gauges)
	value := ""
	if c := words.Worst(r); c != nil {
		value = words.Value(c)
	}
	b.rows = append(b.rows, []string{name, b.page.verdict(r.Verdict), value, words.Brief(r)})
	b.only = nil
	if len(b.rows) == 2 {
		b.only = r
	}
	if !b.page.Full {
		return nil
	}
	if b.tables == nil {
		spool, err := NewSpool("")
		if err != nil {
			return err
		}
		b.tables = spool
	}
	t := newText(b.page.Options)
	t.section(strings.Repeat("-", t.Columns))
	t.kit(r)
	t.head = 0 // the list's comes last
	return t.write(b.tables)
}

// Close writes the one kit, or the tally, the rows and the tables.
func (b *batchText) Close() (err error) {
	if b.tables != nil {
		defer func() { err = errors.Join(err, b.tables.Close()) }()
	}
	t := b.page
	switch {
	case b.only != nil:
		t.kit(b.only)
		return t.write(b.out)
	case len(b.rows) == 1:
		return nil
	}
	t.add("", b.batch.Headline())
	t.add("", b.batch.ToDo())
	t.opened()
	t.section("")
	t.table(0, "llrl", b.rows)
	t.section("")
	t.add("", words.BatchNote)
	t.add("", words.AssumedByName(b.assumed))
	if b.tables == nil {
		return t.write(b.out)
	}
	last := t.closing(t.Rows + 1)
	t.head = 0
	if err := errors.Join(t.write(b.out), b.tables.CopyTo(b.out)); err != nil {
		return err
	}
	if last == nil {
		return nil
	}
	return (&text{lines: last}).write(b.out)
}

// Explain writes what there is to say of a word, as words.Explain has found it.
func Explain(w io.Writer, found []words.Entry, o Options) error {
	t := newText(o)
	for i, e := range found {
		if i > 0 {
			t.section("")
		}
		t.add("", e.Word+" ("+e.Group+")")
		t.add("  ", e.What)
		for _, f := range e.Facts {
			t.add("  "+words.Pad(f.Heading, len("positive"))+"  ", f.Text)
		}
		for line := range strings.Lines(e.Sketch) {
			t.lines = append(t.lines, strings.TrimRight("  "+line, " \n"))
		}
	}
	return t.write(w)
}

// Words lists all words that are explained, group by group.
func Words(w io.Writer, o Options) error {
	t := newText(o)
	t.add("", words.ExplainNote)
	group, list := "", []string(nil)
	for _, e := range append(words.Entries(), words.Entry{}) {
		if e.Group != group {
			if len(list) > 0 {
				t.section(group + ":")
				t.add("  ", strings.Join(list, ", "))
			}
			group, list = e.Group, nil
		}
		if !slices.Contains(list, e.Word) {
			list = append(list, e.Word)
		}
	}
	return t.write(w)
}

// Greeting is for somebody who does not know yet what to do.
func Greeting(w io.Writer, o Options) error {
	t := newText(o)
	t.add("", words.Greeting)
	t.section("Three commands to start with:")
	for _, c := range words.FirstCommands {
		t.add("  "+words.Pad("neckfit "+c[0], len("neckfit remedy my-kit"))+"  ", c[1])
	}
	t.section("")
	t.add("", words.FurtherCommands)
	return t.write(w)
}
