// Package words makes the English of every report: numbers rounded for people, verdicts, what to do,
// what is missing. What is below it hands over values; what is above it lays the sentences out as
// text, as a page or on paper. All of it is plain text in one line.
package words

import (
	"cmp"
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// Verdict is a verdict as all formats write it.
func Verdict(v fit.Verdict) string {
	return [...]string{
		fit.NotMeasured: "not-measured", fit.NotJudged: "not-judged", fit.Pass: "pass", fit.TooCoarse: "too-coarse", fit.Incomplete: "incomplete",
		fit.Unsure: "unsure", fit.Implausible: "implausible", fit.Fail: "fail",
	}[v]
}

// Way is a way of working as the formats for programs write it; "" when there is none.
func Way(w fit.Way) string {
	return [...]string{fit.NoWay: "", fit.EdgeCheck: "edge-check", fit.DryFit: "dry-fit", fit.LooseParts: "loose-parts"}[w]
}

// Unit is the unit of a characteristic.
func Unit(c *fit.Characteristic) string { return DimensionUnit(c.Dimension) }

// DimensionUnit is the unit of a kind of characteristic: mm or deg.
func DimensionUnit(d measure.Dimension) string {
	if d == measure.Angle {
		return "deg"
	}
	return "mm"
}

// Judged tells whether a characteristic was held against a limit.
func Judged(c *fit.Characteristic) bool { return c.Measured() && c.Verdict != fit.NotJudged }

// Class is a class as tables head it.
func Class(c measure.Class) string {
	if c == measure.NoClass {
		return "of no class"
	}
	return c.String()
}

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
