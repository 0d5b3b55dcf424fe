package remedy

import (
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// hopeless is a probability at which the guarded rule fails (ISO 14253-1:2017, default).
const hopeless = 1 - surely

// partsFor are the parts to which a characteristic points; where neck and body share in it that which brings more of it,
// where the shares are known.
func (k *kit) partsFor(id fit.ID) []measure.Part {
	against := fit.SpeaksAgainst(id)
	if against.Shared {
		neck, body := k.characteristic(against.Neck), k.characteristic(against.Body)
		if neck.Missing.None() && body.Missing.None() {
			if math.Abs(neck.Value) > math.Abs(body.Value) {
				return []measure.Part{measure.NeckPart}
			}
			return []measure.Part{measure.BodyPart}
		}
	}
	return against.Back
}

// verdict says what fails whatever is done, and what could not be worked out. A characteristic that no
// plan brings inside is incurable only if the works that could do it were tried.
func (k *kit) verdict(a *Advice, list []weighed) {
	a.Untried = k.untried()
	together := 0.0
	for i := range list {
		together = max(together, list[i].plan.Curable)
	}
	for i := range k.criteria {
		c := &k.criteria[i]
		if !c.judged || bestOf(c, list) > hopeless {
			continue
		}
		if u, ok := k.waits(c, a.Untried); ok {
			a.Waits = append(a.Waits, Wait{c.id, u})
			continue
		}
		a.Cannot = append(a.Cannot, k.incurable(c))
	}
	if i := slices.IndexFunc(a.Cannot, func(c Incurable) bool { return c.Cause == OtherScale }); i >= 0 {
		a.Cannot = a.Cannot[i : i+1] // the rest follows from it
	}
	if len(a.Cannot) > 0 { // reading more cannot save it
		a.Waits = nil
	} else if len(a.Waits) == 0 && together <= hopeless {
		a.Cannot = append(a.Cannot, Incurable{Cause: NotTogether})
	}
}

// bestOf is how likely a characteristic passes under the plan that is best for it.
func bestOf(c *criterion, list []weighed) float64 {
	best := 0.0
	for i := range list {
		for j := range list[i].plan.Predicted {
			if p := &list[i].plan.Predicted[j]; p.Index == c.index {
				best = max(best, p.P)
			}
		}
	}
	return best
}

// waits tells which work might cure a characteristic, were the readings for it there.
func (k *kit) waits(c *criterion, untried []Untried) (Untried, bool) {
	cures := map[Untried][]fit.ID{
		HeelUntried: {
			fit.CentreLineError, fit.BridgeSkew, fit.MarginBass, fit.MarginTreble, fit.MarginBalance,
			fit.PocketGapMouth, fit.PocketGapEnd, fit.NeckScrewMismatch,
		},
		BridgeUntried: {
			fit.CentreLineError, fit.BridgeSkew, fit.MarginBass, fit.MarginTreble, fit.MarginBalance,
			fit.SaddleReserveFront, fit.SaddleReserveBack,
		},
	}
	for _, u := range []Untried{HeelUntried, BridgeUntried} {
		if slices.Contains(untried, u) && slices.Contains(cures[u], c.id) {
			return u, true
		}
	}
	return 0, false
}

// blamed are the parts to return: those that what cannot be cured speaks against; else that of the
// characteristic which is least likely to pass as it is. oneOf is for parts that the readings do not tell apart.
func (k *kit) blamed(a *Advice) (parts []measure.Part, oneOf bool) {
	var either []measure.Part
	for _, c := range a.Cannot {
		of := k.partsFor(c.ID)
		switch {
		case c.Cause == NotTogether:
		case len(of) > 1:
			either = of
		case !slices.Contains(parts, of[0]):
			parts = append(parts, of[0])
		}
	}
	if len(parts) > 0 {
		return parts, false
	}
	if either != nil {
		return either, true
	}
	least, id := math.Inf(1), fit.CentreLineError
	for i := range k.criteria {
		if c := &k.criteria[i]; c.judged && c.p < least {
			least, id = c.p, c.id
		}
	}
	parts = k.partsFor(id)
	return parts, len(parts) > 1
}

// incurable says why a characteristic cannot be cured.
func (k *kit) incurable(c *criterion) Incurable {
	out, value := Incurable{ID: c.id}, k.result.Characteristics[c.index].Value
	thickest := 0.0
	for _, t := range k.thicknesses(shimmed) {
		thickest = max(thickest, t)
	}
	switch {
	case c.id == fit.ScaleLength && max(c.lower-value, value-c.upper) > wrongScale:
		out.Cause, out.Have, out.Need = OtherScale, value, k.result.Info.Scale
	case c.gap != [2]float64{} && value < c.lower:
		out.Cause, out.Have, out.Most = HeelTooWide, -value, slices.Max(depths)
	case c.gap != [2]float64{} && value-c.upper > thickest:
		out.Cause, out.Have, out.Need, out.Most = NoStockFits, value-c.upper, value-c.lower, thickest
	case c.id == fit.SaddleReserveFront || c.id == fit.SaddleReserveBack:
		out.Cause, out.Most = BridgeTooFar, farthest
		front, back := k.criterion(fit.SaddleReserveFront), k.criterion(fit.SaddleReserveBack)
		if front != nil && back != nil {
			have := k.result.Characteristics[front.index].Value + k.result.Characteristics[back.index].Value
			if need := front.lower + back.lower; have < need {
				out = Incurable{ID: c.id, Cause: TravelTooShort, Have: have, Need: need}
			}
		}
	case !c.movable:
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
	if k.play == nil {
		list = append(list, HeelUntried)
	}
	if !k.model.Moves() {
		list = append(list, BridgeUntried)
	} else if !k.bridge {
		list = append(list, ClearanceUntried)
	}
	if k.judges(fit.NeckScrewMismatch) != nil && k.neckHole() == 0 {
		list = append(list, ScrewsUntried)
	}
	if k.criterion(fit.SaddleReserveFront) == nil && k.result.Way != fit.NoWay {
		list = append(list, SaddlesUntried)
	}
	return list
}
