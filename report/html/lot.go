package html

import (
	"cmp"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/report/words"
)

// Lot writes a judged delivery as a page: of each lot a sheet of paper with what to do, the kits and the
// charts that matter most; then an appendix with how it was inspected and what the supplier's process is
// worth. It does not say whence the kits came, so that a delivery that was checked in parts has the same page.
func Lot(w io.Writer, r *delivery.Report) error {
	title := fmt.Sprintf("Acceptance of %d lots", len(r.Lots))
	if len(r.Lots) == 1 {
		title = "Acceptance of " + words.LotName(r.Lots[0])
	}
	p := &deliveryPage{shell: newShell(title, ""), Note: words.LotNote}
	if len(r.Lots) > 1 {
		p.Headline = words.DeliveryHeadline(r)
	}
	names := slices.Clone(words.LotTerms)
	for i, l := range r.Lots {
		for _, one := range l.Processes {
			names = append(names, one.Name)
		}
		for _, f := range l.Failing {
			names = append(names, f.Name)
		}
		p.Lots = append(p.Lots, newLot(l, i+1, r.Seed))
	}
	if assumed := words.AssumedByName(words.LotsAssumed(r)); assumed != "" {
		p.Note += " " + assumed
	}
	p.Glossary = words.Glossary(names...)
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
	Gravest, Troubles      []trouble // those that the sheet has room for, and all
	Rest                   int       // how many it has none for
	Matter                 []processChart
	Rework                 string
	Processes              []processRow
	Charts, MoreCharts     []processChart
}

// trouble is a kit that does not pass.
type trouble struct{ Kit, Verdict, Word, Found, Work string }

func newTrouble(t *delivery.Trouble, found string) trouble {
	return trouble{words.Harmless(t.Kit), words.Verdict(t.Verdict), words.SignedVerdict(t.Verdict), found, words.WorkWords(t)}
}

// classRow is how a class was inspected.
type classRow struct {
	Class, Outcome, Sign, Colour string
	Counted                      [6]string // see words.Counted
}

