package html

import (
	"errors"
	"fmt"
	"html/template"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/words"
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

// newAdvice puts the plans for a kit into text; nil where there is nothing to advise.
func newAdvice(r *fit.Result, a *remedy.Advice) *advice {
	if a == nil || len(a.Plans) == 0 {
		return nil
	}
	v := &advice{Say: words.WhatToDo(r, a), Why: a.Why}
	v.spell(r, &a.Plans[0])
	for i := range a.Plans[1:min(1+mostOthers, len(a.Plans))] {
		v.Others = append(v.Others, inShort(&a.Plans[1+i]))
	}
	for _, u := range a.Untried {
		v.Untried = append(v.Untried, words.Harmless(u))
	}
	return v
}

// spell sets a plan out: its steps, what they change, and the play that remains.
func (v *advice) spell(r *fit.Result, p *remedy.Plan) {
	v.Play = words.Play(p)
	for _, step := range p.Actions {
		v.Steps = append(v.Steps, words.Harmless(step.Say()))
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
		text += fmt.Sprintf(": %s that all then passes, %.0f minutes", words.Percent(p.Curable), p.Minutes)
	}
	return words.Harmless(text) + "; " + p.Level.String()
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
	before, _ := words.Rounded(now.Value, now.StdUncertainty)
	c := change{Now: before, line: line{Name: now.ID.String(), Unit: words.Unit(now), Limits: words.Limits(&then), Inside: words.Percent(q.P), Bar: bar(&then)}}
	c.Value, c.U = words.Rounded(q.Value, q.StdUncertainty)
	return c, true
}

// expected is the verdict that a reading after the work would be expected to bring, at the 95 %
// of the guarded rule (ISO 14253-1:2017); it only chooses the shape of a mark.
func expected(p float64) fit.Verdict {
	const sure = fit.Confidence
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

// Advised is a kit whose plans are laid out for the page of remedies.
type Advised struct {
	result  *fit.Result
	kit     *kit
	level   remedy.Level
	section string
}

// Advise lays out what is advised for a kit, up to most of its plans. The result must have its
// model, for the drawings; afterwards the model is no longer needed. Number counts the kits of the
// page from 1, and o is what the advice was made from.
func Advise(r *fit.Result, a *remedy.Advice, number, most int, o remedy.Options) (*Advised, error) {
	if err := report.Check(r); err != nil {
		return nil, err
	}
	v := &plansView{kit: kitHead(r, number), Say: words.WhatToDo(r, a)}
	if advisable(r) {
		v.take(r, a)
		v.plans(r, a, most)
		v.draw(r, o)
	}
	var b strings.Builder
	if err := templates.ExecuteTemplate(&b, "plans", v); err != nil {
		return nil, fmt.Errorf("cannot lay out kit %q: %w", r.Kit, err)
	}
	return &Advised{r, v.kit, a.Plans[0].Level, compact(b.String())}, nil
}

// plansView is what the template plans takes.
type plansView struct {
	*kit
	Say             string
	Plans           []planText
	Cannot, Untried []string
}

// planText is one plan in text.
type planText struct {
	Title string
	advice
}

func (v *plansView) plans(r *fit.Result, a *remedy.Advice, most int) {
	for i := range a.Plans[:min(most, len(a.Plans))] {
		p := &a.Plans[i]
		t := planText{Title: fmt.Sprintf("Plan %d", i+1)}
		t.Say = inShort(p) + "."
		if i == 0 {
			t.Title, t.Say, t.Why = "Recommended", v.Say, a.Why
		}
		t.spell(r, p)
		v.Plans = append(v.Plans, t)
		if words.Handles(p) {
			v.Cautions = remedy.Cautions()
		}
	}
	for _, c := range a.Cannot {
		v.Cannot = append(v.Cannot, words.Harmless(c))
	}
	for _, u := range a.Untried {
		v.Untried = append(v.Untried, words.Harmless(u))
	}
}

// Remedies writes the page of kits that were laid out: how many need what, the works and the kits
// that want them, and each kit's plans. Batch is the input as the user gave it; it may be "".
func Remedies(w io.Writer, list []*Advised, batch string) error {
	p := newRemediesPage(list, batch)
	if err := templates.ExecuteTemplate(w, "remedies", p); err != nil {
		return err
	}
	if p.Only == "" {
		if err := foldRemedies(w, list, p.Rows); err != nil {
			return err
		}
	}
	return templates.ExecuteTemplate(w, "remedies-end", p)
}

func foldRemedies(w io.Writer, list []*Advised, rows []row) (err error) {
	var f folds
	defer func() { err = errors.Join(err, f.close()) }()
	for i, a := range list {
		if err := f.add(rows[i], a.kit, a.section); err != nil {
			return err
		}
	}
	return f.copyTo(w)
}

// remediesPage is what the template remedies takes.
type remediesPage struct {
	shell
	Headline string
	Tally    []tally
	Cautions []string
	Todo     []work
	Only     template.HTML
	Rows     rows
}

func newRemediesPage(list []*Advised, batch string) *remediesPage {
	p := &remediesPage{shell: newShell(fmt.Sprintf("Remedies for %d kits", len(list)), batch)}
	if len(list) == 1 {
		p.Title = "Remedy for " + list[0].kit.Name
		p.Only = template.HTML(list[0].section) //nolint:gosec // made by the template plans, which escapes
		return p
	}
	all, levels := batchOf(list)
	p.Todo, p.Rows, p.Headline = all.todo(), all.Rows, words.RemedyHeadline(len(list), levels)
	for i, a := range list {
		p.Rows[i].Brief = a.brief()
		if a.kit.plan != nil && words.Handles(a.kit.plan) {
			p.Cautions = remedy.Cautions()
		}
	}
	for level, look := range levelLooks {
		if n := levels[remedy.Level(level)]; n > 0 {
			p.Tally = append(p.Tally, tally{look.colour, look.word, n, num(100 * float64(n) / float64(len(list)))})
		}
	}
	return p
}

func batchOf(list []*Advised) (b batch, levels map[remedy.Level]int) {
	levels = map[remedy.Level]int{}
	for _, a := range list {
		b.add(a.result, a.kit)
		levels[a.level]++
	}
	return b, levels
}

// brief is what stands beside a folded kit's name.
func (a *Advised) brief() string {
	if a.kit.plan == nil {
		return "nothing to do"
	}
	return words.Harmless(a.kit.plan.Brief())
}

// levelLooks are a sign with a word, and the colour, of each level.
var levelLooks = [...]struct{ colour, word string }{
	remedy.Untouched:  {"pass", "✓ no work"},
	remedy.Reversible: {"reversible", "↶ can be undone"},
	remedy.Trimmed:    {"unsure", "△ a little wood is cut"},
	remedy.Redrilled:  {"fail", "◎ holes are plugged"},
	remedy.Returned:   {"fail", "✕ a part goes back"},
}
