// Package pair finds which neck should go with which body, of parts that were surveyed alone, so
// that the least work is left. Each part is fitted once (fit.LoosePart); a pair is then put together by
// the formulas of the catalogue on numbers that are known, held against the limits and the remedy
// priced in minutes; the assignment solver of fit/lot picks the pairs, and fit.Check judges those in full.
//
// The values are those of fit.Check, since the two parts' least squares share no unknowns.
// Uncertainties only the full check knows; the price takes one pair's for all, as guard bands that keep
// the match off pairs which only just fit.
package pair

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/measure/workers"
)

// Options steer Find; the zero value is ready to use.
type Options struct {
	Check    fit.Options
	Costs    []measure.Cost  // those missing are the built-in ones
	Stock    []measure.Stock // nil for the built-in stock; for remedies alone
	Remedies bool            // work out the remedy of each pair that does not pass, a tenth of a second each
	Drawn    bool            // keep the geometry of each pair, some 10 kB
	Own      []Own           // pairs that are to be made whatever they cost
}

// Own is a pair that the builder wants, by the places of neck and body among the parts.
type Own struct{ Neck, Body int }

// Pair is one neck with one body.
type Pair struct {
	Neck, Body string
	Price      Price
	Result     *fit.Result  // of fit.Check on the readings of both, without budgets
	Plan       *remedy.Plan // the recommended one; nil unless it was asked for and there is one
	Swap       *Swap        // the cheapest exchange; nil where none is possible
}

// Swap is an exchange of a pair's body for another's, or of one of its parts for one that is left over.
type Swap struct {
	Neck, Body string  // of the pair to exchange with; one of them is "" for a part that is left over
	More       float64 // minutes that both pairs then take more than now
}

// Ready tells that the pair needs no work and passes as measured.
func (p *Pair) Ready() bool { return !p.Price.Actions.Work() && p.Result.Verdict == fit.Pass }

// Lone is a part that is left over.
type Lone struct {
	Name string
	Why  []Obstacle // why it fits nowhere, two at the most; empty when it is only one too many

	Partner Partner    // what would suit it
	Alone   fit.Result // only what of its readings cannot be so, and the suspects
}

// Match is the best match of a delivery.
type Match struct {
	Pairs              []Pair // in the order of the necks
	LoneNecks          []Lone
	LoneBodies         []Lone
	Minutes            float64 // of all pairs together
	Random             Random
	Bridge             string // the common bridge, if there is one
	Necks, Bodies      int
	Ready, Work, Doubt int // pairs that need nothing, that want work, that want another reading or are not judged
	Own                *OwnPrice
}

// OwnPrice is what the builder's own pairs cost beside the best match.
type OwnPrice struct {
	Minutes  float64    // that the whole match takes more than the best; may be less where it has fewer pairs
	Fewer    int        // pairs than the best match has
	Instead  []string   // for each of them, the body that the best match gives its neck; "" for none
	Obstacle []Obstacle // for each of them, why it cannot be
}

