package draw

import (
	"fmt"
	"math"
	"strconv"
)

// Writing of the key sheets, in mm.
const (
	keySize = 2.8
	keyStep = 3.9
)

// writer fills key sheets from the top down and begins another where one is full.
type writer struct {
	sheet sheet
	pages []page
	y     float64
}

// keys are the sheets before the template: cautions, what to do at every hole, notes, what the
// signs mean and how the tiles go together.
func (t *Template) keys(p Paper, g *grid) []page {
	w := &writer{sheet: p.upright()}
	w.next()
	w.list("Before you drill", t.Cautions)
	t.schedule(w)
	w.list("Notes", t.Notes)
	w.legend()
	t.mapOf(w, g)
	return w.pages
}

func (w *writer) next() {
	w.pages = append(w.pages, page{sheet: w.sheet})
	w.y = w.sheet.window().Min.Y - 1
}

func (w *writer) page() *Drawing { return &w.pages[len(w.pages)-1].drawing }

// need begins another sheet when fewer than so many mm are left, and reports whether it did.
func (w *writer) need(room float64) bool {
	if w.y+room <= w.sheet.window().Max.Y {
		return false
	}
	w.next()
	return true
}

func (w *writer) heading(text string) {
	w.need(6 + 2*keyStep)
	w.y += 6
	w.page().Text(Point{w.sheet.window().Min.X, w.y}, text, Font{Size: 3.4, Bold: true})
	w.y += 1.2
}

// list writes one paragraph an item, each behind a dash.
func (w *writer) list(title string, items []string) {
	if len(items) == 0 {
		return
	}
	w.heading(title)
	b, f := w.sheet.window(), Font{Size: keySize}
	for _, item := range items {
		lines := wrap(item, f, b.Width()-3, 12)
		w.need(float64(len(lines)) * keyStep)
		for i, line := range lines {
			w.y += keyStep
			if i == 0 {
				w.page().Text(Point{b.Min.X, w.y}, "–", f)
			}
			w.page().Text(Point{b.Min.X + 3, w.y}, line, f)
		}
	}
}

// column is one of the schedule; the last takes what width is left.
type column struct {
	title string
	width float64
	cell  func(*Hole) string
}

func schedule() []column {
	return []column{
		{"Hole", 27, func(h *Hole) string { return h.Name }},
		{"Do", 24, func(h *Hole) string { return h.Action.String() }},
		{"Place", 25, func(h *Hole) string { return place(&h.At) }},
		{"Old place", 25, func(h *Hole) string { return place(h.Old) }},
		{"Move", 12, func(h *Hole) string {
			if h.Old == nil {
				return "–"
			}
			return tenth(h.At.minus(*h.Old).length())
		}},
		{"Plug", 13, func(h *Hole) string { return size(h.Plug, h.Action == PlugAndDrill || h.Action == PlugOnly) }},
		{"Drill", 13, func(h *Hole) string { return size(h.Pilot, h.Action == PlugAndDrill || h.Action == DrillFresh) }},
		{"Depth", 0, func(h *Hole) string { return h.Depth }},
	}
}

func place(p *Point) string {
	if p == nil {
		return "–"
	}
	return tenth(p.X) + ", " + tenth(p.Y)
}

// tenth rounds to 0.1 mm, finer than a hole in wood can be placed by hand.
func tenth(x float64) string {
	x = math.Round(x*10) / 10
	return strconv.FormatFloat(x+0, 'f', 1, 64) // + 0 takes the sign off a zero
}

func size(d float64, wanted bool) string {
	switch {
	case !wanted:
		return "–"
	case d == 0:
		return "?"
	}
	return diameter(d)
}

// schedule is the table of holes, its head repeated on every sheet.
func (t *Template) schedule(w *writer) {
	w.heading("Holes: millimetres; place is station (tailward), offset (toward treble)")
	columns := schedule()
	w.row(columns, func(c column) string { return c.title }, true)
	for i := range t.Holes {
		h := &t.Holes[i]
		if w.need(w.height(columns, h)) {
			w.row(columns, func(c column) string { return c.title }, true)
		}
		w.row(columns, func(c column) string { return c.cell(h) }, false)
	}
}

// cellLines bounds how far one hole's row may run down.
const cellLines = 4

