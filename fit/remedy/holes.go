package remedy

import (
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// pilot sets the bit, and the old hole's diameter where it was not read.
func (s *scheduler) pilot(h *Hole) {
	info := &s.result.Info
	want, screw, wood := 0.0, info.BridgeScrew, info.Wood
	switch h.Feature {
	case measure.StringHole:
		h.Through = true
		want = h.OldDiameter
		if want == 0 {
			want = throughs
		}
	case measure.HeelScrew:
		screw, wood = info.NeckScrew, neckWood
		fallthrough
	default:
		want, _ = Pilot(screw, wood)
		if want == 0 {
			want = h.OldDiameter
		}
	}
	if h.OldDiameter == 0 {
		h.OldDiameter = max(want, screw)
		if note := (Note{Kind: DiameterAssumed, Feature: h.Feature, Diameter: h.OldDiameter}); !slices.Contains(s.out.Notes, note) {
			s.out.Notes = append(s.out.Notes, note)
		}
	}
	bit, ok := s.nearest(measure.DrillStock, want)
	if !ok || want == 0 {
		h.Refused = Remark{Kind: NoBit}
		return
	}
	const near = 0.3 // mm; common practice, no source
	if math.Abs(bit.Size-want) > near {
		h.Warnings = append(h.Warnings, Remark{Kind: PilotOff, Have: bit.Size, Need: want})
	}
	h.Pilot = bit.Size
}

// within is how far off its place a hole may be and still be used.
func (s *scheduler) within(f measure.Feature) float64 {
	var r *criterion
	switch f {
	case measure.StringHole:
		return stringFit
	case measure.HeelScrew:
		r = s.of(neckHoles)
	default:
		r = s.of(bridgeHoles)
	}
	const usual = 0.3 // mm; the built-in limit of bridge-hole-mismatch
	if r == nil || math.IsInf(r.upper, 1) {
		return usual
	}
	return r.upper
}

// decide chooses between reuse, a fresh hole and a plug.
func (s *scheduler) decide(h *Hole) {
	old, bit := h.OldDiameter/2, h.Pilot/2
	if bit > 0 {
		h.Shared = overlap(h.Move, old, bit) / (math.Pi * bit * bit)
	}
	gap := h.Move - old - bit
	switch {
	case h.Move <= s.within(h.Feature):
		h.Work = Reuse
		return
	case gap >= ligament:
		h.Work = Fresh
		return
	}
	h.Work, h.FaceGrain = PlugFirst, gap < 0
	s.plug(h)
}

// plug takes the smallest plug in stock that cleans the old wall and leaves the bit either wholly
// inside with some plug around it or wholly outside; failing that the smallest that cleans.
func (s *scheduler) plug(h *Hole) {
	bit := h.Pilot / 2
	for _, p := range s.pieces[measure.PlugStock] {
		r := p.Size / 2
		if r < h.OldDiameter/2+cleaning {
			continue
		}
		clear := h.Move+bit+plugWall <= r || h.Move-bit >= r+plugWall
		if h.Plug == 0 || clear {
			h.Plug = p.Size
		}
		if clear {
			return
		}
	}
	if h.Plug == 0 {
		h.Refused = Remark{Kind: NoPlug, Need: h.OldDiameter + 2*cleaning}
		return
	}
	h.Straddles = straddles(h.Move, bit, h.Plug/2)
	if h.Straddles {
		h.Warnings = append(h.Warnings, Remark{Kind: AcrossPlug})
	} else {
		h.Warnings = append(h.Warnings, Remark{Kind: ThinPlug, Need: plugWall})
	}
}

// finish judges a hole among all the others.
func (s *scheduler) finish(i int) {
	h := &s.out.Holes[i]
	at, radius := place{h.New.X, h.New.Y}, h.Pilot/2
	screw := s.result.Info.BridgeScrew
	if h.Feature == measure.HeelScrew {
		screw = s.result.Info.NeckScrew
	}
	s.neighbours(i, screw)
	if h.Feature != measure.HeelScrew { // a heel has no cavities, and its edges are the pocket's walls
		s.surroundings(h, at, radius, screw)
		s.hide(h)
	}
	if h.Refused.Kind != NoRemark {
		s.out.Refusals++
	}
}

// neighbours finds the wood left to other holes, old and new. Old holes that are plugged count no
// longer, and those that are used are where they will be used.
func (s *scheduler) neighbours(i int, screw float64) {
	h := &s.out.Holes[i]
	at := place{h.New.X, h.New.Y}
	for j := range s.out.Holes {
		o := &s.out.Holes[j]
		if j == i || (o.Feature == measure.HeelScrew) != (h.Feature == measure.HeelScrew) {
			continue
		}
		apart := place{o.New.X, o.New.Y}.minus(at).length()
		h.closer(apart-h.Pilot/2-o.Pilot/2, o.Name())
		if o.Work == Fresh {
			old := place{o.Old.X, o.Old.Y}.minus(at).length()
			h.closer(old-h.Pilot/2-o.OldDiameter/2, Named{o.Feature, o.Mark, true})
		}
		if o.Feature == h.Feature && h.Feature != measure.StringHole && screw > 0 {
			switch {
			case apart < crowdScrews*screw:
				h.Refused = Remark{Kind: Crowded, Other: o.Name(), Have: apart, Need: crowdScrews}
			case apart < spaceScrews*screw:
				h.Warnings = append(h.Warnings, Remark{Kind: Close, Other: o.Name(), Have: apart, Need: spaceScrews})
			}
		}
	}
	if h.Ligament < 0 && h.Refused.Kind == NoRemark && h.Work != Reuse {
		h.Refused = Remark{Kind: RunsInto, Other: h.Next}
	}
}

func (h *Hole) closer(left float64, name Named) {
	if left < h.Ligament {
		h.Ligament, h.Next = left, name
	}
}

// surroundings finds the wood left to cavities and to the body's edge.
func (s *scheduler) surroundings(h *Hole, at place, radius, screw float64) {
	need := max(leastEdge, edgeScrews*screw)
	for name, corners := range s.cavities() {
		if left := nearest(at, corners) - radius; left < h.Cavity {
			h.Cavity = left
			if left < 0 {
				h.Refused = Remark{Kind: InCavity, Cavity: name}
			}
		}
	}
	if outline := s.corners(measure.Outline); len(outline) > 2 {
		h.Edge = -nearest(at, outline) - radius // inside is negative
		if h.Edge < 0 {
			h.Refused = Remark{Kind: OutsideBody}
		}
	}
	if left := min(h.Cavity, h.Edge); left >= 0 && left < need && h.Work != Reuse {
		h.Warnings = append(h.Warnings, Remark{Kind: CloseToEdge, Have: left, Need: need})
	}
}

// cavities are the corners by cavity: its name is the mark but for the last word, the corner's.
func (s *scheduler) cavities() map[string][]place {
	list := map[string][]place{}
	for i := range s.model.Geometry.Places {
		p := &s.model.Geometry.Places[i]
		if p.Feature != measure.Cavity {
			continue
		}
		name := p.Mark.String()
		if at := strings.LastIndexByte(name, ' '); at > 0 {
			name = name[:at]
		}
		list[name] = append(list[name], place{p.X, p.Y})
	}
	return list
}

// corners are a feature's places in the order in which they were read.
func (s *scheduler) corners(f measure.Feature) []place {
	var list []place
	for i := range s.model.Geometry.Places {
		if p := &s.model.Geometry.Places[i]; p.Feature == f {
			list = append(list, place{p.X, p.Y})
		}
	}
	return list
}

// Plate is the bridge's edge where the plan lays it, corner by corner as they were read; nil where
// it was not read.
func Plate(r *fit.Result, p *Plan) []Point {
	s := &scheduler{kit: newKit(r, newStock(Options{}))}
	s.bridgeMoved(p)
	var list []Point
	for _, c := range s.plate() {
		list = append(list, Point{c.x, c.y})
	}
	return list
}

// bridgeMoved takes only the bridge's moves of a plan.
func (s *scheduler) bridgeMoved(p *Plan) {
	for _, a := range p.Actions {
		s.moves[fit.BridgeAcross] += a.Across
		s.moves[fit.BridgeAlong] += a.Along
		if a.Work == measure.PlugBridge || a.Work == measure.BridgeMove {
			s.moves[fit.BridgeTurn] += a.Turn
		}
	}
}

func (s *scheduler) plate() []place {
	if s.bridge.shift == nil {
		return nil
	}
	corners := s.corners(measure.PlateEdge)
	for i := range corners {
		corners[i] = s.bridge.shift(corners[i], &s.moves)
	}
	return corners
}

// hide tells whether the plate will cover the old hole.
func (s *scheduler) hide(h *Hole) {
	plate := s.plate()
	if len(plate) < 3 {
		return
	}
	h.Sight = InSight
	if nearest(place{h.Old.X, h.Old.Y}, plate)+max(h.OldDiameter, h.Plug)/2 <= 0 {
		h.Sight = UnderPlate
	}
}
