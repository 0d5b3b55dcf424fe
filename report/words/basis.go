package words

import (
	"fmt"
	"strconv"

	"neckfit/fit"
	"neckfit/measure"
)

// bases are what needs no numbers.
var bases = [...]string{
	fit.AbreastOfBridge: "abreast of the bridge",
	fit.AtScaleLength:   "a scale length from the nut",
	fit.SaddlesInPlace:  "saddles read in place",
	fit.BridgeByScrews:  "bridge laid on the body's screw holes",
	fit.RowOfHoles:      "row of string holes",
	fit.RowOfScrews:     "row of bridge screws",
	fit.GapsFelt:        "gaps felt on both walls",
	fit.HeelSeated:      "pocket and seated heel",
	fit.WidthsInOrder:   "first and last widths along pocket and heel",
	fit.EndFelt:         "felt at the pocket's end",
	fit.FirstCorner:     "seat rule: the first corner touches",
	fit.AtFret:          "at fret ",
	fit.AtScrew:         "at screw ",
	fit.AtString:        "at string ",
	fit.NeckSeated:      "neck seated, at screw ",
}

// Basis tells where a characteristic comes from; empty where there was no choice.
func Basis(b fit.Basis) string {
	switch b.Kind {
	case fit.Symmetric:
		return b.Feature.String() + "s from both edges, taken as symmetric"
	case fit.BowOver:
		text := fmt.Sprintf("over %.0f mm", b.Length)
		if b.Ratio > 0 {
			text += fmt.Sprintf(", %.1f standard uncertainties from straight", b.Ratio)
		}
		return text
	case fit.GapsFelt, fit.HeelSeated, fit.WidthsInOrder:
		if b.Length != 0 {
			return fmt.Sprintf("%s, %.0f mm from the pocket's end", bases[b.Kind], b.Length)
		}
	case fit.AtFret:
		text := bases[b.Kind] + strconv.Itoa(b.Mark) + ", of the " + strconv.Itoa(b.Read) + " that were read"
		if b.All > b.Read {
			text += " of " + strconv.Itoa(b.All)
		}
		return text
	case fit.AtScrew, fit.AtString, fit.NeckSeated:
		return bases[b.Kind] + strconv.Itoa(b.Mark)
	}
	return bases[b.Kind]
}

// CommonPractice is what stands beside a limit for which no published tolerance was found.
const CommonPractice = "common practice, no source"

// LimitSource tells whose limit it is; empty where there is none.
func LimitSource(s fit.LimitSource) string {
	switch s.Origin {
	case fit.CommonPractice:
		return CommonPractice
	case fit.LimitTable:
		if s.Text != "" {
			return s.Text
		}
		return "limits.csv"
	case fit.ByCents:
		return fmt.Sprintf("%g cents of the string: %s", s.Slack, CommonPractice)
	case fit.ByHeel:
		return fmt.Sprintf("the heel's thickness less %g mm of fingerboard: %s", s.Slack, CommonPractice)
	case fit.ByScale:
		return fmt.Sprintf("scale in kits.csv, %g mm either way: %s", s.Slack, CommonPractice)
	case fit.ByClearance:
		column := "neck_screw"
		if s.Feature == measure.PlateScrew {
			column = "bridge_screw"
		}
		return fmt.Sprintf("half the screw's clearance in %s: hole %.2f mm, %s %.2f mm", s.Feature, s.Hole, column, s.Screw)
	}
	return ""
}

// Contribution names a line of an uncertainty budget.
func Contribution(c fit.Contribution) string {
	switch {
	case c.Form:
		return "what the place of " + Reading(c.Reading) + " may leave the ideal form by"
	case c.Compensation:
		return "the string's compensation, by the built-in rule"
	case c.Doubt:
		return "doubt about " + Reading(c.Reading)
	case c.Reading != nil:
		return Reading(c.Reading)
	}
	return "error common to all readings by " + c.Gauge.ID
}
