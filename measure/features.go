package measure

import "neckfit/measure/csvtext"

// Need tells what a kind of reading wants with one of its numbers.
type Need uint8

// The needs.
const (
	Unused Need = iota // the cell must be blank
	Optional
	Required
)

// MarkSort is what a feature's mark must be.
type MarkSort uint8

// The sorts of mark.
const (
	MarkNone   MarkSort = iota // blank
	MarkHole                   // a hole's number, from 1
	MarkString                 // a string's number, from 1, the highest pitched
	MarkFret                   // a fret's number, from 1
	MarkSide                   // "bass" or "treble"
	MarkName                   // free text, needed
	MarkNote                   // free text, may be blank
)

// Greatest numbers that a mark may have: far above any instrument, low enough to catch a length
// that slipped into the wrong column.
const (
	maxHole   = 99
	maxString = 24
	maxFret   = 36
)

// numbered tells whether the mark is a number.
func (m MarkSort) numbered() bool { return m == MarkHole || m == MarkString || m == MarkFret }

// needs is what one kind of reading of one feature wants. The zero needs are of a kind that the
// feature does not take.
type needs struct {
	known                 bool
	station, offset, size Need
	to                    bool    // a second mark
	datums                []Datum // nil for all of the feature's
}

// rule is what may be read of one feature.
type rule struct {
	feature Feature
	name    string
	part    Part
	datums  []Datum
	mark    MarkSort
	kinds   map[Kind]needs
}

// The groups of datums. A neck feature read from datum body means a dry fit, a bridge feature
// read from it means that the bridge was in place.
var (
	onNeck       = []Datum{DatumNeck, DatumBody}
	onNeckEdge   = []Datum{DatumNeck, DatumBody, DatumEdgeBass, DatumEdgeTreble}
	onBody       = []Datum{DatumBody}
	onBodyEdge   = []Datum{DatumBody, DatumEdgeBass, DatumEdgeTreble}
	onBridge     = []Datum{DatumBridge, DatumBody}
	onBridgeEdge = []Datum{DatumBridge, DatumBody, DatumEdgeBass, DatumEdgeTreble}
)

// What the kinds want.
var (
	both        = needs{known: true, station: Required, offset: Required}
	stationOnly = needs{known: true, station: Required}
	offsetOnly  = needs{known: true, offset: Required}
	sizeOnly    = needs{known: true, size: Required}
	acrossAt    = needs{known: true, station: Required, size: Required} // a width, or a gap beside a wall
	heightAt    = needs{known: true, station: Required, offset: Required, size: Required}
	gapAtSide   = needs{known: true, station: Required, size: Required, datums: onBody}
	gapAtEnd    = needs{known: true, offset: Required, size: Required, datums: onBody}
	stationNear = needs{known: true, station: Required, offset: Optional} // blank offset: on the centre line
	offsetNear  = needs{known: true, station: Optional, offset: Required}
	heightNear  = needs{known: true, station: Optional, offset: Optional, size: Required}
	apart       = needs{known: true, size: Required, to: true}

	sideKinds   = map[Kind]needs{Offset: both, Point: both}
	wallKinds   = map[Kind]needs{Offset: both, Point: both, Gap: gapAtSide}
	widthKinds  = map[Kind]needs{Width: acrossAt}
	endKinds    = map[Kind]needs{Station: both, Point: both}
	stopKinds   = map[Kind]needs{Station: both, Point: both, Gap: gapAtEnd}
	fretKinds   = map[Kind]needs{Station: stationNear, Point: both}
	slotKinds   = map[Kind]needs{Offset: offsetNear, Point: both, Distance: apart}
	saddleKinds = map[Kind]needs{Point: both, Station: stationOnly, Offset: offsetOnly, Distance: apart}
	cornerKinds = map[Kind]needs{Radius: sizeOnly, Point: both}
	pointKinds  = map[Kind]needs{Point: both}
	planeKinds  = map[Kind]needs{Height: heightAt}
	stemKinds   = map[Kind]needs{Height: heightNear}
	holeKinds   = map[Kind]needs{
		Point: both, Station: stationOnly, Offset: offsetOnly,
		StationNear: stationOnly, StationFar: stationOnly, OffsetNear: offsetOnly, OffsetFar: offsetOnly,
		Diameter: sizeOnly, Distance: apart,
	}
)

