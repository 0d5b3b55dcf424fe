package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// whereMeasured says which ways of working measure each characteristic with a practitioner's full
// sheet.
var whereMeasured = map[ID][]Way{
	CentreLineError: {LooseParts, DryFit, EdgeCheck}, BridgeSkew: {LooseParts, DryFit, EdgeCheck},
	MarginBass: {LooseParts, DryFit, EdgeCheck}, MarginTreble: {LooseParts, DryFit, EdgeCheck}, MarginBalance: {LooseParts, DryFit, EdgeCheck},
	ScaleLength: {LooseParts, DryFit, EdgeCheck}, FretError: {LooseParts, DryFit}, NutError: {LooseParts, DryFit},
	SaddleReserveFront: {LooseParts, DryFit, EdgeCheck}, SaddleReserveBack: {LooseParts, DryFit, EdgeCheck},
	PocketGapMouth: {LooseParts, DryFit, EdgeCheck}, PocketGapEnd: {LooseParts, DryFit, EdgeCheck}, EndGap: {LooseParts, DryFit},
	HeelEndSquareness: {LooseParts}, PocketEndSquareness: {LooseParts}, CornerReserve: {LooseParts},
	BridgeHoleMismatch: {LooseParts}, NeckScrewMismatch: {LooseParts}, StringHolePitch: {LooseParts, DryFit}, SideBow: {LooseParts, DryFit},
	FretPlaneHeight: {LooseParts, DryFit}, SaddleHeightReserveLow: {LooseParts, DryFit}, SaddleHeightReserveHigh: {LooseParts, DryFit},
	Pitch: {LooseParts, DryFit}, Roll: {LooseParts, DryFit}, FloorFlatness: {LooseParts},
	PocketWidthMouth: {LooseParts, DryFit, EdgeCheck}, PocketWidthEnd: {LooseParts, DryFit, EdgeCheck},
	HeelWidthMouth: {LooseParts, DryFit, EdgeCheck}, HeelWidthEnd: {LooseParts, DryFit, EdgeCheck},
	NeckScrewReach: {LooseParts}, PickupOffset: {LooseParts, DryFit}, Relief: {LooseParts, DryFit}, PlateHoleMismatch: {LooseParts}, FerruleMismatch: {LooseParts, DryFit},
	HeelSkew: {LooseParts}, HeelOffset: {LooseParts}, BridgeOffPocket: {LooseParts}, BridgeOffTurn: {LooseParts},
	PocketOffCentre: {LooseParts}, BridgeOffCentre: {LooseParts, DryFit},
	PocketDepth: {LooseParts}, HeelThickness: {LooseParts},
}

// heightTruths are what simulate builds of heights and forms, which truths has not.
func heightTruths(in simulate.Instrument, truth simulate.Truth) map[ID]float64 {
	low, high := in.SaddleHeightReserve(actionAt12, nutHeight)
	return map[ID]float64{
		SaddleHeightReserveLow: low, SaddleHeightReserveHigh: high, FretError: 0, NutError: 0, FloorFlatness: 0,
		SideBow: 0, Relief: in.Relief, PocketDepth: truth.PocketDepth,
		HeelThickness: in.FretHeight - math.Tan(in.FretPitch*math.Pi/180)*(in.MouthInset+in.EndInset)/2,
	}
}

