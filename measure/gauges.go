package measure

import (
	"fmt"
	"io"
	"strings"
)

// The ids of the built-in gauges that stand for blank gauge cells.
const (
	Calliper = "calliper" // reads offsets and sizes
	Rule     = "rule"     // reads stations
	Feeler   = "feeler"   // reads gaps
)

// BuiltInGauges gives the gauges that need no gauges.csv, in mm.
//
// Calliper: an ordinary digital one. 0.01 display and 0.03 maximum error (to 300 mm) are a vendor's
// summary of ISO 13385-1; 0.05 repeatability on wood is common practice, no source. Rule: graduated
// in 0.5 mm; all its values are common practice, no source. Feeler: leaves in steps of 0.05; all its
// values are common practice, no source.
func BuiltInGauges() []Gauge {
	return []Gauge{
		{ID: Calliper, Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05},
		{ID: Rule, Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.15},
		{ID: Feeler, Kind: "feeler", Resolution: 0.05, MaxError: 0.01, Repeatability: 0.02},
	}
}

// gaugeRow is a row of gauges.csv as it is written.
type gaugeRow struct {
	Gauge         string `csv:"gauge"`
	Kind          string `csv:"kind"`
	Resolution    string `csv:"resolution"`
	MaxError      string `csv:"max_error"`
	Repeatability string `csv:"repeatability"`
	Unit          string `csv:"unit"`
}

var gaugesTable = &table{"gauges.csv", []column{
	{"gauge", true}, {"kind", false}, {"resolution", false}, {"max_error", false}, {"repeatability", false}, {"unit", false},
}}

// gaugeSet finds gauges by their id.
type gaugeSet map[string]*Gauge

func builtInGaugeSet() gaugeSet {
	set := gaugeSet{}
	for _, g := range BuiltInGauges() {
		set[g.ID] = &g
	}
	return set
}

// read adds the rows of a gauges.csv. A row with a built-in gauge's id takes its place. One that is
// wrong is there all the same, so that nothing is said of the readings that name it.
func (s gaugeSet) read(file string, in io.Reader, errs *collector) error {
	return readTable(gaugesTable, file, in, errs, func(w *gaugeRow, r *row) error {
		g := w.decode(r)
		if _, there := s[g.ID]; !r.bad || g.ID != "" && !there {
			s.add(g, r)
		}
		return nil
	})
}

func (w *gaugeRow) decode(r *row) *Gauge {
	u := r.unit(w.Unit)
	g := &Gauge{ID: r.name("gauge", w.Gauge), Kind: r.text("kind", w.Kind), Place: r.Place}
	g.Resolution, _ = r.notNegative("resolution", w.Resolution, u)
	g.MaxError, _ = r.notNegative("max_error", w.MaxError, u)
	g.Repeatability, _ = r.notNegative("repeatability", w.Repeatability, u)
	if !r.bad && g.Resolution+g.MaxError+g.Repeatability == 0 {
		r.fail("gauge", "gauge "+quote(g.ID)+" has no uncertainty at all", "at least one of resolution, max_error and repeatability above 0")
	}
	return g
}

func (s gaugeSet) add(g *Gauge, r *row) {
	if old, ok := s[g.ID]; ok && old.Place != (Place{}) {
		r.failCell("gauge", g.ID, fmt.Sprintf("is there already on line %d", old.Place.Line), "another id")
		return
	}
	s[g.ID] = g
}

// ids lists the known gauges: the built-in ones, then the others by name.
func (s gaugeSet) ids() []string {
	ids := []string{Calliper, Rule, Feeler}
	return append(ids, sortedKeys(s, ids)...)
}

// pick finds the gauge that a cell names, or the one that stands for a blank.
func (s gaugeSet) pick(column, cell, blank string, r *row) *Gauge {
	id := strings.TrimSpace(cell)
	if id == "" {
		id = blank
	}
	g, ok := s[id]
	if !ok {
		r.failOnce(column, id, "is not in gauges.csv", "one of "+strings.Join(s.ids(), ", "))
	}
	return g
}
