package lot

import (
	"fmt"
	"math"
)

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
func extent(values []float64) float64 {
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return high - low
}
