package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// For finds the plans for one kit. The result must come from fit.Check with Options.Model, and is not
// changed. Without a model, as of a kit whose readings cannot be fitted, the one plan is to leave it.
func For(r *fit.Result, o Options) *Advice {
	if r.Model == nil {
		return &Advice{Plans: []Plan{{Next: -1, Weakest: Weakest{P: 1}}}, Suspect: r.Suspects}
	}
	k := newKit(r, newStock(o))
	if r.Verdict != fit.Fail && r.Verdict != fit.Unsure {
		return k.advise([]*candidate{k.finish(&candidate{})})
	}
	return k.advise(k.shown(k.complete(k.bases())))
}

// bases are what may be done beside the heel and with the bridge. What is beside the heel is searched for all that it
// touches, and again for what is left when the bridge is moved too, since this takes over some of it, or
// when the neck screws are.
func (k *kit) bases() (bases []*candidate) {
	free := k.lateral(all)
	if k.judges(fit.NeckScrewMismatch) != nil {
		free = with(free, k.lateral(screwless)...)
	}
	add := func(d *candidate) {
		if d != nil {
			bases = append(bases, d)
		}
	}
	for _, d := range free {
		add(d)
		add(k.moveBridge(d, measure.BridgeMove))
	}
	if !k.trouble(k.ofBridge) {
		return bases // what is right is not drilled anew
	}
	for _, d := range k.lateral(func(c *criterion) bool { return !k.ofBridge(c) }) {
		if !slices.ContainsFunc(free, d.like) {
			add(k.moveBridge(d, measure.BridgeMove))
		}
		add(k.moveBridge(d, measure.SlotBridge))
		add(k.moveBridge(d, measure.PlugBridge))
		add(k.plugOne(d))
	}
	return bases
}

// complete are the completions of the most promising candidates.
func (k *kit) complete(bases []*candidate) (out []*candidate) {
	k.others.find(k)
	list := k.promising(bases, all)
	if k.judges(fit.NeckScrewMismatch) != nil {
		list = with(list, k.promising(bases, screwless)...)
	}
	for _, d := range list {
		out = append(out, k.completed(d)...)
	}
	return out
}

func screwless(c *criterion) bool { return c.id != fit.NeckScrewMismatch }

// with is a list and those of some more candidates whose works no other has.
func with(list []*candidate, more ...*candidate) []*candidate {
	for _, d := range more {
		if !slices.ContainsFunc(list, d.like) {
			list = append(list, d)
		}
	}
	return list
}

// promising are the best few of each kind by some characteristics.
func (k *kit) promising(list []*candidate, counts func(*criterion) bool) []*candidate {
	const few = 3
	var out []*candidate
	for _, of := range k.byKind(list, counts) {
		for n, i := 0, 0; n < few && i < len(of); i++ {
			if !slices.ContainsFunc(out, of[i].like) {
				out = append(out, of[i].candidate)
				n++
			}
		}
	}
	return out
}

// like tells whether another candidate has the same works.
func (d *candidate) like(o *candidate) bool { return slices.Equal(d.actions, o.actions) }

// rated is a candidate with what it is estimated to cost: what it takes, and the return of the part where it fails.
type rated struct {
	*candidate
	cost float64
}

// byKind are candidates kind by kind, least drastic first, those that are estimated to cost least ahead.
func (k *kit) byKind(list []*candidate, counts func(*criterion) bool) [][]rated {
	kinds := map[measure.Work][]rated{}
	for _, d := range list {
		kind := kindOf(d.actions)
		kinds[kind] = append(kinds[kind], rated{d, k.estimate(d, counts)})
	}
	var out [][]rated
	for _, w := range measure.Works() {
		if of := kinds[w]; len(of) > 0 {
			slices.SortStableFunc(of, func(a, b rated) int {
				return cmp.Or(cmp.Compare(a.cost, b.cost), len(a.actions)-len(b.actions))
			})
			out = append(out, of)
		}
	}
	return out
}

// estimate is what a candidate is estimated to cost: what it takes, and a return where it fails by some characteristics.
func (k *kit) estimate(d *candidate, counts func(*criterion) bool) float64 {
	back := k.costs[measure.SendBack]
	minutes, price := k.cost(d.actions)
	return minutes + price + (1-math.Exp(k.score(d, counts)))*(back.Minutes+back.Price)
}

// completed are a candidate's completions, with the heel's end as it is or shortened: each as it is and with each
// work that is worth it for the neck screws, and all these with everything else that is worth a work. Of works for the
// same fault the one that costs least goes with all, each other one by itself, so that every kind has its plan.
func (k *kit) completed(d *candidate) []*candidate {
	first := []*candidate{d}
	if t := k.others.trim; t != nil && d.seated && k.score(d.join(t), all) > k.score(d, all)+worthMore {
		first = append(first, k.settle(d.join(t)))
	}
	var list []*candidate
	for _, f := range first {
		for _, start := range append([]*candidate{f}, k.alternatives(f, k.others.screws, func(c *criterion) bool { return c.id == fit.NeckScrewMismatch })...) {
			list = append(list, k.rest(start)...)
		}
	}
	return list
}

