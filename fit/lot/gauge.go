package lot

import (
	"errors"
	"fmt"
	"math"
)

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

// combine fills in Gauge and Total from their parts.
func (v *Variation) combine() {
	v.Gauge = math.Hypot(math.Hypot(v.Equipment, v.Appraiser), v.Interaction)
	v.Total = math.Hypot(v.Gauge, v.Part)
}

// table is a balanced study: cells[part][appraiser] holds the trials, less the study's first reading,
// since only differences matter and they keep more digits that way. The order is that of first
// appearance.
type table struct {
	cells                     [][][]float64
	parts, appraisers, trials int
}

// newTable sorts readings into cells and refuses what is not a crossed, balanced study of at least
// two parts and two trials.
func newTable(readings []GaugeReading, tolerance float64) (*table, error) {
	if len(readings) == 0 {
		return nil, errors.New("a gauge study needs readings, there are none")
	}
	if !(tolerance >= 0) || math.IsInf(tolerance, 1) {
		return nil, fmt.Errorf("tolerance %v must be a positive width, or 0 for none", tolerance)
	}
	parts, persons := names{}, names{}
	cells := map[[2]int][]float64{}
	for i, r := range readings {
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) {
			return nil, fmt.Errorf("reading %d is %v: only finite numbers can be judged", i+1, r.Value)
		}
		at := [2]int{parts.index(r.Part), persons.index(r.Appraiser)}
		cells[at] = append(cells[at], r.Value-readings[0].Value)
	}
	t := &table{parts: len(parts.list), appraisers: len(persons.list), trials: len(cells[[2]int{0, 0}])}
	if t.parts < 2 || t.trials < 2 {
		return nil, fmt.Errorf("a gauge study needs 2 or more parts and 2 or more trials of each, there are %d and %d", t.parts, t.trials)
	}
	for p := range t.parts {
		row := make([][]float64, t.appraisers)
		for a := range row {
			row[a] = cells[[2]int{p, a}]
			if len(row[a]) != t.trials {
				return nil, fmt.Errorf("unbalanced gauge study: %q read part %q %d times, %q read part %q %d times; every person must read every part equally often",
					persons.list[a], parts.list[p], len(row[a]), persons.list[0], parts.list[0], t.trials)
			}
		}
		t.cells = append(t.cells, row)
	}
	return t, nil
}

// names numbers strings in the order of first appearance.
type names struct {
	list []string
	at   map[string]int
}

func (n *names) index(s string) int {
	i, ok := n.at[s]
	if !ok {
		if n.at == nil {
			n.at = map[string]int{}
		}
		i = len(n.list)
		n.at[s] = i
		n.list = append(n.list, s)
	}
	return i
}

// study starts the result.
func (t *table) study(tolerance float64) *GaugeStudy {
	return &GaugeStudy{Parts: t.parts, Appraisers: t.appraisers, Trials: t.trials, Tolerance: tolerance}
}

// cellMean is the mean of the trials of one person on one part.
func (t *table) cellMean(part, appraiser int) float64 {
	m, _ := meanSD(t.cells[part][appraiser])
	return m
}

// partMeans and personMeans are means over everything else.
func (t *table) partMeans() []float64 {
	means := make([]float64, t.parts)
	for p := range means {
		for a := range t.appraisers {
			means[p] += t.cellMean(p, a) / float64(t.appraisers)
		}
	}
	return means
}

func (t *table) personMeans() []float64 {
	means := make([]float64, t.appraisers)
	for a := range means {
		for p := range t.parts {
			means[a] += t.cellMean(p, a) / float64(t.parts)
		}
	}
	return means
}
