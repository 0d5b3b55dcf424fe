package html

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// kit is what the template lays out of one kit: text, and drawings ready made.
type kit struct {
	Number                 int
	Name, Verdict, Word    string
	Headline, ReadAgain    string
	First                  string // where nothing is advised
	Swing, Adjusted        string
	Cautions, Warnings     []string
	Groups                 []group
	Free                   []line
	Missing, Advice, Basis []note
	Sources                []string
	Plan, Strip            template.HTML
	Pocket, PocketThen     template.HTML
	Bridge, Side           template.HTML
	NoDrawing, Beside      string
	Budgets                []budget
	Residuals              []residualRow
	Suspects               []suspect
	Remedy                 *advice
	Works                  string // of the recommended plan; "" for none
	Linked                 bool   // characteristics are linked to the page's glossary
	level                  remedy.Level
	about                  string // how drastic that is
	plan                   *remedy.Plan
}

// group is the rows of one class.
type group struct {
	Class string
	Lines []line
}

// line is one row of the tolerance table.
type line struct {
	Name, Value, U, Unit, Limits, Inside, Verdict string
	Which                                         string // the direction in words
	Source                                        string
	Bar                                           template.HTML
}

// note is a text and the characteristics that it is of.
type note struct{ Names, Text string }

// budget is what makes up the uncertainty of one characteristic.
type budget struct {
	Name, U string
	Parts   []share
	More    string
}

type share struct {
	What, Where, Percent string
}

type suspect struct{ Where, What, Text string }

// newKit lays out a kit with what advise has to say of it; nil for nothing.
func newKit(r *fit.Result, number int, advise func(*fit.Result) *remedy.Advice) *kit {
	k := kitHead(r, number)
	k.Linked = true
	if advise != nil && advisable(r) && !k.attempt(words.NotAdvised, func() { k.advised(r, advise(r)) }) {
		k.Remedy, k.plan, k.Works = nil, nil, ""
	}
	k.table(r)
	k.Missing = notes(r, func(c *fit.Characteristic) string { return words.Missing(c.Missing) }, false)
	k.Advice = notes(r, words.Advice, true)
	k.Basis = notes(r, func(c *fit.Characteristic) string { return words.Basis(c.Basis) }, true)
	k.attempt(words.NotDrawn, func() { k.draw(r) })
	k.budgets(r)
	k.Residuals = residualRows(r)
	for _, s := range r.Suspects {
		one := suspect{What: words.Reading(s.Reading), Text: words.Disagrees(&s)}
		if s.Reading.Place.File != "" {
			one.Where = words.Place(s.Reading.Place)
		}
		k.Suspects = append(k.Suspects, one)
	}
	return k
}

// attempt adds to a kit what may fail on numbers that make no picture and no plan. Then the kit says so,
// and the rest of the page is as it would be: one kit of many must not take the others along.
func (k *kit) attempt(failed string, do func()) (ok bool) {
	defer func() {
		if ok = recover() == nil; !ok {
			k.Warnings = append(k.Warnings, failed)
		}
	}()
	do()
	return
}

// kitHead is what stands at a kit's head.
func kitHead(r *fit.Result, number int) *kit {
	k := &kit{
		Number: number, Name: words.KitName(r.Kit, number), Verdict: words.Verdict(r.Verdict), Word: words.SignedVerdict(r.Verdict), Headline: words.Headline(r),
		ReadAgain: words.ReadAgain(r), Swing: words.Swing(r), Adjusted: words.Adjusted(r),
		Cautions: words.Cautions(r),
	}
	if !advisable(r) {
		k.First = words.First(r)
	}
	for _, w := range words.Warnings(r) {
		if !strings.Contains(k.Headline+k.ReadAgain, w) { // has not been said
			k.Warnings = append(k.Warnings, words.Harmless(w))
		}
	}
	return k
}

// advisable tells whether a remedy can be looked for: the kit was judged and does not pass.
func advisable(r *fit.Result) bool {
	return r.Model != nil && (r.Verdict == fit.Fail || r.Verdict == fit.Unsure)
}

func (k *kit) table(r *fit.Result) {
	letters := map[fit.LimitSource]string{}
	for _, class := range []measure.Class{measure.Critical, measure.Major, measure.Minor, measure.NoClass} {
		g := group{Class: class.String()}
		if class == measure.NoClass {
			g.Class = "of no class"
		}
		for i := range r.Characteristics {
			if c := &r.Characteristics[i]; words.Judged(c) && c.Class == class {
				g.Lines = append(g.Lines, k.line(c, letters))
			}
		}
		if len(g.Lines) > 0 {
			k.Groups = append(k.Groups, g)
		}
	}
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; c.Measured() && !words.Judged(c) {
			k.Free = append(k.Free, k.line(c, letters))
		}
	}
}

func (k *kit) line(c *fit.Characteristic, letters map[fit.LimitSource]string) line {
	l := line{Name: c.ID.String(), Unit: words.Unit(c), Which: words.Which(c)}
	l.Value, l.U = words.Rounded(c.Value, c.StdUncertainty)
	if !words.Judged(c) {
		return l
	}
	l.Limits, l.Inside, l.Verdict, l.Bar = words.Limits(c), words.Percent(c.P), words.Verdict(c.Verdict), bar(c)
	if c.LimitSource.Origin == fit.NoLimit {
		return l
	}
	if letters[c.LimitSource] == "" {
		k.Sources = append(k.Sources, words.Harmless(words.LimitSource(c.LimitSource)))
		letters[c.LimitSource] = strconv.Itoa(len(k.Sources))
	}
	l.Source = letters[c.LimitSource]
	return l
}

