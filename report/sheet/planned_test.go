package sheet_test

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/fit/adjust"
	"neckfit/fit/simulate"
	"neckfit/measure"
	"neckfit/report/sheet"
)

var (
	study = flag.Bool("planned", false, "of -kits kits by each sheet a table of what was planned beside what they have and err by")
	first = flag.Uint64("first", 0, "the seed of the first of them")
)

// compared is what was planned of a value beside what kits of good parts turn out to have, expanded uncertainties both, and by how much these are off
// what simulate built.
type compared struct {
	way       string
	planned   fit.Planned
	u, errors []float64
	worst     bool // of many
}

// twoSigma is 1.96 root mean squares of the errors, or by Student's factor where the plan's U is of few degrees of freedom.
func (c *compared) twoSigma() float64 {
	square := 0.0
	for _, e := range c.errors {
		square += e * e / float64(len(c.errors))
	}
	k := fit.Coverage
	if c.planned.DOF > 0 {
		k = distuv.StudentsT{Sigma: 1, Nu: c.planned.DOF}.Quantile((1 + fit.Confidence) / 2)
	}
	return k * math.Sqrt(square)
}

// held is within which 95 % of all errors are.
func (c *compared) held() float64 {
	sizes := make([]float64, len(c.errors))
	for i, e := range c.errors {
		sizes[i] = math.Abs(e)
	}
	slices.Sort(sizes)
	return stat.Quantile(0.95, stat.LinInterp, sizes, nil)
}

// goodKit is a kit of parts as good as is claimed, read by a sheet.
func goodKit(way string, seed uint64) (*measure.Kit, simulate.Instrument, *simulate.Form) {
	rng := rand.New(rand.NewPCG(seed, 1001))
	in := faultless()
	off := func() simulate.Point {
		return simulate.Point{Station: 0.1 * rng.NormFloat64(), Offset: 0.1 * rng.NormFloat64()}
	}
	in.HeelScrewErrors, in.StringHoleErrors, in.BridgeHoleErrors = map[int]simulate.Point{}, map[int]float64{}, map[int]simulate.Point{}
	for k := 1; k <= 5; k++ {
		in.HeelScrewErrors[k], in.StringHoleErrors[k], in.BridgeHoleErrors[k] = off(), off().Offset, off()
	}
	for _, p := range []*simulate.Pose{&in.BodyPose, &in.NeckPose, &in.BridgePose} {
		*p = simulate.Pose{Zero: simulate.Point{Station: p.Zero.Station + 10*rng.Float64(), Offset: p.Zero.Offset + 10*rng.Float64()}, Turn: 2*rng.Float64() - 1}
	}
	in.EdgeZero -= 10 * rng.Float64()
	in.BridgeStation = in.Scale + 2 // a usual string's saddle stands there, and not at its front stop
	in.Pickup, in.PickupSpread, in.Joint, in.BodyThickness, in.NeckScrewLength = &simulate.Point{Station: 112}, 57, &simulate.Pose{}, 44.5, 45
	in.FerruleErrors = map[int]simulate.Point{1: off(), 2: off(), 3: off(), 4: off()}
	k := readBy(way, in, 1, drawer(false), seed)
	f := simulate.NewForm(rng, simulate.GoodParts())
	f.On(k.Readings)
	if way == "quick" { // which knows the bridge by two holes
		for mark := range 6 {
			by := off()
			for i := range k.Readings {
				if r := &k.Readings[i]; r.Feature == measure.BridgeScrew && r.Mark.Number == mark {
					r.Station += by.Station
					r.Offset += map[measure.Datum]float64{measure.DatumEdgeBass: by.Offset, measure.DatumEdgeTreble: -by.Offset}[r.Datum]
				}
			}
		}
	}
	return k, in, f
}

// compare reads kits by a sheet.
func compare(way string, kits int, from uint64) (list []*compared) {
	for seed := from; seed < from+uint64(kits); seed++ {
		k, in, f := goodKit(way, seed)
		o := fit.Options{Compensation: in.Compensation, Terse: true}
		if list == nil {
			for _, p := range fit.Plan(k.Readings, k.Info, o).Characteristics {
				list = append(list, &compared{way: way, planned: p})
			}
		}
		truth, r := builtAs(in, f, k.Readings), fit.Check(k, o)
		for i, c := range list {
			ch := &r.Characteristics[i]
			if !ch.Measured() {
				continue
			}
			value := ch.Value
			if ch.ID == fit.FretError || ch.ID == fit.FloorFlatness { // whichever place it is
				value = math.Abs(value)
			}
			want, known := truth[ch.ID.String()]
			if !known {
				want = math.NaN()
			}
			c.worst = ch.Among > 0
			c.u, c.errors = append(c.u, fit.Coverage*ch.StdUncertainty), append(c.errors, value-want)
		}
	}
	return slices.DeleteFunc(list, func(c *compared) bool { return len(c.u) == 0 })
}

