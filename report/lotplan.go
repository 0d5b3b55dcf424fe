package report

import (
	"fmt"
	"strconv"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// inspection is how the lot was inspected, what that found and what it risks.
func (s *sheet) inspection(l *delivery.Lot, seed uint64) {
	a := l.Acceptance
	s.section("Inspection: " + words.Severity(a) + ".")
	s.lines = append(s.lines, words.Indent(planRows(a))...)
	s.add("  ", words.Drawn(a, seed))
	for _, line := range words.UnsureKits(a) {
		s.add("  ", line)
	}
	for i := range a.ByClass {
		s.add("  ", words.Risks(&a.ByClass[i]))
	}
	if rows := words.CurveRows(a); len(rows) > 1 {
		s.add("  ", "Operating curve: share of bad kits in the process at which so many of its lots are accepted.")
		s.lines = append(s.lines, words.Indent(words.Grid("lrrrrrrr", rows))...)
	}
	if next := words.NextLot(a); next != "" {
		s.add("  ", "The next lot of this supplier: "+next+".")
	}
}

// planRows has a line a class.
func planRows(a *delivery.Acceptance) []string {
	rows := [][]string{{"class", "AQL %", "sample", "accept", "reject", "bad", "open", "outcome"}}
	for i := range a.ByClass {
		c := &a.ByClass[i]
		if c.AQL == 0 {
			rows = append(rows, []string{c.Class.String(), "-", "-", "-", "-", "-", "-", words.Outcome(c)})
			continue
		}
		p := c.Plan
		rows = append(rows, []string{
			c.Class.String(), strconv.FormatFloat(c.AQL, 'g', -1, 64), strconv.Itoa(p.Sample), strconv.Itoa(p.Accept), strconv.Itoa(p.Reject),
			strconv.Itoa(c.Bad), strconv.Itoa(c.Open), words.Outcome(c),
		})
	}
	return words.Grid("lrrrrrrl", rows)
}

// signals lists the run rules that were broken, and by which kits, each kit once a rule; the formats
// for programs have every breaking by itself.
func (s *sheet) signals(l *delivery.Lot) {
	var lines []string
	for _, p := range l.Processes {
		if text := words.Signals(p.Signals); text != "" {
			lines = append(lines, fmt.Sprintf("%s (%s, from %s to %s, steps up to %s %s): %s.",
				p.Name, words.Small(p.Chart.Centre), words.Small(p.Chart.Lower), words.Small(p.Chart.Upper), words.Small(p.Chart.RangeTop), words.ProcessUnit(p), text))
		}
	}
	if len(lines) == 0 {
		return
	}
	s.section("Not steady in the order received (individuals and moving ranges; in brackets centre and limits):")
	for _, line := range lines {
		s.add("  - ", line)
	}
}
