package study

import (
	"math"

	"neckfit/fit/lot"
	"neckfit/measure"
)

// Study is the outcome for one gauge, at all places or at one kind of place.
type Study struct {
	Gauge     string
	Given     measure.Gauge // as gauges.csv has it
	Label     string        // feature and kind; empty for all places together
	Tolerance Tolerance

	Places, People int // that were read repeatedly
	Readings       int // at those places
	Left           int // of them left out of the crossed study, which wants as many readings in each cell

	// Within is the pooled standard deviation of one person's readings of one place, with its
	// degrees of freedom: it needs no balance.
	Within float64
	DOF    int

	ANOVA *lot.GaugeStudy // by analysis of variance; nil when Why says why there is none
	Range *lot.GaugeStudy // by average and range; nil likewise, or for more than lot.MaxSubgroup parts
	Why   string
}

// One tells whether all places are of one kind, so that their spread is that of the parts. Over
// places of several kinds the part's share and the number of categories mean nothing.
func (s *Study) One() bool { return s.Label != "" }

// Repeatability is the standard deviation of one reading by one person, in mm, to be written into
// gauges.csv. Rounding to the gauge's resolution is in it already and will be counted once more, by
// resolution^2/12 of variance: on the safe side.
func (s *Study) Repeatability() float64 {
	if s.ANOVA != nil {
		return s.ANOVA.Repeatability()
	}
	return s.Within
}

// Spread is the whole standard deviation of the measurement: gauge, persons and features.
func (s *Study) Spread() float64 {
	if s.ANOVA != nil {
		return s.ANOVA.Gauge
	}
	return s.Within
}

// Share is six standard deviations of the measurement as a share of the tolerance.
func (s *Study) Share() float64 { return 6 * s.Spread() / s.Tolerance.Width }

// Judge makes the studies: for each gauge with repeated readings one over all its places, followed
// by one for each kind of place where there are several kinds. Gauges keep their order of first
// appearance.
func (c *Collection) Judge(t Tolerance) []*Study {
	var all []*Study
	for _, g := range c.gauges {
		var places []*place
		for _, p := range g.places {
			if p.repeated() {
				places = append(places, p)
			}
		}
		if len(places) == 0 {
			continue
		}
		labels := labelsOf(places)
		if len(labels) > 1 {
			all = append(all, g.study("", places, t))
		}
		for _, l := range labels {
			var of []*place
			for _, p := range places {
				if p.label == l {
					of = append(of, p)
				}
			}
			all = append(all, g.study(l, of, t))
		}
	}
	return all
}

func (g *gauge) study(label string, places []*place, t Tolerance) *Study {
	s := &Study{Gauge: g.id, Given: g.given, Label: label, Tolerance: t, Places: len(places)}
	people := peopleOf(places)
	s.People = len(people)
	s.pool(places)
	readings := crossed(places, people)
	s.Left = s.Readings - len(readings)
	if len(readings) == 0 {
		s.Left, s.Why = 0, "no two places were read twice or more by everybody"
		return s
	}
	var err error
	if s.ANOVA, err = lot.GaugeANOVA(readings, t.Width); err != nil {
		s.ANOVA, s.Why = nil, err.Error()
		return s
	}
	if s.Range, err = lot.GaugeAverageRange(readings, t.Width); err != nil {
		s.Range = nil // more parts than ranges are good for
	}
	return s
}

// pool works out Within.
func (s *Study) pool(places []*place) {
	squares := 0.0
	for _, p := range places {
		for _, by := range p.people {
			v := p.values[by]
			s.Readings += len(v)
			s.DOF += len(v) - 1
			mean := 0.0
			for _, x := range v {
				mean += (x - v[0]) / float64(len(v))
			}
			for _, x := range v {
				squares += (x - v[0] - mean) * (x - v[0] - mean)
			}
		}
	}
	if s.DOF > 0 {
		s.Within = math.Sqrt(squares / float64(s.DOF))
	}
}

// crossed picks a balanced study: places that everybody read at least so many times, with as many
// first trials as leave the most readings. It is empty for fewer than two such places.
func crossed(places []*place, people []string) []lot.GaugeReading {
	trials := bestTrials(places, people)
	if trials == 0 {
		return nil
	}
	var list []lot.GaugeReading
	for _, p := range places {
		if p.fewest(people) < trials {
			continue
		}
		for _, by := range people {
			for _, v := range p.values[by][:trials] {
				list = append(list, lot.GaugeReading{Part: p.name, Appraiser: by, Value: v})
			}
		}
	}
	return list
}

// fewest is how often the place was read by whoever read it least.
func (p *place) fewest(people []string) int {
	n := math.MaxInt
	for _, by := range people {
		n = min(n, len(p.values[by]))
	}
	return n
}

// bestTrials is the number of trials, 2 or more, at which the most readings of two places or more
// take part; 0 when there is none.
func bestTrials(places []*place, people []string) int {
	exactly := map[int]int{}
	highest := 0
	for _, p := range places {
		n := p.fewest(people)
		exactly[n]++
		highest = max(highest, n)
	}
	best, most, enough := 0, 0, 0
	for t := highest; t >= 2; t-- {
		enough += exactly[t]
		if enough >= 2 && enough*t > most {
			best, most = t, enough*t
		}
	}
	return best
}
