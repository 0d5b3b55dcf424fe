package simulate

import (
	"math"
	"math/rand/v2"

	"neckfit/measure"
)

// ShortScaleBass is a short-scale four-string bass with nothing wrong: 762 mm (30 in) scale,
// 20 frets, a 63.5 mm heel in a pocket 0.2 mm wider. Its sizes are invented, of the usual order.
func ShortScaleBass() Instrument {
	return Instrument{
		Scale: 762, Frets: 20, Strings: 4,
		NutSpread: 34, NutWidth: 41, LastFretWidth: 62,
		HeelStation: 536, HeelLength: 76, HeelMouth: 63.5, HeelEnd: 63.5, HeelRadius: 6, HeelScrewSize: 3.5,
		PocketLength: 76, PocketMouth: 63.7, PocketEnd: 63.7, PocketRadius: 5,
		MouthInset: 72, EndInset: 12,
		NeckScrews: []Point{{-63, 19}, {-63, -19}, {-12, 19}, {-12, -19}}, NeckScrewSize: 5.2,
		BridgeStation: 759, BridgeSpread: 57, SaddleTravel: 15,
		Compensation: measure.Strings{1: 1.5, 2: 2, 3: 2.5, 4: 3.5},
		BridgeScrews: []Point{{31, 26}, {31, 0}, {31, -26}, {4, 38}, {4, -38}}, BridgeScrewSize: 3,
		StringHoleStation: 40, StringHoleSize: 4,
		PocketDepth: 16, FretHeight: 26.5, SaddleLow: 11, SaddleHigh: 18,
		BodyPose:   Pose{Zero: Point{-90, -70}},
		NeckPose:   Pose{Zero: Point{-15, -70}},
		BridgePose: Pose{Zero: Point{-12, -50}},
		EdgeZero:   -10,
	}
}

// Random is such a bass with misfits, some within what a builder would accept and some not. The
// straightedges lie anyhow.
func Random(rng *rand.Rand) Instrument {
	in := ShortScaleBass()
	normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
	uniform := func(half float64) float64 { return half * (2*rng.Float64() - 1) }

	in.Scale += normal(0.3)
	in.NutSpread += normal(0.2)
	in.NutWidth += normal(0.15)
	in.LastFretWidth += normal(0.3)
	in.HeelStation += normal(0.5)
	in.HeelSideways, in.HeelHeading = normal(0.1), normal(0.05)
	in.HeelMouth, in.HeelEnd = in.HeelMouth+normal(0.1), in.HeelEnd+normal(0.1)
	in.HeelEndAngle, in.HeelRadius = normal(0.15), in.HeelRadius+uniform(0.8)
	in.PocketMouth, in.PocketEnd = in.PocketMouth+normal(0.15), in.PocketEnd+normal(0.15)
	in.PocketEndAngle, in.PocketRadius = normal(0.1), in.PocketRadius+uniform(0.8)
	in.CentreLineError, in.BridgeSkew = normal(0.6), normal(0.15)
	in.BridgeStation += normal(1)
	in.BridgeSpread += normal(0.3)

	in.PocketDepth, in.FretHeight = in.PocketDepth+normal(0.2), in.FretHeight+normal(0.2)
	in.FloorPitch, in.FloorRoll = normal(0.15), normal(0.1)
	in.FretPitch, in.FretRoll = normal(0.1), normal(0.1)

	in.HeelScrewErrors = scatter(len(in.NeckScrews), normal, 0.25)
	in.BridgeHoleErrors = scatter(len(in.BridgeScrews), normal, 0.15)
	in.StringHoleErrors = map[int]float64{}
	for i := 1; i <= in.Strings; i++ {
		in.StringHoleErrors[i] = normal(0.15)
	}
	for _, p := range []*Pose{&in.BodyPose, &in.NeckPose, &in.BridgePose} {
		p.Turn = uniform(3)
		p.Zero.Station += uniform(10)
		p.Zero.Offset += uniform(10)
	}
	return in
}

// scatter is a normal error for each of n holes, from 1.
func scatter(n int, normal func(float64) float64, sd float64) map[int]Point {
	errors := map[int]Point{}
	for k := 1; k <= n; k++ {
		errors[k] = Point{normal(sd), normal(sd)}
	}
	return errors
}

// Mirrored is the instrument in a mirror: what lay toward treble lies toward bass.
func (in Instrument) Mirrored() Instrument {
	for _, x := range []*float64{
		&in.SideBow, &in.HeelSideways, &in.HeelHeading, &in.HeelEndAngle, &in.PocketEndAngle,
		&in.CentreLineError, &in.BridgeSkew, &in.MouthShift, &in.EndShift,
		&in.FloorRoll, &in.FretRoll,
	} {
		*x = 0 - *x
	}
	in.NeckScrews, in.BridgeScrews = mirroredPoints(in.NeckScrews), mirroredPoints(in.BridgeScrews)
	in.HeelScrewErrors, in.BridgeHoleErrors = mirroredErrors(in.HeelScrewErrors), mirroredErrors(in.BridgeHoleErrors)
	holes, compensation := map[int]float64{}, measure.Strings{}
	for i := 1; i <= in.Strings; i++ {
		holes[in.Strings+1-i] = 0 - in.StringHoleErrors[i]
		compensation[in.Strings+1-i] = in.Compensation[i]
	}
	in.StringHoleErrors, in.Compensation = holes, compensation
	for _, p := range []*Pose{&in.BodyPose, &in.NeckPose, &in.BridgePose} {
		p.Zero.Offset, p.Turn = 0-p.Zero.Offset, 0-p.Turn
	}
	return in
}

func mirroredPoints(points []Point) []Point {
	all := append([]Point(nil), points...)
	for i := range all {
		all[i].Offset = 0 - all[i].Offset
	}
	return all
}

func mirroredErrors(errors map[int]Point) map[int]Point {
	all := map[int]Point{}
	for k, e := range errors {
		all[k] = Point{e.Station, 0 - e.Offset}
	}
	return all
}

// Kit gives the readings a name and what a kits table would say of the instrument. The scale is
// the nominal one, so to the nearest millimetre.
func (in Instrument) Kit(name string, readings []measure.Reading) *measure.Kit {
	return &measure.Kit{Name: name, Readings: readings, Info: measure.Info{
		Kit: name, Strings: in.Strings, Frets: in.Frets, Scale: math.Round(in.Scale),
		NutSpread: in.NutSpread, NeckScrew: 4.5, BridgeScrew: 2.9,
	}}
}
