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
