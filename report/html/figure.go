package html

import (
	"html/template"
	"math"
	"strconv"
	"strings"
)

// figure is a drawing in progress, in units of its view box (about a pixel on a wide screen). Its
// marks have classes and no colours: the page's style paints them for either theme and for paper.
type figure struct {
	b             strings.Builder
	width, height float64
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

// element writes one element without content; pairs are attribute and value.
func (f *figure) element(name, class string, pairs ...string) {
	f.b.WriteString("<" + name)
	if class != "" {
		f.b.WriteString(` class="` + class + `"`)
	}
	for i := 0; i < len(pairs); i += 2 {
		f.b.WriteString(" " + pairs[i] + `="` + template.HTMLEscapeString(pairs[i+1]) + `"`)
	}
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
	var list strings.Builder
	for i, p := range corners {
		if i > 0 {
			list.WriteByte(' ')
		}
		list.WriteString(num(p.x) + "," + num(p.y))
	}
	f.element("polygon", class, "points", list.String())
}

// path takes ready path data.
func (f *figure) path(class, data string) { f.element("path", class, "d", data) }

// cross is an upright cross, diagonal one on its feet; both as path data, to be gathered in one path.
func cross(at point, arm float64) string {
	return "M" + num(at.x-arm) + " " + num(at.y) + "h" + num(2*arm) + "M" + num(at.x) + " " + num(at.y-arm) + "v" + num(2*arm)
}

func saltire(at point, arm float64) string {
	return "M" + num(at.x-arm) + " " + num(at.y-arm) + "l" + num(2*arm) + " " + num(2*arm) +
		"m" + num(-2*arm) + " 0l" + num(2*arm) + " " + num(-2*arm)
}

// text writes a line; the class has m for one centred and e for one that ends at its place.
func (f *figure) text(class string, at point, words string) {
	f.b.WriteString("<text")
	if class != "" {
		f.b.WriteString(` class="` + class + `"`)
	}
	f.b.WriteString(` x="` + num(at.x) + `" y="` + num(at.y) + `">` + template.HTMLEscapeString(words) + "</text>")
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

// svg closes the figure. The label is what a reader who cannot see it is told; pairs are further
// attributes of the program's own.
func (f *figure) svg(class, label string, pairs ...string) template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="` + class + `" viewBox="0 0 ` + num(f.width) + " " + num(f.height) + `" role="img" aria-label="` +
		template.HTMLEscapeString(label) + `"`)
	for i := 0; i < len(pairs); i += 2 {
		b.WriteString(" " + pairs[i] + `="` + template.HTMLEscapeString(pairs[i+1]) + `"`)
	}
	b.WriteString(">" + f.b.String() + "</svg>")
	return template.HTML(b.String()) //nolint:gosec // every text and attribute was escaped above
}

// use places a ready-made piece (see defs in page.tmpl), which over a thousand kits is megabytes.
func (f *figure) use(id string, pairs ...string) {
	f.element("use", "", append([]string{"href", "#" + id}, pairs...)...)
}

// bare closes a figure that only repeats what is written beside it. It is shown at its own size,
// which the style gives.
func (f *figure) bare(class string) template.HTML {
	return template.HTML(`<svg class="` + class + `">` + f.b.String() + "</svg>") //nolint:gosec // as in svg
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

// near writes a coordinate of something that is only to be seen, to a tenth.
func near(x float64) string {
	const tenth = 10
	return num(math.Round(x*tenth) / tenth)
}

// dot is a point as path data; the style gives it its size and shape.
func dot(at point) string { return "M" + near(at.x) + " " + near(at.y) + "h0" }

// stroke is a straight line as path data.
func stroke(a, b point) string {
	return "M" + near(a.x) + " " + near(a.y) + "L" + near(b.x) + " " + near(b.y)
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