// Every characteristic, by every way that measures it, gives back what simulate built; what a way does
// not measure says what it wants.
func TestEveryCharacteristicEveryWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 102))
	for id := range characteristics {
		if len(whereMeasured[id]) == 0 && id != IntonationError { // of other bridges, see TestSharedAndFixedSaddles
			t.Errorf("no way is said to measure %s", id)
		}
	}
	for range 10 {
		in := simulate.Random(rng)
		in.FretErrors, in.SideBow, in.FloorHump, in.FretRoll = nil, 0, 0, 0
		in.Joint = &simulate.Pose{Zero: simulate.Point{Offset: rng.NormFloat64()}, Turn: 0.2 * rng.NormFloat64()}
		in.Pickup, in.PickupSpread = &simulate.Point{Station: 90, Offset: rng.NormFloat64()}, 54
		in.BodyThickness, in.NeckScrewLength = 44.5, 45
		in.StringHoleShift = simulate.Point{Station: 0.3, Offset: 5 * rng.NormFloat64()}
		in.FerruleErrors = map[int]simulate.Point{1: {Station: 0.2, Offset: 1}, 2: {Offset: -1.7}, 3: {}, 4: {Station: 1}}
		for _, p := range plans {
			k := in.Kit("K", p.read(in, rng, simulate.Setup{Exact: true, Heights: true}))
			r, truth := Check(k, Options{Compensation: in.Compensation}), p.truth(in)
			want := heightTruths(in, truth)
			for name, v := range truth.Named() {
				id, ok := Named(name)
				if !ok {
					t.Fatalf("no characteristic %q", name)
				}
				want[id] = v
			}
			want[HeelWidthMouth], want[HeelWidthEnd] = heelAt(in, in.MouthInset), heelAt(in, in.EndInset)
			for id, ways := range whereMeasured {
				c := r.Find(id)
				measured := false
				for _, w := range ways {
					measured = measured || w == p.way
				}
				if c.Measured() != measured {
					t.Errorf("%s, %s: measured %v, wants %+v", p.name, id, c.Measured(), c.Missing)
				}
				if measured && math.Abs(c.Value-want[id]) > 0.011 { // heights are added plumb, gaps of an edge check a little apart
					t.Errorf("%s, %s: %.4f, built with %.4f", p.name, id, c.Value, want[id])
				}
			}
		}
	}
}

// An uncertainty is what the gauges do to the value: each of them, and each reading, is moved by itself and
// the kit checked anew. Their own errors together are StdUncertainty less Common; the common ones
// are Common; and each budget's lines are the largest of them.
func TestUncertaintyIsWhatGaugesDo(t *testing.T) {
	rng := rand.New(rand.NewPCG(103, 104))
	in := simulate.ShortScaleBass()
	in.CentreLineError, in.BridgeSkew = 0.4, 0.2
	in.FretPitch, in.FloorPitch, in.HeelEndAngle = 0.4, 0.1, 0.3
	noisy := simulate.DefaultSetup() // so that no two strings or holes are equally bad
	noisy.Heights = true
	for _, p := range plans {
		k := in.Kit("K", p.read(in, rng, noisy))
		var w Checker
		w.solved.scatter = adjust.AsClaimed // so that places scatter as is claimed
		base := w.Check(k, Options{Compensation: in.Compensation})
		own, common := effects(k, Options{Compensation: in.Compensation})
		for id := range characteristics {
			c := base.Find(id)
			if !c.Measured() || c.Budget == nil {
				continue
			}
			if got, want := c.Common, math.Sqrt(sumOf(common, id)); math.Abs(got-want) > 1e-3*want+1e-3 { // mm; the slopes of sides in which gauges shift are those at first sight
				t.Errorf("%s, %s: u_common %.6f, by moving the gauges %.6f", p.name, id, got, want)
			}
			if c.Among > 0 { // widened for what was picked: see the tests of that
				continue
			}
			if got, want := unwidened(c), math.Sqrt(sumOf(own, id)+sumOf(common, id)); math.Abs(got-want) > 2e-3*want+1e-4 {
				t.Errorf("%s, %s: u %.6f, by moving every reading %.6f", p.name, id, got, want)
			}
			share, last := 0.0, math.Inf(1)
			for _, line := range c.Budget {
				if line.Share > last+1e-8 { // equal but for rounding
					t.Errorf("%s, %s: the budget rises", p.name, id)
				}
				last, share = line.Share, share+line.Share
				if want := line.Std * line.Std / (unwidened(c) * unwidened(c)); math.Abs(line.Share-want) > 1e-9 {
					t.Errorf("%s, %s: a share of %g, should be %g", p.name, id, line.Share, want)
				}
			}
			if share > 1+1e-9 || share < 0.97 { // lines below a ten-thousandth are left out
				t.Errorf("%s, %s: the budget's shares add up to %g", p.name, id, share)
			}
		}
	}
}

// variances are what one error does to each characteristic, squared.
type variances [characteristics]float64

func sumOf(list []variances, id ID) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v[id]
	}
	return sum
}

