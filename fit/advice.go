package fit

import "math"

// mostRepeats is how often anybody will read the same thing again.
const mostRepeats = 10

// advise says which readings to repeat, and how often in all, so that an unsure characteristic is
// decided should its value stay as it is: as few different ones as will do, the largest in the
// budget first. Repeats shrink what is the readings' own; what a gauge adds to all of them alike
// stays. Only a value on the limit itself can never be decided.
func advise(c *Characteristic, budget []Contribution) Advice {
	room := math.Min(math.Abs(c.Value-c.Lower), math.Abs(c.Value-c.Upper))
	want := room / guard
	if want == 0 {
		return Advice{Kind: OnLimit}
	}
	if len(budget) == 0 {
		return Advice{Kind: SmallerU, U: want}
	}
	out := Advice{Kind: Repeat}
	variance, part, k := c.StdUncertainty*c.StdUncertainty, 0.0, 0
	for i := range budget {
		r := budget[i].Reading
		if r == nil { // a gauge's common error
			continue
		}
		if k < mostNamed {
			out.Readings[k] = r
		}
		k++
		part += budget[i].Std * budget[i].Std
		if out.Times = repeats(part, variance, want); out.Times > mostRepeats {
			continue
		}
		if k > mostNamed {
			out.Kind, out.Count = RepeatMost, k
		}
		return out
	}
	return Advice{Kind: BetterGauge, Times: mostRepeats, U: want}
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
