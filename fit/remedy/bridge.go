package remedy

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"neckfit/fit"
	"neckfit/measure"
)

// The steps in which a bridge is set, and how far a new place for it is searched for.
const (
	bridgeStep = 0.05  // mm, as a calliper with a hand on wood can set it
	turnStep   = 0.05  // degrees; 0.05 mm over the length of a plate
	farthest   = 15.0  // mm: farther off, the bridge or the neck is the wrong one
	askFrom    = 3.0   // mm: farther off, the parts are checked first (a repairer's two cases were wrong pairs)
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

// plugOne lays the bridge where all of its holes but the worst meet at their best, by least squares, and plugs what does
// not meet: one hole that is off is no reason to drill five. Nil where that is no small move.
func (k *kit) plugOne(from *candidate) *candidate {
	c := k.troubled(fit.BridgeHoleMismatch)
	if c == nil || !k.bridge || c.last-c.first < 6 {
		return nil
	}
	off, n := k.worstElement(c, from), c.last-c.first-2
	rows, sides := mat.NewDense(n, len(bridgeMoves), nil), mat.NewVecDense(n, nil)
	at := 0
	for e := c.first; e < c.last; e++ {
		if e == off || e == off+1 {
			continue
		}
		for j, b := range bridgeMoves {
			rows.Set(at, j, k.model.Response[e][b.move])
		}
		sides.SetVec(at, -k.element(c, from, e))
		at++
	}
	var best mat.VecDense
	if best.SolveVec(rows, sides) != nil {
		return nil
	}
	d := from.with(Action{Work: measure.PlugBridge})
	for j, b := range bridgeMoves {
		d.moves[b.move] = math.Round(best.AtVec(j)/b.step) / math.Round(1/b.step)
		if math.Abs(d.moves[b.move]) > mostClearance {
			return nil
		}
	}
	d.newBridge, d.newStrings = true, len(places(k.model.Geometry, measure.StringHole)) > 0
	k.bridgeNoise(d)
	return d.sayBridge()
}

// sayBridge writes a bridge's moves into the action that moves it, a candidate's last.
func (d *candidate) sayBridge() *candidate {
	a := &d.actions[len(d.actions)-1]
	a.Turn, a.Across, a.Along = d.moves[fit.BridgeTurn]+0, d.moves[fit.BridgeAcross]+0, d.moves[fit.BridgeAlong]+0
	return d
}

// mostSlot is how far a hole for a wood screw or a string is drawn out at the most: the thread keeps its bite on three sides.
// What is off by half a millimetre and more is plugged (common practice, no source).
const mostSlot = 0.3 // mm

// moveBridge moves the bridge within its screws' clearance, by that and slots, or plugs its holes and puts it where it is best;
// nil where the readings do not say how, or nothing is gained. Where none of its holes is known, as after a quick check,
// what is plugged has no schedule yet. The best place is found by golden section, one way to move after the other: the score
// is a sum of logarithms of normal probabilities, each concave in the moves.
func (k *kit) moveBridge(from *candidate, work measure.Work) *candidate {
	if !k.model.Moves() || work != measure.PlugBridge && (!k.bridge || k.judges(fit.BridgeHoleMismatch) == nil) {
		return nil
	}
	d := from.with(Action{Work: work})
	if work == measure.PlugBridge {
		d.newBridge = true
		d.newStrings = len(places(k.model.Geometry, measure.StringHole)) > 0
	}
	if work == measure.SlotBridge {
		d.room.bridge, d.actions[len(d.actions)-1].Size = mostSlot, mostSlot
	}
	k.bridgeNoise(d)
	o := k.objective(d, k.ofBridge)
	for sweep := range sweeps {
		for _, b := range bridgeMoves {
			bound := b.bound
			if work != measure.PlugBridge {
				bound = min(bound, mostClearance)
			}
			low, high := -bound, bound
			if sweep > 0 { // what the other moves change is a part of it
				at := d.moves[b.move]
				low, high = max(low, at-bound/8), min(high, at+bound/8)
			}
			o.vary(d, b.move)
			o.narrow(d, b.move, low, high, b.step/2)
		}
	}
	o.stay(d)
	for _, b := range bridgeMoves {
		d.moves[b.move] = math.Round(d.moves[b.move]/b.step) / math.Round(1/b.step)
	}
	if a := &d.sayBridge().actions[len(d.actions)-1]; a.Turn == 0 && a.Across == 0 && a.Along == 0 && (work == measure.BridgeMove || k.judges(fit.BridgeHoleMismatch) == nil && k.judges(fit.StringHolePitch) == nil) {
		return nil
	}
	return d
}

// stay takes back each way of moving that gains next to nothing: a hole that stays need not be
// drilled.
func (o *objective) stay(d *candidate) {
	const nothing = 0.005 // half a hundredth of the probability
	var best float64
	for i, b := range bridgeMoves {
		o.vary(d, b.move)
		if i == 0 {
			best = o.score(varied{d.moves[b.move]}, math.Inf(-1))
		}
		if o.score(varied{}, math.Inf(-1)) >= best-nothing {
			d.moves[b.move] = 0
		}
	}
}

// mostClearance is more than any plate lets its screws stand off centre, in mm and in degrees.
const mostClearance = 1.5

// narrow sets the move that is varied to where the score is highest between two bounds.
func (o *objective) narrow(d *candidate, move fit.Move, low, high, step float64) {
	at := func(x float64) float64 {
		return o.score(varied{x}, math.Inf(-1)) - o.fault(move, x)
	}
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

// holesUnread tells that the places of the body's holes for the bridge are not known.
func (k *kit) holesUnread() bool {
	g := k.model.Geometry
	return g.Bridge == nil || g.Centre == nil || len(places(g, measure.BridgeScrew)) == 0 && len(places(g, measure.StringHole)) == 0
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
