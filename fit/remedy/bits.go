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
	want, screw, core, wood := 0.0, info.BridgeScrew, info.BridgeCore, info.Wood
	switch h.Feature {
	case measure.StringHole:
		h.Through, screw = true, 0
		want = h.OldDiameter
		if want == 0 {
			want = throughs
		}
	case measure.HeelScrew:
		screw, core, wood = info.NeckScrew, info.NeckCore, neckWood
		fallthrough
	default:
		want, _ = Pilot(screw, core, wood)
		if want == 0 {
			want = h.OldDiameter
		}
	}
	if h.HasOld && h.OldDiameter == 0 {
		if h.OldDiameter = max(want, screw); h.OldDiameter > 0 {
			if note := (Note{Kind: DiameterAssumed, Feature: h.Feature, Diameter: h.OldDiameter}); !slices.Contains(s.out.Notes, note) {
				s.out.Notes = append(s.out.Notes, note)
			}
		}
	}
	if h.Work == Abandon {
		return
	}
	bit, ok := s.nearest(measure.DrillStock, want)
	if !ok || want == 0 {
		h.Refused = Remark{Kind: NoBit, Need: want}
		return
	}
	const near = 0.3 // mm; common practice, no source
	if math.Abs(bit.Size-want) > near {
		h.Warnings = append(h.Warnings, Remark{Kind: PilotOff, Have: bit.Size, Need: want})
	}
	h.Pilot = bit.Size
	s.depth(h)
}

// depth is how deep a blind hole is drilled: as far as its screw reaches into the wood, which for the heel is
// what passes the body's plate and the body under the pocket. Too little wood must not be left behind it.
func (s *scheduler) depth(h *Hole) {
	info := &s.result.Info
	var thick float64 // of the wood that is drilled into
	switch h.Feature {
	case measure.BridgeScrew:
		h.Depth, thick = info.BridgeScrewLength, info.BodyThickness
	case measure.HeelScrew:
		pocket, heel := s.characteristic(fit.PocketDepth), s.characteristic(fit.HeelThickness)
		if info.NeckScrewLength == 0 || info.BodyThickness == 0 || !pocket.Missing.None() {
			return
		}
		h.Depth = max(0, info.NeckScrewLength-neckPlate-(info.BodyThickness-pocket.Value))
		if heel.Missing.None() {
			thick = heel.Value
		}
	}
	if left := thick - h.Depth; h.Depth > 0 && thick > 0 && left < leastBelow {
		h.Refused = Remark{Kind: TooDeep, Have: left, Need: leastBelow}
	}
}

// decide chooses between reuse, a fresh hole and a plug.
func (s *scheduler) decide(h *Hole) {
	old, bit := h.OldDiameter/2, h.Pilot/2
	if bit > 0 && h.HasOld {
		h.Shared = overlap(h.Move, old, bit) / (math.Pi * bit * bit)
	}
	gap := h.Move - old - bit
	switch {
	case h.Work == Abandon:
	case !h.HasOld:
		h.Work = Fresh
	case h.Move <= s.usable(h.Feature):
		h.Work = Reuse
	case gap >= ligament:
		h.Work = Fresh
	default:
		h.Work, h.FaceGrain = PlugFirst, gap < 0
	}
}

// usable is how far off its place a hole may be and still be used: half of what its screw may be off, so
// that the hand may be off too.
func (s *scheduler) usable(f measure.Feature) float64 {
	const usual = 0.15 // mm; half of the built-in limit of bridge-hole-mismatch
	id := fit.BridgeHoleMismatch
	switch f {
	case measure.StringHole:
		return stringFit
	case measure.HeelScrew:
		id = fit.NeckScrewMismatch
	}
	if c := s.criterion(id); c != nil && !math.IsInf(c.upper, 1) {
		return c.upper / 2
	}
	return usual
}

// drills tells whether a bit goes down at a hole.
func (h *Hole) drills() bool { return h.Pilot > 0 && (h.Work == Fresh || h.Work == PlugFirst) }

// plugOthers has an old hole plugged before anything is drilled when the bit of another comes as near to it as to be led
// aside.
func (s *scheduler) plugOthers() {
	for i := range s.out.Holes {
		o := &s.out.Holes[i]
		for j := range s.out.Holes {
			h := &s.out.Holes[j]
			if i == j || !h.drills() || !o.HasOld || o.Work == Reuse || o.inHeel() != h.inHeel() {
				continue
			}
			gap := o.Old.minus(h.New).length() - h.Pilot/2 - o.OldDiameter/2
			if o.Work == Fresh && gap < ligament {
				o.Work = PlugFirst
			}
			o.FaceGrain = o.FaceGrain || gap < 0
		}
	}
}

