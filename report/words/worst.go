package words

import (
	"cmp"
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// Worst is the judged characteristic that matters most: the worst verdict, of equal verdicts the
// Worst class, of equal classes the one farthest beyond its limit, or nearest to it, counted in
// its own standard uncertainties. It is nil when nothing was judged.
func Worst(r *fit.Result) *fit.Characteristic {
	var found, coarse *fit.Characteristic
	for i := range r.Characteristics {
		switch c := &r.Characteristics[i]; {
		case !Judged(c):
		case c.Verdict == fit.TooCoarse && !r.Wanted(c): // matters only where there is nothing else
			coarse = c
		case found == nil || Worse(c, found):
			found = c
		}
	}
	return cmp.Or(found, coarse)
}

// Worse tells whether a matters more than b.
func Worse(a, b *fit.Characteristic) bool {
	order := cmp.Or(
		cmp.Compare(b.Verdict, a.Verdict), // Pass, Unsure, Fail in rising order
		cmp.Compare(classRank(a.Class), classRank(b.Class)),
		cmp.Compare(room(a), room(b)),
	)
	return order < 0
}

// Weighty tells whether a kit is looked at with more than a glance for the want of a characteristic:
// a critical one, or one that would be judged as more than minor.
func Weighty(c *fit.Characteristic) bool {
	limited := !math.IsInf(c.Lower, -1) || !math.IsInf(c.Upper, 1)
	return c.Class == measure.Critical || limited && c.Class != measure.Minor
}

// classRank is 1 for critical and greatest for no class.
func classRank(c measure.Class) int {
	if c == measure.NoClass {
		return int(measure.Minor) + 1
	}
	return int(c)
}

// room is how far a value lies inside its nearer limit, in standard uncertainties; negative outside.
func room(c *fit.Characteristic) float64 {
	inside := math.Min(c.Value-c.Lower, c.Upper-c.Value)
	if c.StdUncertainty > 0 {
		return inside / c.StdUncertainty
	}
	return math.Copysign(math.Inf(1), inside)
}
