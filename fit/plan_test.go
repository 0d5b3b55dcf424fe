package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/adjust"
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

// What is planned is what comes: the spread of a thousand surveys drawn with the gauges' errors at the planned
// places is within 5 % of the planned uncertainty.
func TestPlanIsWhatComes(t *testing.T) {
	in := simulate.ShortScaleBass()
	setup := simulate.DefaultSetup()
	setup.Exact, setup.Heights = true, true
	extreme := map[ID]bool{SaddleReserveFront: true, SaddleReserveBack: true, EndGap: true, CornerReserve: true, BridgeHoleMismatch: true,
		NeckScrewMismatch: true, StringHolePitch: true, PlateHoleMismatch: true, SaddleHeightReserveLow: true, SaddleHeightReserveHigh: true,
		SideBow: true, Relief: true}
	compared := 0
	for _, p := range plans {
		rows := blankRows(p, in, setup)
		info := in.Kit("K", nil).Info
		planned := Plan(rows, info, Options{Compensation: in.Compensation}).Characteristics
		n := usual(rows, info)
		right := n.readings(rows)
		sums, squares, counts := Values{}, Values{}, Values{}
		var claimed [characteristics][]float64
		rng := rand.New(rand.NewPCG(31, uint64(p.way)))
		const drawn, scatter = 1200, 0.04 // two standard deviations of a standard deviation of so many
		for range drawn {
			list, last := drawnWith(rng, right)
			own := map[ID]float64{MarginBass: -last[measure.EdgeBass], MarginTreble: last[measure.EdgeTreble], MarginBalance: -last[measure.EdgeBass] - last[measure.EdgeTreble]}
			k := &measure.Kit{Name: "K", Info: info, Readings: list}
			k.Info.Strings = n.strings
			var w Checker
			var r Result
			w.blank.fill(nil)
			w.adjust(&r, k, Options{Compensation: in.Compensation, Terse: true})
			for id, c := range r.Characteristics {
				if c.Measured() {
					off := c.Value - own[c.ID]
					sums[id], squares[id], counts[id] = sums[id]+off, squares[id]+off*off, counts[id]+1
					claimed[id] = append(claimed[id], c.StdUncertainty)
				}
			}
		}
		for id, pl := range planned {
			if !pl.Missing.None() || pl.ID == FretError || pl.ID == FloorFlatness { // whose truth is the form that is drawn
				continue
			}
			if counts[id] != drawn {
				t.Errorf("%s: %s is planned, and measured in %g of %d surveys", p.name, pl.ID, counts[id], drawn)
				continue
			}
			found := math.Sqrt(squares[id]/drawn - sums[id]*sums[id]/drawn/drawn)
			if extreme[pl.ID] {
				if pl.StdUncertainty < 0.9*found { // its U is one for all places together
					t.Errorf("%s: %s planned %.4f, found %.4f", p.name, pl.ID, pl.StdUncertainty, found)
				}
				continue
			}
			compared++
			// Half of the kits are surer, which leaves out the fifth that seems to scatter by more than is claimed. Few degrees of freedom make
			// that half much surer than the mean of all.
			most := 1.06
			if pl.DOF > 0 && pl.DOF < 12 {
				most = 1.1
			}
			if ratio := pl.StdUncertainty / adjust.Median(claimed[pl.ID]); ratio < 0.95 || ratio > most {
				t.Errorf("%s: %s planned %.4f, %.3f of what half of the kits claim", p.name, pl.ID, pl.StdUncertainty, ratio)
			}
			if std := pl.StdUncertainty * Coverage / factorFor(1, pl.DOF); math.Abs(std-found) > 0.05*found+scatter*found {
				t.Errorf("%s: %s planned %.4f, found %.4f", p.name, pl.ID, std, found)
			}
		}
	}
	if compared < 30 {
		t.Errorf("only %d uncertainties compared", compared)
	}
}

// drawnWith are readings as gauges show them: each gauge's greatest error drawn once, its repeatability and
// its step each time; with what each place of a good part is off its ideal form, the last of each feature by itself. A width and a gap
// are wanted of the place where they are read.
func drawnWith(rng *rand.Rand, right []measure.Reading) (list []measure.Reading, last map[measure.Feature]float64) {
	last = map[measure.Feature]float64{}
	shift := map[*measure.Gauge]float64{}
	shown := func(g *measure.Gauge, v float64) float64 {
		if _, ok := shift[g]; !ok {
			shift[g] = g.MaxError * (2*rng.Float64() - 1)
		}
		return v + shift[g] + g.Repeatability*rng.NormFloat64() + g.Resolution*(rng.Float64()-0.5)
	}
	list = append([]measure.Reading(nil), right...)
	for _, d := range []measure.Datum{measure.DatumEdgeBass, measure.DatumEdgeTreble} {
		for _, atNut := range []bool{true, false} {
			by := seatStd * rng.NormFloat64()
			for i := range list {
				lift(right, &list[i], d, atNut, by)
			}
		}
	}
	for i := range list {
		r := &list[i]
		form := 0.05 * rng.NormFloat64()
		wall := 0.03 / 0.05 * form
		switch r.Feature {
		case measure.Nut, measure.Fret:
			r.Station += form
		case measure.EdgeBass, measure.EdgeTreble:
			r.Offset += form
			last[r.Feature] = form
		case measure.HeelBass, measure.HeelTreble, measure.PocketBass, measure.PocketTreble:
			if r.Kind == measure.Offset {
				r.Offset += wall
			}
		case measure.HeelEnd, measure.PocketEnd:
			if r.Kind == measure.Station {
				r.Station += wall
			}
		case measure.FretTop, measure.PocketFloor, measure.Top:
			r.Size += form
		}
		if r.HasStation {
			r.Station = shown(r.StationGauge, r.Station)
		}
		if r.Kind >= measure.Width {
			r.Size = shown(r.Gauge, r.Size)
		} else if r.HasOffset {
			r.Offset = shown(r.Gauge, r.Offset)
		}
	}
	return list, last
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
