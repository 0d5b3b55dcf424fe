package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// The steps in which a bridge is set, and how far a new place for it is searched for.
const (
	bridgeStep = 0.05  // mm, as a calliper with a hand on wood can set it
	turnStep   = 0.05  // degrees; 0.05 mm over the length of a plate
	farthest   = 15.0  // mm: farther off, the bridge or the neck is the wrong one
	mostTurn   = 3.0   // degrees, likewise
	sweeps     = 3     // over the three ways to move; they hardly depend on each other
	narrowed   = 0.618 // golden section
)

// bridgeMoves are the ways to move a bridge, with their bounds and steps.
var bridgeMoves = []struct {
	move        fit.Move
	bound, step float64
}{
	{fit.BridgeTurn, mostTurn, turnStep},
	{fit.BridgeAcross, farthest, bridgeStep},
	{fit.BridgeAlong, farthest, bridgeStep},
}

// ofBridge tells whether a criterion answers to a move of the bridge.
func (k *kit) ofBridge(r *criterion) bool {
	return r.kind == bridgeHoles || math.Abs(r.by[fit.BridgeAcross]) > noResponse ||
		math.Abs(r.by[fit.BridgeAlong]) > noResponse || math.Abs(r.by[fit.BridgeTurn]) > noResponse
}

// shiftBridge adds a move within the screws' clearance; nil where the holes do not say what that
// is, or nothing is gained.
func (k *kit) shiftBridge(d *candidate) *candidate {
	r := k.of(bridgeHoles)
	if len(k.bridge.pairs) == 0 || r == nil || !r.judged {
		return nil
	}
	return k.moveBridge(d, measure.BridgeMove)
}

// redrillBridge plugs the bridge's holes and puts it where it is best.
func (k *kit) redrillBridge(d *candidate) *candidate {
	if k.model.Geometry.Bridge == nil || k.model.Geometry.Centre == nil {
		return nil
	}
	return k.moveBridge(d, measure.PlugBridge)
}

// moveBridge finds the best place by golden section, one way to move after the other: the score is
// a sum of logarithms of normal probabilities, each concave in the moves.
func (k *kit) moveBridge(from *candidate, work measure.Work) *candidate {
	d := from.with(Action{Work: work})
	if work == measure.PlugBridge {
		d.newBridge = true
		d.newStrings = k.of(stringRow) != nil
	}
	k.bridgeNoise(d)
	l := k.objective(d, k.ofBridge)
	for range sweeps {
		for _, b := range bridgeMoves {
			bound := b.bound
			if work == measure.BridgeMove {
				bound = min(bound, mostClearance)
			}
			narrow(l, d, b.move, bound, b.step/2)
		}
	}
	stay(l, d)
	a := &d.actions[len(d.actions)-1]
	for _, b := range bridgeMoves {
		d.moves[b.move] = math.Round(d.moves[b.move]/b.step) * b.step
	}
	a.Turn, a.Across, a.Along = d.moves[fit.BridgeTurn], d.moves[fit.BridgeAcross], d.moves[fit.BridgeAlong]
	if a.Turn == 0 && a.Across == 0 && a.Along == 0 && work == measure.BridgeMove {
		return nil
	}
	return d
}

// stay takes back each way of moving that gains next to nothing: a hole that stays need not be
// drilled.
func stay(l *objective, d *candidate) {
	const nothing = 0.005 // half a hundredth of the probability
	best := l.score(d, math.Inf(-1))
	for _, b := range bridgeMoves {
		was := d.moves[b.move]
		d.moves[b.move] = 0
		if l.score(d, math.Inf(-1)) < best-nothing {
			d.moves[b.move] = was
		}
	}
}

// mostClearance is more than any plate lets its screws stand off centre, in mm and in degrees.
const mostClearance = 1.5

// narrow sets one move to where the score is highest within a bound either way.
func narrow(l *objective, d *candidate, move fit.Move, bound, step float64) {
	at := func(x float64) float64 {
		d.moves[move] = x
		return l.score(d, math.Inf(-1)) - l.offCentre(d)
	}
	low, high := -bound, bound
	a, b := high-narrowed*(high-low), low+narrowed*(high-low)
	fa, fb := at(a), at(b)
	for high-low > step {
		if fa > fb {
			high, b, fb = b, a, fa
			a = high - narrowed*(high-low)
			fa = at(a)
		} else {
			low, a, fa = a, b, fb
			b = low + narrowed*(high-low)
			fb = at(b)
		}
	}
	d.moves[move] = (low + high) / 2
}

// bridgeNoise is how exactly a bridge is laid: off by as much at each end of its plate across, and
// along.
func (k *kit) bridgeNoise(d *candidate) {
	std := k.std(measure.BridgeMove)
	var across, along, turn noise
	across.moves[fit.BridgeAcross] = std
	along.moves[fit.BridgeAlong] = std
	turn.moves[fit.BridgeTurn] = std * math.Sqrt2 / k.span * 180 / math.Pi
	d.noise = append(d.noise, across, along, turn)
}
