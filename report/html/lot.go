package html

import (
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
	"neckfit/report"
)

// Lot writes a judged delivery as a page: lot by lot what to do with it, why, and what the supplier's
// process is worth. Batch is the input as the user gave it; it may be "".
func Lot(w io.Writer, r *delivery.Report, batch string) error {
	title := fmt.Sprintf("Acceptance of %d lots", len(r.Lots))
	if len(r.Lots) == 1 {
		title = "Acceptance of " + report.LotName(r.Lots[0])
	}
	p := &deliveryPage{shell: newShell(title, batch), Note: report.LotNote}
	if len(r.Lots) > 1 {
		p.Headline = report.DeliveryHeadline(r)
	}
	for i, l := range r.Lots {
		p.Lots = append(p.Lots, newLot(l, i+1, r.Seed))
	}
	return templates.ExecuteTemplate(w, "delivery", p)
}

// deliveryPage is what the template delivery takes.
type deliveryPage struct {
	shell
	Headline, Note string
	Lots           []*lotView
}

// lotView is what the template lot takes.
type lotView struct {
	Number                 int
	Name                   string
	Decision, Sign, Colour string
	Headline, Counts       string
	Tally                  []tally
	Severity, NextLot      string
	Classes                []classRow
	Inspected, Notes       []string
	Curve                  template.HTML
	CurveHead              []string
	CurveRows              [][]string
	Pareto                 []paretoGroup
	Signals                []note
	Processes              []processRow
	Charts, MoreCharts     []processChart
}

// classRow is how a class was inspected.
type classRow struct {
	Class, AQL                        string
	Sample, Accept, Reject, Bad, Open string
	Outcome, Sign, Colour             string
}

func newLot(l *delivery.Lot, number int, seed uint64) *lotView {
	a := l.Acceptance
	v := &lotView{
		Number: number, Name: report.LotName(l), Decision: a.Decision.String(), Headline: report.LotHeadline(l), Counts: report.LotCounts(l),
		Tally: tallyOf(l.Verdicts), Severity: a.Severity.String(), NextLot: a.NextLot, Notes: report.LotNotes(l), Pareto: pareto(l.Failing),
	}
	v.Sign, v.Colour = decisionLook(a.Decision)
	if a.Why != "" {
		v.Severity += " (" + a.Why + ")"
	}
	v.inspection(a, seed)
	for _, p := range l.Processes {
		v.process(p)
	}
	return v
}

// decisionLook is a sign that needs no colour, and the verdict whose colour goes with it.
func decisionLook(d delivery.Decision) (sign, colour string) {
	switch d {
	case delivery.Accept:
		return "✓", report.VerdictWord(fit.Pass)
	case delivery.Reject:
		return "✕", report.VerdictWord(fit.Fail)
	case delivery.Stopped:
		return "■", report.VerdictWord(fit.Fail)
	case delivery.Undecided:
	}
	return "?", report.VerdictWord(fit.Unsure)
}

// outcomeLook is the same for the outcome of a class.
func outcomeLook(c *delivery.ClassAcceptance) (sign, colour string) {
	if c.AQL == 0 || !c.Judged {
		return "–", report.VerdictWord(fit.NotJudged)
	}
	switch c.Outcome {
	case sampling.Accepted, sampling.AcceptedNormalNext:
		return decisionLook(delivery.Accept)
	case sampling.Rejected:
		return decisionLook(delivery.Reject)
	case sampling.Undecided:
	}
	return decisionLook(delivery.Undecided)
}

func (v *lotView) inspection(a *delivery.Acceptance, seed uint64) {
	if words := report.DrawnWords(a, seed); words != "" {
		v.Inspected = append(v.Inspected, words)
	}
	v.Inspected = append(v.Inspected, report.UnsureWords(a)...)
	for i := range a.ByClass {
		c := &a.ByClass[i]
		v.Classes = append(v.Classes, newClassRow(c))
		if words := report.RiskWords(c); words != "" {
			v.Inspected = append(v.Inspected, words)
		}
	}
	if rows := report.CurveRows(a); len(rows) > 1 {
		v.CurveHead, v.CurveRows = rows[0], rows[1:]
		v.Curve = operatingCurve(a)
	}
}

func newClassRow(c *delivery.ClassAcceptance) classRow {
	r := classRow{Class: c.Class.String(), Outcome: report.OutcomeWord(c), AQL: "–", Sample: "–", Accept: "–", Reject: "–", Bad: "–", Open: "–"}
	r.Sign, r.Colour = outcomeLook(c)
	if c.AQL > 0 {
		r.AQL = strconv.FormatFloat(c.AQL, 'g', -1, 64)
		r.Sample, r.Accept, r.Reject = strconv.Itoa(c.Plan.Sample), strconv.Itoa(c.Plan.Accept), strconv.Itoa(c.Plan.Reject)
		r.Bad, r.Open = strconv.Itoa(c.Bad), strconv.Itoa(c.Open)
	}
	return r
}

// paretoGroup is what fails in one class, the commonest first.
type paretoGroup struct {
	Class string
	Lines []paretoLine
}

// paretoLine has the widths of its bars in percent of the longest bar.
type paretoLine struct {
	Name                   string
	Fail, Unsure           int
	FailWidth, UnsureWidth string
}

func pareto(list []delivery.Failing) (groups []paretoGroup) {
	most := 1
	for _, f := range list {
		most = max(most, f.Fail+f.Unsure)
	}
	width := func(n int) string { return num(100 * float64(n) / float64(most)) }
	last := measure.Class(math.MaxUint8)
	for _, f := range list {
		if len(groups) == 0 || f.Class != last {
			last = f.Class
			groups = append(groups, paretoGroup{Class: report.ClassHeading(f.Class)})
		}
		g := &groups[len(groups)-1]
		g.Lines = append(g.Lines, paretoLine{f.Name, f.Fail, f.Unsure, width(f.Fail), width(f.Unsure)})
	}
	return groups
}
