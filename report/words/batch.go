package words

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"neckfit/fit"
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
		if s := r.Suspects[0]; len(b.suspects) < mostSuspects {
			b.suspects = append(b.suspects, fmt.Sprintf("%s line %d of %s", Harmless(filepath.Base(s.Reading.Place.File)), s.Reading.Place.Line, name))
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
			parts = append(parts, fmt.Sprintf("%d %s", n, Verdict(v)))
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
