package remedy

import (
	"math"
	"slices"

	"neckfit/fit"
)

// reach is the share of the best plan's probability that a plan must have to be recommended for
// being less drastic: a decision of ours. A tenth of a kit's chances may be worth a saved irreversible
// work; much more is no economy.
const reach = 0.9

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

// search combines subjects: beside the heel, the bridge, the neck screws, under the heel, string
// holes, corners, the floor. Each gives a few ways, nothing among them. What is beside the heel is
// searched for all its rows, and again for what is left when the bridge or the screws' holes are
// moved too, since these take over some of its rows.
func (k *kit) search() []*draft {
	p := &pool{kit: k}
	screws := k.screws()
	k.beside(p, len(screws) > 1, all, func(d *draft) *draft { return d })
	if p.high(Reversible) < enough {
		bridges := []func(*draft) *draft{k.shiftBridge}
		if p.high(Trimmed) < enough {
			bridges = append(bridges, k.redrillBridge)
		}
		k.beside(p, len(screws) > 1, func(r *row) bool { return !k.bridgeRow(r) }, bridges...)
	}
	beside := p.best(mostBeside)
	if room := widest(screws); room > 0 && !k.settled(beside) {
		beside = append(beside, k.opened(room)...)
	}
	return k.combine(beside, screws, k.raise(), k.strings(), k.ease(), k.level())
}

// settled tells whether something reversible will do for all, the neck screws among it.
func (k *kit) settled(beside []*draft) bool {
	for _, d := range beside {
		if levelOf(d.actions) <= Reversible && k.score(d, all) >= enough {
			return true
		}
	}
	return false
}

// widest is the most room that opening the neck screws' holes gives; 0 where no bit does.
func widest(screws []*draft) float64 {
	room := 0.0
	for _, d := range screws {
		room = max(room, d.room)
	}
	return room
}

// mostOpened is how many ways beside the heel that go with opened holes go into the combinations.
const mostOpened = 6

// opened is what is best beside the heel, and with the bridge, once the neck screws' holes are
// opened: neither what suits the holes as they are nor what leaves them out of account.
func (k *kit) opened(room float64) []*draft {
	wide := *k
	wide.rows = slices.Clone(k.rows)
	for i := range wide.rows {
		if isNeck(&wide.rows[i]) {
			wide.rows[i].upper += room
		}
	}
	var list []scored
	for _, d := range wide.lateral(all) {
		for _, laid := range []*draft{d, wide.shiftBridge(d)} {
			if laid != nil {
				list = append(list, scored{laid, wide.score(laid, all)})
			}
		}
	}
	return fewest(list, mostOpened)
}

// mostBeside is how many ways beside the heel and with the bridge go into the combinations.
const mostBeside = 12

// beside adds to the pool what may be done beside the heel, each with the things that may be done to
// the bridge; once by all rows that count, and, if that does not do and they have a cure of their
// own, once without the neck screws'.
func (k *kit) beside(p *pool, screws bool, counts func(*row) bool, bridges ...func(*draft) *draft) {
	high := math.Inf(-1)
	for _, d := range k.lateral(counts) {
		for _, bridge := range bridges {
			if laid := bridge(d); laid != nil {
				p.add(laid)
				high = max(high, k.score(laid, p.counts)+k.score(laid, isNeck))
			}
		}
	}
	if !screws || high >= enough {
		return
	}
	for _, d := range k.lateral(func(r *row) bool { return counts(r) && !isNeck(r) }) {
		for _, bridge := range bridges {
			p.add(bridge(d))
		}
	}
}

func isNeck(r *row) bool { return r.sort == neckHoles }

// pool gathers drafts, each set of actions once, with their scores by the rows beside the heel and
// of the bridge, but for the neck screws', which have their own cure.
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
	for i := range p.list {
		if slices.Equal(p.list[i].actions, d.actions) {
			return
		}
	}
	p.list = append(p.list, scored{d, p.kit.score(d, p.counts)})
}

// counts are the rows beside the heel and of the bridge, but for the neck screws'.
func (p *pool) counts(r *row) bool {
	return !isNeck(r) && (p.kit.lateralRow(r) || p.kit.bridgeRow(r))
}

// high is the best score of drafts up to a level.
func (p *pool) high(most Level) float64 {
	high := math.Inf(-1)
	for _, s := range p.list {
		if levelOf(s.actions) <= most {
			high = max(high, s.score)
		}
	}
	return high
}

func (p *pool) best(n int) []*draft { return fewest(p.list, n) }

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

// combine joins one way of each subject.
func (k *kit) combine(beside []*draft, subjects ...[]*draft) []*draft {
	var list []scored
	for _, b := range beside {
		joined := []*draft{b}
		for _, ways := range subjects {
			useful := k.useful(ways, b)
			var next []*draft
			for _, d := range joined {
				for _, w := range useful {
					next = append(next, d.join(w))
				}
			}
			joined = next
		}
		for _, d := range joined {
			list = append(list, scored{d, k.score(d, all)})
		}
	}
	return fewest(simplest(list), mostPlans)
}

// mostPlans is how many plans are worked out in full.
const mostPlans = 16

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
	out.newFloor = out.newFloor || o.newFloor
	return &out
}
