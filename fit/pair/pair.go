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
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/remedy"
	"neckfit/measure"
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

	Partner Partner // what would suit it
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
// work among those (lot.Assign). It takes about 8 microseconds of a core for each possible pair, and
// 24 bytes.
func Find(p *Parts, o Options) (*Match, error) {
	m := &Match{Bridge: p.Bridge, Necks: len(p.Necks), Bodies: len(p.Bodies)}
	necks, bodies := parts(p.Necks, fit.NewLooseNeck, ofNeck, o), parts(p.Bodies, fit.NewLooseBody, ofBody, o)
	if len(necks) == 0 || len(bodies) == 0 {
		m.LoneNecks, m.LoneBodies = partnerless(necks, NoBody), partnerless(bodies, NoNeck)
		return m, nil
	}
	l := newPricing(necks, bodies, o)
	costs := l.table(necks, bodies)
	best, err := lot.Assign(costs)
	if err != nil {
		return nil, err
	}
	m.Random = randomMatch(costs)
	if len(o.Own) > 0 {
		if best, err = m.own(costs, best, necks, bodies, l, o.Own); err != nil {
			return nil, err
		}
	}
	m.judgePairs(best, costs, necks, bodies, l, o)
	var s fit.Seater
	var over [2][]part
	for _, i := range best.UnmatchedRows {
		over[0] = append(over[0], necks[i])
		m.LoneNecks = append(m.LoneNecks, Lone{Name: necks[i].Kit.Name, Why: whyNowhere(len(bodies), func(j int) Price {
			return l.priceOf(&s, necks[i], bodies[j])
		})})
	}
	for _, j := range best.UnmatchedColumns {
		over[1] = append(over[1], bodies[j])
		m.LoneBodies = append(m.LoneBodies, Lone{Name: bodies[j].Kit.Name, Why: whyNowhere(len(necks), func(i int) Price {
			return l.priceOf(&s, necks[i], bodies[j])
		})})
	}
	l.partners(over[0], bodies, m.LoneNecks, true)
	l.partners(over[1], necks, m.LoneBodies, false)
	return m, nil
}

// own makes the builder's own pairs and the best match of what is left.
func (m *Match) own(costs [][]float64, best *lot.Assignment, necks, bodies []part, l *pricing, list []Own) (*lot.Assignment, error) {
	bound := make([][]float64, len(costs))
	for i := range costs {
		bound[i] = slices.Clone(costs[i])
	}
	m.Own = &OwnPrice{}
	for _, o := range list {
		for i := range bound {
			for j := range bound[i] {
				if (i == o.Neck) != (j == o.Body) {
					bound[i][j] = math.Inf(1)
				}
			}
		}
		instead := ""
		if j := best.Column[o.Neck]; j >= 0 {
			instead = bodies[j].Kit.Name
		}
		m.Own.Instead = append(m.Own.Instead, instead)
		m.Own.Obstacle = append(m.Own.Obstacle, l.priceOf(new(fit.Seater), necks[o.Neck], bodies[o.Body]).Obstacle)
	}
	own, err := lot.Assign(bound)
	if err == nil {
		m.Own.Minutes, m.Own.Fewer = own.Total-best.Total, best.Matched-own.Matched
	}
	return own, err
}

// cheapestSwap looks for the exchange with a pair or a part left over that costs least beside the match, which has
// it at its least already: none is below 0 but for rounding.
func cheapestSwap(costs [][]float64, match *lot.Assignment, i int) (row, column int, more float64) {
	row, column, more = -1, -1, math.Inf(1)
	take := func(r, c int, change float64) { // an impossible pair makes it infinite
		if change < more {
			row, column, more = r, c, change
		}
	}
	j := match.Column[i]
	for r, c := range match.Column {
		switch {
		case r == i:
		case c < 0:
			take(r, -1, costs[r][j]-costs[i][j])
		default:
			take(r, c, costs[i][c]+costs[r][j]-costs[i][j]-costs[r][c])
		}
	}
	for _, c := range match.UnmatchedColumns {
		take(-1, c, costs[i][c]-costs[i][j])
	}
	return row, column, more
}

// judgePairs judges the pairs that were chosen.
func (m *Match) judgePairs(best *lot.Assignment, costs [][]float64, necks, bodies []part, l *pricing, o Options) {
	var rows []int
	for i, j := range best.Column {
		if j >= 0 {
			rows = append(rows, i)
		}
	}
	m.Pairs = make([]Pair, len(rows))
	inParallel(len(rows), func(k int, s *fit.Seater) {
		n, b := necks[rows[k]], bodies[best.Column[rows[k]]]
		m.Pairs[k] = judge(n.Kit, b.Kit, l.priceOf(s, n, b), o)
		if row, column, more := cheapestSwap(costs, best, rows[k]); !math.IsInf(more, 1) {
			swap := &Swap{More: max(0, more)}
			if row >= 0 {
				swap.Neck = necks[row].Kit.Name
			}
			if column >= 0 {
				swap.Body = bodies[column].Kit.Name
			}
			m.Pairs[k].Swap = swap
		}
	})
	for i := range m.Pairs {
		p := &m.Pairs[i]
		m.Minutes += p.Price.Minutes
		switch {
		case p.Ready():
			m.Ready++
		case p.Price.Actions.Work():
			m.Work++
		default:
			m.Doubt++
		}
	}
}

func judge(n, b *measure.Kit, price Price, o Options) Pair {
	o.Check.Model, o.Check.Brief = o.Remedies || o.Drawn, true
	r := fit.Check(fit.Unite(n.Name+" + "+b.Name, n, b), o.Check)
	pair := Pair{Neck: n.Name, Body: b.Name, Price: price, Result: r}
	if o.Remedies && r.Verdict != fit.Pass && r.Model != nil {
		if plans := remedy.For(r, remedy.Options{Stock: o.Stock, Costs: o.Costs}).Plans; len(plans) > 0 {
			pair.Plan = &plans[0]
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
	return pair
}

// partnerless are all parts of a delivery of one kind.
func partnerless(list []part, why ObstacleKind) (lone []Lone) {
	for _, p := range list {
		lone = append(lone, Lone{Name: p.Kit.Name, Why: []Obstacle{{Kind: why}}})
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

// inParallel calls fn for 0 to n-1, each once, on all cores, each core with a seater of its own.
func inParallel(n int, fn func(int, *fit.Seater)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Add(1)
		go func() {
			defer all.Done()
			var s fit.Seater
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				fn(i, &s)
			}
		}()
	}
	all.Wait()
}
