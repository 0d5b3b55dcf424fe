package measure

import "strings"

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

// Part is the part of the instrument that a feature belongs to.
type Part uint8

// The parts.
const (
	NoPart Part = iota
	NeckPart
	BodyPart
	BridgePart
)

// The words as the tables write them, in the order of the constants. Number 0 stands for none.
var (
	datumNames     = []string{"", "body", "neck", "bridge", "edge-bass", "edge-treble"}
	kindNames      = []string{"", "point", "offset", "station", "offset-near", "offset-far", "station-near", "station-far", "width", "distance", "diameter", "radius", "height", "gap"}
	partNames      = []string{"", "neck", "body", "bridge"}
	classNames     = []string{"", "critical", "major", "minor"}
	dimensionNames = []string{"", "length", "angle"}
)

// String gives the word as the tables write it, and "" for none.
func (d Datum) String() string { return nameOf(datumNames, int(d)) }

// String gives the word as the tables write it, and "" for none.
func (k Kind) String() string { return nameOf(kindNames, int(k)) }

// String gives the word as the tables write it, and "" for none.
func (f Feature) String() string { return nameOf(featureNames, int(f)) }

// String gives the part's name, and "" for none.
func (p Part) String() string { return nameOf(partNames, int(p)) }

// String gives the word as the tables write it, and "" for none.
func (c Class) String() string { return nameOf(classNames, int(c)) }

// String gives the dimension's name, and "" for none.
func (d Dimension) String() string { return nameOf(dimensionNames, int(d)) }

// Edge tells whether the datum lies along an edge of the fingerboard, so that its offsets grow
// inward.
func (d Datum) Edge() bool { return d == DatumEdgeBass || d == DatumEdgeTreble }

// ParseDatum finds the datum of a word, in any case.
func ParseDatum(word string) (Datum, bool) {
	i, ok := numberOf(datumNames, word)
	return Datum(i), ok
}

// ParseKind finds the kind of a word, in any case.
func ParseKind(word string) (Kind, bool) {
	i, ok := numberOf(kindNames, word)
	return Kind(i), ok
}

// ParseFeature finds the feature of a word, in any case.
func ParseFeature(word string) (Feature, bool) {
	i, ok := numberOf(featureNames, word)
	return Feature(i), ok
}

// ParseClass finds the class of a word, in any case.
func ParseClass(word string) (Class, bool) {
	i, ok := numberOf(classNames, word)
	return Class(i), ok
}

// Datums lists every datum.
func Datums() []Datum { return listOf[Datum](datumNames) }

// Kinds lists every kind.
func Kinds() []Kind { return listOf[Kind](kindNames) }

// Features lists every feature: the neck's, the body's, the bridge's.
func Features() []Feature { return listOf[Feature](featureNames) }

func nameOf(names []string, i int) string {
	if i >= len(names) {
		return "?" // a value that no constant has; it must not pass for none
	}
	return names[i]
}

// numberOf is a short search: the longest list has a few dozen words. The exact word is by far
// the commonest, so it is tried before the folding of cases.
func numberOf(names []string, word string) (int, bool) {
	for i, name := range names {
		if name == word {
			return i, i > 0
		}
	}
	for i, name := range names {
		if strings.EqualFold(name, word) {
			return i, i > 0
		}
	}
	return 0, false
}

func listOf[T ~uint8](names []string) []T {
	all := make([]T, 0, len(names))
	for i := 1; i < len(names); i++ {
		all = append(all, T(i))
	}
	return all
}
