package report

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit/delivery"
	"neckfit/fit/lot"
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
			indices = append(indices, []string{p.Name, indexWords(c.Cp), indexWords(c.Cpk), indexWords(c.Pp), indexWords(c.Ppk)})
		}
	}
	s.section("")
	s.lines = append(s.lines, indent(grid("lrrrrrrl", rows))...)
	if len(indices) > 1 {
		s.section("")
		s.lines = append(s.lines, indent(grid("lrrrr", indices))...)
	}
}

func processRow(p *delivery.Process) []string {
	row := []string{p.Name, fmt.Sprint(p.N), small(p.Mean), "", "", "", "", unitOf(p)}
	if p.Spread == nil {
		return row
	}
	row[3], row[4], row[5] = small(p.SD), small(p.Spread.Measurement), small(p.Spread.Product)
	row[6] = toleranceWords(p.Tolerance)
	return row
}

// toleranceWords is where 95 % of the process lie; "" where that is not known.
func toleranceWords(t *lot.Interval) string {
	switch {
	case t == nil:
		return ""
	case math.IsInf(t.Low, -1):
		return "up to " + small(t.High)
	case math.IsInf(t.High, 1):
		return small(t.Low) + " and up"
	}
	return small(t.Low) + " to " + small(t.High)
}

// small writes a length or an angle to a thousandth, large ones to a hundredth.
func small(x float64) string {
	if math.Abs(x) >= 100 {
		return fixed(x, 2)
	}
	return fixed(x, 3)
}

// indexWords is an index with its confidence limits.
func indexWords(x lot.Index) string {
	if !x.Known {
		return "-"
	}
	return fixed(x.Value, 2) + " " + fixed(x.Low, 1) + ".." + fixed(x.High, 1)
}

// lotNotes adds the warnings.
func (s *sheet) lotNotes(l *delivery.Lot) {
	lines := noteWords(l)
	if len(lines) == 0 {
		return
	}
	s.section("Notes:")
	for _, line := range lines {
		s.add("  - ", line)
	}
}

// noteWords groups the warnings: one that holds for many characteristics is said once.
func noteWords(l *delivery.Lot) (lines []string) {
	var order []string
	of := map[string][]string{}
	note := func(text, name string) {
		if of[text] == nil {
			order = append(order, text)
		}
		of[text] = append(of[text], name)
	}
	for _, p := range l.Processes {
		if p.Spread != nil && p.Spread.MostlyGauge {
			note("more than half of the variance is our own measuring: read again or with a finer gauge before blaming the supplier", p.Name)
		}
		if p.N == 1 {
			note("one kit tells nothing of a spread", p.Name)
			continue
		}
		for _, w := range p.Warnings {
			note(w, p.Name)
		}
	}
	for _, text := range order {
		names := of[text]
		if len(names) == len(l.Processes) && len(names) > 1 {
			names = []string{"every characteristic"}
		}
		lines = append(lines, strings.Join(names, ", ")+": "+text+".")
	}
	return lines
}
