package words

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
)

// Headings of a lot's kits and of the letter about them.
const (
	TroublesHeading = "Kits that do not pass:"
)

// Finding is what a kit has that does not pass, in a line: which way, how much, and how it stands to its limit.
func Finding(f *delivery.Found) string {
	c, known := characteristicOf(f)
	if !known { // a table of another version
		return Harmless(f.Name) + " is " + Value(c) + ", " + Allowed(c)
	}
	return Standing(c)
}

// characteristicOf is what was found as a check has it; known is false for a name of another version.
func characteristicOf(f *delivery.Found) (c *fit.Characteristic, known bool) {
	id, known := fit.Named(f.Name)
	return &fit.Characteristic{
		ID: id, Dimension: f.Dimension, Class: f.Class, Lower: f.Lower, Upper: f.Upper,
		Value: f.Value, StdUncertainty: f.StdUncertainty, Verdict: f.Verdict,
	}, known
}

// FirstFinding says the gravest of them, and how many more there are.
func FirstFinding(t *delivery.Trouble) string {
	if len(t.Found) < 2 {
		return Findings(t)
	}
	return fmt.Sprintf("%s; %d more", Finding(&t.Found[0]), len(t.Found)-1)
}

// Findings says all of them.
func Findings(t *delivery.Trouble) string {
	switch {
	case t.Verdict == fit.Implausible:
		return "something was read that cannot be so" + oddRows(t)
	case len(t.Found) == 0:
		return "not everything was measured"
	}
	list := make([]string, len(t.Found))
	for i := range t.Found {
		list[i] = Finding(&t.Found[i])
	}
	return strings.Join(list, "; ")
}

// oddRows names the rows of what cannot be so; "" where nobody told them.
func oddRows(t *delivery.Trouble) string {
	if len(t.Odd) == 0 {
		return ""
	}
	list := make([]delivery.Row, len(t.Odd))
	for i, p := range t.Odd {
		list[i].Place = p
	}
	return " (" + rows(list) + ")"
}

// rows names the first of some rows, each with those that may be wrong instead.
func rows(list []delivery.Row) string {
	var texts []string
	for i, row := range list[:min(mostSuspects, len(list))] {
		text := fmt.Sprintf("line %d", row.Line)
		if i == 0 || row.File != list[i-1].File {
			text = Harmless(filepath.Base(row.File)) + " " + text
		}
		for _, line := range row.Or[:min(mostSuspects, len(row.Or))] {
			text += fmt.Sprintf(" or %d", line)
		}
		texts = append(texts, text)
	}
	if more := len(list) - mostSuspects; more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(texts, "; ")
}

// WorkWords is a kit's plan with its time and how likely it ends well, below what must be read first.
func WorkWords(t *delivery.Trouble) string {
	w, rest := t.Work, *t
	switch {
	case t.Verdict == fit.Implausible:
		return "correct what check names"
	case len(t.Odd) > 0:
		rest.Odd = nil
		return "read again first what cannot be so" + oddRows(t) + "; what follows from the rest: " + WorkWords(&rest)
	case t.Verdict == fit.Incomplete || t.Verdict == fit.NotMeasured:
		return "read what is missing; check names it"
	case len(t.Suspect) > 0:
		rest.Suspect, rest.Verdict = nil, fit.Fail // nothing else is to be said of reading again
		return "read again first what does not agree with other readings (" + rows(t.Suspect) + "); if that is as it was read: " + WorkWords(&rest)
	case w == nil:
		return "remedy tells what to do with it"
	case len(w.Return) > 0:
		return "return the " + Parts(w.Return, w.OneOf)
	case w.Waits:
		return "read more: remedy names what a cure waits for"
	case w.Reads():
		return "read again what is unsure"
	case w.Spares:
		return "first read what remedy names, for that may save it this: " + workText(t)
	case w.Asks:
		return "first answer what remedy asks; then " + workText(t)
	}
	return workText(t)
}

// workText is a plan that works on the kit.
func workText(t *delivery.Trouble) string {
	w := t.Work
	text := fmt.Sprintf("%s: %.0f minutes, %s that all then passes", workNames(w.Kinds), w.Minutes, Percent(w.P))
	if t.Verdict != fit.Fail && w.Cuts() {
		return "read again before any wood is cut; if it holds, " + text
	}
	return text
}

