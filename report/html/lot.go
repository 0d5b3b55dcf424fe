package html

import (
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
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
		Number: number, Name: words.LotName(l), Decision: a.Decision.String(), Headline: words.LotHeadline(l), Counts: words.LotCounts(l),
		Tally: tallyOf(l.Verdicts), Severity: a.Severity.String(), NextLot: a.NextLot, Notes: words.LotNotes(l), Pareto: pareto(l.Failing),
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
		return "✓", words.Verdict(fit.Pass)
	case delivery.Reject:
		return "✕", words.Verdict(fit.Fail)
	case delivery.Stopped:
		return "■", words.Verdict(fit.Fail)
	case delivery.Undecided:
	}
	return "?", words.Verdict(fit.Unsure)
}

// outcomeLook is the same for the outcome of a class.
func outcomeLook(c *delivery.ClassAcceptance) (sign, colour string) {
	if c.AQL == 0 || !c.Judged {
		return "–", words.Verdict(fit.NotJudged)
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
	if text := words.Drawn(a, seed); text != "" {
		v.Inspected = append(v.Inspected, text)
	}
	v.Inspected = append(v.Inspected, words.UnsureKits(a)...)
	for i := range a.ByClass {
		c := &a.ByClass[i]
		v.Classes = append(v.Classes, newClassRow(c))
		if text := words.Risks(c); text != "" {
			v.Inspected = append(v.Inspected, text)
		}
	}
	if rows := words.CurveRows(a); len(rows) > 1 {
		v.CurveHead, v.CurveRows = rows[0], rows[1:]
		v.Curve = operatingCurve(a)
	}
}

func newClassRow(c *delivery.ClassAcceptance) classRow {
	r := classRow{Class: c.Class.String(), Outcome: words.Outcome(c), AQL: "–", Sample: "–", Accept: "–", Reject: "–", Bad: "–", Open: "–"}
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
			groups = append(groups, paretoGroup{Class: words.Class(f.Class)})
		}
		g := &groups[len(groups)-1]
		g.Lines = append(g.Lines, paretoLine{f.Name, f.Fail, f.Unsure, width(f.Fail), width(f.Unsure)})
	}
	return groups
}

// processRow is a characteristic's line in the table of the lot's process.
type processRow struct {
	Name, Unit                    string
	N                             int
	Mean, Spread, Gauges, Product string
	Tolerance                     string
	Indices                       [4]index // Cp, Cpk, Pp, Ppk
}

// index is a capability index and its 95 % confidence limits in text.
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
	v.Processes = append(v.Processes, newProcessRow(p))
	if p.Chart == nil {
		return
	}
	c := newProcessChart(p)
	if c.Signals != "" {
		v.Signals = append(v.Signals, note{p.Name, signalCounts(p.Signals)})
	}
	if p.Limited {
		v.Charts = append(v.Charts, c)
	} else {
		v.MoreCharts = append(v.MoreCharts, c)
	}
}

// signalCounts says how many kits broke each rule; their names stand below the chart.
func signalCounts(signals []delivery.Signal) string {
	var rules []lot.RunRule
	kits := map[lot.RunRule]map[string]bool{}
	for _, s := range signals {
		if kits[s.Rule] == nil {
			rules = append(rules, s.Rule)
			kits[s.Rule] = map[string]bool{}
		}
		for _, k := range s.Kits {
			kits[s.Rule][k] = true
		}
	}
	text := make([]string, len(rules))
	for i, r := range rules {
		text[i] = r.String() + " (" + count(len(kits[r]), "kit", "kits") + ")"
	}
	return strings.Join(text, "; ")
}

