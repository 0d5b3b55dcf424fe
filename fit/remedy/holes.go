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
		if !h.inHeel() { // a heel has no cavities, and its edges are the pocket's walls
			s.surroundings(h, screw)
		}
	}
	if !h.inHeel() && h.HasOld {
		if plate := s.cornersOf(measure.PlateEdge); len(plate) >= 3 {
			if h.Sight = InSight; nearest(h.Old, plate)+max(h.OldDiameter, h.Plug)/2 <= 0 {
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
		if j == i || o.inHeel() != h.inHeel() {
			continue
		}
		if d := o.Old.minus(at).length(); o.Plug > 0 && h.drills() && straddles(d, h.Pilot/2, o.Plug/2) {
			h.Warnings = append(h.Warnings, Remark{Kind: AcrossPlug, Other: Named{o.Feature, o.Mark, true}})
		}
		if o.Work == Abandon {
			continue
		}
		apart := o.lies().minus(at).length()
		h.closer(apart-h.Pilot/2-o.Pilot/2, o.Name())
		if o.Work == Fresh && o.HasOld && o.Plug == 0 {
			old := o.Old.minus(at).length()
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

// inHeel tells the heel's holes from the body's.
func (h *Hole) inHeel() bool { return h.Feature == measure.HeelScrew }

// lies is where a hole will be.
func (h *Hole) lies() Point {
	if h.Work == Reuse {
		return h.Old
	}
	return h.New
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
	at, radius, need := h.New, h.Pilot/2, max(leastEdge, edgeScrews*screw)
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
func (s *scheduler) cavities() (names []string, list map[string][]Point) {
	list = map[string][]Point{}
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
		list[name] = append(list[name], Point{p.X, p.Y})
	}
	return names, list
}

// cornersOf are a feature's places in the order in which they were read.
func (s *scheduler) cornersOf(f measure.Feature) []Point { return outlineOf(s.placed, f) }

func outlineOf(g *fit.Geometry, f measure.Feature) []Point {
	var list []Point
	for i := range g.Places {
		if p := &g.Places[i]; p.Feature == f {
			list = append(list, Point{p.X, p.Y})
		}
	}
	return list
}

// Plate is the bridge's edge where the plan lays it, corner by corner as they were read; nil where
// it was not read.
func Plate(r *fit.Result, p *Plan) []Point {
	return outlineOf(r.Model.Placed(&p.Moves), measure.PlateEdge)
}

func (p Point) minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) length() float64     { return math.Hypot(p.X, p.Y) }

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
func crossing(a, b *fit.Line) (Point, bool) {
	const parallel = 0.05 // sine of the angle between them: 3 degrees
	det := a.NX*b.NY - a.NY*b.NX
	if math.Abs(det) < parallel {
		return Point{}, false
	}
	return Point{(a.D*b.NY - b.D*a.NY) / det, (b.D*a.NX - a.D*b.NX) / det}, true
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
// polygon of one or two corners is a point or a line.
func nearest(p Point, corners []Point) float64 {
	far, side := math.Inf(1), 1.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		d, v, t := b.minus(a), p.minus(a), 0.0
		if length := d.X*d.X + d.Y*d.Y; length > 0 {
			t = max(0, min(1, (v.X*d.X+v.Y*d.Y)/length))
		}
		far = min(far, p.minus(Point{a.X + t*d.X, a.Y + t*d.Y}).length())
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) { // a ray from the place crosses this side
			side = -side
		}
	}
	return side * far
}
