package words

import (
	"math"
	"strconv"

	"neckfit/measure"
)

// Reading tells which reading it is, without what was read: "pocket width at station 40 mm (body)".
func Reading(g *measure.Reading) string {
	text := g.Feature.String()
	if g.Mark != (measure.Mark{}) {
		text += " " + mark(g.Mark)
	}
	if g.To != (measure.Mark{}) {
		text += " to " + mark(g.To)
	}
	text += " " + g.Kind.String() + readAt(g) + " (" + g.Datum.String()
	if g.Stage != measure.Received {
		text += ", " + g.Stage.String()
	}
	if g.Trial > 0 {
		text += ", trial " + strconv.Itoa(g.Trial)
	}
	return text + ")"
}

func mark(m measure.Mark) string {
	if m.Number > 0 {
		return strconv.Itoa(m.Number)
	}
	return Harmless(m.Name)
}

// readAt tells the numbers that place the reading and are not what it reads: a point reads both.
func readAt(g *measure.Reading) string {
	text, joint := "", " at "
	station, offset := g.HasStation, g.HasOffset
	switch g.Kind {
	case measure.Point:
		return ""
	case measure.Station, measure.StationNear, measure.StationFar:
		station = false
	case measure.Offset, measure.OffsetNear, measure.OffsetFar:
		offset = false
	}
	if station {
		text, joint = joint+"station "+short2(g.Station), ", "
	}
	if offset {
		text += joint + "offset " + short2(g.Offset)
	}
	return text
}

// short2 writes millimetres for people, to 0.01 mm, without noughts at the end.
func short2(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64) + " mm"
}
