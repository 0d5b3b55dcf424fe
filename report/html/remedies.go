package html

import (
	"errors"
	"fmt"
	"html/template"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
)

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
	v := &plansView{kit: kitHead(r, number), Say: report.WhatToDo(r, a)}
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

// planText is one plan in words.
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
		if report.Handles(p) {
			v.Cautions = remedy.Cautions()
		}
	}
	for _, c := range a.Cannot {
		v.Cannot = append(v.Cannot, report.Harmless(c))
	}
	for _, u := range a.Untried {
		v.Untried = append(v.Untried, report.Harmless(u))
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
	p.Todo, p.Rows, p.Headline = all.todo(), all.Rows, report.RemedyHeadline(len(list), levels)
	for i, a := range list {
		p.Rows[i].Brief = a.brief()
		if a.kit.plan != nil && report.Handles(a.kit.plan) {
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
	return report.Harmless(a.kit.plan.Brief())
}

// levelLooks are a sign with a word, and the colour, of each level.
var levelLooks = [...]struct{ colour, word string }{
	remedy.Untouched:  {"pass", "✓ no work"},
	remedy.Reversible: {"reversible", "↶ can be undone"},
	remedy.Trimmed:    {"unsure", "△ a little wood is cut"},
	remedy.Redrilled:  {"fail", "◎ holes are plugged"},
	remedy.Returned:   {"fail", "✕ a part goes back"},
}
