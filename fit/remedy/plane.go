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

// crossing is where two lines meet; false where they are as good as parallel.
func crossing(a, b *fit.Line) (place, bool) {
	const parallel = 0.05 // sine of the angle between them: 3 degrees
	det := a.NX*b.NY - a.NY*b.NX
	if math.Abs(det) < parallel {
		return place{}, false
	}
	return place{(a.D*b.NY - b.D*a.NY) / det, (b.D*a.NX - a.D*b.NX) / det}, true
}

// overlap is the area that two circles share, in mm^2, their centres a distance d apart (the objective
// of plane geometry: two sectors less the kite between them).
func overlap(d, r, s float64) float64 {
	switch {
	case d >= r+s:
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
	far, side := math.Inf(1), 1.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		d, v, t := b.minus(a), p.minus(a), 0.0
		if length := d.x*d.x + d.y*d.y; length > 0 {
			t = max(0, min(1, (v.x*d.x+v.y*d.y)/length))
		}
		far = min(far, p.minus(place{a.x + t*d.x, a.y + t*d.y}).length())
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) { // a ray from the place crosses this side
			side = -side
		}
	}
	return side * far
}