// Trouble is all that is said of a kit that does not pass: what is wrong, which part is off, what to do.
func Trouble(t *delivery.Trouble) string {
	return FindingsAndPart(t) + ". To do: " + WorkWords(t) + "."
}

// FindingsAndPart is what is wrong, and which part is off.
func FindingsAndPart(t *delivery.Trouble) string {
	text, off := Findings(t), OffWords(t)
	switch {
	case off == "" || t.Verdict == fit.Implausible:
	case t.Verdict == fit.Fail:
		text += ". Off: " + off
	default:
		text += ". If anything is off: " + off
	}
	return text
}

// OffWords names the part that is off, with what neck and body bring where that was read; "" where nothing is
// known to be off.
func OffWords(t *delivery.Trouble) string {
	text := Parts(t.Off, true)
	if neck, body := t.Shares[0], t.Shares[1]; neck != nil {
		text += fmt.Sprintf("; the neck brings %s of it, the body %s", shareWords(neck), shareWords(body))
	}
	for place, id := range [2]fit.ID{fit.PocketOffCentre, fit.BridgeOffCentre} {
		if f := t.OffCentre[place]; f != nil && slices.Contains(t.Off, measure.BodyPart) {
			text += "; " + Meaning(&fit.Characteristic{ID: id, Dimension: f.Dimension, Value: f.Value, StdUncertainty: f.StdUncertainty})
		}
	}
	return text
}

func shareWords(f *delivery.Found) string {
	value, u := Rounded(math.Abs(f.Value), f.StdUncertainty)
	return value + " ± " + u + " " + DimensionUnit(f.Dimension)
}

// ReworkSum says what the kits that do not pass ask for, and what each way to deal with them is expected to cost.
func ReworkSum(l *delivery.Lot) string {
	sum := &l.Rework
	if len(l.Troubles) == 0 {
		return ""
	}
	var list []string
	if sum.Mend > 0 {
		then := "which passes then with " + Percent(sum.Hopes)
		if pass := strings.TrimSuffix(Fixed(sum.Hopes, 1), ".0"); sum.Mend > 1 {
			then = "of which " + pass + " " + map[bool]string{true: "is", false: "are"}[pass == "1"] + " expected to pass then"
		}
		list = append(list, fmt.Sprintf("%s can be mended in %s, %s", Amount(sum.Mend, "kit", "kits"), Duration(sum.Minutes), then))
	}
	if sum.Return > 0 {
		list = append(list, Amount(sum.Return, "kit has", "kits have")+" a part that no work cures, to be returned")
	}
	if sum.Look > 0 {
		list = append(list, Amount(sum.Look, "kit wants", "kits want")+" another reading first")
	}
	if sum.Unplanned > 0 {
		list = append(list, "of "+Amount(sum.Unplanned, "kit", "kits")+" the work is not known: give lot the readings, or run remedy")
	}
	ways := []struct {
		name string
		cost float64
	}{{"rework what can be reworked", sum.MendAll}, {"sort out and return what fails", sum.Sort}, {"send all back", sum.SendBack}}
	costs, least := make([]string, len(ways)), 0
	for i, w := range ways {
		costs[i] = w.name + " " + Duration(w.cost)
		if sum.Hour > 0 { // in money too
			costs[i] += " (" + Fixed(w.cost/60*sum.Hour, 0) + ")"
		}
		if w.cost < ways[least].cost {
			least = i
		}
	}
	which := "the cheapest is "
	if slices.ContainsFunc(l.Troubles, func(t *delivery.Trouble) bool { return len(t.Odd)+len(t.Suspect) > 0 }) {
		which = "if all is as it was read, which is to be seen first, the cheapest is "
	}
	apart := ""
	if slices.ContainsFunc(l.Troubles, (*delivery.Trouble).Unparted) {
		apart = " Which of neck and body is off these readings do not tell: read the sides of heel and pocket of a few of these kits, as of loose parts, before one of the two is sent back."
	}
	return strings.Join(list, "; ") + "." + apart + " Expected costs, with reading what is open, and with what waiting, freight and a lost kit are worth (costs.csv): " +
		strings.Join(costs, ", ") + "; " + which + "to " + ways[least].name + "."
}
