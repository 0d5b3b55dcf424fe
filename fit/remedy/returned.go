package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// back is the plan to return a part, and what no work cures.
type back struct {
	plan    Plan
	reasons []string
}

// hopeless is a probability at which the guarded rule fails (ISO 14253-1:2017, default).
const hopeless = 1 - surely

// partOf says which part a characteristic that cannot be cured speaks against.
var partOf = map[fit.ID]string{
	fit.ScaleLength: "neck", fit.FretError: "neck", fit.SideBow: "neck", fit.CornerReserve: "neck", fit.HeelEndSquareness: "neck",
	fit.HeelWidthMouth: "neck", fit.HeelWidthEnd: "neck", fit.HeelThickness: "neck",
	fit.BridgeSkew: "bridge", fit.MarginBass: "bridge", fit.MarginTreble: "bridge", fit.MarginBalance: "bridge",
	fit.SaddleReserveFront: "bridge", fit.SaddleReserveBack: "bridge", fit.BridgeHoleMismatch: "bridge",
	fit.SaddleHeightReserveLow: "bridge", fit.SaddleHeightReserveHigh: "bridge",
}

func part(id fit.ID) string {
	if p, ok := partOf[id]; ok {
		return p
	}
	return "body"
}

// returned names the characteristics that fail whatever is done: those that no work changes and
// that fail already, and those that even the best plan leaves failing.
func (k *kit) returned(plans []Plan) back {
	var b back
	var parts []string
	for i := range k.rows {
		r := &k.rows[i]
		if !r.judged || k.bestOfRow(r, plans) > hopeless {
			continue
		}
		id := k.result.Characteristics[r.index].ID
		b.reasons = append(b.reasons, k.reason(r))
		if p := part(id); !slices.Contains(parts, p) {
			parts = append(parts, p)
		}
	}
	if len(b.reasons) == 0 {
		if k.bestCurable(plans) <= hopeless {
			b.reasons = append(b.reasons, "each fault by itself can be cured, but no plan makes it likely that all is good at once")
		}
		parts = k.worstParts()
	}
	a := Action{Work: measure.SendBack, Part: strings.Join(parts, " and ")}
	b.plan = Plan{Actions: []Action{a}, Level: Returned, Minutes: k.minutes([]Action{a})}
	return b
}

func (k *kit) bestCurable(plans []Plan) float64 {
	best := 0.0
	for i := range plans {
		best = max(best, plans[i].Curable)
	}
	return best
}

// bestOfRow is how likely a row passes under the plan that is best for it.
func (k *kit) bestOfRow(r *row, plans []Plan) float64 {
	best := 0.0
	for i := range plans {
		for j := range plans[i].Predicted {
			if p := &plans[i].Predicted[j]; p.Index == r.index {
				best = max(best, p.P)
			}
		}
	}
	return best
}

// worstParts are the parts that the least likely characteristic speaks against.
func (k *kit) worstParts() []string {
	least, id := math.Inf(1), fit.ID(0)
	for i := range k.rows {
		if c := &k.result.Characteristics[k.rows[i].index]; k.rows[i].judged && c.P < least {
			least, id = c.P, c.ID
		}
	}
	return []string{part(id)}
}

// reason says in words why a characteristic cannot be cured.
func (k *kit) reason(r *row) string {
	c := &k.result.Characteristics[r.index]
	name := c.ID.String()
	off := max(c.Lower-c.Value, c.Value-c.Upper)
	switch {
	case c.ID == fit.ScaleLength && off > wrongScale:
		return fmt.Sprintf("the neck is of another scale: it measures %.0f mm, and kits.csv says %.0f mm; frets cannot be moved", c.Value, k.result.Info.Scale)
	case r.gap != [2]float64{} && c.Value < c.Lower:
		return fmt.Sprintf("%s: the heel is %.1f mm wider than the pocket there, and a wall is scraped by %.1f mm at the most", name, -c.Value, slices.Max(depths))
	case r.gap != [2]float64{}:
		return fmt.Sprintf("%s: no stock fits: it takes %.1f to %.1f mm of shim, and the thickest on the shelf is %s", name, c.Value-c.Upper, c.Value-c.Lower, k.thickest())
	case c.ID == fit.SaddleReserveFront || c.ID == fit.SaddleReserveBack:
		return k.travelReason(name)
	case !r.curable:
		return name + " is not changed by any work on the fit"
	}
	return name + ": no work and no size on the shelf brings it inside its limits"
}

// wrongScale is how far off a neck is not badly made but another model's: common practice, no source.
const wrongScale = 3.0 // mm

func (k *kit) thickest() string {
	list := k.thicknesses(shimmed)
	if len(list) == 1 {
		return "none"
	}
	return fmt.Sprintf("%.2f mm a wall", slices.Max(list))
}

// travelReason tells saddles that travel too little from a bridge that is too far off.
func (k *kit) travelReason(name string) string {
	front, back := k.row(fit.SaddleReserveFront), k.row(fit.SaddleReserveBack)
	if front != nil && back != nil && front.value+back.value < front.lower+back.lower {
		return fmt.Sprintf("%s: the saddles travel too little: the two reserves add up to %.1f mm and must be %.1f mm, wherever the bridge stands",
			name, front.value+back.value, front.lower+back.lower)
	}
	return fmt.Sprintf("%s: the bridge stands beyond what its saddles' travel can make up, and it cannot be moved that far (%.0f mm at the most)", name, farthest)
}

// untried says which actions the readings do not allow to be worked out.
func (k *kit) untried() []string {
	var list []string
	g := k.model.Geometry
	if k.play == nil {
		list = append(list, "re-seating, side shims and relief: read the gaps beside both walls at mouth and end from the body's datum, or pocket and heel at two places each")
	}
	if g.Bridge == nil || g.Centre == nil {
		list = append(list, "moving the bridge: read the fingerboard's edges and the outer saddles or the bridge's screw holes")
	} else if len(k.bridge.pairs) == 0 {
		list = append(list, "moving the bridge within its screws' clearance: read plate-screw (datum bridge) and bridge-screw (datum body)")
	}
	if r := k.of(neckHoles); r != nil && r.judged && k.neckHole() == 0 {
		list = append(list, "opening the neck-screw holes: read their diameters (neck-screw, kind diameter)")
	}
	if r := k.row(fit.SaddleReserveFront); r == nil && k.result.Way != fit.NoWay {
		list = append(list, "the saddles' reserve after a move: read saddle-front and saddle-back")
	}
	return list
}
