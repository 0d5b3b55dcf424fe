package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// mostRoom is how much wider the body's neck-screw holes may be drilled: beyond it a plate and a
// screw's head hold no longer. Common practice, no source.
const mostRoom = 1.0 // mm of diameter

// slots are how far the body's neck-screw holes may be drawn out toward their screws: the trade goes to about 1 mm, beyond
// it plugs (common practice, no source).
var slots = []float64{0.6, 0.8, 1} // mm

// screws lists what may be done for the neck screws besides nothing: the body's holes opened by each bit
// in stock, drawn out, and the heel's holes plugged and drilled anew.
func (k *kit) screws() (list []*candidate) {
	if k.judges(fit.NeckScrewMismatch) == nil {
		return nil
	}
	now := k.neckHole()
	if now > 0 {
		for _, s := range k.pieces[measure.DrillStock] {
			if s.Size > now && s.Size <= now+mostRoom {
				list = append(list, &candidate{actions: []Action{{Work: measure.ReamScrews, Size: s.Size, Name: s.Name}}, room: rooms{neck: (s.Size - now) / 2}})
			}
		}
	}
	if len(places(k.model.Geometry, measure.HeelScrew)) == 0 || len(places(k.model.Geometry, measure.NeckScrew)) == 0 {
		return list
	}
	for _, by := range slots {
		list = append(list, &candidate{actions: []Action{{Work: measure.SlotScrews, Size: by}}, room: rooms{neck: by}})
	}
	return append(list, &candidate{actions: []Action{{Work: measure.PlugNeck}}, newNeck: true})
}

// neckHole is the narrowest of the body's neck-screw holes; 0 where they were not read.
func (k *kit) neckHole() float64 {
	least := 0.0
	for _, p := range places(k.model.Geometry, measure.NeckScrew) {
		if p.Diameter > 0 && (least == 0 || p.Diameter < least) {
			least = p.Diameter
		}
	}
	return least
}

// strings is the string holes drawn out, and drilled anew; none where they are not judged.
func (k *kit) strings() []*candidate {
	if k.troubled(fit.StringHolePitch) == nil && k.troubled(fit.PlateHoleMismatch) == nil && k.troubled(fit.FerruleMismatch) == nil {
		return nil
	}
	return []*candidate{
		{actions: []Action{{Work: measure.SlotStrings, Size: mostSlot}}, room: rooms{strings: mostSlot}},
		{actions: []Action{{Work: measure.PlugStrings}}, newStrings: true},
	}
}

// cornerStep is in what steps a heel's corner is rounded, and mostCorner by how much at most:
// common practice, no source.
const (
	cornerStep = 0.5 // mm of radius
	mostCorner = 5.0
)

// corners are the least rounding of the heel's corners that passes, and the pocket's squared, as far as they are known.
func (k *kit) corners() (list []*candidate) {
	c := k.troubled(fit.CornerReserve)
	if c == nil {
		return nil
	}
	for add := cornerStep; add <= mostCorner; add += cornerStep {
		d := k.eased(add)
		if fit.Conformance(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, c.upper) >= surely {
			list = append(list, d)
			break
		}
	}
	if d := k.square(); len(d.actions) > 0 {
		list = append(list, d)
	}
	return list
}

// leftInCorner is the radius that a chisel leaves in a corner that is cut square: common practice, no source.
const leftInCorner = 0.3 // mm

// square is the pocket's corners cut square; nothing where they were not read. What was read of their radii counts no
// longer, which makes the odds a little too low.
func (k *kit) square() *candidate {
	radii := k.model.Geometry.Corners
	if min(radii[0], radii[1]) <= leftInCorner {
		return &candidate{}
	}
	return &candidate{
		actions: []Action{{Work: measure.SquareCorner, Size: max(radii[0], radii[1])}}, squared: [2]float64{radii[0] - leftInCorner, radii[1] - leftInCorner},
		noise: []noise{{corner: k.std(measure.SquareCorner)}},
	}
}

// eased is the heel's corners rounded by so much.
func (k *kit) eased(by float64) *candidate {
	return &candidate{actions: []Action{{Work: measure.EaseCorner, Size: by}}, corner: by, noise: []noise{{corner: k.std(measure.EaseCorner)}}}
}

// moving is a candidate of one work that makes a move, as exactly as the hand does it.
func (k *kit) moving(a Action, move fit.Move, by float64) *candidate {
	d := &candidate{actions: []Action{a}, noise: make([]noise, 1)}
	d.moves[move], d.noise[0].moves[move] = by, k.std(a.Work)
	return d
}

