package report

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/pair"
)

// pairText says first how many pairs need nothing, then what the match saves, then a line a pair.
func pairText(m *pair.Match) []string {
	s := &sheet{}
	s.add("", pairHeadline(m))
	s.add("", pairSaving(m))
	if len(m.Pairs) > 0 {
		s.section("")
		s.lines = append(s.lines, pairRows(m)...)
	}
	s.lone("Necks left over:", m.LoneNecks)
	s.lone("Bodies left over:", m.LoneBodies)
	if len(m.Pairs) == 0 {
		return s.lines
	}
	s.section("")
	s.add("", bridgeWords(m))
	s.add("", pairNote)
	if m.Work > 0 {
		s.cautions(&fit.Result{Characteristics: []fit.Characteristic{{Verdict: fit.Fail}}}) // some pair is to be mended
	}
	return s.lines
}

// pairNote says what the numbers of a match are.
const pairNote = "Minutes are of bench work, as costs.csv or common practice has them, with 10 for each mm beyond a limit and up to 15 for " +
	"a value so near one that it is to be read again. Values: of each pair the characteristic that matters most. " + uncertaintyNote

// bridgeWords name the common bridge; "" for none.
func bridgeWords(m *pair.Match) string {
	if m.Bridge == "" {
		return ""
	}
	return fmt.Sprintf("The bridge %s stands for every body without one of its own.", harmless(m.Bridge))
}

func pairHeadline(m *pair.Match) string {
	if len(m.Pairs) == 0 {
		return fmt.Sprintf("No pair can be made of %s and %s.", amount(m.Necks, "neck", "necks"), amount(m.Bodies, "body", "bodies"))
	}
	text := fmt.Sprintf("%d of %s %s no work", m.Ready, amount(len(m.Pairs), "pair", "pairs"), needs(m.Ready))
	if m.Work > 0 {
		text += fmt.Sprintf(", %d %s work", m.Work, wants(m.Work))
	}
	if m.Doubt > 0 {
		text += fmt.Sprintf(", %d %s another reading", m.Doubt, wants(m.Doubt))
	}
	if lone := len(m.LoneNecks) + len(m.LoneBodies); lone > 0 {
		text += fmt.Sprintf("; %s left over", amount(lone, "part is", "parts are"))
	}
	return text + fmt.Sprintf(". In all %s.", duration(m.Minutes))
}

func needs(n int) string {
	if n == 1 {
		return "needs"
	}
	return "need"
}

func wants(n int) string {
	if n == 1 {
		return "wants"
	}
	return "want"
}

// amount is a number with its noun.
func amount(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// duration writes minutes for people.
func duration(minutes float64) string {
	m := int(math.Round(minutes))
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// pairSaving compares the match with chance.
func pairSaving(m *pair.Match) string {
	if len(m.Pairs) == 0 {
		return ""
	}
	text := fmt.Sprintf("Matched by chance, the same parts would take %s on average", duration(m.Random.Minutes))
	if m.Random.Impossible > 0 {
		text += fmt.Sprintf(" and leave %s that cannot be made", amountOf(m.Random.Impossible, "pair", "pairs"))
	}
	return text + "."
}

// amountOf is an average number with its noun.
func amountOf(x float64, one, many string) string {
	text := fixed(x, 1)
	if text == "1.0" {
		return text + " " + one
	}
	return text + " " + many
}

func pairRows(m *pair.Match) []string {
	rows := [][]string{{"neck", "body", "verdict", "minutes", "what to do"}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		rows = append(rows, []string{
			shortName(p.Neck, i+1), shortName(p.Body, i+1), verdictWord(p.Result.Verdict), fixed(p.Price.Minutes, 0), pairAdvice(p),
		})
	}
	return grid("lllrl", rows)
}

// pairAdvice is what to do with a pair and what it is about.
func pairAdvice(p *pair.Pair) string {
	text := p.Price.Actions.String()
	switch {
	case p.Ready():
		return "leave"
	case p.Plan != nil:
		text = fmt.Sprintf("%s (%s, passes with %s)", p.Plan.Brief(), duration(p.Plan.Minutes), percent(p.Plan.P))
	case p.Price.Actions == 0:
		text = pair.Read.String()
	}
	if c := worst(p.Result); c != nil && c.Verdict != fit.Pass {
		text += ": " + c.ID.String() + " " + valueWords(c)
	}
	return text
}

// lone lists parts that are left over.
func (s *sheet) lone(heading string, parts []pair.Lone) {
	if len(parts) == 0 {
		return
	}
	s.section(heading)
	var spare []string
	for i, l := range parts {
		if l.Why == "" {
			spare = append(spare, shortName(l.Name, i+1))
			continue
		}
		s.add("  - ", shortName(l.Name, i+1)+": "+l.Why)
	}
	if len(spare) > 0 {
		s.add("  - ", "one too many: "+strings.Join(spare, ", "))
	}
}
