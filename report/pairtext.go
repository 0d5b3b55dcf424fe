package report

import (
	"strings"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/report/words"
)

// pairText says first how many pairs need nothing, then what the match saves, then a line a pair.
func pairText(m *pair.Match) []string {
	s := &sheet{}
	s.add("", words.PairHeadline(m))
	s.add("", words.PairSaving(m))
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
	s.add("", words.CommonBridge(m))
	s.add("", words.PairNote)
	if m.Work > 0 {
		s.cautions(&fit.Result{Characteristics: []fit.Characteristic{{Verdict: fit.Fail}}}) // some pair is to be mended
	}
	return s.lines
}

func pairRows(m *pair.Match) []string {
	rows := [][]string{{"neck", "body", "verdict", "minutes", "what to do"}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		rows = append(rows, []string{
			words.ShortName(p.Neck, i+1), words.ShortName(p.Body, i+1), words.Verdict(p.Result.Verdict), words.Fixed(p.Price.Minutes, 0), words.PairAdvice(p),
		})
	}
	return words.Grid("lllrl", rows)
}

// lone lists parts that are left over.
func (s *sheet) lone(heading string, parts []pair.Lone) {
	if len(parts) == 0 {
		return
	}
	s.section(heading)
	var spare []string
	for i, l := range parts {
		if len(l.Why) == 0 {
			spare = append(spare, words.ShortName(l.Name, i+1))
			continue
		}
		s.add("  - ", words.ShortName(l.Name, i+1)+": "+words.WhyLone(l))
	}
	if len(spare) > 0 {
		s.add("  - ", "one too many: "+strings.Join(spare, ", "))
	}
}