// rules has every feature once, in the order of the constants.
var rules = []rule{
	{EdgeBass, "edge-bass", NeckPart, onNeck, MarkNone, sideKinds},
	{EdgeTreble, "edge-treble", NeckPart, onNeck, MarkNone, sideKinds},
	{Fingerboard, "fingerboard", NeckPart, onNeck, MarkNone, widthKinds},
	{HeelBass, "heel-bass", NeckPart, onNeck, MarkNone, sideKinds},
	{HeelTreble, "heel-treble", NeckPart, onNeck, MarkNone, sideKinds},
	{Heel, "heel", NeckPart, onNeckEdge, MarkNone, widthKinds},
	{HeelEnd, "heel-end", NeckPart, onNeck, MarkNone, endKinds},
	{HeelCorner, "heel-corner", NeckPart, onNeck, MarkSide, cornerKinds},
	{Nut, "nut", NeckPart, onNeckEdge, MarkNone, fretKinds},
	{NutSlot, "nut-slot", NeckPart, onNeckEdge, MarkString, slotKinds},
	{Fret, "fret", NeckPart, onNeckEdge, MarkFret, fretKinds},
	{HeelScrew, "heel-screw", NeckPart, onNeck, MarkHole, holeKinds},
	{FretTop, "fret-top", NeckPart, onNeck, MarkFret, planeKinds},

	{PocketBass, "pocket-bass", BodyPart, onBody, MarkNone, wallKinds},
	{PocketTreble, "pocket-treble", BodyPart, onBody, MarkNone, wallKinds},
	{Pocket, "pocket", BodyPart, onBodyEdge, MarkNone, widthKinds},
	{PocketEnd, "pocket-end", BodyPart, onBodyEdge, MarkNone, stopKinds},
	{PocketCorner, "pocket-corner", BodyPart, onBody, MarkSide, cornerKinds},
	{PocketFloor, "pocket-floor", BodyPart, onBody, MarkNone, planeKinds},
	{Top, "top", BodyPart, onBody, MarkNone, planeKinds},
	{BridgeScrew, "bridge-screw", BodyPart, onBodyEdge, MarkHole, holeKinds},
	{StringHole, "string-hole", BodyPart, onBodyEdge, MarkString, holeKinds},
	{NeckScrew, "neck-screw", BodyPart, onBody, MarkHole, holeKinds},
	{Ferrule, "ferrule", BodyPart, onBody, MarkString, holeKinds},
	{BodyCentre, "body-centre", BodyPart, onBody, MarkNone, sideKinds},
	{Pickup, "pickup", BodyPart, onBody, MarkSide, pointKinds},
	{Cavity, "cavity", BodyPart, onBody, MarkName, pointKinds},
	{Outline, "outline", BodyPart, onBody, MarkNote, pointKinds},

	{PlateScrew, "plate-screw", BridgePart, onBridgeEdge, MarkHole, holeKinds},
	{PlateHole, "plate-hole", BridgePart, onBridgeEdge, MarkString, holeKinds},
	{Saddle, "saddle", BridgePart, onBridgeEdge, MarkString, saddleKinds},
	{SaddleFront, "saddle-front", BridgePart, onBridgeEdge, MarkString, fretKinds},
	{SaddleBack, "saddle-back", BridgePart, onBridgeEdge, MarkString, fretKinds},
	{SaddleLow, "saddle-low", BridgePart, onBridge, MarkString, stemKinds},
	{SaddleHigh, "saddle-high", BridgePart, onBridge, MarkString, stemKinds},
	{PlateEdge, "plate-edge", BridgePart, onBridge, MarkName, pointKinds},
}

var featureWords = func() *csvtext.Words {
	names := make([]string, len(rules))
	for i, r := range rules {
		names[i] = r.name
	}
	return csvtext.NewWords(names...)
}()

// needsOf has the needs of every feature and kind, for a quick look-up.
var needsOf = func() (t [PlateEdge + 1][Gap + 1]needs) {
	for _, r := range rules {
		for k, n := range r.kinds {
			t[r.feature][k] = n
		}
	}
	return t
}()

// rule panics for NoFeature: only a feature out of ParseFeature may be asked.
func (f Feature) rule() *rule { return &rules[f-1] }

// Part is the part that the feature belongs to.
func (f Feature) Part() Part {
	if f == NoFeature {
		return NoPart
	}
	return f.rule().part
}

// Marks is what the feature's mark must be.
func (f Feature) Marks() MarkSort { return f.rule().mark }

// Datums lists the datums that the feature may be read from. A gap is read from DatumBody only.
func (f Feature) Datums() []Datum { return append([]Datum(nil), f.rule().datums...) }

// Kinds lists the kinds of reading that the feature takes.
func (f Feature) Kinds() []Kind {
	var all []Kind
	for _, k := range Kinds() {
		if needsOf[f][k].known {
			all = append(all, k)
		}
	}
	return all
}

// Needs tells what a kind of reading of the feature wants with its three numbers, and whether the
// feature takes that kind at all.
func (f Feature) Needs(k Kind) (station, offset, size Need, ok bool) {
	n := &needsOf[f][k]
	return n.station, n.offset, n.size, n.known
}
