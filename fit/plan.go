package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Planned is what readings that are still to be taken will tell of a characteristic.
type Planned struct {
	ID             ID
	Missing        Missing // what the sheet has no row for
	StdUncertainty float64 // mm or degrees
	DOF            float64 // its degrees of freedom; 0 for no end
	Common         float64 // of it, what the gauges' maximum errors bring
	Lower, Upper   float64 // an open end is an infinity
	Wanted         bool    // a kit without it is incomplete, see Result.Wanted
	TooCoarse      bool    // no value could pass
	Needed         float64 // the greatest StdUncertainty with which the best value passes; 0 where any will do
	Cure           Cure    // where TooCoarse and Cures was asked
}

// Cure is the least that makes a characteristic decidable: each place read so many Times as often, with the built-in calliper,
// or a vernier as fine, Instead of these gauges, of none where they may stay. Times is 0 where nothing of the kind does.
type Cure struct {
	Times          int
	Instead        []string
	StdUncertainty float64 // then
}

// Forecast is what a sheet's rows will tell.
type Forecast struct {
	Characteristics []Planned        // always all of them, in the order of Catalogue
	Gauges          []*measure.Gauge // of the rows
}

// Plan tells beforehand what U each characteristic will have, from the rows of a sheet and their gauges
// alone: the covariance needs no readings, only the places at which they are taken, for which those of an
// instrument of usual sizes will do. Rows have their datum, feature, mark, kind, gauges and trial; their
// numbers do not matter. Several rows of one line are taken as spread evenly along it, those of other trials at the same places.
func Plan(rows []measure.Reading, info measure.Info, o Options) Forecast {
	n := usual(rows, info)
	kit := &measure.Kit{Name: "plan", Info: info, Readings: n.readings(rows)}
	kit.Info.Strings, kit.Info.Scale = n.strings, cmp.Or(info.Scale, n.scale)
	o.Terse, o.Model = true, false
	var w Checker
	w.solved.scatter = adjust.AsExpected
	r := Result{Info: info}
	w.blank.fill(o.Limits)
	_ = w.adjust(&r, kit, o) // a nominal instrument settles
	list := make([]Planned, len(r.Characteristics))
	for i := range list {
		c := &r.Characteristics[i]
		list[i] = Planned{ID: c.ID, Missing: c.Missing, StdUncertainty: c.StdUncertainty, DOF: c.DOF, Common: c.Common, Lower: c.Lower, Upper: c.Upper, Wanted: r.Wanted(c)}
		if c.ID == ScaleLength && info.Scale == 0 { // about what kits.csv will say it is
			list[i].Lower, list[i].Upper = c.Lower-n.scale, c.Upper-n.scale
		}
		if !c.Missing.None() || c.Verdict == NotJudged {
			continue
		}
		list[i].TooCoarse = c.bestCase() < Confidence
		list[i].Needed = c.coarsest()
	}
	return Forecast{list, r.Gauges}
}

// Cures says of what a forecast is too coarse for what would do. It takes as many forecasts again as there are cures.
func (f *Forecast) Cures(rows []measure.Reading, info measure.Info, o Options) {
	for _, c := range cures(rows) {
		if !slices.ContainsFunc(f.Characteristics, func(p Planned) bool { return p.TooCoarse && p.Cure.Times == 0 }) {
			return
		}
		then := Plan(c.readings(rows), info, o).Characteristics
		for i := range f.Characteristics {
			if p := &f.Characteristics[i]; p.TooCoarse && p.Cure.Times == 0 && then[i].Missing.None() && !then[i].TooCoarse {
				p.Cure = Cure{c.Times, c.Instead, then[i].StdUncertainty}
			}
		}
	}
}

// cures are what to try, the least trouble first: once more, a calliper for one of the gauges that it is better than, for
// all of them but one, for all, and more repeats.
func cures(rows []measure.Reading) []Cure {
	calliper := &measure.BuiltInGauges()[0]
	var blunt []string
	for i := range rows {
		for _, g := range []*measure.Gauge{rows[i].Gauge, rows[i].StationGauge} {
			if g != nil && g.Kind != "feeler" && g.Variance() > 1.01*calliper.Variance() && !slices.Contains(blunt, g.ID) {
				blunt = append(blunt, g.ID)
			}
		}
	}
	list := []Cure{{Times: 2}}
	for i := range blunt {
		list = append(list, Cure{Times: 1, Instead: blunt[i : i+1]})
	}
	for i := range blunt {
		list = append(list, Cure{Times: 1, Instead: slices.Delete(slices.Clone(blunt), i, i+1)})
	}
	return append(list, Cure{1, blunt, 0}, Cure{Times: 3}, Cure{2, blunt, 0}, Cure{3, blunt, 0})
}

