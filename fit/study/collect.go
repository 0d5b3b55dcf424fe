// Package study makes gauge studies of a batch in which places were read repeatedly, by one person
// or several: it sorts the readings by gauge, place and person, and leaves the statistics to
// fit/lot. All values are lengths in mm.
package study

import (
	"cmp"
	"fmt"

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

// repeated tells whether a place was read more than once by anybody.
func (p *place) repeated() bool {
	for _, v := range p.values {
		if len(v) > 1 {
			return true
		}
	}
	return false
}

// labels of places in order of first appearance.
func labelsOf(places []*place) []string {
	var list []string
	seen := map[string]bool{}
	for _, p := range places {
		if !seen[p.label] {
			seen[p.label] = true
			list = append(list, p.label)
		}
	}
	return list
}

// peopleOf lists who read the places, in order of first appearance.
func peopleOf(places []*place) []string {
	var list []string
	seen := map[string]bool{}
	for _, p := range places {
		for _, by := range p.people {
			if !seen[by] {
				seen[by] = true
				list = append(list, by)
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

// Narrowest is the narrowest two-sided limit of a length; user limits override built-in ones by
// name. ok is false when there is none.
func Narrowest(user, builtIn []measure.Limit, known map[string]measure.Dimension) (t Tolerance, ok bool) {
	overridden := map[string]bool{}
	for _, l := range user {
		overridden[l.Characteristic] = true
	}
	for i, list := range [][]measure.Limit{user, builtIn} {
		for _, l := range list {
			width := l.Upper - l.Lower // infinite with an open end
			if i == 1 && overridden[l.Characteristic] || known[l.Characteristic] != measure.Length || !(width > 0 && width < 1e6) {
				continue // no instrument has a tolerance of a kilometre
			}
			if !ok || cmp.Compare(width, t.Width) < 0 {
				t, ok = Tolerance{width, l.Characteristic}, true
			}
		}
	}
	return t, ok
}