// levelled is the floor scraped flat, which lowers it by up to half of what is left, as uncertain as that.
func (k *kit) levelled() *candidate {
	d := k.moving(Action{Work: measure.LevelFloor}, fit.FloorAll, 0)
	d.newFloor = true
	return d
}

// What may be taken off a heel's end: common practice, no source.
const (
	trimStep  = 0.1 // mm
	leastTrim = 0.4
	mostTrim  = 6.0
)

// trim shortens the heel's end so that the neck slides home farther: one cure where a heel that is too long
// makes nut and neck screws late together. It takes off what is best for all that answers; nil where
// nothing is gained.
func (k *kit) trim() *candidate {
	if k.play == nil {
		return nil
	}
	length := func(c *criterion) bool { return k.answers(c, fit.HeelAlong) }
	none := k.score(&candidate{}, length)
	best, high := (*candidate)(nil), none+leastGain
	for i := math.Round(leastTrim / trimStep); i <= mostTrim/trimStep; i++ {
		d := k.trimmed(i / (1 / trimStep))
		if s := k.score(d, length); s > high {
			best, high = d, s
		}
	}
	return best
}

// trimmed is the heel's end shortened by so much.
func (k *kit) trimmed(by float64) *candidate {
	d := k.moving(Action{Work: measure.TrimHeel, Size: by}, fit.HeelAlong, by)
	d.trimmed, d.slim = by, k.taper*by
	d.wider = [2]float64{-d.slim, -d.slim}
	return d
}

// What may be cut off a pocket's floor, in which steps, and what wood is left under it at least: common practice, no
// source. Deeper is a new pocket.
const (
	floorStep  = 0.25 // mm
	mostDeeper = 5.0
	leastUnder = 12.0
)

// heights lists what may be done to the floor besides nothing: of wedges thick at the end, wedges thick at the mouth,
// flat shims and deeper cuts each the one that is best for the heights.
func (k *kit) heights() (list []*candidate) {
	if !k.trouble(k.ofHeight) {
		return nil
	}
	var flats, backward, forward, deeper []*candidate
	for _, s := range k.pieces[measure.FloorStock] {
		flats = append(flats, k.flat(s))
	}
	if k.play != nil {
		for _, s := range k.pieces[measure.WedgeStock] {
			backward, forward = append(backward, k.wedge(s, 1)), append(forward, k.wedge(s, -1))
		}
	}
	most := mostDeeper
	if body, depth := k.result.Info.BodyThickness, k.characteristic(fit.PocketDepth); body > 0 && depth.Missing.None() {
		most = min(most, body-depth.Value-leastUnder)
	}
	for n := 1.0; n*floorStep <= most; n++ {
		deeper = append(deeper, k.deepened(n*floorStep))
	}
	for _, candidates := range [][]*candidate{flats, backward, forward, deeper} {
		var found *candidate
		high := math.Inf(-1)
		for _, d := range candidates {
			if score := k.score(d, k.ofHeight); score > high+leastGain {
				found, high = d, score
			}
		}
		if found != nil {
			list = append(list, found)
		}
	}
	return list
}

// deepened is the floor cut lower by so much.
func (k *kit) deepened(by float64) *candidate {
	return k.moving(Action{Work: measure.DeepenFloor, Size: by}, fit.FloorAll, -by)
}

// leastWedge is the thinnest thick end that a wedge can be made with: common practice, no source.
const leastWedge = 0.25 // mm

// wedge is thick at the pocket's end (way 1) or at its mouth (way -1) and nothing at the other.
func (k *kit) wedge(s measure.Stock, way float64) *candidate {
	thick := s.Size
	if s.Angle > 0 {
		thick = math.Tan(s.Angle*math.Pi/180) * k.play.Length
	}
	thick = max(thick, leastWedge)
	angle := way * math.Atan(thick/k.play.Length) * 180 / math.Pi
	d := k.moving(Action{Work: measure.PitchShim, Turn: angle, Size: thick, Name: s.Name}, fit.FloorEnd, way*thick)
	if way < 0 {
		d.moves[fit.FloorAll] = thick
	}
	return d
}

// flat is a shim under the whole heel.
func (k *kit) flat(s measure.Stock) *candidate {
	return k.moving(Action{Work: measure.RiseShim, Size: s.Size, Name: s.Name}, fit.FloorAll, s.Size)
}

// surely is the guarded rule's probability to pass.
const surely = fit.Confidence