func (w *writer) cell(columns []column, i int, text string, f Font) []string {
	width := columns[i].width
	if i == len(columns)-1 {
		width = w.sheet.window().Width()
		for _, c := range columns {
			width -= c.width
		}
	}
	return wrap(text, f, width-1.5, cellLines)
}

func (w *writer) height(columns []column, h *Hole) float64 {
	most := 1
	for i, c := range columns {
		most = max(most, len(w.cell(columns, i, c.cell(h), Font{Size: keySize})))
	}
	return float64(most)*keyStep + 1.2
}

func (w *writer) row(columns []column, text func(column) string, isHead bool) {
	f, b, most := Font{Size: keySize, Bold: isHead}, w.sheet.window(), 1
	x := b.Min.X
	for i, c := range columns {
		lines := w.cell(columns, i, text(c), f)
		most = max(most, len(lines))
		for n, line := range lines {
			w.page().Text(Point{x, w.y + float64(n+1)*keyStep}, line, f)
		}
		x += c.width
	}
	w.y += float64(most)*keyStep + 1.2
	w.page().Line(Point{b.Min.X, w.y}, Point{b.Max.X, w.y}, Style{Width: 0.12, Ink: LightGrey})
}

// legend shows the sign of every action.
func (w *writer) legend() {
	const high = 14
	w.heading("Signs")
	w.need(high)
	b := w.sheet.window()
	at := func(x, y float64) Point { return Point{x, y} }
	y := w.y + high/2
	for i, s := range []struct {
		text string
		hole Hole
	}{
		{"keep", Hole{Action: Keep, OldDia: 3}},
		{"drill", Hole{Action: DrillFresh, Pilot: 2.5}},
		{"plug, re-drill", Hole{Action: PlugAndDrill, Plug: 6, Pilot: 2.5, OldDia: 3}},
		{"plug only", Hole{Action: PlugOnly, Plug: 6, OldDia: 3}},
	} {
		x := b.Min.X + 7 + float64(i)*b.Width()/5
		s.hole.At = at(x, y)
		if s.hole.Action == PlugAndDrill {
			old := at(x-2, y+0.5)
			s.hole.Old = &old
		}
		w.page().Group(Group{Class: "legend"}, func() { s.hole.draw(w.page(), 0) })
		w.page().Text(at(x+8, y+1), s.text, Font{Size: keySize})
	}
	x := b.Min.X + 7 + 4*b.Width()/5
	w.page().Group(Group{Class: "legend"}, func() { drawTarget(w.page(), at(x, y)) })
	w.page().Text(at(x+6, y+1), "pocket corner", Font{Size: keySize})
	w.y += high
}

// mapOf draws the whole template small, with the sheets' numbers on their tiles.
func (t *Template) mapOf(w *writer, g *grid) {
	const wide, high = 120.0, 70.0
	text := "How the sheets go together"
	if len(g.tiles) == 1 {
		text = "The template, small"
	}
	last := g.covers(len(g.tiles) - 1)
	whole := g.covers(0).Around(last)
	scale := math.Min(wide/whole.Width(), high/whole.Height())
	w.need(6 + 3 + high)
	w.heading(text)
	b := w.sheet.window()
	// scaled about the plane's zero, then shifted to its place
	origin := Point{b.Min.X, w.y + 3}.minus(whole.Min.times(scale))
	v := g.view
	v.Scale, v.Origin = scale, origin
	var body Drawing // outlines and places only; a cross-hair at a fraction of its size says nothing
	for _, o := range t.outlines() {
		drawOutline(&body, o, "small", Style{Width: 0.15})
	}
	for i := range t.Holes {
		body.Circle(t.Holes[i].At, 2, Style{Width: 0.15, Fill: Full})
	}
	w.page().Group(Group{Class: "map"}, func() {
		w.page().place(&body, v, nil)
		for i := range g.tiles {
			c := g.covers(i)
			box := Box{c.Min.times(scale).plus(origin), c.Max.times(scale).plus(origin)}
			w.page().Polygon(box.corners(), Style{Width: 0.15, Ink: MidGrey})
			f := Font{Size: 3, Bold: true, Ink: DarkGrey}
			w.page().Text(Point{box.Min.X + 4, box.Min.Y + 6}, fmt.Sprintf("sheet %d", g.first+i), f)
		}
	})
	w.y += high + 3
}
