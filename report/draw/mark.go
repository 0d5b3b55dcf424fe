package draw

import (
	"math"
	"sort"
)

// canvas is what marks are painted on, in mm of the page; there is one for SVG and one for PDF.
type canvas interface {
	path(points []Point, closed bool, s Style)
	circle(centre Point, r float64, s Style)
	text(at Point, text string, f Font)
	open(g Group)
	close()
	clip(b Box)
	unclip()
}

// mark is one thing of a drawing.
type mark interface {
	placed(v View) mark
	paint(c canvas)
}

type path struct {
	points []Point
	closed bool
	style  Style
}

func (m path) placed(v View) mark { return path{v.all(m.points), m.closed, m.style} }

func (m path) paint(c canvas) {
	if m.style.Fill == Hatched {
		hatch(c, m.points, m.style)
		m.style.Fill = Open
	}
	c.path(m.points, m.closed, m.style)
}

type circle struct {
	centre Point
	r      float64
	style  Style
}

func (m circle) placed(v View) mark { return circle{v.Apply(m.centre), m.r * v.scale(), m.style} }

func (m circle) paint(c canvas) {
	if m.style.Fill == Hatched {
		// Corners on the circle; with 72 of them the ring falls short of it by a thousandth of the radius,
		// which a hatch does not show.
		ring := make([]Point, 72)
		for i := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(ring)))
			ring[i] = m.centre.plus(Point{m.r * cos, m.r * sin})
		}
		hatch(c, ring, m.style)
		m.style.Fill = Open
	}
	c.circle(m.centre, m.r, m.style)
}

type label struct {
	at   Point
	text string
	font Font
}

func (m label) placed(v View) mark {
	m.at = v.Apply(m.at)
	m.font.Size = m.font.size() * v.scale()
	return m
}

func (m label) paint(c canvas) { c.text(m.at, m.text, m.font) }

// part is marks that belong together: a group, or what shows inside a box of the page only.
type part struct {
	group Group
	clip  *Box // of the page; nil for a group
	marks []mark
}

func (m part) placed(v View) mark {
	marks := make([]mark, len(m.marks))
	for i, one := range m.marks {
		marks[i] = one.placed(v)
	}
	m.marks = marks
	return m
}

func (m part) paint(c canvas) {
	begin, end := func() { c.open(m.group) }, c.close
	switch {
	case m.clip != nil:
		begin, end = func() { c.clip(*m.clip) }, c.unclip
	case m.group == Group{}:
		begin, end = func() {}, func() {}
	}
	begin()
	for _, one := range m.marks {
		one.paint(c)
	}
	end()
}

// Ink is a colour. None means anything alone: what it sets apart, a dash or a shape sets apart too.
type Ink uint8

// The inks.
const (
	Black Ink = iota
	DarkGrey
	MidGrey
	LightGrey
	White
	Blue
	Red
	Green
)

// colours are the inks' red, green and blue, 0 to 255: dark enough to read on white, and different in lightness where they are
// told apart in grey.
var colours = [...][3]int{
	Black: {0, 0, 0}, DarkGrey: {70, 70, 70}, MidGrey: {120, 120, 120}, LightGrey: {190, 190, 190}, White: {255, 255, 255},
	Blue: {0, 60, 140}, Red: {170, 20, 20}, Green: {0, 95, 60},
}

func (i Ink) rgb() (r, g, b int) { return colours[i][0], colours[i][1], colours[i][2] }

// Dash is how a line is broken.
type Dash uint8

// The dashes.
const (
	Solid  Dash = iota
	Dashed      // hidden or old things
	Dotted      // leaders and grids
	Chain       // centre lines: long, short
)

// lengths are the strokes and gaps in mm.
func (d Dash) lengths() []float64 {
	return [...][]float64{Solid: nil, Dashed: {2, 1}, Dotted: {0.4, 0.8}, Chain: {8, 1, 1.5, 1}}[d]
}

// Fill is what a closed outline or a circle has inside.
type Fill uint8

// The fills.
const (
	Open    Fill = iota // nothing
	Hatched             // lines at 45 degrees in the ink
	Full                // the ink
	Cover               // white, to cover what lies beneath
)

// Style is how a line or an outline is drawn; the zero value is a solid black line 0.25 mm wide.
type Style struct {
	Ink   Ink
	Width float64 // of the stroke, in mm; 0 means 0.25, below 0 means no stroke
	Dash  Dash
	Fill  Fill
}

// usualWidth is a stroke that both a laser and an ink printer draw cleanly.
const usualWidth = 0.25

func (s Style) width() float64 {
	if s.Width == 0 {
		return usualWidth
	}
	return s.Width
}

// Anchor is the side of the writing that lies at its place, as the reader sees it.
type Anchor uint8

// The anchors.
const (
	Left Anchor = iota
	Middle
	Right
)

// Font is how writing looks; Size is that of the letters in mm (a capital is 0.73 of it), 0
// means 3, and Turn is in degrees, positive clockwise, on the page.
type Font struct {
	Size   float64
	Bold   bool
	Ink    Ink
	Anchor Anchor
	Turn   float64
}

func (f Font) size() float64 {
	if f.Size == 0 {
		return 3
	}
	return f.Size
}

// hatchPitch is between hatch lines and hatchWidth the stroke of one, in mm: fine enough to show
// in a 6 mm plug, coarse enough to leave the cross-hair readable.
const (
	hatchPitch = 1.1
	hatchWidth = 0.1
)

// maxHatch bounds the lines of one hatch, so that an outline of absurd size costs no absurd file.
const maxHatch = 2000

// hatch fills a polygon with lines at 45 degrees. They are spaced from the page's corner, so
// that neighbouring hatches line up.
func hatch(c canvas, polygon []Point, s Style) {
	normal, along := Point{math.Sqrt2 / 2, math.Sqrt2 / 2}, Point{math.Sqrt2 / 2, -math.Sqrt2 / 2}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range polygon {
		low, high = math.Min(low, p.dot(normal)), math.Max(high, p.dot(normal))
	}
	if high-low > maxHatch*hatchPitch {
		return
	}
	line := Style{Ink: s.Ink, Width: hatchWidth}
	for k := math.Ceil(low / hatchPitch); k*hatchPitch < high; k++ {
		d := k * hatchPitch
		var cuts []float64 // where along the line normal.p = d enters and leaves the polygon
		for i, p := range polygon {
			q := polygon[(i+1)%len(polygon)]
			a, b := p.dot(normal)-d, q.dot(normal)-d
			if (a < 0) != (b < 0) {
				cuts = append(cuts, p.along(q, a/(a-b)).dot(along))
			}
		}
		sort.Float64s(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			base := normal.times(d)
			c.path([]Point{base.plus(along.times(cuts[i])), base.plus(along.times(cuts[i+1]))}, false, line)
		}
	}
}
