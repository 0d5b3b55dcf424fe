package measure

import (
	"cmp"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"

	"neckfit/measure/csvtext"
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

var readingsTable = csvtext.NewTable[readingRow]("readings.csv", "kit", "datum", "feature", "kind")

// The columns by their places in readingRow.
const (
	kitColumn = iota
	datumColumn
	featureColumn
	markColumn
	toColumn
	kindColumn
	stationColumn
	offsetColumn
	sizeColumn
	unitColumn
	gaugeColumn
	stationGaugeColumn
	trialColumn
	byColumn
	stageColumn
	noteColumn
)

// maxTrial is more often than anybody reads the same thing.
const maxTrial = 9999

// decoder reads the rows of a readings.csv.
type decoder struct {
	*csvtext.Rows
	gauges            gaugeSet
	blanks            [PlateEdge + 1][Gap + 1]*Gauge // which stand for blanks
	rule              *Gauge                         // which does for a blank station_gauge
	found             *found                         // which gauges cells named, and how many strings
	last, lastStation *Gauge                         // what the two columns named last
	planned           bool                           // no numbers are wanted
	memo              memo
	ids               string            // of all of them for messages, once it was wanted
	texts             map[string]string // those met lately, so that each is in memory once, and not with all that stands about it
}

// maxTexts bounds what a file of nothing but different notes can take.
const maxTexts = 1 << 10

// openReadings reads the header. It is nil for a file that is no readings.csv, which errs has then.
func openReadings(file string, in io.Reader, errs *csvtext.Collector, gauges gaugeSet) (*decoder, error) {
	rows, err := readingsTable.Open(file, in, errs, tables())
	if rows == nil || err != nil {
		return nil, err
	}
	d := &decoder{Rows: rows, gauges: gauges, rule: gauges[Rule], found: &found{gauges: map[*Gauge]bool{}}, texts: map[string]string{}}
	d.memo.places = rows.Besides(kitColumn, stationColumn, offsetColumn, sizeColumn)
	for f := range d.blanks {
		for k := range d.blanks[f] {
			d.blanks[f][k] = gauges[BlankGauge(Feature(f), Kind(k))]
		}
	}
	return d, nil
}

// kit reads the name of another kit. Who leaves it blank has mostly merged the cells of a kit's rows.
func (d *decoder) kit(r *csvtext.Row) string {
	d.memo.next = 0
	cell := d.Cell(kitColumn)
	if cell == "" {
		r.Fail("kit", "kit is blank", "a name in every row; merged cells fill only their first")
		return ""
	}
	return csvtext.Canonical(r.Text("kit", cell))
}

// keep gives a text that does not hold on to the file.
func (d *decoder) keep(text string) string {
	if text == "" {
		return ""
	}
	if kept, ok := d.texts[text]; ok {
		return kept
	}
	if len(d.texts) >= maxTexts {
		clear(d.texts)
	}
	text = strings.Clone(text)
	d.texts[text] = text
	return text
}

// decode judges the cells of the row but its kit's and converts them. Whether they are good, r.Bad tells.
// It is false for a row of a sheet in which nothing was written yet: of that only the words are judged.
func (d *decoder) decode(r *csvtext.Row, g *Reading) bool {
	cells := numberCells{d.Cell(stationColumn), d.Cell(offsetColumn), d.Cell(sizeColumn)}
	if w := d.memo.same(d.Rows); w != nil && (d.planned || !cells.blank(w.needs)) {
		*g = w.reading
		g.Place = r.Place
		if !d.planned {
			cells.read(r, g, w.needs, w.unit)
		}
		return true
	}
	*g = Reading{Place: r.Place}
	g.Datum = Datum(r.Word("datum", d.Cell(datumColumn), datumWords))
	g.Feature = Feature(r.Word("feature", d.Cell(featureColumn), featureWords))
	g.Kind = Kind(r.Word("kind", d.Cell(kindColumn), kindWords))
	n := &needsOf[g.Feature][g.Kind]
	if !d.planned && cells.blank(n) {
		return false
	}
	g.Trial = r.Count("trial", d.Cell(trialColumn), "a whole number", maxTrial)
	g.By = d.keep(r.Text("by", d.Cell(byColumn)))
	g.Stage = Stage(max(0, r.WordOrBlank("stage", d.Cell(stageColumn), stageWords)-1)) // a blank is the first
	g.Note = d.keep(r.Prose("note", d.Cell(noteColumn)))
	g.Gauge = d.gauge(r, "gauge", d.Cell(gaugeColumn), d.blanks[g.Feature][g.Kind], &d.last)
	g.StationGauge = d.gauge(r, "station_gauge", d.Cell(stationGaugeColumn), d.rule, &d.lastStation)
	u := r.Unit(d.Cell(unitColumn))
	if g.Feature == NoFeature {
		return true // the rest depends on it
	}
	g.Mark = d.mark(r, "mark", d.Cell(markColumn), g.Feature, "feature", g.Feature)
	if g.Feature.Marks() == MarkString {
		d.found.strings = max(d.found.strings, g.Mark.Number)
	}
	if suits(r, g, n) {
		g.To = d.to(r, g, n)
		if !r.Bad {
			d.memo.keep(d, g, n, u)
		}
		if !d.planned {
			cells.read(r, g, n, u)
		}
	}
	return true
}

// gauge finds the gauge that a cell names, or the one that stands for a blank. Last is what the column
// named last, mostly the same.
func (d *decoder) gauge(r *csvtext.Row, column, cell string, blank *Gauge, last **Gauge) *Gauge {
	if cell == "" {
		return blank
	}
	if *last != nil && (*last).ID == cell {
		return *last
	}
	g, ok := d.gauges[csvtext.Canonical(cell)]
	if !ok {
		r.FailOnce(column, cell, "is not in gauges.csv", func() string {
			if d.ids == "" {
				d.ids = csvtext.OneOfThese(d.gauges.ids())
			}
			return d.ids
		})
		return nil
	}
	d.found.gauges[g], *last = true, g
	return g
}

// suits checks that datum, feature and kind go together. It is false where the kind does not, for then
// nothing can be said of the numbers.
func suits(r *csvtext.Row, g *Reading, n *needs) bool {
	if g.Kind != NoKind && !n.known {
		r.FailCell("kind", g.Kind.String(), "does not go with feature "+g.Feature.String(), oneOf(g.Feature.Kinds()))
	}
	datums := g.Feature.rule().datums
	if n.datums != nil {
		datums = n.datums
	}
	if g.Datum != NoDatum && !slices.Contains(datums, g.Datum) {
		what := "does not go with feature " + g.Feature.String()
		if n.datums != nil {
			what += " and kind " + g.Kind.String()
		}
		r.FailCell("datum", g.Datum.String(), what, oneOf(datums))
	}
	return n.known
}

// oneOf lists words for a message.
func oneOf[T fmt.Stringer](words []T) string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = w.String()
	}
	return csvtext.OneOfThese(texts)
}

