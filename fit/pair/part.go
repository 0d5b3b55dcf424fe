package pair

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// neck and body are parts that were fitted once, with what is wrong with them in any pair.
type neck struct {
	kit *measure.Kit
	*fit.LooseNeck
	own float64 // minutes
}

type body struct {
	kit *measure.Kit
	*fit.LooseBody
	own float64
}

// The characteristics that belong to one part alone.
var (
	ofNeck = []fit.ID{fit.ScaleLength, fit.FretError, fit.SideBow, fit.HeelEndSquareness, fit.HeelWidthMouth, fit.HeelWidthEnd, fit.HeelThickness}
	ofBody = []fit.ID{fit.BridgeHoleMismatch, fit.StringHolePitch, fit.FloorFlatness, fit.PocketEndSquareness, fit.PocketWidthMouth, fit.PocketWidthEnd, fit.PocketDepth}
)

func newNeck(k *measure.Kit, o Options) *neck {
	return &neck{k, fit.NewLooseNeck(k), ownFaults(k, ofNeck, o)}
}

func newBody(k *measure.Kit, o Options) *body {
	return &body{k, fit.NewLooseBody(k, o.Check), ownFaults(k, ofBody, o)}
}

// ownFaults are the minutes for what is out of its limits on the part itself: it goes back.
func ownFaults(k *measure.Kit, of []fit.ID, o Options) float64 {
	minutes, back := 0.0, minutesOf(o.Costs)[measure.SendBack]
	o.Check.Terse = true
	for _, c := range fit.Check(k, o.Check).Characteristics {
		if c.Missing != "" || !slices.Contains(of, c.ID) {
			continue
		}
		if out := max(c.Lower-c.Value, c.Value-c.Upper); out > 0 {
			minutes += back + perMillimetre*out
		}
	}
	return minutes
}

// priceOf puts a neck and a body together and bills the work.
func (l *limits) priceOf(n *neck, b *body) Price {
	if why := mismatch(n, b); why != "" {
		return impossible(why)
	}
	s := seat(n.LooseNeck, b.LooseBody, wantsOf(n.kit, b.kit))
	v := s.values()
	p := l.price(s, &v)
	if own := n.own + b.own; own > 0 && p.Possible() {
		p.Minutes += own
		p.Actions |= PartOwn
	}
	return p
}

// mismatch is why two parts cannot be of one instrument; empty when they can.
func mismatch(n *neck, b *body) string {
	known := func(k *measure.Kit) bool { return k.Info.Place != measure.Place{} }
	switch {
	case n.LooseNeck.Missing != "":
		return "the neck cannot be seated: not measured is " + n.LooseNeck.Missing
	case b.LooseBody.Missing != "":
		return "no neck can be seated: not measured is " + b.LooseBody.Missing
	case n.LooseNeck.Strings > 0 && b.LooseBody.Strings > 0 && n.LooseNeck.Strings != b.LooseBody.Strings:
		return fmt.Sprintf("the neck is for %d strings, the body for %d", n.LooseNeck.Strings, b.LooseBody.Strings)
	case known(n.kit) && known(b.kit) && n.kit.Info.LeftHanded != b.kit.Info.LeftHanded:
		return "one is left-handed, the other not"
	}
	return ""
}

// guardBand is how many standard uncertainties inside a limit a value must lie for the guarded rule
// to pass it: the normal quantile at 95 % (ISO 14253-1:2017, default).
const guardBand = 1.645

// limitsFor are the limits with guard bands. Uncertainties are those of the first pair by name that
// can be seated: parts surveyed alike have like ones, and they only steer the match, for every pair that
// is chosen is judged with its own.
func limitsFor(necks []*neck, bodies []*body, o Options) *limits {
	l := limitsFrom(o.Check.Limits, o.Costs)
	if o.Check.Rule == fit.Simple {
		return l
	}
	necks, bodies = slices.Clone(necks), slices.Clone(bodies) // by name, so that the order of the rows does not matter
	slices.SortStableFunc(necks, func(a, b *neck) int { return cmp.Compare(a.kit.Name, b.kit.Name) })
	slices.SortStableFunc(bodies, func(a, b *body) int { return cmp.Compare(a.kit.Name, b.kit.Name) })
	for _, n := range necks {
		for _, b := range bodies {
			if mismatch(n, b) == "" {
				l.guardFrom(fit.Check(fit.Unite("", n.kit, b.kit), o.Check))
				return l
			}
		}
	}
	return l
}

func (l *limits) guardFrom(r *fit.Result) {
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		for q, id := range ids {
			if id == c.ID && c.Missing == "" {
				l.guard[q] = guardBand * c.StdUncertainty
			}
		}
	}
}

// costs of all pairs, in minutes, +Inf where they cannot be.
func (l *limits) costs(necks []*neck, bodies []*body) [][]float64 {
	table := make([][]float64, len(necks))
	inParallel(len(necks), func(i int) {
		table[i] = make([]float64, len(bodies))
		for j, b := range bodies {
			table[i][j] = l.priceOf(necks[i], b).Minutes
		}
	})
	return table
}

// Random is what matching by chance comes to on average, every match equally likely.
type Random struct {
	Minutes    float64 // of the pairs that can be made
	Impossible float64 // pairs that cannot
}

// randomMatch is exact: in a match of as many pairs as can be drawn, each pair of the table is
// drawn with probability one over the larger number of parts.
func randomMatch(costs [][]float64) Random {
	var r Random
	if len(costs) == 0 || len(costs[0]) == 0 {
		return r
	}
	larger := float64(max(len(costs), len(costs[0])))
	for _, row := range costs {
		for _, c := range row {
			if math.IsInf(c, 1) {
				r.Impossible += 1 / larger
			} else {
				r.Minutes += c / larger
			}
		}
	}
	return r
}
