package report

import (
	"fmt"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// kit is the whole report of one kit: first what to do and what matters most, then the table, and
// what it rests on below.
func (t *text) kit(r *fit.Result) {
	t.add("", words.ReadAgain(r))
	t.add(t.verdict(r.Verdict)+"  ", words.Harmless(r.Kit)+": "+words.Headline(r))
	t.add("", words.First(r))
	t.opened()
	t.add("", words.Adjusted(r))
	sources := t.characteristics(r)
	t.missing(r)
	if swing := words.Swing(r); swing != "" {
		t.section("")
		t.add("", swing)
	}
	if len(r.Suspects) > 0 {
		t.section(words.SuspectsHeading)
	}
	for i := range r.Suspects {
		t.add("  ", words.Suspect(&r.Suspects[i]))
	}
	worst := words.Worst(r)
	t.notes(words.AdviceHeading, r, func(c *fit.Characteristic) string {
		if c == worst {
			return "" // the headline has said it
		}
		return words.Advice(c)
	})
	t.notes(words.CoarseHeading, r, words.TooCoarse)
	t.notes("Where there was a choice:", r, func(c *fit.Characteristic) string { return words.Basis(c.Basis) })
	if len(r.Warnings)+len(r.Nonsense) > 0 {
		t.section("Warnings:")
	}
	for i, w := range words.Warnings(r) {
		t.add(fmt.Sprintf("  [%d] ", i+1), words.Harmless(w))
	}
	t.section("")
	t.add("", words.KitNote)
	for i, source := range sources {
		t.add("  "+letter(i)+"  ", words.Harmless(source))
	}
	if words.Mending(r) {
		t.cautions()
	}
}

// characteristics is the table of what was measured, critical characteristics first; it gives the
// sources of the limits in the order of their letters.
func (t *text) characteristics(r *fit.Result) (sources []string) {
	groups := map[string][]*fit.Characteristic{}
	var value, u, verdict int // widths
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if !c.Measured() {
			continue
		}
		group := withoutLimit
		if words.Judged(c) {
			group = words.Class(c.Class)
			verdict = max(verdict, words.Width(words.Verdict(c.Verdict)))
		}
		groups[group] = append(groups[group], c)
		v, e := words.Rounded(c.Value, c.StdUncertainty)
		value, u = max(value, words.Width(v)), max(u, words.Width(e))
	}
	if len(groups) == 0 {
		return nil
	}
	rows := [][]string{{"characteristic", words.PadLeft("value", value) + " ± U", "which way", "verdict", "inside", "limits"}}
	for _, class := range []measure.Class{measure.Critical, measure.Major, measure.Minor, measure.NoClass} {
		group := groups[words.Class(class)]
		if len(group) > 0 {
			rows = append(rows, []string{words.Class(class)})
		}
		for _, c := range group {
			word := words.Pad(t.verdict(c.Verdict), verdict)
			if source := words.LimitSource(c.LimitSource); source != "" {
				if !slices.Contains(sources, source) {
					sources = append(sources, source)
				}
				word += " " + letter(slices.Index(sources, source))
			}
			word = strings.TrimRight(word, " ")
			rows = append(rows, append(valueCells(c, value, u), word, words.Percent(c.P), words.Limits(c)))
		}
	}
	if len(groups[withoutLimit]) > 0 {
		rows = append(rows, []string{withoutLimit})
	}
	for _, c := range groups[withoutLimit] {
		rows = append(rows, append(valueCells(c, value, u), "", "", ""))
	}
	for words.TableWidth(rows) > t.Columns && words.TableWidth(cut(rows, verdictColumn+1)) <= t.Columns {
		rows = cut(rows, len(rows[0])-1) // rather than to make an entry of each row
	}
	t.section("")
	t.table(0, "llllrl"[:len(rows[0])], rows)
	return sources
}

// verdictColumn is the last column that a table must have; what follows may go where there is no room.
const verdictColumn = 3

// cut leaves so many columns of a table.
func cut(rows [][]string, columns int) [][]string {
	left := make([][]string, len(rows))
	for i, row := range rows {
		left[i] = row[:min(columns, len(row))]
	}
	return left
}

const withoutLimit = "without a limit"

// valueCells are the name of a characteristic and its value, the signs ± below each other.
func valueCells(c *fit.Characteristic, value, u int) []string {
	v, e := words.Rounded(c.Value, c.StdUncertainty)
	return []string{"  " + c.ID.String(), words.PadLeft(v, value) + " ± " + words.Pad(e, u) + " " + words.Unit(c), words.Which(c)}
}

// letter is a footnote's: a to z, then a1 to z1, and so on.
func letter(i int) string {
	const letters = 26
	text := string(rune('a' + i%letters))
	if i >= letters {
		text += fmt.Sprint(i / letters)
	}
	return text
}

// missing groups what was not measured by the readings that would give it; what weighs little is only named.
func (t *text) missing(r *fit.Result) {
	var others []string
	cures := grouped(r, func(c *fit.Characteristic) (string, bool) {
		if !c.Measured() && !words.Weighty(c) {
			others = append(others, c.ID.String())
		}
		return words.Missing(c.Missing), !c.Measured() && words.Weighty(c)
	})
	if len(cures.Keys) > 0 {
		t.section(words.MissingHeading)
	}
	for _, cure := range cures.Keys {
		t.add("  ", strings.Join(cures.Of[cure], ", "))
		if cure != "" {
			t.add("      needs: ", words.Harmless(cure))
		}
	}
	if text := words.OtherMissing(others); text != "" {
		t.section("")
		t.add("", text)
	}
}

// notes lists one text of each measured characteristic that has it.
func (t *text) notes(heading string, r *fit.Result, of func(*fit.Characteristic) string) {
	texts := grouped(r, func(c *fit.Characteristic) (string, bool) {
		note := of(c)
		return note, note != "" && c.Measured()
	})
	if len(texts.Keys) > 0 {
		t.section(heading)
	}
	for _, note := range texts.Keys {
		t.add("  ", strings.Join(texts.Of[note], ", ")+": "+words.Harmless(note))
	}
}

// grouped gives the texts of some characteristics with the names of those that have each.
func grouped(r *fit.Result, of func(*fit.Characteristic) (text string, there bool)) (names words.Groups[string, string]) {
	for i := range r.Characteristics {
		if text, there := of(&r.Characteristics[i]); there {
			names.Add(text, r.Characteristics[i].ID.String())
		}
	}
	return names
}
