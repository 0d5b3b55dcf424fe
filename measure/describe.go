package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Describe puts into words which reading it is, without what was read: "pocket width at station
// 40 mm (body)".
func (g Reading) Describe() string {
	words := []string{g.Feature.String()}
	if g.Mark != (Mark{}) {
		words = append(words, g.Mark.String())
	}
	if g.To != (Mark{}) {
		words = append(words, "to", g.To.String())
	}
	words = append(words, g.Kind.String())
	if at := g.where(); at != "" {
		words = append(words, at)
	}
	where := g.Datum.String()
	if g.Stage != Received {
		where += ", " + g.Stage.String()
	}
	if g.Trial > 0 {
		where += fmt.Sprintf(", trial %d", g.Trial)
	}
	return strings.Join(append(words, "("+where+")"), " ")
}

// where tells the numbers that place the reading and are not what it reads.
func (g Reading) where() string {
	var at []string
	if g.HasStation && g.Kind.placedBy(Station) {
		at = append(at, "station "+shortLength(g.Station))
	}
	if g.HasOffset && g.Kind.placedBy(Offset) {
		at = append(at, "offset "+shortLength(g.Offset))
	}
	if len(at) == 0 {
		return ""
	}
	return "at " + strings.Join(at, ", ")
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

// shortLength writes millimetres for people, to 0.01 mm.
func shortLength(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64) + " mm"
}
