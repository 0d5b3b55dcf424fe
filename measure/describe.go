package measure

import (
	"math"
	"strconv"
)

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
	text = g.appendPlace(text)
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

// appendPlace tells the numbers that place the reading and are not what it reads.
func (g *Reading) appendPlace(text []byte) []byte {
	joint := " at "
	if g.HasStation && g.Kind.placedBy(Station) {
		text = appendShort(append(append(text, joint...), "station "...), g.Station)
		joint = ", "
	}
	if g.HasOffset && g.Kind.placedBy(Offset) {
		text = appendShort(append(append(text, joint...), "offset "...), g.Offset)
	}
	return text
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
