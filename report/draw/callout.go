package draw

import (
	"math"
	"strconv"
)

// Writing of a callout, in mm.
const (
	calloutSize = 2.5
	calloutStep = 3.1 // from line to line
	calloutRoom = 30  // longest line
)

// callout is the writing beside a hole: its name, and what to do there.
type callout struct {
	name, action string
	hole         int // counted from 1
	at           Point
	keepOff      Box // the hole's marks
	box          Box // where the writing goes
	from, to     Point
}

// layout finds places for callouts on one sheet, one after the other.
type layout struct {
	room    Box
	holes   []Box
	lines   [][2]Point // outlines, better not written over
	placed  []callout
	crowded int // how many holes got none
}

// callouts writes beside every hole whose marks lie whole inside the window.
func (t *Template) callouts(d *Drawing, v View, w Box) {
	l := layout{room: w.Grown(-1.5), lines: t.lines(v)}
	var want []callout
	for i := range t.Holes {
		h := &t.Holes[i]
		b := v.box(h.bounds())
		if !w.overlaps(b) {
			continue
		}
		l.holes = append(l.holes, b)
		if w.holdsAll(b) {
			want = append(want, h.callout(i+1, v, b))
		}
	}
	for _, c := range want {
		l.put(c)
	}
	for _, c := range l.placed {
		c.draw(d)
	}
	if l.crowded > 0 {
		text := strconv.Itoa(l.crowded) + " of the holes stand too close for their names: see the list"
		d.Text(Point{w.centre().X, w.Max.Y - 2}, text, Font{Size: calloutSize, Anchor: Middle, Bold: true})
	}
}

func (h *Hole) callout(number int, v View, b Box) callout {
	return callout{
		name:   shorten(h.Name, Font{Size: calloutSize, Bold: true}, calloutRoom),
		action: h.short(),
		hole:   number, at: v.Apply(h.At), keepOff: b,
	}
}

func (c *callout) width() float64 {
	return math.Max(Width(c.name, Font{Size: calloutSize, Bold: true}), Width(c.action, Font{Size: calloutSize}))
}

// lines are the sides of all outlines and the centre line, on the page.
func (t *Template) lines(v View) [][2]Point {
	var out [][2]Point
	for _, o := range t.outlines() {
		for i := 1; i < len(o.Points); i++ {
			out = append(out, [2]Point{v.Apply(o.Points[i-1]), v.Apply(o.Points[i])})
		}
		if o.Closed && len(o.Points) > 2 {
			out = append(out, [2]Point{v.Apply(o.Points[len(o.Points)-1]), v.Apply(o.Points[0])})
		}
	}
	if len(t.Centre) == 2 {
		a, b := v.Apply(t.Centre[0]), v.Apply(t.Centre[1])
		out = append(out, [2]Point{a.along(b, -100), a.along(b, 100)})
	}
	return out
}

// put tries places all around the hole, nearer ones first in cost, and takes the best.
func (l *layout) put(c callout) {
	const directions, farthest = 24, 70
	best, found := math.Inf(1), false
	size := Point{c.width() + 1, 2*calloutStep + 0.6}
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
	if !found {
		l.crowded++
		return
	}
	l.placed = append(l.placed, c)
}

// cost is the leader's length and a fine for every outline written over; infinite where the
// callout would hide a mark or another callout, or leaders would cross.
func (l *layout) cost(c *callout) float64 {
	never := math.Inf(1)
	if !l.room.holdsAll(c.box) {
		return never
	}
	for _, h := range l.holes {
		if h.overlaps(c.box.Grown(0.5)) || h != c.keepOff && touches(h, c.from, c.to) {
			return never
		}
	}
	for i := range l.placed {
		o := &l.placed[i]
		if o.box.Grown(0.8).overlaps(c.box) || touches(o.box, c.from, c.to) || touches(c.box, o.from, o.to) ||
			cross(o.from, o.to, c.from, c.to) {
			return never
		}
	}
	cost := c.to.minus(c.at).length()
	for _, s := range l.lines {
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
		d.Polygon(c.box.corners(), Style{Fill: Cover, Width: -1})
		x, f := c.box.centre().X, Font{Size: calloutSize, Anchor: Middle, Bold: true}
		d.Text(Point{x, c.box.Min.Y + calloutStep - 0.4}, c.name, f)
		f.Bold = false
		d.Text(Point{x, c.box.Min.Y + 2*calloutStep - 0.4}, c.action, f)
	})
}
