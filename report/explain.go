package report

import (
	"io"
	"slices"
	"strings"

	"neckfit/report/words"
)

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
