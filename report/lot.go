package report

import (
	"fmt"
	"io"
	"slices"
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
			t.section(strings.Repeat("-", t.Columns))
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
		counted := words.Counted(c, "-")
		rows = append(rows, slices.Concat([]string{c.Class.String()}, counted[:], []string{words.Outcome(c)}))
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
		spreads := words.Spreads(p)
		rows = append(rows, slices.Concat([]string{p.Name, fmt.Sprint(p.N), words.Small(p.Mean)}, spreads[:], []string{words.ProcessUnit(p)}))
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

// jsonTrouble is a kit that does not pass.
type jsonTrouble struct {
	Lot      string          `json:"lot"`
	Supplier string          `json:"supplier"`
	Kit      string          `json:"kit"`
	Verdict  string          `json:"verdict"`
	Findings []jsonOffLimits `json:"findings"`
	Off      []string        `json:"off"` // the part that is off, or those of which one is
	Words    string          `json:"off_words"`
	Do       string          `json:"what_to_do"` // first what is to be read, then the recommended plan
	Suspect  []jsonRow       `json:"read_first,omitempty"`
	Works    []string        `json:"works"` // of the recommended plan
	Return   []string        `json:"return"`
	Minutes  *float64        `json:"minutes,omitempty"`
	P        *float64        `json:"p,omitempty"` // that everything judged then passes
}

type jsonOffLimits struct {
	Name    string   `json:"name"`
	Class   string   `json:"class"`
	Unit    string   `json:"unit"`
	Value   float64  `json:"value"`
	U       float64  `json:"u"` // standard uncertainty
	Lower   *float64 `json:"lower,omitempty"`
	Upper   *float64 `json:"upper,omitempty"`
	Verdict string   `json:"verdict"`
}

// Rework writes the kits of a delivery that do not pass, each with what is wrong and what is
// recommended, in a format that Formats lists: csv has a line for each finding, jsonl an object a kit.
func Rework(format string, w io.Writer, r *delivery.Report, o Options) error {
	return write(format, w, rework{r}, o)
}

type rework struct{ *delivery.Report }

func (r rework) toText(t *text) {
	for _, l := range r.Lots {
		if len(t.lines) > 0 {
			t.section("")
		}
		t.add("", words.LotHeadline(l))
		t.troubles(l)
	}
}

func (r rework) toJSON() (kits []any) {
	for _, l := range r.Lots {
		for _, t := range l.Troubles {
			kits = append(kits, jsonOfTrouble(l, t))
		}
	}
	return kits
}

func (r rework) toCSV(out *record) {
	out.row("lot", "supplier", "kit", "verdict", "characteristic", "class", "unit", "value", "u", "lower", "upper", "finding", "in_words", "off", "work", "minutes", "p")
	for _, l := range r.Lots {
		for _, t := range l.Troubles {
			j := jsonOfTrouble(l, t)
			for i := range max(1, len(j.Findings)) {
				found := append(make([]any, 8), words.Findings(t))
				if len(j.Findings) > 0 {
					f := &j.Findings[i]
					found = []any{f.Name, f.Class, f.Unit, f.Value, f.U, f.Lower, f.Upper, f.Verdict, words.Finding(&t.Found[i])}
				}
				out.row(slices.Concat([]any{l.Name, l.Supplier, t.Kit, j.Verdict}, found, []any{j.Words, j.Do, j.Minutes, j.P})...)
			}
		}
	}
}

func jsonOfTrouble(l *delivery.Lot, t *delivery.Trouble) *jsonTrouble {
	j := &jsonTrouble{Lot: l.Name, Supplier: l.Supplier, Kit: t.Kit, Verdict: words.Verdict(t.Verdict), Findings: []jsonOffLimits{}, Off: []string{}, Words: words.OffWords(t), Do: words.WorkWords(t), Suspect: jsonRows(t.Suspect), Works: []string{}, Return: []string{}}
	for i := range t.Found {
		f := &t.Found[i]
		j.Findings = append(j.Findings, jsonOffLimits{
			f.Name, f.Class.String(), words.DimensionUnit(f.Dimension), f.Value, f.StdUncertainty, closed(&f.Lower), closed(&f.Upper), words.Verdict(f.Verdict),
		})
	}
	for _, p := range t.Off {
		j.Off = append(j.Off, p.String())
	}
	if t.Work == nil {
		return j
	}
	for _, k := range t.Work.Kinds {
		j.Works = append(j.Works, k.String())
	}
	for _, p := range t.Work.Return {
		j.Return = append(j.Return, p.String())
	}
	j.Minutes = &t.Work.Minutes
	if len(t.Work.Return) == 0 {
		j.P = &t.Work.P
	}
	return j
}

// Letter writes a draft to each lot's supplier; gauges are those that the kits were read with, in words.
func Letter(w io.Writer, r *delivery.Report, gauges []string, o Options) error {
	t := newText(o)
	for i, l := range r.Lots {
		if i > 0 {
			t.section(strings.Repeat("-", t.Columns))
		}
		letter := words.LetterTo(l, gauges)
		for _, line := range letter.Hint {
			t.add("", "["+line+"]")
		}
		t.section("")
		for _, line := range letter.Head {
			t.add("", line)
		}
		for _, line := range letter.Opening {
			t.section("")
			t.add("", line)
		}
		if letter.Rows != nil {
			t.section("")
			t.table(2, "lllll", letter.Rows)
			t.section("")
		}
		for _, line := range letter.Closing {
			if item, ok := strings.CutPrefix(line, "- "); ok {
				t.add("  - ", item)
				continue
			}
			t.section("")
			t.add("", line)
		}
	}
	return t.write(w)
}