// mark reads a mark as the feature wants it; needer and word say what would want a blank one.
func (d *decoder) mark(r *csvtext.Row, column, cell string, f Feature, needer string, word fmt.Stringer) Mark {
	sort := f.Marks()
	switch {
	case sort == MarkNone && cell != "":
		r.FailCell(column, cell, "is not used by feature "+f.String(), "a blank cell")
		return Mark{}
	case sort == MarkNone, sort == MarkNote && cell == "":
		return Mark{}
	case cell == "":
		r.Fail(column, fmt.Sprintf("%s is blank, but %s %s needs it", column, needer, word), expectedMark(sort))
		return Mark{}
	case sort == MarkName, sort == MarkNote:
		return Mark{Name: d.keep(r.Text(column, cell))}
	case sort == MarkSide:
		return Mark{Name: sideWords.Name(r.Word(column, cell, sideWords))}
	}
	return Mark{Number: r.Count(column, cell, expectedMark(sort), greatestMark(sort))}
}

func greatestMark(sort MarkSort) int {
	switch sort {
	case MarkString:
		return maxString
	case MarkFret:
		return maxFret
	}
	return maxHole
}

// expectedMark says what a mark is, without the range of a number.
func expectedMark(sort MarkSort) string {
	switch sort {
	case MarkHole:
		return "a hole's number"
	case MarkString:
		return expectedString
	case MarkFret:
		return "a fret's number"
	case MarkSide:
		return "bass or treble"
	}
	return "a name"
}

