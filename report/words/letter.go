package words

import (
	"fmt"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
)

// Letter is a draft to the supplier of a lot, to be read, changed and signed.
type Letter struct {
	Hint    []string // to whoever sends it: not part of the letter
	Head    []string
	Opening []string   // paragraphs
	Rows    [][]string // the evidence, a line for each finding, with a heading; nil where nothing fails
	Closing []string   // paragraphs; those that begin with a hyphen are points of a list
}

// LettersTitle stands above a page of them.
const LettersTitle = "To the supplier"

// LetterTo drafts it: what was found, how it was measured, what is asked. Only kits that fail are held up; what the
// readings cannot tell is said. Gauges are those that were read with, in words.
func LetterTo(l *delivery.Lot, gauges []string) *Letter {
	name := "this delivery"
	if l.Name != "" {
		name = "lot " + Harmless(l.Name)
	}
	t := &Letter{
		Hint: []string{"A draft: read it, change it, sign it. It claims no more than the gauges can carry."},
		Head: []string{"To the supplier of the parts", "About " + name + ": " + Amount(l.Kits, "kit", "kits") + " checked"},
	}
	if l.Supplier != "" {
		t.Head[0] += ": " + Harmless(l.Supplier)
	}
	if splits := Splits(l); len(splits) > 0 {
		t.Hint = append(t.Hint, "Before you send it: "+strings.Join(splits, "; ")+".")
	}
	named := slices.DeleteFunc(slices.Clone(l.Doubtful), func(t *delivery.Trouble) bool { return t.Verdict != fit.Fail })
	if names := Doubtful(named); len(names) > 0 {
		t.Hint = append(t.Hint, "Before you send it, read again what does not agree with other readings, or leave out what rests on it: "+strings.Join(names, ", ")+".")
	}
	failing, doubt := t.evidence(l)
	t.Opening = []string{"Good day,", fmt.Sprintf("of %s of %s that we have checked none is known to lie outside the limits that we work to.", Amount(l.Kits, "kit", "kits"), name)}
	if failing > 0 {
		t.Opening[1] = fmt.Sprintf("of %s of %s that we have checked %s outside the limits that we work to, with at least 95 %% certainty after our own measuring uncertainty is allowed for. What was found, kit by kit:",
			Amount(l.Kits, "kit", "kits"), name, Amount(failing, "lies", "lie"))
	}
	if doubt {
		t.Closing = append(t.Closing, "Where two parts are named our readings do not tell which of them is off: together they are, and we claim no more than that.")
	}
	t.others(l)
	moving := []string{"In the order in which we received the kits these are not steady, as a tool or a fixture that wears or moves would show:"}
	for _, p := range l.Processes {
		if p.Drifts && p.Limited && p.Split == nil { // a split is one that a person or a gauge of ours may have brought about
			moving = append(moving, "- "+p.Name+": "+Drift(p))
		}
	}
	if len(moving) > 1 {
		t.Closing = append(t.Closing, moving...)
	}
	if l.Acceptance != nil && l.Acceptance.Decision == delivery.Reject {
		t.Closing = append(t.Closing, "By single sampling (MIL-STD-105E, "+l.Acceptance.Severity.String()+" inspection) the lot is not acceptable: "+strings.Join(classReasons(l.Acceptance), "; ")+".")
	}
	measured := "[name the gauges, and when they were last checked]"
	if len(gauges) > 0 {
		measured = strings.Join(gauges, "; ")
	}
	t.Closing = append(t.Closing, "Measured with: "+measured+". Figures are followed by their expanded uncertainty for 95 % (JCGM 100; verdicts after JCGM 106 and ISO 14253-1). "+
		"The limits are ours (common practice, no source) unless we have agreed on others.")
	if failing > 0 {
		t.Closing = append(t.Closing, "We ask you to say:", "- whether you find the same on parts that you kept;",
			"- whether you will replace the parts named, or prefer that we rework them at your cost;", "- what will be done so that the next lot holds.",
			"The parts are kept as they came until we hear from you.")
	}
	t.Closing = append(t.Closing, "With kind regards")
	return t
}

// evidence fills in the rows; doubt tells whether any of them names more than one part.
func (t *Letter) evidence(l *delivery.Lot) (failing int, doubt bool) {
	var named []fit.ID
	rows := [][]string{{"kit", "part", "characteristic", "found ± U", "limits"}}
	for _, one := range l.Troubles {
		if one.Verdict != fit.Fail {
			continue
		}
		failing++
		for i := range one.Found {
			if f := &one.Found[i]; f.Verdict == fit.Fail {
				c, known := characteristicOf(f)
				found := Value(c)
				if known {
					found = ValueAside(c)
				}
				if known && !slices.Contains(named, c.ID) {
					named = append(named, c.ID)
				}
				parts := one.PartsOf(i)
				doubt = doubt || len(parts) > 1
				rows = append(rows, []string{Harmless(one.Kit), Parts(parts, true), Harmless(f.Name), found, Limits(c) + " " + Unit(c)})
			}
		}
	}
	if failing > 0 {
		t.Rows = rows
		for _, id := range named {
			t.Closing = append(t.Closing, "- "+id.String()+": the "+aboutOf(id).what)
		}
	}
	return failing, doubt
}

// others says which kits the letter does not complain of.
func (t *Letter) others(l *delivery.Lot) {
	unsure, open := l.Verdicts[fit.Unsure]+l.Verdicts[fit.TooCoarse], l.Verdicts[fit.Incomplete]+l.Verdicts[fit.NotMeasured]+l.Verdicts[fit.Implausible]
	if unsure > 0 {
		t.Closing = append(t.Closing, Amount(unsure, "kit lies", "kits lie")+" too near a limit for our gauges to say; we do not complain of "+those(unsure)+".")
	}
	if open > 0 {
		t.Closing = append(t.Closing, Amount(open, "kit was", "kits were")+" not measured in full; nothing is said of "+those(open)+".")
	}
}

func those(n int) string {
	if n == 1 {
		return "it"
	}
	return "those"
}

// GaugeLine says what a gauge is taken to be able to do, and whether nobody has said so.
func GaugeLine(g *measure.Gauge) string {
	if g.Place == (measure.Place{}) {
		return gaugeFigures(g) + ", taken for granted (common practice, no source)"
	}
	return gaugeFigures(g)
}

func gaugeFigures(g *measure.Gauge) string {
	if g.Resolution == 0 && g.MaxError == 0 {
		return fmt.Sprintf("%s (seats to %s mm)", Harmless(g.ID), Limit(g.Repeatability))
	}
	return fmt.Sprintf("%s (steps of %s mm, at most %s mm out, repeats to %s mm)", Harmless(g.ID), Limit(g.Resolution), Limit(g.MaxError), Limit(g.Repeatability))
}
