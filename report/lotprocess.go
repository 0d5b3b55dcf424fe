package report

import (
	"fmt"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// processes sets out mean, spread and tolerance interval, then the indices.
func (s *sheet) processes(l *delivery.Lot) {
	if len(l.Processes) == 0 {
		return
	}
	rows := [][]string{{"characteristic", "kits", "mean", "spread", "gauges", "product", "95 % of kits", "unit"}}
	indices := [][]string{{"capability", "Cp", "Cpk", "Pp", "Ppk"}}
	for _, p := range l.Processes {
		rows = append(rows, processRow(p))
		if c := p.Capability; c != nil && c.Ppk.Known {
			indices = append(indices, []string{p.Name, words.Index(c.Cp), words.Index(c.Cpk), words.Index(c.Pp), words.Index(c.Ppk)})
		}
	}
	s.section("")
	s.lines = append(s.lines, words.Indent(words.Grid("lrrrrrrl", rows))...)
	if len(indices) > 1 {
		s.section("")
		s.lines = append(s.lines, words.Indent(words.Grid("lrrrr", indices))...)
	}
}

func processRow(p *delivery.Process) []string {
	row := []string{p.Name, fmt.Sprint(p.N), words.Small(p.Mean), "", "", "", "", words.ProcessUnit(p)}
	if p.Spread == nil {
		return row
	}
	row[3], row[4], row[5] = words.Small(p.SD), words.Small(p.Spread.Measurement), words.Small(p.Spread.Product)
	row[6] = words.Tolerance(p.Tolerance)
	return row
}

// lotNotes adds the warnings.
func (s *sheet) lotNotes(l *delivery.Lot) {
	lines := words.LotNotes(l)
	if len(lines) == 0 {
		return
	}
	s.section("Notes:")
	for _, line := range lines {
		s.add("  - ", line)
	}
}
