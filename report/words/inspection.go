package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"neckfit/fit/delivery"
	"neckfit/fit/lot/sampling"
)

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

// UnsureKits say how each open kit and each without a reading was counted.
func UnsureKits(a *delivery.Acceptance) (lines []string) {
	how := "not counted as good: they keep the decision open where they matter"
	if a.UnsureBad {
		how = "counted as bad"
	}
	for _, c := range a.ByClass {
		if len(c.UnsureKits) > 0 {
			lines = append(lines, fmt.Sprintf("Open in %s characteristics, unsure or not all measured, %s: %s.", c.Class, how, AllNames(c.UnsureKits)))
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

// Outcome is what the inspection of a class came to.
func Outcome(c *delivery.ClassAcceptance) string {
	switch {
	case c.AQL == 0:
		return "not inspected"
	case !c.Judged:
		return "nothing measured"
	}
	return [...]string{
		sampling.Undecided: "undecided", sampling.Accepted: "accepted", sampling.AcceptedNormalNext: "accepted, normal inspection next", sampling.Rejected: "rejected",
	}[c.Outcome]
}

// Counted are the AQL of a class in percent, sample, acceptance and rejection number, and what was found bad and open; blank of one
// that is not inspected.
func Counted(c *delivery.ClassAcceptance, blank string) [6]string {
	if c.AQL == 0 {
		return [6]string{blank, blank, blank, blank, blank, blank}
	}
	cells := [6]string{strconv.FormatFloat(c.AQL, 'g', -1, 64)}
	for i, n := range []int{c.Plan.Sample, c.Plan.Accept, c.Plan.Reject, c.Bad, c.Open} {
		cells[1+i] = strconv.Itoa(n)
	}
	return cells
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
	return [...]string{
		sampling.NoCause: "", sampling.CauseCured: "resumed after the cause was cured", sampling.AskedFor: "as asked for",
		sampling.RejectedOften:     fmt.Sprintf("%d of the last %d lots were rejected", c.Rejected, c.Lots),
		sampling.AcceptedInARow:    fmt.Sprintf("%d lots in a row were accepted", c.Lots),
		sampling.RejectedTightened: fmt.Sprintf("%d lots were rejected under tightened inspection", c.Rejected),
		sampling.LotRejected:       "a lot was rejected",
		sampling.BetweenNumbers:    "a lot had more than its acceptance number",
		sampling.ReducedNotWanted:  "reduced inspection is no longer wanted",
	}[c.Kind]
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
	return "Of a next lot of as many kits: " + ToDraw(a.ToDraw)
}
