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
	ID              string
	Kind            string
	Resolution      float64 // smallest step shown; rectangular, so variance resolution^2/12
	MaxError        float64 // greatest error, common to all its readings in a kit; rectangular, MaxError^2/3
	Repeatability   float64 // standard deviation of one reading by one person
	Reproducibility float64 // standard deviation of the persons' means; it comes on top of Repeatability
	Place           Place   // zero for a built-in gauge

	// Claimed is the resolution that was claimed, where the numbers themselves say that the gauge was read
	// no finer than Resolution; else it is 0.
	Claimed float64
}

// Variance is that of one reading which no other shares, in mm^2: of the resolution's rectangle, of the
// person and between persons.
func (g *Gauge) Variance() float64 {
	return g.Resolution*g.Resolution/12 + g.Repeatability*g.Repeatability + g.Reproducibility*g.Reproducibility
}

// The ids of the built-in gauges that stand for blank gauge cells, and of the straightedge.
const (
	Calliper       = "calliper"        // reads offsets and sizes
	CalliperInside = "calliper-inside" // reads widths of pockets and diameters of holes
	Rule           = "rule"            // reads stations
	Feeler         = "feeler"          // reads gaps
	Straightedge   = "straightedge"    // is what the edge datums are
)

// BuiltInGauges gives the gauges that need no gauges.csv, in mm.
//
// Calliper: an ordinary digital one. 0.01 display and 0.03 maximum error (to 300 mm) are a vendor's
// summary of ISO 13385-1; 0.05 repeatability on wood is common practice, no source. Its inside jaws have
// an error of their own, so they are a gauge of their own, with the same numbers. Rule: graduated
// in 0.5 mm; all its values are common practice, no source. Feeler: leaves in steps of 0.05; all its
// values are common practice, no source. Straightedge: how differently it seats each time it is laid
// along an edge, at each of the two places where it touches; common practice, no source.
func BuiltInGauges() []Gauge {
	return []Gauge{
		{ID: Calliper, Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05},
		{ID: CalliperInside, Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05},
		{ID: Rule, Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.15},
		{ID: Feeler, Kind: "feeler", Resolution: 0.05, MaxError: 0.01, Repeatability: 0.02},
		{ID: Straightedge, Kind: "straightedge", Repeatability: 0.05},
	}
}

// BlankGauge is the id of the gauge that stands for a blank in column gauge of a reading.
func BlankGauge(f Feature, k Kind) string {
	switch {
	case k == Gap:
		return Feeler
	case k == Diameter, k == Width && f == Pocket:
		return CalliperInside
	}
	return Calliper
}

// gaugeRow is a row of gauges.csv as it is written.
type gaugeRow struct {
	Gauge           string `csv:"gauge"`
	Kind            string `csv:"kind"`
	Resolution      string `csv:"resolution"`
	MaxError        string `csv:"max_error"`
	Repeatability   string `csv:"repeatability"`
	Reproducibility string `csv:"reproducibility"`
	Unit            string `csv:"unit"`
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

// read adds the rows of a gauges.csv. A row with a built-in gauge's id takes its place, and a row of the
// calliper that of its inside jaws, if these have none. One that is wrong is there all the same, so that
// nothing is said of the readings that name it.
func (s gaugeSet) read(file string, in io.Reader, errs *csvtext.Collector) error {
	err := read(gaugesTable, file, in, errs, func(w *gaugeRow, r *csvtext.Row) {
		g := w.decode(r)
		if _, there := s[g.ID]; !r.Bad || g.ID != "" && !there {
			s.add(g, r)
		}
	})
	if s[CalliperInside].Place == (Place{}) {
		inside := *s[Calliper]
		inside.ID = CalliperInside
		s[CalliperInside] = &inside
	}
	return err
}

func (w *gaugeRow) decode(r *csvtext.Row) *Gauge {
	u := r.Unit(w.Unit)
	g := &Gauge{ID: r.ID("gauge", w.Gauge), Kind: r.Text("kind", w.Kind), Place: r.Place}
	g.Resolution, _ = r.NotNegative("resolution", w.Resolution, u)
	g.MaxError, _ = r.NotNegative("max_error", w.MaxError, u)
	g.Repeatability, _ = r.NotNegative("repeatability", w.Repeatability, u)
	g.Reproducibility, _ = r.NotNegative("reproducibility", w.Reproducibility, u)
	if !r.Bad && g.Resolution+g.MaxError+g.Repeatability+g.Reproducibility == 0 {
		r.Fail("gauge", "gauge "+csvtext.Quote(g.ID)+" has no uncertainty at all", "at least one of resolution, max_error, repeatability and reproducibility above 0")
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
	var ids []string
	for _, g := range BuiltInGauges() {
		ids = append(ids, g.ID)
	}
	builtIn := ids
	for _, id := range slices.Sorted(maps.Keys(s)) {
		if !slices.Contains(builtIn, id) {
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
		rows[i] = gaugeRow{g.ID, g.Kind, n.Exact(g.Resolution), n.Exact(g.MaxError), n.Exact(g.Repeatability), n.ExactIf(g.Reproducibility > 0, g.Reproducibility), csvtext.Millimetres.String()}
	}
	return write(out, rows, n)
}