// effects moves every number of every reading by itself, and every gauge's together.
func effects(k *measure.Kit, o Options) (own, common []variances) {
	const step = 1e-3 // mm
	gauges := map[*measure.Gauge]bool{}
	change := func(std float64, move func(r *measure.Reading, by float64)) variances {
		var v variances
		var side [2]*Result
		for i, by := range []float64{step, -step} {
			moved := *k
			moved.Readings = append([]measure.Reading(nil), k.Readings...)
			for j := range moved.Readings {
				move(&moved.Readings[j], by)
			}
			side[i] = Check(&moved, o)
		}
		for id := range characteristics {
			v[id] = (side[0].Find(id).Value - side[1].Find(id).Value) / (2 * step) * std
		}
		return v
	}
	squared := func(v variances) variances {
		for id := range v {
			v[id] *= v[id]
		}
		return v
	}
	forms := map[simulate.Spot]float64{} // of the places that frets, sides, widths and planes were read at
	for i := range k.Readings {
		if place, std := simulate.GoodParts().Spot(&k.Readings[i]); std > 0 {
			forms[place] = std
		}
	}
	local := localForms(k.Readings)
	for place, std := range forms {
		v := change(std, func(r *measure.Reading, by float64) {
			if at, _ := simulate.GoodParts().Spot(r); at == place {
				simulate.Leave(r, by)
			}
		})
		for id := range characteristics { // what it is wrong by is what it moves by beyond what is true there
			d := v[id] - local[id][place]*std
			v[id] = d * d
		}
		own = append(own, v)
	}
	v := change(simulate.GoodParts().Nut, func(r *measure.Reading, by float64) {
		if r.Feature == measure.Nut && !r.Datum.Edge() {
			simulate.Leave(r, by)
		}
	})
	v[NutError] = 0 // which is that
	own = append(own, squared(v))
	for i := range k.Readings {
		line := k.Readings[i].Place.Line
		for _, g := range []*measure.Gauge{k.Readings[i].Gauge, k.Readings[i].StationGauge} {
			gauges[g] = true
		}
		r := &k.Readings[i]
		if r.HasStation {
			std := math.Sqrt(r.StationGauge.Resolution*r.StationGauge.Resolution/12 + r.StationGauge.Repeatability*r.StationGauge.Repeatability)
			own = append(own, squared(change(std, func(r *measure.Reading, by float64) {
				if r.Place.Line == line {
					r.Station += by
				}
			})))
		}
		std := math.Sqrt(r.Gauge.Resolution*r.Gauge.Resolution/12 + r.Gauge.Repeatability*r.Gauge.Repeatability)
		own = append(own, squared(change(std, func(r *measure.Reading, by float64) {
			if r.Place.Line == line {
				shown(r, by)
			}
		})))
	}
	for _, d := range []measure.Datum{measure.DatumEdgeBass, measure.DatumEdgeTreble} {
		for _, atNut := range []bool{true, false} {
			own = append(own, squared(change(seatStd, func(r *measure.Reading, by float64) { lift(k.Readings, r, d, atNut, by) })))
		}
	}
	for g := range gauges {
		common = append(common, squared(change(g.MaxError/math.Sqrt(3), func(r *measure.Reading, by float64) {
			if r.StationGauge == g && r.HasStation {
				r.Station += by
			}
			if r.Gauge == g {
				shown(r, by)
			}
		})))
	}
	return own, common
}

// seatStd is how far a straightedge stands off its edge where it touches: 0.05 mm of seating and 0.05 of the edge.
var seatStd = math.Hypot(0.05, 0.05)

// lift takes a straightedge off its edge at the nut or at the last fret: what is read from it turns about the other.
func lift(all []measure.Reading, r *measure.Reading, d measure.Datum, atNut bool, by float64) {
	if r.Datum != d || r.Feature == measure.Nut || r.Feature == measure.Fret || !r.HasOffset {
		return
	}
	nut, last := math.Inf(1), math.Inf(-1)
	for _, f := range all {
		if f.Datum == d && (f.Feature == measure.Nut || f.Feature == measure.Fret) {
			nut, last = math.Min(nut, f.Station), math.Max(last, f.Station)
		}
	}
	share, turn := (r.Station-nut)/(last-nut), -by/(last-nut)
	if atNut {
		share, turn = 1-share, -turn
	}
	r.Station += turn * r.Offset // read out from it squarely
	r.Offset += share * by
}

