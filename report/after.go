package report

import (
	"fmt"
	"io"
	"strconv"

	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// RemedyAfter writes, kit by kit, how what was measured after the work agrees with what the plan predicted, and
// how exactly the works were done.
func RemedyAfter(format string, w io.Writer, kits []remedy.Worked, o Options) error {
	for i := range kits {
		if err := Check(kits[i].After); err != nil {
			return err
		}
	}
	return write(format, w, after(kits), o)
}

type after []remedy.Worked

func (a after) toText(t *text) {
	for i := range a {
		if i > 0 {
			t.section("")
		}
		said, rows, hidden := Compared(&a[i])
		t.add("", said)
		if hidden {
			t.add("  ", words.HiddenSeat)
		}
		t.section("")
		t.table(2, "lrllrl", rows)
	}
	t.section("")
	t.add("", words.ReworkedNote)
	if learnt := remedy.Learn(a); len(learnt) > 0 {
		t.section(words.LearntHeading)
		t.table(2, "lrl", Learnt(learnt))
		t.add("", words.LearntHint)
	}
}

// Learnt are how exactly works were done, in rows below their headings.
func Learnt(list []remedy.Accuracy) [][]string {
	rows := [][]string{{"work", "kits", "worst ± U"}}
	for _, a := range list {
		rows = append(rows, []string{a.Work.String(), strconv.Itoa(a.Kits), words.Learnt(a)})
	}
	return rows
}

// Compared is a kit that was worked on in a sentence, and what was to change or is off the plan in rows below their
// headings; hidden tells that where its heel lies was not read.
func Compared(k *remedy.Worked) (said string, rows [][]string, hidden bool) {
	list, hidden := remedy.Compare(k.Before, k.Plan, k.After)
	rows = [][]string{{"characteristic", "before", "planned ± U", "measured ± U", "En", ""}}
	agreeing := 0
	for i := range list {
		c := &list[i]
		mark := "off plan"
		if c.Agrees {
			agreeing++
			mark = ""
		}
		if !c.Changed && c.Agrees {
			continue
		}
		before, _ := words.Rounded(c.Before, c.Measured.StdUncertainty)
		rows = append(rows, []string{c.ID.String(), before, words.Value(&c.Predicted), words.Value(&c.Measured), words.Fixed(c.En, 1), mark})
	}
	return words.Reworked(k.Before, k.After, k.Plan, agreeing, len(list)), rows, hidden
}

type jsonWorked struct {
	Kit      string         `json:"kit"`
	Plan     string         `json:"plan"`
	Works    []string       `json:"works"`
	P        float64        `json:"p"` // as the plan gave it
	Before   string         `json:"verdict_before"`
	After    string         `json:"verdict_after"`
	Hidden   bool           `json:"seat_not_read"`
	Compared []jsonCompared `json:"compared"`
}

// jsonCompared has standard uncertainties; En is the difference over both expanded ones (k = 1.96).
type jsonCompared struct {
	Name      string  `json:"name"`
	Before    float64 `json:"before"`
	Planned   float64 `json:"planned"`
	PlannedU  float64 `json:"planned_u"`
	Measured  float64 `json:"measured"`
	MeasuredU float64 `json:"measured_u"`
	En        float64 `json:"en"`
	Agrees    bool    `json:"agrees"`
	Changed   bool    `json:"changed"`
}

// jsonAccuracy is how exactly a work was done: three standard deviations of what it sets, normally distributed, as
// costs.csv has it, with its expanded uncertainty (k = 1.96).
type jsonAccuracy struct {
	Work  string  `json:"work"`
	Kits  int     `json:"kits"`
	Worst float64 `json:"worst_mm"`
	U     float64 `json:"worst_expanded_mm"`
}

func jsonWorkedOf(k *remedy.Worked) *jsonWorked {
	list, hidden := remedy.Compare(k.Before, k.Plan, k.After)
	out := &jsonWorked{
		Kit: k.After.Kit, Plan: words.Plan(k.Plan), P: k.Plan.P, Hidden: hidden, Compared: []jsonCompared{},
		Before: words.Verdict(k.Before.Verdict), After: words.Verdict(k.After.Verdict),
	}
	for _, a := range k.Plan.Actions {
		out.Works = append(out.Works, a.Work.String())
	}
	for i := range list {
		c := &list[i]
		out.Compared = append(out.Compared, jsonCompared{
			c.ID.String(), c.Before, c.Predicted.Value, c.Predicted.StdUncertainty, c.Measured.Value, c.Measured.StdUncertainty, c.En, c.Agrees, c.Changed,
		})
	}
	return out
}

// toJSON has an object a kit, then one for each work whose accuracy came out.
func (a after) toJSON() (lines []any) {
	for i := range a {
		lines = append(lines, jsonWorkedOf(&a[i]))
	}
	for _, a := range remedy.Learn(a) {
		lines = append(lines, jsonAccuracy{a.Work.String(), a.Kits, a.Worst, a.U})
	}
	return lines
}

// toCSV has a row for each characteristic of each kit.
func (a after) toCSV(out *record) {
	out.row("kit", "plan", "p", "verdict_before", "verdict_after", "characteristic", "before", "planned", "planned_u", "measured", "measured_u", "en", "agrees", "changed")
	for i := range a {
		k := jsonWorkedOf(&a[i])
		for _, c := range k.Compared {
			out.row(k.Kit, k.Plan, k.P, k.Before, k.After, c.Name, c.Before, c.Planned, c.PlannedU, c.Measured, c.MeasuredU, c.En, c.Agrees, c.Changed)
		}
	}
}

// LearntCosts writes a costs.csv that has the accuracies of a shop's own works, their uncertainties in lines that
// begin with a number sign. Costs are those of the batch; the others are the built-in ones.
func LearntCosts(w io.Writer, learnt []remedy.Accuracy, costs []measure.Cost) error {
	table := measure.BuiltInCosts()
	put := func(c measure.Cost) {
		for i := range table {
			if table[i].Work == c.Work {
				table[i] = c
			}
		}
	}
	for _, c := range costs {
		put(c)
	}
	for _, a := range learnt {
		if _, err := fmt.Fprintf(w, "# %s\n", words.LearntLine(a)); err != nil {
			return err
		}
		for _, c := range table {
			if c.Work == a.Work {
				c.Worst = a.Worst
				put(c)
			}
		}
	}
	return measure.WriteCosts(w, table)
}
