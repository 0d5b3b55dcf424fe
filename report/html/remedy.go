package html

import (
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

// advice is what to do with a kit, for the template.
type advice struct {
	Say, Why     string
	Play, Expect string
	Sum          string // how its cost comes about
	Steps        []words.Step
	Changes      []change
	Note         string     // what the columns of the plans side by side are
	Kinds        [][]string // the plans side by side, a row each after the headings
	Asks         []string
	Waiting      []string // which of the plans side by side wait for an answer
	Untried      []string
}

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
		k.Remedy.Sum = words.Arithmetic(a, 0)
		k.Remedy.Note = words.SideBySideNote(a)
		k.Remedy.Waiting = words.Waiting(r.Kit, a)
		rows, shown := words.SideBySide(a)
		for i, row := range rows {
			held, last := "held down by", len(row)-1
			if i > 0 {
				held = words.HeldDownBy(&a.Plans[shown[i-1]])
				row[last] = strings.Replace(row[0]+". ", "?.", "?", 1) + row[last]
			}
			k.Remedy.Kinds = append(k.Remedy.Kinds, slices.Concat(row[last:], row[1:2], []string{held}, row[2:last]))
		}
	}
	k.Works, k.about = words.Works(k.plan), words.Level(k.level)
	if words.ReadFirst(r, a) {
		k.Works, k.about, k.level = words.ReadGroup, words.ReadGroupAbout, remedy.Untouched
	}
}

// spell sets a plan out: its steps, what they change, and the play that remains. A change is told
// where the characteristic did not pass before or may not after, or of all.
func (v *advice) spell(r *fit.Result, p *remedy.Plan, all bool) {
	v.Play, v.Expect, v.Asks = words.Play(p), words.Expect(r, p), slices.Concat(words.Refused(p), words.Asks(r.Kit, p))
	v.Steps = words.Steps(r, p)
	for _, q := range p.Predicted {
		now, then := &r.Characteristics[q.Index], predicted(r, q)
		if !q.Judged || !q.Changed || !all && now.Verdict == fit.Pass && then.Verdict == fit.Pass {
			continue
		}
		c := change{line: line{Name: now.ID.String(), Unit: words.Unit(now), Which: words.Which(&then), Limits: words.Limits(&then), Inside: words.Percent(q.P), Bar: bar(&then)}}
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

// NewRemedies gives a writer of the page of remedies, up to most plans a kit: how many kits need what, the
// works and the kits that want them, and each kit's plans. Results must have their models, for the drawings.
// Source is the input as the user gave it; it may be "".
func NewRemedies(w io.Writer, source string, most int) report.RemedyWriter {
	return &remedies{out: w, source: source, most: most}
}

// remedies keeps the kits' sections, for what is said of the batch stands above them.
type remedies struct {
	out    io.Writer
	source string
	most   int

	folds    folds
	batch    batch
	count    words.Remedies
	cautions []string
	failed   bool
}

// Kit lays out what is advised for a kit.
func (w *remedies) Kit(r *fit.Result, a *remedy.Advice) (err error) {
	defer func() { w.failed = w.failed || err != nil }()
	if err := report.Check(r); err != nil {
		return err
	}
	v := &plansView{kit: kitHead(r, len(w.batch.Rows)+1), Say: words.WhatToDo(r, a)}
	if advisable(r) {
		if !v.attempt(words.NotAdvised, func() { v.advised(r, a); v.plans(r, a, w.most) }) {
			v.Plans, v.Remedy, v.plan, v.Works = nil, nil, nil, ""
		}
		v.attempt(words.NotDrawn, func() { v.draw(r) })
	}
	section, err := v.section("plans", v)
	if err != nil {
		return err
	}
	w.count.Add(r.Verdict, words.ReadFirst(r, a), a.Plans[0].Level)
	w.batch.add(r, v.kit)
	row := &w.batch.Rows[len(w.batch.Rows)-1]
	row.Brief = "nothing to do"
	if plan := v.plan; plan != nil {
		row.Brief = words.Plan(plan)
		if v.Works == words.ReadGroup {
			row.Brief = words.ReadGroup + ": " + row.Brief
		}
		if words.Handles(plan) {
			w.cautions = words.WorkCautions()
		}
	}
	return w.folds.add(*row, v.kit, section)
}

// Close writes the page, unless a kit could not be laid out, and removes the temporary file.
func (w *remedies) Close() (err error) {
	defer func() { err = errors.Join(err, w.folds.close()) }()
	if w.failed {
		return nil
	}
	rows := w.batch.Rows
	p := &remediesPage{shell: newShell(fmt.Sprintf("Remedies for %d kits", len(rows)), w.source), Cautions: w.cautions}
	if len(rows) == 1 {
		p.Title, p.Only = "Remedy for "+rows[0].Name, w.folds.held[0].Section
	}
	p.Glossary = w.batch.glossary()
	p.Todo, p.Rows, p.Headline = w.batch.todo(), rows, w.count.Headline()
	counts := slices.Concat([]int{w.count.Pass, w.count.Read}, w.count.Works[remedy.Reversible:])
	for i, look := range levelLooks {
		p.Tally = append(p.Tally, tally{Verdict: look.colour, Word: look.word, N: counts[i]})
	}
	p.Tally = tallies(p.Tally)
	return w.folds.page(w.out, "remedies", "remedies-end", p, p.Only != "")
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
		if len(a.Plans) > 1 {
			t.Sum = words.Arithmetic(a, i)
		}
		v.Plans = append(v.Plans, t)
		if words.Handles(p) {
			v.Cautions = words.WorkCautions()
		}
	}
	v.Cannot, v.Untried = words.Cannot(a), words.Untried(a)
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

// levelLooks are a sign with a word, and the colour, of kits that need nothing, that are read first, and of each level from the reversible.
var levelLooks = [...]struct{ colour, word string }{
	{"pass", "✓ need nothing"},
	{"unsure", "? are read first"},
	{"reversible", "↶ can be undone"},
	{"unsure", "△ a little wood is cut"},
	{"fail", "◎ holes are plugged"},
	{"fail", "✕ a part goes back"},
}

// RemedyAfter writes how what was measured after the work agrees with what the plans predicted, kit by kit, and how
// exactly the works were done, as a page. Before and after are the inputs as the user gave them.
func RemedyAfter(w io.Writer, kits []remedy.Worked, before, after string) error {
	p := &afterPage{shell: newShell("After the work: "+words.Amount(len(kits), "kit", "kits"), before+", "+after), Note: words.ReworkedNote, Hint: words.LearntHint, Heading: words.LearntHeading}
	for i := range kits {
		if err := report.Check(kits[i].After); err != nil {
			return err
		}
		said, rows, hidden := report.Compared(&kits[i])
		one := workedKit{Number: i + 1, Name: words.KitName(kits[i].After.Kit, i+1), Verdict: words.Verdict(kits[i].After.Verdict), Said: said, Head: rows[0], Rows: rows[1:]}
		if hidden {
			one.Hidden = words.HiddenSeat
		}
		p.Kits = append(p.Kits, one)
	}
	if list := remedy.Learn(kits); len(list) > 0 {
		p.Learnt = report.Learnt(list)
	}
	return templates.ExecuteTemplate(w, "after", p)
}

// afterPage is what the template after takes.
type afterPage struct {
	shell
	Kits                []workedKit
	Learnt              [][]string // under its headings
	Note, Hint, Heading string
}

// workedKit is a kit that was worked on.
type workedKit struct {
	Number                      int
	Name, Verdict, Said, Hidden string
	Head                        []string
	Rows                        [][]string
}
