package measure

// Datum is the straightedge that a reading was taken from.
type Datum uint8

// The datums. Each part's own datum has an arbitrary zero and direction; the two edge datums lie
// along an edge of the fingerboard and their offsets grow inward.
const (
	NoDatum Datum = iota
	DatumBody
	DatumNeck
	DatumBridge
	DatumEdgeBass
	DatumEdgeTreble
)

// Kind is what the numbers of a reading are.
type Kind uint8

// The kinds.
const (
	NoKind Kind = iota
	Point
	Offset
	Station
	OffsetNear
	OffsetFar
	StationNear
	StationFar
	Width
	Distance
	Diameter
	Radius
	Height
	Gap
)

// Feature is what was touched.
type Feature uint8

// The features of the neck, the body and the bridge.
const (
	NoFeature Feature = iota

	EdgeBass
	EdgeTreble
	Fingerboard
	HeelBass
	HeelTreble
	Heel
	HeelEnd
	HeelCorner
	Nut
	NutSlot
	Fret
	HeelScrew
	FretTop

	PocketBass
	PocketTreble
	Pocket
	PocketEnd
	PocketCorner
	PocketFloor
	Top
	BridgeScrew
	StringHole
	NeckScrew
	Cavity
	Outline

	PlateScrew
	PlateHole
	Saddle
	SaddleFront
	SaddleBack
	SaddleLow
	SaddleHigh
	PlateEdge
)
