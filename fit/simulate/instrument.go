// Package simulate makes instruments whose every dimension is known, and draws readings from
// them as a practitioner would take them, with the errors of gauges and hands. It is a second way
// to the truth: points are placed by construction in one assembled frame and carried into each
// part's datum by rigid motions. It uses none of package fit's formulas and does not import it.
package simulate

import "neckfit/measure"

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
	Scale   float64 // scale length
	Frets   int     // number of the last fret
	Strings int     // number of strings, at least 2

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

	CentreLineError float64 // of the bridge's origin from the seated neck's centre line, positive toward treble
	BridgeSkew      float64 // of the bridge, from the seated neck's centre line
	BridgeStation   float64 // of the bridge's origin along the seated neck's centre line, from the nut
	BridgeSpread    float64 // outer strings at the saddles, centre to centre
	SaddleTravel    float64 // from the front stop to the back stop, every string
	Compensation    measure.Strings

	BridgeScrews      []Point       // of the plate, in the bridge's frame; mark = index + 1
	BridgeHoleErrors  map[int]Point // the body's holes against the plate's, along the bridge's axes; see Misfit
	BridgeScrewSize   float64       // diameter of the body's holes
	StringHoleStation float64       // of the row of string holes, in the bridge's frame
	StringHoleErrors  map[int]float64
	StringHoleSize    float64

	// Heights are over the body's top and plumb to it; a plane's pitch and roll are positive when it
	// rises toward tail and toward treble.
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
