package draw

import (
	"math"
	"slices"
	"strconv"
)

// Writing beside holes and lines, in mm.
const (
	calloutSize = 2.5
	calloutStep = 3.1 // from line to line
	calloutRoom = 34  // longest line
	nameSize    = 2.3 // of a line's name, and of an old hole's
)

// callout is the writing beside a hole: its name, what to do there, and how its place moves.
type callout struct {
	lines    []string // the first in bold
	hole     int      // counted from 1
	tag      bool     // a number in a frame, as small as it can be
	at       Point
	keepOff  Box // the hole's marks
	box      Box // where the writing goes
	from, to Point
}

// layout finds places for writing on one sheet, one after the other.
type layout struct {
	room    Box
	holes   []Box      // the marks of each hole
	joins   []Box      // where sheets are cut
	strokes [][2]Point // outlines, better not written over
	names   []name
	placed  []callout
	crowded int // how many holes got no callout
}

// name is writing at a line or an old hole.
type name struct {
	text string
	at   Point
	font Font
	box  Box
}

// write names the lines and the old holes, and writes beside every hole whose marks lie whole inside
// the window of a tile.
func (t *Template) write(d *Drawing, g *grid, tile int) {
	v, w := g.viewOf(tile), g.window()
	l := layout{room: w.Grown(-1.5), strokes: t.strokes(v)}
	for _, j := range g.joins {
		if tile == j.earlier || tile == j.later {
			const mark = 5 // mm
			l.joins = append(l.joins, boxOf(j.from.plus(v.Origin), j.to.plus(v.Origin)).Grown(mark))
		}
	}
	var whole []int
	for i := range t.Holes {
		b := v.box(t.Holes[i].bounds())
		if w.Overlaps(b) {
			l.holes = append(l.holes, b)
		}
		if w.holdsAll(b) {
			whole = append(whole, i)
		}
	}
	for _, o := range t.Register {
		for i := 1; i < len(o.Points); i++ {
			if from, to, ok := w.clipLine(v.Apply(o.Points[i-1]), v.Apply(o.Points[i])); ok {
				l.nameLine(o.Name, from, to)
			}
		}
	}
	for _, o := range t.across() {
		if from, to, ok := rightAcross(o, v, w); ok {
			l.nameLine(o.Name, from, to)
		}
	}
	for _, i := range whole {
		if h := &t.Holes[i]; h.Old != nil {
			l.nameOld(i+1, h, v)
		}
	}
	var callouts []callout
	for _, i := range whole {
		callouts = append(callouts, t.Holes[i].callout(i+1, v))
	}
	l = l.putAll(callouts)
	for i, n := range l.names {
		d.Group(Group{ID: "name-" + strconv.Itoa(i+1), Class: "name"}, func() { d.Text(n.at, n.text, n.font) })
	}
	for _, c := range l.placed {
		c.draw(d)
	}
	if l.crowded > 0 {
		text := strconv.Itoa(l.crowded) + " of the holes stand too close for their names: see the list"
		d.Text(Point{w.centre().X, w.Max.Y - 2}, text, Font{Size: calloutSize, Anchor: Middle, Bold: true})
	}
}

// nameLine writes a line's name along it where nothing else stands, on its left or above it rather than
// on the other side: at the first place that no outline crosses either, or else at the first.
func (l *layout) nameLine(text string, from, to Point) {
	f := Font{Size: nameSize, Ink: DarkGrey}
	text = shorten(text, f, 80)
	long := Width(text, f)
	along := to.minus(from)
	upright := math.Abs(along.Y) > math.Abs(along.X)
	const off, step = 0.8, 5.0 // mm
	var best *name
	for k := 2; float64(k/2)*step+long < along.length(); k++ {
		s := float64(k/2) * step
		b := boxOf(from.along(to, s/along.length()), from.along(to, (s+long)/along.length()))
		n := name{text: text, font: f}
		switch beyond := k%2 == 1; {
		case upright && beyond: // read from below
			n.box = Box{Point{b.Max.X + off, b.Min.Y}, Point{b.Max.X + off + nameSize, b.Max.Y}}
		case upright:
			n.box = Box{Point{b.Min.X - off - nameSize, b.Min.Y}, Point{b.Min.X - off, b.Max.Y}}
		case beyond:
			n.box = Box{Point{b.Min.X, b.Max.Y + off}, Point{b.Max.X, b.Max.Y + off + nameSize}}
		default:
			n.box = Box{Point{b.Min.X, b.Min.Y - off - nameSize}, Point{b.Max.X, b.Min.Y - off}}
		}
		const descent = 0.22 * nameSize
		n.at = Point{n.box.Min.X, n.box.Max.Y - descent}
		if upright {
			n.font.Turn = -90
			n.at = Point{n.box.Max.X - descent, n.box.Max.Y}
		}
		crossed := slices.ContainsFunc(l.strokes, func(s [2]Point) bool { return touches(n.box, s[0], s[1]) })
		if l.free(n.box) && (best == nil || !crossed) {
			best = &n
			if !crossed {
				break
			}
		}
	}
	if best != nil {
		l.names = append(l.names, *best)
	}
}

