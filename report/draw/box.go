package draw

import "math"

// Box is an upright rectangle in mm; it is empty when Min lies beyond Max.
type Box struct{ Min, Max Point }

// Empty is the box that holds nothing.
func Empty() Box {
	return Box{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
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

func (b Box) isEmpty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

func (b Box) holds(p Point) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

func (b Box) holdsAll(c Box) bool { return b.holds(c.Min) && b.holds(c.Max) }

func (b Box) overlaps(c Box) bool {
	return b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y
}

func (b Box) centre() Point { return b.Min.along(b.Max, 0.5) }

func (b Box) corners() []Point {
	return []Point{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}
}

// nearest is the point of the box nearest to p.
func (b Box) nearest(p Point) Point {
	return Point{
		math.Max(b.Min.X, math.Min(b.Max.X, p.X)),
		math.Max(b.Min.Y, math.Min(b.Max.Y, p.Y)),
	}
}

// boxOf is the least box around points.
func boxOf(points ...Point) Box {
	b := Empty()
	for _, p := range points {
		b = b.Around(Box{p, p})
	}
	return b
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
