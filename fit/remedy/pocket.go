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

func (g group) level() Level {
	if g.bass == relieved || g.treble == relieved {
		return Trimmed
	}
	return Reversible
}

// class orders groups by level and by how many walls are treated.
func (g group) class() int {
	walls := 0
	for _, t := range []treatment{g.bass, g.treble} {
		if t != untreated {
			walls++
		}
	}
	return int(g.level())*10 + walls
}

// thicknesses are what a treatment can put on a wall at one place.
func (k *kit) thicknesses(t treatment) []float64 {
	list := []float64{0}
	switch t {
	case untreated:
	case shimmed:
		for _, s := range k.sizes(measure.SideStock) {
			if s <= mostShim {
				list = append(list, s)
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
// gap likeliest to pass. With the built-in stock a gap within its limits has about so many.
const mostEnds = 20

// ratedEnds are ends and how likely they leave the gap's criteria to pass.
type ratedEnds struct {
	ends
	score float64
}

// bestEnds are the treatments of a group at mouth (0) or end (1), likeliest gap first.
func (k *kit) bestEnds(g group, i int) []ratedEnds {
	var list []ratedEnds
	for _, b := range k.thicknesses(g.bass) {
		for _, t := range k.thicknesses(g.treble) {
			e := ends{b, t}
			if left := k.play.Bass[i] + k.play.Treble[i] - b - t; left < 0 && g != (group{}) {
				continue // the heel would not go in
			}
			list = append(list, ratedEnds{e, k.gapScore(e, i)})
		}
	}
	slices.SortStableFunc(list, func(a, b ratedEnds) int { return cmp.Compare(b.score, a.score) })
	return list[:min(len(list), mostEnds)]
}

// gapScore is how likely the gaps' criteria pass after a treatment.
func (k *kit) gapScore(e ends, i int) float64 {
	sum := 0.0
	for j := range k.criteria {
		r := &k.criteria[j]
		if r.judged && r.gap[i] != 0 {
			sum += logInside(r.value-e.bass-e.treble, math.Sqrt(r.variance), r.lower, r.upper)
		}
	}
	return sum
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
		a.Name = k.named(measure.SideStock, max(mouth, end))
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
	switch {
	case t == shimmed && mouth == end:
		one(1, 1)
	default:
		if mouth != 0 {
			one(1, 0)
		}
		if end != 0 {
			one(0, 1)
		}
	}
}

// left are the gaps that a candidate leaves, mouth and end, both walls together.
func (k *kit) left(d *candidate) [2]float64 {
	var gap [2]float64
	for i := range gap {
		gap[i] = k.play.Bass[i] + k.play.Treble[i] + d.wider[i]
	}
	return gap
}

// place puts the heel so far toward treble of the middle of the play that remains, at mouth and at
// end, and adds what the hand is off there. Where the gaps were felt beside each wall, the middle
// is as uncertain as half a gap; where pocket and heel were surveyed apart, the middle is the
// bisectors' and in the readings' covariance already.
func (k *kit) place(d *candidate, mouth, end float64) {
	gap := k.left(d)
	for i, s := range [2]float64{mouth, end} {
		move := fit.HeelMouth + fit.Move(i)
		bass, treble := k.play.Bass[i]-d.walls.Bass[i], k.play.Treble[i]-d.walls.Treble[i]
		d.moves[move] = (treble-bass)/2 + s
		std := min(k.std(measure.Reseat), max(gap[i], 0)/worst) // the walls hold the heel
		if k.result.Way != fit.LooseParts {
			std = math.Hypot(std, k.play.Std[i]/2)
		}
		var n noise
		n.moves[move] = std
		d.noise = append(d.noise, n)
	}
}

// leaf is the step of a feeler gauge's leaves, in which a heel is set: common practice, no source.
const leaf = 0.05 // mm

// seats are the places, from the middle of a gap toward treble, that are tried: the middle, both
// walls and half way to them, in whole leaves. The second result is how many there are.
func seats(gap float64) ([5]float64, int) {
	half := wholeLeaf(math.Floor(gap/2/leaf+leafSlack) * leaf)
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

// reseat is a treatment with the heel set at a place of its own.
func (k *kit) reseat(g group, s seating) *candidate {
	base := &candidate{}
	if g != (group{}) {
		base = k.treat(g, s.mouth, s.end)
		base.noise = base.noise[:len(base.noise)-2] // the heel is set once, below
	}
	d := base.with(Action{Work: measure.Reseat, Mouth: s.u, End: s.v})
	k.place(d, s.u, s.v)
	return d
}

// swing is the range of the centre-line error over the play that remains: the worst case if the
// heel slips. Nil where play or error are not known, or the heel does not go in.
func (k *kit) swing(d *candidate) *fit.Swing {
	r := k.criterion(fit.CentreLineError)
	if k.play == nil || r == nil {
		return nil
	}
	after := k.after(d)
	low := k.value(r, d)
	high := low
	longer := d.moves[fit.BridgeAlong] / k.play.Length // a bridge farther off swings farther
	for i, by := range [2]float64{r.by[fit.HeelMouth] + longer, r.by[fit.HeelEnd] - longer} {
		if after.Bass[i]+after.Treble[i] < 0 {
			return nil
		}
		a, b := -after.Bass[i]*by, after.Treble[i]*by
		low += min(a, b)
		high += max(a, b)
	}
	return &fit.Swing{Low: low, High: high}
}

// after is the play beside each wall with the heel where the candidate puts it.
func (k *kit) after(d *candidate) After {
	var a After
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		a.Bass[i] = k.play.Bass[i] - d.walls.Bass[i] + d.moves[m]
		a.Treble[i] = k.play.Treble[i] - d.walls.Treble[i] - d.moves[m]
	}
	return a
}
