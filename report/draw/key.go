package draw

import (
	"cmp"
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

// keys are the sheets before the template: cautions, the steps, what to do at every hole, notes, what
// the signs mean and how the tiles go together.
func (t *Template) keys(p Paper, g *grid) []page {
	w := &writer{sheet: p.upright()}
	w.next()
	w.list("Before you drill", t.Cautions, false)
	w.list("The plan's works, in order", t.Works, true)
	w.list("This template, step by step", t.Steps, true)
	w.heading("Holes, in millimetres")
	if t.Places != "" {
		f := Font{Size: keySize, Ink: DarkGrey}
		for _, line := range wrap(t.Places, f, w.sheet.window().Width(), 3) {
			w.y += keyStep
			w.page().Text(Point{w.sheet.window().Min.X, w.y}, line, f)
		}
		w.y++
	}
	w.row(columnTitles, true) // again on every sheet that the table goes on
	for i := range t.Holes {
		w.row(t.Holes[i].cells(i+1), false)
	}
	w.list("Notes", t.Notes, false)
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

// list writes one paragraph an item, each behind its number or a dash.
func (w *writer) list(title string, items []string, numbered bool) {
	if len(items) == 0 {
		return
	}
	w.heading(title)
	b, f := w.sheet.window(), Font{Size: keySize}
	for i, item := range items {
		sign, indent := "–", 3.0
		if numbered {
			sign, indent = strconv.Itoa(i+1), 5
		}
		lines := wrap(item, f, b.Width()-indent, 12)
		w.need(float64(len(lines)) * keyStep)
		for i, line := range lines {
			w.y += keyStep
			if i == 0 {
				w.page().Text(Point{b.Min.X, w.y}, sign, f)
			}
			w.page().Text(Point{b.Min.X + indent, w.y}, line, f)
		}
	}
}

// The columns of the list of holes; the last takes what width is left.
var (
	columnTitles = []string{"Hole", "Do", "Place", "Within", "From the old place", "Plug", "Drill", "Depth"}
	columnWidths = []float64{29, 22, 22, 12, 36, 12, 12}
)

// cells are hole number i's row, counted from 1.
func (h *Hole) cells(i int) []string {
	size := func(d float64, wanted bool) string {
		switch {
		case !wanted:
			return "–"
		case d == 0:
			return "?"
		}
		return diameter(d)
	}
	within, drills := "–", h.Action == PlugAndDrill || h.Action == DrillFresh
	if h.Within > 0 {
		within = tenth(math.Max(h.Within, 0.1))
	}
	return []string{
		strconv.Itoa(i) + " " + h.Name, h.Action.String(), tenth(h.At.X) + ", " + tenth(h.At.Y), within, cmp.Or(h.Move, "–"),
		size(h.Plug, h.Action == PlugAndDrill || h.Action == PlugOnly || h.Plug > 0), size(h.Pilot, drills), h.Depth,
	}
}

// tenth rounds to 0.1 mm, finer than a hole in wood can be placed by hand.
func tenth(x float64) string {
	x = math.Round(x*10) / 10
	return strconv.FormatFloat(x+0, 'f', 1, 64) // + 0 takes the sign off a zero
}

// row writes a row of the list of holes, after the head again where a sheet begins.
func (w *writer) row(cells []string, isHead bool) {
	const mostLines = 4
	f, b := Font{Size: keySize, Bold: isHead}, w.sheet.window()
	lines, most, x := make([][]string, len(cells)), 1, b.Min.X
	starts := make([]float64, len(cells))
	for i, text := range cells {
		width := b.Max.X - x
		if i < len(columnWidths) {
			width = columnWidths[i]
		}
		lines[i], starts[i] = wrap(text, f, width-1.5, mostLines), x
		most, x = max(most, len(lines[i])), x+width
	}
	if w.need(float64(most)*keyStep+1.2) && !isHead {
		w.row(columnTitles, true)
	}
	for i := range lines {
		for n, line := range lines[i] {
			w.page().Text(Point{starts[i], w.y + float64(n+1)*keyStep}, line, f)
		}
	}
	w.y += float64(most)*keyStep + 1.2
	w.page().Line(Point{b.Min.X, w.y}, Point{b.Max.X, w.y}, Style{Width: 0.12, Ink: LightGrey})
}

// legend shows the sign of every action, of the circle and of a corner.
func (w *writer) legend() {
	const high, columns = 12.0, 3
	samples := []struct {
		text string
		hole Hole
	}{
		{"old hole that stays: keep", Hole{Action: Keep, OldDia: 3}},
		{"drill", Hole{Action: DrillFresh, Pilot: 2.5}},
		{"plug the old hole, re-drill", Hole{Action: PlugAndDrill, Plug: 6, Pilot: 2.5, OldDia: 3, Old: &Point{-2, 0.5}}},
		{"plug only", Hole{Action: PlugOnly, Plug: 6, OldDia: 3}},
		{"its place lies in the dashed circle with 95 %", Hole{Action: DrillFresh, Pilot: 2.5, Within: 3.5}},
	}
	w.need(6 + 2*high)
	w.heading("Signs")
	b := w.sheet.window()
	place := func(i int) Point {
		return Point{b.Min.X + 7 + float64(i%columns)*b.Width()/columns, w.y + high*(float64(i/columns)+0.5)}
	}
	for i, s := range samples {
		at := place(i)
		s.hole.At = at
		if s.hole.Old != nil {
			old := s.hole.Old.plus(at)
			s.hole.Old = &old
		}
		w.page().Group(Group{Class: "legend"}, func() { s.hole.draw(w.page(), 0) })
		for n, line := range wrap(s.text, Font{Size: keySize}, b.Width()/columns-18, 2) {
			w.page().Text(at.plus(Point{8, 1 + float64(n)*keyStep}), line, Font{Size: keySize})
		}
	}
	at := place(len(samples))
	w.page().Group(Group{Class: "legend"}, func() { drawTarget(w.page(), at) })
	w.page().Text(at.plus(Point{8, 1}), "pocket corner", Font{Size: keySize})
	w.y += 2 * high
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
