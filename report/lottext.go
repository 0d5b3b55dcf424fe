package report

import (
	"fmt"
	"strings"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// lotText says first what to do with each lot, then lot by lot why, then what the supplier's
// process is worth.
func lotText(r *delivery.Report) []string {
	s := &sheet{}
	if len(r.Lots) > 1 {
		s.add("", words.DeliveryHeadline(r))
		s.section("")
	}
	for i, l := range r.Lots {
		if i > 0 {
			s.section("")
			s.lines = append(s.lines, strings.Repeat("-", words.Columns))
		}
		s.lot(l, r.Seed)
	}
	s.section("")
	s.add("", words.LotNote)
	return s.lines
}

func (s *sheet) lot(l *delivery.Lot, seed uint64) {
	s.add(l.Acceptance.Decision.String()+"  ", words.LotHeadline(l))
	s.add("", words.LotCounts(l))
	s.inspection(l, seed)
	s.pareto(l)
	s.processes(l)
	s.signals(l)
	s.lotNotes(l)
}

// pareto lists what fails most, by class.
func (s *sheet) pareto(l *delivery.Lot) {
	if len(l.Failing) == 0 {
		return
	}
	s.section("What fails most:")
	rows := [][]string{{"class", "characteristic", "fail", "unsure", ""}}
	fails := 0
	for _, f := range l.Failing {
		fails += f.Fail
	}
	for _, f := range l.Failing {
		share := ""
		if f.Fail > 0 {
			share = words.WholePercent(float64(f.Fail)/float64(fails)) + " of all failures"
		}
		rows = append(rows, []string{words.Class(f.Class), f.Name, fmt.Sprint(f.Fail), fmt.Sprint(f.Unsure), share})
	}
	s.lines = append(s.lines, words.Indent(words.Grid("llrrl", rows))...)
}
