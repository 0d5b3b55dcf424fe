package lot

import "math"

// GaugeReading is one reading of a gauge study. Part is the piece (or the place on it) that was
// read, Appraiser who read it.
type GaugeReading struct {
	Part, Appraiser string
	Value           float64
}

// Variation is the spread of a gauge study by cause, as standard deviations in the values' unit.
type Variation struct {
	Equipment   float64 // EV, repeatability: one person, one part, again and again
	Appraiser   float64 // AV: persons differ, on all parts alike
	Interaction float64 // persons differ on some parts and not on others; 0 when pooled
	Gauge       float64 // GRR: the three together
	Part        float64 // PV: the parts differ
	Total       float64 // TV: Gauge and Part together
}

// Trouble is what the measurement's spread mostly comes from.
type Trouble uint8

// The troubles. A spread is no trouble while Gauge is below 10 % of what it is held against.
const (
	TroubleUnknown Trouble = iota // the study has no spread at all
	NoTrouble
	GaugeTrouble   // readings by one person scatter: a finer gauge, or the mean of several readings
	PersonTrouble  // persons read differently: agree on how to hold and read the gauge
	FeatureTrouble // persons differ part by part: say where exactly the feature is to be touched
)

// String is one word for whose the trouble is.
func (t Trouble) String() string {
	return [...]string{"unknown", "none", "gauge", "person", "feature"}[t]
}

// GaugeStudy is the outcome of a crossed study by one method.
type GaugeStudy struct {
	Parts, Appraisers, Trials int
	Variation
	ANOVA      *ANOVA  // nil for average and range
	Tolerance  float64 // upper less lower limit; 0 when not given
	Categories int     // ndc: how many classes of parts can be told apart; 0 when the gauge has no spread
	Trouble    Trouble
	Warnings   []string
}

// The guideline of AIAG, Measurement Systems Analysis, chapter III: below 10 % a gauge is adequate,
// above 30 % it is not.
const (
	GaugeAdequate   = 0.10
	GaugeInadequate = 0.30
)

// ShareOfTotal returns a standard deviation of the study as a share of the total variation, 0 to 1
// (AIAG's %EV, %AV, %GRR, %PV); 0 when the study has no spread.
func (s *GaugeStudy) ShareOfTotal(sd float64) float64 {
	if s.Total == 0 {
		return 0
	}
	return sd / s.Total
}

// ShareOfTolerance returns six standard deviations as a share of the tolerance (AIAG 4th edition);
// ok is false when no tolerance was given.
func (s *GaugeStudy) ShareOfTolerance(sd float64) (share float64, ok bool) {
	if s.Tolerance == 0 {
		return 0, false
	}
	return 6 * sd / s.Tolerance, true
}

// Repeatability is the standard deviation of one reading by one person, which is what the column
// repeatability of gauges.csv wants.
func (s *GaugeStudy) Repeatability() float64 { return s.Equipment }

// categoryFactor is AIAG's, the square root of two as printed.
const categoryFactor = 1.41

// judge fills in what follows from the variation and the tolerance, which must not be negative.
func (s *GaugeStudy) judge() {
	if s.Gauge > 0 {
		s.Categories = max(1, int(categoryFactor*s.Part/s.Gauge))
	}
	if s.Appraisers == 1 {
		s.Warnings = append(s.Warnings, "one person read everything: a second shows whether persons differ")
	}
	held := s.ShareOfTotal(s.Gauge)
	if share, ok := s.ShareOfTolerance(s.Gauge); ok {
		held = share
	}
	switch {
	case s.Total == 0:
		s.Warnings = append(s.Warnings, "all readings are equal: a finer gauge is needed to see a spread")
	case held < GaugeAdequate:
		s.Trouble = NoTrouble
	case s.Interaction > s.Equipment && s.Interaction > s.Appraiser:
		s.Trouble = FeatureTrouble
	case s.Appraiser > s.Equipment:
		s.Trouble = PersonTrouble
	default:
		s.Trouble = GaugeTrouble
	}
}

// GaugeShares returns the shares of the gauge's variance, which add to 1, that are the gauge's own,
// the persons' and the feature's; all 0 when Gauge is.
func (v Variation) GaugeShares() (gauge, person, feature float64) {
	if v.Gauge == 0 {
		return 0, 0, 0
	}
	return square(v.Equipment / v.Gauge), square(v.Appraiser / v.Gauge), square(v.Interaction / v.Gauge)
}

// combine fills in Gauge and Total from their parts.
func (v *Variation) combine() {
	v.Gauge = math.Hypot(math.Hypot(v.Equipment, v.Appraiser), v.Interaction)
	v.Total = math.Hypot(v.Gauge, v.Part)
}
