package remedy

import (
	"math"
	"slices"

	"neckfit/fit"
)

// reach is the share of the best plan's probability that a plan must have to be recommended for
// being less drastic: a decision of ours. Halving a kit's chances is no economy, a fifth may be.
const reach = 0.8

// For finds the plans for one kit. The result must come from fit.Check with Options.Model.
// It panics without a model and changes nothing of the result.
func For(r *fit.Result, o Options) *Advice {
	if r.Model == nil {
		panic("remedy: the result has no model")
	}
	k := newKit(r, newShelf(o))
	if r.Verdict == fit.Pass || r.Verdict == fit.NotMeasured {
		return k.advise([]*draft{{}})
	}
	return k.advise(k.search())
}

// Search: the subjects are beside the heel, the bridge, the neck screws, under the heel, string
// holes and corners. Each gives a few ways, nothing among them, and they are combined. What is
// beside the heel is searched for all its rows, and again for what is left when the bridge or the
// screws' holes are moved too, since these free it from some of its rows.
func (k *kit) search() []*draft {
	p := &pool{kit: k}
	for _, bridge := range k.bridgeWays() {
		for _, free := range []bool{false, true} {
			if free && len(k.screws()) == 1 {
				continue
			}
			counts := func(r *row) bool {
				return !(bridge.frees && k.bridgeRow(r)) && !(free && r.sort == neckHoles)
			}
			for _, beside := range k.lateral(counts) {
				p.add(bridge.then(beside))
			}
		}
	}
	beside := p.best(mostBeside)
	return k.combine(beside)
}

// mostBeside is how many ways beside the heel and with the bridge go into the combinations.
const mostBeside = 24

// bridgeWay is what is done to the bridge, after the heel.
type bridgeWay struct {
	frees bool // whether it takes over the rows of the bridge
	then  func(*draft) *draft
}

func (k *kit) bridgeWays() []bridgeWay {
	return []bridgeWay{
		{false, func(d *draft) *draft { return d }},
		{true, k.shiftBridge},
		{true, k.redrillBridge},
	}
}

// pool gathers drafts, each set of actions once.
type pool struct {
	kit  *kit
	list []scored
}

type scored struct {
	*draft
	score float64
}

func (p *pool) add(d *draft) {
	if d == nil {
		return
	}
	s := scored{d, p.kit.score(d, all)}
	for i := range p.list {
		if slices.Equal(p.list[i].actions, d.actions) {
			return
		}
	}
	p.list = append(p.list, s)
}

// best keeps a number of drafts. Neck screws are left out of the comparison where they alone would
// throw a draft out: they have their own cure.
func (p *pool) best(n int) []*draft {
	counts := func(r *row) bool { return r.sort != neckHoles }
	rated := make([]scored, len(p.list))
	for i, s := range p.list {
		rated[i] = scored{s.draft, p.kit.score(s.draft, counts)}
	}
	return fewest(rated, n)
}

// fewest keeps the n drafts that are worth most: first all that nothing else beats in both
// probability and drasticness, then by probability.
func fewest(list []scored, n int) []*draft {
	slices.SortStableFunc(list, func(a, b scored) int { return cmpFloat(b.score, a.score) })
	var front, rest []*draft
	best := math.MaxInt
	for _, s := range list {
		if w := weight(s.draft); w < best {
			best = w
			front = append(front, s.draft)
		} else {
			rest = append(rest, s.draft)
		}
	}
	all := append(front, rest...)
	return all[:min(n, len(all))]
}

// weight orders drafts by level and number of actions.
func weight(d *draft) int { return int(levelOf(d.actions))*100 + len(d.actions) }

// combine joins the ways of the subjects.
func (k *kit) combine(beside []*draft) []*draft {
	var list []scored
	for _, b := range beside {
		for _, s := range k.useful(k.screws(), b) {
			for _, h := range k.useful(k.raise(), b) {
				for _, r := range k.useful(k.strings(), b) {
					for _, c := range k.useful(k.ease(), b) {
						d := b.join(s).join(h).join(r).join(c)
						list = append(list, scored{d, k.score(d, all)})
					}
				}
			}
		}
	}
	return fewest(list, mostPlans)
}

// mostPlans is how many plans are worked out in full.
const mostPlans = 20

// useful are the ways of a subject that are worth an action: nothing, and those that make all
// likelier to pass by a hundredth at the least. String holes that go with the bridge's are not
// drilled twice.
func (k *kit) useful(ways []*draft, d *draft) []*draft {
	const worth = 0.01
	if len(ways) == 1 {
		return ways
	}
	none := k.score(d, all)
	out := ways[:1:1]
	for _, w := range ways[1:] {
		if w.newStrings && d.newStrings {
			continue
		}
		if k.score(d.join(w), all) > none+worth {
			out = append(out, w)
		}
	}
	return out
}

// join is both drafts.
func (d *draft) join(o *draft) *draft {
	if len(o.actions) == 0 {
		return d
	}
	out := *d
	out.actions = slices.Concat(d.actions, o.actions)
	out.noise = slices.Concat(d.noise, o.noise)
	for m := range out.moves {
		out.moves[m] += o.moves[m]
	}
	out.room += o.room
	out.corner += o.corner
	out.newNeck = out.newNeck || o.newNeck
	out.newStrings = out.newStrings || o.newStrings
	return &out
}
