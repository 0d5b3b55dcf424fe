// Package draw makes drawings in millimetres: a sketch for a page of HTML, and the drill template,
// full size, on sheets of paper as PDF or SVG. Geometry goes in, as plain numbers; the package
// knows no necks and decides nothing.
//
// A drawing's x is the station, growing tailward, and its y the offset, growing toward treble.
// How that lies on the page is a View's affair. Same input, same bytes.
package draw

import "math"

// Point is a place in millimetres.
type Point struct{ X, Y float64 }

func (p Point) plus(q Point) Point             { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) minus(q Point) Point            { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) times(f float64) Point          { return Point{p.X * f, p.Y * f} }
func (p Point) dot(q Point) float64            { return p.X*q.X + p.Y*q.Y }
func (p Point) length() float64                { return math.Hypot(p.X, p.Y) }
func (p Point) along(q Point, f float64) Point { return p.plus(q.minus(p).times(f)) }

func (p Point) finite() bool {
	sum := p.X - p.X + p.Y - p.Y // 0, or NaN when either is infinite or none
	return sum == 0
}

// Drawing is a list of marks, painted in the order in which they were added; the zero value is
// empty and ready.
type Drawing struct{ marks []mark }

// Line adds a straight line.
func (d *Drawing) Line(from, to Point, s Style) { d.Polyline([]Point{from, to}, s) }

// Polyline adds a line through two or more points.
func (d *Drawing) Polyline(points []Point, s Style) {
	d.marks = append(d.marks, path{points: append([]Point(nil), points...), style: s})
}

// Polygon adds a closed outline, which the style may fill.
func (d *Drawing) Polygon(points []Point, s Style) {
	d.marks = append(d.marks, path{points: append([]Point(nil), points...), closed: true, style: s})
}

// Circle adds a circle of radius r mm.
func (d *Drawing) Circle(centre Point, r float64, s Style) {
	d.marks = append(d.marks, circle{centre, r, s})
}

// Cross adds a thin cross-hair whose arms reach arm mm from the centre, along x and y.
func (d *Drawing) Cross(centre Point, arm float64, s Style) {
	d.crossAt(centre, Point{arm, 0}, s)
}

// Saltire adds a cross that stands on its feet, each leg arm mm from the centre.
func (d *Drawing) Saltire(centre Point, arm float64, s Style) {
	d.crossAt(centre, Point{arm * math.Sqrt2 / 2, arm * math.Sqrt2 / 2}, s)
}

func (d *Drawing) crossAt(c, arm Point, s Style) {
	square := Point{-arm.Y, arm.X}
	d.Group(Group{Class: "cross"}, func() {
		d.Line(c.minus(arm), c.plus(arm), s)
		d.Line(c.minus(square), c.plus(square), s)
	})
}

// Text adds a line of writing, which stays upright and readable however the drawing is turned or
// mirrored.
func (d *Drawing) Text(at Point, text string, f Font) {
	d.marks = append(d.marks, label{at: at, text: readable(text), font: f})
}

// Group says what the marks that belong together stand for. ID and Class become the element's in
// SVG and the name of a marked-content sequence in PDF, so they are the program's own words of
// a-z, 0-9 and -; Title may be anything and is shown by an SVG viewer on pointing.
type Group struct{ ID, Class, Title string }

// Group runs add; what it adds to the drawing belongs together.
func (d *Drawing) Group(g Group, add func()) {
	g.Title = readable(g.Title)
	d.marks = append(d.marks, opening{g})
	add()
	d.marks = append(d.marks, closing{})
}

// within paints what add adds inside a box of the page only.
func (d *Drawing) within(b Box, add func()) {
	d.marks = append(d.marks, clipping{b})
	add()
	d.marks = append(d.marks, unclipping{})
}

// place adds another drawing as a view shows it.
func (d *Drawing) place(other *Drawing, v View) {
	for _, m := range other.marks {
		d.marks = append(d.marks, m.placed(v))
	}
}

// Bounds is the least box around all marks, writing included; empty for an empty drawing.
func (d *Drawing) Bounds() Box {
	b := Empty()
	for _, m := range d.marks {
		b = b.Around(m.bounds())
	}
	return b
}

func (d *Drawing) paint(c canvas) {
	for _, m := range d.marks {
		m.paint(c)
	}
}
