package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// treatment is what may be done to a wall of the pocket.
type treatment uint8

const (
	untreated treatment = iota
	shimmed
	relieved
)

// depths are how deep a wall is scraped back, in mm: what a scraper and a sanding block take in
// good order. Deeper is a job for a router and a template, which is no remedy but a new pocket.
// Common practice, no source.
var depths = []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}

// mostShim is the thickest shim beside a heel: above it the trade fills the pocket and cuts it
// anew. Common practice, no source.
const mostShim = 1.2 // mm

// A shim is sanded to a taper from veneer of this thickness or more, keeps so much at its thin end, and is
// not worth tapering by less. Common practice, no source.
const (
	taperFrom  = 0.5  // mm
	taperLeast = 0.25 // mm
	taperBy    = 0.2  // mm
)

// makeable tells whether a shim can be made so thick at mouth and end: parallel, a strip at one end only,
// or tapered.
func makeable(mouth, end float64) bool {
	thin, thick := min(mouth, end), max(mouth, end)
	return thin == thick || thin == 0 || thick >= taperFrom && thin >= taperLeast && thick-thin >= taperBy
}

// ends is what is done to both walls at one place: shims count up, relief down.
type ends struct{ bass, treble float64 }

// group is a treatment of the bass wall and one of the treble wall.
type group struct{ bass, treble treatment }

// groups are all of them, least drastic first.
var groups = []group{
	{untreated, untreated},
	{shimmed, untreated}, {untreated, shimmed}, {shimmed, shimmed},
	{relieved, untreated}, {untreated, relieved}, {relieved, shimmed}, {shimmed, relieved}, {relieved, relieved},
}

// makeable tells whether each treated wall is treated somewhere, by a shim that can be made.
func (g group) makeable(m, e ends) bool {
	return (g.bass == untreated || m.bass != 0 || e.bass != 0) && (g.treble == untreated || m.treble != 0 || e.treble != 0) &&
		(g.bass != shimmed || makeable(m.bass, e.bass)) && (g.treble != shimmed || makeable(m.treble, e.treble))
}

// thicknesses are what a treatment can put on a wall at one place.
func (k *kit) thicknesses(t treatment) []float64 {
	list := []float64{0}
	switch t {
	case untreated:
	case shimmed:
		for _, s := range k.pieces[measure.SideStock] {
			if s.Size <= mostShim {
				list = append(list, s.Size)
			}
		}
	case relieved:
		for _, d := range depths {
			list = append(list, -d)
		}
	}
	return list
}

// mostEnds is how many of a group's treatments at one place are searched on: those that leave the
// gap likeliest to pass.
const mostEnds = 10

// ratedEnds are ends and how likely they leave the gap to pass.
type ratedEnds struct {
	ends
	score float64
}

// bestEnds are the treatments of a group at mouth (0) or end (1), likeliest gap first.
func (k *kit) bestEnds(g group, i int) []ratedEnds {
	var list []ratedEnds
	for _, b := range k.thicknesses(g.bass) {
		for _, t := range k.thicknesses(g.treble) {
			if k.gaps[i]-(b+t) < 0 && g != (group{}) {
				continue // the heel would not go in
			}
			score := 0.0
			for j := range k.criteria {
				if c := &k.criteria[j]; c.judged && c.gap[i] != 0 {
					score += logInside(k.model.Elements[c.first].Value-(b+t), c.std, c.lower, c.upper)
				}
			}
			list = append(list, ratedEnds{ends{b, t}, score})
		}
	}
	slices.SortStableFunc(list, func(a, b ratedEnds) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(math.Abs(a.bass-a.treble), math.Abs(b.bass-b.treble)))
	})
	n := min(len(list), mostEnds)
	if n < len(list) && list[n-1].bass == list[n].treble && list[n-1].treble == list[n].bass {
		n++ // a mirror image's twin
	}
	return list[:n]
}

// seating is one way through a group: what is done at mouth and end, and where the heel is set.
type seating struct {
	mouth, end ends
	u, v       float64
	score      float64
}

// lateral is everything that may be done beside the heel: of each group of treatments the best by
// what counts, once with the heel in the middle and once with it set at its best place.
func (k *kit) lateral(counts func(*criterion) bool) []*candidate {
	list := []*candidate{{}}
	if k.play == nil {
		return list
	}
	touched := func(c *criterion) bool { return counts(c) && k.answers(c, fit.HeelMouth, fit.HeelEnd) }
	if k.troubled(fit.EndGap) != nil && k.play.Felt && min(k.gaps[0], k.gaps[1]) >= 0 { // pushed home
		list = append(list, k.reseat(group{}, seating{}))
	}
	for _, g := range groups {
		middle, best := k.bestOf(g, touched)
		for _, d := range []*candidate{middle, best} {
			if d != nil && len(d.actions) > 0 {
				list = append(list, d)
			}
		}
	}
	return list
}

// taperLoss is how much likelier to pass a tapered shim must be than a parallel one, and playLoss
// how much likelier plans must be that leave a millimetre more of swing: ties go to the simpler
// work and the smaller worst case.
const (
	taperLoss = 0.02
	playLoss  = 0.005
)

