package fit

// ID names a characteristic. Its String is the name that tables and reports use.
type ID uint8

// The characteristics, in the order of the report.
const (
	CentreLineError ID = iota
	BridgeSkew
	MarginBass
	MarginTreble
	MarginBalance
	ScaleLength
	FretError
	SaddleReserveFront
	SaddleReserveBack
	PocketGapMouth
	PocketGapEnd
	EndGap
	HeelEndSquareness
	PocketEndSquareness
	CornerReserve
	BridgeHoleMismatch
	NeckScrewMismatch
	StringHolePitch
	SideBow
	FretPlaneHeight
	SaddleHeightReserveLow
	SaddleHeightReserveHigh
	Pitch
	Roll
	FloorFlatness
	PocketWidthMouth
	PocketWidthEnd
	HeelWidthMouth
	HeelWidthEnd
	PocketDepth
	HeelThickness

	characteristics // how many there are
)

var names = [characteristics]string{
	"centre-line-error", "bridge-skew", "margin-bass", "margin-treble", "margin-balance", "scale-length", "fret-error",
	"saddle-reserve-front", "saddle-reserve-back", "pocket-gap-mouth", "pocket-gap-end", "end-gap", "heel-end-squareness",
	"pocket-end-squareness", "corner-reserve", "bridge-hole-mismatch", "neck-screw-mismatch", "string-hole-pitch", "side-bow",
	"fret-plane-height", "saddle-height-reserve-low", "saddle-height-reserve-high", "pitch", "roll", "floor-flatness",
	"pocket-width-mouth", "pocket-width-end", "heel-width-mouth", "heel-width-end", "pocket-depth", "heel-thickness",
}

// String is the characteristic's name.
func (id ID) String() string { return names[id] }

// Named is the characteristic of that name; false where there is none.
func Named(name string) (ID, bool) {
	for id, n := range names {
		if n == name {
			return ID(id), true
		}
	}
	return 0, false
}
