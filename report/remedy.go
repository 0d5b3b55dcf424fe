package report

import (
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// RemedyFormats lists what NewRemedy takes, the default first.
func RemedyFormats() []string { return []string{"text", "jsonl"} }

// RemedyWriter writes what should be done with each kit of a batch.
type RemedyWriter interface {
	Kit(r *fit.Result, a *remedy.Advice) error
	Close() error
}

// NewRemedy gives the writer of a format; plans is how many plans of a kit are shown at most.
func NewRemedy(format string, w io.Writer, plans int) (RemedyWriter, error) {
	switch format {
	case "text":
		return &remedyText{out: w, plans: plans}, nil
	case "jsonl":
		return newRemedyJSONL(w, plans), nil
	}
	return nil, fmt.Errorf("format %q is unknown, expected one of %s", format, strings.Join(RemedyFormats(), ", "))
}

// remedyText keeps the lines until it is known whether there is only one kit, which gets all.
type remedyText struct {
	out     io.Writer
	plans   int
	kits    int
	tally   map[remedy.Level]int
	lines   []string
	only    []string
	handled bool // some plan cuts, drills or glues
}

func (t *remedyText) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := check(r); err != nil {
		return err
	}
	if t.tally == nil {
		t.tally = map[remedy.Level]int{}
	}
	t.kits++
	t.tally[a.Plans[0].Level]++
	t.lines = append(t.lines, wrap(pad(shortName(r.Kit, t.kits), longestShown)+" ", whatToDo(r, a))...)
	t.only = nil
	if t.kits == 1 {
		t.only = remedySheet(r, a, t.plans)
	}
	for _, p := range a.Plans[:min(t.plans, len(a.Plans))] {
		t.handled = t.handled || handles(&p)
	}
	return nil
}

// longestShown is the room for a kit's name in a list; longer ones push their line out.
const longestShown = 8

func (t *remedyText) Close() error {
	if t.kits == 0 {
		return nil
	}
	lines := t.only
	if lines == nil {
		lines = append(wrap("", t.headline()), "")
		lines = append(lines, t.lines...)
		lines = append(lines, "", "--kit NAME gives a kit's plans, what each leaves and why the first is the first.")
	}
	if t.handled {
		lines = append(lines, remedyCautions()...)
	}
	return writeLines(t.out, lines)
}

func (t *remedyText) headline() string { return remedyHeadline(t.kits, t.tally) }

// remedyHeadline counts the kits by what is to be done.
func remedyHeadline(kits int, tally map[remedy.Level]int) string {
	var parts []string
	for level, words := range []string{"need nothing", "a remedy that can be undone", "a little wood to be cut", "holes to be plugged and drilled anew", "a part to be returned"} {
		if n := tally[remedy.Level(level)]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, words))
		}
	}
	return fmt.Sprintf("%d kits: %s.", kits, strings.Join(parts, ", "))
}

// remedyCautions are the cautions, under a heading.
func remedyCautions() []string {
	lines := []string{"", "Before anything is cut, drilled or glued:"}
	for _, c := range remedy.Cautions() {
		lines = append(lines, wrap("  - ", c)...)
	}
	return lines
}

// handles tells whether a plan tells somebody to cut, drill or glue, or to turn a neck screw.
func handles(p *remedy.Plan) bool {
	for _, a := range p.Actions {
		if a.Work != measure.Leave && a.Work != measure.SendBack {
			return true
		}
	}
	return false
}

// whatToDo is a kit's recommendation in a sentence or two.
func whatToDo(r *fit.Result, a *remedy.Advice) string {
	p := &a.Plans[0]
	switch {
	case r.Verdict == fit.Pass:
		return "passes: leave it."
	case r.Verdict == fit.NotMeasured:
		return "nothing could be judged, so nothing can be advised: read more."
	case p.Level == remedy.Returned:
		return "return the " + p.Actions[0].Part + ": " + harmless(strings.Join(a.Cannot, "; ")) + "."
	case p.Level == remedy.Untouched:
		return "leave it and read again what is unsure: all passes with " + percent(p.Curable) + " as it is."
	}
	text := p.Brief() + ": " + percent(p.Curable) + " that all then passes; " + fmt.Sprintf("%.0f minutes, %s.", p.Minutes, p.Level)
	if p.Level > remedy.Reversible && len(a.Untried) > 0 {
		text = "first " + readFirst(a) + ", for that may save it this: " + text
	}
	return text
}

// readFirst is the reading that would let a less drastic plan be tried.
func readFirst(a *remedy.Advice) string {
	_, reading, found := strings.Cut(a.Untried[0], ": ")
	if !found {
		return a.Untried[0]
	}
	return reading
}
