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
}

// Pair is one neck with one body.
type Pair struct {
	Neck, Body string
	Price      Price
	Result     *fit.Result  // of fit.Check on the readings of both, without budgets
	Plan       *remedy.Plan // the recommended one; nil unless it was asked for and there is one
}

// Ready tells that the pair needs no work and passes as measured.
func (p *Pair) Ready() bool { return !p.Price.Actions.Work() && p.Result.Verdict == fit.Pass }

// Lone is a part that is left over.
type Lone struct {
	Name string
	Why  []Obstacle // why it fits nowhere, two at the most; empty when it is only one too many
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
	m.judgePairs(best, necks, bodies, l, o)
	var s fit.Seater
	for _, i := range best.UnmatchedRows {
		m.LoneNecks = append(m.LoneNecks, Lone{necks[i].Kit.Name, whyNowhere(len(bodies), func(j int) Price {
			return l.priceOf(&s, necks[i], bodies[j])
		})})
	}
	for _, j := range best.UnmatchedColumns {
		m.LoneBodies = append(m.LoneBodies, Lone{bodies[j].Kit.Name, whyNowhere(len(necks), func(i int) Price {
			return l.priceOf(&s, necks[i], bodies[j])
		})})
	}
	return m, nil
}

// judgePairs judges the pairs that were chosen.
func (m *Match) judgePairs(best *lot.Assignment, necks, bodies []part, l *pricing, o Options) {
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
	o.Check.Model, o.Check.Brief = o.Remedies, true
	r := fit.Check(fit.Unite(n.Name+" + "+b.Name, n, b), o.Check)
	pair := Pair{Neck: n.Name, Body: b.Name, Price: price, Result: r}
	if o.Remedies && r.Verdict != fit.Pass && r.Model != nil {
		if plans := remedy.For(r, remedy.Options{Stock: o.Stock, Costs: o.Costs}).Plans; len(plans) > 0 {
			pair.Plan = &plans[0]
		}
	}
	r.Model, r.Residuals = nil, nil
	for i := range r.Characteristics {
		r.Characteristics[i].Budget = nil // a hundred kilobytes a pair, and nobody asks
	}
	return pair
}

// partnerless are all parts of a delivery of one kind.
func partnerless(list []part, why ObstacleKind) (lone []Lone) {
	for _, p := range list {
		lone = append(lone, Lone{p.Kit.Name, []Obstacle{{Kind: why}}})
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
