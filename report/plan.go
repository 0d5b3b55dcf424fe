package report

import (
	"fmt"
	"io"
	"slices"

	"neckfit/fit"
	"neckfit/report/words"
)

// Forecast is what the rows of a kit will tell, see fit.Plan.
type Forecast struct {
	Kit string
	fit.Forecast
}

// Plans writes what is known before anything is read, as text, csv or jsonl. Kits whose rows tell the same share their
// text.
func Plans(w io.Writer, format string, kits []Forecast, o Options) error {
	return write(format, w, plans(kits), o)
}

type plans []Forecast

func (kits plans) toText(t *text) {
	groups, order := map[string][]string{}, []*Forecast(nil)
	for i := range kits {
		key := fmt.Sprint(kits[i].Characteristics)
		if groups[key] == nil {
			order = append(order, &kits[i])
		}
		groups[key] = append(groups[key], words.Harmless(kits[i].Kit))
	}
	for n, k := range order {
		if n > 0 {
			t.section("")
		}
		t.add("", words.PlanHeadline(groups[fmt.Sprint(k.Characteristics)], k.Characteristics))
		if n == 0 {
			t.opened()
		}
		t.add("", words.Assumed(k.Gauges))
		rows := [][]string{words.PlanColumns}
		for i := range k.Characteristics {
			p := &k.Characteristics[i]
			answer := words.AnswerOf(p)
			if answer == words.NoRows && !p.Wanted {
				continue
			}
			u, needed, limits := "", "", ""
			if answer != words.NoRows {
				u, needed = words.PlannedU(p)
				u += " " + words.PlannedUnit(p)
			}
			if answer != words.NotLimited {
				limits = words.Limits(&fit.Characteristic{Lower: p.Lower, Upper: p.Upper})
			}
			rows = append(rows, []string{p.ID.String(), u, answer.String(), needed, limits})
		}
		t.section("")
		t.table(0, "lrlrl", rows)
		var cures []string
		for i := range k.Characteristics {
			if cure := words.PlannedCure(&k.Characteristics[i]); cure != "" {
				cures = append(cures, k.Characteristics[i].ID.String()+": "+cure)
			}
		}
		t.list(words.CuresHeading, cures)
	}
	t.section("")
	t.add("", words.PlanNote)
}

func (kits plans) toCSV(out *record) {
	out.row("kit", "characteristic", "unit", "answer", "wanted", "u", "u_common", "u_needed", "lower", "upper", "missing", "cure")
	for i := range kits {
		for j := range kits[i].Characteristics {
			p := &kits[i].Characteristics[j]
			u, common, needed := p.StdUncertainty, p.Common, none
			if !p.Missing.None() {
				u, common = none, none
			}
			if p.Needed > 0 {
				needed = p.Needed
			}
			out.row(kits[i].Kit, p.ID.String(), words.PlannedUnit(p), words.AnswerOf(p).String(), map[bool]string{true: "yes", false: "no"}[p.Wanted],
				u, common, needed, p.Lower, p.Upper, words.Missing(p.Missing), words.PlannedCure(p))
		}
	}
}

type jsonForecast struct {
	Kit             string        `json:"kit"`
	Characteristics []jsonPlanned `json:"characteristics"`
	Assumed         []string      `json:"assumed_gauges,omitempty"`
}

type jsonPlanned struct {
	Name    string   `json:"name"`
	Unit    string   `json:"unit"`
	Answer  string   `json:"answer"`
	Wanted  bool     `json:"wanted"`
	U       float64  `json:"u,omitempty"` // standard uncertainty
	UCommon float64  `json:"u_common,omitempty"`
	UNeeded float64  `json:"u_needed,omitempty"`
	Lower   *float64 `json:"lower,omitempty"`
	Upper   *float64 `json:"upper,omitempty"`
	Missing string   `json:"missing,omitempty"`
	Cure    string   `json:"cure,omitempty"`
}

func (kits plans) toJSON() (lines []any) {
	for _, k := range kits {
		line := jsonForecast{Kit: k.Kit, Assumed: words.WithAssumed(nil, k.Gauges)}
		for p := range slices.Values(k.Characteristics) {
			j := jsonPlanned{
				Name: p.ID.String(), Unit: words.PlannedUnit(&p), Answer: words.AnswerOf(&p).String(), Wanted: p.Wanted, UNeeded: p.Needed,
				Lower: closed(&p.Lower), Upper: closed(&p.Upper), Missing: words.Missing(p.Missing), Cure: words.PlannedCure(&p),
			}
			if p.Missing.None() {
				j.U, j.UCommon = p.StdUncertainty, p.Common
			}
			line.Characteristics = append(line.Characteristics, j)
		}
		lines = append(lines, line)
	}
	return lines
}
