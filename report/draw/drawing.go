// Package draw makes drawings in millimetres: the drill template, full size, on sheets of paper as PDF
// or SVG. Geometry goes in, as plain numbers; the package knows no necks and decides nothing.
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

// View lays a drawing on a page, whose x runs to the right and y down, in mm from the top left
// corner: the neck points up, so that stations run down the page, and bass is on the left, as seen
// from the front of a right-handed instrument.
type View struct {
	Mirrored bool    // bass and treble swapped, for a left-handed instrument
	Scale    float64 // 0 means 1, full size
	Origin   Point   // where on the page station 0 and offset 0 lie
}

func (v View) scale() float64 {
	if v.Scale == 0 {
		return 1
	}
	return v.Scale
}

// Apply is where on the page a point of the drawing lies.
func (v View) Apply(p Point) Point {
	if v.Mirrored {
		p.Y = -p.Y
	}
	return Point{p.Y, p.X}.times(v.scale()).plus(v.Origin)
}

func (v View) all(points []Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = v.Apply(p)
	}
	return out
}

func (v View) box(b Box) Box { return boxOf(v.Apply(b.Min), v.Apply(b.Max)) }

// Box is an upright rectangle in mm; it is empty when Min lies beyond Max.
type Box struct{ Min, Max Point }

// Empty is the box that holds nothing.
func Empty() Box {
	return Box{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
}

// boxOf is the least box around points.
func boxOf(points ...Point) Box {
	b := Empty()
	for _, p := range points {
		b = b.Around(Box{p, p})
	}
	return b
}

// Width is along x, in mm.
func (b Box) Width() float64 { return b.Max.X - b.Min.X }

// Height is along y, in mm.
func (b Box) Height() float64 { return b.Max.Y - b.Min.Y }

// Around is the least box that holds both.
func (b Box) Around(c Box) Box {
	return Box{
		Point{math.Min(b.Min.X, c.Min.X), math.Min(b.Min.Y, c.Min.Y)},
		Point{math.Max(b.Max.X, c.Max.X), math.Max(b.Max.Y, c.Max.Y)},
	}
}

// Grown is the box with a border of so many mm around it, or less when negative.
func (b Box) Grown(border float64) Box {
	d := Point{border, border}
	return Box{b.Min.minus(d), b.Max.plus(d)}
}

func (b Box) holds(p Point) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

func (b Box) holdsAll(c Box) bool { return b.holds(c.Min) && b.holds(c.Max) }

// Overlaps reports whether two boxes have more than an edge in common.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y
}

func (b Box) centre() Point { return b.Min.along(b.Max, 0.5) }

func (b Box) corners() []Point {
	return []Point{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}
}

// clipLine is the part of a line from a to b inside the box (Liang and Barsky 1984); ok is false
// when there is none.
func (b Box) clipLine(p, q Point) (from, to Point, ok bool) {
	low, high := 0.0, 1.0
	d := q.minus(p)
	for _, side := range [][2]float64{
		{-d.X, p.X - b.Min.X}, {d.X, b.Max.X - p.X},
		{-d.Y, p.Y - b.Min.Y}, {d.Y, b.Max.Y - p.Y},
	} {
		rate, room := side[0], side[1]
		switch {
		case rate == 0 && room < 0:
			return from, to, false
		case rate < 0:
			low = math.Max(low, room/rate)
		case rate > 0:
			high = math.Min(high, room/rate)
		}
	}
	return p.along(q, low), p.along(q, high), low <= high
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
	before := d.marks
	d.marks = nil
	add()
	d.marks = append(before, part{group: g, marks: d.marks})
}

// place adds another drawing as a view shows it, inside a box of the page only where clip is not nil.
func (d *Drawing) place(other *Drawing, v View, clip *Box) {
	d.marks = append(d.marks, part{marks: other.marks, clip: clip}.placed(v))
}
