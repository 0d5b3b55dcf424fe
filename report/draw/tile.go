package draw

import (
	"fmt"
	"math"
	"strconv"
)

// Tiling, in mm. Neighbouring sheets share a strip of at least leastOverlap; the line along which
// they join runs in its middle, so half of it is cut off one sheet and half is the other's tab.
const (
	leastOverlap = 20
	aroundArea   = 5 // white around what is drawn
)

// maxTiles is what anybody would tape together. More sheets mean a slip in the input.
const maxTiles = 30

// grid says how the template is cut into tiles. Its plane is the page's frame without a shift:
// x runs to the right and y down, and station 0, offset 0 is at 0, 0.
type grid struct {
	sheet
	view    View
	area    Box // what must be covered
	overlap float64
	start   Point // the plane's point at the window's top left corner of the first tile
	step    Point // from tile to tile
	cols    int
	rows    int
	tiles   []tile
	joins   []join
	first   int // number of the first tile's sheet
}

type tile struct{ col, row int }

// join is a line that two tiles share; later is cut along it and laid on earlier.
type join struct {
	earlier, later int // index of the tile
	from, to       Point
	mark           int // number of the first of its two marks
}

// area is the box of the plane that the tiles must cover. The centre line runs across whatever
// is drawn and asks for no sheet of its own.
func (t *Template) area(v View) Box {
	b := Empty()
	for i := range t.Holes {
		b = b.Around(v.box(t.Holes[i].bounds()))
	}
	for _, o := range t.outlines() {
		b = b.Around(boxOf(v.all(o.Points)...))
	}
	return b.Around(boxOf(v.all(t.Corners)...)).Grown(aroundArea)
}

// tile chooses the way of the paper that takes fewer sheets, upright when it is the same.
func (t *Template) tile(p Paper) (*grid, error) {
	view := View{Mirrored: t.Left}
	area, overlap := t.area(view), float64(leastOverlap)
	for i := range t.Holes { // the marks of every hole must lie whole on one sheet
		b := t.Holes[i].bounds()
		overlap = math.Max(overlap, math.Max(b.Width(), b.Height())+1)
	}
	var best *grid
	for _, s := range []sheet{p.upright(), p.across()} {
		w := s.window()
		if overlap > math.Min(w.Width(), w.Height())/2 {
			return nil, fmt.Errorf("a hole's old and new place are too far apart for one sheet of paper")
		}
		g := &grid{sheet: s, view: view, area: area, overlap: overlap}
		g.cols = count(area.Width(), w.Width(), overlap)
		g.rows = count(area.Height(), w.Height(), overlap)
		if best == nil || g.cols*g.rows < best.cols*best.rows {
			best = g
		}
	}
	if n := best.cols * best.rows; n > maxTiles {
		return nil, fmt.Errorf("the template is %.0f by %.0f mm and takes %d sheets, more than %d: are its places right?",
			area.Width(), area.Height(), n, maxTiles)
	}
	best.spread(t.Holes)
	return best, nil
}

// count is how many windows of a size cover an extent.
func count(extent, size, overlap float64) int {
	if extent <= size {
		return 1
	}
	return int(math.Ceil((extent - overlap) / (size - overlap)))
}

// spread lays the tiles over the area, with joins away from the holes where there is room.
func (g *grid) spread(holes []Hole) {
	w := g.window()
	g.step = Point{w.Width() - g.overlap, w.Height() - g.overlap}
	var xs, ys []float64
	for _, h := range holes {
		for _, p := range []*Point{&h.At, h.Old} {
			if p != nil {
				at := g.view.Apply(*p)
				xs, ys = append(xs, at.X), append(ys, at.Y)
			}
		}
	}
	g.start.X = begin(g.area.Min.X, g.area.Width(), g.step.X, g.overlap, g.cols, xs)
	g.start.Y = begin(g.area.Min.Y, g.area.Height(), g.step.Y, g.overlap, g.rows, ys)
	for row := range g.rows {
		for col := range g.cols {
			g.tiles = append(g.tiles, tile{col, row})
		}
	}
	g.join()
}

