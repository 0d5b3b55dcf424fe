package draw

import (
	"fmt"
	"strconv"
)

// Paper is a size of sheet.
type Paper uint8

// The papers.
const (
	A4     Paper = iota // 210 x 297 mm, ISO 216
	Letter              // 8.5 x 11 in, 215.9 x 279.4 mm
)

// papers are their words and the upright sheets in mm.
var papers = [...]struct {
	word string
	sheet
}{A4: {"a4", sheet{210, 297}}, Letter: {"letter", sheet{215.9, 279.4}}}

// String is the word that ParsePaper reads.
func (p Paper) String() string { return papers[p].word }

// ParsePaper reads "a4" or "letter".
func ParsePaper(text string) (Paper, error) {
	for p := range papers {
		if text == papers[p].word {
			return Paper(p), nil
		}
	}
	return 0, fmt.Errorf("paper %q: must be a4 or letter", text)
}

// margin is the border, in mm, that is left blank because a printer may not reach it.
const margin = 10

// bands are what a sheet keeps for itself inside the margin, in mm: the heading on top, the
// check bars at the left and at the foot.
const (
	headBand = 15
	footBand = 13
	sideBand = 9
)

// sheet is a paper one way round.
type sheet struct{ width, height float64 }

func (p Paper) upright() sheet { return papers[p].sheet }

func (p Paper) across() sheet { return sheet{papers[p].height, papers[p].width} }

// printable is the part of the page inside the margin.
func (s sheet) printable() Box { return Box{Max: Point{s.width, s.height}}.Grown(-margin) }

// window is the part of the page on which the template lies.
func (s sheet) window() Box {
	b := s.printable()
	b.Min = b.Min.plus(Point{sideBand, headBand})
	b.Max.Y -= footBand
	return b
}

// bar is the length of the check bars, in mm.
const bar = 100

// furnish adds what every sheet has: the heading, the check bars, and what to check by them.
func (t *Template) furnish(p *page, number, total int) {
	b := p.printable()
	b.Min.X += sideBand
	t.heading(&p.drawing, b, fmt.Sprintf("Sheet %d of %d", number, total))
	across := Point{b.Min.X, b.Max.Y - 6}
	p.drawing.checkBar(across, Point{1, 0}, "bar-across")
	down := Point{b.Min.X - 4, p.window().centre().Y - bar/2}
	p.drawing.checkBar(down, Point{0, 1}, "bar-down")
	said := "Print at 100 %, not fitted to the page. Both bars must measure 100 mm on the paper: if not, do not drill."
	if number > 1 {
		said += " Read sheet 1 first."
	}
	f := Font{Size: 2.4}
	for i, line := range wrap(said, f, b.Max.X-across.X-bar-8, 4) {
		p.drawing.Text(Point{across.X + bar + 8, b.Max.Y - 8 + 3*float64(i)}, line, f)
	}
}

// heading names the kit at the left and the sheet at the right; the word MIRRORED stands between.
func (t *Template) heading(d *Drawing, b Box, sheet string) {
	big := Font{Size: 4.4, Bold: true}
	y, right := b.Min.Y+3.8, b.Max.X
	atRight := big
	atRight.Anchor = Right
	d.Text(Point{right, y}, sheet, atRight)
	right -= Width(sheet, big) + 5
	if t.Left {
		const word = "MIRRORED"
		w := Width(word, big) + 4
		box := Box{Point{right - w, b.Min.Y - 0.6}, Point{right, b.Min.Y + 5.2}}
		d.Group(Group{ID: "mirrored", Class: "mirrored"}, func() {
			d.Polygon(box.corners(), Style{Width: 0.5})
			d.Text(Point{right - 2, y}, word, atRight)
		})
		right -= w + 5
	}
	kit := t.Kit
	if readable(kit) == "" {
		kit = "kit without a name"
	}
	d.Text(Point{b.Min.X, y}, shorten(kit, big, right-b.Min.X), big)
	line := "Drill template, full size (1:1)"
	if t.Left {
		line += ", for a left-handed instrument"
	}
	if t.Scale != "" {
		line += ". " + t.Scale
	}
	small := Font{Size: 2.7}
	for i, part := range wrap(line, small, b.Width(), 2) {
		d.Text(Point{b.Min.X, b.Min.Y + 8.4 + 3.2*float64(i)}, part, small)
	}
}

// checkBar draws a bar of exactly 100 mm with a tick every 10 mm, along a unit vector.
func (d *Drawing) checkBar(from, along Point, id string) {
	to := from.plus(along.times(bar))
	out := Point{along.Y, along.X} // to the foot of the page, or to its right
	d.Group(Group{ID: id, Class: "bar"}, func() {
		d.Line(from, to, Style{Width: 0.3})
		for k := 0; k <= 10; k++ {
			at, tick := from.plus(along.times(float64(k)*10)), 1.0
			if k%5 == 0 {
				tick = 2
			}
			d.Line(at.minus(out.times(tick)), at.plus(out.times(tick)), Style{Width: 0.2})
		}
	})
	f := Font{Size: 2.4, Anchor: Middle}
	place := Point{0, 4.6}
	if along.Y != 0 {
		f.Turn = -90
		place = Point{-2.6, 0}
	}
	d.Text(from.along(to, 0.25).plus(place), "100 mm", f)
}