// readings are those of a sheet as the cure has them taken.
func (c *Cure) readings(rows []measure.Reading) (again []measure.Reading) {
	trials := 1
	for i := range rows {
		trials = max(trials, rows[i].Trial)
	}
	for k := range c.Times {
		for _, r := range rows {
			for _, g := range []**measure.Gauge{&r.Gauge, &r.StationGauge} {
				if *g != nil && slices.Contains(c.Instead, (*g).ID) {
					*g = &measure.BuiltInGauges()[0]
				}
			}
			r.Trial = max(1, r.Trial) + k*trials
			again = append(again, r)
		}
	}
	return again
}

// nominal is an instrument of usual sizes, in mm along and across the neck's centre line from the nut: common
// practice, no source. What matters of it is where readings are taken.
type nominal struct {
	strings, frets       int
	scale                float64
	nutHalf, taper       float64 // of the fingerboard: half its width at the nut, and what it gains a mm
	heelMouth, heelEnd   float64 // stations
	heelHalf             float64
	nutSpread, atSaddles float64 // of the outer strings
	neckHole             float64 // in the body, for the neck's screws, with room for these
	bridgeScrews         int     // in one row, the outer ones beyond the outer strings
}

// usual is a bass of up to five strings or a guitar, as kits.csv and the marks on the sheet tell.
func usual(rows []measure.Reading, info measure.Info) nominal {
	strings, frets, screws := info.Strings, info.Frets, 0
	for i := range rows {
		switch r := &rows[i]; {
		case r.Feature.Marks() == measure.MarkString && info.Strings == 0:
			strings = max(strings, r.Mark.Number)
		case r.Feature == measure.Fret && info.Frets == 0:
			frets = max(frets, r.Mark.Number)
		case r.Feature == measure.BridgeScrew || r.Feature == measure.PlateScrew:
			screws = max(screws, r.Mark.Number)
		}
	}
	n := nominal{strings: strings, frets: cmp.Or(frets, 21), scale: 863.6, nutHalf: 20.5, taper: 0.013, heelHalf: 31.75, nutSpread: 33, atSaddles: 57, bridgeScrews: max(screws, 2)}
	if strings > 5 {
		n.scale, n.nutHalf, n.heelHalf, n.nutSpread, n.atSaddles = 647.7, 21, 28, 35, 52.5
	}
	n.scale = cmp.Or(info.Scale, n.scale)
	n.neckHole = cmp.Or(info.NeckScrew, 4.5) + 0.7
	n.heelEnd = n.scale*adjust.FretShare(n.frets) + 8
	n.heelMouth = n.heelEnd - 70
	return n
}

// readings gives the rows the numbers that they would have.
func (n *nominal) readings(rows []measure.Reading) []measure.Reading {
	type line struct {
		datum   measure.Datum
		feature measure.Feature
		kind    measure.Kind
		mark    measure.Mark
	}
	type walk struct {
		line
		trial int
	}
	all, seen := map[line]int{}, map[walk]int{}
	for i := range rows {
		r := &rows[i]
		k := line{r.Datum, r.Feature, r.Kind, r.Mark}
		seen[walk{k, r.Trial}]++
		all[k] = max(all[k], seen[walk{k, r.Trial}])
	}
	clear(seen)
	list := make([]measure.Reading, len(rows))
	for i := range rows {
		r := rows[i]
		k := line{r.Datum, r.Feature, r.Kind, r.Mark}
		w := walk{k, r.Trial}
		at := 0.5
		if all[k] > 1 {
			at = float64(seen[w]) / float64(all[k]-1)
		}
		n.read(&r, at, seen[w], all[k])
		seen[w]++
		list[i] = r
	}
	return list
}

// read gives a reading its numbers: the k-th of so many of its line, a share of the way along it.
func (n *nominal) read(r *measure.Reading, share float64, k, of int) {
	x, y := n.where(r, share, k)
	r.Size = n.size(r, x)
	if r.Kind == measure.Distance {
		other := *r
		other.Mark = r.To
		x2, y2 := n.where(&other, share, k)
		r.Size = math.Hypot(x2-x, y2-y)
	}
	station, offset, _, _ := r.Feature.Needs(r.Kind)
	r.HasStation = station == measure.Required
	r.HasOffset = offset == measure.Required || offset == measure.Optional && (r.Datum.Edge() || r.Feature == measure.Nut && of > 1)
	r.Station, r.Offset = n.from(r.Datum, x, y)
	if r.Datum.Edge() && (r.Feature == measure.Nut || r.Feature == measure.Fret) {
		r.Offset = 0 // where it meets the straightedge
	}
}

// from is a place as read from a datum: from an edge's straightedge along it and inward.
func (n *nominal) from(d measure.Datum, x, y float64) (station, offset float64) {
	if !d.Edge() {
		return x, y
	}
	if d == measure.DatumEdgeTreble {
		y = -y
	}
	h := 1 / math.Hypot(1, n.taper) // the edge runs through (0, -nutHalf), outward by its taper
	return (x - n.taper*(y+n.nutHalf)) * h, (n.taper*x + y + n.nutHalf) * h
}

