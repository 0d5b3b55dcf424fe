package draw

import (
	"strconv"
)

// registerStep is between the ticks on the neck's centre line, in mm.
const registerStep = 50

// tileSheet draws one tile, without heading and bars.
func (t *Template) tileSheet(g *grid, i int) Drawing {
	var d, body Drawing
	v, w := g.viewOf(i), g.window()
	t.drawBody(&body)
	d.within(w, func() {
		t.drawCentre(&d, v, w)
		d.place(&body, v)
	})
	t.callouts(&d, v, w)
	g.drawFrame(&d, i)
	return d
}

// drawBody draws what does not depend on the sheet: outlines, corners and holes, holes on top.
func (t *Template) drawBody(d *Drawing) {
	for _, o := range t.Plate {
		drawOutline(d, o, "plate", Style{Ink: DarkGrey, Width: plateWidth, Dash: Dashed})
	}
	for _, o := range t.Register {
		drawOutline(d, o, "register", Style{Width: registerWidth})
	}
	for i, c := range t.Corners {
		d.Group(Group{ID: "corner-" + strconv.Itoa(i+1), Class: "corner"}, func() { drawTarget(d, c) })
	}
	for i := range t.Holes {
		t.Holes[i].draw(d, i+1)
	}
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

// drawCentre draws the neck's centre line right across the window, with a tick at every 50 mm
// from its first point.
func (t *Template) drawCentre(d *Drawing, v View, w Box) {
	if len(t.Centre) == 0 {
		return
	}
	a, b := v.Apply(t.Centre[0]), v.Apply(t.Centre[1])
	unit := b.minus(a).times(1 / b.minus(a).length())
	far := 4.0 * reach // beyond any window, whose points are within reach of a kit's zero
	from, to, ok := w.clipLine(a.minus(unit.times(far)), a.plus(unit.times(far)))
	if !ok {
		return
	}
	d.Group(Group{ID: "centre", Class: "centre", Title: "neck centre line"}, func() {
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