// registerStep is between the ticks on the neck's centre line, in mm.
const registerStep = 50

// tileSheet draws one tile, without heading and bars: outlines, corners and holes, holes on top.
func (t *Template) tileSheet(g *grid, i int) Drawing {
	var d, body Drawing
	v, w := g.viewOf(i), g.window()
	for _, o := range t.Plate {
		drawOutline(&body, o, "plate", Style{Ink: DarkGrey, Width: plateWidth, Dash: Dashed})
	}
	for _, o := range t.Register {
		drawOutline(&body, o, "register", Style{Width: registerWidth})
	}
	for i, c := range t.Corners {
		body.Group(Group{ID: "corner-" + strconv.Itoa(i+1), Class: "corner"}, func() { drawTarget(&body, c) })
	}
	for i := range t.Holes {
		t.Holes[i].draw(&body, i+1)
	}
	t.drawAcross(&d, v, w)
	d.place(&body, v, &w)
	t.write(&d, g, i)
	g.drawFrame(&d, i)
	return d
}

// drawTarget draws a registration cross: a ring on a cross-hair, unlike any hole's mark.
func drawTarget(d *Drawing, at Point) {
	d.Cross(at, 4, Style{Width: hairWidth})
	d.Circle(at, 1.2, Style{Width: hairWidth, Ink: DarkGrey})
	d.Circle(at, 2.2, Style{Width: hairWidth, Ink: DarkGrey})
}

func drawOutline(d *Drawing, o Outline, class string, s Style) {
	if len(o.Points) < 2 {
		return
	}
	d.Group(Group{Class: class, Title: o.Name}, func() {
		if o.Closed {
			d.Polygon(o.Points, s)
			return
		}
		d.Polyline(o.Points, s)
	})
}

// rightAcross is the part of the line through two points that a window shows.
func rightAcross(l Outline, v View, w Box) (from, to Point, ok bool) {
	a, b := v.Apply(l.Points[0]), v.Apply(l.Points[1])
	step := b.minus(a).times(4 * reach / b.minus(a).length()) // beyond any window, whose points are within reach of a kit's zero
	return w.clipLine(a.minus(step), a.plus(step))
}

// drawAcross draws the neck's centre line right across the window, with a tick at every 50 mm from its
// first point, and the fingerboard's edges.
func (t *Template) drawAcross(d *Drawing, v View, w Box) {
	for i, e := range t.Edges {
		if from, to, ok := rightAcross(e, v, w); ok {
			d.Group(Group{ID: "edge-" + strconv.Itoa(i+1), Class: "edge", Title: e.Name}, func() {
				d.Line(from, to, Style{Width: 0.35, Dash: Dashed})
			})
		}
	}
	if t.Centre == nil {
		return
	}
	centre := t.across()[0]
	from, to, ok := rightAcross(centre, v, w)
	if !ok {
		return
	}
	a := v.Apply(t.Centre[0])
	unit := v.Apply(t.Centre[1]).minus(a)
	unit = unit.times(1 / unit.length())
	d.Group(Group{ID: "centre", Class: "centre", Title: centre.Name}, func() {
		d.Line(from, to, Style{Width: 0.2, Dash: Chain})
		square := Point{-unit.Y, unit.X}.times(1.5)
		first, last := from.minus(a).dot(unit), to.minus(a).dot(unit)
		for k := int(first/registerStep) - 1; float64(k)*registerStep <= last; k++ {
			if at := a.plus(unit.times(float64(k) * registerStep)); w.holds(at) {
				d.Line(at.minus(square), at.plus(square), Style{Width: hairWidth})
			}
		}
	})
}

// drawFrame draws the window's edge, the joins to other tiles and which way is which.
func (g *grid) drawFrame(d *Drawing, i int) {
	w, v := g.window(), g.viewOf(i)
	d.Group(Group{Class: "frame"}, func() {
		d.Polygon(w.corners(), Style{Ink: LightGrey, Width: 0.15})
	})
	for n, c := range w.Grown(-5).corners() {
		d.Group(Group{ID: "sheet-cross-" + strconv.Itoa(n+1), Class: "sheet-cross"}, func() {
			d.Cross(c, 2, Style{Width: hairWidth, Ink: MidGrey})
		})
	}
	for _, j := range g.joins {
		switch i {
		case j.earlier:
			g.drawJoin(d, j, v, "lay sheet %d on this strip, up to the line", j.later)
		case j.later:
			g.drawJoin(d, j, v, "cut along this line, lay on sheet %d", j.earlier)
		}
	}
	left, right := "bass side", "treble side"
	if g.view.Mirrored {
		left, right = right, left
	}
	f := Font{Size: 2.6, Ink: DarkGrey}
	y := w.Min.Y - 1.3
	d.Text(Point{w.Min.X, y}, left, f)
	f.Anchor = Right
	d.Text(Point{w.Max.X, y}, right, f)
	f.Anchor = Middle
	d.Text(Point{w.centre().X, y}, "↑ to the headstock", f)
}
