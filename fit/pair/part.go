package pair

import (
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
	ofNeck = []string{"scale-length", "fret-error", "side-bow", "heel-end-squareness", "heel-width-mouth", "heel-width-end", "heel-thickness"}
	ofBody = []string{"bridge-hole-mismatch", "string-hole-pitch", "floor-flatness", "pocket-end-squareness", "pocket-width-mouth", "pocket-width-end", "pocket-depth"}
)

func newNeck(k *measure.Kit, o fit.Options) *neck {
	return &neck{k, fit.NewLooseNeck(k), ownFaults(k, ofNeck, o)}
}

func newBody(k *measure.Kit, o fit.Options) *body {
	return &body{k, fit.NewLooseBody(k, o.Compensation), ownFaults(k, ofBody, o)}
}

// ownFaults are the minutes for what is out of its limits on the part itself.
func ownFaults(k *measure.Kit, names []string, o fit.Options) float64 {
	minutes := 0.0
	for _, c := range fit.Check(k, o).Characteristics {
		if c.Missing != "" || !slices.Contains(names, c.Name) {
			continue
		}
		if out := max(c.Lower-c.Value, c.Value-c.Upper); out > 0 {
			minutes += minutesOwn + perMillimetre*out
		}
	}
	return minutes
}

// price puts a neck and a body together and bills the work.
func (l *limits) priceOf(n *neck, b *body) Price {
	if why := mismatch(n, b); why != "" {
		return impossible(why)
	}
	s := seat(n.LooseNeck, b.LooseBody)
	s.screw = n.kit.Info.NeckScrew
	if s.screw == 0 {
		s.screw = b.kit.Info.NeckScrew
	}
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
