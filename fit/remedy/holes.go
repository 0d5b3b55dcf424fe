package remedy

import (
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// finish judges a hole among all the others.
func (s *scheduler) finish(i int) {
	h := &s.out.Holes[i]
	if h.Work != Abandon {
		screw := s.result.Info.BridgeScrew
		switch h.Feature {
		case measure.HeelScrew:
			screw = s.result.Info.NeckScrew
		case measure.StringHole:
			screw = 0
		}
		s.neighbours(i, screw)
		if h.Feature != measure.HeelScrew { // a heel has no cavities, and its edges are the pocket's walls
			s.surroundings(h, screw)
		}
	}
	if h.Feature != measure.HeelScrew && h.HasOld {
		if plate := s.cornersOf(measure.PlateEdge); len(plate) >= 3 {
			if h.Sight = InSight; nearest(place{h.Old.X, h.Old.Y}, plate)+max(h.OldDiameter, h.Plug)/2 <= 0 {
				h.Sight = UnderPlate
			}
		}
	}
	if h.Refused.Kind != NoRemark {
		s.out.Refusals++
	}
}

// unknown tells of a hole that cannot be placed only since its screw is not known, which can be asked for.
func (r Remark) unknown() bool { return r.Kind == NoBit && r.Need == 0 }

// neighbours finds the wood left to other holes, old and new. Old holes that are plugged count no
// longer, and those that are used are where they are.
func (s *scheduler) neighbours(i int, screw float64) {
	h := &s.out.Holes[i]
	at := h.lies()
	for j := range s.out.Holes {
		o := &s.out.Holes[j]
		if j == i || (o.Feature == measure.HeelScrew) != (h.Feature == measure.HeelScrew) {
			continue
		}
		if d := (place{o.Old.X, o.Old.Y}).minus(at).length(); o.Plug > 0 && h.drills() && straddles(d, h.Pilot/2, o.Plug/2) {
			h.Warnings = append(h.Warnings, Remark{Kind: AcrossPlug, Other: Named{o.Feature, o.Mark, true}})
		}
		if o.Work == Abandon {
			continue
		}
		apart := o.lies().minus(at).length()
		h.closer(apart-h.Pilot/2-o.Pilot/2, o.Name())
		if o.Work == Fresh && o.HasOld && o.Plug == 0 {
			old := place{o.Old.X, o.Old.Y}.minus(at).length()
			h.closer(old-h.Pilot/2-o.OldDiameter/2, Named{o.Feature, o.Mark, true})
		}
		if o.Feature == h.Feature && (h.Work != Reuse || o.Work != Reuse) {
			h.crowded(o, apart, screw)
		}
	}
	switch {
	case h.Work == Reuse || h.Refused.Kind != NoRemark:
	case h.Ligament < 0:
		h.Refused = Remark{Kind: RunsInto, Other: h.Next}
	case h.Ligament < ligament:
		h.Warnings = append(h.Warnings, Remark{Kind: ThinWood, Other: h.Next, Have: h.Ligament, Need: ligament})
	}
}

// lies is where a hole will be.
func (h *Hole) lies() place {
	if h.Work == Reuse {
		return place{h.Old.X, h.Old.Y}
	}
	return place{h.New.X, h.New.Y}
}

// crowded minds another hole of the same pattern by its distance in screw diameters; a screw of size 0 is not known.
func (h *Hole) crowded(o *Hole, apart, screw float64) {
	switch {
	case apart < crowdScrews*screw:
		h.Refused = Remark{Kind: Crowded, Other: o.Name(), Have: apart, Need: crowdScrews}
	case apart < spaceScrews*screw:
		h.Warnings = append(h.Warnings, Remark{Kind: Close, Other: o.Name(), Have: apart, Need: spaceScrews})
	}
}

func (h *Hole) closer(left float64, name Named) {
	if left < h.Ligament {
		h.Ligament, h.Next = left, name
	}
}

// surroundings finds the wood left to cavities and to the body's edge.
func (s *scheduler) surroundings(h *Hole, screw float64) {
	at, radius, need := place{h.New.X, h.New.Y}, h.Pilot/2, max(leastEdge, edgeScrews*screw)
	names, cavities := s.cavities()
	for _, name := range names {
		if left := nearest(at, cavities[name]) - radius; left < h.Cavity {
			h.Cavity = left
			if left < 0 && h.Work != Reuse {
				h.Refused = Remark{Kind: InCavity, Cavity: name}
			}
		}
	}
	if outline := s.cornersOf(measure.Outline); len(outline) > 2 {
		h.Edge = -nearest(at, outline) - radius // inside is negative
		if h.Edge < 0 && h.Work != Reuse {
			h.Refused = Remark{Kind: OutsideBody}
		}
	}
	if left := min(h.Cavity, h.Edge); left >= 0 && left < need && h.Work != Reuse {
		h.Warnings = append(h.Warnings, Remark{Kind: CloseToEdge, Have: left, Need: need})
	}
}

// cavities are the corners by cavity: its name is the mark but for the last word, the corner's.
func (s *scheduler) cavities() (names []string, list map[string][]place) {
	list = map[string][]place{}
	for i := range s.placed.Places {
		p := &s.placed.Places[i]
		if p.Feature != measure.Cavity {
			continue
		}
		name := p.Mark.String()
		if at := strings.LastIndexByte(name, ' '); at > 0 {
			name = name[:at]
		}
		if list[name] == nil {
			names = append(names, name)
		}
		list[name] = append(list[name], place{p.X, p.Y})
	}
	return names, list
}

// cornersOf are a feature's places in the order in which they were read.
func (s *scheduler) cornersOf(f measure.Feature) []place { return outlineOf(s.placed, f) }

func outlineOf(g *fit.Geometry, f measure.Feature) []place {
	var list []place
	for i := range g.Places {
		if p := &g.Places[i]; p.Feature == f {
			list = append(list, place{p.X, p.Y})
		}
	}
	return list
}

// Plate is the bridge's edge where the plan lays it, corner by corner as they were read; nil where
// it was not read.
func Plate(r *fit.Result, p *Plan) []Point {
	var list []Point
	for _, c := range outlineOf(r.Model.Placed(&p.Moves), measure.PlateEdge) {
		list = append(list, Point{c.x, c.y})
	}
	return list
}

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