// builtAs is what was built, by the names of characteristics, with the form of the very places that a value is of.
func builtAs(in simulate.Instrument, f *simulate.Form, rows []measure.Reading) map[string]float64 {
	at := func(feature measure.Feature, kind measure.Kind, last bool) float64 { // the form at the first or last of its places
		var end *measure.Reading
		for i := range rows {
			if r := &rows[i]; r.Feature == feature && r.Kind == kind && (end == nil || r.Station != end.Station && (r.Station > end.Station) == last) {
				end = r
			}
		}
		if end == nil {
			return 0
		}
		spot, _ := f.Spot(end)
		return f.By[spot]
	}
	truth, built := in.Truth().Named(), in.Truth()
	low, high := in.SaddleHeightReserve(2, 0.5)
	for name, of := range map[string]float64{
		"saddle-height-reserve-low": low, "saddle-height-reserve-high": high, "relief": in.Relief, "side-bow": 0, "heel-thickness": in.FretHeight,
		"nut-error": f.By[simulate.WholeNut], "heel-width-mouth": in.HeelMouth, "heel-width-end": in.HeelEnd,
		"margin-bass": -at(measure.EdgeBass, measure.Offset, true), "margin-treble": at(measure.EdgeTreble, measure.Offset, true),
		"margin-balance": -at(measure.EdgeBass, measure.Offset, true) - at(measure.EdgeTreble, measure.Offset, true),
	} {
		truth[name] += of
	}
	for _, end := range []string{"mouth", "end"} {
		last := end == "end"
		pocket, heel := at(measure.Pocket, measure.Width, last), at(measure.Heel, measure.Width, last)
		truth["pocket-width-"+end] += pocket
		truth["heel-width-"+end] += heel
		if slices.ContainsFunc(rows, func(r measure.Reading) bool { return r.Kind == measure.Gap }) {
			truth["pocket-gap-"+end] += at(measure.PocketBass, measure.Gap, last) + at(measure.PocketTreble, measure.Gap, last)
		} else {
			truth["pocket-gap-"+end] += pocket - heel
		}
	}
	if form := map[float64]float64{}; slices.ContainsFunc(rows, func(r measure.Reading) bool {
		spot, _ := f.Spot(&r)
		if r.Feature == measure.PocketEnd && r.Kind == measure.Gap {
			form[r.Offset] = f.By[spot]
		}
		return len(form) == 2
	}) {
		at := slices.Sorted(maps.Keys(form))
		truth["end-gap"] = max(built.EndGapBass+form[at[0]], built.EndGapTreble+form[at[1]])
	}
	truth["fret-error"] = farthest(f, rows, measure.Fret, func(r *measure.Reading) [2]float64 { return [2]float64{adjust.FretShare(r.Mark.Number)} })
	truth["floor-flatness"] = farthest(f, rows, measure.PocketFloor, func(r *measure.Reading) [2]float64 { return [2]float64{r.Station, r.Offset} })
	return truth
}

// farthest is the greatest size of what places of a feature leave the line or plane by that fits them best. They lie so about their middle that
// slopes along and across can be had one after the other.
func farthest(f *simulate.Form, rows []measure.Reading, feature measure.Feature, where func(*measure.Reading) [2]float64) (worst float64) {
	var x [2][]float64
	var z []float64
	seen := map[simulate.Spot]bool{}
	for i := range rows {
		if spot, _ := f.Spot(&rows[i]); rows[i].Feature == feature && !seen[spot] {
			at := where(&rows[i])
			seen[spot], z, x[0], x[1] = true, append(z, f.By[spot]), append(x[0], at[0]), append(x[1], at[1])
		}
	}
	for _, along := range x {
		if len(z) > 0 && stat.Variance(along, nil) > 0 {
			a, b := stat.LinearRegression(along, z, nil, false)
			for i := range z {
				z[i] -= a + b*along[i]
			}
		}
	}
	for _, left := range z {
		worst = max(worst, math.Abs(left))
	}
	return worst
}

// bounds are what ratios of planned U may be: to the middle U of 300 kits and to what they err by, and in the geometric mean of all values. Twenty runs of
// other kits (-first 1000 and so on) were within them by a hundredth.
type bounds struct{ found, erred, allFound, allErred [2]float64 }

