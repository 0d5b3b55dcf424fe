package main

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// seed makes the batch the same at every run.
const seed = 762

// fault is what is wrong with one kit of the delivery; a zero field changes nothing.
type fault struct {
	part    func(*simulate.Instrument)                // what the parts have
	reading func([]measure.Reading) []measure.Reading // what the practitioner did
	left    bool                                      // a left-handed kit
}

// faults are those of kits SSB-01 to SSB-24, each of which lets a report show one thing.
var faults = [24]fault{
	3 - 1:  {part: func(in *simulate.Instrument) { in.CentreLineError = 1.9 }},
	4 - 1:  {part: func(in *simulate.Instrument) { in.BridgeSkew = 0.7 }},
	5 - 1:  {part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth-0.25, in.HeelEnd-0.2 }},
	7 - 1:  {part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+1.4, in.HeelEnd+1.4 }},
	8 - 1:  {part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+0.2 }},
	9 - 1:  {part: func(in *simulate.Instrument) { in.FloorPitch, in.FloorHump = -1, 0.4 }},
	10 - 1: {part: func(in *simulate.Instrument) { in.HeelRadius = 3 }},
	11 - 1: {part: func(in *simulate.Instrument) { in.BridgeStation = 763.8 }},
	12 - 1: {part: func(in *simulate.Instrument) { in.BridgeStation = 750 }},
	13 - 1: {left: true},
	14 - 1: {part: longNeck},
	15 - 1: {part: func(in *simulate.Instrument) { in.LastFretWidth, in.BridgeSpread = 56.5, 62 }},
	16 - 1: {part: func(in *simulate.Instrument) { in.FretErrors = map[int]float64{9: 0.7} }},
	17 - 1: {part: func(in *simulate.Instrument) { in.SideBow = 0.7 }},
	18 - 1: {part: func(in *simulate.Instrument) {
		in.BridgeHoleErrors = map[int]simulate.Point{1: {Station: 0.9, Offset: 0.8}, 2: {Station: -0.9}, 5: {Offset: -1.6}}
	}},
	19 - 1: {part: func(in *simulate.Instrument) {
		in.HeelScrewErrors = map[int]simulate.Point{1: {Station: 0.6, Offset: 1.3}, 4: {Station: -0.9, Offset: 0.7}}
	}},
	20 - 1: {part: func(in *simulate.Instrument) { in.StringHoleErrors = map[int]float64{2: 1.1, 3: -0.6} }},
	21 - 1: {part: func(in *simulate.Instrument) { in.CentreLineError = -1 }},
	22 - 1: {part: func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = in.HeelMouth+0.5, in.HeelEnd+0.5 }},
	23 - 1: {reading: withoutHeelEnd},
	24 - 1: {reading: withSwappedDigits},
}

// longNeck is a 812.8 mm (32 in) neck on the short-scale body. Its bridge stays as far from the
// pocket's end.
func longNeck(in *simulate.Instrument) {
	bridge := in.BridgeStation - in.HeelStation
	in.HeelStation += (812.8 - in.Scale) * (1 - 0.315) // where the last fret went: 2^(-20/12) is 0.315
	in.Scale = 812.8
	in.BridgeStation = in.HeelStation + bridge
}

func withoutHeelEnd(readings []measure.Reading) []measure.Reading {
	return slices.DeleteFunc(readings, func(r measure.Reading) bool { return r.Feature == measure.HeelEnd })
}

// delivery is all the kits with their readings.
func delivery() []*measure.Kit {
	rng := rand.New(rand.NewPCG(seed, 0))
	var kits []*measure.Kit
	for i, f := range faults {
		in := ordinary(rng)
		if f.part != nil {
			f.part(&in)
		}
		readings := simulate.LooseParts(in, rng, setup())
		if f.reading != nil {
			readings = f.reading(readings)
		}
		kit := labelled(in, fmt.Sprintf("SSB-%02d", i+1), readings)
		kit.Info.Lot = []string{"first", "second"}[i/12]
		kit.Info.LeftHanded = f.left
		kits = append(kits, kit)
	}
	return append(kits, assembled(rng)...)
}

// assembled are the kits that were read with the neck in the pocket.
func assembled(rng *rand.Rand) []*measure.Kit {
	var kits []*measure.Kit
	for _, k := range []struct {
		name                   string
		plan                   func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading
		miss, skew, mouth, end float64
	}{
		{name: "EC-01", plan: simulate.EdgeCheck},
		{name: "EC-02", plan: simulate.EdgeCheck, miss: 1.7, skew: 0.6},
		{name: "DF-01", plan: simulate.DryFit},
		{name: "DF-02", plan: simulate.DryFit, miss: 0.9, mouth: 0.1, end: -0.1},
	} {
		in := ordinary(rng)
		in.CentreLineError += k.miss
		in.BridgeSkew += k.skew
		in.MouthShift, in.EndShift = k.mouth, k.end
		kit := labelled(in, k.name, k.plan(in, rng, setup()))
		kit.Info.Lot = "assembled"
		kits = append(kits, kit)
	}
	return kits
}

// ordinary is a kit as the suppliers' processes make it when nothing goes wrong.
func ordinary(rng *rand.Rand) simulate.Instrument {
	in := simulate.ShortScaleBass()
	normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
	heel, clearance := normal(0.06), 0.27
	in.HeelMouth, in.HeelEnd = in.HeelMouth+heel, in.HeelEnd+heel+normal(0.02)
	in.PocketMouth, in.PocketEnd = in.HeelMouth+clearance+normal(0.03), in.HeelEnd+clearance+normal(0.03)
	in.HeelStation += normal(0.1)
	in.HeelSideways, in.HeelHeading = normal(0.03), normal(0.01)
	in.HeelEndAngle, in.PocketEndAngle = normal(0.03), normal(0.03)
	in.Scale += normal(0.05)
	in.CentreLineError, in.BridgeSkew = normal(0.1), normal(0.03)
	in.BridgeStation += normal(0.3)
	in.PocketDepth, in.FretHeight = in.PocketDepth+normal(0.1), in.FretHeight+normal(0.1)
	in.FloorPitch, in.FloorRoll = normal(0.05), normal(0.05)
	for _, p := range []*simulate.Pose{&in.BodyPose, &in.NeckPose, &in.BridgePose} {
		p.Turn = normal(0.2)
		p.Zero.Station += normal(3)
		p.Zero.Offset += normal(3)
	}
	return in
}

// labelled is what the workshop writes of a kit. The scale is what was ordered.
func labelled(in simulate.Instrument, name string, readings []measure.Reading) *measure.Kit {
	for i := range readings {
		tidy(&readings[i])
	}
	kit := in.Kit(name, readings)
	kit.Info.Scale = simulate.ShortScaleBass().Scale
	kit.Info.Supplier = "bodies A, necks B"
	kit.Info.Wood = "alder"
	return kit
}

// tidy leaves the cell of a gauge blank that read nothing.
func tidy(r *measure.Reading) {
	if !r.HasStation {
		r.StationGauge = nil
	}
	if r.Kind == measure.Station && !r.HasOffset {
		r.Gauge = nil
	}
}