// begin is where the first of n windows begins: in the middle of the play that is left, or off it
// where that keeps the joins at least half an overlap from every hole, as far as that can be.
func begin(low, extent, step, overlap float64, n int, holes []float64) float64 {
	play := float64(n)*step + overlap - extent
	best, bestGap := low-play/2, -1.0
	for _, part := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0, 1} {
		start := low - play*part
		gap := overlap / 2
		for k := 1; k < n; k++ {
			line := start + float64(k)*step + overlap/2
			for _, h := range holes {
				gap = math.Min(gap, math.Abs(h-line))
			}
		}
		if gap > bestGap {
			best, bestGap = start, gap
		}
	}
	return best
}

// join lists the lines between neighbours, and numbers the marks on them.
func (g *grid) join() {
	add := func(a, b int, from, to Point) {
		g.joins = append(g.joins, join{a, b, from, to, 2*len(g.joins) + 1})
	}
	for i, c := range g.tiles {
		b := g.covers(i)
		if c.col+1 < g.cols {
			x := b.Max.X - g.overlap/2
			add(i, i+1, Point{x, b.Min.Y}, Point{x, b.Max.Y})
		}
		if c.row+1 < g.rows {
			y := b.Max.Y - g.overlap/2
			add(i, i+g.cols, Point{b.Min.X, y}, Point{b.Max.X, y})
		}
	}
}

// covers is the part of the plane that a tile's window shows.
func (g *grid) covers(i int) Box {
	w := g.window()
	min := g.start.plus(Point{float64(g.tiles[i].col) * g.step.X, float64(g.tiles[i].row) * g.step.Y})
	return Box{min, min.plus(Point{w.Width(), w.Height()})}
}

// viewOf is the view that puts a tile into its window.
func (g *grid) viewOf(i int) View {
	v := g.view
	v.Origin = g.window().Min.minus(g.covers(i).Min)
	return v
}

// drawJoin draws the line on which two sheets meet, as seen on one of them, with two numbered
// marks that lie on the same place of the template on both. Said is what to do at it.
func (g *grid) drawJoin(d *Drawing, j join, v View, said string, other int) {
	from, to := j.from.plus(v.Origin), j.to.plus(v.Origin)
	upright := j.from.X == j.to.X
	style := Style{Width: 0.2, Dash: Dashed, Ink: MidGrey}
	d.Group(Group{ID: "join-" + strconv.Itoa(j.mark), Class: "join"}, func() { d.Line(from, to, style) })
	for n, part := range []float64{0.25, 0.75} {
		d.drawJoinMark(from.along(to, part), j.mark+n, upright)
	}
	// between the second mark and the middle, where the neck's centre line often runs
	middle, f := from.along(to, 0.625), Font{Size: 2.4, Anchor: Middle, Ink: DarkGrey}
	shift := Point{0, 3.2}
	if upright {
		f.Turn = -90
		shift = Point{3.2, 0}
	}
	d.Text(middle.plus(shift), fmt.Sprintf(said, g.first+other), f)
}

// drawJoinMark draws a square standing on a corner, halved by the line, with its number on both
// sides: one half and one number stay on each sheet when it is cut.
func (d *Drawing) drawJoinMark(at Point, number int, upright bool) {
	text := strconv.Itoa(number)
	d.Group(Group{ID: "mark-" + text, Class: "mark"}, func() {
		d.Cross(at, 4, Style{Width: hairWidth})
		const half = 2.5
		d.Polygon([]Point{
			at.plus(Point{half, 0}), at.plus(Point{0, half}), at.plus(Point{-half, 0}), at.plus(Point{0, -half}),
		}, Style{Width: 0.2})
		across, along := Point{0, 4}, Point{3, 0}
		if upright {
			across, along = Point{4, 0}, Point{0, 3}
		}
		f := Font{Size: 3, Bold: true, Anchor: Middle}
		drop := Point{0, 1.1} // half a capital, to centre the writing on its place
		d.Text(at.plus(across).plus(along).plus(drop), text, f)
		d.Text(at.minus(across).plus(along).plus(drop), text, f)
	})
}
