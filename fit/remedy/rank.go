package remedy

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/measure"
)

// advise draws the candidates' odds, keeps the best of each kind and ranks them by what they are expected
// to cost.
func (k *kit) advise(candidates []*candidate) *Advice {
	a := &Advice{Play: k.play}
	o := k.newOdds(candidates)
	var list []weighed
	for i, d := range candidates {
		list = append(list, k.weigh(d, o.of(d, i)))
	}
	list = k.bestOfKinds(list)
	for i := range list {
		list[i].plan.Swing = k.swing(list[i].candidate)
		k.circles(list[i].candidate, list[i].plan.Drilling)
	}
	if k.result.Verdict != fit.Fail && k.result.Verdict != fit.Unsure {
		a.Plans = []Plan{*list[0].plan}
		k.suspect(a)
		return a
	}
	k.verdict(a, list)
	if len(a.Waits) == 0 {
		actions := []Action{{Work: measure.SendBack}}
		back := &Plan{Actions: actions, Kind: measure.SendBack, Level: Returned, Next: -1}
		back.Return, back.OneOf = k.blamed(a)
		back.Minutes, back.Price = k.cost(actions)
		list = append(list, weighed{plan: back})
	}
	expect(list, k.costs[measure.ReadAgain].Minutes)
	order := rank(list)
	at := make([]int, len(list))
	for i, from := range order {
		at[from] = i
	}
	for _, from := range order {
		p := list[from].plan
		if p.Next >= 0 {
			p.Next = at[p.Next]
		}
		a.Plans = append(a.Plans, *p)
	}
	k.suspect(a)
	switch {
	case len(a.Plans) < 2:
	case a.Plans[0].Level == Returned:
		a.Why = NothingHelps
	default:
		a.Why = Cheaper
	}
	return a
}

// suspect notes the suspects on which the first plan rests: which move a characteristic that it changes, or one that is
// judged and does not pass.
func (k *kit) suspect(a *Advice) {
	for _, s := range k.result.Suspects {
		rests := slices.ContainsFunc(s.Moves, func(id fit.ID) bool {
			return k.troubled(id) != nil || slices.ContainsFunc(a.Plans[0].Predicted, func(q Predicted) bool {
				return q.Changed && q.Judged && k.result.Characteristics[q.Index].ID == id
			})
		})
		if rests {
			a.Suspect = append(a.Suspect, s)
		}
	}
}

// weighed is a plan with what its draws brought.
type weighed struct {
	plan *Plan
	*outcome
	*candidate
}

// cost is what a plan's works take and what it costs that they cannot be undone, in minutes.
func (k *kit) cost(actions []Action) (minutes, price float64) {
	for _, a := range actions {
		minutes += k.costs[a.Work].Minutes
		price += k.costs[a.Work].Price
		if a.Work == measure.SideShim && a.Mouth != a.End {
			minutes += taperMinutes
		}
		if a.Work == measure.RelieveWall && k.snug {
			price += k.costs[measure.Snug].Price
		}
	}
	return minutes, price
}

// taperMinutes is what a shim that is not as thick at both ends takes more, sanded and tried in: common practice, no source.
const taperMinutes = 10

