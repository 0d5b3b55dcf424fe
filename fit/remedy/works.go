package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// mostRoom is how much wider the body's neck-screw holes may be drilled: beyond it a plate and a
// screw's head hold no longer. Common practice, no source.
const mostRoom = 1.0 // mm of diameter

// screws lists what may be done for the neck screws besides nothing: the body's holes opened by each bit
// in stock, the heel's holes plugged and drilled anew.
func (k *kit) screws() (wider []*candidate, plugged *candidate) {
	if k.judges(fit.NeckScrewMismatch) == nil {
		return nil, nil
	}
	if now := k.neckHole(); now > 0 {
		for _, s := range k.pieces[measure.DrillStock] {
			if s.Size > now && s.Size <= now+mostRoom {
				d := (&candidate{}).with(Action{Work: measure.ReamScrews, Size: s.Size, Name: s.Name})
				d.room = (s.Size - now) / 2
				wider = append(wider, d)
			}
		}
	}
	if len(places(k.model.Geometry, measure.HeelScrew)) == 0 || len(places(k.model.Geometry, measure.NeckScrew)) == 0 {
		return wider, nil
	}
	plugged = (&candidate{}).with(Action{Work: measure.PlugNeck})
	plugged.newNeck = true
	return wider, plugged
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

// strings is the string holes drilled anew; nil where they are not judged.
func (k *kit) strings() *candidate {
	if k.troubled(fit.StringHolePitch) == nil && k.troubled(fit.PlateHoleMismatch) == nil && k.troubled(fit.FerruleMismatch) == nil {
		return nil
	}
	d := (&candidate{}).with(Action{Work: measure.PlugStrings})
	d.newStrings = true
	return d
}

// cornerStep is in what steps a heel's corner is rounded, and mostCorner by how much at most:
// common practice, no source.
const (
	cornerStep = 0.5 // mm of radius
	mostCorner = 5.0
)

// ease is the least rounding of the heel's corners that passes; nil for none.
func (k *kit) ease() *candidate {
	c := k.troubled(fit.CornerReserve)
	if c == nil {
		return nil
	}
	for add := cornerStep; add <= mostCorner; add += cornerStep {
		d := k.eased(add)
		if fit.Conformance(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, c.upper) >= surely {
			return d
		}
	}
	return nil
}

// eased is the heel's corners rounded by so much.
func (k *kit) eased(by float64) *candidate {
	d := (&candidate{}).with(Action{Work: measure.EaseCorner, Size: by})
	d.corner = by
	d.noise = append(d.noise, noise{corner: k.std(measure.EaseCorner)})
	return d
}

// levelled is the floor scraped flat, which lowers it by up to half of what is left, as uncertain as that.
func (k *kit) levelled() *candidate {
	d := (&candidate{}).with(Action{Work: measure.LevelFloor})
	d.newFloor = true
	var n noise
	n.moves[fit.FloorAll] = k.std(measure.LevelFloor)
	d.noise = append(d.noise, n)
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
	d := (&candidate{}).with(Action{Work: measure.TrimHeel, Size: by})
	d.trimmed = by
	d.moves[fit.HeelAlong] = by
	d.slim = k.taper * by
	d.wider = [2]float64{-d.slim, -d.slim}
	var n noise
	n.moves[fit.HeelAlong] = k.std(measure.TrimHeel)
	d.noise = append(d.noise, n)
	return d
}

// raise lists what may be laid under the heel besides nothing: of wedges thick at the end, wedges
// thick at the mouth and flat shims each the one that is best for the heights.
func (k *kit) raise() []*candidate {
	judged := false
	for i := range k.criteria {
		judged = judged || k.criteria[i].judged && k.ofHeight(&k.criteria[i])
	}
	if !judged {
		return nil
	}
	makers := []func(measure.Stock) *candidate{k.flat}
	kinds := []measure.StockKind{measure.FloorStock}
	if k.play != nil {
		makers = append(makers, func(s measure.Stock) *candidate { return k.wedge(s, 1) }, func(s measure.Stock) *candidate { return k.wedge(s, -1) })
		kinds = append(kinds, measure.WedgeStock, measure.WedgeStock)
	}
	var list []*candidate
	for i, lay := range makers {
		best, high := (*candidate)(nil), math.Inf(-1)
		for _, s := range k.pieces[kinds[i]] {
			d := lay(s)
			if score := k.score(d, k.ofHeight); score > high {
				best, high = d, score
			}
		}
		if best != nil {
			list = append(list, best)
		}
	}
	return list
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
	d := (&candidate{}).with(Action{Work: measure.PitchShim, Turn: angle, Size: thick, Name: s.Name})
	var n noise
	d.moves[fit.FloorEnd], n.moves[fit.FloorEnd] = way*thick, k.std(measure.PitchShim)
	if way < 0 {
		d.moves[fit.FloorAll] = thick
	}
	d.noise = append(d.noise, n)
	return d
}

// flat is a shim under the whole heel.
func (k *kit) flat(s measure.Stock) *candidate {
	d := (&candidate{}).with(Action{Work: measure.RiseShim, Size: s.Size, Name: s.Name})
	d.moves[fit.FloorAll] = s.Size
	var n noise
	n.moves[fit.FloorAll] = k.std(measure.RiseShim)
	d.noise = append(d.noise, n)
	return d
}

// surely is the guarded rule's probability to pass.
const surely = fit.Confidence