// to reads the second mark of a distance.
func (d *decoder) to(r *csvtext.Row, g *Reading, n *needs) Mark {
	cell := d.Cell(toColumn)
	if !n.to {
		if cell != "" {
			r.FailCell("to", cell, "is not used by kind "+g.Kind.String(), "a blank cell")
		}
		return Mark{}
	}
	to := d.mark(r, "to", cell, g.Feature, "kind", g.Kind)
	if to != (Mark{}) && to == g.Mark {
		r.FailCell("to", cell, "is the same as mark", "another mark")
	}
	return to
}

// numberCells are the cells of a row's three numbers.
type numberCells struct{ station, offset, size string }

// blank tells whether nothing was read yet. A sheet may have filled in where a reading is to be taken,
// such as a fret's offset, as long as that could be blank.
func (c *numberCells) blank(n *needs) bool {
	return c.size == "" && (c.station == "" || n.station == Optional) && (c.offset == "" || n.offset == Optional)
}

// read reads the numbers as the kind needs them.
func (c *numberCells) read(r *csvtext.Row, g *Reading, n *needs, u csvtext.Unit) {
	g.Station, g.HasStation = needed(r, "station", c.station, n.station, g, u)
	g.Offset, g.HasOffset = needed(r, "offset", c.offset, n.offset, g, u)
	if g.HasOffset && g.Offset < 0 && g.Datum.Edge() {
		r.FailCell("offset", c.offset, "is negative", "0 or more: offsets from an edge grow inward")
	}
	size, ok := needed(r, "size", c.size, n.size, g, u)
	g.Size = size
	if !ok || r.Bad {
		return
	}
	switch g.Kind {
	case Width, Distance, Diameter, Radius:
		r.AboveZero("size", c.size, size)
	case Gap:
		r.ZeroOrMore("size", c.size, size)
	}
}

// needed reads a number that the kind may need, take or leave no room for.
func needed(r *csvtext.Row, column, cell string, need Need, g *Reading, u csvtext.Unit) (float64, bool) {
	switch {
	case cell == "" && need == Required:
		r.Fail(column, fmt.Sprintf("%s is blank, but kind %s of %s needs it", column, g.Kind, g.Feature), "a length")
	case cell == "":
	case need == Unused:
		r.FailCell(column, cell, fmt.Sprintf("is not used by kind %s of %s", g.Kind, g.Feature), "a blank cell")
	default:
		return r.Number(column, cell, u)
	}
	return 0, false
}

// readingKey is what two rows of a kit have in common when one is a repeat of the other: the words and
// marks packed, and a number. Of numbered places that is the station or offset that may be left blank, for
// a fret that is read at two offsets is no repeat; no feature leaves both open. Of all else it is any
// number that tells readings apart.
type readingKey struct{ words, number uint64 } // the number by its bits

// key gives the key of a reading; once is false for readings that may be there several times.
func (g *Reading) key() (key readingKey, once bool) {
	mark, to := g.Mark.Number, g.To.Number
	if to > 0 && to < mark {
		mark, to = to, mark
	}
	key.words = uint64(g.Datum) | uint64(g.Feature)<<8 | uint64(g.Kind)<<16 |
		uint64(mark)<<24 | uint64(to)<<32 | uint64(g.Trial)<<40 | uint64(g.Stage)<<56
	const withNumber = 1 << 63
	switch {
	case !g.Feature.Marks().numbered() || g.Kind == Height:
		key.number = math.Float64bits(g.Size + 3*g.Offset + 7*g.Station)
		return key, false
	case needsOf[g.Feature][Station].offset == Optional && g.HasOffset:
		key.words |= withNumber
		key.number = math.Float64bits(g.Offset)
	case needsOf[g.Feature][Offset].station == Optional && g.Kind == Offset && g.HasStation:
		key.words |= withNumber
		key.number = math.Float64bits(g.Station)
	}
	return key, true
}

