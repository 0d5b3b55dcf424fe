package fit

import (
	"math"

	"neckfit/measure"
)

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
// found for any of them: limits are proposals, and limits.csv overrides them by name. A skew of 0.5 degrees is
// 0.5 mm over 57 mm of outer strings: about what a rule can decide.
var catalogue = []characteristic{
	{CentreLineError, measure.Length, measure.Critical, -1.0, 1.0, (*assembly).centreLineError},
	{BridgeSkew, measure.Angle, measure.Major, -0.5, 0.5, (*assembly).bridgeSkew},
	{MarginBass, measure.Length, measure.Major, 2.5, inf, (*assembly).marginBass},
	{MarginTreble, measure.Length, measure.Major, 2.5, inf, (*assembly).marginTreble},
	{MarginBalance, measure.Length, measure.Major, -1.4, 1.4, (*assembly).marginBalance},
	{ScaleLength, measure.Length, measure.Critical, -inf, inf, (*assembly).scaleLength},
	{FretError, measure.Length, measure.Minor, -inf, 0.15, (*assembly).fretError},
	{SaddleReserveFront, measure.Length, measure.Critical, 1.0, inf, (*assembly).saddleReserveFront},
	{SaddleReserveBack, measure.Length, measure.Critical, 1.0, inf, (*assembly).saddleReserveBack},
	{PocketGapMouth, measure.Length, measure.Major, 0.05, 0.50, (*assembly).pocketGapMouth},
	{PocketGapEnd, measure.Length, measure.Major, 0.05, 0.50, (*assembly).pocketGapEnd},
	{EndGap, measure.Length, measure.Minor, -inf, inf, (*assembly).endGap},
	{HeelEndSquareness, measure.Angle, measure.Minor, -inf, inf, (*assembly).heelSquareness},
	{PocketEndSquareness, measure.Angle, measure.Minor, -inf, inf, (*assembly).pocketSquareness},
	{CornerReserve, measure.Length, measure.Major, 0, inf, (*assembly).cornerReserve},
	{BridgeHoleMismatch, measure.Length, measure.Major, -inf, 0.3, (*assembly).bridgeHoleMismatch},
	{NeckScrewMismatch, measure.Length, measure.Major, -inf, 0.5, (*assembly).neckScrewMismatch},
	{StringHolePitch, measure.Length, measure.Minor, -inf, 0.5, (*assembly).stringHolePitch},
	{SideBow, measure.Length, measure.Minor, -0.3, 0.3, (*assembly).sideBow},

	{FretPlaneHeight, measure.Length, measure.Major, -inf, inf, (*assembly).fretPlaneHeight},
	{SaddleHeightReserveLow, measure.Length, measure.Major, 0.5, inf, (*assembly).saddleHeightReserveLow},
	{SaddleHeightReserveHigh, measure.Length, measure.Major, 0.5, inf, (*assembly).saddleHeightReserveHigh},
	{Pitch, measure.Angle, measure.Minor, -inf, inf, (*assembly).pitch},
	{Roll, measure.Angle, measure.Minor, -0.3, 0.3, (*assembly).roll},
	{FloorFlatness, measure.Length, measure.Minor, -inf, 0.1, (*assembly).floorFlatness},

	{PocketWidthMouth, measure.Length, measure.Minor, -inf, inf, (*assembly).pocketWidthMouth},
	{PocketWidthEnd, measure.Length, measure.Minor, -inf, inf, (*assembly).pocketWidthEnd},
	{HeelWidthMouth, measure.Length, measure.Minor, -inf, inf, (*assembly).heelWidthMouth},
	{HeelWidthEnd, measure.Length, measure.Minor, -inf, inf, (*assembly).heelWidthEnd},
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
