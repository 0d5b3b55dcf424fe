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
func (k *kit) screws() []*draft {
	list := []*draft{{}}
	r := k.of(neckHoles)
	if r == nil || !r.judged {
		return list
	}
	if now := k.neckHole(); now > 0 {
		for _, s := range k.stock[measure.DrillStock] {
			if s.Size > now && s.Size <= now+mostRoom {
				d := (&draft{}).with(Action{Work: measure.ReamScrews, Size: s.Size, Name: s.Name})
				d.room = (s.Size - now) / 2
				list = append(list, d)
			}
		}
	}
	plug := (&draft{}).with(Action{Work: measure.PlugNeck})
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
func (k *kit) strings() []*draft {
	list := []*draft{{}}
	if r := k.of(stringRow); r != nil && r.judged {
		d := (&draft{}).with(Action{Work: measure.PlugStrings})
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
func (k *kit) ease() []*draft {
	list := []*draft{{}}
	r := k.of(corners)
	if r == nil || !r.judged {
		return list
	}
	for add := cornerStep; add <= mostCorner; add += cornerStep {
		d := (&draft{}).with(Action{Work: measure.EaseCorner, Size: add})
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
func (k *kit) level() []*draft {
	list := []*draft{{}}
	if r := k.of(floorFlat); r != nil && r.judged {
		d := (&draft{}).with(Action{Work: measure.LevelFloor})
		d.newFloor = true
		var n noise
		n.moves[fit.FloorAll] = k.std(measure.LevelFloor)
		d.noise = append(d.noise, n)
		list = append(list, d)
	}
	return list
}

// passes tells whether a row is inside with the guarded rule's probability.
func (k *kit) passes(r *row, d *draft) bool {
	return fit.Conformance(k.value(r, d), math.Sqrt(k.variance(r, d)), r.lower, d.upper(r)) >= surely
}

// surely is the guarded rule's probability to pass (ISO 14253-1:2017, default).
const surely = fit.Confidence