// notes lists one text of each characteristic that has it, those of the same text together.
func notes(r *fit.Result, of func(*fit.Characteristic) string, measured bool) []note {
	var names words.Groups[string, string]
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if text := words.Harmless(of(c)); text != "" && c.Measured() == measured {
			names.Add(text, c.ID.String())
		}
	}
	var list []note
	for _, text := range names.Keys {
		list = append(list, note{strings.Join(names.Of[text], ", "), text})
	}
	return list
}

func (k *kit) draw(r *fit.Result) {
	s := newScene(r)
	if s == nil {
		k.NoDrawing = words.NoDrawing
		return
	}
	if s.plan = k.plan; s.plan != nil && s.plan.Level != remedy.Returned { // for the drawings that show what it leaves
		for _, q := range s.plan.Predicted {
			if r.Characteristics[q.Index].ID == fit.CentreLineError && q.Changed {
				then := predicted(r, q)
				s.then = &then
			}
		}
	}
	k.Plan, k.Strip, k.Bridge, k.Side = planView(s), sideways(s), bridgeView(s), sideView(s)
	k.Pocket, k.PocketThen = pocketViews(s)
	if e := s.named(fit.CentreLineError); e != nil && k.Strip != "" {
		k.Beside = words.BridgeLies(e)
	}
}

// Budgets are shown of what matters most and of what is in question, the largest parts of each.
const mostParts, mostBudgets = 5, 5

func (k *kit) budgets(r *fit.Result) {
	worst := words.Worst(r)
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if !words.Judged(c) || len(c.Budget) == 0 || c != worst && c.Verdict == fit.Pass || len(k.Budgets) == mostBudgets {
			continue
		}
		_, u := words.Rounded(c.Value, c.StdUncertainty)
		b := budget{Name: c.ID.String(), U: u + " " + words.Unit(c)}
		rest := 1.0
		for _, p := range c.Budget[:min(mostParts, len(c.Budget))] {
			part := share{What: words.Harmless(words.Contribution(p)), Percent: fmt.Sprintf("%.0f %%", 100*p.Share)}
			if p.Reading != nil {
				part.Where = fmt.Sprintf("line %d", p.Reading.Place.Line)
			}
			b.Parts = append(b.Parts, part)
			rest -= p.Share
		}
		if more := len(c.Budget) - len(b.Parts); more > 0 {
			b.More = words.MoreShares(more, rest)
		}
		k.Budgets = append(k.Budgets, b)
	}
}

// residualRow is the residuals of all readings of one feature.
type residualRow struct {
	Name  string
	Strip template.HTML
	Runs  []residualRun
}

// residualRun is readings of successive lines.
type residualRun struct {
	First, Last int
	Unchecked   bool
	Values      []residualValue
}

// residualValue is what one number read differs from the fit, in 0.01 mm; a point's second number
// stands behind a stroke.
type residualValue struct {
	Second, Suspect bool
	Text            string
	Line            int
}

// residualRows gathers the residuals by datum and feature, in the order of the readings, and draws each
// row's standardised residuals on a scale from -4 to 4, with a tick for each number read; those beyond
// stand at its ends. The style draws the scale behind it.
func residualRows(r *fit.Result) []residualRow {
	var all words.Groups[string, *fit.Residual]
	for i := range r.Residuals {
		e := &r.Residuals[i]
		all.Add(e.Reading.Datum.String()+" "+e.Reading.Feature.String(), e)
	}
	rows := make([]residualRow, len(all.Keys))
	for i, name := range all.Keys {
		of := all.Of[name]
		const width, most = 180.0, 4.0
		f := &figure{width: width, height: 18}
		x := between(-most, most, 6, width-6)
		ticks := ""
		rows[i].Name = name
		for j, e := range of {
			rows[i].add(e, j > 0 && of[j-1].Reading.Place == e.Reading.Place)
			at := x.of(math.Max(-most, math.Min(most, e.W)))
			switch {
			case e.Checked && e.Suspect:
				f.polygon("suspect", point{at, 3}, point{at + 6, 14}, point{at - 6, 14})
			case e.Checked:
				ticks += fmt.Sprintf("M%.0f 4v10", at)
			}
		}
		f.path("", ticks)
		rows[i].Strip = f.bare("dev")
	}
	return rows
}

// add takes up a residual; second tells whether it belongs to the same line as the one before.
func (r *residualRow) add(e *fit.Residual, second bool) {
	line := e.Reading.Place.Line
	n := len(r.Runs)
	if n == 0 || line < r.Runs[n-1].Last || line > r.Runs[n-1].Last+1 {
		r.Runs = append(r.Runs, residualRun{First: line, Unchecked: true})
		n++
	}
	run := &r.Runs[n-1]
	run.Last = line
	run.Unchecked = run.Unchecked && !e.Checked && !e.Suspect
	v := residualValue{Second: second && e.Axis == measure.Offset, Suspect: e.Suspect, Text: "·", Line: line}
	if e.Checked {
		v.Text = words.Hundredths(e.Residual)
	}
	run.Values = append(run.Values, v)
}
