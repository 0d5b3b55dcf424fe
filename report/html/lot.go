package html

import (
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/report/words"
)

// Lot writes a judged delivery as a page: lot by lot what to do with it, why, and what the supplier's
// process is worth. Batch is the input as the user gave it; it may be "".
func Lot(w io.Writer, r *delivery.Report, batch string) error {
	title := fmt.Sprintf("Acceptance of %d lots", len(r.Lots))
	if len(r.Lots) == 1 {
		title = "Acceptance of " + words.LotName(r.Lots[0])
	}
	p := &deliveryPage{shell: newShell(title, batch), Note: words.LotNote}
	if len(r.Lots) > 1 {
		p.Headline = words.DeliveryHeadline(r)
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
	Troubles               []trouble
	Rework                 string
	Processes              []processRow
	Charts, MoreCharts     []processChart
}

// trouble is a kit that does not pass.
type trouble struct{ Kit, Verdict, Found, Work string }

// classRow is how a class was inspected.
type classRow struct {
	Class, AQL                        string
	Sample, Accept, Reject, Bad, Open string
	Outcome, Sign, Colour             string
}

func newLot(l *delivery.Lot, number int, seed uint64) *lotView {
	a := l.Acceptance
	v := &lotView{
		Number: number, Name: words.LotName(l), Decision: a.Decision.String(), Headline: words.LotHeadline(l), Counts: words.LotCounts(l),
		Tally: tallyOf(l.Verdicts), Severity: words.Severity(a), NextLot: words.NextLot(a), Notes: words.LotNotes(l),
	}
	v.Sign, v.Colour = decisionLook(a.Decision)
	for _, t := range l.Troubles {
		v.Troubles = append(v.Troubles, trouble{words.Harmless(t.Kit), words.Verdict(t.Verdict), words.Findings(t), words.WorkWords(t)})
	}
	v.Rework = words.ReworkSum(l)
	if text := words.Drawn(a, seed); text != "" {
		v.Inspected = append(v.Inspected, text)
	}
	v.Inspected = append(v.Inspected, words.UnsureKits(a)...)
	for i := range a.ByClass {
		c := &a.ByClass[i]
		row := classRow{Class: c.Class.String(), Outcome: words.Outcome(c), AQL: "–", Sample: "–", Accept: "–", Reject: "–", Bad: "–", Open: "–"}
		switch {
		case c.AQL == 0 || !c.Judged:
			row.Sign, row.Colour = "–", words.Verdict(fit.NotJudged)
		case c.Outcome == sampling.Accepted || c.Outcome == sampling.AcceptedNormalNext:
			row.Sign, row.Colour = decisionLook(delivery.Accept)
		case c.Outcome == sampling.Rejected:
			row.Sign, row.Colour = decisionLook(delivery.Reject)
		default:
			row.Sign, row.Colour = decisionLook(delivery.Undecided)
		}
		if c.AQL > 0 {
			row.AQL = strconv.FormatFloat(c.AQL, 'g', -1, 64)
			row.Sample, row.Accept, row.Reject = strconv.Itoa(c.Plan.Sample), strconv.Itoa(c.Plan.Accept), strconv.Itoa(c.Plan.Reject)
			row.Bad, row.Open = strconv.Itoa(c.Bad), strconv.Itoa(c.Open)
		}
		v.Classes = append(v.Classes, row)
		if text := words.Risks(c); text != "" {
			v.Inspected = append(v.Inspected, text)
		}
	}
	if rows := words.CurveRows(a); len(rows) > 1 {
		v.CurveHead, v.CurveRows = rows[0], rows[1:]
		v.Curve = operatingCurve(a)
	}
	most := 1
	for _, f := range l.Failing {
		most = max(most, f.Fail+f.Unsure)
	}
	width := func(n int) string { return num(100 * float64(n) / float64(most)) }
	for i, f := range l.Failing {
		if i == 0 || f.Class != l.Failing[i-1].Class {
			v.Pareto = append(v.Pareto, paretoGroup{Class: words.Class(f.Class)})
		}
		g := &v.Pareto[len(v.Pareto)-1]
		g.Lines = append(g.Lines, paretoLine{f.Name, f.Fail, f.Unsure, width(f.Fail), width(f.Unsure)})
	}
	for _, p := range l.Processes {
		v.process(p)
	}
	return v
}

// decisionLook is a sign that needs no colour, and the verdict whose colour goes with it.
func decisionLook(d delivery.Decision) (sign, colour string) {
	switch d {
	case delivery.Accept:
		return "✓", words.Verdict(fit.Pass)
	case delivery.Reject:
		return "✕", words.Verdict(fit.Fail)
	case delivery.Stopped:
		return "■", words.Verdict(fit.Fail)
	case delivery.Undecided:
	}
	return "?", words.Verdict(fit.Unsure)
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

// processRow is a characteristic's line in the table of the lot's process.
type processRow struct {
	Name, Unit                    string
	N                             int
	Mean, Spread, Gauges, Product string
	Tolerance                     string
	Indices                       [4]index // Cp, Cpk, Pp, Ppk
}

// index is a capability index and its 95 % confidence limits in words.
type index struct{ Value, Range string }

func newIndex(x lot.Index) index {
	value, limits, _ := strings.Cut(words.Index(x), " ")
	return index{value, limits}
}

// processChart is a characteristic's histogram and its charts in the order received.
type processChart struct {
	Name, Words, Signals        string
	Histogram, Sequence, Ranges template.HTML
}

// process adds a characteristic; fewer than two kits have nothing to draw.
func (v *lotView) process(p *delivery.Process) {
	row := processRow{Name: p.Name, Unit: words.ProcessUnit(p), N: p.N, Mean: words.Small(p.Mean), Tolerance: words.Tolerance(p.Tolerance)}
	if p.Spread != nil {
		row.Spread, row.Gauges, row.Product = words.Small(p.SD), words.Small(p.Spread.Measurement), words.Small(p.Spread.Product)
	}
	if c := p.Capability; c != nil {
		row.Indices = [4]index{newIndex(c.Cp), newIndex(c.Cpk), newIndex(c.Pp), newIndex(c.Ppk)}
	}
	v.Processes = append(v.Processes, row)
	if p.Chart == nil {
		return
	}
	if len(p.Signals) > 0 || p.Drifts {
		v.Signals = append(v.Signals, note{p.Name, words.SignalCounts(p)})
	}
	// Of each kit's uncertainty the charts take the part that differs from kit to kit, all alike.
	s := &series{name: p.Name, unit: words.ProcessUnit(p), class: p.Class.String(), lower: p.Lower, upper: p.Upper, sameLimits: p.Limited, values: p.Chart.Values, trend: p.Trend}
	if !p.Drifts {
		s.trend = nil
	}
	s.u = make([]float64, len(s.values))
	if p.Spread != nil {
		for i := range s.u {
			s.u[i] = p.Spread.Measurement
		}
	}
	c := processChart{Name: p.Name, Words: words.Process(p), Signals: words.Signals(p), Histogram: s.histogram()}
	if len(s.values) >= leastSequence {
		c.Sequence = s.sequence(p.Chart)
		c.Ranges = s.ranges(p.Chart)
	}
	if p.Limited {
		v.Charts = append(v.Charts, c)
	} else {
		v.MoreCharts = append(v.MoreCharts, c)
	}
}