func newLot(l *delivery.Lot, number int, seed uint64) *lotView {
	a := l.Acceptance
	v := &lotView{
		Number: number, Name: words.LotName(l), Decision: a.Decision.String(), Headline: words.LotHeadline(l), Counts: words.LotCounts(l),
		Tally: tallyOf(l.Verdicts), Severity: words.Severity(a), NextLot: words.NextLot(a), Notes: words.LotNotes(l),
	}
	v.Sign, v.Colour = decisionLook(a.Decision)
	for _, t := range l.Troubles {
		v.Troubles = append(v.Troubles, newTrouble(t, words.FindingsAndPart(t)))
	}
	v.Rework = words.ReworkSum(l)
	if text := words.Drawn(a, seed); text != "" {
		v.Inspected = append(v.Inspected, text)
	}
	v.Inspected = append(v.Inspected, words.UnsureKits(a)...)
	for i := range a.ByClass {
		c := &a.ByClass[i]
		row := classRow{Class: c.Class.String(), Outcome: words.Outcome(c), Counted: words.Counted(c, "–")}
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
		v.Classes = append(v.Classes, row)
		if text := words.Risks(c); text != "" {
			v.Inspected = append(v.Inspected, text)
		}
	}
	if next := words.NextDraw(a); next != "" {
		v.Inspected = append(v.Inspected, next)
	}
	if l.Variables != nil {
		v.Inspected = append(v.Inspected, words.ByVariablesHeading+l.Variables.Name+": "+strings.Join(words.ByVariables(l.Variables, seed), " "))
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
	v.sheet(l)
	return v
}

// What takes up a lot's sheet, in mm of 251 (letter) within the margins; text is set in about a hundred letters a line.
const (
	sheetRoom    = 170 // for kits and charts, where headline and counts take a line each
	chartRoom    = 47
	kitsRoom     = 16 // of the heading above the kits and the sum below them
	sheetLine    = 3.7
	mostOnSheet  = 10
	chartsAtMost = 3
)

// lines is how many lines a text takes.
func lines(text string, letters int) float64 {
	return math.Ceil(float64(utf8.RuneCountInString(text)) / float64(letters))
}

// sheet chooses what goes on the lot's sheet of paper: the gravest kits, and the charts of the characteristics that
// fail most, then of those that are not steady, then of those least capable.
func (v *lotView) sheet(l *delivery.Lot) {
	const letters = 100
	room := sheetRoom - sheetLine*(lines(v.Headline, letters)+lines(v.Counts, letters)+lines(v.Rework, letters))
	if len(v.Troubles) > 0 {
		room -= kitsRoom
	}
	gravest := slices.SortedStableFunc(slices.Values(l.Troubles), func(a, b *delivery.Trouble) int { return cmp.Compare(b.Verdict, a.Verdict) })
	for _, t := range gravest[:min(mostOnSheet, len(gravest))] {
		const found, work, name = 68, 40, 12
		one := newTrouble(t, words.FirstFinding(t))
		need := sheetLine*max(lines(one.Found, found), lines(one.Work, work), lines(one.Kit, name)) + 1
		if room-need < chartRoom {
			break
		}
		v.Gravest, room = append(v.Gravest, one), room-need
	}
	v.Rest = len(gravest) - len(v.Gravest)
	failing, ppk := map[string]int{}, map[string]float64{}
	for i, f := range l.Failing {
		if f.Fail > 0 {
			failing[f.Name] = i - len(l.Failing)
		}
	}
	for _, p := range l.Processes {
		switch {
		case len(p.Signals) > 0 || p.Drifts:
			ppk[p.Name] = math.Inf(-1)
		case p.Capability != nil && p.Capability.Ppk.Known:
			ppk[p.Name] = p.Capability.Ppk.Value
		default:
			ppk[p.Name] = math.Inf(1)
		}
	}
	v.Matter = slices.SortedStableFunc(slices.Values(v.Charts), func(a, b processChart) int {
		return cmp.Or(cmp.Compare(failing[a.Name], failing[b.Name]), cmp.Compare(ppk[a.Name], ppk[b.Name]))
	})
	v.Matter = v.Matter[:min(max(1, int(room/chartRoom)), chartsAtMost, len(v.Matter))]
}

// decisionLook is a sign that needs no colour, and the verdict whose colour goes with it.
func decisionLook(d delivery.Decision) (sign, colour string) {
	like := [...]fit.Verdict{delivery.Accept: fit.Pass, delivery.Reject: fit.Fail, delivery.Stopped: fit.Fail, delivery.Undecided: fit.Unsure}[d]
	if d == delivery.Stopped {
		return "■", words.Verdict(like)
	}
	return words.Sign(like), words.Verdict(like)
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
	Name, Unit, Mean, Process string
	N                         int
	Spreads                   [4]string // see words.Spreads
	Indices                   [4]index  // Cp, Cpk, Ppk, the product's
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
	row := processRow{Name: p.Name, Unit: words.ProcessUnit(p), N: p.N, Mean: words.Small(p.Mean), Spreads: words.Spreads(p)}
	if c := p.Capability; c != nil {
		row.Indices = [4]index{newIndex(c.Cp), newIndex(c.Cpk), newIndex(c.Ppk), newIndex(p.Product)}
		row.Process = words.Steadiness(p)
	}
	v.Processes = append(v.Processes, row)
	if p.Chart == nil {
		return
	}
	if !p.Steady() {
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

// Letters writes a draft to each lot's supplier as a page, a sheet of paper each, whose text can be changed before it
// is printed; gauges are those that the kits were read with, in words.
func Letters(w io.Writer, r *delivery.Report, gauges []string) error {
	p := &struct {
		shell
		Letters []*words.Letter
	}{shell: newShell(words.LettersTitle, "")}
	for _, l := range r.Lots {
		p.Letters = append(p.Letters, words.LetterTo(l, gauges))
	}
	return templates.ExecuteTemplate(w, "letters", p)
}
