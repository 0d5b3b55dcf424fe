package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
	"unicode"

	"neckfit/measure"
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

// say writes a line of talk.
func (p *program) say(format string, args ...any) {
	fmt.Fprintln(p.stderr, plainly("neckfit: "+fmt.Sprintf(format, args...)))
}

// sayCells lists what is wrong with the tables, each with its place and cure, and counts it.
func (p *program) sayCells(cells measure.Errors) {
	for _, c := range cells {
		fmt.Fprintln(p.stderr, plainly(c.Error()))
	}
	count := fmt.Sprintf("%d mistakes", len(cells))
	switch last := cells[len(cells)-1]; {
	case last.Place == measure.Place{}:
		count = fmt.Sprintf("more than %d mistakes", len(cells)-1)
	case len(cells) == 1:
		count = "1 mistake"
	}
	p.say("%s in the batch; no kit was judged", count)
}

// progress counts kits on a terminal while a long run goes on.
type progress struct {
	out   io.Writer // nil for silence
	begun time.Time
	last  time.Time
	kits  int
}

// Progress is shown once a run has taken a second, and then five times a second.
const (
	patience = time.Second
	pace     = 200 * time.Millisecond
)

func newProgress(out io.Writer) *progress {
	if !terminal(out) {
		out = nil
	}
	return &progress{out: out, begun: time.Now()}
}

func (p *progress) kit() {
	p.kits++
	if p.out == nil {
		return
	}
	if now := time.Now(); now.Sub(p.begun) > patience && now.Sub(p.last) > pace {
		fmt.Fprintf(p.out, "\rkits: %d", p.kits)
		p.last = now
	}
}

// done wipes the line.
func (p *progress) done() {
	if !p.last.IsZero() {
		fmt.Fprint(p.out, "\r\x1b[K")
	}
}