// weigh works a candidate out in full.
func (k *kit) weigh(d *candidate, o *outcome) weighed {
	actions := inOrder(d.actions)
	if len(actions) == 0 {
		actions = []Action{{Work: measure.Leave}}
	}
	p := &Plan{
		Actions: actions, Kind: kindOf(actions), Next: -1,
		Moves: d.moves, Drilling: d.drilled, Asks: k.asks(d),
	}
	for i := range p.Actions {
		p.Actions[i].Std = k.std(p.Actions[i].Work)
		p.Level = max(p.Level, p.Actions[i].Level())
	}
	p.Minutes, p.Price = k.cost(actions)
	if d.drilled != nil {
		// Where some holes stay: a third goes into laying out and setting up, the rest by the hole (common practice, no source).
		const byHole = 2.0 / 3
		spared := byHole * float64(len(d.reused)) / float64(len(d.drilled.Holes))
		for _, a := range actions {
			if a.Level() == Redrilled {
				p.Minutes -= spared * k.costs[a.Work].Minutes
				p.Price -= spared * k.costs[a.Work].Price
			}
		}
	}
	passed := 0
	for _, w := range o.passed {
		passed += bits.OnesCount64(w)
	}
	p.Curable = o.fresh * float64(passed) / draws
	p.P = o.fixed * p.Curable
	if k.play != nil {
		after := k.after(d)
		p.After = &after
	}
	p.Weakest.P = 1
	for i := range k.criteria {
		q := k.predict(&k.criteria[i], d)
		if k.criteria[i].id == fit.CentreLineError {
			p.SwingStd = q.StdUncertainty
		}
		if q.Judged && q.P < p.Weakest.P {
			p.Weakest = Weakest{k.criteria[i].id, q.P}
		}
		p.Predicted = append(p.Predicted, q)
	}
	return weighed{p, o, d}
}

// predict is what a characteristic becomes.
func (k *kit) predict(c *criterion, d *candidate) Predicted {
	out := Predicted{Index: c.index, Lower: c.lower, Upper: d.limit(c), Judged: c.judged}
	if d.renews(c) {
		out.Value, out.StdUncertainty, out.P = k.renewed(c, d)
		out.Changed = true
		if e := k.worstElement(c, d); d.stays(c, k.model.Elements[e].Mark) { // holes that are used as they are count too
			kept, std := math.Sqrt(length2(d.exact[e], d.exact[e+1])), math.Sqrt(k.variance(c, d))
			out.Value, out.StdUncertainty = max(out.Value, kept), max(out.StdUncertainty, std)
			out.P *= fit.Conformance(kept, std, c.lower, out.Upper)
		}
		return out
	}
	before := k.value(c, &candidate{exact: k.still()})
	out.Value, out.StdUncertainty = k.value(c, d), math.Sqrt(k.variance(c, d))
	const notable = 0.1 // of its standard uncertainty: less is nothing that readings could show
	out.Changed = math.Abs(out.Value-before) > notable*out.StdUncertainty || out.Upper != c.upper
	switch {
	case !c.judged:
	case !out.Changed:
		out.P = c.p
	default:
		out.P = fit.Conformance(out.Value, out.StdUncertainty, out.Lower, out.Upper)
	}
	return out
}

// still are the elements as they were measured.
func (k *kit) still() []float64 {
	list := make([]float64, len(k.model.Elements))
	for i, e := range k.model.Elements {
		list[i] = e.Value
	}
	return list
}

// asks are what must be answered before a candidate is carried out.
func (k *kit) asks(d *candidate) []Ask {
	var list []Ask
	info := &k.result.Info
	if d.newBridge && k.holesUnread() {
		list = append(list, HolesUnread)
	} else if d.newBridge && info.BridgeScrew == 0 {
		list = append(list, BridgeScrewSize)
	}
	if d.newNeck && info.NeckScrew == 0 {
		list = append(list, NeckScrewSize)
	}
	if d.moves[fit.FloorAll] < 0 && (info.BodyThickness == 0 || !k.characteristic(fit.PocketDepth).Missing.None()) {
		list = append(list, FloorThickness)
	}
	if d.newBridge && math.Hypot(d.moves[fit.BridgeAcross], d.moves[fit.BridgeAlong]) > askFrom {
		list = append(list, FarBridge)
	}
	return list
}

// bestOfKinds keeps of each kind the plan that costs least, a failure counted as a return.
func (k *kit) bestOfKinds(list []weighed) []weighed {
	back := k.costs[measure.SendBack]
	var out []weighed
	for _, w := range list {
		i := slices.IndexFunc(out, func(o weighed) bool { return o.plan.Kind == w.plan.Kind })
		if i < 0 {
			out = append(out, w)
			continue
		}
		rough := func(p *Plan) float64 { return p.Minutes + p.Price + (1-p.Curable)*(back.Minutes+back.Price) }
		if rough(w.plan) < rough(out[i].plan) {
			out[i] = w
		}
	}
	return out
}

