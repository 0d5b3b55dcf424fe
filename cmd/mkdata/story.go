package main

import (
	"math"
	"math/rand/v2"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// plan is a way of taking the readings, such as simulate.LooseParts.
type plan func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading

// story is one kit of the delivery: what is wrong with it, and what a check must find.
type story struct {
	name string
	what string                                    // what is wrong, for the head of kits.csv
	part func(*simulate.Instrument)                // what the parts have; nil for nothing wrong
	plan plan                                      // nil for loose parts
	slip func([]measure.Reading) []measure.Reading // what the practitioner did wrong; nil for nothing
	left bool                                      // a left-handed kit

	// What a check must find, by which the batch is tested: all the characteristics that fail, that
	// are unsure and, of loose parts, that are not measured, in the order of the report.
	fail, unsure, missing []string

	// suspect says that a reading must be named as out of line. A true deviation of one place from
	// its form looks like one: no residual tells a bad fret from a bad reading of it. There the
	// reading that the report asks for again finds the same number once more.
	suspect bool
}

// stories are the kits in the order of the delivery. Each lets a report show one thing.
var stories = []story{
	{name: "SSB-01", what: "as ordered"},
	{name: "SSB-02", what: "as ordered"},
	{
		name: "SSB-03", what: "the bridge's holes lie 1.9 mm trebleward of the neck's centre line",
		part: func(in *simulate.Instrument) { in.CentreLineError = 1.9 },
		fail: []string{"centre-line-error", "margin-balance"},
	},
	{
		name: "SSB-04", what: "the bridge's holes are turned by 1 degree",
		part: func(in *simulate.Instrument) { in.BridgeSkew = 1 },
		fail: []string{"bridge-skew"},
	},
	{
		name: "SSB-05", what: "the pocket is narrower than the heel",
		part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth-0.25, in.HeelEnd-0.2 },
		fail: []string{"pocket-gap-mouth", "pocket-gap-end"},
	},
	{name: "SSB-06", what: "as ordered"},
	{name: "SSB-07", what: "as ordered"},
	{
		name: "SSB-08", what: "the pocket is 0.8 mm wider than the heel at its end and 1.5 mm at its mouth",
		part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+1.5, in.HeelEnd+0.8 },
		fail: []string{"pocket-gap-mouth", "pocket-gap-end"},
	},
	{
		name: "SSB-09", what: "the pocket's floor slopes by 1.5 degrees and has a hump",
		part: func(in *simulate.Instrument) { in.FloorPitch, in.FloorHump = -1.5, 0.4 },
		fail: []string{"saddle-height-reserve-low", "floor-flatness"}, suspect: true,
	},
	{
		name: "SSB-10", what: "the heel's corners are too sharp for the pocket's",
		part: func(in *simulate.Instrument) { in.HeelRadius = 3 },
		fail: []string{"corner-reserve"},
	},
	{
		name: "SSB-11", what: "the bridge lies too far tailward for its saddles",
		part: func(in *simulate.Instrument) { in.BridgeStation = 763.8 },
		fail: []string{"saddle-reserve-front"},
	},
	{name: "SSB-12", what: "as ordered"},
	{name: "SSB-13", what: "as ordered, left-handed", left: true},
	{
		name: "SSB-14", what: "the neck is a 32 in (812.8 mm) one",
		part: longNeck,
		fail: []string{"scale-length", "saddle-reserve-back"},
	},
	{
		name: "SSB-15", what: "the fingerboard is too narrow for the bridge's string spacing",
		part: func(in *simulate.Instrument) { in.LastFretWidth, in.BridgeSpread = 56.5, 62 },
		fail: []string{"margin-bass", "margin-treble"},
	},
	{
		name: "SSB-16", what: "fret 9 lies 0.4 mm off",
		part: func(in *simulate.Instrument) { in.FretErrors = map[int]float64{9: 0.4} },
		fail: []string{"fret-error"}, suspect: true,
	},
	{
		name: "SSB-17", what: "the neck bows sideways by 0.45 mm",
		part: func(in *simulate.Instrument) { in.SideBow = 0.45 },
		fail: []string{"side-bow"},
	},
	{
		name: "SSB-18", what: "the body's holes for bridge and strings were drilled freehand",
		part: func(in *simulate.Instrument) {
			in.BridgeHoleErrors = map[int]simulate.Point{1: {Station: 0.9, Offset: 0.8}, 2: {Station: -0.9}, 5: {Offset: -1.6}}
			in.StringHoleErrors = map[int]float64{2: 1.1, 3: -0.6}
		},
		fail:    []string{"bridge-hole-mismatch", "string-hole-pitch"},
		suspect: true, // a hole that far from its pattern may as well be misread
	},
	{
		name: "SSB-19", what: "two of the heel's screw holes miss the body's",
		part: func(in *simulate.Instrument) {
			in.HeelScrewErrors = map[int]simulate.Point{1: {Station: 0.6, Offset: 1.3}, 4: {Station: -0.9, Offset: 0.7}}
		},
		fail:    []string{"neck-screw-mismatch"},
		suspect: true, // likewise
	},
	{name: "SSB-20", what: "as ordered"},
	{
		name: "SSB-21", what: "the bridge's holes lie 1 mm bassward: right at the limit",
		part:   func(in *simulate.Instrument) { in.CentreLineError = -1 },
		unsure: []string{"centre-line-error", "margin-balance"},
	},
	{
		name: "SSB-22", what: "the pocket is 0.5 mm wider than the heel: right at the limit",
		part:   func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+0.5, in.HeelEnd+0.5 },
		unsure: []string{"pocket-gap-mouth", "pocket-gap-end"},
	},
	{
		name: "SSB-23", what: "as ordered, but its heel's end was not read",
		slip: func(readings []measure.Reading) []measure.Reading {
			return slices.DeleteFunc(readings, func(r measure.Reading) bool { return r.Feature == measure.HeelEnd })
		},
		missing: withoutSeat,
	},
	{name: "SSB-24", what: "as ordered, but two digits of an offset were swapped when it was written down", slip: withSwappedDigits,
		unsure: []string{"margin-balance", "side-bow"}, suspect: true},
	{name: "EC-01", what: "as ordered", plan: simulate.EdgeCheck},
	{
		name: "EC-02", what: "the bridge's holes lie 1.7 mm trebleward and are turned by 1 degree", plan: simulate.EdgeCheck,
		part: func(in *simulate.Instrument) { in.CentreLineError, in.BridgeSkew = 1.7, 1 },
		fail: []string{"centre-line-error", "bridge-skew", "margin-balance"},
	},
	{name: "DF-01", what: "as ordered", plan: simulate.DryFit},
	{
		name: "DF-02", what: "the bridge's holes lie 0.9 mm trebleward, and the neck was fitted askew in its clearance", plan: simulate.DryFit,
		part: func(in *simulate.Instrument) { in.CentreLineError, in.MouthShift, in.EndShift = 0.9, 0.1, -0.1 },
		fail: []string{"centre-line-error", "margin-balance"},
	},
}