// What is planned from a sheet's rows, for an instrument of usual sizes, is what half of the kits turn out to have whose parts are good, and what they
// err by: 1.96 root mean squares, or as many as Student's factor says, of a worst of many what 95 % of them are within. Its U is for all places together, and
// holds for parts that are not good too.
func TestPlannedIsFound(t *testing.T) {
	n := 300
	if *study {
		n = *kits
	}
	kinds := []bounds{
		{[2]float64{0.94, 1.02}, [2]float64{0.88, 1.18}, [2]float64{0.993, 1.003}, [2]float64{0.985, 1.015}}, // of gauges' claims
		{[2]float64{0.94, 1.075}, [2]float64{0.84, 1.23}, [2]float64{0.984, 1.014}, [2]float64{1.01, 1.07}},  // of fewer than 30 degrees of freedom
		{[2]float64{0.975, 1.012}, [2]float64{0.88, 2.21}, [2]float64{0.994, 1.002}, [2]float64{1.32, 1.52}}, // worst of many
	}
	sums, counts := make([][2]float64, len(kinds)), make([]float64, len(kinds))
	var table strings.Builder
	fmt.Fprintf(&table, "%d kits each\n%-34s%9s%9s%9s%9s%9s%9s\n", n, "U, mm or degrees", "planned", "found", "2 sigma", "95 % in", "/found", "/erred")
	for _, way := range sheet.Ways() {
		for _, c := range compare(way, n, *first) {
			u := fit.Coverage * c.planned.StdUncertainty
			kind, found, erred := 0, u/adjust.Median(c.u), u/c.twoSigma()
			switch {
			case c.worst:
				kind, erred = 2, u/c.held()
			case c.planned.DOF > 0 && c.planned.DOF < 30:
				kind = 1
			}
			fmt.Fprintf(&table, "%-6s %-27s%9.4f%9.4f%9.4f%9.4f%9.3f%9.3f\n", way, c.planned.ID, u, adjust.Median(c.u), c.twoSigma(), c.held(), found, erred)
			if b := kinds[kind]; found < b.found[0] || found > b.found[1] || erred < b.erred[0] || erred > b.erred[1] {
				t.Errorf("%s: %s planned %.4f, %.3f of what half of the kits have, %.3f of what they err by", way, c.planned.ID, u, found, erred)
			}
			sums[kind][0], sums[kind][1], counts[kind] = sums[kind][0]+math.Log(found), sums[kind][1]+math.Log(erred), counts[kind]+1
		}
	}
	for kind, b := range kinds {
		found, erred := math.Exp(sums[kind][0]/counts[kind]), math.Exp(sums[kind][1]/counts[kind])
		fmt.Fprintf(&table, "all %g of kind %d: %.3f of what is found, %.3f of the errors\n", counts[kind], kind, found, erred)
		if found < b.allFound[0] || found > b.allFound[1] || erred < b.allErred[0] || erred > b.allErred[1] || counts[kind] < 10 {
			t.Errorf("all %g of kind %d are planned %.3f of what half of the kits have, %.3f of what they err by", counts[kind], kind, found, erred)
		}
	}
	t.Log(table.String())
}

// So it is of a fanned board that kits.csv tells of, whose scales, nut and saddles slant.
func TestFannedIsPlanned(t *testing.T) {
	const read = 60
	in := faultless()
	in.Fan, in.StraightFret = 25.4, 7
	var planned []fit.Planned
	found := map[fit.ID][]float64{}
	for seed := range uint64(read) {
		k := readBy("loose", in, 1, drawer(false), seed)
		simulate.NewForm(rand.New(rand.NewPCG(seed, 1002)), simulate.GoodParts()).On(k.Readings)
		if planned == nil {
			planned = fit.Plan(k.Readings, k.Info, fit.Options{}).Characteristics
		}
		r := fit.Check(k, fit.Options{Terse: true})
		for i := range r.Characteristics {
			if c := &r.Characteristics[i]; c.Measured() {
				found[c.ID] = append(found[c.ID], c.StdUncertainty)
			}
		}
	}
	for _, id := range []fit.ID{fit.ScaleLength, fit.NutError, fit.FretError, fit.SaddleReserveFront, fit.SaddleReserveBack, fit.CentreLineError, fit.BridgeSkew, fit.MarginBass} {
		if ratio := planned[id].StdUncertainty / adjust.Median(found[id]); ratio < 0.88 || ratio > 1.12 {
			t.Errorf("%s is planned %.3f of what half of fanned kits have", id, ratio)
		}
	}
	if p := planned[fit.ScaleLength]; math.Abs(p.Lower+p.Upper-2*in.Scale) > 1e-9 {
		t.Errorf("a fanned scale is held against %g to %g", p.Lower, p.Upper)
	}
}

// Of a sheet of which rows were deleted the plan has an uncertainty of what it says will be measured, whatever half of the kits lack.
func TestPlanOfSomeRows(t *testing.T) {
	k, _ := kitBy("loose", 1, false, 0)
	rng, measured := rand.New(rand.NewPCG(5, 6)), 0
	for range 10 {
		keep := rng.Float64()
		some := slices.DeleteFunc(slices.Clone(k.Readings), func(measure.Reading) bool { return rng.Float64() > keep })
		for _, p := range fit.Plan(some, k.Info, fit.Options{}).Characteristics {
			if has := p.StdUncertainty > 0; has != p.Missing.None() {
				t.Errorf("%d rows: %s is planned %g and lacks %+v", len(some), p.ID, p.StdUncertainty, p.Missing)
			} else if has {
				measured++
			}
		}
	}
	if measured < 60 {
		t.Errorf("only %d uncertainties", measured)
	}
}
