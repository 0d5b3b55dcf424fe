package remedy

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// advise works the drafts out and ranks them.
func (k *kit) advise(drafts []*draft) *Advice {
	a := &Advice{Untried: k.untried()}
	for _, d := range drafts {
		a.Plans = append(a.Plans, k.plan(d))
	}
	rank(a.Plans)
	if k.result.Verdict != fit.Fail && k.result.Verdict != fit.Unsure {
		return a
	}
	back := k.returned(a.Plans)
	a.Cannot = back.reasons
	if len(back.reasons) > 0 {
		a.Plans = append([]Plan{back.plan}, a.Plans...)
	} else {
		a.Plans = append(a.Plans, back.plan)
	}
	a.Why = why(a)
	return a
}

// plan works a draft out in full.
func (k *kit) plan(d *draft) Plan {
	actions := inOrder(d.actions)
	if len(actions) == 0 {
		actions = []Action{{Work: measure.Leave}}
	}
	p := Plan{Actions: actions, Level: levelOf(actions), Minutes: k.minutes(actions), Swing: k.swing(d)}
	p.P, p.Curable = k.joint(d)
	if k.play != nil {
		after := k.after(d)
		p.After = &after
	}
	for i := range k.rows {
		p.Predicted = append(p.Predicted, k.predict(&k.rows[i], d))
	}
	return p
}

// predict is what a row becomes.
func (k *kit) predict(r *row, d *draft) Predicted {
	out := Predicted{Index: r.index, Lower: r.lower, Upper: d.upper(r), Judged: r.judged}
	if d.fresh(r.sort) {
		out.Value, out.StdUncertainty, out.P = k.renewed(r, d)
		out.Changed = true
		return out
	}
	out.Value, out.StdUncertainty = k.value(r, d), math.Sqrt(k.variance(r, d))
	const notable = 0.1 // of its standard uncertainty: less is nothing that readings could show
	out.Changed = math.Abs(out.Value-r.value) > notable*out.StdUncertainty || out.Upper != r.upper
	if r.judged {
		out.P = fit.Conformance(out.Value, out.StdUncertainty, out.Lower, out.Upper)
	}
	return out
}

// rank puts first what is within reach of the best. Among those, reversible beats a little wood cut,
// and that beats holes plugged; then fewer actions, fewer minutes, the likelier, and the smaller worst
// case at the bridge. What is out of reach follows by probability.
func rank(plans []Plan) {
	best := 0.0
	for i := range plans {
		best = max(best, plans[i].Curable)
	}
	slices.SortStableFunc(plans, func(a, b Plan) int {
		in, other := a.Curable >= reach*best, b.Curable >= reach*best
		switch {
		case in != other && in:
			return -1
		case in != other:
			return 1
		case !in:
			return cmp.Or(cmp.Compare(b.Curable, a.Curable), lighter(a, b))
		}
		return cmp.Or(lighter(a, b), cmp.Compare(b.Curable, a.Curable), cmp.Compare(a.worstCase(), b.worstCase()))
	})
}

// lighter compares by reversibility, number of actions and minutes.
func lighter(a, b Plan) int {
	return cmp.Or(cmp.Compare(a.Level, b.Level), cmp.Compare(len(a.Actions), len(b.Actions)), cmp.Compare(a.Minutes, b.Minutes))
}

// worstCase is the largest centre-line error, as a size, that the remaining play allows.
func (p *Plan) worstCase() float64 {
	if p.Swing == nil {
		return 0
	}
	return max(math.Abs(p.Swing.Low), math.Abs(p.Swing.High))
}

// why says in one sentence what the first plan has over the second.
func why(a *Advice) string {
	if len(a.Plans) < 2 {
		return ""
	}
	p, q := &a.Plans[0], &a.Plans[1]
	than := "the next plan (" + q.Brief() + ")"
	chances := fmt.Sprintf("%s against %s that all then passes", percent(p.Curable), percent(q.Curable))
	switch {
	case p.Level == Returned:
		return "No work on this kit is likely to make it pass: the best plan (" + q.Brief() + ") reaches " + percent(q.P) + "."
	case q.Level == Returned:
		return "It comes before returning a part because something can be done about the kit as it is."
	case q.Curable < reach*p.Curable:
		return "It beats " + than + " because it is the likelier: " + chances + "."
	case p.Level != q.Level:
		return "It beats " + than + " because it " + lasts(p.Level) + "; " + chances + "."
	case len(p.Actions) != len(q.Actions):
		return "It beats " + than + " because it takes fewer works; " + chances + "."
	case p.Minutes != q.Minutes:
		return fmt.Sprintf("It beats %s because it takes %.0f minutes instead of %.0f; %s.", than, p.Minutes, q.Minutes, chances)
	}
	return "It beats " + than + " because at the same effort it is at least as likely to pass: " + chances + "."
}

func lasts(l Level) string {
	switch l {
	case Untouched:
		return "leaves the kit as it is"
	case Reversible:
		return "can be undone"
	case Trimmed:
		return "cuts only a little wood"
	case Redrilled, Returned:
	}
	return "keeps the parts"
}

// percent writes a probability, which is never quite nought or one.
func percent(p float64) string {
	switch {
	case p < 0.005:
		return "under 1 %"
	case p > 0.995:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
