package fit

import (
	"math"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Geometry is the assembled kit as numbers, for drawings and hole schedules. All in millimetres
// in one frame: X along the pocket (loose parts) or the straightedge of the body or bass edge,
// tailward; Y toward treble.
type Geometry struct {
	Centre       *Line    // of the fingerboard; nil where its edges were not read
	Edges        [2]*Line // of the fingerboard, bass and treble
	Pocket, Heel [2]*Line // their sides, bass and treble; loose parts only
	PocketEnd    *Line
	HeelEnd      *Line   // loose parts only
	Nut, Scale   float64 // distance of the nut along the centre line from the frame's zero, and scale length; 0 and 0 where not known
	LastFret     int     // 0 where not known
	Strings      int
	Corners      [2]float64 // radii of the pocket's end corners, bass and treble; 0 where not known
	Play         *Play      // nil where the clearance is not known
	Bridge       *Reference
	Places       []Place
}

// Line is the set of points with NX*X + NY*Y = D, (NX, NY) a unit normal.
type Line struct{ NX, NY, D float64 }

// Reference is the middle of the outer strings' line of contact at the saddles and the direction
// tailward square to it, in degrees from the frame's X axis, positive toward treble.
type Reference struct {
	X, Y, Heading float64
	Basis         Basis
}

// Play is the pocket's clearance at its mouth and its end.
type Play struct {
	MouthX, MouthY float64    // where the mouth crosses the middle
	Length         float64    // from mouth to end; like the lever 0 where the two are not placed
	Lever          float64    // from mouth to the bridge's middle, along the centre line; 0 where not known
	Bass, Treble   [2]float64 // gaps beside the walls at mouth and end, negative for interference
	Std            [2]float64 // standard uncertainties of the whole gaps at mouth and end
	Adrift         [2]float64 // standard uncertainty of where between the walls the heel lies, at mouth and end; 0 where that is known
	Felt           bool       // whether the gap before the heel's end was felt
	Ahead, Beside  [2]float64 // it is Ahead where it was felt, Beside the middle, toward bass and toward treble
	Placed         bool       // whether MouthX and MouthY are known in this frame
}

// Place is a hole, a string's place or a corner, carried into the assembled frame.
type Place struct {
	Feature  measure.Feature
	Mark     measure.Mark
	X, Y     float64
	Std      float64 // standard uncertainty of the worse coordinate; 0 where it was taken as read
	Diameter float64 // 0 where not read
}

// known tells whether the readings fix all of the quantities.
func (a *assembly) known(qs ...autodiff.Variable) bool {
	for _, q := range qs {
		if !a.fit.Estimable(a.gradient(q)) {
			return false
		}
	}
	return true
}

// plain is a line as numbers, nil where the readings do not fix it.
func (a *assembly) plain(l autodiff.Line) *Line {
	if !a.known(l.N.X, l.N.Y, l.D) {
		return nil
	}
	return &Line{l.N.X.Value, l.N.Y.Value, l.D.Value}
}

// geometry puts the assembly into numbers.
func (a *assembly) geometry() *Geometry {
	g := &Geometry{Strings: a.Strings, LastFret: a.lastFret()}
	if a.uncentred.None() {
		g.Centre = a.plain(a.centre)
		g.Edges = [2]*Line{a.plain(a.edge(measure.EdgeBass)), a.plain(a.edge(measure.EdgeTreble))}
		if nut, scale, lack := a.nut(); lack.None() && a.known(nut, scale) {
			g.Nut, g.Scale = nut.Value, scale.Value
		}
	}
	if a.seat != nil {
		pocket, heel := a.seat.lines()
		for i := range g.Pocket {
			g.Pocket[i], g.Heel[i] = a.plain(pocket[i]), a.plain(heel[i])
		}
		if end, ok := a.endLine(measure.DatumNeck, measure.HeelEnd); ok {
			g.HeelEnd = a.plain(a.neck.Line(end))
		}
	}
	if end, ok := a.endLine(measure.DatumBody, measure.PocketEnd); ok && a.way != EdgeCheck {
		g.PocketEnd = a.plain(a.body.Line(end))
	}
	if a.bridge.known() && a.known(a.bridge.middle.X, a.bridge.middle.Y) {
		h := fixed(0, 1).AngleTo(a.bridge.row)
		g.Bridge = &Reference{a.bridge.middle.X.Value, a.bridge.middle.Y.Value, h.Value, a.bridge.basis}
	}
	for i, name := range []string{"bass", "treble"} {
		if c := a.Corners.Get(survey.CornerKey{Frame: measure.DatumBody, Feature: measure.PocketCorner, Name: name}); c != nil && c.Known() {
			g.Corners[i] = a.x(c.Radius).Value
		}
	}
	g.Play = a.plainPlay()
	g.Places = a.places()
	return g
}

func (a *assembly) plainPlay() *Play {
	p, lack := a.findPlay()
	if !lack.None() || !a.known(p.gap(0), p.gap(1)) {
		return nil
	}
	out := &Play{Placed: p.placed}
	for i := range out.Bass {
		out.Bass[i], out.Treble[i] = p.bass[i].Value, p.treble[i].Value
		out.Std[i] = a.fit.Uncertainty(a.gradient(p.gap(i))).Std
		if p.adrift { // anywhere between them, as likely here as there
			out.Adrift[i] = max(p.gap(i).Value, 0) / math.Sqrt(12)
		}
	}
	if out.Placed && a.uncentred.None() {
		if felt := a.Sides.Get(survey.GapBeside(measure.DatumBody, measure.PocketEnd)); felt != nil && a.way == DryFit && felt.HighX > felt.LowX {
			out.Felt = true
			for i, y := range [2]float64{felt.LowX, felt.HighX} {
				gap, _ := a.gapAt(measure.PocketEnd, y)
				out.Ahead[i], out.Beside[i] = gap.Value, y-p.mouth.Y.Value
			}
		}
		out.MouthX, out.MouthY, out.Length = p.mouth.X.Value, p.mouth.Y.Value, p.length().Value
		if a.bridge.known() {
			out.Lever = a.lever(p).Value
		}
	}
	return out
}

// carrier is the part that a feature's places in a datum's frame belong to; ok is false where
// nothing carries them into the assembled frame.
func (a *assembly) carrier(frame measure.Datum, f measure.Feature) (part, bool) {
	switch {
	case f.Part() == measure.BridgePart && frame == a.bridge.carry.frame:
		return a.bridge.carry, true
	case f.Part() == measure.NeckPart && frame == a.neck.frame:
		return a.neck, a.way != LooseParts || a.seat != nil
	case f.Part() == measure.BodyPart && frame == a.body.frame:
		return a.body, true
	}
	return part{}, false
}

// places carries everything that has a place, in the order of the readings, each place once.
func (a *assembly) places() []Place {
	type key struct {
		feature measure.Feature
		mark    measure.Mark
	}
	seen := map[key]bool{}
	var list []Place
	for i := range a.Kit.Readings {
		r := &a.Kit.Readings[i]
		k := key{r.Feature, r.Mark}
		carry, ok := a.carrier(survey.Frame(r.Datum), r.Feature)
		if !ok || seen[k] {
			continue
		}
		if p, ok := a.placeOf(r, carry); ok {
			seen[k] = true
			list = append(list, p)
		}
	}
	return list
}

// placeOf is the adjusted place behind a reading, or, for features without equations, the point
// as it was read.
func (a *assembly) placeOf(r *measure.Reading, carry part) (Place, bool) {
	out := Place{Feature: r.Feature, Mark: r.Mark}
	switch r.Feature {
	case measure.Cavity, measure.Outline, measure.PlateEdge:
		if !r.HasStation || !r.HasOffset {
			return out, false
		}
		at := carry.Place(autodiff.Vector{X: autodiff.Constant(r.Station), Y: autodiff.Constant(r.Offset)})
		out.X, out.Y = at.X.Value, at.Y.Value
		return out, true
	}
	if r.Feature.Marks() != measure.MarkHole && r.Feature.Marks() != measure.MarkString {
		return out, false
	}
	at, ok := carry.stop(r.Feature, r.Mark.Number)
	if !ok || !a.known(at.X, at.Y) {
		return out, false
	}
	out.X, out.Y = at.X.Value, at.Y.Value
	out.Std = max(a.fit.Uncertainty(a.gradient(at.X)).Std, a.fit.Uncertainty(a.gradient(at.Y)).Std)
	out.Diameter, _ = a.diameter(carry.frame, r.Feature, r.Mark.Number)
	return out, true
}
