package html

import (
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// figure is a drawing in progress, in units of its view box (about a pixel on a wide screen). Its
// marks have classes and no colours: the page's style paints them for either theme and for paper.
type figure struct {
	b             strings.Builder
	width, height float64
	writing       []draw.Box
}

// point is a place in a figure, x to the right and y down.
type point struct{ x, y float64 }

// num writes a coordinate to a hundredth, which at any of our scales is below 0.01 mm.
func num(x float64) string {
	const hundredth = 100
	text := strconv.FormatFloat(math.Round(x*hundredth)/hundredth, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// near writes a coordinate of something that is only to be seen, to a tenth.
func near(x float64) string {
	const tenth = 10
	return num(math.Round(x*tenth) / tenth)
}

// attributes are written in pairs of a name and a value.
func (f *figure) attributes(pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i] == "class" && pairs[i+1] == "" {
			continue
		}
		f.b.WriteString(" " + pairs[i] + `="` + template.HTMLEscapeString(pairs[i+1]) + `"`)
	}
}

// element writes one element without content; pairs are attribute and value.
func (f *figure) element(name, class string, pairs ...string) {
	f.b.WriteString("<" + name)
	f.attributes("class", class)
	f.attributes(pairs...)
	f.b.WriteString("/>")
}

func (f *figure) line(class string, from, to point) {
	f.element("line", class, "x1", num(from.x), "y1", num(from.y), "x2", num(to.x), "y2", num(to.y))
}

func (f *figure) rect(class string, x, y, w, h float64) {
	f.element("rect", class, "x", num(x), "y", num(y), "width", num(max(0, w)), "height", num(max(0, h)))
}

func (f *figure) circle(class string, at point, r float64) {
	f.element("circle", class, "cx", num(at.x), "cy", num(at.y), "r", num(r))
}

func (f *figure) polygon(class string, corners ...point) {
	list := make([]string, len(corners))
	for i, p := range corners {
		list[i] = num(p.x) + "," + num(p.y)
	}
	f.element("polygon", class, "points", strings.Join(list, " "))
}

// path takes ready path data; without any it draws nothing.
func (f *figure) path(class, data string) {
	if data != "" {
		f.element("path", class, "d", data)
	}
}

// text writes a line; the class has m for one centred and e for one that ends at its place.
func (f *figure) text(class string, at point, text string) {
	if text == "" {
		return
	}
	f.writing = append(f.writing, writingBox(class, at, text))
	f.b.WriteString("<text")
	f.attributes("class", class, "x", num(at.x), "y", num(at.y))
	f.b.WriteString(">" + template.HTMLEscapeString(text) + "</text>")
}

// writingBox is where a line of text stands in a face wider than most, a pixel short of its neighbours.
func writingBox(class string, at point, text string) draw.Box {
	const size, wider, up, down = 13.0, 1.25, 12.0, 3.0
	classes := strings.Fields(class)
	long := wider * draw.Width(text, draw.Font{Size: size, Bold: slices.Contains(classes, "strong") || slices.Contains(classes, "side")})
	left := at.x
	switch {
	case slices.Contains(classes, "m"):
		left -= long / 2
	case slices.Contains(classes, "e"):
		left -= long
	}
	return draw.Box{Min: draw.Point{X: left, Y: at.y - up}, Max: draw.Point{X: left + long, Y: at.y + down}}
}

// textWhereFree writes a line at the first of several heights at which nothing is written yet; at the last
// where there is none.
func (f *figure) textWhereFree(class string, x float64, text string, heights ...float64) {
	for _, y := range heights {
		box := writingBox(class, point{x, y}, text)
		if !slices.ContainsFunc(f.writing, box.Overlaps) {
			f.text(class, point{x, y}, text)
			return
		}
	}
	f.text(class, point{x, heights[len(heights)-1]}, text)
}

// whisker is an upright interval with feet.
func (f *figure) whisker(class string, x, from, to float64) {
	const foot = 5
	f.path(class, "M"+num(x-foot)+" "+num(from)+"h"+num(2*foot)+"M"+num(x-foot)+" "+num(to)+"h"+num(2*foot)+
		"M"+num(x)+" "+num(from)+"V"+num(to))
}

// diamond stands for a fitted place.
func (f *figure) diamond(class string, at point, r float64, pairs ...string) {
	d := "M" + num(at.x-r) + " " + num(at.y) + "L" + num(at.x) + " " + num(at.y-r) +
		"L" + num(at.x+r) + " " + num(at.y) + "L" + num(at.x) + " " + num(at.y+r) + "Z"
	f.element("path", class, append([]string{"d", d}, pairs...)...)
}

// use places a ready-made piece (see defs in page.tmpl), which over a thousand kits is megabytes.
func (f *figure) use(id string, pairs ...string) {
	f.element("use", "", append([]string{"href", "#" + id}, pairs...)...)
}

// svg closes the figure. The label is what a reader who cannot see it is told; pairs are further
// attributes of the program's own.
func (f *figure) svg(class, label string, pairs ...string) template.HTML {
	whole := &figure{}
	whole.b.WriteString("<svg")
	whole.attributes("class", class, "viewBox", "0 0 "+num(f.width)+" "+num(f.height), "role", "img", "aria-label", label)
	whole.attributes(pairs...)
	return template.HTML(whole.b.String() + ">" + f.b.String() + "</svg>") //nolint:gosec // every text and attribute was escaped
}

// bare closes a figure that only repeats what is written beside it. It is shown at its own size,
// which the style gives.
func (f *figure) bare(class string) template.HTML {
	return template.HTML(`<svg class="` + class + `">` + f.b.String() + "</svg>") //nolint:gosec // as in svg
}

// What follows is path data, to be gathered in one path.

// saltire is a cross on its feet.
func saltire(at point, arm float64) string {
	return "M" + num(at.x-arm) + " " + num(at.y-arm) + "l" + num(2*arm) + " " + num(2*arm) +
		"m" + num(-2*arm) + " 0l" + num(2*arm) + " " + num(-2*arm)
}

// dot is a point; the style gives it its size and shape.
func dot(at point) string { return "M" + near(at.x) + " " + near(at.y) + "h0" }

// stroke is a straight line.
func stroke(a, b point) string {
	return "M" + near(a.x) + " " + near(a.y) + "L" + near(b.x) + " " + near(b.y)
}

// axis maps a quantity to a coordinate: at + per x quantity.
type axis struct{ at, per float64 }

func (a axis) of(x float64) float64 { return a.at + a.per*x }

// data writes the axis for those who read a drawing back.
func (a axis) data() string {
	return strconv.FormatFloat(a.at, 'g', 10, 64) + " " + strconv.FormatFloat(a.per, 'g', 10, 64)
}

// between maps low to from and high to to.
func between(low, high, from, to float64) axis {
	if high == low {
		high = low + 1
	}
	per := (to - from) / (high - low)
	return axis{from - per*low, per}
}

// roundFactor is the largest of 1, 2, 3, 5 times a power of ten that is not above x; 1 at least.
func roundFactor(x float64) float64 {
	best := 1.0
	for power := 1.0; power <= x && power < 1e6; power *= 10 {
		for _, step := range []float64{1, 2, 3, 5} {
			if step*power <= x {
				best = step * power
			}
		}
	}
	return best
}

// The tolerance bar: the limits as a band, the value as a mark whose shape is the verdict, its
// 95 % interval as a whisker. All bars of a table have the band at the same place, so that the eye
// runs down one column.
const (
	barWidth  = 240.0
	bandLeft  = 0.3 * barWidth
	bandRight = 0.7 * barWidth
)

// bar draws what was judged; "" for anything else. It says nothing that its row does not say in
// text, so it is hidden from those who cannot see it.
func bar(c *fit.Characteristic) template.HTML {
	if !words.Judged(c) {
		return ""
	}
	f := figure{}
	band, scale := barScale(c)
	f.use(band)
	const margin = 7.0
	x, u := scale.of(c.Value), words.Coverage*c.StdUncertainty
	switch {
	case x < margin: // an arrow where the value lies off the scale
		f.use("al")
	case x > barWidth-margin:
		f.use("ar")
	default:
		clamp := func(x float64) string { return near(math.Min(math.Max(x, 1), barWidth-1)) }
		f.path("", "M"+clamp(scale.of(c.Value-u))+" 6v8m0-4H"+clamp(scale.of(c.Value+u))+"m0-4v8")
		f.use(marks[c.Verdict], "x", near(x))
	}
	return f.bare("bar " + words.Verdict(c.Verdict))
}

// marks are the ready-made marks of a value: a disc for pass, a diamond for unsure, a square for
// fail.
var marks = [...]string{fit.NotMeasured: "f", fit.NotJudged: "f", fit.Pass: "p", fit.TooCoarse: "u", fit.Incomplete: "u", fit.Unsure: "u", fit.Implausible: "u", fit.Fail: "f"}

// barScale puts the limits at the ends of a ready-made band (see defs in page.tmpl): b for limits on
// both sides, bp for two that are the same, bl and bu for one. With one limit the band runs open to
// the other side, and the scale is such that the interval can be seen.
func barScale(c *fit.Characteristic) (band string, scale axis) {
	u := words.Coverage * c.StdUncertainty
	low, high := !math.IsInf(c.Lower, -1), !math.IsInf(c.Upper, 1)
	// A value inside lies within the band, which runs from the limit at from to the edge of the bar at
	// to, and one outside beside it.
	oneSided := func(limit, from, to float64) axis {
		room, outside := math.Abs(to-from), barWidth-math.Abs(to-from)
		inward := (c.Value - limit) * math.Copysign(1, to-from)
		need := math.Max((inward+u)/(0.92*room), (u-inward)/(0.9*outside)) // mm a px
		if need < 1e-12 {                                                  // no uncertainty and no distance: any scale will do
			need = 1 / room
		}
		return axis{from - limit/need, 1 / need}
	}
	switch {
	case low && high && c.Upper > c.Lower:
		return "b", between(c.Lower, c.Upper, bandLeft, bandRight)
	case low && high:
		reach := 1.25 * math.Max(math.Abs(c.Value-c.Lower), u)
		return "bp", between(c.Lower-reach, c.Lower+reach, 0, barWidth)
	case low:
		return "bl", oneSided(c.Lower, bandLeft, barWidth)
	}
	return "bu", oneSided(c.Upper, bandRight, 0)
}
