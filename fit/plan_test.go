package fit

import (
	"math"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// blankRows are a way's readings without their numbers, as a sheet has them.
func blankRows(p plan, in simulate.Instrument, setup simulate.Setup) []measure.Reading {
	rows := p.read(in, nil, setup)
	for i := range rows {
		r := &rows[i]
		r.Station, r.Offset, r.Size, r.HasStation, r.HasOffset = 0, 0, 0, false, false
	}
	return rows
}

// The plan tells which limits the gauges cannot decide, and how fine they would have to be: with that fineness,
// and no better, the best value passes.
func TestPlanTellsWhatIsTooCoarse(t *testing.T) {
	in := simulate.ShortScaleBass()
	setup := simulate.DefaultSetup()
	setup.Exact, setup.Heights = true, true
	rule := &measure.Gauge{ID: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.15}
	fine := Plan(blankRows(plans[0], in, setup), in.Kit("K", nil).Info, Options{}).Characteristics
	setup.Offset, setup.Station, setup.Long, setup.Gap, setup.Depth = rule, rule, rule, rule, rule
	coarse := Plan(blankRows(plans[0], in, setup), in.Kit("K", nil).Info, Options{}).Characteristics
	for _, id := range []ID{BridgeSkew, PocketGapMouth, FretError, BridgeHoleMismatch} {
		f, c := fine[id], coarse[id]
		if !c.TooCoarse || f.TooCoarse && f.StdUncertainty >= c.StdUncertainty {
			t.Errorf("%s: with a rule u %.3f, too coarse %v; with a calliper %.3f, %v", id, c.StdUncertainty, c.TooCoarse, f.StdUncertainty, f.TooCoarse)
		}
		for _, k := range []float64{0.99, 1.01} {
			at := Characteristic{ID: id, StdUncertainty: c.Needed * k, Lower: c.Lower, Upper: c.Upper}
			if passes := at.bestCase() >= Confidence; passes != (k < 1) {
				t.Errorf("%s: %.4f is said to do, and at %g of it the best value passes: %v", id, c.Needed, k, passes)
			}
		}
	}
	for id, p := range coarse {
		if math.IsInf(p.Lower, -1) != math.IsInf(p.Upper, 1) && !p.ID.isSize() && p.TooCoarse {
			t.Errorf("%s has one limit and is never too coarse", ID(id))
		}
	}
}

// A calliper is named instead of a gauge that is worse than one, once however many readings it takes; not of a calliper, nor of feelers, which
// no calliper can stand for.
func TestACalliperInsteadOfWhat(t *testing.T) {
	calliper := measure.BuiltInGauges()[0]
	rule := measure.Gauge{ID: "rule", Kind: "rule", Resolution: 0.5, Repeatability: 0.15}
	feelers := measure.Gauge{ID: "feelers", Kind: "feeler", Resolution: 0.5, Repeatability: 0.15}
	var named [][]string
	for _, c := range cures([]measure.Reading{{Gauge: &calliper, StationGauge: &rule}, {Gauge: &rule}, {Gauge: &feelers}, {Gauge: &calliper}}) {
		if !slices.ContainsFunc(named, func(n []string) bool { return slices.Equal(n, c.Instead) }) {
			named = append(named, c.Instead)
		}
	}
	if len(named) != 2 || named[0] != nil || !slices.Equal(named[1], []string{"rule"}) {
		t.Errorf("a calliper instead of %q", named)
	}
}
