package measure

import (
	"bytes"
	"unicode"
)

// decoder turns good rows into readings without allocation. What row.decode would find wrong it
// only refuses: to say what is wrong, and where, is for the twin that goes through gocsv.
type decoder struct {
	file                   string
	gauges                 gaugeSet
	calliper, feeler, rule *Gauge
	numbers                decimals
	texts                  map[string]string // those met lately, so that each is in memory once

	// What was found last under a short sum of a text: a map takes several times as long.
	lateGauges [lately]*Gauge
	lateTexts  [lately]string
}

const lately = 16

// sumOf is good enough to tell the few gauges and readers of a batch apart. The cell is not empty.
func sumOf(cell []byte) int {
	n := len(cell)
	return (int(cell[0]) + int(cell[n-1])*5 + n) % lately
}

// maxTexts bounds what a file of nothing but different notes can take.
const maxTexts = 1 << 10

func newDecoder(file string, gauges gaugeSet, comma byte) *decoder {
	return &decoder{
		file: file, gauges: gauges, calliper: gauges[Calliper], feeler: gauges[Feeler], rule: gauges[Rule],
		numbers: decimals{commaAllowed: comma != ','}, texts: map[string]string{},
	}
}

// decode fills in a reading from the cells of a row but its kit. It is false for a row with
// anything wrong, and for one with spaces around a cell.
func (d *decoder) decode(row *splitter, line int, g *Reading) bool {
	*g = Reading{}
	g.Place = Place{d.file, line}
	datum, okDatum := datumTable.word(row.at(datumColumn))
	feature, okFeature := featureTable.word(row.at(featureColumn))
	kind, okKind := kindTable.word(row.at(kindColumn))
	if !okDatum || !okFeature || !okKind {
		return false
	}
	g.Datum, g.Feature, g.Kind = Datum(datum), Feature(feature), Kind(kind)
	n := &needsTable[feature][kind]
	if !n.known || n.datumBits>>datum&1 == 0 {
		return false
	}
	return d.marks(row, g, n) && d.lengths(row, g, n) && d.rest(row, g)
}

// spaced tells whether there is space around a cell of printable ASCII.
func spaced(cell []byte) bool {
	return len(cell) > 0 && (cell[0] == ' ' || cell[len(cell)-1] == ' ')
}

func (d *decoder) marks(row *splitter, g *Reading, n *plainNeeds) bool {
	sort := g.Feature.rule().mark
	if !d.mark(row.at(markColumn), sort, &g.Mark) {
		return false
	}
	if !n.to {
		return len(row.at(toColumn)) == 0
	}
	return d.mark(row.at(toColumn), sort, &g.To) && (g.To == Mark{} || g.To != g.Mark)
}

func (d *decoder) mark(cell []byte, sort MarkSort, m *Mark) (ok bool) {
	switch sort {
	case MarkNone:
		return len(cell) == 0
	case MarkNote, MarkName:
		m.Name, ok = d.line(cell)
		return ok && (len(cell) > 0 || sort == MarkNote)
	case MarkSide:
		i, ok := numberOf(sideNames, string(cell))
		m.Name = sideNames[i]
		return ok
	}
	m.Number, ok = plainCount(cell)
	return ok && m.Number >= 1 && m.Number <= greatestMark(sort)
}

// lengths reads the three numbers as the kind needs them.
func (d *decoder) lengths(row *splitter, g *Reading, n *plainNeeds) bool {
	u, ok := plainUnit(row.at(unitColumn))
	if !ok {
		return false
	}
	line := g.Place.Line
	if g.Station, g.HasStation, ok = d.length(row.at(stationColumn), n.station, u, line); !ok {
		return false
	}
	if g.Offset, g.HasOffset, ok = d.length(row.at(offsetColumn), n.offset, u, line); !ok {
		return false
	}
	hasSize := false
	if g.Size, hasSize, ok = d.length(row.at(sizeColumn), n.size, u, line); !ok {
		return false
	}
	return g.possible(hasSize)
}

