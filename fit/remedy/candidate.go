package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// candidate is a plan in the making: its actions, and what they do to the geometry.
type candidate struct {
	actions []Action
	moves   [fit.Moves]float64
	wider   [2]float64 // how much wider the pocket gets at mouth and end, mm
	walls   After      // what is taken off each wall's gap there: shims, less relief
	noise   []noise    // what the hand adds
	lies    int        // where in noise two of them stand that are the heel's place at mouth and end; one more than that, 0 for nowhere
	room    rooms      // added to what holes may be off
	corner  float64    // added to the heel's corner radius, mm
	squared [2]float64 // taken off the pocket's corner radii, bass and treble, mm
	seated  bool       // the heel is set anew, and slid home
	trimmed float64    // off the heel's end, mm
	slim    float64    // what the pocket's gaps lose as the heel, shortened, slides in with a wider part, mm

	newNeck, newBridge, newStrings bool // holes drilled anew
	newFloor                       bool // scraped flat

	exact   []float64      // the elements on the moved parts; nil while a search goes on
	reused  map[Named]bool // of the holes drilled anew those that stay
	drilled *Schedule
}

// rooms is by how much more than their limits holes may be off, in mm: neck screws, the bridge's screws and string holes
// whose holes are opened or drawn out.
type rooms struct{ neck, bridge, strings float64 }

// noise is one independent cause, as what one standard deviation of it does.
type noise struct {
	moves  [fit.Moves]float64
	wider  [2]float64
	corner float64
}

// with is the candidate and one action more; its slices are its own.
func (d *candidate) with(a Action) *candidate {
	out := *d
	out.actions = append(append([]Action(nil), d.actions...), a)
	out.noise = append([]noise(nil), d.noise...)
	return &out
}

// join is both candidates; what is beside the heel comes from the first.
func (d *candidate) join(o *candidate) *candidate {
	if len(o.actions) == 0 {
		return d
	}
	out := *d
	out.actions = append(append([]Action(nil), d.actions...), o.actions...)
	out.noise = append(append([]noise(nil), d.noise...), o.noise...)
	for m := range out.moves {
		out.moves[m] += o.moves[m]
	}
	out.room = rooms{max(out.room.neck, o.room.neck), max(out.room.bridge, o.room.bridge), max(out.room.strings, o.room.strings)}
	out.corner, out.trimmed, out.slim = out.corner+o.corner, out.trimmed+o.trimmed, out.slim+o.slim
	for i := range out.wider {
		out.squared[i] += o.squared[i]
		out.wider[i] += o.wider[i]
	}
	out.newNeck, out.newStrings, out.newFloor = out.newNeck || o.newNeck, out.newStrings || o.newStrings, out.newFloor || o.newFloor
	return &out
}

// renews tells whether a characteristic is made anew, so that what was read of it counts no longer. The
// holes that stay do count.
func (d *candidate) renews(c *criterion) bool {
	switch c.id {
	case fit.EndGap:
		return c.home && d.seated
	case fit.NeckScrewMismatch:
		return d.newNeck
	case fit.BridgeHoleMismatch:
		return d.newBridge
	case fit.StringHolePitch, fit.PlateHoleMismatch, fit.FerruleMismatch: // ferrules are set on the new holes
		return d.newStrings
	case fit.FloorFlatness:
		return d.newFloor
	}
	return false
}

// leaves tells whether a characteristic stays as it was judged.
func (d *candidate) leaves(c *criterion) bool { return c.still && d.limit(c) == c.upper }

// stays tells whether one of the holes for a characteristic's screws is used as it is.
func (d *candidate) stays(c *criterion, mark int) bool {
	feature := map[fit.ID]measure.Feature{fit.NeckScrewMismatch: measure.HeelScrew, fit.BridgeHoleMismatch: measure.BridgeScrew}[c.id]
	return d.reused[Named{Feature: feature, Mark: mark}]
}

// limit is the upper limit that a characteristic has under the candidate: opened holes leave their screws
// more room.
func (d *candidate) limit(c *criterion) float64 {
	switch c.id {
	case fit.NeckScrewMismatch:
		return c.upper + d.room.neck
	case fit.BridgeHoleMismatch:
		return c.upper + d.room.bridge
	case fit.StringHolePitch, fit.PlateHoleMismatch:
		return c.upper + d.room.strings
	}
	return c.upper
}

// value is what a characteristic becomes: to first order element by element while a search goes on, with
// the bridge's turn about the neck's, the one move of second order that counts; on the moved parts
// once these are worked out.
func (k *kit) value(c *criterion, d *candidate) float64 {
	if c.gap != [2]float64{} { // moving the heel does not change the whole gap
		wider := d.wider
		if c.id == fit.PocketWidthMouth || c.id == fit.PocketWidthEnd { // of the pocket itself, whatever part of the heel slides into it
			wider[0], wider[1] = wider[0]+d.slim, wider[1]+d.slim
		}
		value := k.model.Elements[c.first].Value + c.gap[0]*wider[0] + c.gap[1]*wider[1]
		if c.id == fit.PocketGapMouth || c.id == fit.PocketGapEnd {
			value -= k.turned(d)
		}
		return value
	}
	return c.of(func(e int) float64 { return k.element(c, d, e) })
}

// turned is how much more room a heel takes across its pocket that lies turned in it.
func (k *kit) turned(d *candidate) float64 {
	return 2 * k.half * (1/math.Cos((d.moves[fit.HeelEnd]-d.moves[fit.HeelMouth])/k.play.Length) - 1)
}

