package html

import (
	"fmt"
	"html/template"
	"io"
	"slices"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

// advice is what to do with a kit, for the template.
type advice struct {
	Say, Why     string
	Play, Expect string
	Steps        []string
	Changes      []change
	Kinds        [][]string // the plans side by side, a row each after the headings
	Asks         []string
	Untried      []string
}

// Note says what the columns of the plans side by side are.
func (advice) Note() string { return words.SideBySideNote }

// change is a characteristic that the recommended plan brings inside, or leaves in question.
type change struct {
	Now string
	line
}

// advised takes up what is advised for a kit.
func (k *kit) advised(r *fit.Result, a *remedy.Advice) {
	if a == nil || len(a.Plans) == 0 {
		return
	}
	k.plan = &a.Plans[0]
	k.level = k.plan.Level
	if words.Handles(k.plan) {
		k.Cautions = words.WorkCautions()
	}
	k.Remedy = &advice{Say: words.WhatToDo(r, a), Why: words.Why(a), Untried: words.Untried(a)}
	k.Remedy.spell(r, k.plan, false)
	if len(a.Plans) > 1 {
		for i, row := range words.SideBySide(a) {
			held, last := "held down by", len(row)-1
			if i > 0 {
				held = words.HeldDownBy(&a.Plans[i-1])
				row[last] = row[0] + ". " + row[last]
			}
			k.Remedy.Kinds = append(k.Remedy.Kinds, slices.Concat(row[last:], row[1:2], []string{held}, row[2:last]))
		}
	}
	k.Works = words.Works(k.plan)
}

// spell sets a plan out: its steps, what they change, and the play that remains. A change is told
// where the characteristic did not pass before or may not after, or of all.
func (v *advice) spell(r *fit.Result, p *remedy.Plan, all bool) {
	v.Play, v.Expect, v.Asks = words.Play(p), words.Expect(r, p), slices.Concat(words.Refused(p), words.Asks(p))
	for _, step := range p.Actions {
		v.Steps = append(v.Steps, words.Step(p, step))
	}
	for _, q := range p.Predicted {
		now, then := &r.Characteristics[q.Index], predicted(r, q)
		if !q.Judged || !q.Changed || !all && now.Verdict == fit.Pass && then.Verdict == fit.Pass {
			continue
		}
		c := change{line: line{Name: now.ID.String(), Unit: words.Unit(now), Limits: words.Limits(&then), Inside: words.Percent(q.P), Bar: bar(&then)}}
		c.Now, _ = words.Rounded(now.Value, now.StdUncertainty)
		c.Value, c.U = words.Rounded(q.Value, q.StdUncertainty)
		v.Changes = append(v.Changes, c)
	}
}

// predicted is a characteristic as a plan leaves it, with the verdict that a reading after the work would be
// expected to bring.
func predicted(r *fit.Result, q remedy.Predicted) fit.Characteristic {
	then := r.Characteristics[q.Index]
	then.Value, then.StdUncertainty, then.P = q.Value, q.StdUncertainty, q.P
	then.Lower, then.Upper = q.Lower, q.Upper
	then.Verdict = expected(q.P)
	return then
}

// expected is the verdict where so much speaks for a pass.
func expected(p float64) fit.Verdict {
	switch {
	case p >= fit.Confidence:
		return fit.Pass
	case p <= 1-fit.Confidence:
		return fit.Fail
	}
	return fit.Unsure
}

// Advised is a kit whose plans are laid out for the page of remedies.
type Advised struct {
	result  *fit.Result
	kit     *kit
	level   remedy.Level
	read    bool // it is to be read first
	section template.HTML
}

// Advise lays out what is advised for a kit, up to most of its plans. The result must have its
// model, for the drawings; afterwards the model is no longer needed. Number counts the kits of the
// page from 1.
func Advise(r *fit.Result, a *remedy.Advice, number, most int) (*Advised, error) {
	if err := report.Check(r); err != nil {
		return nil, err
	}
	v := &plansView{kit: kitHead(r, number), Say: words.WhatToDo(r, a)}
	if advisable(r) {
		if !v.attempt(words.NotAdvised, func() { v.advised(r, a); v.plans(r, a, most) }) {
			v.Plans, v.Remedy, v.plan, v.Works = nil, nil, nil, ""
		}
		v.attempt(words.NotDrawn, func() { v.draw(r) })
	}
	section, err := v.section("plans", v)
	if err != nil {
		return nil, err
	}
	return &Advised{r, v.kit, a.Plans[0].Level, words.ReadFirst(r, a), section}, nil
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
		t.Say = words.PlanInShort(p) + "."
		if i == 0 {
			t.Title, t.Say, t.Why = "Recommended", v.Say, words.Why(a)
			if a.Own {
				t.Title = "Your own plan"
			}
		}
		t.spell(r, p, false)
		v.Plans = append(v.Plans, t)
		if words.Handles(p) {
			v.Cautions = words.WorkCautions()
		}
	}
	v.Cannot, v.Untried = words.Cannot(a), words.Untried(a)
}

// Remedies writes the page of kits that were laid out: how many need what, the works and the kits
// that want them, and each kit's plans. Source is the input as the user gave it; it may be "".
func Remedies(w io.Writer, list []*Advised, source string) error {
	p := &remediesPage{shell: newShell(fmt.Sprintf("Remedies for %d kits", len(list)), source)}
	var all batch
	levels := map[remedy.Level]int{}
	var count words.Remedies
	for _, a := range list {
		all.add(a.result, a.kit)
		levels[a.level]++
		count.Add(a.result.Verdict, a.read, a.level)
		row := &all.Rows[len(all.Rows)-1]
		row.Brief = "nothing to do"
		if plan := a.kit.plan; plan != nil {
			row.Brief = words.Plan(plan)
			if words.Handles(plan) {
				p.Cautions = words.WorkCautions()
			}
		}
	}
	if len(list) == 1 {
		p.Title, p.Only = "Remedy for "+list[0].kit.Name, list[0].section
	}
	p.Todo, p.Rows, p.Headline = all.todo(), all.Rows, count.Headline()
	for level, look := range levelLooks {
		if n := levels[remedy.Level(level)]; n > 0 {
			p.Tally = append(p.Tally, tally{Verdict: look.colour, Word: look.word, N: n})
		}
	}
	p.Tally = tallies(p.Tally)
	return foldedPage(w, "remedies", p, p.Only == "", func(f *folds) error {
		for i, a := range list {
			if err := f.add(p.Rows[i], a.kit, a.section); err != nil {
				return err
			}
		}
		return nil
	})
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

// levelLooks are a sign with a word, and the colour, of each level.
var levelLooks = [...]struct{ colour, word string }{
	remedy.Untouched:  {"pass", "✓ no work"},
	remedy.Reversible: {"reversible", "↶ can be undone"},
	remedy.Trimmed:    {"unsure", "△ a little wood is cut"},
	remedy.Redrilled:  {"fail", "◎ holes are plugged"},
	remedy.Returned:   {"fail", "✕ a part goes back"},
}
