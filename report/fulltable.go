package report

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// sheet gathers the lines of one kit's whole report.
type sheet struct {
	lines  []string
	colour bool
}

func (s *sheet) add(first, text string) {
	if text != "" {
		s.lines = append(s.lines, words.Wrap(first, text)...)
	}
}

// section leaves a blank line before what follows.
func (s *sheet) section(heading string) {
	s.lines = append(s.lines, "")
	if heading != "" {
		s.lines = append(s.lines, heading)
	}
}

// full is the whole report of one kit: first what to do and what matters most, then the table, and
// what it rests on below.
func full(r *fit.Result, colour bool) []string {
	s := &sheet{colour: colour}
	s.add("", words.ReadAgain(r.Suspects))
	s.head(r)
	s.add("", words.Adjusted(r))
	sources := s.table(r)
	s.missing(r)
	if text := words.Swing(r); text != "" {
		s.section("")
		s.add("", text)
	}
	s.suspects(r)
	s.notes("To decide what else is unsure:", r, adviceBut(words.Worst(r)))
	s.notes("Where there was a choice:", r, func(c *fit.Characteristic) string { return c.Basis })
	s.warnings(r)
	s.legend(sources)
	s.cautions(r)
	return s.lines
}

// adviceBut gives the advice of all but the characteristic that the headline has dealt with.
func adviceBut(said *fit.Characteristic) func(*fit.Characteristic) string {
	return func(c *fit.Characteristic) string {
		if c == said {
			return ""
		}
		return c.Advice
	}
}

// head is the kit's name, its verdict and the headline. The colour goes on when the width is known.
func (s *sheet) head(r *fit.Result) {
	word := words.Verdict(r.Verdict)
	at := len(s.lines)
	s.add(word+"  ", words.Harmless(r.Kit)+": "+words.Headline(r))
	s.lines[at] = paint(s.colour, r.Verdict, word) + strings.TrimPrefix(s.lines[at], word)
}

// row is a line of the table before it is laid out.
type row struct {
	name, value, u, unit, limits, inside, verdict, source string
	painted                                               fit.Verdict
}

// table lays out what was measured, critical characteristics first, and gives the sources of the
// limits in the order of their letters.
func (s *sheet) table(r *fit.Result) []string {
	var sources []string
	groups := map[measure.Class][]row{}
	var free []row // without a limit
	all := []row{{name: "characteristic", value: "value", u: "U", limits: "limits", inside: "inside", verdict: "verdict"}}
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; words.Measured(c) {
			line := rowFor(c)
			if words.Judged(c) {
				line.source, sources = letterOf(c.LimitSource, sources)
				groups[c.Class] = append(groups[c.Class], line)
			} else {
				free = append(free, line)
			}
			all = append(all, line)
		}
	}
	if len(all) == 1 {
		return nil
	}
	l := layoutFor(all)
	s.section(l.write(all[0], false))
	for _, class := range []measure.Class{measure.Critical, measure.Major, measure.Minor, measure.NoClass} {
		s.group(words.Class(class), groups[class], l)
	}
	s.group("without a limit", free, l)
	return sources
}

// group adds the rows of a group below its heading.
func (s *sheet) group(heading string, rows []row, l layout) {
	if len(rows) > 0 {
		s.lines = append(s.lines, heading)
	}
	for _, line := range rows {
		s.lines = append(s.lines, l.write(line, s.colour))
	}
}

func rowFor(c *fit.Characteristic) row {
	line := row{name: "  " + c.ID.String(), unit: words.Unit(c), painted: c.Verdict}
	line.value, line.u = words.Rounded(c.Value, c.StdUncertainty)
	if words.Judged(c) {
		line.limits, line.inside, line.verdict = words.Limits(c), words.Percent(c.P), words.Verdict(c.Verdict)
	}
	return line
}

// letterOf finds the footnote letter of a source, a new one when it is new.
func letterOf(source string, sources []string) (string, []string) {
	if source == "" {
		return "", sources
	}
	for i, known := range sources {
		if known == source {
			return letter(i), sources
		}
	}
	return letter(len(sources)), append(sources, source)
}

// letter is a to z, then a1 to z1, and so on.
func letter(i int) string {
	const letters = 26
	text := string(rune('a' + i%letters))
	if i >= letters {
		text += fmt.Sprint(i / letters)
	}
	return text
}

// layout is the widths of the table's words.Columns.
type layout struct{ name, value, u, unit, limits, inside, verdict int }

// layoutFor makes the words.Columns as wide as they must be; the names give way when that is too wide.
func layoutFor(rows []row) layout {
	var l layout
	source := 0
	for _, r := range rows {
		l.name = max(l.name, words.Width(r.name))
		l.value, l.u, l.unit = max(l.value, words.Width(r.value)), max(l.u, words.Width(r.u)), max(l.unit, words.Width(r.unit))
		l.limits, l.inside = max(l.limits, words.Width(r.limits)), max(l.inside, words.Width(r.inside))
		l.verdict, source = max(l.verdict, words.Width(r.verdict)), max(source, words.Width(r.source))
	}
	const gaps = 2 + 3 + 1 + 2 + 2 + 2 + 1
	others := l.value + l.u + l.unit + l.limits + l.inside + l.verdict + source + gaps
	l.name = min(l.name, words.Columns-others)
	return l
}

func (l layout) write(r row, colour bool) string {
	line := words.Pad(words.Clip(r.name, l.name), l.name) + "  " + words.PadLeft(r.value, l.value) + " ± " + words.Pad(r.u, l.u) + " " +
		words.Pad(r.unit, l.unit) + "  " + words.Pad(r.limits, l.limits) + "  " + words.PadLeft(r.inside, l.inside) + "  "
	line += paint(colour, r.painted, r.verdict)
	if r.source != "" {
		line += strings.Repeat(" ", max(0, l.verdict-words.Width(r.verdict))+1) + r.source
	}
	return strings.TrimRight(line, " ")
}
