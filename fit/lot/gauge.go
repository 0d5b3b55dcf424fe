package lot

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
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
	Warnings   []Warning
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
		s.Warnings = append(s.Warnings, Warning{Kind: OnePerson})
	}
	held := s.ShareOfTotal(s.Gauge)
	if share, ok := s.ShareOfTolerance(s.Gauge); ok {
		held = share
	}
	switch {
	case s.Total == 0:
		s.Warnings = append(s.Warnings, Warning{Kind: AllEqual})
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

// ANOVALine is one line of an analysis of variance. F is held against the equipment line; F and P
// are 0 where there is nothing to compare.
type ANOVALine struct {
	SumOfSquares float64
	DOF          int
	MeanSquare   float64 // 0 without degrees of freedom
	F, P         float64 // P is the chance of so large an F without an effect
}

// ANOVA is the table of a crossed study with interaction.
type ANOVA struct {
	Appraiser, Part, Interaction, Equipment, Total ANOVALine
	Pooled                                         bool    // the interaction was not significant and counts as equipment
	PooledMeanSquare                               float64 // of both together, when Pooled
}

// poolingLevel is the significance above which the interaction is pooled (AIAG, Measurement Systems
// Analysis, chapter III, analysis of variance method).
const poolingLevel = 0.25

// roundingShare of the total sum of squares is what sums of float64 differences can leave where there
// is nothing: 1e-12 of the spread. No gauge reads that fine.
const roundingShare = 1e-24

// GaugeANOVA judges a crossed, balanced study by analysis of variance with interaction (AIAG,
// Measurement Systems Analysis, chapter III). Tolerance is the width between the limits, 0 for none.
// One person alone is allowed: what persons do is then not known and counts as 0. Negative variance
// components are set to 0. An unbalanced study is an error.
func GaugeANOVA(readings []GaugeReading, tolerance float64) (*GaugeStudy, error) {
	t, err := newTable(readings, tolerance)
	if err != nil {
		return nil, err
	}
	s := t.study(tolerance)
	s.ANOVA = t.analyse()
	s.Variation = s.ANOVA.components(float64(t.parts), float64(t.appraisers), float64(t.trials))
	s.judge()
	return s, nil
}

// analyse splits the sum of squares.
func (t *table) analyse() *ANOVA {
	partMeans, personMeans := t.partMeans(), t.personMeans()
	grand, _ := MeanSD(partMeans)
	trials := float64(t.trials)
	var a ANOVA
	for p, part := range partMeans {
		a.Part.SumOfSquares += square(part-grand) * float64(t.appraisers) * trials
		for k, person := range personMeans {
			cell := t.cellMean(p, k)
			a.Interaction.SumOfSquares += square(cell-part-person+grand) * trials
			for _, v := range t.cells[p][k] {
				a.Equipment.SumOfSquares += square(v - cell)
				a.Total.SumOfSquares += square(v - grand)
			}
		}
	}
	for _, person := range personMeans {
		a.Appraiser.SumOfSquares += square(person-grand) * float64(t.parts) * trials
	}
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction, &a.Equipment} {
		if l.SumOfSquares < roundingShare*a.Total.SumOfSquares {
			l.SumOfSquares = 0
		}
	}
	a.Appraiser.DOF, a.Part.DOF = t.appraisers-1, t.parts-1
	a.Interaction.DOF = a.Appraiser.DOF * a.Part.DOF
	a.Equipment.DOF = t.parts * t.appraisers * (t.trials - 1)
	a.Total.DOF = t.parts*t.appraisers*t.trials - 1
	a.test()
	return &a
}

func square(x float64) float64 { return x * x }

// test fills in mean squares, F ratios and the pooling.
func (a *ANOVA) test() {
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction, &a.Equipment, &a.Total} {
		if l.DOF > 0 {
			l.MeanSquare = l.SumOfSquares / float64(l.DOF)
		}
	}
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction} {
		if l.DOF != 0 && a.Equipment.MeanSquare != 0 {
			l.F = l.MeanSquare / a.Equipment.MeanSquare
			l.P = distuv.F{D1: float64(l.DOF), D2: float64(a.Equipment.DOF)}.Survival(l.F)
		}
	}
	// Without equipment spread there is no test, and any interaction is real.
	significant := a.Interaction.MeanSquare > 0
	if a.Equipment.MeanSquare > 0 {
		significant = a.Interaction.DOF > 0 && a.Interaction.P < poolingLevel
	}
	a.Pooled = !significant
	if a.Pooled {
		squares := a.Interaction.SumOfSquares + a.Equipment.SumOfSquares
		a.PooledMeanSquare = squares / float64(a.Interaction.DOF+a.Equipment.DOF)
	}
}

