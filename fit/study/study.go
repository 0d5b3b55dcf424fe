// Package study makes gauge studies of a batch in which places were read repeatedly, by one person
// or several: it sorts the readings by gauge, place and person, and leaves the statistics to
// fit/lot. All values are lengths in mm.
package study

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"neckfit/fit/lot"
	"neckfit/measure"
)

// Collection gathers repeated readings, kit by kit; the zero value is ready to use. A part of the
// study is a place that was read: one feature of one kit, at one station where it has several.
type Collection struct {
	gauges []*gauge
	index  map[string]*gauge
}

// gauge is all that was read with one gauge, in order of first appearance.
type gauge struct {
	id     string
	given  measure.Gauge
	places []*place
	index  map[string]*place
}

// place is one part of the study.
type place struct {
	name, label string
	people      []string // in order of first appearance
	values      map[string][]float64
}

// Add takes in a kit's readings. A point counts twice: its offset for the one gauge, its station
// for the other.
func (c *Collection) Add(kit *measure.Kit) {
	for i := range kit.Readings {
		r := &kit.Readings[i]
		label := r.Feature.String() + " " + r.Kind.String()
		where := fmt.Sprintf("%s|%s|%s|%v|%v", kit.Name, r.Datum, label, r.Mark, r.To)
		switch r.Kind {
		case measure.Point:
			c.note(r.Gauge, where+"|across", label+", offset", r.By, r.Offset)
			c.note(r.StationGauge, where+"|along", label+", station", r.By, r.Station)
		case measure.Station, measure.StationNear, measure.StationFar:
			c.note(r.StationGauge, where+at(r.HasOffset, r.Offset), label, r.By, r.Station)
		case measure.Offset, measure.OffsetNear, measure.OffsetFar:
			c.note(r.Gauge, where+at(r.HasStation, r.Station), label, r.By, r.Offset)
		default:
			c.note(r.Gauge, where+at(r.HasStation, r.Station)+at(r.HasOffset, r.Offset), label, r.By, r.Size)
		}
	}
}

// at says where along or across a place lies; the number is where it was meant to be read.
func at(has bool, x float64) string {
	if !has {
		return "|"
	}
	return fmt.Sprintf("|%v", x)
}

func (c *Collection) note(g *measure.Gauge, where, label, by string, value float64) {
	if c.index == nil {
		c.index = map[string]*gauge{}
	}
	own := c.index[g.ID]
	if own == nil {
		own = &gauge{id: g.ID, given: *g, index: map[string]*place{}}
		c.index[g.ID], c.gauges = own, append(c.gauges, own)
	}
	p := own.index[where]
	if p == nil {
		p = &place{name: where, label: label, values: map[string][]float64{}}
		own.index[where], own.places = p, append(own.places, p)
	}
	if _, ok := p.values[by]; !ok {
		p.people = append(p.people, by)
	}
	p.values[by] = append(p.values[by], value)
}

// distinct lists what places have of something, each once, in order of first appearance.
func distinct(places []*place, of func(*place) []string) (list []string) {
	for _, p := range places {
		for _, name := range of(p) {
			if !slices.Contains(list, name) {
				list = append(list, name)
			}
		}
	}
	return list
}

// Tolerance is the width between two limits that gauges are held against, in mm, and whose it is.
type Tolerance struct {
	Width float64
	Of    string
}

// Narrowest is the narrowest two-sided limit of a length that is not minor; user limits override
// built-in ones by name, and without a class count as they stand. ok is false when there is none.
func Narrowest(user, builtIn []measure.Limit, known map[string]measure.Dimension) (t Tolerance, ok bool) {
	overridden := map[string]bool{}
	for _, l := range user {
		overridden[l.Characteristic] = true
	}
	for i, list := range [][]measure.Limit{user, builtIn} {
		for _, l := range list {
			width := l.Upper - l.Lower // infinite with an open end
			if i == 1 && overridden[l.Characteristic] || known[l.Characteristic] != measure.Length || l.Class == measure.Minor || !(width > 1e-4 && width < 1e6) {
				continue // no instrument has a tolerance of a tenth of a micrometre, or of a kilometre
			}
			if !ok || cmp.Compare(width, t.Width) < 0 {
				t, ok = Tolerance{width, l.Characteristic}, true
			}
		}
	}
	return t, ok
}

