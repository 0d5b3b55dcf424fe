package remedy

import (
	"neckfit/fit"
)

// draft is a plan in the making: its actions, and what they do to the geometry.
type draft struct {
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

// with is the draft and one action more; its slices are its own.
func (d *draft) with(a Action) *draft {
	out := *d
	out.actions = append(append([]Action(nil), d.actions...), a)
	out.noise = append([]noise(nil), d.noise...)
	return &out
}

// fresh tells whether a sort is made anew, so that what was read of it counts no longer.
func (d *draft) fresh(s sort) bool {
	return s == neckHoles && d.newNeck || s == bridgeHoles && d.newBridge || s == stringRow && d.newStrings || s == floorFlat && d.newFloor
}

// upper is the limit that a row has under the draft: opened holes leave their screws more room.
func (d *draft) upper(r *row) float64 {
	if r.sort == neckHoles {
		return r.upper + d.room
	}
	return r.upper
}

// value is what a row becomes. The holes' mismatches are worked out afresh, for they are lengths
// and not linear in the moves; what the readings say and the geometry does not explain stays.
func (k *kit) value(r *row, d *draft) float64 {
	v := r.value + r.gap[0]*d.wider[0] + r.gap[1]*d.wider[1]
	switch {
	case r.sort == corners:
		return v + d.corner
	case r.sort == neckHoles && len(k.neck.pairs) > 0:
		return v + k.neck.worst(&d.moves) - k.neck.worst(&still)
	case r.sort == bridgeHoles && len(k.bridge.pairs) > 0:
		return v + k.bridge.worst(&d.moves) - k.bridge.worst(&still)
	}
	return v + dot(&r.by, &d.moves) + r.by[fit.BridgeAcross]*k.bend(d)
}

// bend is how far a bridge that was moved along the neck's old centre line lies beside the new one,
// toward treble, since the heel's shift turns it. Ten millimetres make it a few hundredths; all
// else of second order is far less.
func (k *kit) bend(d *draft) float64 {
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

// answer is how a row changes under one cause of noise.
func (k *kit) answer(r *row, d *draft, n *noise) float64 {
	v := r.gap[0]*n.wider[0] + r.gap[1]*n.wider[1]
	switch {
	case r.sort == corners:
		return v + n.corner
	case r.sort == neckHoles && len(k.neck.pairs) > 0:
		return v + k.neck.slope(&d.moves, &n.moves)
	case r.sort == bridgeHoles && len(k.bridge.pairs) > 0:
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

// variance is a row's own and what the hand adds.
func (k *kit) variance(r *row, d *draft) float64 {
	v := r.variance
	for i := range d.noise {
		a := k.answer(r, d, &d.noise[i])
		v += a * a
	}
	return v
}
