package report

import (
	"fmt"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
)

// lotText says first what to do with each lot, then lot by lot why, then what the supplier's
// process is worth.
func lotText(r *delivery.Report) []string {
	s := &sheet{}
	if len(r.Lots) > 1 {
		s.add("", lotsHeadline(r))
		s.section("")
	}
	for i, l := range r.Lots {
		if i > 0 {
			s.section("")
			s.lines = append(s.lines, strings.Repeat("-", columns))
		}
		s.lot(l, r.Seed)
	}
	s.section("")
	s.add("", lotNote)
	return s.lines
}

// lotNote says what the numbers of a delivery are.
const lotNote = "Intervals are for 95 %; 95 % of kits: a normal tolerance interval. Cp and Cpk rest on the spread from one kit to the next, Pp and Ppk on that of all kits. " +
	"Spread: standard deviation. Gauges: what of it is our own measuring; product: what is left. Plans: MIL-STD-105E, single sampling."

// lotsHeadline counts the decisions and names the lots.
func lotsHeadline(r *delivery.Report) string {
	var parts []string
	for _, d := range []delivery.Decision{delivery.Accept, delivery.Reject, delivery.Undecided, delivery.Stopped} {
		var names []string
		for _, l := range r.Lots {
			if l.Acceptance.Decision == d {
				names = append(names, briefLot(l))
			}
		}
		if len(names) > 0 {
			parts = append(parts, d.String()+" "+inShort(names))
		}
	}
	return fmt.Sprintf("%d lots: ", len(r.Lots)) + strings.Join(parts, "; ") + "."
}

// lotName names a lot and, where it is known, whose it is.
func lotName(l *delivery.Lot) string {
	name := "the lot without a name"
	if l.Name != "" {
		name = harmless(l.Name)
	}
	if l.Supplier != "" {
		name += " of " + harmless(l.Supplier)
	}
	return name
}

// briefLot is the lot's name alone.
func briefLot(l *delivery.Lot) string {
	if l.Name == "" {
		return "(no name)"
	}
	return l.Name
}

