package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// mostRoom is how much wider the body's neck-screw holes may be drilled: beyond it a plate and a
// screw's head hold no longer. Common practice, no source.
const mostRoom = 1.0 // mm of diameter

// screws lists what may be done for the neck screws: nothing, the body's holes opened by each bit
// that is on the shelf, the heel's holes plugged and drilled anew.
func (k *kit) screws() []*candidate {
	list := []*candidate{{}}
	r := k.of(neckHoles)
	if r == nil || !r.judged {
		return list
	}
	if now := k.neckHole(); now > 0 {
		for _, s := range k.pieces[measure.DrillStock] {
			if s.Size > now && s.Size <= now+mostRoom {
				d := (&candidate{}).with(Action{Work: measure.ReamScrews, Size: s.Size, Name: s.Name})
				d.room = (s.Size - now) / 2
				list = append(list, d)
			}
		}
	}
	plug := (&candidate{}).with(Action{Work: measure.PlugNeck})
	plug.newNeck = true
	return append(list, plug)
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

// strings lists what may be done for the row of string holes.
func (k *kit) strings() []*candidate {
	list := []*candidate{{}}
	if r := k.of(stringRow); r != nil && r.judged {
		d := (&candidate{}).with(Action{Work: measure.PlugStrings})
		d.newStrings = true
		list = append(list, d)
	}
	return list
}

// cornerStep is in what steps a heel's corner is rounded, and mostCorner by how much at most:
// common practice, no source.
const (
	cornerStep = 0.5 // mm of radius
	mostCorner = 5.0
)

// ease lists what may be done for corners: nothing, or the least rounding that passes.
func (k *kit) ease() []*candidate {
	list := []*candidate{{}}
	r := k.of(corners)
	if r == nil || !r.judged {
		return list
	}
	for add := cornerStep; add <= mostCorner; add += cornerStep {
		d := (&candidate{}).with(Action{Work: measure.EaseCorner, Size: add})
		d.corner = add
		d.noise = append(d.noise, noise{corner: k.std(measure.EaseCorner)})
		if k.passes(r, d) {
			return append(list, d)
		}
	}
	return list
}

// level lists what may be done for the floor. Scraping lowers it by up to half of what is left, as
// uncertain as that.
func (k *kit) level() []*candidate {
	list := []*candidate{{}}
	if r := k.of(floorFlat); r != nil && r.judged {
		d := (&candidate{}).with(Action{Work: measure.LevelFloor})
		d.newFloor = true
		var n noise
		n.moves[fit.FloorAll] = k.std(measure.LevelFloor)
		d.noise = append(d.noise, n)
		list = append(list, d)
	}
	return list
}

// passes tells whether a criterion is inside with the guarded rule's probability.
func (k *kit) passes(r *criterion, d *candidate) bool {
	return fit.Conformance(k.value(r, d), math.Sqrt(k.variance(r, d)), r.lower, d.upper(r)) >= surely
}

// surely is the guarded rule's probability to pass (ISO 14253-1:2017, default).
const surely = fit.Confidence

// ofHeight tells whether a criterion answers to what is laid under the heel.
func (k *kit) ofHeight(r *criterion) bool {
	return math.Abs(r.by[fit.FloorEnd]) > noResponse || math.Abs(r.by[fit.FloorAll]) > noResponse
}

// raise lists what may be laid under the heel: nothing, and of wedges thick at the end, wedges
// thick at the mouth and flat shims each the one that is best for the heights.
func (k *kit) raise() []*candidate {
	list := []*candidate{{}}
	if !k.judges(k.ofHeight) {
		return list
	}
	if k.play != nil {
		list = append(list, k.bestOfStock(measure.WedgeStock, k.wedge(1)), k.bestOfStock(measure.WedgeStock, k.wedge(-1)))
	}
	list = append(list, k.bestOfStock(measure.FloorStock, k.floor))
	return without(list)
}

// judges tells whether any judged criterion is of a kind.
func (k *kit) judges(is func(*criterion) bool) bool {
	for i := range k.criteria {
		if k.criteria[i].judged && is(&k.criteria[i]) {
			return true
		}
	}
	return false
}

func without(list []*candidate) []*candidate {
	var out []*candidate
	for _, d := range list {
		if d != nil {
			out = append(out, d)
		}
	}
	return out
}

func (k *kit) bestOfStock(kind measure.StockKind, make func(measure.Stock) *candidate) *candidate {
	var best *candidate
	high := math.Inf(-1)
	for _, s := range k.pieces[kind] {
		d := make(s)
		if score := k.score(d, k.ofHeight); score > high {
			best, high = d, score
		}
	}
	return best
}

// wedge is thick at the pocket's end (way 1) or at its mouth (way -1) and nothing at the other.
func (k *kit) wedge(way float64) func(measure.Stock) *candidate {
	return func(s measure.Stock) *candidate {
		thick := s.Size
		if s.Angle > 0 {
			thick = math.Tan(s.Angle*math.Pi/180) * k.play.Length
		}
		angle := way * math.Atan(thick/k.play.Length) * 180 / math.Pi
		d := (&candidate{}).with(Action{Work: measure.PitchShim, Turn: angle, Size: thick, Name: s.Name})
		std := k.std(measure.PitchShim)
		var n noise
		d.moves[fit.FloorEnd], n.moves[fit.FloorEnd] = way*thick, std
		if way < 0 {
			d.moves[fit.FloorAll] = thick
		}
		d.noise = append(d.noise, n)
		return d
	}
}

func (k *kit) floor(s measure.Stock) *candidate {
	d := (&candidate{}).with(Action{Work: measure.RiseShim, Size: s.Size, Name: s.Name})
	d.moves[fit.FloorAll] = s.Size
	var n noise
	n.moves[fit.FloorAll] = k.std(measure.RiseShim)
	d.noise = append(d.noise, n)
	return d
}
