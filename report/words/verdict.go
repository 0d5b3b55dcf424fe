package words

import (
	"neckfit/fit"
	"neckfit/measure"
)

// Verdict is a verdict as all formats write it.
func Verdict(v fit.Verdict) string {
	switch v {
	case fit.NotMeasured:
		return "not-measured"
	case fit.NotJudged:
		return "not-judged"
	case fit.Pass:
		return "pass"
	case fit.TooCoarse:
		return "too-coarse"
	case fit.Incomplete:
		return "incomplete"
	case fit.Unsure:
		return "unsure"
	case fit.Implausible:
		return "implausible"
	case fit.Fail:
		return "fail"
	}
	return "?" // a value that no constant has; it must not pass for a verdict
}

// Way is a way of working as the formats for programs write it; "" when there is none.
func Way(w fit.Way) string {
	switch w {
	case fit.NoWay:
		return ""
	case fit.EdgeCheck:
		return "edge-check"
	case fit.DryFit:
		return "dry-fit"
	case fit.LooseParts:
		return "loose-parts"
	}
	return "?"
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