// nameOld writes the number of the hole that an old one belongs to close beside it, on the side away
// from the new one first.
func (l *layout) nameOld(number int, h *Hole, v View) {
	f := Font{Size: nameSize, Anchor: Middle}
	text := "old " + strconv.Itoa(number)
	at, old := v.Apply(h.At), v.Apply(*h.Old)
	away := old.minus(at)
	size := Point{Width(text, f) + 0.4, nameSize}
	best, cost := name{}, math.Inf(1)
	for k := range 24 {
		sin, cos := math.Sincos(math.Atan2(away.Y, away.X) + math.Pi*float64((k+1)/2)/12*float64(1-2*(k%2)))
		for gap := 0.5; gap < 12; gap++ {
			r := math.Max(h.Plug, 2*h.keepRadius())/2 + gap
			middle := old.plus(Point{cos * (r + size.X/2), sin * (r + size.Y/2)})
			n := name{text, Point{middle.X, middle.Y + 0.36*nameSize}, f, Box{middle.minus(size.times(0.5)), middle.plus(size.times(0.5))}}
			c := gap + float64(k)/8
			for _, s := range l.strokes {
				if touches(n.box, s[0], s[1]) {
					c += 3
				}
			}
			mine := v.box(h.bounds())
			bit := boxOf(at).Grown(math.Max(h.Pilot/2, h.Within) + 0.3)
			if c < cost && !n.box.Overlaps(bit) && l.freeBut(n.box, mine) {
				best, cost = n, c
			}
		}
	}
	if !math.IsInf(cost, 1) {
		l.names = append(l.names, best)
	}
}

// free tells whether nothing stands in a box yet, outlines apart.
func (l *layout) free(b Box) bool { return l.freeBut(b, Empty()) }

// freeBut is the same with one hole's marks left out.
func (l *layout) freeBut(b, but Box) bool {
	if !l.room.holdsAll(b) {
		return false
	}
	for _, h := range append(l.holes[:len(l.holes):len(l.holes)], l.joins...) {
		if h != but && h.Overlaps(b.Grown(0.5)) {
			return false
		}
	}
	for _, n := range l.names {
		if n.box.Grown(0.5).Overlaps(b) {
			return false
		}
	}
	return true
}

// callout says what is to be written beside hole number i, counted from 1.
func (h *Hole) callout(number int, v View) callout {
	bold, f := Font{Size: calloutSize, Bold: true}, Font{Size: calloutSize}
	lines := []string{shorten(strconv.Itoa(number)+" "+h.Name, bold, calloutRoom), h.short()}
	if h.Move != "" {
		lines = append(lines, wrap(h.Move, f, calloutRoom, 3)...)
	}
	return callout{lines: lines, hole: number, at: v.Apply(h.At), keepOff: v.box(h.bounds())}
}

func (c *callout) size() Point {
	wide := 0.0
	for i, line := range c.lines {
		wide = math.Max(wide, Width(line, Font{Size: calloutSize, Bold: i == 0}))
	}
	if c.tag {
		return Point{wide + 1.4, calloutSize + 1}
	}
	return Point{wide + 1, float64(len(c.lines))*calloutStep + 0.6}
}

// strokes are the sides of all outlines and the lines that run right across, on the page.
func (t *Template) strokes(v View) [][2]Point {
	var out [][2]Point
	for _, o := range t.outlines() {
		points := v.all(o.Points)
		for i := 1; i < len(points); i++ {
			out = append(out, [2]Point{points[i-1], points[i]})
		}
		if o.Closed && len(points) > 2 {
			out = append(out, [2]Point{points[len(points)-1], points[0]})
		}
	}
	for _, o := range t.across() {
		a, b := v.Apply(o.Points[0]), v.Apply(o.Points[1])
		out = append(out, [2]Point{a.along(b, -100), a.along(b, 100)})
	}
	return out
}

