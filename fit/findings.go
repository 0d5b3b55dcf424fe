package fit

import "neckfit/measure"

// Want says which readings a characteristic lacks. What is left open, a feature, a datum or a mark,
// stands beside it in Missing.
type Want uint8

// The readings that may be wanted.
const (
	Nothing         Want = iota
	WantEdges            // both edges of the fingerboard at two stations each
	WantSide             // the feature at two stations
	WantEnd              // the feature at two offsets
	WantSquareEnd        // the feature at two offsets, with both sides of its part
	WantSecondPlace      // the feature at another place than it was read
	WantSecondGap        // its gap at another place
	WantTwoPlaces        // the feature at two places
	WantTwoGaps          // its gap at two places
	WantPlace            // station and offset of the mark
	WantPlane            // heights at three places that are not in a row

	WantNutAndFret    // the nut and fret 12
	WantFan           // both scales of a fanned board in kits.csv
	WantFretsOffEdges // fanned frets from another datum than the edges
	WantFrets         // the nut and three frets
	WantLastFret      // the last fret, or frets in kits.csv
	WantBow           // an edge of the fingerboard at three stations
	WantRadius        // board_radius in kits.csv
	WantNutSlots      // the outer nut slots, or nut_spread in kits.csv
	WantBridge        // the outer saddles in place, or the bridge's plate with the body's screw holes
	WantBridgeByEdge  // the outer saddles or bridge screws as points from both edges
	WantInwardByEdge  // the same, offsets only
	WantPlate         // the plate and its saddles: bridge screws in more than one row give no direction
	WantAllStrings    // the feature of the outer strings that kits.csv tells of, where others were read
	WantSaddles       // the outer saddles, in place or on the bridge
	WantSaddleStops   // the feature of each string, with its saddle's offset
	WantSharedSaddles // saddles in kits.csv to say that they are set in pairs or not at all
	WantSaddleHeights // the feature's height of each string

	WantWidths      // the feature's width at mouth and end
	WantTwoWidths   // the feature's width at two stations
	WantEndGap      // the gap at the pocket's end
	WantCorners     // radii of the heel's and the pocket's corners
	WantBodyCentre  // the body's own middle line
	WantPickup      // both ends of the pickup's row of poles
	WantScrewLength // neck_screw_length and body_thickness in kits.csv
	WantPlateHoles  // plate-screw and bridge-screw of the same marks
	WantNeckHoles   // heel-screw and neck-screw of the same marks
	WantLooseHoles  // the same, the parts apart
	WantOverHoles   // string-hole and the feature of the same strings
	WantStringHoles // string-hole of three strings
	WantFretTops    // fret-top at three frets, bass and treble
	WantFloor       // pocket-floor at three places
	WantMoreFloor   // pocket-floor at five places, toward its corners and amid them
	WantHeelHeights // fret-top at three frets, and the heel's sides or widths

	WantMore    // more readings: those there are do not fix it
	WantSound   // readings that fall together: the geometry has no solution
	WantSense   // the readings again that cannot be so
	WantSettled // readings that agree better: the adjustment does not settle
)

// Missing is what a characteristic is short of. The zero Missing is nothing: it is measured.
type Missing struct {
	Want    Want
	Feature measure.Feature
	Datum   measure.Datum
	Mark    int
	Marks   Marks // the strings, holes or sides of which the readings are not there, where others were read
}

// Marks is a set of strings, holes or sides (1 bass, 2 treble) by number, below 128.
type Marks [2]uint64

func (m *Marks) add(mark int) {
	if mark > 0 && mark < 128 {
		m[mark/64] |= 1 << (mark % 64)
	}
}

// without are the marks that another set does not have.
func (m Marks) without(o Marks) Marks { return Marks{m[0] &^ o[0], m[1] &^ o[1]} }

// List has the marks in rising order.
func (m Marks) List() (list []int) {
	for mark := range 128 {
		if m[mark/64]>>(mark%64)&1 != 0 {
			list = append(list, mark)
		}
	}
	return list
}

// None tells that nothing is missing.
func (m Missing) None() bool { return m.Want == Nothing }

// BasisKind says where a characteristic comes from when there is a choice.
type BasisKind uint8