// sideOf is 1 for what lies on the treble side by its feature or mark, else -1.
func sideOf(r *measure.Reading) float64 {
	switch r.Feature {
	case measure.EdgeTreble, measure.HeelTreble, measure.PocketTreble:
		return 1
	}
	if r.Mark.Name == "treble" {
		return 1
	}
	return -1
}

// where is the place that is read.
func (n *nominal) where(r *measure.Reading, share float64, k int) (x, y float64) {
	m, side := r.Mark.Number, sideOf(r)
	alongHeel := n.heelMouth + (n.heelEnd-6-n.heelMouth)*share
	across := 2*share - 1
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.Fingerboard:
		x = n.scale * adjust.FretShare(n.frets) * share
		return x, side * (n.nutHalf + n.taper*x)
	case measure.HeelBass, measure.HeelTreble, measure.Heel, measure.PocketBass, measure.PocketTreble, measure.Pocket:
		return alongHeel, side * n.heelHalf
	case measure.PocketEnd:
		return n.heelEnd + 0.1*across, across * n.heelHalf * 0.7
	case measure.HeelEnd:
		return n.heelEnd, across * n.heelHalf * 0.7
	case measure.HeelCorner, measure.PocketCorner:
		sin, cos := math.Sincos(share * math.Pi / 2) // of a point on its arc
		return n.heelEnd - 5 + 5*cos, side * (n.heelHalf - 5 + 5*sin)
	case measure.Nut, measure.Fret:
		return n.scale * adjust.FretShare(m), across * n.nutHalf * 0.7
	case measure.NutSlot:
		return 0, n.string(m, n.nutSpread)
	case measure.Saddle, measure.SaddleLow, measure.SaddleHigh:
		return n.scale + 2, n.string(m, n.atSaddles)
	case measure.SaddleFront:
		return n.scale - 5, n.string(m, n.atSaddles)
	case measure.SaddleBack:
		return n.scale + 12, n.string(m, n.atSaddles)
	case measure.StringHole:
		return n.scale + 38, n.string(m, n.atSaddles) + misfit(m)
	case measure.Pickup:
		return 0.85 * n.scale, side * n.atSaddles / 2
	case measure.PlateHole, measure.Ferrule:
		return n.scale + 38, n.string(m, n.atSaddles)
	case measure.BridgeScrew:
		x, y = n.screw(m)
		return x, y + misfit(m)
	case measure.PlateScrew:
		return n.screw(m)
	case measure.NeckScrew:
		return n.heelEnd - 14 - 40*float64((m-1)/2%2) - 3*float64((m-1)/4), 19 - 38*float64((m-1)%2) + misfit(m)
	case measure.HeelScrew:
		return n.heelEnd - 14 - 40*float64((m-1)/2%2) - 3*float64((m-1)/4), 19 - 38*float64((m-1)%2)
	case measure.FretTop:
		return n.scale * adjust.FretShare(m), 15 - 30*float64(1-k%2)
	case measure.PocketFloor, measure.Top:
		return n.onPlane(r.Feature, k)
	}
	return n.heelMouth + (n.scale-n.heelMouth)*share, 0
}

// onPlane is the k-th place on the pocket's floor or the body's top: the corners, then places amid them.
func (n *nominal) onPlane(f measure.Feature, k int) (x, y float64) {
	x, y = n.heelMouth+10+50*float64(k/2%2), -20+40*float64(k%2)
	if k > 3 {
		x, y = n.heelMouth+35, float64(k-4)
	}
	if f == measure.Top {
		return x + 120*float64(k/2%2), 2 * y
	}
	return x, y
}

// misfit keeps patterns of holes from lying on each other exactly, where the worst distance has no slope, and
// holes from being equally bad.
func misfit(mark int) float64 {
	const most = 0.2 // mm
	return most / float64(mark)
}

// screw is where a screw of the bridge stands, 1 on the treble side.
func (n *nominal) screw(mark int) (x, y float64) {
	const beyond = 9.0 // the outer string, mm
	half := n.atSaddles/2 + beyond
	return n.scale + 30 + 2*float64(mark%2), half - 2*half*float64(mark-1)/float64(n.bridgeScrews-1)
}

// string is where a string runs, string 1 on the treble side.
func (n *nominal) string(mark int, spread float64) float64 {
	if n.strings < 2 {
		return 0
	}
	return spread/2 - spread*float64(mark-1)/float64(n.strings-1)
}

// size is a width, a gap, a diameter, a radius or a height.
func (n *nominal) size(r *measure.Reading, x float64) float64 {
	switch r.Kind {
	case measure.Gap:
		return 0.2
	case measure.Diameter:
		if r.Feature == measure.NeckScrew {
			return n.neckHole
		}
		return 4
	case measure.Radius:
		return 5
	case measure.Width:
		if r.Feature != measure.Fingerboard {
			return 2 * n.heelHalf
		}
		return 2 * (n.nutHalf + n.taper*x)
	}
	switch r.Feature {
	case measure.PocketFloor:
		return -16
	case measure.FretTop:
		return 26
	case measure.SaddleHigh:
		return 15
	case measure.SaddleLow:
		return 8
	}
	return 0
}
