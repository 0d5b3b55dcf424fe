package measure

import (
	"fmt"
	"strconv"
	"strings"
)

// String writes the mark as the tables do; the zero Mark is "".
func (m Mark) String() string {
	if m.Number > 0 {
		return strconv.Itoa(m.Number)
	}
	return m.Name
}

// sideNames are the marks of corners.
var sideNames = []string{"", "bass", "treble"}

// readMark reads a mark as the feature wants it; needer and word say what would want
// a blank one.
func readMark(r *row, column, cell string, f Feature, needer string, word fmt.Stringer) Mark {
	cell = strings.TrimSpace(cell)
	sort := f.Marks()
	switch {
	case sort == MarkNone && cell != "":
		r.failCell(column, cell, "is not used by feature "+f.String(), "a blank cell")
		return Mark{}
	case sort == MarkNone, sort == MarkNote && cell == "":
		return Mark{}
	case cell == "":
		r.fail(column, fmt.Sprintf("%s is blank, but %s %s needs it", column, needer, word), expectedMark(sort))
		return Mark{}
	case sort == MarkName, sort == MarkNote:
		return Mark{Name: r.text(column, cell)}
	case sort == MarkSide:
		return Mark{Name: sideNames[r.word(column, cell, sideNames)]}
	}
	return Mark{Number: r.count(column, cell, expectedMark(sort), greatestMark(sort))}
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

// readTo reads the second mark of a distance.
func readTo(r *row, cell string, g *Reading, wanted bool) Mark {
	cell = strings.TrimSpace(cell)
	if !wanted {
		if cell != "" {
			r.failCell("to", cell, "is not used by kind "+g.Kind.String(), "a blank cell")
		}
		return Mark{}
	}
	to := readMark(r, "to", cell, g.Feature, "kind", g.Kind)
	if to != (Mark{}) && to == g.Mark {
		r.failCell("to", cell, "is the same as mark", "another mark")
	}
	return to
}

// sameReading is what two rows of a kit have in common when one must be a repeat of the other.
// Station and Offset are those that may be left blank: a fret read at two offsets is no repeat.
type sameReading struct {
	datum                 Datum
	feature               Feature
	mark, to              int
	kind                  Kind
	trial                 int
	stage                 Stage
	station, offset       float64
	hasStation, hasOffset bool
}

// repeatKey gives the key of a reading; it is false for readings that may be there several times.
func (g *Reading) repeatKey() (sameReading, bool) {
	rule := g.Feature.rule()
	if !rule.mark.numbered() || g.Kind == Height {
		return sameReading{}, false
	}
	key := sameReading{datum: g.Datum, feature: g.Feature, mark: g.Mark.Number, to: g.To.Number, kind: g.Kind, trial: g.Trial, stage: g.Stage}
	if key.to > 0 && key.to < key.mark {
		key.mark, key.to = key.to, key.mark
	}
	if rule.kinds[Station].offset == Optional {
		key.offset, key.hasOffset = g.Offset, g.HasOffset
	}
	if rule.kinds[Offset].station == Optional && g.Kind == Offset {
		key.station, key.hasStation = g.Station, g.HasStation
	}
	return key, true
}

// repeats finds rows of one kit that were read twice without saying so.
type repeats map[sameReading]int

// check reports a reading that is there already.
func (seen repeats) check(g *Reading, r *row) {
	key, ok := g.repeatKey()
	if !ok {
		return
	}
	if line, found := seen[key]; found {
		r.fail("mark", fmt.Sprintf("mark %q of %s was read already on line %d", g.Mark.String(), g.Feature, line),
			"another mark, or a trial number if it was read again")
		return
	}
	seen[key] = g.Place.Line
}
