package html

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
)

// advice is what to do with a kit, for the template.
type advice struct {
	Say, Why, Play string
	Steps          []string
	Changes        []change
	Others         []string
	Untried        []string
}

// change is a characteristic that the recommended plan brings inside, or leaves in question.
type change struct {
	Now string
	line
}

// mostOthers is how many of the next plans are named.
const mostOthers = 2

// newAdvice puts the plans for a kit into words; nil where there is nothing to advise.
func newAdvice(r *fit.Result, a *remedy.Advice) *advice {
	if a == nil || len(a.Plans) == 0 {
		return nil
	}
	v := &advice{Say: report.WhatToDo(r, a), Why: a.Why}
	v.spell(r, &a.Plans[0])
	for i := range a.Plans[1:min(1+mostOthers, len(a.Plans))] {
		v.Others = append(v.Others, inShort(&a.Plans[1+i]))
	}
	for _, u := range a.Untried {
		v.Untried = append(v.Untried, report.Harmless(u))
	}
	return v
}

// spell sets a plan out: its steps, what they change, and the play that remains.
func (v *advice) spell(r *fit.Result, p *remedy.Plan) {
	v.Play = report.PlayWords(p)
	for _, step := range p.Actions {
		v.Steps = append(v.Steps, report.Harmless(step.Say()))
	}
	for i := range p.Predicted {
		if c, ok := changed(r, &p.Predicted[i]); ok {
			v.Changes = append(v.Changes, c)
		}
	}
}

// inShort is a plan in a line: its works, its chance, its time and how drastic it is.
func inShort(p *remedy.Plan) string {
	text := p.Brief()
	if p.Level != remedy.Returned {
		text += fmt.Sprintf(": %s that all then passes, %.0f minutes", report.Percent(p.Curable), p.Minutes)
	}
	return report.Harmless(text) + "; " + p.Level.String()
}

// changed gives a characteristic as the plan leaves it, if it did not pass before or may not after.
func changed(r *fit.Result, q *remedy.Predicted) (change, bool) {
	now := &r.Characteristics[q.Index]
	then := *now
	then.Value, then.StdUncertainty, then.P = q.Value, q.StdUncertainty, q.P
	then.Lower, then.Upper = q.Lower, q.Upper
	then.Verdict = expected(q.P)
	if !q.Judged || !q.Changed || now.Verdict == fit.Pass && then.Verdict == fit.Pass {
		return change{}, false
	}
	before, _ := report.Rounded(now.Value, now.StdUncertainty)
	c := change{Now: before, line: line{Name: now.Name, Unit: report.UnitWord(now), Limits: report.Limits(&then), Inside: report.Percent(q.P), Bar: bar(&then)}}
	c.Value, c.U = report.Rounded(q.Value, q.StdUncertainty)
	return c, true
}

// expected is the verdict that a reading after the work would be expected to bring, at the 95 %
// of the guarded rule (ISO 14253-1:2017); it only chooses the shape of a mark.
func expected(p float64) fit.Verdict {
	const sure = 0.95
	switch {
	case p >= sure:
		return fit.Pass
	case p <= 1-sure:
		return fit.Fail
	}
	return fit.Unsure
}

// works names the works of a plan, without their sizes: what a batch is grouped by.
func works(p *remedy.Plan) string {
	var list []string
	for _, a := range p.Actions {
		word := a.Work.String()
		if a.Work != measure.Reseat {
			word = strings.ReplaceAll(word, "-", " ")
		}
		if n := len(list); n == 0 || list[n-1] != word {
			list = append(list, word)
		}
	}
	return strings.Join(list, ", ")
}
