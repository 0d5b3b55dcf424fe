// Package simulate makes instruments whose every dimension is known, and draws readings from
// them as a practitioner would take them, with the errors of gauges and hands. It is a second way
// to the truth: points are placed by construction in one assembled frame and carried into each
// part's datum by rigid motions. It uses none of package fit's formulas and does not import it.
package simulate

import (
	"math"
	"math/rand/v2"

	"neckfit/measure"
)

// Point is a place in a frame, in millimetres: Station grows from headstock to tail, Offset from
// bass to treble.
type Point struct{ Station, Offset float64 }

// Pose is where a straightedge lies beside a part: its zero, in the part's own frame, and its
// turn in degrees, positive when its tail end is turned toward treble.
type Pose struct {
	Zero Point
	Turn float64
}

// Instrument is the true geometry of one kit. Lengths are in millimetres, angles in degrees and
// positive when the tail side turns toward treble.
//
// The neck's own frame has its origin in the middle of the nut and its station along the
// fingerboard's centre line. The body's own frame is the pocket's: origin in the middle of the
// pocket's end, station along the bisector of its two sides. The bridge's own frame has its
// origin midway between the outer strings' contacts with all saddles at their front stops, and
// its offset along the line of those contacts.
type Instrument struct {
	Scale float64 // scale length, on the centre line

	// Fan is by how much the outer bass string's scale is longer than the outer treble string's: the others' lie
	// evenly between, about Scale. StraightFret is square to the centre line. Frets were laid out along straight
	// strings from NutSpread to BridgeSpread.
	Fan          float64
	StraightFret int

	Frets   int // number of the last fret
	Strings int // number of strings, at least 2

	BoardRadius   float64 // of the crown across the fingerboard, whose middle is on the centre line; 0 for a flat one
	NutSpread     float64 // outer strings at the nut, centre to centre, symmetric about the centre line
	NutWidth      float64 // fingerboard at the nut
	LastFretWidth float64 // fingerboard at the last fret; its edges are straight but for SideBow
	SideBow       float64 // sagitta of the centre line between nut and last fret, positive when the middle bows toward treble
	FretErrors    map[int]float64

	HeelStation   float64 // middle of the heel's end, along the neck's centre line from the nut
	HeelSideways  float64 // middle of the heel's end, from the centre line toward treble
	HeelHeading   float64 // of the heel's bisector, from the centre line
	HeelLength    float64 // of the heel's straight sides
	HeelMouth     float64 // heel's width at HeelLength from its end
	HeelEnd       float64 // heel's width at its end
	HeelEndAngle  float64 // of the end's normal, from the heel's bisector
	HeelRadius    float64 // of the heel's end corners
	HeelScrewSize float64 // diameter of the pilot holes

	PocketLength   float64 // of the pocket's straight sides
	PocketMouth    float64 // pocket's width at PocketLength from its end
	PocketEnd      float64 // pocket's width at its end
	PocketEndAngle float64 // of the end's normal, from the pocket's bisector
	PocketRadius   float64 // of the pocket's end corners

	// MouthInset and EndInset say where the pocket's sides are read nearest the headstock and
	// nearest the tail: that far headstockward of the pocket's end. The gaps are defined there.
	MouthInset, EndInset float64

	NeckScrews      []Point       // the body's holes, in the body's frame; mark = index + 1
	HeelScrewErrors map[int]Point // how far each of the heel's holes misses the body's when the neck is seated
	NeckScrewSize   float64       // diameter of the body's holes

	CentreLineError float64            // of the bridge's origin from the seated neck's centre line, positive toward treble
	Saddles         measure.SaddleMove // how they can be set; two that are set together stand at the best of both
	SaddleSlant     float64            // by the bridge's design: how much farther back the outer bass saddle stands than the treble one
	BridgeSkew      float64            // of the bridge, from the seated neck's centre line
	BridgeStation   float64            // of the bridge's origin along the seated neck's centre line, from the nut
	BridgeSpread    float64            // outer strings at the saddles, centre to centre
	SaddleTravel    float64            // from the front stop to the back stop, every string
	Compensation    measure.Strings

	BridgeScrews      []Point       // of the plate, in the bridge's frame; mark = index + 1
	BridgeHoleErrors  map[int]Point // the body's holes against the plate's, along the bridge's axes; see Misfit
	BridgeScrewSize   float64       // diameter of the body's holes
	StringHoleStation float64       // of the row of string holes, in the bridge's frame
	Pickup            *Point        // middle of a pickup's row of poles, in the body's frame; nil for none
	PickupSpread      float64       // its outer poles, centre to centre
	Joint             *Pose         // the body's own middle line, in the body's frame; nil where it shows none
	BodyThickness     float64       // this and the screws' length are what kits.csv tells; 0 where it does not
	NeckScrewLength   float64

	StringHoleShift  Point         // of the whole row in the body, from the plate's
	FerruleErrors    map[int]Point // of the ferrules, from the string holes; nil where the body has none
	StringHoleErrors map[int]float64
	StringHoleSize   float64

	// Heights are over the body's top and plumb to it; a plane's pitch and roll are positive when it
	// rises toward tail and toward treble.
	Relief      float64 // by how much the fret tops are hollow between the first fret and the last
	PocketDepth float64 // of the floor below the top, in the middle of the pocket's end
	FloorPitch  float64
	FloorRoll   float64
	FloorHump   float64 // how far the floor's middle stands above its plane
	FretHeight  float64 // of the fret plane over the heel's underside, in the middle of the heel's end
	FretPitch   float64 // of the fret plane, from the heel's underside
	FretRoll    float64
	SaddleLow   float64 // string over the body's top at the saddle's lowest setting
	SaddleHigh  float64 // and at its highest

	// MouthShift and EndShift are how far the heel's bisector lies toward treble of the pocket's
	// at the two gap stations, and EndGap how far the neck stands short of the pocket's end.
	// All zero is the seat rule.
	MouthShift, EndShift, EndGap float64

	BodyPose, NeckPose, BridgePose Pose
	EdgeZero                       float64 // the edge straightedges' zero, tailward of the nut
}

