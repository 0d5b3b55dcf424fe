package measure

import "neckfit/measure/csvtext"

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
	Ferrule
	BodyCentre
	Pickup
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

// Part is the part of the instrument that a feature belongs to.
type Part uint8

// The parts.
const (
	NoPart Part = iota
	NeckPart
	BodyPart
	BridgePart
)

// Stage is when a reading was taken: of the kit as it came, or after it was worked on.
type Stage uint8

// The stages. A blank cell is Received.
const (
	Received Stage = iota
	Reworked
)

// Class is how much a characteristic matters.
type Class uint8

// The classes, worst first. The zero Class is none.
const (
	NoClass Class = iota
	Critical
	Major
	Minor
)

// Dimension is what kind of unit a characteristic has.
type Dimension uint8

// The dimensions.
const (
	NoDimension Dimension = iota
	Length                // mm
	Angle                 // degrees
)

// Work is a kind of job that a remedy is made of, least drastic first.
type Work uint8

// The works. The zero Work is none.
const (
	NoWork       Work = iota
	Leave             // nothing is done
	ReadAgain         // the kit measured again, between two works or before any
	Reseat            // the heel set anew within the pocket's play and screwed down there
	SideShim          // beside the heel, on one wall of the pocket
	PitchShim         // a wedge under the heel
	RiseShim          // a flat shim under all of the heel
	BridgeMove        // the bridge shifted within the clearance of its screws
	ReamScrews        // the body's neck-screw holes opened
	SlotScrews        // those that miss made slots toward their screws
	EaseCorner        // the heel's end corners rounded
	SquareCorner      // the pocket's end corners chiselled square
	SlotStrings       // string holes made slots toward their places
	SlotBridge        // the bridge moved, and its screws' holes made slots toward their places
	RelieveWall       // a wall of the pocket scraped back
	LevelFloor        // the pocket's floor scraped flat
	DeepenFloor       // the pocket's floor cut lower
	TrimHeel          // the heel's end shortened
	PlugNeck          // the heel's screw holes plugged and drilled anew
	PlugStrings       // the string holes plugged and drilled anew
	PlugBridge        // the bridge's screw and string holes plugged and drilled anew
	SendBack          // a part returned

	// No works, but what costs.csv prices beside them: an hour of the bench, in money, a kit that is lost, and a cut into a pocket that fits.
	Hour
	Scrap
	Snug
)

// StockKind is what a piece on the shelf is for.
type StockKind uint8

// The kinds of stock. The zero StockKind is none.
const (
	NoStock    StockKind = iota
	SideStock            // veneer and the like, to glue beside the heel
	WedgeStock           // tapered, to lay under the heel
	FloorStock           // flat, to lay under the heel
	PlugStock            // dowels and face-grain plugs, by diameter
	DrillStock           // bits, by diameter
)

// The words as the tables write them, in the order of the constants.
var (
	datumWords     = csvtext.NewWords("body", "neck", "bridge", "edge-bass", "edge-treble")
	kindWords      = csvtext.NewWords("point", "offset", "station", "offset-near", "offset-far", "station-near", "station-far", "width", "distance", "diameter", "radius", "height", "gap")
	partWords      = csvtext.NewWords("neck", "body", "bridge")
	classWords     = csvtext.NewWords("critical", "major", "minor")
	dimensionWords = csvtext.NewWords("length", "angle")
	stageWords     = csvtext.NewWords("received", "reworked")
	sideWords      = csvtext.NewWords("bass", "treble") // the marks of corners
	handWords      = csvtext.NewWords("right", "left")
	yesWords       = csvtext.NewWords("yes", "no")
	saddleWords    = csvtext.NewWords("each", "pairs", "fixed")
	workNames      = []string{"leave", "read-again", "re-seat", "side-shim", "pitch-shim", "rise-shim", "bridge-move", "ream-screws", "slot-screws",
		"ease-corner", "square-corner", "slot-strings", "slot-bridge", "relieve-wall", "level-floor", "deepen-floor", "trim-heel", "plug-neck", "plug-strings", "plug-bridge", "send-back"}
	workWords  = csvtext.NewWords(workNames...)
	costWords  = csvtext.NewWords(append(workNames, "hour", "scrap", "snug")...)
	stockWords = csvtext.NewWords("side-shim", "wedge", "floor-shim", "plug", "drill")
)

// String gives the word as the tables write it, and "" for none.
func (d Datum) String() string { return datumWords.Name(int(d)) }

// String gives the word as the tables write it, and "" for none.
func (k Kind) String() string { return kindWords.Name(int(k)) }

// String gives the word as the tables write it, and "" for none.
func (f Feature) String() string { return featureWords.Name(int(f)) }

// String gives the part's name, and "" for none.
func (p Part) String() string { return partWords.Name(int(p)) }

// String gives the word as the tables write it, and "" for none.
func (c Class) String() string { return classWords.Name(int(c)) }

// String gives the dimension's name, and "" for none.
func (d Dimension) String() string { return dimensionWords.Name(int(d)) }

// String gives the word as the tables write it.
func (s Stage) String() string { return stageWords.Name(int(s) + 1) }

// String gives the word as the tables write it, and "" for none.
func (w Work) String() string { return costWords.Name(int(w)) }

// String gives the word as the tables write it, and "" for none.
func (k StockKind) String() string { return stockWords.Name(int(k)) }

// Edge tells whether the datum lies along an edge of the fingerboard, so that its offsets grow
// inward.
func (d Datum) Edge() bool { return d == DatumEdgeBass || d == DatumEdgeTreble }

// ParseDatum finds the datum of a word, in any case.
func ParseDatum(word string) (Datum, bool) {
	i, ok := datumWords.Number(word)
	return Datum(i), ok
}

// ParseKind finds the kind of a word, in any case.
func ParseKind(word string) (Kind, bool) {
	i, ok := kindWords.Number(word)
	return Kind(i), ok
}

// ParseFeature finds the feature of a word, in any case.
func ParseFeature(word string) (Feature, bool) {
	i, ok := featureWords.Number(word)
	return Feature(i), ok
}

// ParsePart finds the part of a word, in any case.
func ParsePart(word string) (Part, bool) {
	i, ok := partWords.Number(word)
	return Part(i), ok
}

// ParseWork finds the work of a word, in any case.
func ParseWork(word string) (Work, bool) {
	i, ok := workWords.Number(word)
	return Work(i), ok
}

// ParseCosted finds what a row of costs.csv prices, in any case: a work, an hour, a kit that is lost.
func ParseCosted(word string) (Work, bool) {
	i, ok := costWords.Number(word)
	return Work(i), ok
}

// ParseClass finds the class of a word, in any case.
func ParseClass(word string) (Class, bool) {
	i, ok := classWords.Number(word)
	return Class(i), ok
}

// Datums lists every datum.
func Datums() []Datum { return listOf[Datum](datumWords) }

// Kinds lists every kind.
func Kinds() []Kind { return listOf[Kind](kindWords) }

// Features lists every feature: the neck's, the body's, the bridge's.
func Features() []Feature { return listOf[Feature](featureWords) }

// Works lists every work.
func Works() []Work { return listOf[Work](workWords) }

func listOf[T ~uint8](words *csvtext.Words) []T {
	all := make([]T, words.Len())
	for i := range all {
		all[i] = T(i + 1)
	}
	return all
}
