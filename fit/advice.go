package fit

import (
	"fmt"
	"math"
	"strconv"

	"neckfit/measure"
)

// mostRepeats is how often anybody will read the same thing again, and mostNamed how many readings
// fit into a sentence.
const (
	mostRepeats = 10
	mostNamed   = 4
)

// advise says which readings to repeat, and how often in all, so that an unsure characteristic is
// decided should its value stay as it is: as few different ones as will do, the largest in the
// budget first. Repeats shrink what is the readings' own; what a gauge adds to all of them alike
// stays. Only a value on the limit itself can never be decided.
func advise(c *Characteristic, budget []Contribution) string {
	room := math.Min(math.Abs(c.Value-c.Lower), math.Abs(c.Value-c.Upper))
	want := room / guard
	if want == 0 {
		return "it lies on the limit: no measurement can decide it"
	}
	if len(budget) == 0 {
		return "it needs a standard uncertainty of " + short(want, c.Dimension)
	}
	variance, part, k := c.StdUncertainty*c.StdUncertainty, 0.0, 0
	for i := range budget {
		if budget[i].Reading == nil { // a gauge's common error
			continue
		}
		k++
		part += budget[i].Std * budget[i].Std
		n := repeats(part, variance, want)
		switch {
		case n > mostRepeats:
		case k <= mostNamed:
			return fmt.Sprintf("read %s %d times", listed(budget, k), n)
		default:
			return fmt.Sprintf("read the %d readings that weigh most %d times, first of all %s", k, n, listed(budget, 2))
		}
	}
	return fmt.Sprintf("no %d repeats decide it: it needs a standard uncertainty of %s, so a better gauge", mostRepeats, short(want, c.Dimension))
}

// listed names the first n readings of a budget with their lines.
func listed(budget []Contribution, n int) string {
	var room [300]byte
	text, done := room[:0], 0
	for i := range budget {
		r := budget[i].Reading
		if r == nil {
			continue
		}
		switch {
		case done > 0 && done == n-1:
			text = append(text, " and "...)
		case done > 0:
			text = append(text, ", "...)
		}
		text = append(r.AppendDescription(text), " (line "...)
		text = append(strconv.AppendInt(text, int64(r.Place.Line), 10), ')')
		if done++; done == n {
			break
		}
	}
	return string(text)
}

// repeats is how many readings in all bring a part of the variance down far enough; more than
// mostRepeats when none do.
func repeats(part, variance, want float64) int {
	left := want*want - (variance - part)
	if left <= 0 || part/left > mostRepeats {
		return mostRepeats + 1
	}
	return max(2, int(math.Ceil(part/left)))
}

func short(v float64, d measure.Dimension) string {
	unit := "mm"
	if d == measure.Angle {
		unit = "deg"
	}
	return fmt.Sprintf("%.2g %s", v, unit)
}
