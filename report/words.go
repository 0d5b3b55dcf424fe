package report

import (
	"neckfit/fit"
	"neckfit/measure"
)

// verdictWord is a verdict as all formats write it.
func verdictWord(v fit.Verdict) string {
	switch v {
	case fit.NotMeasured:
		return "not-measured"
	case fit.NotJudged:
		return "not-judged"
	case fit.Pass:
		return "pass"
	case fit.Unsure:
		return "unsure"
	case fit.Fail:
		return "fail"
	}
	return "?" // a value that no constant has; it must not pass for a verdict
}

// wayWord is a way of working as the formats for programs write it; "" when there is none.
func wayWord(w fit.Way) string {
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

// unitWord is the unit of a characteristic.
func unitWord(c *fit.Characteristic) string {
	if c.Dimension == measure.Angle {
		return "deg"
	}
	return "mm"
}