// plugs gives every hole that is left or drilled over the smallest plug in stock that cleans its wall, and
// those whose bit would cut the plug's edge or come near it a larger one, if none of the others is in its
// way. An old hole that is left beside a fresh one is plugged for its looks.
func (s *scheduler) plugs() {
	smallest := func(h *Hole) float64 {
		for _, p := range s.pieces[measure.PlugStock] {
			if p.Size/2 >= h.OldDiameter/2+cleaning {
				return p.Size
			}
		}
		return 0
	}
	for i := range s.out.Holes {
		h := &s.out.Holes[i]
		if h.Refused.Kind != NoRemark || !h.HasOld || h.Work == Reuse {
			continue
		}
		if h.Plug = smallest(h); h.Plug == 0 && h.Work != Fresh {
			h.Refused = Remark{Kind: NoPlug, Need: h.OldDiameter + 2*cleaning}
		}
	}
	for i := range s.out.Holes {
		h := &s.out.Holes[i]
		if o := s.plugMet(i, h.Plug/2); h.Plug > 0 && o != nil && h.Work == Fresh {
			h.Plug = 0 // it is not needed
		} else if h.Plug > 0 && o != nil {
			h.Refused = Remark{Kind: PlugsOverlap, Other: o.Name()}
		}
	}
	for i := range s.out.Holes {
		if h := &s.out.Holes[i]; h.Work == PlugFirst && h.Refused.Kind == NoRemark {
			s.widen(i)
		}
	}
}

// widen looks for a plug that leaves the bit wholly inside it with some plug around it, or wholly outside.
func (s *scheduler) widen(i int) {
	h := &s.out.Holes[i]
	bit := h.Pilot / 2
	for _, p := range s.pieces[measure.PlugStock] {
		r := p.Size / 2
		if p.Size < h.Plug || s.plugMet(i, r) != nil {
			continue
		}
		if h.Move+bit+plugWall <= r || h.Move-bit >= r+plugWall {
			h.Plug = p.Size
			return
		}
	}
	if h.Straddles = straddles(h.Move, bit, h.Plug/2); h.Straddles {
		h.Warnings = append(h.Warnings, Remark{Kind: AcrossPlug})
	} else {
		h.Warnings = append(h.Warnings, Remark{Kind: ThinPlug, Need: plugWall})
	}
}

// plugMet is a hole whose plug a plug of a radius at hole i would meet; nil for none.
func (s *scheduler) plugMet(i int, radius float64) *Hole {
	h := &s.out.Holes[i]
	for j := range s.out.Holes {
		o := &s.out.Holes[j]
		if j == i || o.Plug == 0 || o.inHeel() != h.inHeel() {
			continue
		}
		if o.Old.minus(h.Old).length() < radius+o.Plug/2 {
			return o
		}
	}
	return nil
}

// gravity is the specific gravity of woods that bodies and necks are made of (oven-dry weight,
// volume at 12 % moisture): Wood Handbook, FPL-GTR-190, tables 5-3 and 5-5; walnut and poplar from
// memory.
var gravity = map[string]float64{
	"ash": 0.60, "alder": 0.41, "basswood": 0.37, "birch": 0.62, "cherry": 0.50,
	"maple": 0.63, "soft maple": 0.47, "walnut": 0.55, "poplar": 0.42, "spruce": 0.40,
}

// dense is the specific gravity from which a wood takes the larger pilot. Fastening tables put the
// step at 0.6; white ash, on the line, is worked as a hard wood in this trade (common practice, no
// source).
const dense = 0.60

// Pilot holes by the screw's root (core) diameter. Structural tables ask for 70 % of it in lighter woods
// and 90 % in dense ones (Wood Handbook, chapter 8; recalled, not seen in a copy). Guitar repairers drill
// wider, lest the screw shears or the wood splits: 3.2 mm in a maple heel for a screw of about 4.2 mm, and
// to the measured core, 2.6 mm for 2.57, in the body. So dense woods get the core and a little more, lighter
// ones three quarters of it; a core that was measured is drilled as it is (common practice, no source). The
// root is two thirds of the screw's outside diameter (a secondary page) where it was not measured.
const (
	lightRatio = 0.75
	denseRatio = 1.03
	rootShare  = 2.0 / 3
)

// Pilot is the pilot's diameter in mm for a screw of an outside diameter, and of a core where that was
// measured (else 0), in a wood by its name. An unknown wood is taken as a lighter one, and known is false.
func Pilot(screw, core float64, wood string) (diameter float64, known bool) {
	g, known := Gravity(wood)
	if core > 0 {
		return core, known
	}
	ratio := lightRatio
	if known && g >= dense {
		ratio = denseRatio
	}
	return screw * rootShare * ratio, known
}

// Gravity finds a wood by its name or by the last word of it: "swamp ash" is an ash.
func Gravity(wood string) (float64, bool) {
	wood = strings.ToLower(strings.TrimSpace(wood))
	if g, ok := gravity[wood]; ok {
		return g, true
	}
	words := strings.Fields(wood)
	if len(words) == 0 {
		return 0, false
	}
	g, ok := gravity[words[len(words)-1]]
	return g, ok
}
