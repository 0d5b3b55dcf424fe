package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
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
	k := newKit(r, newStock(o))
	if r.Verdict == fit.Pass || r.Verdict == fit.NotMeasured {
		return k.advise([]*candidate{{}})
	}
	return k.advise(k.search())
}

// search combines subjects: beside the heel, the bridge, the neck screws, under the heel, string
// holes, corners, the floor. Each gives a few ways, nothing among them. What is beside the heel is
// searched for all its criteria, and again for what is left when the bridge or the screws' holes are
// moved too, since these take over some of its criteria.
func (k *kit) search() []*candidate {
	p := &pool{kit: k}
	screws := k.screws()
	k.beside(p, len(screws) > 1, all, func(d *candidate) *candidate { return d })
	if p.high(Reversible) < enough {
		bridges := []func(*candidate) *candidate{k.shiftBridge}
		if p.high(Trimmed) < enough {
			bridges = append(bridges, k.redrillBridge)
		}
		k.beside(p, len(screws) > 1, func(r *criterion) bool { return !k.ofBridge(r) }, bridges...)
	}
	beside := p.best(mostBeside)
	if room := widest(screws); room > 0 && !k.settled(beside) {
		beside = append(beside, k.opened(room)...)
	}
	return k.combine(beside, screws, k.raise(), k.strings(), k.ease(), k.level())
}

// settled tells whether something reversible will do for all, the neck screws among it.
func (k *kit) settled(beside []*candidate) bool {
	for _, d := range beside {
		if levelOf(d.actions) <= Reversible && k.score(d, all) >= enough {
			return true
		}
	}
	return false
}

// widest is the most room that opening the neck screws' holes gives; 0 where no bit does.
func widest(screws []*candidate) float64 {
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
func (k *kit) opened(room float64) []*candidate {
	wide := *k
	wide.criteria = slices.Clone(k.criteria)
	for i := range wide.criteria {
		if isNeck(&wide.criteria[i]) {
			wide.criteria[i].upper += room
		}
	}
	var list []scored
	for _, d := range wide.lateral(all) {
		for _, laid := range []*candidate{d, wide.shiftBridge(d)} {
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
// the bridge; once by all criteria that count, and, if that does not do and they have a cure of their
// own, once without the neck screws'.
func (k *kit) beside(p *pool, screws bool, counts func(*criterion) bool, bridges ...func(*candidate) *candidate) {
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
	for _, d := range k.lateral(func(r *criterion) bool { return counts(r) && !isNeck(r) }) {
		for _, bridge := range bridges {
			p.add(bridge(d))
		}
	}
}

func isNeck(r *criterion) bool { return r.kind == neckHoles }

// pool gathers candidates, each set of actions once, with their scores by the criteria beside the heel and
// of the bridge, but for the neck screws', which have their own cure.
type pool struct {
	kit  *kit
	list []scored
}

type scored struct {
	*candidate
	score float64
}

func (p *pool) add(d *candidate) {
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

// counts are the criteria beside the heel and of the bridge, but for the neck screws'.
func (p *pool) counts(r *criterion) bool {
	return !isNeck(r) && (p.kit.besideHeel(r) || p.kit.ofBridge(r))
}

// high is the best score of candidates up to a level.
func (p *pool) high(most Level) float64 {
	high := math.Inf(-1)
	for _, s := range p.list {
		if levelOf(s.actions) <= most {
			high = max(high, s.score)
		}
	}
	return high
}

func (p *pool) best(n int) []*candidate { return fewest(p.list, n) }

// fewest keeps the n candidates that are worth most: first all that nothing else beats in both
// probability and drasticness, then by probability.
func fewest(list []scored, n int) []*candidate {
	slices.SortStableFunc(list, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	var front, rest []*candidate
	best := math.MaxInt
	for _, s := range list {
		if w := weight(s.candidate); w < best {
			best = w
			front = append(front, s.candidate)
		} else {
			rest = append(rest, s.candidate)
		}
	}
	all := append(front, rest...)
	return all[:min(n, len(all))]
}

// weight orders candidates by level and number of actions.
func weight(d *candidate) int { return int(levelOf(d.actions))*100 + len(d.actions) }

// combine joins one way of each subject.
func (k *kit) combine(beside []*candidate, subjects ...[]*candidate) []*candidate {
	var list []scored
	for _, b := range beside {
		joined := []*candidate{b}
		for _, ways := range subjects {
			useful := k.useful(ways, b)
			var next []*candidate
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
func (k *kit) useful(ways []*candidate, d *candidate) []*candidate {
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

// join is both candidates.
func (d *candidate) join(o *candidate) *candidate {
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

// kindOf is an action without its sizes.
type kindOf struct {
	work measure.Work
	wall Wall
}

// kinds are the actions of a candidate without their sizes.
func (d *candidate) kinds() []kindOf {
	var list []kindOf
	for _, a := range d.actions {
		list = append(list, kindOf{a.Work, a.Wall})
	}
	return list
}

// simplest leaves out what only adds actions: a candidate that has all the kinds of another and is not
// likelier by a hundredth. Of the same kinds the likelier stays.
func simplest(list []scored) []scored {
	const worth = 0.01
	kinds := make([][]kindOf, len(list))
	chance := make([]float64, len(list))
	for i, s := range list {
		kinds[i], chance[i] = s.kinds(), math.Exp(s.score)
	}
	beaten := func(i int) bool {
		for j := range list {
			if j == i || len(kinds[j]) > len(kinds[i]) || !within(kinds[j], kinds[i]) {
				continue
			}
			if len(kinds[j]) < len(kinds[i]) && chance[i] < chance[j]+worth && list[i].score < list[j].score+1 {
				return true
			}
			if len(kinds[j]) == len(kinds[i]) && (list[i].score < list[j].score || list[i].score == list[j].score && j < i) {
				return true
			}
		}
		return false
	}
	var out []scored
	for i, s := range list {
		if !beaten(i) {
			out = append(out, s)
		}
	}
	return out
}

// within tells whether a list has all the kinds of another.
func within(few, many []kindOf) bool {
	for _, k := range few {
		if !slices.Contains(many, k) {
			return false
		}
	}
	return true
}
