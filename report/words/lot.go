package words

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
)

// LotNote says what the numbers of a delivery are.
const LotNote = "Intervals are for 95 %; 95 % of kits: a normal tolerance interval. Spread: standard deviation. Gauges: what of it is our own measuring; product: what is left. " +
	"Cp and Cpk rest on the spread from one kit to the next, Ppk on that of all kits; product is Ppk with our own measuring taken out of the spread, its limits widened by what all readings share. " +
	"AQL: the share of bad kits with which a supplier still has most of his lots accepted; no licence to deliver so many. Plans: MIL-STD-105E, single sampling."

// DeliveryHeadline counts the decisions and names the lots.
func DeliveryHeadline(r *delivery.Report) string {
	var parts []string
	for _, d := range []delivery.Decision{delivery.Accept, delivery.Reject, delivery.Undecided, delivery.Stopped} {
		var names []string
		for _, l := range r.Lots {
			if l.Acceptance.Decision == d {
				names = append(names, cmp.Or(l.Name, "(no name)"))
			}
		}
		if len(names) > 0 {
			parts = append(parts, d.String()+" "+FirstNames(names))
		}
	}
	return fmt.Sprintf("%d lots: ", len(r.Lots)) + strings.Join(parts, "; ") + "."
}

// LotName names a lot and, where it is known, whose it is.
func LotName(l *delivery.Lot) string {
	name := "the lot without a name"
	if l.Name != "" {
		name = Harmless(l.Name)
	}
	if l.Supplier != "" {
		name += " of " + Harmless(l.Supplier)
	}
	return name
}

// LotHeadline says what to do and why.
func LotHeadline(l *delivery.Lot) string {
	a := l.Acceptance
	text := LotName(l) + ": "
	if names := Doubtful(l.Doubtful); len(names) > 0 {
		text += "read again first what does not agree with other readings: " + fewNames(names) + ". As it was read: "
	}
	switch a.Decision {
	case delivery.Accept:
		text += "the sample has no more bad kits than the plan allows."
		if len(l.Bad) > 0 {
			text += fmt.Sprintf(" Set aside %s: %s.", Amount(len(l.Bad), "kit that fails", "kits that fail"), AllNames(l.Bad))
		}
		var open []string
		for _, t := range l.Troubles {
			if !slices.Contains(l.Bad, t.Kit) {
				open = append(open, t.Kit)
			}
		}
		if len(open) > 0 {
			text += " Read again before use " + openOf(l, open) + "."
		}
	case delivery.Reject:
		text += strings.Join(classReasons(a), "; ") + ". " + sortWords(l)
	case delivery.Stopped:
		text += "no acceptance by sampling before the supplier has cured the cause (" + Cause(a.Why) + "). " + sortWords(l)
	case delivery.Undecided:
		text += undecidedWords(l)
	}
	if splits := Splits(l); len(splits) > 0 {
		text += " First of all: " + strings.Join(splits, "; ") + "."
	}
	return text
}

// openOf says what is open of some kits.
func openOf(l *delivery.Lot, names []string) string {
	odd := 0
	for _, t := range l.Troubles {
		if t.Verdict == fit.Implausible && slices.Contains(names, t.Kit) {
			odd++
		}
	}
	what := "what is unsure, missing or cannot be so of "
	switch odd {
	case 0:
		what = "what is unsure or missing of "
	case len(names):
		what = "what cannot be so of "
	}
	return what + AllNames(names)
}

// Doubtful names kits with their rows that disagree.
func Doubtful(list []*delivery.Trouble) (names []string) {
	for _, t := range list {
		names = append(names, Harmless(t.Kit)+" ("+rows(t.Suspect)+")")
	}
	return names
}

