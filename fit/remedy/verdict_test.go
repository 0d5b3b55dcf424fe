package remedy

import (
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A bridge 8 mm beside the pocket's axis speaks against the body where the parts were read by themselves, and against
// neck or body where no reading tells which, as in a quick check.
func TestWhoGoesBack(t *testing.T) {
	either := []measure.Part{measure.NeckPart, measure.BodyPart}
	in := spoiled(t, "miss=8")
	for _, c := range []struct {
		way  string
		read []measure.Reading
		want []measure.Part
	}{
		{"quick", simulate.QuickCheck(in, nil, simulate.Setup{Exact: true}), either},
		{"loose", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}), either[1:]},
	} {
		plans := For(fit.Check(in.Kit("K", c.read), fit.Options{Model: true}), Options{}).Plans
		i := slices.IndexFunc(plans, func(p Plan) bool { return p.Level == Returned })
		if i < 0 || !slices.Equal(plans[i].Return, c.want) || plans[i].OneOf != (len(c.want) > 1) {
			t.Errorf("%s: return %v", c.way, plans[max(i, 0)].Return)
		}
	}
}

// Of what rests on a number that cannot be so a plan says nothing either: where the bridge will lie, or could slip to. The
// pocket's own fault is cured meanwhile.
func TestNothingIsPredictedOfNonsense(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketEnd += 0.5
	check := func(spoil bool) (*fit.Result, *Advice) {
		k := in.Kit("K", simulate.QuickCheck(in, nil, simulate.Setup{Exact: true}))
		for i := range k.Readings {
			if r := &k.Readings[i]; spoil && r.Feature == measure.BridgeScrew && r.Mark.Number != 1 && r.Datum == measure.DatumEdgeBass {
				r.Offset *= 10
			}
		}
		r := fit.Check(k, fit.Options{Model: true, Compensation: in.Compensation})
		return r, For(r, Options{})
	}
	for _, spoil := range []bool{false, true} {
		r, a := check(spoil)
		if odd := r.Find(fit.CentreLineError).Verdict == fit.Implausible; odd != spoil || r.Verdict != fit.Fail {
			t.Fatalf("spoilt %v: %v, the centre line %v", spoil, r.Verdict, r.Find(fit.CentreLineError).Verdict)
		}
		p, told := &a.Plans[0], false
		for _, q := range p.Predicted {
			told = told || r.Characteristics[q.Index].ID == fit.CentreLineError
		}
		if told == spoil || (p.Swing == nil) != spoil || p.Level != Reversible {
			t.Errorf("spoilt %v: %v, level %v, where the bridge will lie is told: %v, its slip %v", spoil, p.Actions, p.Level, told, p.Swing)
		}
	}
}
