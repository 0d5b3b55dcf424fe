package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"neckfit/fit"
	"neckfit/measure"
)

// Advice tells what would decide an unsure characteristic; empty where there is nothing to decide.
func Advice(c *fit.Characteristic) string {
	a := &c.Advice
	// finestStep is what the gauges of a bench show: no U below it is to be had.
	const finestStep = 0.01 // mm, degrees
	if needed := a.Kind == fit.SmallerU || a.Kind == fit.BetterGauge; needed && Coverage*a.U < finestStep {
		return "it lies so near the limit that no gauge of a bench can decide it"
	}
	switch a.Kind {
	case fit.OnLimit:
		return "it lies on the limit: no measurement can decide it"
	case fit.SmallerU:
		return fmt.Sprintf("a finer gauge, that brings U to %s %s", short(Coverage*a.U), Unit(c))
	case fit.Repeat:
		return fmt.Sprintf("read %s %d times in all", readings(a.Readings[:]), a.Times)
	case fit.RepeatMost:
		return fmt.Sprintf("read the %d readings that weigh most %d times, first of all %s", a.Count, a.Times, readings(a.Readings[:2]))
	case fit.GiveCompensation:
		return "say in strings.csv how much longer than the scale each string is to be: the built-in rule is good to a millimetre"
	case fit.BetterGauge:
		return fmt.Sprintf("%s, that brings U to %s %s; %d repeats would not do it", finerGauge(a.Readings[0]), short(Coverage*a.U), Unit(c), a.Times)
	}
	return ""
}

// finerGauge names what a bench has that reads finer than what a reading was taken with; nil for none.
func finerGauge(r *measure.Reading) string {
	if r == nil || r.Gauge == nil {
		return "a finer gauge"
	}
	g := r.Gauge
	if r.HasStation && r.StationGauge != nil && r.StationGauge.Variance() > g.Variance() {
		g = r.StationGauge
	}
	const graduated = 0.1 // mm: a rule, not a calliper
	if g.Resolution < graduated {
		return "a finer gauge than " + Harmless(g.ID)
	}
	return "instead of " + Harmless(g.ID) + " a calliper of 150 mm, or a long vernier where that does not reach"
}

// TooCoarse tells what would make a characteristic decidable whose gauges are too coarse for its limits; ""
// for any other. The best value, amid two limits or at nothing under one, then passes with 95 %.
func TooCoarse(c *fit.Characteristic) string {
	if c.Verdict != fit.TooCoarse {
		return ""
	}
	const oneSided = 1.645 // the normal distribution's quantile of 95 %
	needed := (c.Upper - c.Lower) / 2
	if math.IsInf(c.Lower, 0) {
		needed = c.Upper * Coverage / oneSided
	}
	return fmt.Sprintf("U must come down to %s %s: read each place again, for the mean of two has seven tenths of it, or with a finer gauge",
		Fixed(math.Floor(100*needed)/100, 2), Unit(c))
}

// readings names readings with their lines, repeats of one together.
func readings(list []*measure.Reading) string {
	var lines Groups[string, int]
	for _, r := range list {
		if r == nil {
			break
		}
		one := *r
		one.Trial = 0
		lines.Add(Reading(&one), r.Place.Line)
	}
	for i, name := range lines.Keys {
		lines.Keys[i] = name + " (" + Lines(lines.Of[name]...) + ")"
	}
	return Listed(lines.Keys)
}

// Lines names lines of a table: "line 7", "lines 7 and 18".
func Lines(numbers ...int) string {
	slices.Sort(numbers)
	list := make([]string, len(numbers))
	for i, n := range numbers {
		list[i] = strconv.Itoa(n)
	}
	if len(list) == 1 {
		return "line " + list[0]
	}
	return "lines " + Listed(list)
}

// Warning tells what to know before trusting a result.
func Warning(w fit.Warning) string {
	switch w.Kind {
	case fit.ReworkedOnly:
		return "judged by what was read after the work (stage reworked); what was read before is left out"
	case fit.NoFit:
		return "no fit: " + w.Err.Error()
	case fit.NoCircle:
		return "the points on a corner do not lie on a circle; read its radius with a gauge"
	case fit.AlongNeck:
		return "no fingerboard edge was read with the frets: their straightedge is taken to lie along the neck"
	case fit.Fanned:
		longer, shorter := "bass", "treble"
		if w.Ratio < 0 {
			longer, shorter = shorter, longer
		}
		return fmt.Sprintf("the frets are fanned by %.0f mm more than kits.csv tells: along the %s edge they follow a longer scale than along the %s (scale_bass, scale_treble and straight_fret in kits.csv)",
			math.Abs(w.Ratio), longer, shorter)
	case fit.ScaledUp:
		return fmt.Sprintf("some readings differ among themselves by %.1f times what their gauges claim; the uncertainty of what rests on them is raised by as much", w.Ratio)
	case fit.HeelNotHome:
		return fmt.Sprintf("the heel stands %s mm short of the pocket's end: the saddles' reserves are as it stands, and change by as much once it is home", Fixed(w.Ratio, 1))
	case fit.OffThere:
		one := *w.Readings[0]
		one.Trial = 0
		return fmt.Sprintf("%s lies %s mm off where the other readings put it, and reads so again (%s): it is the part that is off there", Reading(&one), Fixed(math.Abs(w.Ratio), 2), linesOf(w.Readings))
	case fit.PastedAgain:
		return linesOf(w.Readings) + " of readings.csv: the same row stands there already, word for word, and was not counted again; number repeats in the column trial"
	case fit.NoCompensation:
		return "no compensation is built in for " + Amount(w.Strings, "string", "strings") + ": saddle reserves are for the bare scale length (strings.csv sets it)"
	}
	return ""
}

// linesOf names the lines of a few readings, and how many more there are.
func linesOf(readings []*measure.Reading) string {
	lines := make([]int, len(readings))
	for i, r := range readings {
		lines[i] = r.Place.Line
	}
	const most = 5
	if more := len(lines) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", Lines(lines[:most]...), more)
	}
	return Lines(lines...)
}

// Warnings are all of a result's, what cannot be so first.
func Warnings(r *fit.Result) []string {
	list := Nonsenses(r)
	for _, w := range r.Warnings {
		list = append(list, Warning(w))
	}
	return list
}

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
