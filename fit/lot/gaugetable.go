package lot

import (
	"errors"
	"fmt"
	"math"
)

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
