package fit

import (
	"math"

	"neckfit/measure"
)

// characteristic is one line of the catalogue: what it is called, what it may be, and how it is
// read off the assembled kit.
type characteristic struct {
	name         string
	dimension    measure.Dimension
	class        measure.Class
	lower, upper float64
	find         func(*assembly) finding
}

// practice is the source of every built-in limit: no published tolerance was found for any of
// them, so they are proposals and limits.csv overrides them by name.
const practice = "common practice, no source"

var inf = math.Inf(1)

// catalogue has every characteristic once, in the order of the report. A skew of 0.5 degrees is
// 0.5 mm over 57 mm of outer strings: about what a rule can decide.
var catalogue = []characteristic{
	{"centre-line-error", measure.Length, measure.Critical, -1.0, 1.0, (*assembly).centreLineError},
	{"bridge-skew", measure.Angle, measure.Major, -0.5, 0.5, (*assembly).bridgeSkew},
	{"margin-bass", measure.Length, measure.Major, 2.5, inf, (*assembly).marginBass},
	{"margin-treble", measure.Length, measure.Major, 2.5, inf, (*assembly).marginTreble},
	{"margin-balance", measure.Length, measure.Major, -1.4, 1.4, (*assembly).marginBalance},
	{"scale-length", measure.Length, measure.Critical, -inf, inf, (*assembly).scaleLength},
	{"fret-error", measure.Length, measure.Minor, -inf, 0.15, (*assembly).fretError},
	{"saddle-reserve-front", measure.Length, measure.Critical, 1.0, inf, (*assembly).saddleReserveFront},
	{"saddle-reserve-back", measure.Length, measure.Critical, 1.0, inf, (*assembly).saddleReserveBack},
	{"pocket-gap-mouth", measure.Length, measure.Major, 0.05, 0.50, (*assembly).pocketGapMouth},
	{"pocket-gap-end", measure.Length, measure.Major, 0.05, 0.50, (*assembly).pocketGapEnd},
	{"end-gap", measure.Length, measure.Minor, -inf, inf, (*assembly).endGap},
	{"heel-end-squareness", measure.Angle, measure.Minor, -inf, inf, (*assembly).heelSquareness},
	{"pocket-end-squareness", measure.Angle, measure.Minor, -inf, inf, (*assembly).pocketSquareness},
	{"corner-reserve", measure.Length, measure.Major, 0, inf, (*assembly).cornerReserve},
	{"bridge-hole-mismatch", measure.Length, measure.Major, -inf, 0.3, (*assembly).bridgeHoleMismatch},
	{"neck-screw-mismatch", measure.Length, measure.Major, -inf, 0.5, (*assembly).neckScrewMismatch},
	{"string-hole-pitch", measure.Length, measure.Minor, -inf, 0.5, (*assembly).stringHolePitch},
	{"side-bow", measure.Length, measure.Minor, -0.3, 0.3, (*assembly).sideBow},

	{"fret-plane-height", measure.Length, measure.Major, -inf, inf, (*assembly).fretPlaneHeight},
	{"saddle-height-reserve-low", measure.Length, measure.Major, 0.5, inf, (*assembly).saddleHeightReserveLow},
	{"saddle-height-reserve-high", measure.Length, measure.Major, 0.5, inf, (*assembly).saddleHeightReserveHigh},
	{"pitch", measure.Angle, measure.Minor, -inf, inf, (*assembly).pitch},
	{"roll", measure.Angle, measure.Minor, -0.3, 0.3, (*assembly).roll},
	{"floor-flatness", measure.Length, measure.Minor, -inf, 0.1, (*assembly).floorFlatness},

	{"pocket-width-mouth", measure.Length, measure.Minor, -inf, inf, (*assembly).pocketWidthMouth},
	{"pocket-width-end", measure.Length, measure.Minor, -inf, inf, (*assembly).pocketWidthEnd},
	{"heel-width-mouth", measure.Length, measure.Minor, -inf, inf, (*assembly).heelWidthMouth},
	{"heel-width-end", measure.Length, measure.Minor, -inf, inf, (*assembly).heelWidthEnd},
	{"pocket-depth", measure.Length, measure.Minor, -inf, inf, (*assembly).pocketDepth},
	{"heel-thickness", measure.Length, measure.Minor, -inf, inf, (*assembly).heelThickness},
}

// Characteristics lists the names that limits.csv may use, with their dimension.
func Characteristics() map[string]measure.Dimension {
	known := make(map[string]measure.Dimension, len(catalogue))
	for _, c := range catalogue {
		known[c.name] = c.dimension
	}
	return known
}

// BuiltInLimits are the limits that hold where limits.csv has none, in the order of the report.
// Characteristics without a limit are left out.
func BuiltInLimits() []measure.Limit {
	var list []measure.Limit
	for _, c := range catalogue {
		if !math.IsInf(c.lower, -1) || !math.IsInf(c.upper, 1) {
			list = append(list, measure.Limit{Characteristic: c.name, Lower: c.lower, Upper: c.upper, Class: c.class, Source: practice})
		}
	}
	return list
}