// withoutSeat is what cannot be said of loose parts when nobody knows how far the neck goes in.
var withoutSeat = []string{
	"centre-line-error", "bridge-skew", "margin-bass", "margin-treble", "margin-balance",
	"saddle-reserve-front", "saddle-reserve-back", "end-gap", "heel-end-squareness", "neck-screw-mismatch",
	"fret-plane-height", "saddle-height-reserve-low", "saddle-height-reserve-high", "pitch", "roll",
}

// longNeck puts a 812.8 mm (32 in) neck on the short-scale body. The bridge stays as far from the
// pocket's end.
func longNeck(in *simulate.Instrument) {
	bridge := in.BridgeStation - in.HeelStation
	in.HeelStation += (812.8 - in.Scale) * (1 - 0.315) // where the last fret went: 2^(-20/12) is 0.315
	in.Scale = 812.8
	in.BridgeStation = in.HeelStation + bridge
}

// leastSlip is how far apart two swapped decimals must be: 0.09 mm for each step, so at least
// 0.54 mm, which is well above what the calliper's 0.03 mm could bring about.
const leastSlip = 6

// withSwappedDigits swaps the two decimals of one offset of a fingerboard edge, as a hurried typist
// does. It panics when no offset would show it.
func withSwappedDigits(readings []measure.Reading) []measure.Reading {
	for i := range readings {
		r := &readings[i]
		if r.Feature != measure.EdgeBass && r.Feature != measure.EdgeTreble {
			continue
		}
		hundredths := int(math.Round(r.Offset * 100))
		tenth, hundredth := hundredths/10%10, hundredths%10
		if max(tenth, hundredth)-min(tenth, hundredth) >= leastSlip {
			r.Offset = float64(hundredths/100) + float64(hundredth*10+tenth)/100
			r.Offset = math.Round(r.Offset*100) / 100 // to be written with two decimals
			return readings
		}
	}
	panic("mkdata: no offset whose swapped decimals would show; change the seed")
}
