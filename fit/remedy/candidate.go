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
	room    float64    // added to the neck screws' room, mm
	corner  float64    // added to the heel's corner radius, mm

	newNeck, newBridge, newStrings bool // holes drilled anew
	newFloor                       bool // scraped flat
}

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

// renews tells whether a kind is made anew, so that what was read of it counts no longer.
func (d *candidate) renews(s kind) bool {
	return s == neckHoles && d.newNeck || s == bridgeHoles && d.newBridge || s == stringRow && d.newStrings || s == floorFlat && d.newFloor
}

// upper is the limit that a criterion has under the candidate: opened holes leave their screws more room.
func (d *candidate) upper(r *criterion) float64 {
	if r.kind == neckHoles {
		return r.upper + d.room
	}
	return r.upper
}

// value is what a criterion becomes. The holes' mismatches are worked out afresh, for they are lengths
// and not linear in the moves; what the readings say and the geometry does not explain stays.
func (k *kit) value(r *criterion, d *candidate) float64 {
	v := r.value + r.gap[0]*d.wider[0] + r.gap[1]*d.wider[1]
	switch {
	case r.kind == corners:
		return v + d.corner
	case r.kind == neckHoles && len(k.neck.pairs) > 0:
		return v + k.neck.worst(&d.moves) - k.neck.worst(&still)
	case r.kind == bridgeHoles && len(k.bridge.pairs) > 0:
		return v + k.bridge.worst(&d.moves) - k.bridge.worst(&still)
	}
	return v + dot(&r.by, &d.moves) + r.by[fit.BridgeAcross]*k.bend(d)
}

// bend is how far a bridge that was moved along the neck's old centre line lies beside the new one,
// toward treble, since the heel's shift turns it. Ten millimetres make it a few hundredths; all
// else of second order is far less.
func (k *kit) bend(d *candidate) float64 {
	if k.play == nil {
		return 0
	}
	return d.moves[fit.BridgeAlong] * (d.moves[fit.HeelMouth] - d.moves[fit.HeelEnd]) / k.play.Length
}

var still [fit.Moves]float64

func dot(a, b *[fit.Moves]float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// answer is how a criterion changes under one cause of noise.
func (k *kit) answer(r *criterion, d *candidate, n *noise) float64 {
	v := r.gap[0]*n.wider[0] + r.gap[1]*n.wider[1]
	switch {
	case r.kind == corners:
		return v + n.corner
	case r.kind == neckHoles && len(k.neck.pairs) > 0:
		return v + k.neck.slope(&d.moves, &n.moves)
	case r.kind == bridgeHoles && len(k.bridge.pairs) > 0:
		return v + k.bridge.slope(&d.moves, &n.moves)
	}
	return v + dot(&r.by, &n.moves)
}

// slope is the change of the worst distance for a small further move, by central difference. One
// standard deviation is a few hundredths of a millimetre, over which the worst hole may change;
// the difference over all of it is then nearer to what the hand will do than a derivative.
func (h *holes) slope(at, by *[fit.Moves]float64) float64 {
	if *by == still {
		return 0
	}
	ahead, behind := *at, *at
	for i := range by {
		ahead[i] += by[i]
		behind[i] -= by[i]
	}
	return (h.worst(&ahead) - h.worst(&behind)) / 2
}

// variance is a criterion's own and what the hand adds.
func (k *kit) variance(r *criterion, d *candidate) float64 {
	v := r.variance
	for i := range d.noise {
		a := k.answer(r, d, &d.noise[i])
		v += a * a
	}
	return v
}

// renewed is what becomes of a criterion that is made anew: value, standard uncertainty and the
// probability that it lies inside. Of holes, the value is the distance that all of them keep to in
// half of the cases, and the uncertainty half of what lies between a sixth and five sixths. Of a
// floor, it is half of the worst that is left.
func (k *kit) renewed(r *criterion, d *candidate) (value, std, p float64) {
	if r.kind == floorFlat {
		left := k.costs[measure.LevelFloor].Worst
		value, std = left/2, left/2/worst
		return value, std, fit.Conformance(value, std, r.lower, r.upper)
	}
	n, each := k.bored(r.kind)
	const sixth = 0.1587 // normal probability below one standard deviation under the mean
	value = drilledQuantile(n, each, 0.5)
	std = (drilledQuantile(n, each, 1-sixth) - drilledQuantile(n, each, sixth)) / 2
	return value, std, drilled(n, each, d.upper(r))
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

// bored is how many new holes a kind has and how exactly they are drilled.
func (k *kit) bored(s kind) (n int, std float64) {
	switch s {
	case neckHoles:
		return max(1, len(k.neck.pairs), k.count(measure.HeelScrew)), k.std(measure.PlugNeck)
	case bridgeHoles:
		return max(1, len(k.bridge.pairs)), k.std(measure.PlugBridge)
	case stringRow:
		return max(1, k.count(measure.StringHole)), k.std(measure.PlugStrings)
	case linear, corners, floorFlat:
	}
	panic("remedy: nothing is drilled there")
}
