package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// advise works the candidates out and ranks them.
func (k *kit) advise(candidates []*candidate) *Advice {
	a := &Advice{Untried: k.untried()}
	for _, d := range candidates {
		a.Plans = append(a.Plans, k.plan(d))
	}
	rank(a.Plans)
	if k.result.Verdict != fit.Fail && k.result.Verdict != fit.Unsure {
		return a
	}
	back, cannot := k.returned(a.Plans)
	a.Cannot = cannot
	if len(cannot) > 0 {
		a.Plans = append([]Plan{back}, a.Plans...)
	} else {
		a.Plans = append(a.Plans, back)
	}
	a.Why = why(a.Plans)
	return a
}

// plan works a candidate out in full.
func (k *kit) plan(d *candidate) Plan {
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
	for i := range k.criteria {
		p.Predicted = append(p.Predicted, k.predict(&k.criteria[i], d))
	}
	return p
}

// predict is what a criterion becomes.
func (k *kit) predict(r *criterion, d *candidate) Predicted {
	out := Predicted{Index: r.index, Lower: r.lower, Upper: d.upper(r), Judged: r.judged}
	if d.renews(r.kind) {
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

// why is what the first plan has over the second.
func why(plans []Plan) Reason {
	if len(plans) < 2 {
		return NoSecond
	}
	p, q := &plans[0], &plans[1]
	switch {
	case p.Level == Returned:
		return NothingHelps
	case q.Level == Returned:
		return BeforeReturn
	case q.Curable < reach*p.Curable:
		return Likelier
	case p.Level != q.Level:
		return LessDrastic
	case len(p.Actions) != len(q.Actions):
		return FewerWorks
	case p.Minutes != q.Minutes:
		return FewerMinutes
	}
	return NotLess
}

// hopeless is a probability at which the guarded rule fails (ISO 14253-1:2017, default).
const hopeless = 1 - surely

// partOf says which part a characteristic that cannot be cured speaks against; the body where it
// has no other.
var partOf = map[fit.ID]measure.Part{
	fit.ScaleLength: measure.NeckPart, fit.FretError: measure.NeckPart, fit.SideBow: measure.NeckPart,
	fit.CornerReserve: measure.NeckPart, fit.HeelEndSquareness: measure.NeckPart,
	fit.HeelWidthMouth: measure.NeckPart, fit.HeelWidthEnd: measure.NeckPart, fit.HeelThickness: measure.NeckPart,
	fit.BridgeSkew: measure.BridgePart, fit.MarginBass: measure.BridgePart, fit.MarginTreble: measure.BridgePart, fit.MarginBalance: measure.BridgePart,
	fit.SaddleReserveFront: measure.BridgePart, fit.SaddleReserveBack: measure.BridgePart, fit.BridgeHoleMismatch: measure.BridgePart,
	fit.SaddleHeightReserveLow: measure.BridgePart, fit.SaddleHeightReserveHigh: measure.BridgePart,
}

func partFor(id fit.ID) measure.Part {
	if p, ok := partOf[id]; ok {
		return p
	}
	return measure.BodyPart
}

// returned is the plan to return a part, and what fails whatever is done: the characteristics that
// no work changes and that fail already, and those that even the best plan leaves failing.
func (k *kit) returned(plans []Plan) (Plan, []Incurable) {
	var cannot []Incurable
	var parts []measure.Part
	for i := range k.criteria {
		r := &k.criteria[i]
		if !r.judged || bestOf(r, plans) > hopeless {
			continue
		}
		cannot = append(cannot, k.incurable(r))
		if p := partFor(k.result.Characteristics[r.index].ID); !slices.Contains(parts, p) {
			parts = append(parts, p)
		}
	}
	if len(cannot) == 0 {
		best := 0.0
		for i := range plans {
			best = max(best, plans[i].Curable)
		}
		if best <= hopeless {
			cannot = append(cannot, Incurable{Cause: NotTogether})
		}
		parts = k.worstParts()
	}
	a := Action{Work: measure.SendBack}
	return Plan{Actions: []Action{a}, Return: parts, Level: Returned, Minutes: k.minutes([]Action{a})}, cannot
}

// bestOf is how likely a criterion passes under the plan that is best for it.
func bestOf(r *criterion, plans []Plan) float64 {
	best := 0.0
	for i := range plans {
		for j := range plans[i].Predicted {
			if p := &plans[i].Predicted[j]; p.Index == r.index {
				best = max(best, p.P)
			}
		}
	}
	return best
}

// worstParts are the parts that the least likely characteristic speaks against.
func (k *kit) worstParts() []measure.Part {
	least, id := math.Inf(1), fit.CentreLineError
	for i := range k.criteria {
		if c := &k.result.Characteristics[k.criteria[i].index]; k.criteria[i].judged && c.P < least {
			least, id = c.P, c.ID
		}
	}
	return []measure.Part{partFor(id)}
}

// incurable says why a characteristic cannot be cured.
func (k *kit) incurable(r *criterion) Incurable {
	c := &k.result.Characteristics[r.index]
	out := Incurable{ID: c.ID}
	switch {
	case c.ID == fit.ScaleLength && max(c.Lower-c.Value, c.Value-c.Upper) > wrongScale:
		out.Cause, out.Have, out.Need = OtherScale, c.Value, k.result.Info.Scale
	case r.gap != [2]float64{} && c.Value < c.Lower:
		out.Cause, out.Have, out.Most = HeelTooWide, -c.Value, slices.Max(depths)
	case r.gap != [2]float64{}:
		out.Cause, out.Have, out.Need, out.Most = NoStockFits, c.Value-c.Upper, c.Value-c.Lower, slices.Max(k.thicknesses(shimmed))
	case c.ID == fit.SaddleReserveFront || c.ID == fit.SaddleReserveBack:
		front, back := k.criterion(fit.SaddleReserveFront), k.criterion(fit.SaddleReserveBack)
		out.Cause, out.Most = BridgeTooFar, farthest
		if front != nil && back != nil && front.value+back.value < front.lower+back.lower {
			out = Incurable{ID: c.ID, Cause: TravelTooShort, Have: front.value + back.value, Need: front.lower + back.lower}
		}
	case !r.curable:
		out.Cause = Unchanged
	default:
		out.Cause = NoSizeFits
	}
	return out
}

// wrongScale is how far off a neck is not badly made but another model's: common practice, no source.
const wrongScale = 3.0 // mm

// untried says which works the readings do not allow to be worked out.
func (k *kit) untried() []Untried {
	var list []Untried
	g := k.model.Geometry
	if k.play == nil {
		list = append(list, HeelUntried)
	}
	if g.Bridge == nil || g.Centre == nil {
		list = append(list, BridgeUntried)
	} else if len(k.bridge.pairs) == 0 {
		list = append(list, ClearanceUntried)
	}
	if r := k.of(neckHoles); r != nil && r.judged && k.neckHole() == 0 {
		list = append(list, ScrewsUntried)
	}
	if r := k.criterion(fit.SaddleReserveFront); r == nil && k.result.Way != fit.NoWay {
		list = append(list, SaddlesUntried)
	}
	return list
}