// shown moves what the reading's gauge showed, and not where it was read.
func shown(r *measure.Reading, by float64) {
	switch r.Kind {
	case measure.Width, measure.Gap, measure.Diameter, measure.Radius, measure.Distance, measure.Height:
		r.Size += by
	default:
		if r.HasOffset {
			r.Offset += by
		}
	}
}

// The limits that README promises, with their classes.
func TestBuiltInLimits(t *testing.T) {
	type limit struct {
		class        measure.Class
		lower, upper float64
	}
	want := map[ID]limit{
		CentreLineError: {measure.Critical, -1, 1}, BridgeSkew: {measure.Major, -0.8, 0.8},
		MarginBass: {measure.Major, 2.5, inf}, MarginTreble: {measure.Major, 2.5, inf}, MarginBalance: {measure.Major, -1.4, 1.4},
		FretError: {measure.Minor, -0.15, 0.15}, NutError: {measure.Minor, -1, 1}, SaddleReserveFront: {measure.Critical, 1, inf}, SaddleReserveBack: {measure.Critical, 1, inf},
		PocketGapMouth: {measure.Major, 0.05, 0.5}, PocketGapEnd: {measure.Major, 0.05, 0.5}, CornerReserve: {measure.Major, 0, inf},
		BridgeHoleMismatch: {measure.Major, -inf, 0.5}, NeckScrewMismatch: {measure.Major, -inf, 0.5}, StringHolePitch: {measure.Minor, -inf, 0.5},
		PlateHoleMismatch: {measure.Major, -inf, 1}, NeckScrewReach: {measure.Major, 8, inf}, PickupOffset: {measure.Minor, -1.5, 1.5}, FerruleMismatch: {measure.Minor, -inf, 1.5},
		EndGap: {measure.Major, -inf, 1}, SideBow: {measure.Minor, -0.3, 0.3}, Roll: {measure.Minor, -0.5, 0.5}, FloorFlatness: {measure.Minor, -0.15, 0.15},
		SaddleHeightReserveLow: {measure.Major, 0.5, inf}, SaddleHeightReserveHigh: {measure.Major, 0.5, inf},
	}
	for _, l := range BuiltInLimits() {
		id, _ := Named(l.Characteristic)
		if got := (limit{l.Class, l.Lower, l.Upper}); got != want[id] {
			t.Errorf("%s: %+v, README says %+v", id, got, want[id])
		}
		delete(want, id)
	}
	if len(want) > 0 {
		t.Errorf("no limits for %v", want)
	}
	for name, d := range Characteristics() {
		angle := map[string]bool{"bridge-skew": true, "heel-end-squareness": true, "pocket-end-squareness": true, "pitch": true, "roll": true,
			"heel-skew": true, "bridge-turn": true}[name]
		if (d == measure.Angle) != angle {
			t.Errorf("%s has dimension %v", name, d)
		}
	}
}

// Limits that a kit sets: its scale 1 mm either way, and half of what the tightest hole is wider than the
// screw; but the user's stand.
func TestLimitsOfTheKit(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	k.Info.Scale, k.Info.NeckScrew = in.Scale-0.4, in.NeckScrewSize-0.5
	r := Check(k, Options{})
	if c := r.Find(ScaleLength); c.Lower != in.Scale-1.4 || c.Upper != in.Scale+0.6 || c.Class != measure.Critical {
		t.Errorf("scale-length: %+v", c)
	}
	if c := r.Find(NeckScrewMismatch); math.Abs(c.Upper-0.25) > 1e-9 || !math.IsInf(c.Lower, -1) {
		t.Errorf("neck-screw-mismatch: %+v", c)
	}
	user := []measure.Limit{
		{Characteristic: "scale-length", Lower: 700, Upper: 800}, {Characteristic: "neck-screw-mismatch", Lower: math.Inf(-1), Upper: 2},
		{Characteristic: "fret-plane-height", Lower: 1, Upper: 2, Class: measure.Critical, Source: "mine"},
	}
	r = Check(k, Options{Limits: user})
	for i, l := range user {
		id, _ := Named(l.Characteristic)
		if c := r.Find(id); c.Lower != l.Lower || c.Upper != l.Upper || c.LimitSource.Origin != LimitTable || i == 2 && c.Class != measure.Critical {
			t.Errorf("%s: %+v, limits.csv says %+v", id, c, l)
		}
	}
	k.Info.NeckScrew = in.NeckScrewSize + 1 // a screw that does not go through has no clearance
	if c := Check(k, Options{}).Find(NeckScrewMismatch); c.Upper != 0 {
		t.Errorf("a screw larger than its hole leaves %g", c.Upper)
	}
}

