package report

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

// summary is what is kept of a batch for its list.
type summary struct {
	lines    []line
	tally    [fit.Fail + 1]int
	failing  map[fit.ID]int // kits in which a characteristic fails
	order    []fit.ID       // the characteristics in order of first appearance
	worst    *fit.Characteristic
	worstKit string
	suspects []string // the first few, in words
	open     []string // kits that pass without a critical characteristic
	doubtful int      // kits with suspects
}

// line is one kit.
type line struct {
	kit, what, value string
	verdict          fit.Verdict
}

func (b *summary) add(r *fit.Result) {
	l := line{kit: words.ShortName(r.Kit, len(b.lines)+1), what: words.Brief(r), verdict: r.Verdict}
	if c := words.Worst(r); c != nil {
		l.value = words.Value(c)
		if b.worst == nil || words.Worse(c, b.worst) {
			copied := *c // not the address of c, which would keep the whole kit
			b.worst, b.worstKit = &copied, l.kit
		}
	}
	b.lines = append(b.lines, l)
	b.tally[r.Verdict]++
	b.countFailing(r)
	if r.Verdict == fit.Pass && len(words.UnmeasuredCritical(r)) > 0 {
		b.open = append(b.open, l.kit)
	}
	if len(r.Suspects) > 0 {
		b.doubtful++
		if s := r.Suspects[0]; len(b.suspects) < words.MostSuspects {
			b.suspects = append(b.suspects, fmt.Sprintf("%s line %d of %s", words.Harmless(filepath.Base(s.Place.File)), s.Place.Line, l.kit))
		}
	}
}

func (b *summary) countFailing(r *fit.Result) {
	if b.failing == nil {
		b.failing = map[fit.ID]int{}
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if c.Verdict != fit.Fail {
			continue
		}
		if b.failing[c.ID] == 0 {
			b.order = append(b.order, c.ID)
		}
		b.failing[c.ID]++
	}
}

// write lays out the list: tally, what to do first, the kits, legend.
func (b *summary) write(colour bool) []string {
	s := &sheet{colour: colour}
	s.add("", b.headline())
	s.add("", b.todo())
	s.section("")
	b.kits(s)
	s.section("")
	s.add("", "Of each kit the characteristic that matters most. "+words.UncertaintyNote+" --kit NAME gives a kit's whole table.")
	return s.lines
}

func (b *summary) headline() string {
	text := fmt.Sprintf("%d kits: ", len(b.lines)) + b.counts() + "."
	if b.worst != nil && b.worst.Verdict != fit.Pass {
		text += " Worst: " + b.worstKit + ", " + words.Standing(b.worst) + "."
	}
	return text
}

func (b *summary) counts() string {
	var parts []string
	for _, v := range []fit.Verdict{fit.Pass, fit.Fail, fit.Unsure, fit.NotJudged, fit.NotMeasured} {
		if n := b.tally[v]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, words.Verdict(v)))
		}
	}
	return strings.Join(parts, ", ")
}

// todo says what to do first.
func (b *summary) todo() string {
	var parts []string
	if b.doubtful > 0 {
		parts = append(parts, "Read again first: "+strings.Join(b.suspects, "; ")+b.moreSuspects()+".")
	}
	if len(b.order) > 0 {
		parts = append(parts, "What fails most: "+strings.Join(b.commonest(), ", ")+".")
	}
	if b.tally[fit.Unsure] > 0 {
		parts = append(parts, "An unsure kit's own table says which reading would decide it.")
	}
	if len(b.open) > 0 {
		parts = append(parts, "Passing without something critical that was not measured: "+firstFew(b.open)+".")
	}
	if len(parts) == 0 && b.tally[fit.Pass] == len(b.lines) {
		return "Nothing to do before assembly."
	}
	return strings.Join(parts, " ")
}

// firstFew lists three names at most.
func firstFew(names []string) string {
	const few = 3
	if len(names) <= few {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:few], ", "), len(names)-few)
}

func (b *summary) moreSuspects() string {
	if more := b.doubtful - len(b.suspects); more > 0 {
		return fmt.Sprintf("; and in %d more kits", more)
	}
	return ""
}

// commonest names what fails in most kits, three at most.
func (b *summary) commonest() []string {
	const most = 3
	order := slices.Clone(b.order)
	slices.SortStableFunc(order, func(x, y fit.ID) int { return cmp.Compare(b.failing[y], b.failing[x]) })
	var names []string
	for _, id := range order[:min(most, len(order))] {
		names = append(names, fmt.Sprintf("%s (%d)", id, b.failing[id]))
	}
	return names
}

// kits adds the line of each kit.
func (b *summary) kits(s *sheet) {
	var kit, verdict, value, what int
	for _, l := range b.lines {
		kit, value, what = max(kit, words.Width(l.kit)), max(value, words.Width(l.value)), max(what, words.Width(l.what))
		verdict = max(verdict, words.Width(words.Verdict(l.verdict)))
	}
	const gaps = 3 * 2
	what = min(what, words.Columns-kit-verdict-value-gaps)
	for _, l := range b.lines {
		word := words.Verdict(l.verdict)
		text := words.Pad(l.kit, kit) + "  " + paint(s.colour, l.verdict, word) + words.Pad("", verdict-words.Width(word)) + "  " +
			words.Pad(words.Clip(l.what, what), what) + "  " + words.PadLeft(l.value, value)
		s.lines = append(s.lines, strings.TrimRight(text, " "))
	}
}
