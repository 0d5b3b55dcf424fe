package pair

import (
	"runtime"
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
	Stock    []measure.Stock // nil for the built-in shelf; for remedies alone
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
	Why  string // why it fits nowhere; empty when it is only one too many
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
// work among those (lot.Assign). It takes about 2 microseconds a possible pair and core, and 8
// bytes.
func Find(p *Parts, o Options) (*Match, error) {
	m := &Match{Bridge: p.Bridge, Necks: len(p.Necks), Bodies: len(p.Bodies)}
	necks, bodies := make([]*neck, len(p.Necks)), make([]*body, len(p.Bodies))
	inParallel(len(necks), func(i int) { necks[i] = newNeck(p.Necks[i], o) })
	inParallel(len(bodies), func(i int) { bodies[i] = newBody(p.Bodies[i], o) })
	if len(necks) == 0 || len(bodies) == 0 {
		m.leaveAll(necks, bodies)
		return m, nil
	}
	limits := limitsFor(necks, bodies, o)
	costs := limits.costs(necks, bodies)
	best, err := lot.Assign(costs)
	if err != nil {
		return nil, err
	}
	m.Random = randomMatch(costs)
	m.take(best, necks, bodies, limits, o)
	m.leave(best, necks, bodies, limits)
	return m, nil
}

// take judges the pairs that were chosen.
func (m *Match) take(best *lot.Assignment, necks []*neck, bodies []*body, limits *limits, o Options) {
	var rows []int
	for i, j := range best.Column {
		if j >= 0 {
			rows = append(rows, i)
		}
	}
	m.Pairs = make([]Pair, len(rows))
	inParallel(len(rows), func(k int) {
		n, b := necks[rows[k]], bodies[best.Column[rows[k]]]
		m.Pairs[k] = judge(n, b, limits, o)
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

func judge(n *neck, b *body, limits *limits, o Options) Pair {
	o.Check.Model, o.Check.Brief = o.Remedies, true
	r := fit.Check(fit.Unite(n.kit.Name+" + "+b.kit.Name, n.kit, b.kit), o.Check)
	pair := Pair{Neck: n.kit.Name, Body: b.kit.Name, Price: limits.priceOf(n, b), Result: r}
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

// leave lists what was not matched, with the reason where there is one for all partners alike.
func (m *Match) leave(best *lot.Assignment, necks []*neck, bodies []*body, limits *limits) {
	for _, i := range best.UnmatchedRows {
		m.LoneNecks = append(m.LoneNecks, Lone{necks[i].kit.Name, whyNowhere(len(bodies), func(j int) Price {
			return limits.priceOf(necks[i], bodies[j])
		})})
	}
	for _, j := range best.UnmatchedColumns {
		m.LoneBodies = append(m.LoneBodies, Lone{bodies[j].kit.Name, whyNowhere(len(necks), func(i int) Price {
			return limits.priceOf(necks[i], bodies[j])
		})})
	}
}

// leaveAll is for a delivery of one kind of part.
func (m *Match) leaveAll(necks []*neck, bodies []*body) {
	for _, n := range necks {
		m.LoneNecks = append(m.LoneNecks, Lone{n.kit.Name, "there is no body"})
	}
	for _, b := range bodies {
		m.LoneBodies = append(m.LoneBodies, Lone{b.kit.Name, "there is no neck"})
	}
}

// whyNowhere is the reason that all partners give, or that there are several; empty when some
// partner would do.
func whyNowhere(partners int, price func(int) Price) string {
	reason := ""
	for k := range partners {
		p := price(k)
		switch {
		case p.Possible():
			return ""
		case reason == "":
			reason = p.Why
		case reason != p.Why:
			return "fits none: " + reason + "; " + p.Why
		}
	}
	return reason
}

// inParallel calls fn for 0 to n-1, each once, on all cores.
func inParallel(n int, fn func(int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Add(1)
		go func() {
			defer all.Done()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				fn(i)
			}
		}()
	}
	all.Wait()
}