// bestOf searches one group by branch and bound: the treatments come likeliest gap first, and what
// their gaps lose no place of the heel can win back.
func (k *kit) bestOf(g group, counts func(*criterion) bool) (middle, best *candidate) {
	mouths, ends := k.bestEnds(g, 0), k.bestEnds(g, 1)
	if len(mouths) == 0 || len(ends) == 0 {
		return nil, nil
	}
	o := k.objective(k.reseat(g, seating{mouth: mouths[0].ends, end: ends[0].ends}), counts)
	o.vary(&candidate{}, fit.HeelMouth, fit.HeelEnd, fit.HeelAlong)
	high := [2]seating{{score: math.Inf(-1)}, {score: math.Inf(-1)}}
	for _, m := range mouths {
		for _, e := range ends {
			if g.makeable(m.ends, e.ends) {
				k.try(o, g, seating{mouth: m.ends, end: e.ends}, &high)
			}
		}
	}
	if s := high[0]; !math.IsInf(s.score, -1) {
		middle = k.treat(g, s.mouth, s.end)
	}
	if s := high[1]; !math.IsInf(s.score, -1) {
		k.refine(o, &s)
		best = k.reseat(g, s)
	}
	return middle, best
}

// try scores a treatment with the heel in the middle, and, if its gaps leave a chance to be better,
// at every seat.
func (k *kit) try(o *objective, g group, s seating, high *[2]seating) {
	d := k.bare(s.mouth, s.end)
	d.seated = true
	gap := k.left(&d)
	loss := 0.0
	if c := k.criterion(fit.CentreLineError); c != nil {
		by := &k.model.Response[c.first]
		loss = playLoss * (max(gap[0], 0)*math.Abs(by[fit.HeelMouth]) + max(gap[1], 0)*math.Abs(by[fit.HeelEnd]))
	}
	for _, w := range [2][2]float64{{s.mouth.bass, s.end.bass}, {s.mouth.treble, s.end.treble}} {
		if w[0] != w[1] {
			loss += taperLoss
		}
	}
	gaps := o.ofGaps(d.wider)
	if g != (group{}) {
		k.set(&d, 0, 0)
	}
	if s.score = gaps + o.score(d.heel(), high[0].score+loss-gaps) - loss; s.score > high[0].score {
		high[0] = s
	}
	if gaps+o.within(d.heel(), gap)-loss <= high[1].score || min(gap[0], gap[1]) < 0 || max(gap[0], gap[1]) < leaf {
		return
	}
	mouth, nm := seats(gap[0])
	end, ne := seats(gap[1])
	for _, u := range mouth[:nm] {
		for _, v := range end[:ne] {
			if g != (group{}) && u == 0 && v == 0 {
				continue // that is the middle
			}
			k.set(&d, u, v)
			if s.u, s.v, s.score = u, v, gaps+o.score(d.heel(), high[1].score+loss-gaps)-loss; s.score > high[1].score {
				high[1] = s
			}
		}
	}
}

// heel are a candidate's moves of the heel, as they are varied.
func (d *candidate) heel() varied {
	return varied{d.moves[fit.HeelMouth], d.moves[fit.HeelEnd], d.moves[fit.HeelAlong]}
}

// leaf is the step of a feeler gauge's leaves, in which a heel is set: common practice, no source.
const leaf = 0.05 // mm

// seats are the places, from the middle of a gap toward treble, that are tried: the middle, hard against
// either wall, and half way to them in whole leaves. The second result is how many there are.
func seats(gap float64) ([5]float64, int) {
	half := gap / 2
	quarter := wholeLeaf(math.Floor(half/2/leaf+leafSlack) * leaf)
	switch {
	case !(half > 0):
		return [5]float64{}, 1
	case quarter == 0:
		return [5]float64{0, -half, half}, 3
	}
	return [5]float64{0, -quarter, quarter, -half, half}, 5
}

// wholeLeaf is the multiple of a leaf nearest to x, as near as decimals can write it.
func wholeLeaf(x float64) float64 { return math.Round(x/leaf)/(1/leaf) + 0 } // + 0 turns -0 into 0

// leafSlack keeps a whole number of leaves whole: it is far above the rounding of a division.
const leafSlack = 1e-9

// refine moves the heel leaf by leaf while that is better. Its score grows by what it gains.
func (k *kit) refine(o *objective, s *seating) {
	d := k.bare(s.mouth, s.end)
	d.seated = true
	gap := k.left(&d)
	at := func(u, v float64) float64 {
		if math.Abs(u) > gap[0]/2 || math.Abs(v) > gap[1]/2 {
			return math.Inf(-1)
		}
		k.set(&d, u, v)
		return o.score(d.heel(), math.Inf(-1))
	}
	now := at(s.u, s.v)
	for gained := true; gained; {
		gained = false
		for i, step := range [4]float64{leaf, -leaf, leaf, -leaf} {
			u, v := s.u, s.v
			if i < 2 {
				u = wholeLeaf(u + step)
			} else {
				v = wholeLeaf(v + step)
			}
			if next := at(u, v); next > now+leastGain {
				s.u, s.v, s.score, now, gained = u, v, s.score+next-now, next, true
			}
		}
	}
}

// leastGain is what a leaf must gain to be worth the trouble.
const leastGain = 1e-3
