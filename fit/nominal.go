package fit

import (
	"cmp"
	"math"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// nominal is an instrument of usual sizes, in mm along and across the neck's centre line from the nut: common
// practice, no source. What matters of it is where readings are taken.
type nominal struct {
	strings, frets       int
	scale                float64
	nutHalf, taper       float64 // of the fingerboard: half its width at the nut, and what it gains a mm
	heelMouth, heelEnd   float64 // stations
	heelHalf             float64
	nutSpread, atSaddles float64 // of the outer strings
	fan                  survey.Fan
	neckHole             float64 // in the body, for the neck's screws, with room for these
	bridgeScrews         int     // in one row, the outer ones beyond the outer strings

	// misfit keeps patterns of holes from lying on each other exactly, where the worst distance has no slope, and holes from being equally bad: it is
	// what the first is off, in mm.
	misfit float64
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
	n := nominal{strings: strings, frets: cmp.Or(frets, 21), scale: 863.6, nutHalf: 20.5, taper: 0.013, heelHalf: 31.75, nutSpread: 33, atSaddles: 57, bridgeScrews: max(screws, 2), misfit: 0.2}
	if strings > 5 {
		n.scale, n.nutHalf, n.heelHalf, n.nutSpread, n.atSaddles = 647.7, 21, 28, 35, 52.5
	}
	n.scale, n.nutSpread, n.fan = cmp.Or(info.Scale, (info.ScaleBass+info.ScaleTreble)/2, n.scale), cmp.Or(info.NutSpread, n.nutSpread), survey.FanOf(&info)
	n.neckHole = cmp.Or(info.NeckScrew, 4.5) + 0.7
	n.heelEnd = n.scale*adjust.FretShare(n.frets) + 8
	n.heelMouth = n.heelEnd - 76
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
	meets := r.Datum.Edge() && (r.Feature == measure.Nut || r.Feature == measure.Fret)
	switch { // the straightedge, as far across as the board is wide
	case meets && r.Datum == measure.DatumEdgeBass:
		share = -0.25
	case meets:
		share = 1.25
	}
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
	r.HasOffset = offset == measure.Required || offset == measure.Optional && (r.Datum.Edge() || of > 1 && (r.Feature == measure.Nut || n.fan.Difference != 0))
	r.Station, r.Offset = n.from(r.Datum, x, y)
	if meets {
		r.Offset = 0
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
	alongHeel := n.heelMouth + 4 + (n.heelEnd-10-n.heelMouth-4)*share
	across := 2*share - 1
	switch r.Feature {
	case measure.EdgeBass, measure.EdgeTreble, measure.Fingerboard:
		x = n.scale * adjust.FretShare(n.frets) * share
		return x, side * (n.nutHalf + n.taper*x)
	case measure.HeelBass, measure.HeelTreble, measure.Heel, measure.PocketBass, measure.PocketTreble, measure.Pocket:
		return alongHeel, side * n.heelHalf
	case measure.PocketEnd:
		return n.heelEnd + 0.1*across, across * n.heelHalf * 2 / 3
	case measure.HeelEnd:
		return n.heelEnd, across * n.heelHalf * 2 / 3
	case measure.HeelCorner, measure.PocketCorner:
		sin, cos := math.Sincos(share * math.Pi / 2) // of a point on its arc
		return n.heelEnd - 5 + 5*cos, side * (n.heelHalf - 5 + 5*sin)
	case measure.Nut, measure.Fret:
		return n.onString(adjust.FretShare(m), 0, across*n.nutHalf*2/3)
	case measure.NutSlot:
		return n.onString(0, 0, n.string(m, n.nutSpread))
	case measure.Saddle, measure.SaddleLow, measure.SaddleHigh:
		return n.onString(1, 2, n.string(m, n.atSaddles))
	case measure.SaddleFront:
		return n.onString(1, -5, n.string(m, n.atSaddles))
	case measure.SaddleBack:
		return n.onString(1, 12, n.string(m, n.atSaddles))
	case measure.StringHole:
		return n.scale + 38, n.string(m, n.atSaddles) + n.misfit/float64(m)
	case measure.Pickup:
		return 0.85 * n.scale, side * n.atSaddles / 2
	case measure.PlateHole, measure.Ferrule:
		return n.scale + 38, n.string(m, n.atSaddles)
	case measure.BridgeScrew:
		x, y = n.screw(m)
		return x, y + n.misfit/float64(m)
	case measure.PlateScrew:
		return n.screw(m)
	case measure.NeckScrew:
		x, y = n.heelHole(m)
		return x, y + n.misfit/float64(m)
	case measure.HeelScrew:
		return n.heelHole(m)
	case measure.FretTop:
		return n.scale * adjust.FretShare(m), 15 - 30*float64(1-k%2)
	case measure.PocketFloor, measure.Top:
		return n.onPlane(r.Feature, k)
	}
	return n.heelEnd + 40 + (n.scale-n.heelEnd)*share, 0 // of the body's centre, from behind the pocket to the tail
}

// onPlane is the k-th place on the pocket's floor or the body's top: the corners, then places amid them.
func (n *nominal) onPlane(f measure.Feature, k int) (x, y float64) {
	x, y = n.heelMouth+5+60*float64(k/2%2), -20+40*float64(k%2)
	if k > 3 {
		x, y = n.heelMouth+35, float64(k-4)
	}
	if f == measure.Top { // beside the mouth and behind the end
		return x + 32*float64(k/2%2), 2 * y
	}
	return x, y
}

// screw is where a screw of the bridge stands, 1 on the treble side.
func (n *nominal) screw(mark int) (x, y float64) {
	const beyond = 9.0 // the outer string, mm
	half := n.atSaddles/2 + beyond
	switch along := float64(mark-1)/float64(n.bridgeScrews-1) - 0.5; {
	case n.bridgeScrews != 5:
		return n.scale + 30 + 2*float64(mark%2), -2 * half * along
	case mark%5 < 2:
		return n.scale + 4, -2 * half * along
	default:
		return n.scale + 31, -2.8 * half * along
	}
}

// heelHole is where a neck screw goes into the heel: four of them 51 mm apart along the neck and 38 mm across, others beside.
func (n *nominal) heelHole(mark int) (x, y float64) {
	return n.heelEnd - 12.5 - 51*float64((mark-1)/2%2) - 3*float64((mark-1)/4), 19 - 38*float64((mark-1)%2)
}

// onString is a place a share of the scale from the nut and so much farther, as a string's own scale has it that lies across there.
func (n *nominal) onString(share, farther, y float64) (float64, float64) {
	return n.scale*share + farther + n.fan.Lead(share, y/(n.nutSpread+(n.atSaddles-n.nutSpread)*share)), y
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
