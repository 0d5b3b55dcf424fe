package fit

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/measure"
)

// judgeAll reads every characteristic off the assembly and decides it, in the order of the catalogue.
// It writes over list as far as that has room.
func (a *assembly) judgeAll(list []Characteristic, b *blank) []Characteristic {
	list = append(list[:0], b.list...)
	for i := range catalogue {
		c, f := &list[i], catalogue[i].find(a)
		c.Missing, c.Basis = f.missing, f.basis
		if own := f.bound; own != nil && !b.given[i] { // limits that the kit itself sets, where the user sets none
			c.Lower, c.Upper, c.LimitSource = own.lower, own.upper, own.source
		}
		switch {
		case !f.missing.None():
		case f.form != nil:
			a.judgeWorst(c, f.form)
		case f.direct != nil:
			c.Value, c.StdUncertainty, c.DOF, c.Doubt = f.direct.value, f.direct.std, f.direct.dof, f.direct.doubt
			a.judge(c)
			a.advise(c, nil)
		default:
			a.found(c, &f)
		}
	}
	return list
}

// found judges a characteristic with its uncertainty, if the readings fix it.
func (a *assembly) found(c *Characteristic, f *finding) {
	g := a.gradient(f.value)
	if !a.fit.Estimable(g) {
		c.Missing = a.cure(g)
		return
	}
	switch {
	case f.holes != nil:
		u := &a.ledger.uncertainty
		a.fit.UncertaintyInto(g, u)
		along := deviation{std: u.Std, common: a.common(u.Common), dof: u.DOF}
		x := a.uncertainty(f.holes.between.X).Std // before the next one takes its place
		y := a.uncertainty(f.holes.between.Y).Std
		a.judgeApart(c, f.holes.apart, along, x, y)
	case len(f.rivals) > 1:
		list := make([]deviation, len(f.rivals))
		for k, q := range f.rivals {
			u := a.uncertainty(q)
			list[k] = deviation{value: q.Value, std: u.Std, common: a.common(u.Common), dof: u.DOF}
		}
		a.judgeWorst(c, list)
	default:
		u := f.known
		if u == nil {
			u = &a.ledger.uncertainty
			a.fit.UncertaintyInto(g, u)
		}
		c.Value, c.StdUncertainty, c.Common, c.Doubt, c.DOF = f.value.Value, u.Std, a.common(u.Common), u.Doubt, u.DOF
		if f.besides > 0 { // the same for every kit with such strings
			c.StdUncertainty, c.Common = math.Hypot(u.Std, f.besides), math.Hypot(c.Common, f.besides)
		}
		a.judge(c)
	}
	if a.options.Terse || !c.Missing.None() || a.options.Brief && c.Verdict != Unsure && c.Verdict != TooCoarse {
		return
	}
	budget := a.budget(a.gradient(f.value))
	if f.besides > 0 {
		budget = withCompensation(budget, f.besides)
	}
	a.advise(c, budget)
	if !a.options.Brief {
		c.Budget = slices.Clone(budget)
	}
}

// advise says what would decide a characteristic that is not.
func (a *assembly) advise(c *Characteristic, budget []Contribution) {
	switch {
	case a.options.Terse:
	case c.Verdict == TooCoarse:
		c.Advice = Advice{Kind: SmallerU, U: c.coarsest()}
	case c.Verdict == Unsure:
		c.Advice = advise(c, budget)
	}
}

// judge decides a characteristic that has a value and the standard deviation of it, and turns that into
// StdUncertainty.
func (a *assembly) judge(c *Characteristic) {
	u := c.StdUncertainty
	if c.DOF != 0 {
		c.StdUncertainty *= factorFor(1, c.DOF) / Coverage
	}
	if !c.decidable() {
		return
	}
	const surely = 1.5 // times U inside both limits the chance is more than Confidence, whatever the degrees of freedom
	if a.options.Terse && !a.options.Model && min(c.Value-c.Lower, c.Upper-c.Value) > surely*Coverage*c.StdUncertainty {
		c.P, c.Verdict = 1, Pass
		return
	}
	below, above := tailsOf(c.Value, u, c.DOF, c.Lower, c.Upper)
	c.P = max(0, 1-below-above)
	c.Verdict = decide(a.options.Rule, c, max(below, above) >= Confidence)
}

