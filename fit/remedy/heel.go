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
		for _, step := range [4][2]float64{{leaf, 0}, {-leaf, 0}, {0, leaf}, {0, -leaf}} {
			u, v := s.u, s.v
			if step[0] != 0 {
				u = wholeLeaf(u + step[0])
			} else {
				v = wholeLeaf(v + step[1])
			}
			if next := at(u, v); next > now+leastGain {
				s.u, s.v, s.score, now, gained = u, v, s.score+next-now, next, true
			}
		}
	}
}

// leastGain is what a leaf must gain to be worth the trouble.
const leastGain = 1e-3

// set puts the heel so far toward treble of the middle of the play that remains, and slides it home.
func (k *kit) set(d *candidate, u, v float64) {
	var to [2]float64
	for i, s := range [2]float64{u, v} {
		bass, treble := k.play.Bass[i]-d.walls.Bass[i], k.play.Treble[i]-d.walls.Treble[i]
		to[i] = (treble-bass)/2 + s
	}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = to[0], to[1]
	if d.seated {
		d.moves[fit.HeelAlong] = k.home(to[0], to[1]) + d.trimmed
	}
}

// reseat is a treatment with the heel set at a place of its own.
func (k *kit) reseat(g group, s seating) *candidate {
	base := &candidate{}
	if g != (group{}) {
		base = k.treat(g, s.mouth, s.end)
	}
	a := Action{Work: measure.Reseat, Mouth: s.u, End: s.v}
	d := base.with(a)
	gap := k.left(d)
	for i, x := range [2]float64{s.u, s.v} {
		d.actions[len(d.actions)-1].Against[i] = against(x, gap[i])
	}
	k.place(d, s.u, s.v)
	return d
}

// settle sets the heel of a candidate anew where its gaps have changed.
func (k *kit) settle(d *candidate) *candidate {
	var at [2]float64
	gap := k.left(d)
	for n := range d.actions {
		a := &d.actions[n]
		if a.Work != measure.Reseat {
			continue
		}
		for i, x := range []*float64{&a.Mouth, &a.End} {
			switch a.Against[i] {
			case Bass:
				*x = -gap[i] / 2
			case Treble:
				*x = gap[i] / 2
			case NoWall:
				half := max(0, gap[i]/2)
				*x = max(-half, min(half, *x))
			}
		}
		at = [2]float64{a.Mouth, a.End}
	}
	k.place(d, at[0], at[1])
	return d
}

// against is the wall that a heel stands at that is set so far toward treble of the middle of a gap.
func against(x, gap float64) Wall {
	const touching = 1e-6 // mm; far above rounding
	switch {
	case gap <= 0:
		return NoWall
	case x >= gap/2-touching:
		return Treble
	case x <= -gap/2+touching:
		return Bass
	}
	return NoWall
}

// treat makes the candidate of a treatment: the two walls' actions, and the heel back in the middle of
// the play that remains. A pocket that nothing is done to leaves the heel where it was.
func (k *kit) treat(g group, mouth, end ends) *candidate {
	d := &candidate{}
	if g == (group{}) {
		return d
	}
	*d = k.bare(mouth, end)
	k.wall(d, Bass, g.bass, mouth.bass, end.bass)
	k.wall(d, Treble, g.treble, mouth.treble, end.treble)
	k.place(d, 0, 0)
	return d
}

// bare is what a treatment does to the walls, without its actions and the hand's errors.
func (k *kit) bare(mouth, end ends) candidate {
	var d candidate
	d.walls = After{Bass: [2]float64{mouth.bass, end.bass}, Treble: [2]float64{mouth.treble, end.treble}}
	for i, e := range [2]ends{mouth, end} {
		d.wider[i] = -e.bass - e.treble
	}
	return d
}

// wall adds what is done to one wall. An error of a shim's thickness is common to both its ends
// unless it is tapered; one of a relief's depth is not. Either moves the middle by its half.
func (k *kit) wall(d *candidate, w Wall, t treatment, mouth, end float64) {
	if t == untreated {
		return
	}
	a := Action{Work: measure.SideShim, Wall: w, Mouth: mouth, End: end}
	if t == relieved {
		a = Action{Work: measure.RelieveWall, Wall: w, Mouth: -mouth, End: -end}
	} else {
		for _, p := range k.pieces[measure.SideStock] {
			if p.Size == max(mouth, end) { // the very number came from the table
				a.Name = p.Name
			}
		}
	}
	d.actions = append(d.actions, a)
	toTreble := 0.5
	if w == Treble {
		toTreble = -0.5
	}
	std := k.std(a.Work)
	one := func(mouth, end float64) {
		var n noise
		n.wider = [2]float64{-mouth * std, -end * std}
		n.moves[fit.HeelMouth], n.moves[fit.HeelEnd] = toTreble*mouth*std, toTreble*end*std
		d.noise = append(d.noise, n)
	}
	if t == shimmed && mouth == end {
		one(1, 1)
		return
	}
	if mouth != 0 {
		one(1, 0)
	}
	if end != 0 {
		one(0, 1)
	}
}

// left are the gaps that a candidate leaves, mouth and end, both walls together.
func (k *kit) left(d *candidate) [2]float64 {
	return [2]float64{k.gaps[0] + d.wider[0], k.gaps[1] + d.wider[1]}
}

// place puts the heel so far toward treble of the middle of the play that remains, at mouth and at
// end, and adds what the hand is off there: next to nothing against a wall, which however is itself known
// no better than half a gap. Where the gaps were felt beside each wall, the middle
// is as uncertain as half a gap; where pocket and heel were surveyed apart, the middle is the
// bisectors' and in the readings' covariance already.
func (k *kit) place(d *candidate, mouth, end float64) {
	gap := k.left(d)
	d.seated = true
	k.set(d, mouth, end)
	if d.lies == 0 {
		d.noise = append(d.noise, noise{}, noise{})
		d.lies = len(d.noise) - 1
	}
	for i, x := range [2]float64{mouth, end} {
		std := min(k.std(measure.Reseat), max(gap[i], 0)/Worst) // the walls hold the heel
		hard := against(x, gap[i]) != NoWall
		if hard {
			std = min(std, pressed)
		}
		if hard || k.result.Way != fit.LooseParts {
			std = math.Hypot(std, k.play.Std[i]/2)
		}
		std = math.Hypot(std, k.play.Adrift[i])
		var n noise
		n.moves[fit.HeelMouth+fit.Move(i)] = std
		d.noise[d.lies-1+i] = n
	}
}

// pressed is how exactly, as a standard deviation, a heel lies that is pressed against a wall: finish and
// dust. Common practice, no source.
const pressed = 0.01 // mm

// swing is the range of the centre-line error over what the pocket's play and the neck screws leave: the worst
// case if the heel slips. Nil where play or error are not known, or the heel does not go in.
func (k *kit) swing(d *candidate) *fit.Swing {
	if k.play == nil || k.criterion(fit.CentreLineError) == nil {
		return nil
	}
	after := k.after(d)
	return k.model.Swing(&d.moves, fit.After{Bass: after.Bass, Treble: after.Treble, Room: d.room.neck, Through: d.newNeck, Trimmed: d.trimmed})
}

// after is the play beside each wall with the heel where the candidate puts it.
func (k *kit) after(d *candidate) After {
	var a After
	turned := k.turned(d) / 2
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		a.Bass[i] = k.play.Bass[i] - d.walls.Bass[i] - d.slim/2 - turned + d.moves[m]
		a.Treble[i] = k.play.Treble[i] - d.walls.Treble[i] - d.slim/2 - turned - d.moves[m]
	}
	return a
}