// Study is the outcome for one gauge, at all places or at one kind of place.
type Study struct {
	Gauge     string
	Given     measure.Gauge // as gauges.csv has it
	Label     string        // feature and kind; empty for all places together
	Tolerance Tolerance

	Places, People int // that were read repeatedly
	Readings       int // at those places
	Left           int // of them left out of the crossed study, which wants as many readings in each cell

	// Persons are those who read, in order of first appearance, and Deviations every reading at those places.
	Persons    []string
	Deviations []Deviation

	// Within is the pooled standard deviation of one person's readings of one place, with its
	// degrees of freedom: it needs no balance.
	Within float64
	DOF    int

	ANOVA *lot.GaugeStudy // by analysis of variance; nil where no two places were read twice or more by everybody
	Range *lot.GaugeStudy // by average and range; nil likewise, or for more than lot.MaxSubgroup parts
}

// Deviation is by how many mm a reading differs from the mean of its place, in which every person's mean counts
// alike. Places and persons are counted from 0.
type Deviation struct {
	Place, Person int
	MM            float64
}

// One tells whether all places are of one kind, so that their spread is that of the parts. Over
// places of several kinds the part's share and the number of categories mean nothing.
func (s *Study) One() bool { return s.Label != "" }

// Reproducibility is the standard deviation between persons, in mm, to be written into gauges.csv: of
// their means, and of what they make of one place and another. 0 where one person read, or none was found.
func (s *Study) Reproducibility() float64 {
	if s.ANOVA == nil {
		return 0
	}
	return math.Hypot(s.ANOVA.Appraiser, s.ANOVA.Interaction)
}

// tenths rounds mm to a tenth of a micrometre: more digits no study carries.
func tenths(mm float64) float64 { return math.Round(mm*1e4) / 1e4 }

// Gauges are those given, with what the studies over all of a gauge's places found.
func Gauges(given []measure.Gauge, studies []*Study) []measure.Gauge {
	list := slices.Clone(given)
	for i := range list {
		for _, s := range studies { // the first of a gauge is that over all its places
			if s.Gauge == list[i].ID && s.Repeatability() > 0 { // repeats that are all equal show nothing
				list[i].Repeatability, list[i].Reproducibility = tenths(s.Repeatability()), tenths(s.Reproducibility())
				break
			}
		}
	}
	return list
}

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
func (c *Collection) Judge(t Tolerance) (all []*Study) {
	for _, g := range c.gauges {
		var places []*place
		for _, p := range g.places {
			for _, by := range p.people {
				if len(p.values[by]) > 1 { // read again by the same person
					places = append(places, p)
					break
				}
			}
		}
		if len(places) == 0 {
			continue
		}
		labels := distinct(places, func(p *place) []string { return []string{p.label} })
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
	s.Persons = distinct(places, func(p *place) []string { return p.people })
	s.People = len(s.Persons)
	s.pool(places)
	readings := crossed(places, s.Persons)
	s.Left = s.Readings - len(readings)
	if len(readings) == 0 {
		s.Left = 0
		return s
	}
	var err error
	if s.ANOVA, err = lot.GaugeANOVA(readings, t.Width); err != nil {
		panic(err) // crossed made the study balanced
	}
	if s.Range, err = lot.GaugeAverageRange(readings, t.Width); err != nil {
		s.Range = nil // more parts than ranges are good for
	}
	return s
}

// pool works out Within and the deviations.
func (s *Study) pool(places []*place) {
	squares := 0.0
	for at, p := range places {
		means, centre := make([]float64, len(p.people)), 0.0
		for i, by := range p.people {
			v := p.values[by]
			s.Readings += len(v)
			s.DOF += len(v) - 1
			from := 0.0
			for _, x := range v {
				from += (x - v[0]) / float64(len(v))
			}
			for _, x := range v {
				squares += (x - v[0] - from) * (x - v[0] - from)
			}
			means[i] = v[0] + from
			centre += (means[i] - means[0]) / float64(len(p.people))
		}
		for _, by := range p.people {
			for _, x := range p.values[by] {
				s.Deviations = append(s.Deviations, Deviation{at, slices.Index(s.Persons, by), x - means[0] - centre})
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
	exactly, highest := map[int]int{}, 0
	for _, p := range places {
		n := p.fewest(people)
		exactly[n]++
		highest = max(highest, n)
	}
	trials, most, enough := 0, 0, 0
	for t := highest; t >= 2; t-- {
		if enough += exactly[t]; enough >= 2 && enough*t > most {
			trials, most = t, enough*t
		}
	}
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