// decidable tells whether a characteristic has a value and a limit to hold it against.
func (c *Characteristic) decidable() bool {
	if !finite(c.Value) || !finite(c.StdUncertainty) {
		c.Missing = Missing{Want: WantSound}
		c.Value, c.StdUncertainty, c.Common = 0, 0, 0
		return false
	}
	if math.IsInf(c.Lower, -1) && math.IsInf(c.Upper, 1) {
		c.Verdict = NotJudged
		return false
	}
	return true
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// blank is the catalogue with its limits, before anything has been found.
type blank struct {
	list  []Characteristic
	given []bool          // whether the user set the limits
	user  []measure.Limit // that it was made for
}

// fill makes the blank for the user's limits, unless it is already.
func (b *blank) fill(user []measure.Limit) {
	if len(b.list) > 0 && len(user) == len(b.user) && (len(user) == 0 || &user[0] == &b.user[0]) {
		return
	}
	*b = blank{list: make([]Characteristic, len(catalogue)), given: make([]bool, len(catalogue)), user: user}
	for i := range catalogue {
		c, out := &catalogue[i], &b.list[i]
		out.ID, out.Dimension = c.id, c.dimension
		out.Lower, out.Upper, out.Class, out.LimitSource = c.lower, c.upper, c.class, LimitSource{Origin: CommonPractice}
		at := slices.IndexFunc(user, func(u measure.Limit) bool { return u.Characteristic == out.ID.String() })
		if b.given[i] = at >= 0; b.given[i] {
			u := &user[at]
			out.Lower, out.Upper, out.Class = u.Lower, u.Upper, cmp.Or(u.Class, out.Class)
			out.LimitSource = LimitSource{Origin: LimitTable, Text: u.Source}
		}
	}
}

// Confidence is the probability inside the limits at which the guarded rule passes, and beyond one
// of them at which it fails (ISO 14253-1:2017, default); expanded uncertainties hold it too.
const Confidence = 0.95

// Coverage is the factor of an expanded uncertainty: the normal distribution's two-sided quantile of
// Confidence, rounded as usual (GUM, table G.1).
const Coverage = 1.96

// Conformance is the probability that a true value lies between the limits when its estimate is y
// with standard uncertainty u, normally distributed (JCGM 106:2012, 7.2 to 7.4). An open limit is
// an infinity. With u = 0 it is 1 or 0.
func Conformance(y, u, lower, upper float64) float64 {
	below, above := tailsOf(y, u, 0, lower, upper)
	return max(0, 1-below-above)
}

// tail is the normal probability beyond z; what is below 1e-20 vanishes beside 1.
func tail(z float64) float64 {
	const vanishing = 9.3
	if z > vanishing {
		return 0
	}
	return 0.5 * math.Erfc(z/math.Sqrt2)
}

// rounding is by how much, in mm or degrees, a value may be beyond a limit by calculation alone: a
// reading of 1.00 is within 1.
const rounding = 1e-9

// decide gives the verdict on a measured value whose P is known. A fail wants the true value beyond
// one limit with the stated probability, which the caller tells: where the uncertainty is large beside the limits' distance, a
// small probability of lying between them says nothing against the value.
func decide(rule Rule, c *Characteristic, beyond bool) Verdict {
	switch rule {
	case Simple:
		if c.Lower-rounding <= c.Value && c.Value <= c.Upper+rounding {
			return Pass
		}
		return Fail
	case Guarded:
		switch {
		case c.P >= Confidence:
			return Pass
		case beyond, c.ID.isSize() && c.Upper <= 0: // of a screw as thick as its hole, no gauge would tell more
			return Fail
		case c.bestCase() < Confidence:
			return TooCoarse
		}
		return Unsure
	}
	panic("fit: no such rule")
}

// bestCase is the probability of lying inside the limits of the value that lies best: amid them, at nothing
// for what is never below it, or as far inside a single limit as it likes.
func (c *Characteristic) bestCase() float64 {
	best := (c.Lower + c.Upper) / 2
	if c.ID.isSize() && c.Lower <= 0 {
		best = min(0, c.Upper)
	}
	if math.IsInf(best, 0) || math.IsNaN(best) {
		return 1
	}
	// Of the worst of many the best case is all of them there.
	many := float64(max(1, c.Among))
	own := math.Sqrt(max(0, c.StdUncertainty*c.StdUncertainty-c.Doubt*c.Doubt)) // a suspect is no fault of the gauges
	std := own * Coverage / factorFor(many, c.DOF)
	below, above := tailsOf(best, std, c.DOF, c.Lower, c.Upper)
	return 1 - many*(below+above)
}

// coarsest is the greatest standard uncertainty with which the best value passes, in mm or degrees; 0 where
// any will do.
func (c *Characteristic) coarsest() float64 {
	switch {
	case math.IsInf(c.Upper, 0):
		return 0
	case c.ID.isSize() && math.IsInf(c.Lower, -1):
		return max(0, c.Upper) / guard
	case math.IsInf(c.Lower, 0):
		return 0
	}
	return (c.Upper - c.Lower) / 2 / distuv.UnitNormal.Quantile((1+Confidence)/2)
}

// guard is how many standard uncertainties a value must lie from a limit to be decided.
var guard = distuv.UnitNormal.Quantile(Confidence)

// Words for verdicts, in the order of the constants.
var verdictWords = [...]string{"not measured", "not judged", "pass", "too coarse", "incomplete", "unsure", "implausible", "fail"}

// String is the word of the reports.
func (v Verdict) String() string { return verdictWords[v] }

// Words for the ways of working, in the order of the constants.
var wayWords = [...]string{"nothing read", "edge check", "dry fit", "loose parts"}

// String is the word of the reports.
func (w Way) String() string { return wayWords[w] }

// kitVerdict is the worst of the characteristics that were judged, and no pass where one that had to be
// measured was not; NotMeasured when none was judged. Gauges too coarse for what matters leave a kit unsure.
func (r *Result) kitVerdict() Verdict {
	worst, lacking, coarse := NotMeasured, false, false
	for i := range r.Characteristics {
		switch c := &r.Characteristics[i]; c.Verdict {
		case TooCoarse:
			if coarse = true; r.Wanted(c) {
				worst = max(worst, Unsure)
			}
		case NotMeasured:
			lacking = lacking || r.Wanted(c)
		case NotJudged:
		case Pass, Incomplete, Unsure, Implausible, Fail:
			worst = max(worst, c.Verdict)
		}
	}
	if coarse && worst == NotMeasured { // something was measured, and nothing could be told of it
		worst = Unsure
	}
	if lacking && worst != NotMeasured {
		worst = max(worst, Incomplete)
	}
	return worst
}

// Wanted tells whether a kit is incomplete without a characteristic: those that kits.csv names as its aim,
// or the critical ones where it names none.
func (r *Result) Wanted(c *Characteristic) bool {
	if len(r.Info.Aim) > 0 {
		return slices.Contains(r.Info.Aim, c.ID.String())
	}
	return c.Class == measure.Critical
}
