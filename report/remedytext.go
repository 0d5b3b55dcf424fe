package report

import (
	"fmt"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// remedySheet is all that is said of one kit: first what to do, then the plans, then what cannot be
// cured or was not tried.
func remedySheet(r *fit.Result, a *remedy.Advice, plans int) []string {
	s := &sheet{}
	s.add("", words.Harmless(r.Kit)+": "+words.WhatToDo(r, a))
	s.add("", words.Why(a))
	for i := range a.Plans[:min(plans, len(a.Plans))] {
		s.plan(r, &a.Plans[i], i+1)
	}
	if more := len(a.Plans) - plans; more > 0 {
		s.section(fmt.Sprintf("%d more plans: --plans %d shows them.", more, len(a.Plans)))
	}
	s.list("What no work cures:", words.Cannot(a))
	s.list("Not tried, for want of readings:", words.Untried(a))
	if r.Verdict != fit.Pass {
		s.section("")
		s.add("", "± U is the expanded uncertainty for 95 % (k = 1.96), of the readings and of the hand that does the work. "+
			"The probabilities are by 4,000 fixed draws of all characteristics together, off by 0.8 % at the most (standard error); "+
			"they leave out what no work changes. Sizes come from stock.csv, minutes and accuracies from costs.csv, or the built-in ones: common practice, no source.")
	}
	return s.lines
}

func (s *sheet) list(heading string, items []string) {
	if len(items) == 0 {
		return
	}
	s.section(heading)
	for _, item := range items {
		s.add("  - ", item)
	}
}

// plan is one plan: its steps, the play that remains, what it changes.
func (s *sheet) plan(r *fit.Result, p *remedy.Plan, number int) {
	head := fmt.Sprintf("Plan %d (%s; %.0f minutes", number, words.Level(p.Level), p.Minutes)
	if p.Level != remedy.Returned {
		head += "; " + words.Percent(p.Curable) + " that all then passes"
	}
	s.section(head + ")")
	for i, a := range p.Actions {
		s.add(fmt.Sprintf("  %d. ", i+1), words.Step(p, a))
	}
	if p.Level == remedy.Returned {
		return
	}
	s.play(p)
	s.changes(r, p)
}

// play is what remains beside the walls, and its worst case.
func (s *sheet) play(p *remedy.Plan) {
	if text := words.Play(p); text != "" {
		s.add("  ", text)
	}
}

// changes is a table of the characteristics that the plan changes.
func (s *sheet) changes(r *fit.Result, p *remedy.Plan) {
	rows := [][4]string{{"characteristic", "now", "then ± U", "inside"}}
	for i := range p.Predicted {
		q := &p.Predicted[i]
		if !q.Changed || !q.Judged {
			continue
		}
		c := r.Characteristics[q.Index]
		now, _ := words.Rounded(c.Value, c.StdUncertainty)
		c.Value, c.StdUncertainty = q.Value, q.StdUncertainty
		rows = append(rows, [4]string{c.ID.String(), now, words.Value(&c), words.Percent(q.P)})
	}
	if len(rows) == 1 {
		return
	}
	s.lines = append(s.lines, "")
	for _, row := range rows {
		s.lines = append(s.lines, "  "+words.Pad(row[0], 27)+words.PadLeft(row[1], 9)+"   "+words.Pad(row[2], 20)+words.PadLeft(row[3], 9))
	}
}
