package measure

import (
	"fmt"
	"slices"
	"strings"
)

// readingRow is a row of readings.csv as it is written.
type readingRow struct {
	Kit          string `csv:"kit"`
	Datum        string `csv:"datum"`
	Feature      string `csv:"feature"`
	Mark         string `csv:"mark"`
	To           string `csv:"to"`
	Kind         string `csv:"kind"`
	Station      string `csv:"station"`
	Offset       string `csv:"offset"`
	Size         string `csv:"size"`
	Unit         string `csv:"unit"`
	Gauge        string `csv:"gauge"`
	StationGauge string `csv:"station_gauge"`
	Trial        string `csv:"trial"`
	By           string `csv:"by"`
	Stage        string `csv:"stage"`
	Note         string `csv:"note"`
}

var readingsTable = &table{"readings.csv", []column{
	{"kit", true}, {"datum", true}, {"feature", true}, {"mark", false}, {"to", false}, {"kind", true},
	{"station", false}, {"offset", false}, {"size", false}, {"unit", false},
	{"gauge", false}, {"station_gauge", false}, {"trial", false}, {"by", false}, {"stage", false}, {"note", false},
}}

// maxTrial is more often than anybody reads the same thing.
const maxTrial = 9999

// decode judges the cells of a row and converts them. Whether it is good, r.bad tells.
func (w *readingRow) decode(r *row, gauges gaugeSet) (kit string, reading Reading) {
	kit = r.kit(w.Kit)
	reading = Reading{
		Datum:   Datum(r.word("datum", w.Datum, datumNames)),
		Feature: Feature(r.word("feature", w.Feature, featureNames)),
		Kind:    Kind(r.word("kind", w.Kind, kindNames)),
		Trial:   r.count("trial", w.Trial, "a whole number", maxTrial),
		By:      r.text("by", w.By),
		Stage:   stageOf(r.wordOrBlank("stage", w.Stage, stageNames)),
		Note:    r.prose("note", w.Note),
		Place:   r.Place,
	}
	blank := Calliper
	if reading.Kind == Gap {
		blank = Feeler
	}
	reading.Gauge = gauges.pick("gauge", w.Gauge, blank, r)
	reading.StationGauge = gauges.pick("station_gauge", w.StationGauge, Rule, r)
	u := r.unit(w.Unit)
	if reading.Feature == NoFeature {
		return kit, reading // the rest depends on it
	}
	reading.Mark = readMark(r, "mark", w.Mark, reading.Feature, "feature", reading.Feature)
	if needs, ok := w.needs(r, &reading); ok {
		reading.To = readTo(r, w.To, &reading, needs.to)
		w.readNumbers(r, &reading, needs, u)
	}
	return kit, reading
}

// kit reads the kit's name. Who leaves it blank has mostly merged the cells of a kit's rows.
func (r *row) kit(cell string) string {
	if strings.TrimSpace(cell) == "" {
		r.fail("kit", "kit is blank", "a name in every row; merged cells fill only their first")
		return ""
	}
	return r.text("kit", cell)
}

// needs checks that datum, feature and kind go together.
func (w *readingRow) needs(r *row, g *Reading) (needs, bool) {
	rule := g.Feature.rule()
	n, ok := rule.kinds[g.Kind]
	if g.Kind != NoKind && !ok {
		r.failCell("kind", g.Kind.String(), "does not go with feature "+rule.name, oneOf(g.Feature.Kinds()))
	}
	datums := rule.datums
	if n.datums != nil {
		datums = n.datums
	}
	if g.Datum != NoDatum && !slices.Contains(datums, g.Datum) {
		what := "does not go with feature " + rule.name
		if n.datums != nil {
			what += " and kind " + g.Kind.String()
		}
		r.failCell("datum", g.Datum.String(), what, oneOf(datums))
	}
	return n, ok
}

// oneOf lists words for a message.
func oneOf[T fmt.Stringer](words []T) string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = w.String()
	}
	if len(texts) == 1 {
		return texts[0]
	}
	return "one of " + strings.Join(texts, ", ")
}

// readNumbers reads the three numbers as the kind needs them.
func (w *readingRow) readNumbers(r *row, g *Reading, n needs, u *unit) {
	g.Station, g.HasStation = needed(r, "station", w.Station, n.station, g, u)
	g.Offset, g.HasOffset = needed(r, "offset", w.Offset, n.offset, g, u)
	if g.HasOffset && g.Datum.Edge() && g.Offset < 0 {
		r.failCell("offset", strings.TrimSpace(w.Offset), "is negative", "0 or more: offsets from an edge grow inward")
	}
	g.Size, _ = needed(r, "size", w.Size, n.size, g, u)
	if strings.TrimSpace(w.Size) == "" || r.bad {
		return
	}
	switch g.Kind {
	case Width, Distance, Diameter, Radius:
		r.positive("size", w.Size, u)
	case Gap:
		r.notNegative("size", w.Size, u)
	}
}

// needed reads a number that the kind may need, take or leave no room for.
func needed(r *row, column, cell string, need Need, g *Reading, u *unit) (float64, bool) {
	blank := strings.TrimSpace(cell) == ""
	if need == Unused && !blank {
		r.failCell(column, strings.TrimSpace(cell), fmt.Sprintf("is not used by kind %s of %s", g.Kind, g.Feature), "a blank cell")
		return 0, false
	}
	if need == Required && blank {
		r.fail(column, fmt.Sprintf("%s is blank, but kind %s of %s needs it", column, g.Kind, g.Feature), "a length")
		return 0, false
	}
	return r.number(column, cell, u)
}
