package report

import (
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// RemedyFormats lists what NewRemedy takes, the default first.
func RemedyFormats() []string { return Formats() }

// RemedyWriter writes what should be done with each kit of a batch.
type RemedyWriter interface {
	Kit(r *fit.Result, a *remedy.Advice) error
	Close() error
}

// NewRemedy gives the writer of a format; plans is how many plans of a kit are shown at most.
func NewRemedy(format string, w io.Writer, plans int, o Options) (RemedyWriter, error) {
	switch format {
	case "text":
		return &remedyText{out: w, plans: plans, options: o, rows: [][]string{{"kit", "what to do"}}}, nil
	case "csv":
		return &remedyCSV{out: w, plans: plans}, nil
	case "jsonl":
		return &remedyJSONL{w, plans}, nil
	}
	return nil, fmt.Errorf("format %q is unknown, expected one of %s", format, strings.Join(RemedyFormats(), ", "))
}

// remedyText keeps a row a kit until it is known whether there is only one kit, which gets all.
type remedyText struct {
	out     io.Writer
	plans   int
	options Options
	tally   words.Remedies
	assumed []string
	rows    [][]string
	only    *text
	handled bool // some plan cuts, drills or glues
}

// Kit keeps a row; of the first kit everything.
func (b *remedyText) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	b.tally.Add(r.Verdict, words.ReadFirst(r, a), a.Plans[0].Level)
	b.rows = append(b.rows, []string{words.ShortName(r.Kit, len(b.rows)), words.WhatToDo(r, a)})
	b.assumed = words.WithAssumed(b.assumed, r.Gauges)
	b.only = nil
	if len(b.rows) == 2 {
		b.only = newText(b.options)
		b.only.plans(r, a, b.plans)
	}
	for _, p := range a.Plans[:min(b.plans, len(a.Plans))] {
		b.handled = b.handled || words.Handles(&p)
	}
	return nil
}

// Close writes the one kit, or the tally and the rows.
func (b *remedyText) Close() error {
	if len(b.rows) == 1 {
		return nil
	}
	t := b.only
	if t == nil {
		t = newText(b.options)
		t.add("", b.tally.Headline())
		t.opened()
		t.section("")
		t.table(0, "ll", b.rows)
		t.section("")
		t.add("", words.RemedyBatchNote)
		t.add("", words.AssumedByName(b.assumed))
	}
	if b.handled {
		t.cautions()
	}
	return t.write(b.out)
}

// plans is all that is said of one kit: first what to do, then the plans, then what cannot be cured or
// was not tried.
func (t *text) plans(r *fit.Result, a *remedy.Advice, most int) {
	t.add("", words.Harmless(r.Kit)+": "+words.WhatToDo(r, a))
	t.opened()
	t.add("", words.Assumed(r.Gauges))
	t.add("", words.Why(a))
	if len(a.Plans) > 1 {
		t.section("")
		rows, _ := words.SideBySide(a)
		t.table(0, "lrrrlrll"[:len(rows[0])], rows)
		t.section("")
		t.add("", words.SideBySideNote(a))
		for _, w := range words.Waiting(r.Kit, a) {
			t.add("? ", w)
		}
	}
	for i := range a.Plans[:min(most, len(a.Plans))] {
		if len(a.Plans) > 1 || a.Plans[i].Level != remedy.Untouched {
			t.plan(r, &a.Plans[i], i+1)
			if t.why && len(a.Plans) > 1 {
				t.section("")
				t.add("  ", words.Arithmetic(a, i))
			}
		}
	}
	if more := len(a.Plans) - most; more > 0 {
		t.section(words.MorePlans(more, len(a.Plans)))
	}
	t.list(words.CannotHeading, words.Cannot(a))
	t.list(words.UntriedHeading, words.Untried(a))
	if len(a.Plans) > 1 {
		t.section("")
		t.add("", words.RemedyNote)
	}
}

// plan is one plan: its steps, the play that remains, and a table of the characteristics that it changes.
func (t *text) plan(r *fit.Result, p *remedy.Plan, number int) {
	t.section(words.PlanHeading(p, number))
	for _, no := range words.Barred(p) {
		t.add("  ! ", no)
	}
	t.steps(r, p)
	for _, no := range words.Refused(p) {
		t.add("  ! ", no)
	}
	for _, ask := range words.Asks(r.Kit, p) {
		t.add("  ? ", ask)
	}
	if p.Level == remedy.Returned {
		return
	}
	t.add("  ", words.Expect(r, p))
	t.add("  ", words.Play(p))
	rows := [][]string{{"characteristic", "now", "then ± U", "which way", "inside"}}
	for i := range p.Predicted {
		q := &p.Predicted[i]
		if !q.Changed || !q.Judged {
			continue
		}
		c := r.Characteristics[q.Index]
		now, _ := words.Rounded(c.Value, c.StdUncertainty)
		c.Value, c.StdUncertainty = q.Value, q.StdUncertainty
		rows = append(rows, []string{c.ID.String(), now, words.Value(&c), words.Which(&c), words.Percent(q.P)})
	}
	if len(rows) > 1 {
		t.section("")
		t.table(2, "lrllr", rows)
	}
}

// steps are a plan's, numbered.
func (t *text) steps(r *fit.Result, p *remedy.Plan) {
	for i, s := range words.Steps(r, p) {
		t.add(fmt.Sprintf("  %d. ", i+1), s.String())
	}
}
