package html

import (
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/report"
)

// The tolerance bar: the limits as a band, the value as a mark whose shape is the verdict, its
// 95 % interval as a whisker. All bars of a table have the band at the same place, so that the eye
// runs down one column.
const (
	barWidth, barHeight = 240.0, 20.0
	bandLeft, bandRight = 0.3, 0.7 // of the width
)

// bar draws what was judged; "" for anything else. It says nothing that its row does not say in
// words, so it is hidden from those who cannot see it.
func bar(c *fit.Characteristic) template.HTML {
	if !report.Judged(c) {
		return ""
	}
	f := figure{width: barWidth, height: barHeight}
	scale := barScale(c)
	f.use(bandOf(c))
	drawInterval(&f, c, scale)
	return f.bare("bar " + report.VerdictWord(c.Verdict))
}

// bandOf names the ready-made band (see defs in page.tmpl) for limits on both sides, one side or
// two that are the same.
func bandOf(c *fit.Characteristic) string {
	low, high := !math.IsInf(c.Lower, -1), !math.IsInf(c.Upper, 1)
	switch {
	case low && high && c.Upper > c.Lower:
		return "b"
	case low && high:
		return "bp"
	case low:
		return "bl"
	}
	return "bu"
}

// barScale puts the limits at the band's ends. With one limit the band runs open to the other
// side, and the scale is such that the interval can be seen.
func barScale(c *fit.Characteristic) axis {
	const left, right = bandLeft * barWidth, bandRight * barWidth
	switch bandOf(c) {
	case "b":
		return between(c.Lower, c.Upper, left, right)
	case "bp":
		reach := 1.25 * math.Max(math.Abs(c.Value-c.Lower), report.Coverage*c.StdUncertainty)
		return between(c.Lower-reach, c.Lower+reach, 0, barWidth)
	case "bl":
		return oneSided(c, c.Lower, left, barWidth)
	}
	return oneSided(c, c.Upper, right, 0)
}

// oneSided scales so that a value inside lies within the band, which runs from the limit at from
// to the edge of the bar at to, and one outside beside it.
func oneSided(c *fit.Characteristic, limit, from, to float64) axis {
	room, outside := math.Abs(to-from), barWidth-math.Abs(to-from)
	u := report.Coverage * c.StdUncertainty
	inward := (c.Value - limit) * math.Copysign(1, to-from)
	need := math.Max((inward+u)/(0.92*room), (u-inward)/(0.9*outside)) // mm a px
	if need < 1e-12 {                                                  // no uncertainty and no distance: any scale will do
		need = 1 / room
	}
	return axis{from - limit/need, 1 / need}
}

// drawInterval draws whisker and mark, or an arrow where the value lies off the scale.
func drawInterval(f *figure, c *fit.Characteristic, scale axis) {
	const margin = 7.0
	x := scale.of(c.Value)
	clamp := func(x float64) float64 { return math.Min(math.Max(x, 1), barWidth-1) }
	u := report.Coverage * c.StdUncertainty
	from, to := clamp(scale.of(c.Value-u)), clamp(scale.of(c.Value+u))
	switch {
	case x < margin:
		f.use("al")
		return
	case x > barWidth-margin:
		f.use("ar")
		return
	}
	f.path("", "M"+near(from)+" 6v8m0-4H"+near(to)+"m0-4v8")
	f.use(marks[c.Verdict], "x", near(x))
}

// marks are the ready-made marks of a value: a disc for pass, a diamond for unsure, a square for
// fail.
var marks = [...]string{fit.NotMeasured: "f", fit.NotJudged: "f", fit.Pass: "p", fit.Unsure: "u", fit.Fail: "f"}
