// Package measure holds what was read, with what and in which unit: it reads the tables of a
// batch (readings, gauges, limits, kits, strings), refuses what it does not understand with the
// place and the cure, and hands on kits whose every number is in millimetres. It does no geometry.
package measure

// Place is where something was written: a file (as the user named it) and a line, from 1.
type Place struct {
	File string
	Line int
}

// Mark tells several features of one name apart: a hole, string or fret number (1 up; string 1
// is the highest pitched, so the treble-most), or a name such as a cavity's or a corner's.
// The zero Mark means that the feature has none.
type Mark struct {
	Number int
	Name   string
}

// Reading is one row of readings.csv, checked and converted.
type Reading struct {
	Datum   Datum
	Feature Feature
	Mark    Mark
	To      Mark // second mark of a distance
	Kind    Kind

	// Station, Offset and Size are in millimetres. HasStation and HasOffset tell whether the two
	// were given; Size is there exactly when Kind needs one.
	Station, Offset, Size float64
	HasStation, HasOffset bool

	// Gauge read the offset or size, StationGauge the station; neither is ever nil.
	Gauge, StationGauge *Gauge

	Trial    int
	Stage    Stage
	By, Note string
	Place    Place
}

// Gauge is one row of gauges.csv; lengths in millimetres.
type Gauge struct {
	ID            string
	Kind          string
	Resolution    float64 // smallest step shown; rectangular, so variance resolution^2/12
	MaxError      float64 // greatest error, common to all its readings in a kit; rectangular, MaxError^2/3
	Repeatability float64 // standard deviation of one reading by one person
	Place         Place   // zero for a built-in gauge
}

// Info is one row of kits.csv; lengths in millimetres, zero where not given.
type Info struct {
	Kit, Lot, Supplier, Wood string
	LeftHanded               bool
	Strings                  int     // number of strings
	Frets                    int     // number of the last fret
	Scale                    float64 // nominal scale length
	NutSpread                float64 // outer strings' distance at the nut, centre to centre
	NeckScrew, BridgeScrew   float64 // major diameters of the screws
	Action, NutHeight        float64 // of the strings over the fret plane, wanted at fret 12 and at the nut
	Place                    Place
}

// Kit is one kit with all its readings, in the order of the file.
type Kit struct {
	Name     string
	Info     Info // zero but for Kit when kits.csv does not name it
	Readings []Reading
}

// Limit is one row of limits.csv. An open end is an infinity.
type Limit struct {
	Characteristic string
	Lower, Upper   float64 // in millimetres or degrees, as the characteristic is
	Class          Class
	Source         string
	Place          Place // zero for a built-in limit
}

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

// Strings maps a string's number (1 = highest pitched) to its compensation, the length in
// millimetres that is added to the scale length for that string.
type Strings map[int]float64