// Compensation is the preset rule, strings.csv's number, or worked out from the string, in that order of
// increasing right.
func TestWhoseCompensation(t *testing.T) {
	preset := map[int][]float64{4: {0, 1.65, 3.68, 6.35}, 5: {0, 1.65, 3.68, 6.35, 9.7}, 6: {0, 0.33, 0.76, 0.33, 1.24, 2.4}}
	for strings, want := range preset {
		for i, mm := range want {
			if got := (Options{}).compensation(strings, i+1, 762, 2); got != mm {
				t.Errorf("string %d of %d: %g mm, the preset rule says %g", i+1, strings, got, mm)
			}
		}
	}
	spec := measure.StringSpec{UnitWeight: 5, Pitch: 41.2, Core: 0.5}
	o := Options{Specs: map[int]measure.StringSpec{1: spec}}
	if got := o.compensation(4, 1, 762, 2); got != Compensation(spec, 762, 2) {
		t.Errorf("%g, worked out %g", got, Compensation(spec, 762, 2))
	}
	o.Compensation = measure.Strings{1: 1.25}
	if got := o.compensation(4, 1, 762, 2); got != 1.25 {
		t.Errorf("%g, strings.csv says 1.25", got)
	}
}

// A kit of which kits.csv tells more strings than were read lacks those, or is told wrong: no more readings of the plate help.
func TestMoreStringsThanWereRead(t *testing.T) {
	in := simulate.ShortScaleBass()
	for _, read := range []func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{simulate.LooseParts, simulate.DryFit} {
		k := in.Kit("K", read(in, nil, simulate.Setup{Exact: true}))
		k.Info.Strings = 6
		if got := Check(k, Options{}).Find(CentreLineError).Missing; got.Want != WantAllStrings || got.Marks != (Marks{1<<5 | 1<<6}) {
			t.Errorf("%+v", got)
		}
	}
}

// A least or a worst is the kit's only if every string, hole or side was read that the kit is known to
// have: without one of them it is not measured, and the one is named.
func TestExtremesWantEveryOne(t *testing.T) {
	in := simulate.ShortScaleBass()
	all := simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})
	for _, c := range []struct {
		without measure.Feature
		mark    int
		side    string
		id      ID
		want    Missing
	}{
		{measure.SaddleFront, 2, "", SaddleReserveFront, Missing{Want: WantSaddleStops, Feature: measure.SaddleFront, Marks: Marks{1 << 2}}},
		{measure.SaddleBack, 4, "", SaddleReserveBack, Missing{Want: WantSaddleStops, Feature: measure.SaddleBack, Marks: Marks{1 << 4}}},
		{measure.SaddleLow, 3, "", SaddleHeightReserveLow, Missing{Want: WantSaddleHeights, Feature: measure.SaddleLow, Marks: Marks{1 << 3}}},
		{measure.SaddleHigh, 1, "", SaddleHeightReserveHigh, Missing{Want: WantSaddleHeights, Feature: measure.SaddleHigh, Marks: Marks{1 << 1}}},
		{measure.BridgeScrew, 2, "", BridgeHoleMismatch, Missing{Want: WantPlateHoles, Marks: Marks{1 << 2}}},
		{measure.PlateScrew, 3, "", BridgeHoleMismatch, Missing{Want: WantPlateHoles, Marks: Marks{1 << 3}}},
		{measure.NeckScrew, 4, "", NeckScrewMismatch, Missing{Want: WantNeckHoles, Marks: Marks{1 << 4}}},
		{measure.HeelScrew, 1, "", NeckScrewMismatch, Missing{Want: WantNeckHoles, Marks: Marks{1 << 1}}},
		{measure.StringHole, 2, "", StringHolePitch, Missing{Want: WantStringHoles, Marks: Marks{1 << 2}}},
		{measure.HeelCorner, 0, "treble", CornerReserve, Missing{Want: WantCorners, Marks: Marks{1 << 2}}},
		{measure.HeelEnd, 0, "", NeckScrewMismatch, Missing{Want: WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}},
	} {
		k := in.Kit("K", nil)
		for _, r := range all {
			if r.Feature != c.without || r.Mark.Number != c.mark || r.Mark.Name != c.side {
				k.Readings = append(k.Readings, r)
			}
		}
		got := Check(k, Options{Compensation: in.Compensation}).Find(c.id)
		if got.Measured() || got.Missing != c.want {
			t.Errorf("without %s %d%s: %s is %v, wants %+v, should want %+v", c.without, c.mark, c.side, c.id, got.Value, got.Missing, c.want)
		}
	}
	if got := (Marks{1<<1 | 1<<63, 1 << 3}).List(); len(got) != 3 || got[0] != 1 || got[1] != 63 || got[2] != 67 {
		t.Errorf("marks %v", got)
	}
}