// Seated is the instrument with its neck in the pocket by the seat rule.
func (in Instrument) Seated() Instrument {
	in.MouthShift, in.EndShift, in.EndGap = 0, 0, 0
	return in
}

// Misfit is what is left of BridgeHoleErrors, by index of BridgeScrews, once everything is taken
// out of it that moving or turning the plate could take out, along each axis by itself. So the
// bridge's pose stays the best rigid fit of its plate on the holes, however the axes are weighted.
func (in Instrument) Misfit() []Point {
	n := len(in.BridgeScrews)
	s, o := make([]float64, n), make([]float64, n)
	es, eo := make([]float64, n), make([]float64, n)
	for i, p := range in.BridgeScrews {
		s[i], o[i] = p.Station, p.Offset
		e := in.BridgeHoleErrors[i+1]
		es[i], eo[i] = e.Station, e.Offset
	}
	es, eo = withoutLine(o, es), withoutLine(s, eo)
	left := make([]Point, n)
	for i := range left {
		left[i] = Point{es[i], eo[i]}
	}
	return left
}

// PitchMisfit is what is left of StringHoleErrors, by string from 1, once an even row is taken out.
func (in Instrument) PitchMisfit() []float64 {
	x, e := make([]float64, in.Strings), make([]float64, in.Strings)
	for i := range x {
		x[i], e[i] = float64(i), in.StringHoleErrors[i+1]
	}
	return withoutLine(x, e)
}

// withoutLine is y less its least-squares line in x; less its mean where x does not vary.
func withoutLine(x, y []float64) []float64 {
	mx, my := mean(x), mean(y)
	var sxx, sxy float64
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
	}
	slope := 0.0
	if sxx > 0 {
		slope = sxy / sxx
	}
	left := make([]float64, len(y))
	for i := range y {
		left[i] = y[i] - my - slope*(x[i]-mx)
	}
	return left
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(max(len(x), 1))
}

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

// drilled is the standard deviation of a hole that is drilled by a jig, each way: neck and body come from two of
// them, and four screws of five drop in. Common practice, no source.
const drilled = 0.11 // mm

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

	in.HeelScrewErrors = scatter(len(in.NeckScrews), normal, drilled)
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
		&in.CentreLineError, &in.BridgeSkew, &in.SaddleSlant, &in.Fan, &in.MouthShift, &in.EndShift,
		&in.FloorRoll, &in.FretRoll,
	} {
		*x = 0 - *x
	}
	in.NeckScrews, in.BridgeScrews = mirroredPoints(in.NeckScrews), mirroredPoints(in.BridgeScrews)
	in.HeelScrewErrors, in.BridgeHoleErrors = mirroredErrors(in.HeelScrewErrors), mirroredErrors(in.BridgeHoleErrors)
	if in.Pickup != nil {
		in.Pickup = &Point{in.Pickup.Station, 0 - in.Pickup.Offset}
	}
	if in.Joint != nil {
		in.Joint = &Pose{Point{in.Joint.Zero.Station, 0 - in.Joint.Zero.Offset}, 0 - in.Joint.Turn}
	}
	in.StringHoleShift.Offset = 0 - in.StringHoleShift.Offset
	var ferrules map[int]Point // nil where there are none
	if len(in.FerruleErrors) > 0 {
		ferrules = map[int]Point{}
		for k, e := range mirroredErrors(in.FerruleErrors) {
			ferrules[in.Strings+1-k] = e
		}
	}
	in.FerruleErrors = ferrules
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
	radius := in.BoardRadius
	if radius == 0 {
		radius = math.Inf(1)
	}
	return &measure.Kit{Name: name, Readings: readings, Info: measure.Info{
		Kit: name, Strings: in.Strings, Frets: in.Frets, Scale: math.Round(in.Scale),
		NutSpread: in.NutSpread, NeckScrew: 4.5, BridgeScrew: 2.9, Slant: in.SaddleSlant, Saddles: in.Saddles, BoardRadius: radius,
		ScaleBass: in.fanned(in.Scale + in.Fan/2), ScaleTreble: in.fanned(in.Scale - in.Fan/2), StraightFret: in.StraightFret, BodyThickness: in.BodyThickness, NeckScrewLength: in.NeckScrewLength,
	}}
}
