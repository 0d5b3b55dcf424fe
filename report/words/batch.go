package words

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
)

// Batch counts kits by what is to be said of them together. Its zero value is ready to use.
type Batch struct {
	kits, doubtful int // doubtful: with suspects
	tally          [fit.Fail + 1]int
	failing        map[fit.ID]int // kits in which a characteristic fails
	order          []fit.ID       // those that fail, in order of first appearance
	worst          *fit.Characteristic
	worstKit       string
	suspects       []string // the first few, in words
	open           []string // kits that are incomplete
	coarse         []string // characteristics that the gauges of some kit cannot judge, with what would do
	odd            []string // and those with readings that cannot be so
}

// Add counts a kit, which is called by that name.
func (b *Batch) Add(r *fit.Result, name string) {
	if b.failing == nil {
		b.failing = map[fit.ID]int{}
	}
	b.kits++
	b.tally[r.Verdict]++
	if c := Worst(r); c != nil && (b.worst == nil || Worse(c, b.worst)) {
		copied := *c // not the address of c, which would keep the whole kit
		b.worst, b.worstKit = &copied, name
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if c.Verdict == fit.TooCoarse {
			told := func(one string) bool { return strings.HasPrefix(one, c.ID.String()+" ") }
			if c.Advice.U > 0 && !slices.ContainsFunc(b.coarse, told) {
				b.coarse = append(b.coarse, fmt.Sprintf("%s (U of %s, and %s %s would do)", c.ID, short(fit.Coverage*c.StdUncertainty), short(fit.Coverage*c.Advice.U), Unit(c)))
			}
		}
		if c.Verdict != fit.Fail {
			continue
		}
		if b.failing[c.ID] == 0 {
			b.order = append(b.order, c.ID)
		}
		b.failing[c.ID]++
	}
	if r.Verdict == fit.Incomplete {
		b.open = append(b.open, name)
	}
	if r.Verdict == fit.Implausible || len(r.Nonsense) > 0 {
		b.odd = append(b.odd, name)
	}
	if len(r.Suspects) > 0 {
		b.doubtful++
		if len(b.suspects) < mostSuspects {
			b.suspects = append(b.suspects, rows(delivery.RowsOf(r.Suspects[:1]))+" of "+name)
		}
	}
}

// Headline counts the kits by their verdicts and names the worst.
func (b *Batch) Headline() string {
	text := Amount(b.kits, "kit", "kits") + ": " + Tally(b.tally) + "."
	if b.worst != nil && b.worst.Verdict != fit.Pass {
		text += " Worst: " + b.worstKit + ", " + Standing(b.worst) + "."
	}
	return text
}

// Tally counts by verdict: "6 pass, 2 fail".
func Tally(counts [fit.Fail + 1]int) string {
	var parts []string
	for _, v := range []fit.Verdict{fit.Pass, fit.Fail, fit.Implausible, fit.Unsure, fit.Incomplete, fit.NotJudged, fit.NotMeasured} {
		if n := counts[v]; n > 0 {
			parts = append(parts, strconv.Itoa(n)+" "+strings.ReplaceAll(Verdict(v), "-", " "))
		}
	}
	return strings.Join(parts, ", ")
}

// ToDo says what to do first.
func (b *Batch) ToDo() string {
	var parts []string
	if len(b.odd) > 0 {
		parts = append(parts, "Correct first what cannot have been read so: "+fewNames(b.odd)+".")
	}
	if b.doubtful > 0 {
		text := "Read again first: " + strings.Join(b.suspects, "; ")
		if more := b.doubtful - len(b.suspects); more > 0 {
			text += "; and in " + Amount(more, "more kit", "more kits")
		}
		parts = append(parts, text+".")
	}
	if len(b.order) > 0 {
		const most = 3
		order := slices.Clone(b.order)
		slices.SortStableFunc(order, func(x, y fit.ID) int { return cmp.Compare(b.failing[y], b.failing[x]) })
		var names []string
		for _, id := range order[:min(most, len(order))] {
			names = append(names, fmt.Sprintf("%s (%d)", id, b.failing[id]))
		}
		parts = append(parts, "What fails most: "+strings.Join(names, ", ")+".")
	}
	if b.tally[fit.Unsure] > 0 {
		parts = append(parts, "An unsure kit's own table says which reading would decide it.")
	}
	if len(b.open) > 0 {
		parts = append(parts, "Incomplete, for something that had to be measured was not: "+fewNames(b.open)+".")
	}
	if len(b.coarse) > 0 {
		parts = append(parts, "Gauges too coarse to judge "+Listed(b.coarse)+": read with a finer one, or more often.")
	}
	if len(parts) == 0 && b.tally[fit.Pass] == b.kits {
		return "Nothing to do before assembly."
	}
	return strings.Join(parts, " ")
}