// repeats finds rows of one kit that were read twice without saying so. Nearly every kit has so few
// rows that looking along them takes less time than a map, and of most keys a bit tells that none was the same.
type repeats struct {
	hashes [4]uint64          // a bit for each hash of a key
	few    []readingKey       // of the kit's readings from its first
	many   map[readingKey]int // where the first ones of the others are
}

// few is how many rows are looked along.
const few = 64

// clear begins a kit.
func (seen *repeats) clear() {
	seen.hashes, seen.few = [4]uint64{}, seen.few[:0]
	clear(seen.many)
}

// identical tells whether the last of a kit's readings is in every cell like one before it, and which.
// One that is a repeat, but says otherwise, is reported.
func (seen *repeats) identical(readings []Reading, r *csvtext.Row) *Reading {
	last := len(readings) - 1
	g := &readings[last]
	key, once := g.key()
	first, found := 0, false
	hash := (key.words ^ key.number) * 0x9e37_79b9_7f4a_7c15 >> 56 // Knuth's, by the golden ratio
	bits, bit := &seen.hashes[hash/64], uint64(1)<<(hash%64)
	if *bits&bit != 0 {
		for i := 0; i < len(seen.few) && !found; i++ {
			if seen.few[i] == key && (once || readings[i].says(g)) {
				first, found = i, true
			}
		}
		if !found {
			first, found = seen.many[key]
		}
	}
	*bits |= bit
	if found && readings[first].says(g) {
		return &readings[first]
	}
	if found && once {
		r.Fail("mark", fmt.Sprintf("mark %q of %s was read already on line %d", g.Mark.String(), g.Feature, readings[first].Place.Line),
			"another mark, or a trial number if it was read again")
	}
	switch {
	case found:
	case last == len(seen.few) && last < few:
		seen.few = append(seen.few, key)
	case seen.many == nil:
		seen.many = map[readingKey]int{key: last}
	default:
		seen.many[key] = last
	}
	return nil
}

// says tells whether two readings are the same in every cell.
func (g *Reading) says(other *Reading) bool {
	again := *g
	again.Place = other.Place
	return again == *other
}

// WriteReadings writes kits as a readings.csv in mm. Each number is the shortest decimal that
// reads back as the same float, so Kits gives the same readings again, but for their places and for
// spaces around texts. A nil gauge and the built-in one that stands for a blank are written as a
// blank. An error is out's, or names a reading that no table can hold.
func WriteReadings(out io.Writer, kits iter.Seq[*Kit]) error {
	var n csvtext.Numbers
	w := csvtext.NewWriter(out)
	w.Write(readingsTable.Columns)
	for kit := range kits {
		for i := range kit.Readings {
			g, stage := &kit.Readings[i], ""
			if g.Stage != Received {
				stage = g.Stage.String()
			}
			sized := needsOf[g.Feature][g.Kind].size == Required
			w.Write([]string{
				kit.Name, g.Datum.String(), g.Feature.String(), g.Mark.String(), g.To.String(), g.Kind.String(),
				n.ExactIf(g.HasStation, g.Station), n.ExactIf(g.HasOffset, g.Offset), n.ExactIf(sized, g.Size), csvtext.Millimetres.String(),
				gaugeCell(g.Gauge, BlankGauge(g.Feature, g.Kind)), gaugeCell(g.StationGauge, Rule), csvtext.Count(g.Trial), g.By, stage, g.Note,
			})
			if err := cmp.Or(n.Err, w.Error()); err != nil {
				return err
			}
		}
	}
	w.Flush()
	return w.Error()
}

func gaugeCell(g *Gauge, blank string) string {
	if g == nil || g.ID == blank {
		return ""
	}
	return g.ID
}