// classReasons are the classes that rejected the lot.
func classReasons(a *delivery.Acceptance) []string {
	var list []string
	for i := range a.ByClass {
		if c := &a.ByClass[i]; Outcome(c) == "rejected" {
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
		parts = append(parts, fmt.Sprintf("check the kits drawn first: %s", AllNames(a.Unread)))
	}
	if a.Short > 0 {
		parts = append(parts, fmt.Sprintf("check %s more, drawn at random", Amount(a.Short, "kit", "kits")))
	}
	var again []string
	for _, c := range a.ByClass {
		if Outcome(&c) != "undecided" {
			continue
		}
		for _, n := range append(append([]string(nil), c.UnsureKits...), c.BlankKits...) {
			if !slices.Contains(again, n) {
				again = append(again, n)
			}
		}
	}
	if len(again) > 0 {
		parts = append(parts, "read again "+openOf(l, again))
	}
	if len(parts) == 0 {
		return "nothing that has a limit was measured, so nothing can be said of it."
	}
	return strings.Join(parts, "; ") + "."
}

// LotCounts are verdicts and yield.
func LotCounts(l *delivery.Lot) string {
	text := fmt.Sprintf("%d of %s checked", l.Kits, Amount(l.Acceptance.Size, "kit", "kits"))
	if tally := Tally(l.Verdicts); tally != "" {
		text += ": " + tally
	}
	if y := l.Yield; y.Known {
		share := yieldPercent(y.Share.Low)
		if y.Unsure > 0 {
			share = fmt.Sprintf("%s (open kits failing) to %s (passing)", share, yieldPercent(y.Share.High))
		}
		text += fmt.Sprintf(". First-pass yield %s; of the process behind it %s to %s", share, yieldPercent(y.Process.Low), yieldPercent(y.Process.High))
	}
	return text + "."
}

// Splits say which person or gauge reads otherwise than the rest, the plainest of each once.
func Splits(l *delivery.Lot) (lines []string) {
	said := map[string]bool{}
	for _, p := range l.Processes {
		s := p.Split
		if s == nil || said[s.Person+"|"+s.Gauge] {
			continue
		}
		said[s.Person+"|"+s.Gauge] = true
		who := "read with " + Harmless(s.Gauge)
		if s.Person != "" {
			who = "that " + Harmless(s.Person) + " read"
		}
		value, u := Rounded(math.Abs(s.Diff), s.U/Coverage)
		way := "higher"
		if s.Diff < 0 {
			way = "lower"
		}
		lines = append(lines, fmt.Sprintf("the %s %s lie %s ± %s %s %s in %s than the others: have a few of them read by somebody else with another gauge before the supplier is blamed",
			Amount(s.Kits, "kit", "kits"), who, value, u, ProcessUnit(p), way, p.Name))
	}
	return lines
}

// LotNotes groups the warnings: one that holds for many characteristics is said once.
func LotNotes(l *delivery.Lot) (lines []string) {
	var notes Groups[string, string]
	for _, p := range l.Processes {
		if p.Spread != nil && p.Spread.MostlyGauge {
			notes.Add("more than half of the variance is our own measuring: read again or with a finer gauge before blaming the supplier", p.Name)
		}
		if p.N == 1 {
			notes.Add("one kit tells nothing of a spread", p.Name)
			continue
		}
		for _, w := range p.Warnings {
			notes.Add(LotWarning(w), p.Name)
		}
	}
	for _, text := range notes.Keys {
		names := notes.Of[text]
		if len(names) == len(l.Processes) && len(names) > 1 {
			names = []string{"every characteristic"}
		}
		lines = append(lines, strings.Join(names, ", ")+": "+text+".")
	}
	return lines
}

// UnsteadyHeading stands above the list of Unsteady, and NextLotOf before NextLot.
const (
	UnsteadyHeading = "Not steady in the order received (in brackets mean and limits; of steady deliveries one in twenty is accused of anything here):"
	NextLotOf       = "The next lot of this supplier: "
)

// LotsAssumed are the names of the gauges that kits of a delivery were taken to be read with.
func LotsAssumed(r *delivery.Report) (names []string) {
	for _, l := range r.Lots {
		for _, id := range l.Assumed {
			if !slices.Contains(names, id) {
				names = append(names, id)
			}
		}
	}
	return names
}
