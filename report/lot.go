package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// Lot writes a judged delivery in a format that Formats lists: csv has a line for each lot and
// characteristic, jsonl an object a lot.
func Lot(format string, w io.Writer, r *delivery.Report, o Options) error {
	return write(format, w, deliveryTable{r}, o)
}

type deliveryTable struct{ *delivery.Report }

func (r deliveryTable) toJSON() (lots []any) {
	for _, l := range r.Lots {
		lots = append(lots, jsonOfLot(l, r.Seed))
	}
	return lots
}

// toText says first what to do with each lot, then lot by lot why, then what the supplier's process
// is worth.
func (r deliveryTable) toText(t *text) {
	if len(r.Lots) > 1 {
		t.add("", words.DeliveryHeadline(r.Report))
		t.opened()
		t.section("")
	}
	for i, l := range r.Lots {
		if i > 0 {
			t.section(strings.Repeat("-", t.columns))
		}
		t.add(l.Acceptance.Decision.String()+"  ", words.LotHeadline(l))
		t.add("", words.LotCounts(l))
		t.add("", words.AssumedByName(l.Assumed))
		if len(r.Lots) == 1 {
			t.opened()
		}
		t.troubles(l)
		t.inspection(l, r.Seed)
		if v := l.Variables; v != nil {
			t.list(words.ByVariablesHeading+v.Name+":", words.ByVariables(v, r.Seed))
		}
		t.pareto(l)
		t.processes(l)
	}
	t.section("")
	t.add("", words.LotNote)
}

// troubles lists the kits that do not pass, with what is wrong and what to do, and adds that up.
func (t *text) troubles(l *delivery.Lot) {
	if len(l.Troubles) == 0 {
		return
	}
	var lines []string
	for _, one := range l.Troubles {
		lines = append(lines, one.Kit+" ("+words.Verdict(one.Verdict)+"): "+words.Trouble(one))
	}
	t.list(words.TroublesHeading, lines)
	t.add("  ", words.ReworkSum(l))
}

// inspection is how the lot was inspected, what that found and what it risks.
func (t *text) inspection(l *delivery.Lot, seed uint64) {
	a := l.Acceptance
	t.section("Inspection: " + words.Severity(a) + ".")
	rows := [][]string{{"class", "AQL %", "sample", "accept", "reject", "bad", "open", "outcome"}}
	for i := range a.ByClass {
		c := &a.ByClass[i]
		row := []string{c.Class.String(), "-", "-", "-", "-", "-", "-", words.Outcome(c)}
		if c.AQL > 0 {
			row[1] = strconv.FormatFloat(c.AQL, 'g', -1, 64)
			for k, n := range []int{c.Plan.Sample, c.Plan.Accept, c.Plan.Reject, c.Bad, c.Open} {
				row[2+k] = strconv.Itoa(n)
			}
		}
		rows = append(rows, row)
	}
	t.table(2, "lrrrrrrl", rows)
	t.add("  ", words.Drawn(a, seed))
	for _, line := range words.UnsureKits(a) {
		t.add("  ", line)
	}
	for i := range a.ByClass {
		t.add("  ", words.Risks(&a.ByClass[i]))
	}
	if rows := words.CurveRows(a); len(rows) > 1 {
		t.add("  ", words.CurveNote)
		t.table(2, "lrrrrrrr", rows)
	}
	if next := words.NextLot(a); next != "" {
		t.add("  ", words.NextLotOf+next+".")
	}
	t.add("  ", words.NextDraw(a))
}

// pareto lists what fails most, by class.
func (t *text) pareto(l *delivery.Lot) {
	if len(l.Failing) == 0 {
		return
	}
	t.section("What fails most:")
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
	t.table(2, "llrrl", rows)
}

// processes sets out mean, spread and tolerance interval, then what is not steady or not normal, and only then the indices.
func (t *text) processes(l *delivery.Lot) {
	if len(l.Processes) == 0 {
		return
	}
	rows := [][]string{{"characteristic", "kits", "mean", "spread", "gauges", "product", "95 % of kits", "unit"}}
	indices := [][]string{{"capability", "process", "Cp", "Cpk", "Ppk", "product"}}
	for _, p := range l.Processes {
		row := []string{p.Name, fmt.Sprint(p.N), words.Small(p.Mean), "", "", "", "", words.ProcessUnit(p)}
		if s := p.Spread; s != nil {
			row[3], row[4], row[5], row[6] = words.Small(p.SD), words.Small(s.Measurement), words.Small(s.Product), words.Tolerance(p.Tolerance)
		}
		rows = append(rows, row)
		if c := p.Capability; c != nil && c.Ppk.Known {
			indices = append(indices, []string{p.Name, words.Steadiness(p), words.Index(c.Cp), words.Index(c.Cpk), words.Index(c.Ppk), words.Index(p.Product)})
		}
	}
	t.section("")
	t.table(2, "lrrrrrrl", rows)
	t.list(words.UnsteadyHeading, words.Unsteady(l))
	t.list("Notes:", words.LotNotes(l))
	if len(indices) > 1 {
		t.section("")
		t.table(2, "llrrrr", indices)
	}
}
