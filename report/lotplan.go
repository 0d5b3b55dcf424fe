package report

import (
	"fmt"
	"strconv"
	"strings"

	"neckfit/fit/delivery"
)

// inspection is how the lot was inspected, what that found and what it risks.
func (s *sheet) inspection(l *delivery.Lot, seed uint64) {
	a := l.Acceptance
	text := "Inspection: " + a.Severity.String()
	if a.Why != "" {
		text += " (" + a.Why + ")"
	}
	s.section(text + ".")
	s.lines = append(s.lines, indent(planRows(a))...)
	s.add("  ", drawnWords(a, seed))
	for _, line := range unsureWords(a) {
		s.add("  ", line)
	}
	for i := range a.ByClass {
		s.add("  ", riskWords(&a.ByClass[i]))
	}
	if rows := curveRows(a); len(rows) > 1 {
		s.add("  ", "Operating curve: share of bad kits in the process at which so many of its lots are accepted.")
		s.lines = append(s.lines, indent(grid("lrrrrrrr", rows))...)
	}
	if a.NextLot != "" {
		s.add("  ", "The next lot of this supplier: "+a.NextLot+".")
	}
}

// planRows has a line a class.
func planRows(a *delivery.Acceptance) []string {
	rows := [][]string{{"class", "AQL %", "sample", "accept", "reject", "bad", "open", "outcome"}}
	for i := range a.ByClass {
		c := &a.ByClass[i]
		if c.AQL == 0 {
			rows = append(rows, []string{c.Class.String(), "-", "-", "-", "-", "-", "-", outcomeWord(c)})
			continue
		}
		p := c.Plan
		rows = append(rows, []string{
			c.Class.String(), strconv.FormatFloat(c.AQL, 'g', -1, 64), strconv.Itoa(p.Sample), strconv.Itoa(p.Accept), strconv.Itoa(p.Reject),
			strconv.Itoa(c.Bad), strconv.Itoa(c.Open), outcomeWord(c),
		})
	}
	return grid("lrrrrrrl", rows)
}

// drawnWords names the sample; "" where none was drawn.
func drawnWords(a *delivery.Acceptance, seed uint64) string {
	switch {
	case len(a.Drawn) == 0:
		return ""
	case len(a.Drawn) == a.Size:
		return "The sample is the whole lot."
	}
	from := ""
	if a.FromRead {
		from = ", from the kits that were checked"
	}
	return fmt.Sprintf("Drawn with seed %d%s: %s.", seed, from, all(a.Drawn))
}

// unsureWords say how each unsure kit and each without a reading was counted.
func unsureWords(a *delivery.Acceptance) (lines []string) {
	how := "not counted as good: they keep the decision open where they matter"
	if a.UnsureBad {
		how = "counted as bad"
	}
	for _, c := range a.ByClass {
		if len(c.UnsureKits) > 0 {
			lines = append(lines, fmt.Sprintf("Unsure in %s characteristics, %s: %s.", c.Class, how, all(c.UnsureKits)))
		}
		if len(c.BlankKits) > 0 {
			lines = append(lines, fmt.Sprintf("Without a measured %s characteristic, not counted as good: %s.", c.Class, all(c.BlankKits)))
		}
	}
	return lines
}

// riskWords are the plan's risks in plain words.
func riskWords(c *delivery.ClassAcceptance) string {
	switch {
	case c.AQL == 0 || !c.Judged:
		return ""
	case c.Plan.All:
		return fmt.Sprintf("Risk, %s: the plan looks at every kit, so no bad kit escapes by not being drawn.", c.Class)
	}
	r := c.Plan.Risks()
	bad := "% bad kits"
	if c.Plan.CountsFaults() {
		bad = "faults in a hundred kits"
	}
	return fmt.Sprintf("Risk, %s: a process with just %s %s has %s of its lots rejected all the same; one with %s %s still has 1 lot in 10 accepted.",
		c.Class, short(100*r.AQL), bad, percentOf(r.ProducersRisk), short(100*r.LimitingQuality), bad)
}

// short writes a percentage without its sign to two significant digits or so.
func short(x float64) string { return strconv.FormatFloat(x, 'g', 2, 64) }

func percentOf(x float64) string { return short(100*x) + " %" }

// curveRows has a line for each class that is inspected by a sample.
func curveRows(a *delivery.Acceptance) [][]string {
	head := []string{"accepted"}
	for _, p := range curvePoints {
		head = append(head, wholePercent(p))
	}
	rows := [][]string{head}
	for i := range a.ByClass {
		c := &a.ByClass[i]
		if c.AQL == 0 || !c.Judged || c.Plan.All {
			continue
		}
		row := []string{c.Class.String()}
		for _, p := range curvePoints {
			row = append(row, percentOf(c.Plan.QualityAt(p)))
		}
		rows = append(rows, row)
	}
	return rows
}

// signals lists the run rules that were broken, and by which kits, each kit once a rule; the formats
// for programs have every breaking by itself.
func (s *sheet) signals(l *delivery.Lot) {
	var lines []string
	for _, p := range l.Processes {
		if words := signalWords(p.Signals); words != "" {
			lines = append(lines, fmt.Sprintf("%s (%s, from %s to %s, steps up to %s %s): %s.",
				p.Name, small(p.Chart.Centre), small(p.Chart.Lower), small(p.Chart.Upper), small(p.Chart.RangeTop), unitOf(p), words))
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

func signalWords(signals []delivery.Signal) string {
	var rules []string
	kits := map[string][]string{}
	seen := map[[2]string]bool{} // rule and kit
	for _, one := range signals {
		rule := one.Rule.String()
		if kits[rule] == nil {
			rules = append(rules, rule)
		}
		for _, k := range one.Kits {
			if key := [2]string{rule, k}; !seen[key] {
				seen[key] = true
				kits[rule] = append(kits[rule], k)
			}
		}
	}
	for i, rule := range rules {
		rules[i] = rule + ": " + inShort(kits[rule])
	}
	return strings.Join(rules, "; ")
}
