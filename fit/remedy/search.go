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
	return k.advise(k.shown(k.search()))
}

// search combines what may be done beside the heel, with the bridge, with the neck screws, to the heel's
// length and under it, to string holes, corners and floor. What is beside the heel is searched for all that it
// touches, and again for what is left when the bridge is moved too, since this takes over some of it, or
// when the neck screws are.
func (k *kit) search() []*candidate {
	var bases []*candidate
	add := func(counts func(*criterion) bool, bridges ...func(*candidate) *candidate) {
		for _, d := range k.lateral(counts) {
			for _, bridge := range bridges {
				if laid := bridge(d); laid != nil {
					bases = append(bases, laid)
				}
			}
		}
	}
	as := func(d *candidate) *candidate { return d }
	screwless := func(c *criterion) bool { return c.id != fit.NeckScrewMismatch }
	add(all, as, k.shiftBridge)
	add(func(c *criterion) bool { return !k.ofBridge(c) }, k.shiftBridge, k.redrillBridge)
	if k.judges(fit.NeckScrewMismatch) != nil {
		add(screwless, as, k.shiftBridge)
	}
	k.others.find(k)
	list := k.promising(bases, all)
	if k.judges(fit.NeckScrewMismatch) != nil {
		for _, d := range k.promising(bases, screwless) {
			if !slices.ContainsFunc(list, d.like) {
				list = append(list, d)
			}
		}
	}
	var out []*candidate
	for _, d := range list {
		out = append(out, k.completed(d)...)
	}
	return out
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
	kinds, back := map[measure.Work][]rated{}, k.costs[measure.SendBack]
	for _, d := range list {
		kind := kindOf(d.actions)
		minutes, price := k.cost(d.actions)
		failing := 1 - math.Exp(k.score(d, counts))
		kinds[kind] = append(kinds[kind], rated{d, minutes + price + failing*(back.Minutes+back.Price)})
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

// completed are a candidate's completions: with the neck screws as they are, opened or plugged, with the
// heel's end as it is or shortened; each with everything else that is worth a work.
func (k *kit) completed(d *candidate) []*candidate {
	first := []*candidate{d}
	if t := k.others.trim; t != nil && d.seated && k.worth(d, t) {
		first = append(first, k.settle(d.join(t)))
	}
	var list []*candidate
	for _, f := range first {
		ways := []*candidate{f}
		if wider := k.others.wider; len(wider) > 0 {
			best, high := f, k.score(f, all)
			for _, w := range wider { // the least that will do
				joined := f.join(w)
				if score := k.score(joined, all); score > high+worthMore {
					best, high = joined, score
				}
			}
			if best != f {
				ways = append(ways, best)
			}
		}
		if plugged := k.others.plugged; plugged != nil && k.worth(f, plugged) {
			ways = append(ways, f.join(plugged))
		}
		for _, w := range ways {
			list = append(list, k.rest(w))
		}
	}
	return list
}

// rest adds what else is worth a work: what lies under the heel, string holes, corners, floor.
func (k *kit) rest(d *candidate) *candidate {
	best, high := d, k.score(d, all)
	better := func(joined *candidate) {
		if score := k.score(joined, all); score > high+worthMore {
			best, high = joined, score
		}
	}
	for _, r := range k.others.raise {
		better(d.join(r))
	}
	for _, o := range k.others.single {
		if !o.newStrings || !best.newStrings {
			better(best.join(o))
		}
	}
	return best
}

// works are what may be done whatever is done beside the heel and with the bridge; worked out once a kit.
type works struct {
	trim, plugged *candidate // nil for none
	wider         []*candidate
	raise, single []*candidate
}

func (w *works) find(k *kit) {
	w.trim, w.raise = k.trim(), k.raise()
	w.wider, w.plugged = k.screws()
	for _, o := range []*candidate{k.strings(), k.ease()} {
		if o != nil {
			w.single = append(w.single, o)
		}
	}
	if k.troubled(fit.FloorFlatness) != nil {
		w.single = append(w.single, k.levelled())
	}
}

// worthMore is how much likelier to pass, as a share, a further work must make a plan.
const worthMore = 0.01

// worth tells whether a further work makes all likelier to pass by so much.
func (k *kit) worth(d, more *candidate) bool {
	return k.score(d.join(more), all) > k.score(d, all)+worthMore
}

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

// finish works a candidate out on the moved parts, with its holes; nil where a hole cannot be drilled.
func (k *kit) finish(d *candidate) *candidate {
	out := *d
	out.exact = k.model.Values(&out.moves)
	if k.drill(&out); out.drilled != nil && out.drilled.impossible() ||
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
