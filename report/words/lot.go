package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
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
				names = append(names, briefLot(l))
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

// briefLot is the lot's name alone.
func briefLot(l *delivery.Lot) string {
	if l.Name == "" {
		return "(no name)"
	}
	return l.Name
}

// LotHeadline says what to do and why.
func LotHeadline(l *delivery.Lot) string {
	a := l.Acceptance
	text := LotName(l) + ": "
	switch a.Decision {
	case delivery.Accept:
		text += acceptWords(l)
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

func acceptWords(l *delivery.Lot) string {
	text := "the sample has no more bad kits than the plan allows."
	if len(l.Bad) > 0 {
		text += fmt.Sprintf(" Set aside %s: %s.", Amount(len(l.Bad), "kit that fails", "kits that fail"), AllNames(l.Bad))
	}
	return text
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
		parts = append(parts, "read again what is unsure or missing of "+AllNames(again))
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
	var order []string
	of := map[string][]string{}
	note := func(text, name string) {
		if of[text] == nil {
			order = append(order, text)
		}
		of[text] = append(of[text], name)
	}
	for _, p := range l.Processes {
		if p.Spread != nil && p.Spread.MostlyGauge {
			note("more than half of the variance is our own measuring: read again or with a finer gauge before blaming the supplier", p.Name)
		}
		if p.N == 1 {
			note("one kit tells nothing of a spread", p.Name)
			continue
		}
		for _, w := range p.Warnings {
			note(LotWarning(w), p.Name)
		}
	}
	for _, text := range order {
		names := of[text]
		if len(names) == len(l.Processes) && len(names) > 1 {
			names = []string{"every characteristic"}
		}
		lines = append(lines, strings.Join(names, ", ")+": "+text+".")
	}
	return lines
}

// Drawn names the sample; "" where none was drawn.
func Drawn(a *delivery.Acceptance, seed uint64) string {
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
	return fmt.Sprintf("Drawn with seed %d%s: %s.", seed, from, AllNames(a.Drawn))
}

// UnsureKits say how each unsure kit and each without a reading was counted.
func UnsureKits(a *delivery.Acceptance) (lines []string) {
	how := "not counted as good: they keep the decision open where they matter"
	if a.UnsureBad {
		how = "counted as bad"
	}
	for _, c := range a.ByClass {
		if len(c.UnsureKits) > 0 {
			lines = append(lines, fmt.Sprintf("Unsure in %s characteristics, %s: %s.", c.Class, how, AllNames(c.UnsureKits)))
		}
		if len(c.BlankKits) > 0 {
			lines = append(lines, fmt.Sprintf("Without a measured %s characteristic, not counted as good: %s.", c.Class, AllNames(c.BlankKits)))
		}
	}
	return lines
}

// Risks are the plan's risks in plain words.
func Risks(c *delivery.ClassAcceptance) string {
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
		c.Class, short(100*r.AQL), bad, ShortPercent(r.ProducersRisk), short(100*r.LimitingQuality), bad)
}

// CurvePoints are the chances of acceptance at which the operating curve is given.
var CurvePoints = []float64{0.99, 0.95, 0.75, 0.50, 0.25, 0.10, 0.05}

// CurveNote says what the operating curve is.
const CurveNote = "Operating curve: share of bad kits in the process at which so many of its lots are accepted."

// CurveRows has a line for each class that is inspected by a sample.
func CurveRows(a *delivery.Acceptance) [][]string {
	head := []string{"accepted"}
	for _, p := range CurvePoints {
		head = append(head, WholePercent(p))
	}
	rows := [][]string{head}
	for i := range a.ByClass {
		c := &a.ByClass[i]
		if c.AQL == 0 || !c.Judged || c.Plan.All {
			continue
		}
		row := []string{c.Class.String()}
		for _, p := range CurvePoints {
			row = append(row, ShortPercent(c.Plan.QualityAt(p)))
		}
		rows = append(rows, row)
	}
	return rows
}

// Signals tells what is odd in the order of a process, and which kits show it, each kit once a rule; "" for nothing.
func Signals(p *delivery.Process) string {
	var rules []string
	kits := map[string][]string{}
	seen := map[[2]string]bool{} // rule and kit
	for _, one := range p.Signals {
		rule := RunRule(one.Rule)
		if one.Rule == lot.LevelShift {
			rule = "the level goes " + upOrDown(one.Step, ProcessUnit(p)) + " from there on"
		}
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
		rules[i] = rule + ": " + FirstNames(kits[rule])
	}
	return strings.Join(rules, "; ")
}

// ProcessUnit is the unit of a process's values, mm or deg.
func ProcessUnit(p *delivery.Process) string { return DimensionUnit(p.Dimension) }

// UnsteadyHeading stands above the list of Unsteady, and NextLotOf before NextLot.
const (
	UnsteadyHeading = "Not steady in the order received (in brackets mean and limits; of steady deliveries one in twenty is accused of anything here):"
	NextLotOf       = "The next lot of this supplier: "
)

// Unsteady lists the processes that are not steady, with the kits that show it, and those that drift.
func Unsteady(l *delivery.Lot) (lines []string) {
	for _, p := range l.Processes {
		text := Signals(p)
		if p.Drifts {
			if text != "" {
				text = "; " + text
			}
			text = Drift(p) + text
		}
		if text != "" {
			lines = append(lines, fmt.Sprintf("%s (%s, from %s to %s %s): %s.",
				p.Name, Small(p.Chart.Centre), Small(p.Chart.Lower), Small(p.Chart.Upper), ProcessUnit(p), text))
		}
	}
	return lines
}

// upOrDown says by how much a value goes up or down.
func upOrDown(by float64, unit string) string {
	way := "up"
	if by < 0 {
		way = "down"
	}
	return way + " by " + Small(math.Abs(by)) + " " + unit
}

// Drift says how a process changes from kit to kit, and what that comes to over the lot.
func Drift(p *delivery.Process) string {
	value, u := Rounded(p.Trend.Slope, p.Trend.U/Coverage)
	return fmt.Sprintf("it drifts by %s ± %s %s a kit, %s over the %d kits", value, u, ProcessUnit(p), upOrDown(p.Trend.Last-p.Trend.First, ProcessUnit(p)), p.N)
}

// farIndex is an index beyond which its number says nothing more: limits at nine standard deviations
// are far from anything that normal values could show.
const farIndex = 3

// Index is an index with its confidence limits.
func Index(x lot.Index) string {
	if !x.Known {
		return "-"
	}
	switch {
	case x.Low > farIndex || x.Value > farIndex && !math.IsInf(x.Value, 1):
		return ">3"
	case math.IsInf(x.Low, 0) && math.IsInf(x.High, 0):
		return "?"
	case math.IsInf(x.Value, 1): // our own measuring accounts for all of the spread
		return ">" + Fixed(x.Low, 1)
	case math.IsInf(x.Value, -1):
		return "<" + Fixed(x.High, 1)
	case math.IsInf(x.High, 1):
		return Fixed(x.Value, 2) + " >" + Fixed(x.Low, 1)
	case math.IsInf(x.Low, -1):
		return Fixed(x.Value, 2) + " <" + Fixed(x.High, 1)
	}
	return Fixed(x.Value, 2) + " " + Fixed(x.Low, 1) + ".." + Fixed(x.High, 1)
}

// Tolerance is where 95 % of the process lie; "" where that is not known.
func Tolerance(t *lot.Interval) string {
	switch {
	case t == nil:
		return ""
	case math.IsInf(t.Low, -1):
		return "up to " + Small(t.High)
	case math.IsInf(t.High, 1):
		return Small(t.Low) + " and up"
	}
	return Small(t.Low) + " to " + Small(t.High)
}

// Outcome is what the inspection of a class came to.
func Outcome(c *delivery.ClassAcceptance) string {
	switch {
	case c.AQL == 0:
		return "not inspected"
	case !c.Judged:
		return "nothing measured"
	}
	switch c.Outcome {
	case sampling.Undecided:
		return "undecided"
	case sampling.Accepted:
		return "accepted"
	case sampling.AcceptedNormalNext:
		return "accepted, normal inspection next"
	case sampling.Rejected:
		return "rejected"
	}
	return "?"
}

// ByVariables says how a lot was judged by the values of one characteristic, what the plan rests on first.
func ByVariables(v *delivery.Variables, seed uint64) (lines []string) {
	p := v.Process
	if p == nil {
		return []string{v.Name + " was not measured, so nothing can be said by its values."}
	}
	if !p.Steady() {
		lines = append(lines, "The process is not steady: what the sample tells of it need not hold for the rest.")
	}
	if p.NotNormal {
		lines = append(lines, "The values do not lie as normal ones would (Shapiro-Wilk), so that this plan does not hold: count bad kits instead.")
	}
	plan := fmt.Sprintf("Plan (MIL-STD-414, standard deviation method): AQL %s %%, %s inspection, letter %s, %s", short(v.Plan.AQL), v.Plan.Severity, v.Plan.Letter, Amount(v.Plan.Sample, "kit", "kits"))
	both := !math.IsInf(p.Lower, 0) && !math.IsInf(p.Upper, 0)
	if !both {
		plan += fmt.Sprintf(", k = %s", Fixed(v.Plan.K, 2))
	}
	lines = append(lines, plan+fmt.Sprintf("; at most %s of the process may be estimated to lie outside.", ShortPercent(v.Plan.Most)), fmt.Sprintf("Drawn with seed %d: %s.", seed, AllNames(v.Drawn)))
	switch {
	case len(v.Blank) > 0:
		return append(lines, "undecided: read it first of "+AllNames(v.Blank)+".")
	case v.Outcome == sampling.Undecided:
		return append(lines, fmt.Sprintf("undecided: %d values are too few.", len(v.Drawn)))
	}
	found := fmt.Sprintf("mean %s, standard deviation %s %s", Small(v.Mean), Small(v.SD), ProcessUnit(p))
	for _, limit := range []struct {
		name     string
		at, from float64
	}{{"lower", p.Lower, v.Mean - p.Lower}, {"upper", p.Upper, p.Upper - v.Mean}} {
		if !math.IsInf(limit.at, 0) && v.SD > 0 {
			found += fmt.Sprintf(", %s standard deviations to the %s limit of %s", Fixed(limit.from/v.SD, 2), limit.name, Limit(limit.at))
		}
	}
	outcome := map[sampling.Outcome]string{sampling.Accepted: "accepted", sampling.Rejected: "rejected"}[v.Outcome]
	return append(lines, fmt.Sprintf("%s: %s; %s estimated outside.", outcome, found, ShortPercent(v.Below+v.Above)))
}

// ByVariablesHeading stands above it.
const ByVariablesHeading = "By the values of "

// Cause is why lots are inspected as they are; "" where nothing changed it.
func Cause(c sampling.Cause) string {
	switch c.Kind {
	case sampling.RejectedOften:
		return fmt.Sprintf("%d of the last %d lots were rejected", c.Rejected, c.Lots)
	case sampling.AcceptedInARow:
		return fmt.Sprintf("%d lots in a row were accepted", c.Lots)
	case sampling.RejectedTightened:
		return fmt.Sprintf("%d lots were rejected under tightened inspection", c.Rejected)
	case sampling.CauseCured:
		return "resumed after the cause was cured"
	case sampling.LotRejected:
		return "a lot was rejected"
	case sampling.BetweenNumbers:
		return "a lot had more than its acceptance number"
	case sampling.ReducedNotWanted:
		return "reduced inspection is no longer wanted"
	case sampling.AskedFor:
		return "as asked for"
	case sampling.NoCause:
	}
	return ""
}

// Severity is how strictly a lot is inspected, with the cause where there is one.
func Severity(a *delivery.Acceptance) string {
	text := a.Severity.String()
	if why := SeverityCause(a); why != "" {
		text += " (" + why + ")"
	}
	return text
}

// SeverityCause is why a lot is inspected as it is.
func SeverityCause(a *delivery.Acceptance) string { return severityCause(a.Severity, a.Why) }

// severityCause adds to the cause of reduced inspection what was not looked at.
func severityCause(s sampling.Severity, c sampling.Cause) string {
	text := Cause(c)
	if s == sampling.Reduced && c.Kind == sampling.AcceptedInARow {
		text += "; the limit number of Table VIII was not applied"
	}
	return text
}

// NextLot is how the supplier's next lot is to be inspected; "" when nothing changes.
func NextLot(a *delivery.Acceptance) string {
	switch {
	case a.Decision == delivery.Undecided && a.Why.Kind != sampling.AskedFor:
		return "this lot does not count toward the switching rules before it is decided"
	case a.Next == nil:
		return ""
	case a.Next.Stopped:
		return "no acceptance by sampling before the supplier has cured the cause, because " + Cause(a.Next.Cause)
	}
	return a.Next.Severity.String() + " inspection, because " + severityCause(a.Next.Severity, a.Next.Cause)
}

// RunRule describes a rule of the charts.
func RunRule(r lot.RunRule) string {
	switch r {
	case lot.BeyondLimits:
		return "beyond the chart's limits"
	case lot.LevelShift:
		return "the level moves"
	case lot.NoRunRule:
	}
	return "no rule"
}

// LotWarning is what the reader of a chart, of indices or of a gauge study has to know.
func LotWarning(w lot.Warning) string {
	switch w.Kind {
	case lot.OneValue:
		return fmt.Sprintf("one value has no spread: 2 or more give one, %d or more a useful one", lot.SettledIndices)
	case lot.AllEqual:
		return "all values are equal: read them with a finer gauge to see a spread"
	case lot.FewForLimits:
		return fmt.Sprintf("the limits rest on %d values: %d or more settle them", w.N, lot.SettledChart)
	case lot.FewForIndices:
		return fmt.Sprintf("the indices rest on %d values: %d or more are needed to speak of capability", w.N, lot.SettledIndices)
	case lot.NotSteady:
		return "the process is not steady: find the cause before the indices say anything of the next lot"
	case lot.NotNormal:
		return "the values do not lie as normal ones would (Shapiro-Wilk): look at them before you believe an index or the range of 95 % of kits"
	case lot.LimitsDiffer:
		return "its limits differ from kit to kit, so there are no indices"
	case lot.LimitsWithoutRoom:
		return "its limits leave no room, so there are no indices"
	case lot.OnePerson:
		return "one person read everything: a second shows whether persons differ"
	case lot.NoWarning:
	}
	return ""
}

// LotWarnings says all of them.
func LotWarnings(list []lot.Warning) []string {
	said := make([]string, len(list))
	for i, w := range list {
		said[i] = LotWarning(w)
	}
	return said
}

// ToDraw says which kits of a lot to draw, by their numbers from 1.
func ToDraw(d *delivery.Draw) string {
	if len(d.Kits) == d.Size {
		return fmt.Sprintf("Take %s: at this size the sample is the whole lot.", Amount(d.Size, "kit", "kits"))
	}
	numbers := make([]string, len(d.Kits))
	for i, at := range d.Kits {
		numbers[i] = strconv.Itoa(at + 1)
	}
	return fmt.Sprintf("Draw %d of %s (%s inspection, seed %d), counted in the order of their names: %s.",
		len(d.Kits), Amount(d.Size, "kit", "kits"), d.Severity, d.Seed, strings.Join(numbers, ", "))
}

// NextDraw says which kits of a next lot of as many to draw; "" where it is not to be accepted by sampling.
func NextDraw(a *delivery.Acceptance) string {
	if a.ToDraw == nil {
		return ""
	}
	return "If as many kits come with it: " + ToDraw(a.ToDraw)
}

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