// A saddle in the midst of its travel and the front stop of another that was not read are no row: the skew
// would be the saddles' and not the bridge's.
func TestAMissingSaddleIsNotItsFrontStop(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BridgeSkew = 0.06
	k := in.Kit("K", simulate.DryFit(in, nil, simulate.Setup{Exact: true}))
	for i := range k.Readings {
		if r := &k.Readings[i]; r.Feature == measure.Saddle {
			r.Station += 8 // wound back
		}
	}
	whole := Check(k, Options{Compensation: in.Compensation}).Find(BridgeSkew)
	if !whole.Measured() || math.Abs(whole.Value-in.BridgeSkew) > 1e-6 {
		t.Fatalf("with all saddles the skew is %v, built with %v", whole.Value, in.BridgeSkew)
	}
	rest := k.Readings[:0]
	for _, r := range k.Readings {
		if r.Feature == measure.Saddle && r.Mark.Number == 4 {
			r.Kind, r.HasStation = measure.Offset, false // its station was forgotten
		}
		rest = append(rest, r)
	}
	k.Readings = rest
	if c := Check(k, Options{Compensation: in.Compensation}).Find(BridgeSkew); c.Measured() && math.Abs(c.Value-in.BridgeSkew) > 4*c.StdUncertainty+0.05 {
		t.Errorf("without saddle 4 the skew is %v on %+v, built with %v", c.Value, c.Basis, in.BridgeSkew)
	}
}

// A limit of limits.csv holds whatever the kit itself would set: the scale that kits.csv states, the clearance of its screws, the
// wood of its heel, cents of a string.
func TestAUserLimitAlwaysHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	in := everything(rng, 2, LooseParts) // saddles in pairs
	k := in.Kit("K", simulate.LooseParts(in, rng, simulate.Setup{Exact: true, Heights: true}))
	var limits []measure.Limit
	for id := range characteristics {
		limits = append(limits, measure.Limit{Characteristic: id.String(), Lower: -1000 - float64(id), Upper: 1000 + float64(id), Class: measure.Major, Source: "mine"})
	}
	measured := 0
	for _, c := range Check(k, Options{Limits: limits}).Characteristics {
		if c.Measured() {
			measured++
		}
		if n := 1000 + float64(c.ID); c.Lower != -n || c.Upper != n || c.Class != measure.Major || c.LimitSource.Text != "mine" || c.Measured() && c.Verdict != Pass {
			t.Errorf("%s is held against %v to %v from %+v, %s: %s", c.ID, c.Lower, c.Upper, c.LimitSource, c.Class, c.Verdict)
		}
	}
	if measured < int(characteristics)-2 {
		t.Errorf("%d of %d measured", measured, characteristics)
	}
}
