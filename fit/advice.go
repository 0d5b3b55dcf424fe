package fit

import (
	"fmt"
	"math"
	"strings"

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
func advise(c *Characteristic) string {
	room := math.Min(math.Abs(c.Value-c.Lower), math.Abs(c.Value-c.Upper))
	want := room / guard
	if want == 0 {
		return "it lies on the limit: no measurement can decide it"
	}
	if len(c.Budget) == 0 {
		return fmt.Sprintf("it needs a standard uncertainty of %s", short(want, c.Dimension))
	}
	variance, part := c.StdUncertainty*c.StdUncertainty, 0.0
	readings := readingsOf(c.Budget)
	for k, r := range readings {
		part += r.Std * r.Std
		n := repeats(part, variance, want)
		switch {
		case n > mostRepeats:
		case k < mostNamed:
			return fmt.Sprintf("read %s %d times", listed(readings[:k+1]), n)
		default:
			return fmt.Sprintf("read the %d readings that weigh most %d times, first of all %s", k+1, n, listed(readings[:2]))
		}
	}
	return fmt.Sprintf("no %d repeats decide it: it needs a standard uncertainty of %s, so a better gauge", mostRepeats, short(want, c.Dimension))
}

// readingsOf leaves the gauges' common errors out of a budget.
func readingsOf(budget []Contribution) []Contribution {
	var readings []Contribution
	for _, c := range budget {
		if c.Reading != nil {
			readings = append(readings, c)
		}
	}
	return readings
}

// listed names readings with their lines.
func listed(readings []Contribution) string {
	words := make([]string, len(readings))
	for i, r := range readings {
		words[i] = fmt.Sprintf("%s (line %d)", r.What(), r.Reading.Place.Line)
	}
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
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