// plainUnit reads the unit of lengths.
func plainUnit(cell []byte) (unit, bool) {
	if string(cell) == "mm" || len(cell) == 0 {
		return millimetres, true
	}
	u, ok := parseUnit(string(cell))
	return u, ok && u != degrees
}

// possible is false for numbers whose signs the kind does not take.
func (g *Reading) possible(hasSize bool) bool {
	if g.HasOffset && g.Offset < 0 && g.Datum.Edge() {
		return false
	}
	switch g.Kind {
	case Width, Distance, Diameter, Radius:
		return !hasSize || g.Size > 0
	case Gap:
		return g.Size >= 0
	}
	return true
}

// length reads a number that the kind may need, take or leave no room for.
func (d *decoder) length(cell []byte, need Need, u unit, line int) (x float64, has, ok bool) {
	if len(cell) == 0 {
		return 0, false, need != Required
	}
	if need == Unused {
		return 0, false, false
	}
	x, sign, ok := plainDecimal(cell)
	if ok && d.sign(sign, line) {
		x, ok = u.plainLength(x)
		return x, true, ok
	}
	x, f := d.numbers.parseNumber(string(cell), u, line)
	return x, true, f == nil
}

// plainLength makes millimetres of a number as parseNumber does.
func (u unit) plainLength(x float64) (float64, bool) {
	if u == inches {
		x = x * 127 / 5
	}
	return x + 0, x > -maxLength && x < maxLength
}

// sign is mixed for a sign that was found already.
func (d *decoder) sign(sign byte, line int) bool {
	n := &d.numbers
	switch {
	case sign == 0 || sign == '.' && !n.commaAllowed:
		return true
	case !n.commaAllowed:
		return false
	case n.sign == 0:
		n.sign, n.line = sign, line
	}
	return n.sign == sign
}

// rest reads gauges, trial and texts.
func (d *decoder) rest(row *splitter, g *Reading) (ok bool) {
	blank := d.calliper
	if g.Kind == Gap {
		blank = d.feeler
	}
	g.Gauge, g.StationGauge = d.gauge(row.at(gaugeColumn), blank), d.gauge(row.at(stationGaugeColumn), d.rule)
	if g.Gauge == nil || g.StationGauge == nil {
		return false
	}
	if cell := row.at(trialColumn); len(cell) > 0 {
		if g.Trial, ok = plainCount(cell); !ok || g.Trial < 1 || g.Trial > maxTrial {
			return false
		}
	}
	if g.By, ok = d.line(row.at(byColumn)); !ok {
		return false
	}
	switch string(row.at(stageColumn)) {
	case "", stageNames[Received+1]:
	case stageNames[Reworked+1]:
		g.Stage = Reworked
	default:
		return false
	}
	g.Note, ok = d.prose(row.at(noteColumn))
	return ok
}

func (d *decoder) gauge(cell []byte, blank *Gauge) *Gauge {
	if len(cell) == 0 {
		return blank
	}
	late := &d.lateGauges[sumOf(cell)]
	if *late == nil || (*late).ID != string(cell) {
		*late = d.gauges[string(cell)]
	}
	return *late
}

// line gives the text of a cell in one line.
func (d *decoder) line(cell []byte) (string, bool) {
	if len(cell) == 0 {
		return "", true
	}
	return d.intern(cell), !spaced(cell) && !bytes.ContainsFunc(cell, unicode.IsControl)
}

// prose gives the text of a cell that may have several lines.
func (d *decoder) prose(cell []byte) (string, bool) {
	if len(cell) == 0 {
		return "", true
	}
	return d.intern(cell), !spaced(cell) && !bytes.ContainsFunc(cell, badInProse)
}

// intern gives the text of a cell that is not empty.
func (d *decoder) intern(cell []byte) string {
	late := &d.lateTexts[sumOf(cell)]
	if *late != string(cell) {
		*late = d.kept(cell)
	}
	return *late
}

func (d *decoder) kept(cell []byte) string {
	if text, ok := d.texts[string(cell)]; ok {
		return text
	}
	if len(d.texts) >= maxTexts {
		clear(d.texts)
	}
	text := string(cell)
	d.texts[text] = text
	return text
}