// putAll puts callouts; those that find no place go first the next time.
func (l *layout) putAll(callouts []callout) layout {
	best := *l
	best.crowded = len(callouts) + 1
	for range 8 {
		try, late := *l, []int(nil)
		for i, c := range callouts {
			if !try.put(c) {
				late = append(late, i)
			}
		}
		if try.crowded < best.crowded {
			best = try
		}
		if hopeless := len(late) > len(callouts)/4; len(late) == 0 || hopeless {
			break
		}
		for n, i := range late {
			c := callouts[i]
			callouts = slices.Insert(slices.Delete(callouts, i, i+1), n, c)
		}
	}
	return best
}

// put tries places all around the hole, nearer ones first in cost, and takes the best. Where there is
// room for less only, it leaves out how the place moves: the list has that, too.
func (l *layout) put(c callout) bool {
	const directions, farthest = 24, 70
	best, found := math.Inf(1), false
	size := c.size()
	radius := math.Max(c.keepOff.Width(), c.keepOff.Height()) / 2
	try := c
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / directions)
		for gap := 1.5; gap < farthest; gap += 2 {
			middle := c.at.plus(Point{cos * (radius + gap + size.X/2), sin * (radius + gap + size.Y/2)})
			try.box = Box{middle.minus(size.times(0.5)), middle.plus(size.times(0.5))}
			try.to = Point{ // the point of the box nearest to the hole
				math.Max(try.box.Min.X, math.Min(try.box.Max.X, c.at.X)),
				math.Max(try.box.Min.Y, math.Min(try.box.Max.Y, c.at.Y)),
			}
			try.from = c.at.plus(try.to.minus(c.at).times(1.2 / math.Max(1.2, try.to.minus(c.at).length())))
			if try.to.minus(c.at).length() >= best {
				break // farther out only costs more
			}
			if cost := l.cost(&try); cost < best {
				best, found = cost, true
				c.box, c.from, c.to = try.box, try.from, try.to
			}
		}
	}
	const least = 2
	switch {
	case !found && len(c.lines) > least:
		c.lines = c.lines[:least]
		return l.put(c)
	case !found && !c.tag: // its number at least: the list has the rest
		c.lines, c.tag = []string{strconv.Itoa(c.hole)}, true
		return l.put(c)
	case !found:
		l.crowded++
		return false
	}
	l.placed = append(l.placed[:len(l.placed):len(l.placed)], c)
	return true
}

// cost is the leader's length and a fine for every outline written over; infinite where the
// callout would hide a mark, a name or another callout, or leaders would cross.
func (l *layout) cost(c *callout) float64 {
	never := math.Inf(1)
	if !l.free(c.box) {
		return never
	}
	for _, h := range l.holes {
		if h != c.keepOff && !h.holdsAll(boxOf(c.at)) && touches(h, c.from, c.to) { // marks that overlap hide no leader from each other
			return never
		}
	}
	for i := range l.placed {
		o := &l.placed[i]
		if o.box.Grown(0.8).Overlaps(c.box) || touches(o.box, c.from, c.to) || touches(c.box, o.from, o.to) ||
			cross(o.from, o.to, c.from, c.to) {
			return never
		}
	}
	cost := c.to.minus(c.at).length()
	for _, n := range l.names {
		if touches(n.box, c.from, c.to) {
			cost += 12
		}
	}
	for _, s := range l.strokes {
		if touches(c.box.Grown(0.5), s[0], s[1]) {
			cost += 12
		}
	}
	return cost
}

// touches reports whether a line passes through a box.
func touches(b Box, from, to Point) bool {
	if max(from.X, to.X) < b.Min.X || min(from.X, to.X) > b.Max.X ||
		max(from.Y, to.Y) < b.Min.Y || min(from.Y, to.Y) > b.Max.Y {
		return false // the usual case, and quick
	}
	_, _, ok := b.clipLine(from, to)
	return ok
}

// cross reports whether two lines have a point in common, ends apart.
func cross(a, b, c, d Point) bool {
	side := func(p, q, r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

func (c *callout) draw(d *Drawing) {
	d.Group(Group{ID: "callout-" + strconv.Itoa(c.hole), Class: "callout"}, func() {
		d.Line(c.from, c.to, Style{Ink: MidGrey, Width: 0.12})
		ground := Style{Fill: Cover, Width: -1}
		if c.tag {
			ground.Width, ground.Ink = 0.2, Blue
		}
		d.Polygon(c.box.corners(), ground)
		for i, line := range c.lines {
			f := Font{Size: calloutSize, Anchor: Middle, Bold: i == 0}
			d.Text(Point{c.box.centre().X, c.box.Min.Y + float64(i+1)*calloutStep - 0.4}, line, f)
		}
	})
}
