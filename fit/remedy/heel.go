package remedy

import (
	"math"

	"neckfit/fit"
)

// lateral is everything that may be done beside the heel: of each group of treatments the best by
// the criteria that count, once with the heel in the middle and once with it set at its best place.
func (k *kit) lateral(counts func(*criterion) bool) []*candidate {
	list := []*candidate{{}}
	if k.play == nil {
		return list
	}
	touched := func(r *criterion) bool { return counts(r) && k.besideHeel(r) }
	// Where a group is within reach of certainty, a more drastic one could at most be as good.
	high, settled, class := math.Inf(-1), false, 0
	for _, g := range groups {
		if c := g.class(); c != class {
			class, settled = c, high >= enough
		}
		if settled {
			break
		}
		middle, best, score := k.bestOf(g, touched)
		high = max(high, score)
		for _, d := range []*candidate{middle, best} {
			if d != nil && len(d.actions) > 0 {
				list = append(list, d)
			}
		}
	}
	return list
}

// enough is the score of a plan that is within reach of certainty.
var enough = math.Log(reach)

// besideHeel tells whether a criterion answers to what is done beside the heel.
func (k *kit) besideHeel(r *criterion) bool {
	return r.gap != [2]float64{} || r.kind == neckHoles ||
		math.Abs(r.by[fit.HeelMouth]) > noResponse || math.Abs(r.by[fit.HeelEnd]) > noResponse
}

// taperLoss is how much likelier to pass a tapered shim must be than a parallel one, and playLoss
// how much likelier plans must be that leave a millimetre more of swing: ties go to the simpler
// work and the smaller worst case.
const (
	taperLoss = 0.02
	playLoss  = 0.005
)

// seating is one way through a group: what is done at mouth and end, and where the heel is set.
type seating struct {
	mouth, end ends
	u, v       float64
	score      float64
}

// bestOf searches one group by branch and bound: the treatments come likeliest gap first, and what
// their gaps lose no place of the heel can win back.
func (k *kit) bestOf(g group, counts func(*criterion) bool) (middle, best *candidate, score float64) {
	mouths, ends := k.bestEnds(g, 0), k.bestEnds(g, 1)
	if len(mouths) == 0 || len(ends) == 0 {
		return nil, nil, math.Inf(-1)
	}
	l := k.objective(k.reseat(g, seating{mouth: mouths[0].ends, end: ends[0].ends}), counts)
	high := [2]seating{{score: math.Inf(-1)}, {score: math.Inf(-1)}}
	for _, m := range mouths {
		for _, e := range ends {
			if g.whole(m.ends, e.ends) {
				k.try(l, g, seating{mouth: m.ends, end: e.ends, score: m.score + e.score}, &high)
			}
		}
	}
	if s := high[0]; !math.IsInf(s.score, -1) {
		middle = k.treat(g, s.mouth, s.end)
	}
	if s := high[1]; !math.IsInf(s.score, -1) {
		k.refine(l, &s)
		best, high[1].score = k.reseat(g, s), s.score
	}
	return middle, best, max(high[0].score, high[1].score)
}

// try scores a treatment with the heel in the middle, and, if its gaps leave a chance to be better,
// at every seat. The seating's score is its gaps' at first.
func (k *kit) try(l *objective, g group, s seating, high *[2]seating) {
	d := k.bare(s.mouth, s.end)
	gap := k.left(&d)
	loss := taperLoss*float64(tapers(s.mouth.bass, s.end.bass)+tapers(s.mouth.treble, s.end.treble)) + k.playCost(gap)
	bound := s.score
	k.set(&d, 0, 0, g)
	if s.score = l.score(&d, high[0].score+loss) - loss; s.score > high[0].score {
		high[0] = s
	}
	if bound+l.within(&d, gap)-loss <= high[1].score || gap[0] < leaf && gap[1] < leaf {
		return
	}
	mouth, nm := seats(gap[0])
	end, ne := seats(gap[1])
	for _, u := range mouth[:nm] {
		for _, v := range end[:ne] {
			if g != (group{}) && u == 0 && v == 0 {
				continue // that is the middle
			}
			k.set(&d, u, v, anyGroup)
			if s.u, s.v, s.score = u, v, l.score(&d, high[1].score+loss)-loss; s.score > high[1].score {
				high[1] = s
			}
		}
	}
}

// refine moves the heel leaf by leaf while that is better. Its score grows by what it gains.
func (k *kit) refine(l *objective, s *seating) {
	d := k.bare(s.mouth, s.end)
	gap := k.left(&d)
	at := func(u, v float64) float64 {
		if math.Abs(u) > gap[0]/2 || math.Abs(v) > gap[1]/2 {
			return math.Inf(-1)
		}
		k.set(&d, u, v, anyGroup)
		return l.score(&d, math.Inf(-1))
	}
	start := at(s.u, s.v)
	for now, gained := start, true; gained; {
		gained = false
		for _, step := range [4][2]float64{{leaf, 0}, {-leaf, 0}, {0, leaf}, {0, -leaf}} {
			u, v := wholeLeaf(s.u+step[0]), wholeLeaf(s.v+step[1])
			if next := at(u, v); next > now+leastGain {
				s.u, s.v, s.score, now, gained = u, v, s.score+next-now, next, true
			}
		}
	}
}

// leastGain is what a leaf must gain to be worth the trouble.
const leastGain = 1e-3

// anyGroup is a group for which set moves the heel.
var anyGroup = group{shimmed, shimmed}

// set puts the heel so far toward treble of the middle of the play that remains; a pocket that
// nothing is done to leaves it where it was.
func (k *kit) set(d *candidate, u, v float64, g group) {
	if g == (group{}) {
		return
	}
	for i, s := range [2]float64{u, v} {
		bass, treble := k.play.Bass[i]-d.walls.Bass[i], k.play.Treble[i]-d.walls.Treble[i]
		d.moves[fit.HeelMouth+fit.Move(i)] = (treble-bass)/2 + s
	}
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

// playCost is what the swing over the remaining gaps costs a plan.
func (k *kit) playCost(gap [2]float64) float64 {
	r := k.criterion(fit.CentreLineError)
	if r == nil {
		return 0
	}
	return playLoss * (max(gap[0], 0)*math.Abs(r.by[fit.HeelMouth]) + max(gap[1], 0)*math.Abs(r.by[fit.HeelEnd]))
}