func newProcessRow(p *delivery.Process) processRow {
	r := processRow{Name: p.Name, Unit: words.ProcessUnit(p), N: p.N, Mean: words.Small(p.Mean), Tolerance: words.Tolerance(p.Tolerance)}
	if p.Spread != nil {
		r.Spread, r.Gauges, r.Product = words.Small(p.SD), words.Small(p.Spread.Measurement), words.Small(p.Spread.Product)
	}
	if c := p.Capability; c != nil {
		r.Indices = [4]index{newIndex(c.Cp), newIndex(c.Cpk), newIndex(c.Pp), newIndex(c.Ppk)}
	}
	return r
}

func newProcessChart(p *delivery.Process) processChart {
	s := seriesOf(p)
	c := processChart{Name: p.Name, Words: processWords(p), Signals: words.Signals(p.Signals), Histogram: s.histogram()}
	if len(s.values) >= leastSequence {
		c.Sequence, _ = s.sequence() // its warnings are among the lot's notes
		c.Ranges = s.ranges(p.Chart)
	}
	return c
}

// seriesOf is a process as the charts take it: of each kit's uncertainty the part that differs from
// kit to kit, all alike.
func seriesOf(p *delivery.Process) *series {
	s := &series{name: p.Name, unit: words.ProcessUnit(p), class: p.Class.String(), lower: p.Lower, upper: p.Upper, sameLimits: p.Limited, values: p.Chart.Values}
	s.u = make([]float64, len(s.values))
	if p.Spread != nil {
		for i := range s.u {
			s.u[i] = p.Spread.Measurement
		}
	}
	return s
}

// processWords are the limits and the indices with their confidence limits.
func processWords(p *delivery.Process) string {
	text := fmt.Sprintf("%d kits", p.N)
	if p.Limited {
		l := fit.Characteristic{Lower: p.Lower, Upper: p.Upper}
		text += ", limits " + words.Limits(&l) + " " + words.ProcessUnit(p)
	}
	if p.Capability == nil {
		return text
	}
	c := p.Capability
	for _, x := range []struct {
		name string
		lot.Index
	}{{"Cp", c.Cp}, {"Cpk", c.Cpk}, {"Pp", c.Pp}, {"Ppk", c.Ppk}} {
		if x.Known {
			i := newIndex(x.Index)
			text += "; " + x.name + " " + i.Value + " (" + i.Range + ")"
		}
	}
	return text
}

// ranges is the chart of the moving ranges, below that of the values and with the same steps along.
func (s *series) ranges(c *lot.Chart) template.HTML {
	const height, top, bottom = 120.0, 30.0, 108.0
	f := &figure{width: chartWidth, height: height}
	most := c.RangeTop
	for _, r := range c.Ranges {
		most = math.Max(most, r)
	}
	x, right := s.steps()
	y := between(0, most, bottom, top)
	level := func(class string, v float64, word string) {
		f.line(class, point{chartLeft, y.of(v)}, point{right, y.of(v)})
		f.text("tiny", point{right + 4, y.of(v) + 4}, word)
	}
	level("base", 0, "0")
	level("control", c.RangeTop, "limit")
	if y.of(c.MeanRange)-y.of(c.RangeTop) > 12 { // else its word would lie on the limit's
		level("control", c.MeanRange, "mean")
	}
	data, dots, signals, odd := "M", "", "", 0
	for i, r := range c.Ranges {
		at := point{x.of(float64(i + 1)), y.of(r)}
		if i > 0 {
			data += "L"
		}
		data += near(at.x) + " " + near(at.y)
		if r > c.RangeTop {
			odd++
			signals += diamondAt(at)
			continue
		}
		dots += dot(at)
	}
	f.path("run", data)
	f.path("dots", dots)
	if signals != "" {
		f.path("signal", signals)
	}
	f.text("note", point{chartLeft, 16}, "steps from one kit to the next; diamonds are too large")
	return f.svg("fig", fmt.Sprintf("Moving ranges of %s: %d steps, %d above the limit %s %s.", s.name, len(c.Ranges), odd, words.Small(c.RangeTop), s.unit), "data-y", y.data())
}
