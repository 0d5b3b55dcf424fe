package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// heightRow tells whether a row answers to what is laid under the heel.
func (k *kit) heightRow(r *row) bool {
	return math.Abs(r.by[fit.FloorEnd]) > noResponse || math.Abs(r.by[fit.FloorAll]) > noResponse
}

// raise lists what may be laid under the heel: nothing, and of wedges thick at the end, wedges
// thick at the mouth and flat shims each the one that is best for the heights.
func (k *kit) raise() []*draft {
	list := []*draft{{}}
	if !k.judges(k.heightRow) {
		return list
	}
	if k.play != nil {
		list = append(list, k.bestOfStock(measure.WedgeStock, k.wedge(1)), k.bestOfStock(measure.WedgeStock, k.wedge(-1)))
	}
	list = append(list, k.bestOfStock(measure.FloorStock, k.floor))
	return without(list)
}

// judges tells whether any judged row is of a kind.
func (k *kit) judges(is func(*row) bool) bool {
	for i := range k.rows {
		if k.rows[i].judged && is(&k.rows[i]) {
			return true
		}
	}
	return false
}

func without(list []*draft) []*draft {
	var out []*draft
	for _, d := range list {
		if d != nil {
			out = append(out, d)
		}
	}
	return out
}

func (k *kit) bestOfStock(kind measure.StockKind, make func(measure.Stock) *draft) *draft {
	var best *draft
	high := math.Inf(-1)
	for _, s := range k.stock[kind] {
		d := make(s)
		if score := k.score(d, k.heightRow); score > high {
			best, high = d, score
		}
	}
	return best
}

// wedge is thick at the pocket's end (way 1) or at its mouth (way -1) and nothing at the other.
func (k *kit) wedge(way float64) func(measure.Stock) *draft {
	return func(s measure.Stock) *draft {
		thick := s.Size
		if s.Angle > 0 {
			thick = math.Tan(s.Angle*math.Pi/180) * k.play.Length
		}
		angle := way * math.Atan(thick/k.play.Length) * 180 / math.Pi
		d := (&draft{}).with(Action{Work: measure.PitchShim, Turn: angle, Size: thick, Name: s.Name})
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

func (k *kit) floor(s measure.Stock) *draft {
	d := (&draft{}).with(Action{Work: measure.RiseShim, Size: s.Size, Name: s.Name})
	d.moves[fit.FloorAll] = s.Size
	var n noise
	n.moves[fit.FloorAll] = k.std(measure.RiseShim)
	d.noise = append(d.noise, n)
	return d
}
