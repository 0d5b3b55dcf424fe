package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

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
	return nil, fmt.Errorf("format %q is unknown, expected one of %s", format, strings.Join(Formats(), ", "))
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
			if t.Why && len(a.Plans) > 1 {
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

// RemedyAfter writes, kit by kit, how what was measured after the work agrees with what the plan predicted, and
// how exactly the works were done.
func RemedyAfter(format string, w io.Writer, kits []remedy.Worked, o Options) error {
	for i := range kits {
		if err := Check(kits[i].After); err != nil {
			return err
		}
	}
	return write(format, w, after(kits), o)
}

type after []remedy.Worked

func (a after) toText(t *text) {
	for i := range a {
		if i > 0 {
			t.section("")
		}
		said, rows, hidden := Compared(&a[i])
		t.add("", said)
		if hidden {
			t.add("  ", words.HiddenSeat)
		}
		t.section("")
		t.table(2, "lrllrl", rows)
	}
	t.section("")
	t.add("", words.ReworkedNote)
	if learnt := remedy.Learn(a); len(learnt) > 0 {
		t.section(words.LearntHeading)
		t.table(2, "lrl", Learnt(learnt))
		t.add("", words.LearntHint)
	}
}

// Learnt are how exactly works were done, in rows below their headings.
func Learnt(list []remedy.Accuracy) [][]string {
	rows := [][]string{{"work", "kits", "worst ± U"}}
	for _, a := range list {
		rows = append(rows, []string{a.Work.String(), strconv.Itoa(a.Kits), words.Learnt(a)})
	}
	return rows
}

// Compared is a kit that was worked on in a sentence, and what was to change or is off the plan in rows below their
// headings; hidden tells that where its heel lies was not read.
func Compared(k *remedy.Worked) (said string, rows [][]string, hidden bool) {
	list, hidden := remedy.Compare(k.Before, k.Plan, k.After)
	rows = [][]string{{"characteristic", "before", "planned ± U", "measured ± U", "En", ""}}
	agreeing := 0
	for i := range list {
		c := &list[i]
		mark := "off plan"
		if c.Agrees {
			agreeing++
			mark = ""
		}
		if !c.Changed && c.Agrees {
			continue
		}
		before, _ := words.Rounded(c.Before, c.Measured.StdUncertainty)
		rows = append(rows, []string{c.ID.String(), before, words.Value(&c.Predicted), words.Value(&c.Measured), words.Fixed(c.En, 1), mark})
	}
	return words.Reworked(k.Before, k.After, k.Plan, agreeing, len(list)), rows, hidden
}

type jsonWorked struct {
	Kit      string         `json:"kit"`
	Plan     string         `json:"plan"`
	Works    []string       `json:"works"`
	P        float64        `json:"p"` // as the plan gave it
	Before   string         `json:"verdict_before"`
	After    string         `json:"verdict_after"`
	Hidden   bool           `json:"seat_not_read"`
	Compared []jsonCompared `json:"compared"`
}

// jsonCompared has standard uncertainties; En is the difference over both expanded ones (k = 1.96).
type jsonCompared struct {
	Name      string  `json:"name"`
	Before    float64 `json:"before"`
	Planned   float64 `json:"planned"`
	PlannedU  float64 `json:"planned_u"`
	Measured  float64 `json:"measured"`
	MeasuredU float64 `json:"measured_u"`
	En        float64 `json:"en"`
	Agrees    bool    `json:"agrees"`
	Changed   bool    `json:"changed"`
}

// jsonAccuracy is how exactly a work was done: three standard deviations of what it sets, normally distributed, as
// costs.csv has it, with its expanded uncertainty (k = 1.96).
type jsonAccuracy struct {
	Work  string  `json:"work"`
	Kits  int     `json:"kits"`
	Worst float64 `json:"worst_mm"`
	U     float64 `json:"worst_expanded_mm"`
}

func jsonWorkedOf(k *remedy.Worked) *jsonWorked {
	list, hidden := remedy.Compare(k.Before, k.Plan, k.After)
	out := &jsonWorked{
		Kit: k.After.Kit, Plan: words.Plan(k.Plan), P: k.Plan.P, Hidden: hidden, Compared: []jsonCompared{},
		Before: words.Verdict(k.Before.Verdict), After: words.Verdict(k.After.Verdict),
	}
	for _, a := range k.Plan.Actions {
		out.Works = append(out.Works, a.Work.String())
	}
	for i := range list {
		c := &list[i]
		out.Compared = append(out.Compared, jsonCompared{
			c.ID.String(), c.Before, c.Predicted.Value, c.Predicted.StdUncertainty, c.Measured.Value, c.Measured.StdUncertainty, c.En, c.Agrees, c.Changed,
		})
	}
	return out
}

// toJSON has an object a kit, then one for each work whose accuracy came out.
func (a after) toJSON() (lines []any) {
	for i := range a {
		lines = append(lines, jsonWorkedOf(&a[i]))
	}
	for _, a := range remedy.Learn(a) {
		lines = append(lines, jsonAccuracy{a.Work.String(), a.Kits, a.Worst, a.U})
	}
	return lines
}

// toCSV has a row for each characteristic of each kit.
func (a after) toCSV(out *record) {
	out.row("kit", "plan", "p", "verdict_before", "verdict_after", "characteristic", "before", "planned", "planned_u", "measured", "measured_u", "en", "agrees", "changed")
	for i := range a {
		k := jsonWorkedOf(&a[i])
		for _, c := range k.Compared {
			out.row(k.Kit, k.Plan, k.P, k.Before, k.After, c.Name, c.Before, c.Planned, c.PlannedU, c.Measured, c.MeasuredU, c.En, c.Agrees, c.Changed)
		}
	}
}

// LearntCosts writes a costs.csv that has the accuracies of a shop's own works, their uncertainties in lines that
// begin with a number sign. Costs are those of the batch; the others are the built-in ones.
func LearntCosts(w io.Writer, learnt []remedy.Accuracy, costs []measure.Cost) error {
	table := measure.BuiltInCosts()
	put := func(c measure.Cost) {
		for i := range table {
			if table[i].Work == c.Work {
				table[i] = c
			}
		}
	}
	for _, c := range costs {
		put(c)
	}
	for _, a := range learnt {
		if _, err := fmt.Fprintf(w, "# %s\n", words.LearntLine(a)); err != nil {
			return err
		}
		for _, c := range table {
			if c.Work == a.Work {
				c.Worst = a.Worst
				put(c)
			}
		}
	}
	return measure.WriteCosts(w, table)
}
