package fit

import "neckfit/measure"

// Verdict is what is said of a characteristic or a kit. Its zero value says nothing.
type Verdict uint8

// The verdicts.
const (
	NotMeasured Verdict = iota // the readings for it are missing: neither a pass nor a failure
	NotJudged                  // measured, but nobody set a limit
	Pass
	Unsure // the uncertainty straddles a limit
	Fail
)

// Way is how the readings were taken.
type Way uint8

// The ways of working, in rising order of effort and knowledge.
const (
	NoWay Way = iota
	EdgeCheck
	DryFit
	LooseParts
)

// Characteristic is one line of a tolerance table.
type Characteristic struct {
	ID        ID
	Dimension measure.Dimension // Length in mm, Angle in degrees

	Value          float64
	StdUncertainty float64
	Common         float64 // of it, what the gauges' maximum errors bring: the same shift for every kit read with them
	Missing        Missing // the readings that would give it
	Basis          Basis   // where it comes from when there is a choice

	Lower, Upper float64 // an open end is an infinity
	Class        measure.Class
	LimitSource  LimitSource

	P       float64 // probability that the true value lies inside the limits (JCGM 106)
	Verdict Verdict
	Advice  Advice // for Unsure: what to read again, and how often, to decide it

	Budget []Contribution // largest first
}

// Contribution is one line of an uncertainty budget: a reading's own, or a gauge's common error.
type Contribution struct {
	Reading *measure.Reading // nil for a gauge
	Gauge   *measure.Gauge   // nil for a reading
	Std     float64          // standard uncertainty that it adds, same unit as the characteristic; a gauge's is signed
	Share   float64          // of the variance, 0 to 1
}

// Swing is the range of the centre-line error that the pocket's clearance allows, in mm.
type Swing struct {
	Low, High float64
}

// Suspect is a reading that does not agree with the others of its kit.
type Suspect struct {
	Reading  *measure.Reading
	W        float64 // standardised residual
	Critical float64 // what |W| was held against
	Read     float64 // mm, as read
	Expected float64 // mm, what the other readings say
}

// Result is everything that is known of one kit.
type Result struct {
	Kit             string
	Info            measure.Info
	Way             Way
	Verdict         Verdict
	Characteristics []Characteristic // always all of them, in the order of Catalogue
	Swing           *Swing           // nil where it is not known
	Model           *Model           // nil unless Options.Model asked for it
	Residuals       []Residual       // of every number read; nil unless Options.Model asked for them
	Suspects        []Suspect
	Warnings        []Warning

	Readings  int
	DOF       int     // redundant readings
	ChiSquare float64 // of the readings' residuals
	Scale     float64 // at least 1: what the gauges' own uncertainties were multiplied by (Birge)
}

// Find is a characteristic of the result; nil when the result does not have it, as one that was put
// together by hand may not.
func (r *Result) Find(id ID) *Characteristic {
	for i := range r.Characteristics {
		if r.Characteristics[i].ID == id {
			return &r.Characteristics[i]
		}
	}
	return nil
}

// Measured tells whether the characteristic has a value.
func (c *Characteristic) Measured() bool { return c.Missing.None() && c.Verdict != NotMeasured }
