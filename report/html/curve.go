package html

import (
	"fmt"
	"html/template"
	"math"

	"neckfit/fit/delivery"
)

// operatingCurve draws, for each class that is inspected by a sample, how likely a lot is accepted
// against the share of bad kits (or of faults a kit) in the process behind it; "" for no such class.
func operatingCurve(a *delivery.Acceptance) template.HTML {
	const height, left, right, top, bottom = 230.0, 52.0, 440.0, 30.0, 190.0
	const unlikely = 0.02 // so far right the curves reach
	f := &figure{width: chartWidth, height: height}
	var classes []*delivery.ClassAcceptance
	most := 0.0
	for i := range a.ByClass {
		if c := &a.ByClass[i]; c.AQL > 0 && c.Judged && !c.Plan.All {
			classes = append(classes, c)
			most = math.Max(most, c.Plan.QualityAt(unlikely))
		}
	}
	if len(classes) == 0 {
		return ""
	}
	x, y := between(0, most, left, right), between(0, 1, bottom, top)
	for _, v := range []float64{0, 0.5, 1} {
		f.line("control", point{left, y.of(v)}, point{right, y.of(v)})
		f.text("tiny e", point{left - 6, y.of(v) + 4}, fmt.Sprintf("%.0f %%", 100*v))
	}
	f.line("base", point{left, bottom}, point{left, top})
	for i := range 5 {
		v := most * float64(i) / 4
		f.text("tiny m", point{x.of(v), bottom + 16}, trimmedPercent(100*v))
	}
	f.text("note", point{left - 46, 16}, "lots accepted")
	f.text("note e", point{right, height - 6}, "bad in the process; ◆ at the AQL")
	label := "Operating curves:"
	for i, c := range classes {
		f.curve(c, i, x, y, most)
		label += fmt.Sprintf(" %s, 50 %% accepted at %s bad.", c.Class, trimmedPercent(100*c.Plan.QualityAt(0.5)))
	}
	return f.svg("fig oc", label, "data-x", x.data(), "data-y", y.data())
}

// curve draws one class in a dash of its own, with its name at the top right and its AQL marked.
func (f *figure) curve(c *delivery.ClassAcceptance, number int, x, y axis, most float64) {
	const steps, sample = 80, 30.0
	class := fmt.Sprintf("oc oc%d", number)
	data := "M"
	for i := range steps + 1 {
		q := most * float64(i) / steps
		if q > 1 && !c.Plan.CountsFaults() {
			break
		}
		if i > 0 {
			data += "L"
		}
		data += num(x.of(q)) + " " + num(y.of(c.Plan.AcceptProcess(q)))
	}
	f.path(class, data)
	aql := c.AQL / 100
	if aql <= most {
		f.diamond("bridge-mark", point{x.of(aql), y.of(c.Plan.AcceptProcess(aql))}, 5)
	}
	const legendRight, row = 440.0, 17.0
	at := point{legendRight - 110, 46 + row*float64(number)}
	f.path(class, stroke(at, point{at.x + sample, at.y}))
	f.text("", point{at.x + sample + 8, at.y + 4}, c.Class.String())
}

// trimmedPercent writes a percentage to two digits or so.
func trimmedPercent(x float64) string {
	if x == 0 {
		return "0 %"
	}
	return trimmed(x) + " %"
}