// Find matches necks with bodies one to one: as many pairs as can be made, at the least minutes of
// work among those (lot.AssignPriced). It takes some 4 microseconds of a core for each pair that may be in it, and a third of
// one for each other one; and 8 bytes for each.
func Find(p *Parts, o Options) (*Match, error) {
	m := &Match{Bridge: p.Bridge, Necks: len(p.Necks), Bodies: len(p.Bodies)}
	necks, bodies := parts(p.Necks, fit.NewLooseNeck, ofNeck, o), parts(p.Bodies, fit.NewLooseBody, ofBody, o)
	if len(necks) == 0 || len(bodies) == 0 {
		m.LoneNecks, m.LoneBodies = partnerless(necks, NoBody), partnerless(bodies, NoNeck)
		return m, nil
	}
	l := newPricing(necks, bodies, o)
	t := newTable(l, necks, bodies)
	best := lot.AssignPriced(len(necks), len(bodies), t.least, t.find)
	m.Random = randomMatch(len(necks), len(bodies), t.find)
	if len(o.Own) > 0 {
		best = m.own(t, best, o.Own)
	}
	var chosen []Own
	for i, j := range best.Column {
		if j >= 0 {
			chosen = append(chosen, Own{i, j})
		}
	}
	m.Pairs = make([]Pair, len(chosen))
	workers.Each(len(chosen), func(k int) { m.Pairs[k] = t.pair(best, chosen[k]) })
	var s fit.Seater
	var over [2][]part
	for _, i := range best.UnmatchedRows {
		over[0] = append(over[0], necks[i])
		m.LoneNecks = append(m.LoneNecks, Lone{Name: necks[i].Kit.Name, Alone: necks[i].alone, Why: whyNowhere(len(bodies), func(j int) Price {
			return l.priceOf(&s, &necks[i], &bodies[j])
		})})
	}
	for _, j := range best.UnmatchedColumns {
		over[1] = append(over[1], bodies[j])
		m.LoneBodies = append(m.LoneBodies, Lone{Name: bodies[j].Kit.Name, Alone: bodies[j].alone, Why: whyNowhere(len(necks), func(i int) Price {
			return l.priceOf(&s, &necks[i], &bodies[j])
		})})
	}
	l.partners(over[0], bodies, m.LoneNecks, true)
	l.partners(over[1], necks, m.LoneBodies, false)
	// From here on nobody holds the table and the solved parts any more, which take as much memory as the judged pairs.
	workers.Each(len(chosen), func(k int) { m.Pairs[k].judge(p.Necks[chosen[k].Neck], p.Bodies[chosen[k].Body], o) })
	m.count()
	return m, nil
}

// own makes the builder's own pairs and the best match of what is left.
func (m *Match) own(t *table, best *lot.Assignment, list []Own) *lot.Assignment {
	m.Own = &OwnPrice{}
	for _, o := range list {
		instead := ""
		if j := best.Column[o.Neck]; j >= 0 {
			instead = t.bodies[j].Kit.Name
		}
		m.Own.Instead = append(m.Own.Instead, instead)
		m.Own.Obstacle = append(m.Own.Obstacle, t.priceOf(new(fit.Seater), &t.necks[o.Neck], &t.bodies[o.Body]).Obstacle)
	}
	own := lot.AssignPriced(len(t.necks), len(t.bodies), func(i, j int) float64 {
		if slices.ContainsFunc(list, func(o Own) bool { return (i == o.Neck) != (j == o.Body) }) {
			return math.Inf(1)
		}
		return t.least(i, j)
	}, t.find)
	m.Own.Minutes, m.Own.Fewer = own.Total-best.Total, best.Matched-own.Matched
	return own
}

// cheapestSwap looks for the exchange with a pair or a part left over that costs least beside the match, which has
// it at its least already: none is below 0 but for rounding. Exchanges are worked out from the one that may be cheapest
// on, but for those that cannot be cheaper then; of several that are alike it is the first.
func cheapestSwap(s *fit.Seater, t *table, match *lot.Assignment, i int) (row, column int, more float64) {
	type exchange struct {
		row, column int // with a pair, or a part that is left over, the other being -1
		order       int
		least       float64
		free        bool // both pairs cost nothing now: no rounding brings the exchange below 0
	}
	j := match.Column[i]
	list := make([]exchange, 0, len(t.necks)+len(t.bodies))
	now := t.least(i, j) // the pairs of the match are known
	for r, c := range match.Column {
		switch {
		case r == i:
		case c < 0:
			list = append(list, exchange{r, -1, len(list), t.least(r, j) - now, now == 0})
		default:
			its := t.least(r, c)
			list = append(list, exchange{r, c, len(list), t.least(i, c) + t.least(r, j) - now - its, now == 0 && its == 0})
		}
	}
	for _, c := range match.UnmatchedColumns {
		list = append(list, exchange{-1, c, len(list), t.least(i, c) - now, now == 0})
	}
	row, column, more = -1, -1, math.Inf(1)
	order := len(list)
	idle := func(e exchange) bool {
		return e.least > more || math.IsInf(e.least, 1) || e.free && more <= 0 && e.order >= order
	}
	try := func(e exchange) {
		change := -now
		if e.column >= 0 {
			change += t.cost(s, i, e.column)
		}
		if e.row >= 0 {
			change += t.cost(s, e.row, j)
		}
		if e.row >= 0 && e.column >= 0 {
			change -= t.least(e.row, e.column)
		}
		if change < more || change == more && e.order < order {
			row, column, more, order = e.row, e.column, change, e.order
		}
	}
	promising := func(a, b exchange) int { return cmp.Or(cmp.Compare(a.least, b.least), cmp.Compare(a.order, b.order)) }
	if len(list) > 0 {
		try(slices.MinFunc(list, promising)) // which mostly leaves few to be sorted
	}
	list = slices.DeleteFunc(list, idle)
	slices.SortFunc(list, promising)
	for _, e := range list {
		if !idle(e) {
			try(e)
		}
	}
	return row, column, more
}

