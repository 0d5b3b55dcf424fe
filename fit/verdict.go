package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Confidence is the probability inside the limits at which the guarded rule passes, and beyond one
// of them at which it fails (ISO 14253-1:2017, default); expanded uncertainties hold it too.
const Confidence = 0.95

// Coverage is the factor of an expanded uncertainty: the normal distribution's two-sided quantile of
// Confidence, rounded as usual (GUM, table G.1).
const Coverage = 1.96

// Conformance is the probability that a true value lies between the limits when its estimate is y
// with standard uncertainty u, normally distributed (JCGM 106:2012, 7.2 to 7.4). An open limit is
// an infinity. With u = 0 it is 1 or 0.
func Conformance(y, u, lower, upper float64) float64 {
	if u == 0 {
		if lower <= y && y <= upper {
			return 1
		}
		return 0
	}
	// The smaller tails are the accurate ones.
	below := tail((y - lower) / u)
	above := tail((upper - y) / u)
	return max(0, 1-below-above)
}

// beyond is the probability that the true value does not lie between two bounds.
func (c *Characteristic) beyond(lower, upper float64) float64 {
	return 1 - Conformance(c.Value, c.StdUncertainty, lower, upper)
}

// tail is the normal probability beyond z; what is below 1e-20 vanishes beside 1.
func tail(z float64) float64 {
	const vanishing = 9.3
	if z > vanishing {
		return 0
	}
	return 0.5 * math.Erfc(z/math.Sqrt2)
}

// rounding is by how much, in mm or degrees, a value may be beyond a limit by calculation alone: a
// reading of 1.00 is within 1.
const rounding = 1e-9

// decide gives the verdict on a measured value whose P is known. A fail wants the true value beyond
// one limit with the stated probability: where the uncertainty is large beside the limits' distance, a
// small probability of lying between them says nothing against the value.
func decide(rule Rule, c *Characteristic) Verdict {
	switch rule {
	case Simple:
		if c.Lower-rounding <= c.Value && c.Value <= c.Upper+rounding {
			return Pass
		}
		return Fail
	case Guarded:
		switch {
		case c.P >= Confidence:
			return Pass
		case max(c.beyond(c.Lower, inf), c.beyond(-inf, c.Upper)) >= Confidence:
			return Fail
		}
		return Unsure
	}
	panic("fit: no such rule")
}

// guard is how many standard uncertainties a value must lie from a limit to be decided.
var guard = distuv.UnitNormal.Quantile(Confidence)

// Words for verdicts, in the order of the constants.
var verdictWords = [...]string{"not measured", "not judged", "pass", "unsure", "fail"}

func (v Verdict) String() string { return verdictWords[v] }

// Words for the ways of working, in the order of the constants.
var wayWords = [...]string{"nothing read", "edge check", "dry fit", "loose parts"}

func (w Way) String() string { return wayWords[w] }

// kitVerdict is the worst of the characteristics that were judged; NotMeasured when none was.
func kitVerdict(list []Characteristic) Verdict {
	worst := NotMeasured
	for i := range list {
		switch v := list[i].Verdict; v {
		case Pass, Unsure, Fail:
			worst = max(worst, v)
		case NotMeasured, NotJudged:
		}
	}
	return worst
}
