package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// place is a seating in the assembled frame, in mm.
type place struct{ x, y float64 }

func (p place) minus(q place) place { return place{p.x - q.x, p.y - q.y} }
func (p place) length() float64     { return math.Hypot(p.x, p.y) }

// pair is two holes that a screw must pass: fixed one in the body, the moving one in heel or plate.
type pair struct{ fixed, moving place }

// holes are pairs, and how a move shifts the moving ones.
type holes struct {
	pairs []pair
	shift func(p place, moves *[fit.Moves]float64) place
}

// places finds the holes of a feature by their numbers.
func places(g *fit.Geometry, f measure.Feature) map[int]*fit.Place {
	found := map[int]*fit.Place{}
	for i := range g.Places {
		if p := &g.Places[i]; p.Feature == f {
			found[p.Mark.Number] = p
		}
	}
	return found
}

func matched(g *fit.Geometry, fixed, moving measure.Feature) []pair {
	var pairs []pair
	with := places(g, moving)
	for i := range g.Places {
		p := &g.Places[i]
		if p.Feature != fixed {
			continue
		}
		if q := with[p.Mark.Number]; q != nil {
			pairs = append(pairs, pair{place{p.X, p.Y}, place{q.X, q.Y}})
		}
	}
	return pairs
}

// neckPattern is empty where the neck is not seated by loose parts.
func (k *kit) neckPattern() holes {
	g := k.model.Geometry
	if k.play == nil || g.Centre == nil {
		return holes{}
	}
	mouth, across := place{k.play.MouthX, k.play.MouthY}, place{g.Centre.NX, g.Centre.NY}
	length := k.play.Length
	return holes{matched(g, measure.NeckScrew, measure.HeelScrew), func(p place, m *[fit.Moves]float64) place {
		u, turn := m[fit.HeelMouth], (m[fit.HeelEnd]-m[fit.HeelMouth])/length
		d := p.minus(mouth)
		return place{p.x + across.x*u - turn*d.y, p.y + across.y*u + turn*d.x}
	}}
}

func (k *kit) bridgePattern() holes {
	g := k.model.Geometry
	if g.Bridge == nil || g.Centre == nil {
		return holes{}
	}
	middle, across := place{g.Bridge.X, g.Bridge.Y}, place{g.Centre.NX, g.Centre.NY}
	return holes{matched(g, measure.BridgeScrew, measure.PlateScrew), func(p place, m *[fit.Moves]float64) place {
		turn := m[fit.BridgeTurn] * math.Pi / 180
		d := p.minus(middle)
		return place{
			p.x + across.x*m[fit.BridgeAcross] + across.y*m[fit.BridgeAlong] - turn*d.y,
			p.y + across.y*m[fit.BridgeAcross] - across.x*m[fit.BridgeAlong] + turn*d.x,
		}
	}}
}

// worst is the longest distance within a pair after the moves.
func (h *holes) worst(m *[fit.Moves]float64) float64 {
	far := 0.0
	for _, p := range h.pairs {
		far = max(far, p.fixed.minus(h.shift(p.moving, m)).length())
	}
	return far
}

// span is the longest distance between two moving holes.
func (h *holes) span() float64 {
	far := 0.0
	for i, p := range h.pairs {
		for _, q := range h.pairs[:i] {
			far = max(far, p.moving.minus(q.moving).length())
		}
	}
	return far
}

// overlap is the area that two circles share, in mm^2, their centres a distance d apart (the objective
// of plane geometry: two sectors less the kite between them).
func overlap(d, r, s float64) float64 {
	switch {
	case r <= 0 || s <= 0 || d >= r+s:
		return 0
	case d <= math.Abs(r-s):
		small := min(r, s)
		return math.Pi * small * small
	}
	a := math.Acos(clamp((d*d + r*r - s*s) / (2 * d * r)))
	b := math.Acos(clamp((d*d + s*s - r*r) / (2 * d * s)))
	kite := d * r * math.Sin(a)
	return r*r*a + s*s*b - kite
}

// clamp keeps a cosine within what rounding may leave it.
func clamp(x float64) float64 { return max(-1, min(1, x)) }

// straddles tells whether a bit would cut across a plug's edge, where it is pulled aside.
func straddles(d, bit, plug float64) bool { return d+bit > plug && math.Abs(d-bit) < plug }

// nearest is the shortest distance from a place to a polygon's sides, negative inside it. A
// polygon of one or two corners is a seating or a line.
func nearest(p place, corners []place) float64 {
	far := math.Inf(1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		far = min(far, toSegment(p, a, b))
	}
	if inPolygon(p, corners) {
		return -far
	}
	return far
}

func toSegment(p, a, b place) float64 {
	d, v := b.minus(a), p.minus(a)
	t := 0.0
	if length := d.x*d.x + d.y*d.y; length > 0 {
		t = max(0, min(1, (v.x*d.x+v.y*d.y)/length))
	}
	return p.minus(place{a.x + t*d.x, a.y + t*d.y}).length()
}

// inPolygon counts how often a ray from the place crosses the sides.
func inPolygon(p place, corners []place) bool {
	inside := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			inside = !inside
		}
	}
	return inside
}
