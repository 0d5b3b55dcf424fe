package fit

import "math"

// judgeAll reads every characteristic off the assembly and decides it, in the order of the catalogue.
func (a *assembly) judgeAll() []Characteristic {
	list := make([]Characteristic, len(catalogue))
	for i := range catalogue {
		c := &catalogue[i]
		f := c.find(a)
		l := c.limitFor(f, a.options.Limits)
		list[i] = Characteristic{
			Name: c.name, Dimension: c.dimension, Missing: f.missing, Basis: f.basis,
			Lower: l.Lower, Upper: l.Upper, Class: l.Class, LimitSource: l.Source,
		}
		switch {
		case f.missing != "":
		case f.direct != nil:
			list[i].Value, list[i].StdUncertainty = f.direct.value, f.direct.std
		default:
			a.queue.add(a, &list[i], f.value)
		}
	}
	a.queue.empty(a)
	for i := range list {
		a.judge(&list[i])
	}
	return list
}

// queue holds characteristics until there are enough of them to have their uncertainties together.
type queue struct {
	n      int
	of     [lanes]*Characteristic
	values [lanes]quantity
}

func (w *queue) add(a *assembly, c *Characteristic, q quantity) {
	w.of[w.n], w.values[w.n] = c, q
	if w.n++; w.n == lanes {
		w.empty(a)
	}
}

// empty gives those that wait their values and uncertainties.
func (w *queue) empty(a *assembly) {
	if w.n == 0 {
		return
	}
	spreads := a.fit.Uncertainties(a.tape.gradients(w.values[:w.n]))
	for k, c := range w.of[:w.n] {
		c.Value, c.StdUncertainty, c.Common = w.values[k].v, spreads.Std[k], spreads.Common[k]
		a.look(c, w.values[k])
	}
	w.n = 0
}

// look asks whether the readings fix a characteristic, and what its uncertainty is made of.
func (a *assembly) look(c *Characteristic, q quantity) {
	wanted := !a.options.Terse && (!a.options.Brief || a.decide(c) == Unsure)
	if len(a.fit.Null) == 0 && !wanted {
		return
	}
	g := a.gradient(q)
	if !a.fit.Estimable(g) {
		c.Missing, c.Value, c.StdUncertainty, c.Common = a.cure(g), 0, 0, 0
		return
	}
	if wanted {
		c.Budget = a.budget(g)
	}
}

// judge decides one.
func (a *assembly) judge(c *Characteristic) {
	if c.Missing != "" {
		return
	}
	if !finite(c.Value) || !finite(c.StdUncertainty) {
		c.Missing, c.Value, c.StdUncertainty, c.Budget = "readings that do not fall together: the geometry has no solution", 0, 0, nil
		c.Common = 0
		return
	}
	if c.Verdict = a.decide(c); c.Verdict == NotJudged {
		return
	}
	c.P = Conformance(c.Value, c.StdUncertainty, c.Lower, c.Upper)
	if c.Verdict == Unsure && !a.options.Terse {
		c.Advice = advise(c)
	}
}

// decide is the verdict by the rule that was asked for.
func (a *assembly) decide(c *Characteristic) Verdict {
	if math.IsInf(c.Lower, -1) && math.IsInf(c.Upper, 1) {
		return NotJudged
	}
	return decide(a.options.Rule, c.Value, c.StdUncertainty, c.Lower, c.Upper)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
