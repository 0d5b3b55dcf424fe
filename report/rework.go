package report

import (
	"io"
	"slices"
	"strings"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// jsonTrouble is a kit that does not pass.
type jsonTrouble struct {
	Lot      string          `json:"lot"`
	Supplier string          `json:"supplier"`
	Kit      string          `json:"kit"`
	Verdict  string          `json:"verdict"`
	Findings []jsonOffLimits `json:"findings"`
	Off      []string        `json:"off"` // the part that is off, or those of which one is
	Words    string          `json:"off_words"`
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
				out.row(slices.Concat([]any{l.Name, l.Supplier, t.Kit, j.Verdict}, found, []any{j.Words, words.WorkWords(t), j.Minutes, j.P})...)
			}
		}
	}
}

func jsonOfTrouble(l *delivery.Lot, t *delivery.Trouble) *jsonTrouble {
	j := &jsonTrouble{Lot: l.Name, Supplier: l.Supplier, Kit: t.Kit, Verdict: words.Verdict(t.Verdict), Findings: []jsonOffLimits{}, Off: []string{}, Words: words.OffWords(t), Works: []string{}, Return: []string{}}
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
			t.section(strings.Repeat("-", t.columns))
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