// inShort lists the first few names.
func inShort(names []string) string {
	const most = 12
	shown := make([]string, 0, most)
	for i, n := range names[:min(most, len(names))] {
		shown = append(shown, shortName(n, i+1))
	}
	text := strings.Join(shown, ", ")
	if more := len(names) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// all lists names without leaving any out: somebody is to fetch these kits.
func all(names []string) string {
	shown := make([]string, len(names))
	for i, n := range names {
		shown[i] = harmless(n)
	}
	return strings.Join(shown, ", ")
}

func (s *sheet) lot(l *delivery.Lot, seed uint64) {
	s.add(l.Acceptance.Decision.String()+"  ", lotHeadline(l))
	s.add("", lotCounts(l))
	s.inspection(l, seed)
	s.pareto(l)
	s.processes(l)
	s.signals(l)
	s.lotNotes(l)
}

// lotHeadline says what to do and why.
func lotHeadline(l *delivery.Lot) string {
	a := l.Acceptance
	text := lotName(l) + ": "
	switch a.Decision {
	case delivery.Accept:
		return text + acceptWords(l)
	case delivery.Reject:
		return text + strings.Join(classReasons(a), "; ") + ". " + sortWords(l)
	case delivery.Stopped:
		return text + "no acceptance by sampling before the supplier has cured the cause (" + a.Why + "). " + sortWords(l)
	case delivery.Undecided:
	}
	return text + undecidedWords(l)
}

func acceptWords(l *delivery.Lot) string {
	text := "the sample has no more bad kits than the plan allows."
	if len(l.Bad) > 0 {
		text += fmt.Sprintf(" Set aside %s: %s.", amount(len(l.Bad), "kit that fails", "kits that fail"), all(l.Bad))
	}
	return text
}

// classReasons are the classes that rejected the lot.
func classReasons(a *delivery.Acceptance) []string {
	var list []string
	for i := range a.ByClass {
		if c := &a.ByClass[i]; outcomeWord(c) == "rejected" {
			list = append(list, fmt.Sprintf("%d bad for %s characteristics among %d, %d allowed", c.Bad, c.Class, c.Plan.Sample, c.Plan.Accept))
		}
	}
	return list
}

// sortWords says what sorting would come to.
func sortWords(l *delivery.Lot) string {
	good, doubt := l.Verdicts[fit.Pass], l.Kits-l.Verdicts[fit.Pass]-l.Verdicts[fit.Fail]
	known := fmt.Sprintf("%d pass, %d fail, %d open", good, l.Verdicts[fit.Fail], doubt)
	if rest := l.Acceptance.Size - l.Kits; rest > 0 {
		return fmt.Sprintf("Send it back, or sort it: of the kits checked %s; %d are still to be checked.", known, rest)
	}
	return fmt.Sprintf("Send it back, or sort it: every kit is checked, %s.", known)
}

func undecidedWords(l *delivery.Lot) string {
	a := l.Acceptance
	var parts []string
	if len(a.Unread) > 0 {
		parts = append(parts, fmt.Sprintf("check the kits drawn first: %s", all(a.Unread)))
	}
	if a.Short > 0 {
		parts = append(parts, fmt.Sprintf("check %s more, drawn at random", amount(a.Short, "kit", "kits")))
	}
	var again []string
	for _, c := range a.ByClass {
		if outcomeWord(&c) != "undecided" {
			continue
		}
		for _, n := range append(append([]string(nil), c.UnsureKits...), c.BlankKits...) {
			if !slices.Contains(again, n) {
				again = append(again, n)
			}
		}
	}
	if len(again) > 0 {
		parts = append(parts, "read again what is unsure or missing of "+all(again))
	}
	if len(parts) == 0 {
		return "nothing that has a limit was measured, so nothing can be said of it."
	}
	return strings.Join(parts, "; ") + "."
}

// lotCounts are verdicts and yield.
func lotCounts(l *delivery.Lot) string {
	var parts []string
	for _, v := range []fit.Verdict{fit.Pass, fit.Fail, fit.Unsure, fit.NotJudged, fit.NotMeasured} {
		if n := l.Verdicts[v]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, verdictWord(v)))
		}
	}
	text := fmt.Sprintf("%d of %s checked", l.Kits, amount(l.Acceptance.Size, "kit", "kits"))
	if len(parts) > 0 {
		text += ": " + strings.Join(parts, ", ")
	}
	if y := l.Yield; y.Known {
		share := yieldPercent(y.Share.Low)
		if y.Unsure > 0 {
			share = fmt.Sprintf("%s (unsure kits failing) to %s (passing)", share, yieldPercent(y.Share.High))
		}
		text += fmt.Sprintf(". First-pass yield %s; of the process behind it %s to %s", share, yieldPercent(y.Process.Low), yieldPercent(y.Process.High))
	}
	return text + "."
}

// yieldPercent shows nought and all only where they are exact.
func yieldPercent(x float64) string {
	text := wholePercent(x)
	if text == "0 %" && x > 0 || text == "100 %" && x < 1 {
		return percent(x)
	}
	return text
}

func wholePercent(x float64) string { return fixed(100*x, 0) + " %" }

// pareto lists what fails most, by class.
func (s *sheet) pareto(l *delivery.Lot) {
	if len(l.Failing) == 0 {
		return
	}
	s.section("What fails most:")
	rows := [][]string{{"class", "characteristic", "fail", "unsure", ""}}
	fails := 0
	for _, f := range l.Failing {
		fails += f.Fail
	}
	for _, f := range l.Failing {
		share := ""
		if f.Fail > 0 {
			share = wholePercent(float64(f.Fail)/float64(fails)) + " of all failures"
		}
		rows = append(rows, []string{classHeading(f.Class), f.Name, fmt.Sprint(f.Fail), fmt.Sprint(f.Unsure), share})
	}
	s.lines = append(s.lines, indent(grid("llrrl", rows))...)
}