// pair is one of the match as it is priced, with its cheapest exchange.
func (t *table) pair(match *lot.Assignment, c Own) Pair {
	s := new(fit.Seater)
	n, b := &t.necks[c.Neck], &t.bodies[c.Body]
	p := Pair{Neck: n.Kit.Name, Body: b.Kit.Name, Price: t.priceOf(s, n, b)}
	if row, column, more := cheapestSwap(s, t, match, c.Neck); !math.IsInf(more, 1) {
		p.Swap = &Swap{More: max(0, more)}
		if row >= 0 {
			p.Swap.Neck = t.necks[row].Kit.Name
		}
		if column >= 0 {
			p.Swap.Body = t.bodies[column].Kit.Name
		}
	}
	return p
}

// count adds up what the pairs are.
func (m *Match) count() {
	for i := range m.Pairs {
		p := &m.Pairs[i]
		m.Minutes += p.Price.Minutes
		switch {
		case p.Ready():
			m.Ready++
		case p.Result.Verdict == fit.Implausible: // works would rest on what cannot be so
			m.Doubt++
		case p.Price.Actions.Work():
			m.Work++
		default:
			m.Doubt++
		}
	}
}

// judge judges a pair in full.
func (p *Pair) judge(n, b *measure.Kit, o Options) {
	o.Check.Model, o.Check.Brief = o.Remedies || o.Drawn, true
	r := fit.Check(fit.Unite(n.Name+" + "+b.Name, n, b), o.Check)
	for i := range r.Nonsense {
		if r.Nonsense[i].ToldBy(&n.Info) {
			r.Nonsense[i].Place = n.Info.Place
		}
	}
	p.Result = r
	if o.Remedies && r.Verdict != fit.Pass && r.Model != nil {
		if plans := remedy.For(r, remedy.Options{Stock: o.Stock, Costs: o.Costs}).Plans; len(plans) > 0 {
			p.Plan = &plans[0]
		}
	}
	switch {
	case !o.Drawn:
		r.Model, r.Residuals = nil, nil
	case r.Model != nil:
		r.Model = &fit.Model{Geometry: r.Model.Geometry}
	}
	for i := range r.Characteristics {
		r.Characteristics[i].Budget = nil // a hundred kilobytes a pair, and nobody asks
	}
}

// partnerless are all parts of a delivery of one kind.
func partnerless(list []part, why ObstacleKind) (lone []Lone) {
	for _, p := range list {
		lone = append(lone, Lone{Name: p.Kit.Name, Alone: p.alone, Why: []Obstacle{{Kind: why}}})
	}
	return lone
}

// whyNowhere is the obstacle with all partners alike, or the first two that differ; nil when some
// partner would do.
func whyNowhere(partners int, price func(int) Price) (why []Obstacle) {
	for k := range partners {
		p := price(k)
		if p.Possible() {
			return nil
		}
		if len(why) < 2 && !slices.Contains(why, p.Obstacle) {
			why = append(why, p.Obstacle)
		}
	}
	return why
}
