// Package measure holds what was read, with what and in which unit: it reads the tables of a
// batch (readings, gauges, limits, kits, strings), refuses what it does not understand with the
// place and the cure, and hands on kits whose every number is in millimetres. It does no geometry.
package measure

import (
	"math"
	"strconv"

	"neckfit/measure/csvtext"
)

// Place is where something stands in a table: file, line and, where it matters, column.
type Place = csvtext.Place

// CellError is a cell that cannot be taken, with its place and the cure.
type CellError = csvtext.CellError

// Errors lists what is wrong with a batch.
type Errors = csvtext.Errors

// Notice is what may not be meant in a table, and is told.
type Notice = csvtext.Notice

// Canonical is a name of a kit as it is compared, and as kits have theirs: what looks the same on a screen is
// the same.
func Canonical(name string) string { return csvtext.Canonical(name) }

// Mark tells several features of one name apart: a hole, string or fret number (1 up; string 1
// is the highest pitched, so the treble-most), or a name such as a cavity's or a corner's.
// The zero Mark means that the feature has none.
type Mark struct {
	Number int
	Name   string
}

// Reading is one row of readings.csv, checked and converted.
type Reading struct {
	Datum                 Datum
	Feature               Feature
	Kind                  Kind
	Stage                 Stage
	HasStation, HasOffset bool // whether the two were given; Size is there exactly when Kind needs one
	Mark                  Mark
	To                    Mark    // second mark of a distance
	Station, Offset, Size float64 // mm

	// Gauge read the offset or size, StationGauge the station; neither is ever nil.
	Gauge, StationGauge *Gauge

	Trial    int
	By, Note string
	Place    Place
}

// Room is the gap that a reading of one stands for, in mm. By a feeler gauge the thickest leaf that enters
// was read, so the gap lies between that leaf and the next, as likely here as there: in the mean half a
// step above it. Where no leaf enters the gap is as likely shut as open: a quarter of a step. By any other
// gauge it is what was read.
func (g *Reading) Room() float64 {
	switch {
	case g.Gauge.Kind != Feeler:
		return g.Size
	case g.Size == 0:
		return g.Gauge.Resolution / 4
	}
	return g.Size + g.Gauge.Resolution/2
}

// Kit is one kit with all its readings, in the order of the file.
type Kit struct {
	Name         string
	Info         Info // zero but for Kit when kits.csv does not name it
	Readings     []Reading
	Straightedge *Gauge // how straightedges seat along an edge; nil for the built-in one
}

// Staged is the kit with the readings of one stage only; it is the kit itself when it has no others.
func (k *Kit) Staged(s Stage) *Kit {
	n := 0
	for i := range k.Readings {
		if k.Readings[i].Stage == s {
			n++
		}
	}
	if n == len(k.Readings) {
		return k
	}
	only := &Kit{Name: k.Name, Info: k.Info, Straightedge: k.Straightedge, Readings: make([]Reading, 0, n)}
	for i := range k.Readings {
		if k.Readings[i].Stage == s {
			only.Readings = append(only.Readings, k.Readings[i])
		}
	}
	return only
}

// WasReworked tells whether the kit was measured again after work on it.
func (k *Kit) WasReworked() bool {
	for i := range k.Readings {
		if k.Readings[i].Stage == Reworked {
			return true
		}
	}
	return false
}

// String writes the mark as the tables do; the zero Mark is "".
func (m Mark) String() string {
	if m.Number > 0 {
		return strconv.Itoa(m.Number)
	}
	return m.Name
}

// Describe puts into words which reading it is, without what was read: "pocket width at station
// 40 mm (body)".
func (g *Reading) Describe() string {
	var room [100]byte
	return string(g.AppendDescription(room[:0]))
}

// AppendDescription is Describe at the end of a text.
func (g *Reading) AppendDescription(text []byte) []byte {
	text = append(text, g.Feature.String()...)
	if g.Mark != (Mark{}) {
		text = g.Mark.appendTo(append(text, ' '))
	}
	if g.To != (Mark{}) {
		text = g.To.appendTo(append(text, " to "...))
	}
	text = append(append(text, ' '), g.Kind.String()...)
	joint := " at " // before the numbers that place the reading and are not what it reads
	if g.HasStation && g.Kind.placedBy(Station) {
		text = appendShort(append(append(text, joint...), "station "...), g.Station)
		joint = ", "
	}
	if g.HasOffset && g.Kind.placedBy(Offset) {
		text = appendShort(append(append(text, joint...), "offset "...), g.Offset)
	}
	text = append(append(text, " ("...), g.Datum.String()...)
	if g.Stage != Received {
		text = append(append(text, ", "...), g.Stage.String()...)
	}
	if g.Trial > 0 {
		text = strconv.AppendInt(append(text, ", trial "...), int64(g.Trial), 10)
	}
	return append(text, ')')
}

func (m Mark) appendTo(text []byte) []byte {
	if m.Number > 0 {
		return strconv.AppendInt(text, int64(m.Number), 10)
	}
	return append(text, m.Name...)
}

// placedBy tells whether a station or an offset only says where a reading of the kind was taken. A
// point reads both.
func (k Kind) placedBy(axis Kind) bool {
	switch k {
	case Point:
		return false
	case Station, StationNear, StationFar:
		return axis == Offset
	case Offset, OffsetNear, OffsetFar:
		return axis == Station
	}
	return true
}

// appendShort writes millimetres for people, to 0.01 mm.
func appendShort(text []byte, mm float64) []byte {
	return append(strconv.AppendFloat(text, math.Round(mm*100)/100, 'f', -1, 64), " mm"...)
}

// Clone copies a kit and its readings.
func (k *Kit) Clone() *Kit {
	c := *k
	c.Readings = append([]Reading(nil), k.Readings...)
	return &c
}
