package fit

import (
	"math"
	"slices"

	"neckfit/fit/autodiff"
)

// judgeAll reads every characteristic off the assembly and decides it, in the order of the catalogue.
// It writes over list as far as that has room.
func (a *assembly) judgeAll(list []Characteristic, b *blank) []Characteristic {
	list = append(list[:0], b.list...)
	for i := range catalogue {
		c, f := &list[i], catalogue[i].find(a)
		c.Missing, c.Basis = f.missing, f.basis
		c.bind(f.bound, b.given[i])
		switch {
		case !f.missing.None():
		case f.direct != nil:
			c.Value, c.StdUncertainty = f.direct.value, f.direct.std
			a.judge(c)
			a.advise(c, nil)
		default:
			a.found(c, f.value)
		}
	}
	return list
}

// found judges a characteristic with its uncertainty, if the readings fix it.
func (a *assembly) found(c *Characteristic, q autodiff.Variable) {
	g := a.gradient(q)
	if !a.fit.Estimable(g) {
		c.Missing = a.cure(g)
		return
	}
	u := a.fit.Uncertainty(g)
	c.Value, c.StdUncertainty, c.Common = q.Value, u.Std, u.FromCommon()
	a.judge(c)
	if a.options.Terse || !c.Missing.None() || a.options.Brief && c.Verdict != Unsure {
		return
	}
	budget := a.budget(g)
	a.advise(c, budget)
	if !a.options.Brief {
		c.Budget = slices.Clone(budget)
	}
}

// advise says what would decide a characteristic that is not.
func (a *assembly) advise(c *Characteristic, budget []Contribution) {
	if c.Verdict == Unsure && !a.options.Terse {
		c.Advice = advise(c, budget)
	}
}

// judge decides a characteristic that has a value.
func (a *assembly) judge(c *Characteristic) {
	if !finite(c.Value) || !finite(c.StdUncertainty) {
		c.Missing = Missing{Want: WantSound}
		c.Value, c.StdUncertainty, c.Common = 0, 0, 0
		return
	}
	if math.IsInf(c.Lower, -1) && math.IsInf(c.Upper, 1) {
		c.Verdict = NotJudged
		return
	}
	c.P = Conformance(c.Value, c.StdUncertainty, c.Lower, c.Upper)
	c.Verdict = decide(a.options.Rule, c)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