// element is what one of its elements becomes.
func (k *kit) element(c *criterion, d *candidate, e int) float64 {
	x := 0.0
	if c.id == fit.CornerReserve {
		x = d.rounded(k.model.Elements[e].Mark)
	}
	if d.exact != nil {
		return d.exact[e] + x
	}
	by := &k.model.Response[e]
	x += k.model.Elements[e].Value + dot(by, &d.moves)
	if k.play != nil {
		x += by[fit.BridgeAcross] * d.moves[fit.BridgeAlong] * (d.moves[fit.HeelMouth] - d.moves[fit.HeelEnd]) / k.play.Length
	}
	return x
}

// rounded is by how much more a corner's radii differ, 0 the bass one and 1 the treble one.
func (d *candidate) rounded(corner int) float64 { return d.corner + d.squared[corner] }

func dot(a, b *[fit.Moves]float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// worstElement is the one that a characteristic's value comes from, the first coordinate of a hole; of holes that are made anew
// only those that stay count.
func (k *kit) worstElement(c *criterion, d *candidate) int {
	at := func(e int) float64 { return k.element(c, d, e) }
	found, high, step := c.first, math.Inf(-1), 1
	if c.taken == fit.LongestOf {
		step = 2
	}
	for e := c.first; e < c.last; e += step {
		far := -at(e)
		if step == 2 {
			far = length2(at(e), at(e+1))
		}
		if far > high && (!d.renews(c) || d.stays(c, k.model.Elements[e].Mark)) {
			found, high = e, far
		}
	}
	return found
}

// variance is a characteristic's own and what the hand adds, at the element that is the worst; of a hole,
// along its distance.
func (k *kit) variance(c *criterion, d *candidate) float64 {
	v := c.std * c.std
	e := k.worstElement(c, d)
	by := k.model.Response[e]
	if c.taken == fit.LeastOf {
		v = k.model.Covariance[e][e]
	}
	if c.taken == fit.LongestOf {
		x := k.model.Elements[e].Value + dot(&k.model.Response[e], &d.moves)
		y := k.model.Elements[e+1].Value + dot(&k.model.Response[e+1], &d.moves)
		far := max(math.Hypot(x, y), leastStd)
		x, y = x/far, y/far
		cov := k.model.Covariance
		v = x*x*cov[e][e] + y*y*cov[e+1][e+1] + 2*x*y*cov[e][e+1]
		for m := range by {
			by[m] = x*by[m] + y*k.model.Response[e+1][m]
		}
	}
	for i := range d.noise {
		n := &d.noise[i]
		a := c.gap[0]*n.wider[0] + c.gap[1]*n.wider[1]
		if c.gap == [2]float64{} {
			a += dot(&by, &n.moves)
		}
		if c.id == fit.CornerReserve {
			a += n.corner
		}
		v += a * a
	}
	return v
}

// leastStd stands for a standard uncertainty of nought where one is divided by: a micrometre.
const leastStd = 1e-3

// renewed is what becomes of a characteristic that is made anew: value, standard uncertainty and the
// probability that it lies inside. Of holes, the value is the distance that all of the new ones keep to in
// half of the cases, and the uncertainty half of what lies between a sixth and five sixths. Of a
// floor, it is half of the worst that is left.
func (k *kit) renewed(c *criterion, d *candidate) (value, std, p float64) {
	if c.id == fit.FloorFlatness {
		left := k.costs[measure.LevelFloor].Worst
		value, std = left/2, left/2/Worst
		return value, std, fit.Conformance(value, std, c.lower, c.upper)
	}
	if c.id == fit.EndGap {
		least, greatest := k.endGaps(d.moves[fit.HeelMouth], d.moves[fit.HeelEnd])
		value = greatest - least
		return value, c.std, fit.Conformance(value, c.std, c.lower, c.upper)
	}
	n, each := k.bored(c, d)
	if n == 0 {
		return 0, 0, 1
	}
	const sixth = 0.1587 // normal probability below one standard deviation under the mean
	value = drilledQuantile(n, each, 0.5)
	std = (drilledQuantile(n, each, 1-sixth) - drilledQuantile(n, each, sixth)) / 2
	return value, std, drilled(n, each, d.limit(c))
}

// drilled is how likely n holes, each off by a normal error of the same standard deviation along
// and across, all lie within a distance: a length of two such errors has the Rayleigh distribution.
func drilled(n int, std, within float64) float64 {
	if std == 0 {
		return 1
	}
	one := 1 - math.Exp(-within*within/(2*std*std))
	return math.Pow(one, float64(n))
}

// drilledQuantile is the distance that all n holes keep to with a probability.
func drilledQuantile(n int, std, p float64) float64 {
	return std * math.Sqrt(-2*math.Log1p(-math.Pow(p, 1/float64(n))))
}

// bored is how many new holes a characteristic has and how exactly they are drilled.
func (k *kit) bored(c *criterion, d *candidate) (n int, std float64) {
	feature, work := measure.StringHole, measure.PlugStrings
	switch c.id {
	case fit.NeckScrewMismatch:
		feature, work = measure.HeelScrew, measure.PlugNeck
	case fit.BridgeHoleMismatch:
		feature, work = measure.PlateScrew, measure.PlugBridge
	}
	n = len(places(k.model.Geometry, feature))
	for e := c.first; c.taken == fit.LongestOf && e < c.last; e += 2 {
		if d.stays(c, k.model.Elements[e].Mark) {
			n--
		}
	}
	return n, k.std(work)
}
