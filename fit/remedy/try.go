package remedy

import (
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// Try works out a plan of somebody's own as For works out its: on the moved parts, with its holes and its
// odds. Actions need only their works and sizes; what a shim or a relief leaves is set in the middle unless the
// heel is re-seated. Holes that cannot be placed stand refused in its Drilling. It gives no plan but what is
// wanted where the readings do not allow it to be worked out. The result must come from fit.Check with
// Options.Model.
func Try(r *fit.Result, actions []Action, o Options) (*Plan, []Untried) {
	k := newKit(r, newStock(o))
	d, untried := k.candidateOf(actions)
	if len(untried) > 0 {
		return nil, untried
	}
	d.exact = k.model.Values(&d.moves)
	k.drill(d)
	one := []weighed{k.weigh(d, k.newOdds([]*candidate{d}).of(d, 0))}
	p := one[0].plan
	p.Swing = k.swing(d)
	if beyond := k.beyond(d); beyond > 0 {
		p.Beyond, p.Level = beyond, max(p.Level, Redrilled)
	}
	k.circles(d, d.drilled)
	expect(one, k.costs[measure.ReadAgain].Minutes)
	return p, nil
}

// beyond is by how much the screws of a bridge that was moved as it is stand farther off their holes than these let them; 0
// where they let them. Where that is not known it is held against what no plate lets them.
func (k *kit) beyond(d *candidate) float64 {
	if !slices.ContainsFunc(d.actions, func(a Action) bool { return a.Work == measure.BridgeMove }) {
		return 0
	}
	turned := math.Abs(d.moves[fit.BridgeTurn]) * math.Pi / 180 * k.span / 2
	off := math.Hypot(d.moves[fit.BridgeAcross], d.moves[fit.BridgeAlong]) + turned - mostClearance
	if c := k.criterion(fit.BridgeHoleMismatch); k.bridge && !math.IsInf(c.upper, 1) {
		off = k.value(c, d) - d.limit(c)
	}
	if off < leastStd { // rounding
		return 0
	}
	return off
}

// Before puts a plan of one's own ahead of the others.
func (a *Advice) Before(own *Plan) *Advice {
	out := *a
	out.Own, out.Plans = true, append([]Plan{*own}, a.Plans...)
	for i := range out.Plans {
		if i > 0 && out.Plans[i].Next >= 0 {
			out.Plans[i].Next++
		}
	}
	return &out
}

// candidateOf is what actions do to the geometry.
func (k *kit) candidateOf(actions []Action) (*candidate, []Untried) {
	d, at, heel := &candidate{}, [2]float64{}, false
	var untried []Untried
	for _, a := range actions {
		switch a.Work {
		case measure.SideShim, measure.RelieveWall, measure.Reseat, measure.TrimHeel:
			heel = true
			if k.play == nil {
				return nil, []Untried{HeelUntried}
			}
		case measure.PitchShim:
			if k.play == nil {
				return nil, []Untried{HeelUntried}
			}
		case measure.BridgeMove, measure.SlotBridge, measure.PlugBridge:
			if !k.model.Moves() {
				return nil, []Untried{BridgeUntried}
			}
		}
		k.apply(d, a, &at)
	}
	if heel {
		gap := k.left(d)
		for i := range d.actions {
			if d.actions[i].Work == measure.Reseat {
				for e := range at {
					d.actions[i].Against[e] = against(at[e], gap[e])
				}
			}
		}
		k.place(d, at[0], at[1])
	}
	return d, untried
}

// apply adds what one action does; at is where the heel is to be set.
func (k *kit) apply(d *candidate, a Action, at *[2]float64) {
	if one := k.single(a); one != nil {
		*d = *d.join(one)
		return
	}
	switch a.Work {
	case measure.SideShim, measure.RelieveWall:
		t, sign := shimmed, 1.0
		if a.Work == measure.RelieveWall {
			t, sign = relieved, -1
		}
		walls := &d.walls.Bass
		if a.Wall == Treble {
			walls = &d.walls.Treble
		}
		for i, thick := range [2]float64{a.Mouth, a.End} {
			walls[i] += sign * thick
			d.wider[i] -= sign * thick
		}
		k.wall(d, a.Wall, t, sign*a.Mouth, sign*a.End)
		return
	case measure.Reseat:
		at[0], at[1] = a.Mouth, a.End
	case measure.BridgeMove, measure.SlotBridge, measure.PlugBridge:
		d.moves[fit.BridgeAcross], d.moves[fit.BridgeAlong], d.moves[fit.BridgeTurn] = a.Across, a.Along, a.Turn
		k.bridgeNoise(d)
		if a.Work == measure.SlotBridge {
			d.room.bridge = a.Size
		}
		if a.Work == measure.PlugBridge {
			d.newBridge, d.newStrings = true, len(places(k.model.Geometry, measure.StringHole)) > 0
		}
	case measure.ReamScrews:
		if now := k.neckHole(); now > 0 {
			d.room.neck = max(0, a.Size-now) / 2
		}
	case measure.SlotScrews:
		d.room.neck = a.Size
	case measure.SlotStrings:
		d.room.strings = a.Size
	case measure.PlugNeck:
		d.newNeck = true
	case measure.PlugStrings:
		d.newStrings = true
	case measure.NoWork, measure.Leave, measure.ReadAgain, measure.SendBack:
		return
	}
	d.actions = append(d.actions, a)
}

// single is the candidate of a work that the search tries by itself as well; nil for any other.
func (k *kit) single(a Action) *candidate {
	switch a.Work {
	case measure.TrimHeel:
		return k.trimmed(a.Size)
	case measure.PitchShim:
		return k.wedge(measure.Stock{Size: math.Abs(a.Size), Name: a.Name}, sign(a.Turn))
	case measure.RiseShim:
		return k.flat(measure.Stock{Size: a.Size, Name: a.Name})
	case measure.EaseCorner:
		return k.eased(a.Size)
	case measure.SquareCorner:
		return k.square()
	case measure.DeepenFloor:
		return k.deepened(a.Size)
	case measure.LevelFloor:
		return k.levelled()
	}
	return nil
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
