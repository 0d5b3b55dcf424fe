package remedy

import (
	"math"

	"neckfit/fit"
)

// lateral is everything that may be done beside the heel: of each group of treatments the best by
// the rows that count, once with the heel in the middle and once with it set at its best place.
func (k *kit) lateral(counts func(*row) bool) []*draft {
	list := []*draft{{}}
	if k.play == nil {
		return list
	}
	touched := func(r *row) bool { return counts(r) && k.lateralRow(r) }
	// Where a reversible group is within reach of certainty, a lasting one could only be beaten by it.
	enough := math.Log(reach)
	high := math.Inf(-1)
	for _, g := range groups {
		if g.level() == Lasting && high >= enough {
			break
		}
		middle, best, score := k.bestOf(g, touched)
		high = max(high, score)
		for _, d := range []*draft{middle, best} {
			if d != nil && len(d.actions) > 0 {
				list = append(list, d)
			}
		}
	}
	return list
}

// lateralRow tells whether a row answers to what is done beside the heel.
func (k *kit) lateralRow(r *row) bool {
	return r.gap != [2]float64{} || r.sort == neckHoles ||
		math.Abs(r.by[fit.HeelMouth]) > noResponse || math.Abs(r.by[fit.HeelEnd]) > noResponse
}

// taperLoss is how much likelier to pass a tapered shim must be than a parallel one, and playLoss
// how much likelier plans must be that leave a millimetre more of swing: ties go to the simpler
// work and the smaller worst case.
const (
	taperLoss = 0.02
	playLoss  = 0.005
)

// bestOf searches one group.
func (k *kit) bestOf(g group, counts func(*row) bool) (middle, best *draft, score float64) {
	highMiddle, highBest := math.Inf(-1), math.Inf(-1)
	ends := k.bestEnds(g, 1)
	for _, m := range k.bestEnds(g, 0) {
		for _, e := range ends {
			if !g.whole(m, e) {
				continue
			}
			loss := taperLoss * float64(tapers(m.bass, e.bass)+tapers(m.treble, e.treble))
			d := k.treat(g, m, e)
			if s := k.score(d, counts) - loss - k.playCost(d); s > highMiddle {
				middle, highMiddle = d, s
			}
			d, s := k.reseat(g, m, e, counts)
			if d == nil {
				continue
			}
			if s -= loss + k.playCost(d); s > highBest {
				best, highBest = d, s
			}
		}
	}
	return middle, best, max(highMiddle, highBest)
}

// whole tells whether each treated wall is treated somewhere.
func (g group) whole(m, e ends) bool {
	return (g.bass == untreated || m.bass != 0 || e.bass != 0) && (g.treble == untreated || m.treble != 0 || e.treble != 0)
}

func tapers(mouth, end float64) int {
	if mouth != end {
		return 1
	}
	return 0
}

func (k *kit) playCost(d *draft) float64 {
	if s := k.swing(d); s != nil {
		return playLoss * (s.High - s.Low)
	}
	return 0
}
