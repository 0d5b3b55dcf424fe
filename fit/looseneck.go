package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// Spot is a place of a part in its own frame, in mm: X tailward, Y toward treble.
type Spot struct{ X, Y float64 }

// Level is a plane of heights in mm over a part's own frame: At + ByX x + ByY y.
type Level struct{ At, ByX, ByY float64 }

// LooseNeck is what a neck surveyed alone brings to any pocket. Its frame is the heel's: x along
// the bisector of its two sides, tailward, y toward treble. By the seat rule (DESIGN section 6) the
// neck goes into a pocket by a shift along x alone, so that a pair of loose parts needs no new fit:
// the two parts share no unknowns.
type LooseNeck struct {
	Missing string // the readings without which it cannot be seated; empty when it can
	Strings int    // from kits.csv or the highest string marked; 0 unknown
	Last    int    // number of the last fret; 0 unknown

	Heel    [2]Line // its sides, bass and treble, normals toward treble
	Corners [2]Spot // where they meet the heel's end

	Centred bool    // the fingerboard's edges are known, and so Centre and Edges
	Centre  Line    // normal toward treble
	Edges   [2]Line // bass and treble
	Scaled  bool    // nut and scale are known
	Nut     float64 // along the centre line, in mm
	Scale   float64 // mm

	Slots  map[int]Spot       // where strings leave the nut
	Spread *[2]Spot           // the outer ones by kits.csv's nut_spread, bass and treble; nil without it
	Screws map[int]Spot       // the heel's holes
	Radii  map[string]float64 // of the heel's corners, by "bass" and "treble"
	Frets  *Level             // fret tops over the heel's underside; nil when not read
}

// NewLooseNeck fits a neck that was surveyed alone, all its readings from the datum neck. It never
// fails: what the readings do not give is missing.
func NewLooseNeck(kit *measure.Kit) *LooseNeck {
	s, err := newSurvey(kit).solve()
	if err != nil {
		return &LooseNeck{Missing: "no fit: " + err.Error()}
	}
	a := s.loosePart()
	n := &LooseNeck{Strings: a.strings, Last: a.lastFret()}
	n.Missing = n.takeHeel(a)
	if n.Missing != "" {
		return n
	}
	n.takeFingerboard(a)
	n.takeSlots(a)
	n.Screws = a.spots(a.neck, measure.HeelScrew)
	n.Radii = a.radii(measure.DatumNeck, measure.HeelCorner)
	if frets, ok := a.surface(measure.DatumNeck, measure.FretTop); ok {
		n.Frets = a.levelOf(frets, a.neck.Motion)
	}
	return n
}

// loosePart is an assembly of which only one side was surveyed; nothing is moved yet.
func (s *solved) loosePart() *assembly {
	return &assembly{
		solved: s, way: LooseParts,
		neck: part{measure.DatumNeck, autodiff.Identity()}, body: part{measure.DatumBody, autodiff.Identity()},
	}
}

// takeHeel finds the heel's frame and what of it touches a pocket.
func (n *LooseNeck) takeHeel(a *assembly) (missing string) {
	const needed = "heel-bass and heel-treble at two stations each (datum neck)"
	bass, okBass := a.sideLine(measure.DatumNeck, measure.HeelBass)
	treble, okTreble := a.sideLine(measure.DatumNeck, measure.HeelTreble)
	if !okBass || !okTreble || !a.knows(bass.D, bass.N.X, treble.D, treble.N.X) {
		return needed
	}
	butt, ok := a.endLine(measure.DatumNeck, measure.HeelEnd)
	if !ok || !a.knows(butt.D, butt.N.Y) {
		return "heel-end at two offsets (datum neck)"
	}
	a.neck.Motion = autodiff.FrameOf(autodiff.Bisector(bass, treble))
	butt = a.neck.Line(butt)
	for i, side := range []autodiff.Line{bass, treble} {
		side = a.neck.Line(side)
		n.Heel[i], n.Corners[i] = lineOf(side), spotOf(autodiff.Meet(side, butt))
	}
	a.findCentre() // anew, in the heel's frame
	return ""
}

func (n *LooseNeck) takeFingerboard(a *assembly) {
	if a.uncentred != "" || !a.knows(a.centre.D, a.centre.N.X, a.edges[0].D, a.edges[1].D) {
		return
	}
	n.Centred, n.Centre = true, lineOf(a.centre)
	n.Edges = [2]Line{lineOf(a.edges[0]), lineOf(a.edges[1])}
	nut, scale, lack := a.nut()
	if lack == "" && a.knows(nut, scale) {
		n.Scaled, n.Nut, n.Scale = true, nut.Value, scale.Value
	}
}

// takeSlots finds where the outer strings leave the nut.
func (n *LooseNeck) takeSlots(a *assembly) {
	n.Slots = a.spots(a.neck, measure.NutSlot)
	if !n.Centred || !n.Scaled {
		return
	}
	nut, _, _ := a.nut()
	for _, m := range []int{1, a.strings} {
		if p, ok := a.slot(m, nut); ok && a.knows(p.X, p.Y) {
			n.Slots[m] = spotOf(p)
		}
	}
	if half := a.kit.Info.NutSpread / 2; half > 0 {
		at := a.centre.At(nut)
		n.Spread = &[2]Spot{spotOf(at.Minus(a.centre.N.Scaled(half))), spotOf(at.Plus(a.centre.N.Scaled(half)))}
	}
}

// knows tells whether the readings fix quantities.
func (a *assembly) knows(qs ...autodiff.Variable) bool {
	for _, q := range qs {
		if !q.IsConstant() && !a.fit.Estimable(a.gradient(q)) {
			return false
		}
	}
	return true
}

// spots are the places of a feature's marks as far as they are known.
func (a *assembly) spots(p part, f measure.Feature) map[int]Spot {
	found := map[int]Spot{}
	for _, m := range a.marks(p.frame, f) {
		if v, ok := a.seen(p, f, m); ok && a.knows(v.X, v.Y) {
			found[m] = spotOf(v)
		}
	}
	return found
}

func (a *assembly) radii(frame measure.Datum, f measure.Feature) map[string]float64 {
	found := map[string]float64{}
	for _, name := range []string{"bass", "treble"} {
		c := a.corners.get(cornerKey{frame, f, name})
		if c != nil && c.known() && a.knows(a.x(c.radius)) {
			found[name] = a.x(c.radius).Value
		}
	}
	return found
}

// levelOf is a surface as seen from the frame to which the motion leads; nil when it is not known.
func (a *assembly) levelOf(s surface, m autodiff.Motion) *Level {
	zero := s.at(m.Undo(autodiff.Vector{}))
	x, y := s.slope(m.UndoDirection(autodiff.Vector{X: autodiff.Constant(1)})), s.slope(m.UndoDirection(autodiff.Vector{Y: autodiff.Constant(1)}))
	if !a.knows(zero, x, y) {
		return nil
	}
	return &Level{zero.Value, x.Value, y.Value}
}

func spotOf(v autodiff.Vector) Spot { return Spot{v.X.Value, v.Y.Value} }
func lineOf(l autodiff.Line) Line   { return Line{l.N.X.Value, l.N.Y.Value, l.D.Value} }
