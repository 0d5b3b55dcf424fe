package measure

import (
	"fmt"
	"io"
	"maps"
	"slices"

	"neckfit/measure/csvtext"
)

// Gauge is one row of gauges.csv; lengths in millimetres.
type Gauge struct {
	ID            string
	Kind          string
	Resolution    float64 // smallest step shown; rectangular, so variance resolution^2/12
	MaxError      float64 // greatest error, common to all its readings in a kit; rectangular, MaxError^2/3
	Repeatability float64 // standard deviation of one reading by one person
	Place         Place   // zero for a built-in gauge
}

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

var gaugesTable = csvtext.NewTable[gaugeRow]("gauges.csv", "gauge")

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
func (s gaugeSet) read(file string, in io.Reader, errs *csvtext.Collector) error {
	return read(gaugesTable, file, in, errs, func(w *gaugeRow, r *csvtext.Row) {
		g := w.decode(r)
		if _, there := s[g.ID]; !r.Bad || g.ID != "" && !there {
			s.add(g, r)
		}
	})
}

func (w *gaugeRow) decode(r *csvtext.Row) *Gauge {
	u := r.Unit(w.Unit)
	g := &Gauge{ID: r.ID("gauge", w.Gauge), Kind: r.Text("kind", w.Kind), Place: r.Place}
	g.Resolution, _ = r.NotNegative("resolution", w.Resolution, u)
	g.MaxError, _ = r.NotNegative("max_error", w.MaxError, u)
	g.Repeatability, _ = r.NotNegative("repeatability", w.Repeatability, u)
	if !r.Bad && g.Resolution+g.MaxError+g.Repeatability == 0 {
		r.Fail("gauge", "gauge "+csvtext.Quote(g.ID)+" has no uncertainty at all", "at least one of resolution, max_error and repeatability above 0")
	}
	return g
}

func (s gaugeSet) add(g *Gauge, r *csvtext.Row) {
	if old, ok := s[g.ID]; ok && old.Place != (Place{}) {
		r.FailCell("gauge", g.ID, fmt.Sprintf("is there already on line %d", old.Place.Line), "another id")
		return
	}
	s[g.ID] = g
}

// ids lists the known gauges: the built-in ones, then the others by name.
func (s gaugeSet) ids() []string {
	ids := []string{Calliper, Rule, Feeler}
	for _, id := range slices.Sorted(maps.Keys(s)) {
		if !slices.Contains(ids[:3], id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// WriteGauges writes a gauges.csv in mm.
func WriteGauges(out io.Writer, gauges []Gauge) error {
	var n csvtext.Numbers
	rows := make([]gaugeRow, len(gauges))
	for i, g := range gauges {
		rows[i] = gaugeRow{g.ID, g.Kind, n.Exact(g.Resolution), n.Exact(g.MaxError), n.Exact(g.Repeatability), csvtext.Millimetres.String()}
	}
	return write(out, rows, n)
}