// The bases.
const (
	NoBasis         BasisKind = iota
	AbreastOfBridge           // where the bridge stands along the centre line
	AtScaleLength             // a scale length from the nut
	SaddlesInPlace            // the saddles as read on the body
	BridgeByScrews            // the bridge laid on the body's screw holes
	RowOfHoles                // the row of string holes
	RowOfScrews               // the row of bridge screws
	Symmetric                 // the feature's distances from both edges, taken as symmetric
	GapsFelt                  // gaps felt on both walls
	HeelSeated                // pocket and seated heel
	WidthsInOrder             // first and last widths along pocket and heel
	EndFelt                   // felt at the pocket's end
	FirstCorner               // by the seat rule the first corner touches
	AtFret                    // at the mark
	AtScrew                   // likewise
	AtString                  // likewise
	NeckSeated                // at the mark, the neck seated
	BowOver                   // over a length, so many standard uncertainties from straight where that is told
)

// Basis is where a characteristic comes from.
type Basis struct {
	Kind    BasisKind
	Feature measure.Feature
	Mark    int
	Length  float64 // mm: of a bow, or of a gap from the pocket's end to where it holds; 0 where that is not known
	Ratio   float64

	Read, All int // of a sample, such as frets: how many were read, and how many there are, 0 where nobody says
}

// LimitOrigin says who set a limit.
type LimitOrigin uint8

// The origins of limits.
const (
	NoLimit        LimitOrigin = iota
	CommonPractice             // built in: no published tolerance was found
	LimitTable                 // limits.csv, with the source that it names, if any
	ByCents                    // so many cents of the string, Slack
	ByHeel                     // the heel's thickness, less Slack
	ByScale                    // the nominal scale of kits.csv, Slack either way
	ByClearance                // half of what the feature's hole is wider than the screw
)

// LimitSource is whose limit it is.
type LimitSource struct {
	Origin      LimitOrigin
	Text        string          // of LimitTable: the source as written
	Slack       float64         // mm
	Feature     measure.Feature // whose hole it is
	Hole, Screw float64         // diameters in mm
}

// AdviceKind says what would decide a characteristic that is unsure.
type AdviceKind uint8

// The kinds of advice.
const (
	NoAdvice         AdviceKind = iota
	OnLimit                     // it lies on the limit: no measurement can decide it
	SmallerU                    // it needs the standard uncertainty U
	Repeat                      // read each of Readings so many Times in all
	RepeatMost                  // the Count readings that weigh most, of which Readings are the first
	GiveCompensation            // strings.csv with the strings' compensation
	BetterGauge                 // Times repeats do not do it: it needs the standard uncertainty U
)

// Advice says what would decide an unsure characteristic, should its value stay as it is.
type Advice struct {
	Kind     AdviceKind
	Readings [mostNamed]*measure.Reading // the largest in the budget first; nil beyond the last
	Count    int                         // of RepeatMost
	Times    int                         // how often in all each is to be read
	U        float64                     // standard uncertainty in mm or degrees
}

// mostNamed is how many readings fit into a sentence.
const mostNamed = 4

// WarningKind says what the reader of a report should know before trusting it.
type WarningKind uint8

// The warnings.
const (
	NoWarning      WarningKind = iota
	ReworkedOnly               // judged by what was read after the work
	NoFit                      // the readings could not be adjusted; Err tells why
	NoCircle                   // the points on a corner do not lie on a circle
	AlongNeck                  // frets without an edge: their straightedge is taken to lie along the neck
	Fanned                     // the frets' scales differ by Ratio mm more from bass to treble than kits.csv tells
	ScaledUp                   // the readings differ by Ratio times what their gauges claim
	HeelNotHome                // in the dry fit the heel stands Ratio mm short of the pocket's end
	NoCompensation             // none is built in for this number of Strings
	OffThere                   // Readings of one place agree, and lie off where the others put it by Ratio, in mm
	PastedAgain                // Readings are rows that stand there already, word for word, and were not counted
)

// Warning is one thing to know before trusting a result.
type Warning struct {
	Kind     WarningKind
	Ratio    float64
	Strings  int
	Err      error
	Readings []*measure.Reading
}
