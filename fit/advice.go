package fit

import (
	"fmt"
	"math"

	"neckfit/measure"
)

// mostRepeats is how often anybody will read the same thing again.
const mostRepeats = 10

// advise says which reading to repeat, and how often in all, so that an unsure characteristic is
// decided should its value stay as it is. Repeats shrink what is the readings' own; what a gauge
// adds to all of them alike stays. Only a value on the limit itself can never be decided.
func advise(c *Characteristic) string {
	room := math.Min(math.Abs(c.Value-c.Lower), math.Abs(c.Value-c.Upper))
	want := room / guard
	if want == 0 {
		return "it lies on the limit: no measurement can decide it"
	}
	variance := c.StdUncertainty * c.StdUncertainty
	if len(c.Budget) == 0 {
		return fmt.Sprintf("it needs a standard uncertainty of %s", short(want, c.Dimension))
	}
	own, common, top := parts(c.Budget)
	if top != nil {
		if n := repeats(top.Std*top.Std, variance, want); n <= mostRepeats {
			return fmt.Sprintf("read %s %d times (%s:%d)", top.What, n, top.Place.File, top.Place.Line)
		}
	}
	if n := repeats(own, own+common, want); n <= mostRepeats {
		return fmt.Sprintf("read everything it rests on %d times", n)
	}
	return fmt.Sprintf("no %d repeats decide it: it needs a standard uncertainty of %s, so a better gauge", mostRepeats, short(want, c.Dimension))
}

// parts sums the variances of readings and of gauges, and finds the largest reading.
func parts(budget []Contribution) (own, common float64, top *Contribution) {
	for i := range budget {
		c := &budget[i]
		if c.Place == (measure.Place{}) {
			common += c.Std * c.Std
			continue
		}
		own += c.Std * c.Std
		if top == nil {
			top = c
		}
	}
	return own, common, top
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