// rest adds what else is worth a work: for heights, corners, string holes and the floor.
func (k *kit) rest(d *candidate) []*candidate {
	out := []*candidate{d}
	for _, o := range k.others.rest {
		ways := k.alternatives(out[0], o.ways, o.counts)
		for i := range out[1:] {
			if also := k.alternatives(out[1+i], o.ways, o.counts); len(also) > 0 {
				out[1+i] = also[0]
			}
		}
		if len(ways) > 0 {
			out[0] = ways[0]
			out = append(out, ways[1:]...)
		}
	}
	return out
}

// alternatives are a candidate with each of some ways to cure the same fault, those that are worth a work; of each work the
// size that is estimated to cost least, or the smallest of those that cost about as much; the cheapest first.
func (k *kit) alternatives(d *candidate, ways []*candidate, counts func(*criterion) bool) []*candidate {
	if len(ways) == 0 {
		return nil
	}
	var out []rated
	high := k.score(d, all) + worthMore
	for _, w := range ways {
		if w.newStrings && d.newStrings || w.room.strings > 0 && d.newStrings {
			continue
		}
		joined := d.join(w)
		if k.score(joined, all) <= high {
			continue
		}
		one := rated{joined, k.estimate(joined, counts)}
		at := slices.IndexFunc(out, func(r rated) bool { return r.last() == one.last() })
		switch {
		case at < 0:
			out = append(out, one)
		case one.cost < out[at].cost-asMuch:
			out[at] = one
		}
	}
	slices.SortStableFunc(out, func(a, b rated) int { return cmp.Compare(a.cost, b.cost) })
	list := make([]*candidate, len(out))
	for i, r := range out {
		list[i] = r.candidate
	}
	return list
}

// asMuch is by how much less, in minutes, a larger size must be estimated to cost to be preferred.
const asMuch = 5

// last is a candidate's latest work, and which way a wedge lies.
func (d *candidate) last() Action {
	a := &d.actions[len(d.actions)-1]
	return Action{Work: a.Work, Turn: math.Copysign(1, a.Turn)}
}

// works are what may be done whatever is done beside the heel and with the bridge; worked out once a kit.
type works struct {
	trim   *candidate // nil for none
	screws []*candidate
	rest   []choice
}

// choice is ways to cure the same fault, of which one at most is done, and the characteristics that tell it.
type choice struct {
	ways   []*candidate
	counts func(*criterion) bool
}

func (w *works) find(k *kit) {
	w.trim, w.screws = k.trim(), k.screws()
	by := func(ids ...fit.ID) func(*criterion) bool {
		return func(c *criterion) bool { return slices.Contains(ids, c.id) }
	}
	w.rest = []choice{
		{k.heights(), k.ofHeight},
		{k.strings(), by(fit.StringHolePitch, fit.PlateHoleMismatch, fit.FerruleMismatch)},
		{k.corners(), by(fit.CornerReserve)},
	}
	if k.troubled(fit.FloorFlatness) != nil {
		w.rest = append(w.rest, choice{[]*candidate{k.levelled()}, by(fit.FloorFlatness)})
	}
}

// worthMore is how much likelier to pass, as a share, a further work must make a plan.
const worthMore = 0.01

// mostOfKind is how many candidates of a kind are worked out in full.
const mostOfKind = 2

// shown are the best candidates of each kind, worked out on the moved parts, those left out whose holes
// cannot be drilled.
func (k *kit) shown(list []*candidate) []*candidate {
	out := []*candidate{k.finish(&candidate{})}
	for _, of := range k.byKind(list, all) {
		n := 0
		for i := range of {
			if n == mostOfKind || kindOf(of[i].actions) == measure.Leave || n > 0 && of[i].cost > of[0].cost+closeCost {
				break
			}
			if slices.ContainsFunc(out, of[i].like) {
				continue
			}
			if d := k.finish(of[i].candidate); d != nil {
				out = append(out, d)
				n++
			}
		}
	}
	return out
}

// closeCost is how much more, in minutes, a second candidate of a kind may be estimated to cost to be worked
// out in full too.
const closeCost = 15

// finish works a candidate out on the moved parts, with its holes; nil where a hole cannot be drilled, or the bridge's screws do
// not let it be moved so far.
func (k *kit) finish(d *candidate) *candidate {
	out := *d
	out.exact = k.model.Values(&out.moves)
	k.drill(&out)
	refused := func(h Hole) bool { return h.Refused.Kind != NoRemark && !h.Refused.unknown() }
	if k.beyond(&out) > 0 || out.drilled != nil && slices.ContainsFunc(out.drilled.Holes, refused) ||
		out.drilled == nil && (out.newNeck || out.newStrings || out.newBridge && !k.holesUnread()) {
		return nil
	}
	return &out
}

// drill lays a candidate's holes out, and notes which of the old ones stay.
func (k *kit) drill(d *candidate) {
	if !d.newNeck && !d.newStrings && (!d.newBridge || k.holesUnread()) {
		return
	}
	if d.drilled = k.schedule(d); d.drilled == nil {
		return
	}
	d.reused = map[Named]bool{}
	for i := range d.drilled.Holes {
		if h := &d.drilled.Holes[i]; h.Work == Reuse {
			d.reused[h.Name()] = true
		}
	}
}
