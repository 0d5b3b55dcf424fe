package fit

import (
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// ID names a characteristic. Its String is the name that tables and reports use.
type ID uint8

// The characteristics, in the order of the report.
const (
	CentreLineError         ID = iota // mm from the neck's centre line to the middle of the bridge, positive toward treble
	BridgeSkew                        // degrees from the centre line to the bridge's heading, positive when its tail side turns toward treble
	HeelSkew                          // degrees from the board's centre line to the heel's axis, positive when that turns toward treble tailward
	HeelOffset                        // mm from the centre line to the heel's axis abreast of the bridge, positive toward treble
	BridgeOffPocket                   // mm from the pocket's axis to the middle of the bridge, positive toward treble
	BridgeOffTurn                     // degrees from the pocket's axis to the bridge's heading, positive when its tail side turns toward treble
	PocketOffCentre                   // mm from the body's own middle line to the pocket's axis, halfway along it, positive toward treble
	BridgeOffCentre                   // mm from that line to the middle of the bridge, positive toward treble
	MarginBass                        // mm from the outer bass string to the fingerboard's edge at the last fret
	MarginTreble                      // mm, the same at the treble side
	MarginBalance                     // mm, the bass margin less the treble's
	ScaleLength                       // mm along the centre line
	FretError                         // mm of the fret farthest from the fret law, positive when it stands toward the tail
	NutError                          // mm of the nut from where the frets' law has it, positive when it stands toward the tail
	SaddleReserveFront                // mm that the saddle with the least of it can still move to the front
	SaddleReserveBack                 // mm, the same to the back
	IntonationError                   // mm that the string with most of it is too long or short, where saddles are set in pairs or not at all
	PocketGapMouth                    // mm that the pocket is wider than the heel at its mouth
	PocketGapEnd                      // mm, the same at its end
	EndGap                            // mm between the heel's end and the pocket's where it is widest
	HeelEndSquareness                 // degrees of the heel's end from square, positive when its normal turns toward treble
	PocketEndSquareness               // degrees, the same of the pocket's
	CornerReserve                     // mm, the heel's corner radius less the pocket's, the smaller of two
	BridgeHoleMismatch                // mm, the worst distance of a hole in the body from the bridge plate's
	NeckScrewMismatch                 // mm, the same of the body's and the heel's
	NeckScrewReach                    // mm that the neck's screws reach into the heel
	PickupOffset                      // mm from a pickup's poles to the outer strings over them, positive where these lie toward treble
	StringHolePitch                   // mm, the worst distance of a string hole from an even row
	PlateHoleMismatch                 // mm, the worst distance of a string hole from the bridge plate's
	FerruleMismatch                   // mm, the same from its ferrule
	SideBow                           // mm of sagitta of the fingerboard's edges, positive when the middle bows toward treble
	FretPlaneHeight                   // mm of the fret plane over the body's top at the bridge
	SaddleHeightReserveLow            // mm that the saddle with the least of it can still be lowered
	SaddleHeightReserveHigh           // mm, the same raised
	Relief                            // mm that the fret tops are hollow along the neck, positive where the middle is lower
	Pitch                             // degrees that the fret plane rises tailward
	Roll                              // degrees that it rises toward treble
	FloorFlatness                     // mm of the place farthest from the plane of the pocket's floor, positive when it is high
	PocketWidthMouth                  // mm
	PocketWidthEnd                    // mm
	HeelWidthMouth                    // mm
	HeelWidthEnd                      // mm
	PocketDepth                       // mm of the floor below the top
	HeelThickness                     // mm from the heel's underside to the fret plane

	characteristics // how many there are
)

var names = [characteristics]string{
	"centre-line-error", "bridge-skew", "heel-skew", "heel-offset", "bridge-off-pocket", "bridge-turn", "pocket-off-centre", "bridge-off-centre", "margin-bass", "margin-treble", "margin-balance", "scale-length", "fret-error", "nut-error",
	"saddle-reserve-front", "saddle-reserve-back", "intonation-error", "pocket-gap-mouth", "pocket-gap-end", "end-gap", "heel-end-squareness",
	"pocket-end-squareness", "corner-reserve", "bridge-hole-mismatch", "neck-screw-mismatch", "neck-screw-reach", "pickup-offset", "string-hole-pitch", "plate-hole-mismatch", "ferrule-mismatch", "side-bow",
	"fret-plane-height", "saddle-height-reserve-low", "saddle-height-reserve-high", "relief", "pitch", "roll", "floor-flatness",
	"pocket-width-mouth", "pocket-width-end", "heel-width-mouth", "heel-width-end", "pocket-depth", "heel-thickness",
}

// String is the characteristic's name.
func (id ID) String() string { return names[id] }

// isSize tells whether a characteristic is a size, never below nothing.
func (id ID) isSize() bool {
	switch id {
	case EndGap, BridgeHoleMismatch, NeckScrewMismatch, StringHolePitch, PlateHoleMismatch, FerruleMismatch:
		return true
	}
	return false
}

// Named is the characteristic of that name; false where there is none.
func Named(name string) (ID, bool) {
	for id, n := range names {
		if n == name {
			return ID(id), true
		}
	}
	return 0, false
}

// characteristic is one line of the catalogue: which it is, what it may be, and how it is
// read off the assembled kit.
type characteristic struct {
	id           ID
	dimension    measure.Dimension
	class        measure.Class
	lower, upper float64
	find         func(*assembly) finding
}

var inf = math.Inf(1)

// catalogue has every characteristic once, in the order of the report. No published tolerance was
// found for any of them: limits are proposals, and limits.csv overrides them by name. A skew of 0.8 degrees is
// 0.8 mm over 57 mm of outer strings: what a rule can decide.
var catalogue = []characteristic{
	{CentreLineError, measure.Length, measure.Critical, -1.0, 1.0, (*assembly).centreLineError},
	{BridgeSkew, measure.Angle, measure.Major, -0.8, 0.8, (*assembly).bridgeSkew},
	{HeelSkew, measure.Angle, measure.Minor, -inf, inf, (*assembly).heelSkew},
	{HeelOffset, measure.Length, measure.Minor, -inf, inf, (*assembly).heelOffset},
	{BridgeOffPocket, measure.Length, measure.Minor, -inf, inf, (*assembly).bridgeOffPocket},
	{BridgeOffTurn, measure.Angle, measure.Minor, -inf, inf, (*assembly).bridgeTurn},
	{PocketOffCentre, measure.Length, measure.Minor, -inf, inf, (*assembly).pocketOffCentre},
	{BridgeOffCentre, measure.Length, measure.Minor, -inf, inf, (*assembly).bridgeOffCentre},
	{MarginBass, measure.Length, measure.Major, 2.5, inf, func(a *assembly) finding { return a.margin(1, 0) }},
	{MarginTreble, measure.Length, measure.Major, 2.5, inf, func(a *assembly) finding { return a.margin(0, 1) }},
	{MarginBalance, measure.Length, measure.Major, -1.4, 1.4, func(a *assembly) finding { return a.margin(1, -1) }},
	{ScaleLength, measure.Length, measure.Critical, -inf, inf, (*assembly).scaleLength},
	{FretError, measure.Length, measure.Minor, -0.15, 0.15, (*assembly).fretError},
	{NutError, measure.Length, measure.Minor, -1.0, 1.0, (*assembly).nutError},
	{SaddleReserveFront, measure.Length, measure.Critical, 1.0, inf, func(a *assembly) finding { return a.reserves(measure.SaddleFront) }},
	{SaddleReserveBack, measure.Length, measure.Critical, 1.0, inf, func(a *assembly) finding { return a.reserves(measure.SaddleBack) }},
	{IntonationError, measure.Length, measure.Major, -inf, inf, (*assembly).intonationError},
	{PocketGapMouth, measure.Length, measure.Major, 0.05, 0.50, func(a *assembly) finding { return a.pocketGap(mouth) }},
	{PocketGapEnd, measure.Length, measure.Major, 0.05, 0.50, func(a *assembly) finding { return a.pocketGap(end) }},
	{EndGap, measure.Length, measure.Major, -inf, scaleSlack, (*assembly).endGap},
	{HeelEndSquareness, measure.Angle, measure.Minor, -inf, inf, func(a *assembly) finding { return a.squareness(a.heelFrame(), measure.HeelEnd, measure.Heel) }},
	{PocketEndSquareness, measure.Angle, measure.Minor, -inf, inf, func(a *assembly) finding { return a.squareness(measure.DatumBody, measure.PocketEnd, measure.Pocket) }},
	{CornerReserve, measure.Length, measure.Major, 0, inf, (*assembly).cornerReserve},
	{BridgeHoleMismatch, measure.Length, measure.Major, -inf, 0.5, (*assembly).bridgeHoleMismatch},
	{NeckScrewMismatch, measure.Length, measure.Major, -inf, 0.5, (*assembly).neckScrewMismatch},
	{NeckScrewReach, measure.Length, measure.Major, leastReach, inf, (*assembly).neckScrewReach},
	{PickupOffset, measure.Length, measure.Minor, -1.5, 1.5, (*assembly).pickupOffset},
	{StringHolePitch, measure.Length, measure.Minor, -inf, 0.5, (*assembly).stringHolePitch},
	{PlateHoleMismatch, measure.Length, measure.Major, -inf, 1.0, (*assembly).plateHoleMismatch},
	{FerruleMismatch, measure.Length, measure.Minor, -inf, 1.5, (*assembly).ferruleMismatch},
	{SideBow, measure.Length, measure.Minor, -0.3, 0.3, (*assembly).sideBow},

	{FretPlaneHeight, measure.Length, measure.Major, -inf, inf, (*assembly).fretPlaneHeight},
	{SaddleHeightReserveLow, measure.Length, measure.Major, 0.5, inf, func(a *assembly) finding { return a.saddleHeightReserve(measure.SaddleLow) }},
	{SaddleHeightReserveHigh, measure.Length, measure.Major, 0.5, inf, func(a *assembly) finding { return a.saddleHeightReserve(measure.SaddleHigh) }},
	{Relief, measure.Length, measure.Minor, -inf, inf, (*assembly).relief},
	{Pitch, measure.Angle, measure.Minor, -inf, inf, func(a *assembly) finding { return a.rise(autodiff.Vector.Direction) }},
	{Roll, measure.Angle, measure.Minor, -0.5, 0.5, func(a *assembly) finding { return a.rise(across) }},
	{FloorFlatness, measure.Length, measure.Minor, -0.15, 0.15, (*assembly).floorFlatness},

	{PocketWidthMouth, measure.Length, measure.Minor, -inf, inf, func(a *assembly) finding { return a.sizeAt(a.pocketFrame(), measure.Pocket, mouth) }},
	{PocketWidthEnd, measure.Length, measure.Minor, -inf, inf, func(a *assembly) finding { return a.sizeAt(a.pocketFrame(), measure.Pocket, end) }},
	{HeelWidthMouth, measure.Length, measure.Minor, -inf, inf, func(a *assembly) finding { return a.sizeAt(a.heelFrame(), measure.Heel, mouth) }},
	{HeelWidthEnd, measure.Length, measure.Minor, -inf, inf, func(a *assembly) finding { return a.sizeAt(a.heelFrame(), measure.Heel, end) }},
	{PocketDepth, measure.Length, measure.Minor, -inf, inf, (*assembly).pocketDepth},
	{HeelThickness, measure.Length, measure.Minor, -inf, inf, (*assembly).heelThickness},
}

// Characteristics lists the names that limits.csv may use, with their dimension.
func Characteristics() map[string]measure.Dimension {
	known := make(map[string]measure.Dimension, len(catalogue))
	for _, c := range catalogue {
		known[c.id.String()] = c.dimension
	}
	return known
}

// BuiltInLimits are the limits that hold where limits.csv has none, in the order of the report;
// all are common practice without a source. Characteristics without a limit are left out.
func BuiltInLimits() []measure.Limit {
	var list []measure.Limit
	for _, c := range catalogue {
		if !math.IsInf(c.lower, -1) || !math.IsInf(c.upper, 1) {
			list = append(list, measure.Limit{Characteristic: c.id.String(), Lower: c.lower, Upper: c.upper, Class: c.class})
		}
	}
	return list
}

// across is the direction of a centre line's normal itself.
func across(normal autodiff.Vector) autodiff.Vector { return normal }

// finding is what the assembly says of one characteristic: a quantity, or a number whose
// uncertainty does not come through a gradient, or the readings that are missing.
type finding struct {
	value   autodiff.Variable
	known   *adjust.Uncertainty // of the value, where it was asked for already
	direct  *direct
	form    []deviation         // of places, of which the worst is the value
	holes   *distances          // of which the worst is the value
	rivals  []autodiff.Variable // of which the worst is the value; nil where it is by itself
	missing Missing
	basis   Basis
	bound   *bound  // limits that the kit itself sets, such as a screw's clearance
	besides float64 // standard uncertainty of what was not read, such as a string's compensation

	parts *parts // what the value is taken from, for a model: nil for the value itself
}

// distances are by how much holes lie apart, and where the worst does.
type distances struct {
	apart   []deviation
	between autodiff.Vector
}

// parts are what a value is taken from.
type parts struct {
	elements []autodiff.Variable
	marks    []int // of each element: its string or hole
	taken    Taken // how
}

// from notes what a value is taken from, where a model is to be made.
func (f finding) from(a *assembly, taken Taken, elements []autodiff.Variable, marks []int) finding {
	if a.nudges != nil {
		f.parts = &parts{slices.Clone(elements), slices.Clone(marks), taken}
	}
	return f
}

// direct is what a row reads less what the others say, with the standard uncertainty of that and its degrees of freedom, 0 for no
// end, and of it what suspects bring.
type direct struct {
	value, std, dof, doubt float64
	row                    int
}

// bound is a pair of limits with where they come from.
type bound struct {
	lower, upper float64
	source       LimitSource
}

func missing(m Missing) finding                        { return finding{missing: m} }
func found(q autodiff.Variable) finding                { return finding{value: q} }
func foundOn(q autodiff.Variable, basis Basis) finding { return finding{value: q, basis: basis} }

// IDs lists the characteristics in the order of the report.
func IDs() []ID {
	list := make([]ID, len(catalogue))
	for i := range catalogue {
		list[i] = catalogue[i].id
	}
	return list
}