// expect works out what each plan costs as the first of up to three, with measuring again after each and the
// return of the part when all have failed. Of every sequence the chance that it fails is that no draw
// of it passes. What no work changes has no part in this, unless it fails: then the part goes back in any
// case.
func expect(list []weighed, again float64) {
	for i := range list {
		p := list[i].plan
		if p.Level == Returned {
			p.Expected = p.Minutes + p.Price
		}
	}
	last, back := -1, 0.0
	if n := len(list) - 1; n >= 0 && list[n].plan.Level == Returned {
		last, back = n, list[n].plan.Expected
	}
	var none [len(outcome{}.passed)]uint64
	for i := range list {
		if list[i].plan.Level == Returned {
			continue
		}
		p := list[i].plan
		p.Again = again
		if p.Fails, p.Then, p.Next = 1-p.Curable, back, last; p.Curable > hopeless { // else it is no step to begin with
			p.Fails, p.Then, p.Next = sequence(list, []int{i}, none, again, back, last)
		}
		if list[i].fixed <= hopeless {
			p.Back = back
		}
		p.Expected = p.Minutes + p.Price + p.Again + p.Fails*p.Then + p.Back
	}
}

// shown is how likely reading again shows that a kit passes which passes with probability p as it was read. With a margin of
// z standard uncertainties, z from p, n readings more of what is unsure leave 1/(n+1) of the variance and move the
// value by n/(n+1) of it (a normal value with a known variance, Bayes); it passes when the new margin is worth surely.
func shown(p float64) float64 {
	const n = 4 // which ten minutes allow (common practice, no source)
	if p <= 0 || p >= 1 {
		return p
	}
	normal := distuv.UnitNormal
	return normal.CDF((normal.Quantile(p) - normal.Quantile(surely)/math.Sqrt(n+1)) * math.Sqrt(float64(n+1)/n))
}

// longest is how many plans a sequence has at most before a part goes back.
const longest = 3

// sequence is how likely the last of some plans fails, when those before have failed, what is spent from there on and
// the plan that comes next: passed are the draws in which one of those before passed. Nothing is no second step.
func sequence(list []weighed, plans []int, passed [len(outcome{}.passed)]uint64, again, back float64, last int) (fails, then float64, next int) {
	w := &list[plans[len(plans)-1]]
	fails, then, next = 1, back, last
	if w.plan.Level == Untouched { // what it does not show may still be so
		fails = 1 - shown(w.plan.Curable)
	} else {
		before, now := 0, 0
		for i, b := range passed {
			before += bits.OnesCount64(b)
			passed[i] |= w.passed[i]
			now += bits.OnesCount64(passed[i])
		}
		if before < draws {
			fails = 1 - w.fresh*float64(now-before)/float64(draws-before)
		}
	}
	if len(plans) == longest {
		return fails, then, next
	}
	for i := range list {
		p := list[i].plan
		if p.Level == Returned || p.Level == Untouched || slices.Contains(plans, i) {
			continue
		}
		f, after, _ := sequence(list, append(plans[:len(plans):len(plans)], i), passed, again, back, last)
		if cost := p.Minutes + p.Price + again + f*after; cost < then || last < 0 && next < 0 {
			then, next = cost, i
		}
	}
	return fails, then, next
}

// rank orders plans by what they are expected to cost, then by how drastic they are, the likelier, and the
// smaller worst case at the bridge.
func rank(list []weighed) []int {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := list[i].plan, list[j].plan
		return cmp.Or(cmp.Compare(a.Expected, b.Expected), cmp.Compare(a.Level, b.Level), cmp.Compare(b.P, a.P), cmp.Compare(a.worstCase(), b.worstCase()))
	})
	return order
}

// worstCase is the largest centre-line error, as a size, that the remaining play allows.
func (p *Plan) worstCase() float64 {
	if p.Swing == nil {
		return 0
	}
	return max(math.Abs(p.Swing.Low), math.Abs(p.Swing.High))
}
