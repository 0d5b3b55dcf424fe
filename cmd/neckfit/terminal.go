package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/words"
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

// page is what text is laid out for: the terminal, or what COLUMNS and LINES say of one. What goes into a
// file or a pipe is as wide as words.Columns, and of any length.
func (p *program) page(out string) report.Options {
	o := report.Options{Columns: size("COLUMNS"), Rows: size("LINES")}
	if f, ok := p.stdout.(*os.File); ok && out == "" {
		if width, height, err := term.GetSize(int(f.Fd())); err == nil {
			o.Columns, o.Rows = cmp.Or(o.Columns, width), cmp.Or(o.Rows, height)
		}
	}
	if o.Columns > 0 {
		o.Columns = min(max(o.Columns, words.Narrowest), words.Widest)
	}
	return o
}

// fitHelp makes the help of all commands fit the screen: paragraphs are wrapped, and flags; examples are
// lines to be copied and stay whole.
func (p *program) fitHelp(root *cobra.Command) {
	columns := func() int { return cmp.Or(p.page("").Columns, words.Columns) }
	root.SetUsageFunc(func(c *cobra.Command) error {
		wide := columns()
		text := "Usage:"
		if c.Runnable() {
			text += "\n  " + c.UseLine()
		}
		if c.HasAvailableSubCommands() {
			text += "\n  " + c.CommandPath() + " [command]"
		}
		if c.HasExample() {
			text += "\n\nExamples:\n" + c.Example
		}
		if c.HasAvailableSubCommands() {
			text += "\n\nAvailable Commands:"
			for _, sub := range c.Commands() {
				if sub.IsAvailableCommand() || sub.Name() == "help" {
					text += "\n" + strings.Join(words.Wrap(wide, "  "+words.Pad(sub.Name(), sub.NamePadding())+" ", sub.Short), "\n")
				}
			}
		}
		if c.HasAvailableLocalFlags() {
			text += "\n\nFlags:\n" + strings.TrimRight(c.LocalFlags().FlagUsagesWrapped(wide), " \n")
		}
		if c.HasAvailableSubCommands() {
			text += "\n\n" + strings.Join(words.Wrap(wide, "", fmt.Sprintf("Use %q for more information about a command.", c.CommandPath()+" [command] --help")), "\n")
		}
		_, err := io.WriteString(c.OutOrStderr(), text+"\n")
		return err
	})
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		fmt.Fprint(c.OutOrStdout(), wrapped(cmp.Or(c.Long, c.Short), columns())+"\n\n"+c.UsageString()) // an output that fails remembers it
	})
}

// wrapped breaks the paragraphs and lists of a command's long text into lines.
func wrapped(text string, columns int) string {
	var lines []string
	first, paragraph := "", ""
	flush := func() {
		if paragraph != "" {
			lines = append(lines, words.Wrap(columns, first, paragraph)...)
		}
		first, paragraph = "", ""
	}
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		item := listItem.FindStringSubmatch(line)
		copied := strings.HasPrefix(line, "\t") // a line to be copied
		if item != nil || line == "" || copied {
			flush()
		}
		switch {
		case copied:
			lines = append(lines, line)
		case item != nil:
			first, paragraph = item[1], item[2]
		case line == "":
			lines = append(lines, "")
		default:
			paragraph += " " + line
		}
	}
	flush()
	return strings.Join(lines, "\n")
}

// listItem is a line of a list in a command's long text: a word, and what it is.
var listItem = regexp.MustCompile(`^(  \S+ {2,})(\S.*)$`)

// size is a number of the environment; 0 when it is none.
func size(name string) int {
	n, err := strconv.Atoi(os.Getenv(name))
	if err != nil {
		return 0
	}
	return max(n, 0)
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
	if p.errors == "jsonl" {
		out := json.NewEncoder(p.stderr) // it writes nothing that a terminal would obey
		for _, c := range cells {
			_ = out.Encode(struct { // a standard error that is gone hears nothing
				File     string `json:"file,omitempty"`
				Line     int    `json:"line,omitempty"`
				Column   int    `json:"column,omitempty"`
				Cell     string `json:"cell,omitempty"`
				What     string `json:"what"`
				Expected string `json:"expected,omitempty"`
			}{c.File, c.Line, c.Column, c.Cell, c.What, c.Expected})
		}
		return
	}
	for _, line := range cells.Grouped() {
		fmt.Fprintln(p.stderr, plainly(line))
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

// progress shows on a terminal that a long run goes on: kits counted, or what is being done and for how long.
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
	p.show("kits: %d", p.kits)
}

func (p *progress) show(format string, args ...any) {
	if p.out == nil {
		return
	}
	if now := time.Now(); now.Sub(p.begun) > patience && now.Sub(p.last) > pace {
		fmt.Fprintf(p.out, "\r"+format, args...)
		p.last = now
	}
}

// during shows what is being done for as long as do takes.
func (p *progress) during(what string, do func() error) error {
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for tick := time.NewTicker(pace); ; {
			select {
			case <-tick.C:
				p.show("%s: %d s", what, int(time.Since(p.begun).Seconds()))
			case <-stop:
				tick.Stop()
				return
			}
		}
	}()
	err := do()
	close(stop)
	<-stopped
	p.done()
	return err
}

// done wipes the line.
func (p *progress) done() {
	if !p.last.IsZero() {
		fmt.Fprint(p.out, "\r\x1b[K")
		p.last = time.Time{}
	}
}