// fewNames names the first few kits and counts the others.
func fewNames(names []string) string {
	const few = 3
	text := strings.Join(names[:min(few, len(names))], ", ")
	if more := len(names) - few; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// CheckedAlike is what is expected of kits that are judged as one delivery.
const CheckedAlike = "kits checked by one version on the same limits, costs and gauges"

// NoTerms is for kits of which nobody knows how they were checked, beside others of which it is known.
func NoTerms(source, other string) string {
	return fmt.Sprintf("%s does not tell by which version, limits and gauges its kits were checked, %s does: check them again by this version", source, other)
}

// OtherTerms says that kits of a source were checked otherwise than those before them.
func OtherTerms(source, before, what string) string {
	return fmt.Sprintf("%s was checked otherwise than %s, so that they are not one delivery: %s", source, before, what)
}

// What follows is what differs, here and in what came before.

// OtherVersion is for versions of the program.
func OtherVersion(here, before string) string { return fmt.Sprintf("by %s, not by %s", here, before) }

// OtherRule is for the rules of deciding.
func OtherRule(here, before string) string {
	return fmt.Sprintf("with --rule %s, not %s", here, before)
}

// OtherTable is for a table whose rows are not told one by one.
func OtherTable(name string) string { return "with another " + name }

// OtherLimit is for a row of limits.csv; nil where it is not there.
func OtherLimit(here, before *measure.Limit) string {
	say := func(l *measure.Limit) string {
		if l == nil {
			return "the built-in limit"
		}
		return strings.TrimSpace(Limits(&fit.Characteristic{Lower: l.Lower, Upper: l.Upper}) + " " + l.Class.String())
	}
	name := before
	if here != nil {
		name = here
	}
	return fmt.Sprintf("limits.csv gives %s %s, not %s", name.Characteristic, say(here), say(before))
}

// OtherCost is for a row of costs.csv; nil where it is not there.
func OtherCost(here, before *measure.Cost) string {
	say := func(c *measure.Cost) string {
		if c == nil {
			return "the built-in cost"
		}
		return fmt.Sprintf("%s minutes, a price of %s and %s mm at the worst", Limit(c.Minutes), Limit(c.Price), Limit(c.Worst))
	}
	name := before
	if here != nil {
		name = here
	}
	return fmt.Sprintf("costs.csv gives %s %s, not %s", name.Work, say(here), say(before))
}

// OtherGauge is for a gauge of the same name.
func OtherGauge(here, before *measure.Gauge) string {
	return fmt.Sprintf("its gauge is %s, not %s", GaugeLine(here), GaugeLine(before))
}

// OtherAim is for kits of one lot that are judged on nothing alike.
func OtherAim(here, before []string) string {
	say := func(aim []string) string {
		if len(aim) == 0 {
			return "everything"
		}
		return strings.Join(aim, ", ")
	}
	return fmt.Sprintf("kits of one lot are judged on %s, not on %s", say(here), say(before))
}

// Twice says which kits are there twice, and in which files.
func Twice(kits [][3]string) string {
	var list []string
	for _, k := range kits {
		list = append(list, fmt.Sprintf("%q in %s and in %s", k[0], k[1], k[2]))
	}
	const most = 5
	if more := len(list) - most; more > 0 {
		list = append(list[:most], fmt.Sprintf("and %d more", more))
	}
	return "kits are there twice, and would be judged twice: " + strings.Join(list, "; ")
}