// components are the variance components of the random model, from the expected mean squares.
func (a *ANOVA) components(parts, appraisers, trials float64) Variation {
	noise, base := a.Equipment.MeanSquare, a.Interaction.MeanSquare
	if a.Pooled {
		noise, base = a.PooledMeanSquare, a.PooledMeanSquare
	}
	component := func(meanSquare, less, times float64) float64 {
		return math.Sqrt(math.Max(0, (meanSquare-less)/times))
	}
	v := Variation{
		Equipment: math.Sqrt(noise),
		Appraiser: component(a.Appraiser.MeanSquare, base, parts*trials),
		Part:      component(a.Part.MeanSquare, base, appraisers*trials),
	}
	if !a.Pooled {
		v.Interaction = component(a.Interaction.MeanSquare, noise, trials)
	}
	v.combine()
	return v
}

// largeStudy is the number of ranges from which on d2* is taken as d2, as AIAG's tables do; the
// difference is then below 2 %, for two trials, and less for more.
const largeStudy = 15

// rangeDivisor is d2*, which turns the mean of g independent ranges of n values into a standard
// deviation: sqrt(d2^2 + d3^2/g) (P. B. Patnaik, Biometrika 37 (1950) 78; A. J. Duncan, Quality
// Control and Industrial Statistics, Appendix D3), or d2 when g is beyond largeStudy.
func rangeDivisor(n, g int) float64 {
	f := FactorsFor(n)
	if g > largeStudy {
		return f.RangeMean
	}
	return math.Hypot(f.RangeMean, f.RangeSD/math.Sqrt(float64(g)))
}

// GaugeAverageRange judges a crossed, balanced study by average and range (AIAG, Measurement Systems
// Analysis, chapter III). It cannot see an interaction, which GaugeANOVA can; tolerance, one person
// and errors are as there. Ranges are of at most MaxSubgroup parts, persons or trials.
func GaugeAverageRange(readings []GaugeReading, tolerance float64) (*GaugeStudy, error) {
	t, err := newTable(readings, tolerance)
	if err != nil {
		return nil, err
	}
	if largest := max(t.parts, t.appraisers, t.trials); largest > MaxSubgroup {
		return nil, fmt.Errorf("average and range needs %d or fewer parts, persons and trials, there are %d: use analysis of variance", MaxSubgroup, largest)
	}
	s := t.study(tolerance)
	s.Equipment = t.meanRange() / rangeDivisor(t.trials, t.parts*t.appraisers)
	if t.appraisers > 1 {
		between := extent(t.personMeans()) / rangeDivisor(t.appraisers, 1)
		chance := s.Equipment * s.Equipment / float64(t.parts*t.trials)
		s.Appraiser = math.Sqrt(math.Max(0, between*between-chance))
	}
	s.Part = extent(t.partMeans()) / rangeDivisor(t.parts, 1)
	s.combine()
	s.judge()
	return s, nil
}

// meanRange is the mean over all cells of the range of their trials.
func (t *table) meanRange() float64 {
	var sum float64
	for _, row := range t.cells {
		for _, trials := range row {
			sum += extent(trials)
		}
	}
	return sum / float64(t.parts*t.appraisers)
}

// extent is the largest value less the smallest.
func extent(values []float64) float64 { return slices.Max(values) - slices.Min(values) }

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
	parts, persons := names{at: map[string]int{}}, names{at: map[string]int{}}
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
	if _, ok := n.at[s]; !ok {
		n.at[s] = len(n.list)
		n.list = append(n.list, s)
	}
	return n.at[s]
}

// study starts the result.
func (t *table) study(tolerance float64) *GaugeStudy {
	return &GaugeStudy{Parts: t.parts, Appraisers: t.appraisers, Trials: t.trials, Tolerance: tolerance}
}

// cellMean is the mean of the trials of one person on one part.
func (t *table) cellMean(part, appraiser int) float64 {
	m, _ := MeanSD(t.cells[part][appraiser])
	return m
}

// partMeans and personMeans are means over everything else.
func (t *table) partMeans() []float64 { return means(t.parts, t.appraisers, t.cellMean) }

func (t *table) personMeans() []float64 {
	return means(t.appraisers, t.parts, func(person, part int) float64 { return t.cellMean(part, person) })
}

// means are those of n things over m others.
func means(n, m int, of func(thing, other int) float64) []float64 {
	list := make([]float64, n)
	for i := range list {
		for k := range m {
			list[i] += of(i, k) / float64(m)
		}
	}
	return list
}
