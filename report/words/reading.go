package words

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
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

// missing are the readings by what is wanted. {feature}, {datum} and {mark} stand for what the value says
// of them.
var missing = [...]string{
	fit.WantEdges:       "edge-bass and edge-treble at two stations each (datum {datum})",
	fit.WantSide:        "{feature} at two stations (datum {datum})",
	fit.WantEnd:         "{feature} at two offsets (datum {datum})",
	fit.WantSquareEnd:   "{feature} at two offsets, with both sides (datum {datum})",
	fit.WantSecondPlace: "{feature} at a second place (datum {datum})",
	fit.WantSecondGap:   "{feature} at a second place gap (datum {datum})",
	fit.WantTwoPlaces:   "{feature} at two places (datum {datum})",
	fit.WantTwoGaps:     "{feature} at two places gap (datum {datum})",
	fit.WantPlace:       "{feature} {mark}, both station and offset (datum {datum})",
	fit.WantPlane:       "{feature} heights at three places not in a row (datum {datum})",

	fit.WantNutAndFret:    "nut and fret 12 (datum {datum})",
	fit.WantFan:           "scale_bass and scale_treble in kits.csv, of the board's own fan: the frets follow other scales at bass than at treble",
	fit.WantFretsOffEdges: "frets of a fanned board with station and offset (datum neck or body): along its edges they do not tell its scales",
	fit.WantRadius:        "board_radius in kits.csv: of the fingerboard's crown across, or flat",
	fit.WantFrets:         "nut, and at least 3 frets",
	fit.WantLastFret:      "the last fret, or frets in kits.csv",
	fit.WantBow:           "edge-bass or edge-treble at three stations or more",
	fit.WantNutSlots:      "nut-slot 1 and the last (datum {datum}), or nut_spread in kits.csv",
	fit.WantBridge:        "saddle 1 and the last (points), or plate-screw and saddle (datum bridge) with bridge-screw",
	fit.WantBridgeByEdge:  "saddle 1 and the last, or two bridge screws, as points from edge-bass and edge-treble",
	fit.WantInwardByEdge:  "the outer saddles or bridge screws from edge-bass and from edge-treble (offsets)",
	fit.WantPlate:         "plate-screw and saddle (datum bridge): the bridge screws are not in one row",
	fit.WantAllStrings:    "saddle of each string, or strings in kits.csv",
	fit.WantSaddles:       "saddle 1 and the last: in place, or on the bridge with plate-screw and bridge-screw",
	fit.WantSaddleStops:   "{feature} of each string, with its saddle's offset",
	fit.WantSharedSaddles: "saddles in kits.csv, pairs or fixed: where each is set by itself every string comes right",
	fit.WantSaddleHeights: "{feature} height of each string",

	fit.WantWidths:      "{feature} width at mouth and end (datum {datum})",
	fit.WantTwoWidths:   "{feature} width at two stations (datum {datum})",
	fit.WantEndGap:      "pocket-end gap toward both corners (datum body)",
	fit.WantCorners:     "heel-corner and pocket-corner radius, bass and treble",
	fit.WantBodyCentre:  "body-centre at two places far apart (datum body)",
	fit.WantPickup:      "pickup bass and treble, the ends of its row of poles (datum body)",
	fit.WantScrewLength: "neck_screw_length and body_thickness in kits.csv",
	fit.WantPlateHoles:  "plate-screw (datum bridge) and bridge-screw (datum body), two or more of the same marks",
	fit.WantNeckHoles:   "heel-screw (datum neck) and neck-screw (datum body), two or more of the same marks",
	fit.WantLooseHoles:  "heel-screw (datum neck) and neck-screw (datum body), two or more of the same marks, parts apart",
	fit.WantOverHoles:   "{feature} and string-hole of the same strings, the bridge's place known",
	fit.WantStringHoles: "string-hole of three strings or more (datum body)",
	fit.WantFretTops:    "fret-top at three frets, bass and treble (datum {datum})",
	fit.WantFloor:       "pocket-floor at three places or more (datum body)",
	fit.WantMoreFloor:   "pocket-floor at five places or more, its corners and its middle among them (datum body)",
	fit.WantHeelHeights: "fret-top at three frets and the heel's sides or widths (datum neck)",

	fit.WantMore:    "more readings: those there are do not fix it",
	fit.WantSound:   "readings that fall together: the geometry of those there are has no solution",
	fit.WantSense:   "the readings again that cannot be so",
	fit.WantSettled: "readings that agree: those there are cannot be fitted",
}

// missed are the readings where some of the strings, holes or sides were read and {marks} were not.
var missed = map[fit.Want]string{
	fit.WantSaddleStops:   "{feature} of string {marks}, with its saddle's offset",
	fit.WantSaddleHeights: "{feature} height of string {marks}",
	fit.WantAllStrings:    "{feature} {marks}, or fewer strings in kits.csv",
	fit.WantPlateHoles:    "plate-screw (datum bridge) and bridge-screw (datum body) {marks}",
	fit.WantNeckHoles:     "heel-screw (datum neck) and neck-screw (datum body) {marks}",
	fit.WantOverHoles:     "{feature} and string-hole {marks}",
	fit.WantStringHoles:   "string-hole {marks} (datum body)",
	fit.WantCorners:       "heel-corner and pocket-corner radius, {side}",
	fit.WantFrets:         "fret {marks}, at which fret-top was read",
}

// Missing tells which readings would give a characteristic; empty for one that is measured.
func Missing(m fit.Missing) string {
	text := missing[m.Want]
	var marks []string
	for _, n := range m.Marks.List() {
		marks = append(marks, strconv.Itoa(n))
	}
	if len(marks) > 0 {
		text = missed[m.Want]
	}
	if !strings.Contains(text, "{") {
		return text
	}
	return strings.NewReplacer(
		"{feature}", m.Feature.String(), "{datum}", m.Datum.String(), "{mark}", strconv.Itoa(m.Mark),
		"{marks}", Listed(marks), "{side}", side(m.Marks)).Replace(text)
}

// side names the side that a set of marks is: 1 is bass.
func side(m fit.Marks) string {
	if list := m.List(); len(list) > 0 && list[0] == 2 {
		return "treble"
	}
	return "bass"
}

// Listed joins texts as a sentence does: "1, 2 and 4".
func Listed(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// senses are what numbers are compared with.
var senses = [...]string{
	fit.AnyPlace:     "a station",
	fit.AnyOffset:    "an offset",
	fit.BoardWidth:   "a fingerboard's width",
	fit.HeelWidth:    "a heel's width",
	fit.PocketWidth:  "a pocket's width",
	fit.GapWidth:     "a gap",
	fit.HoleDiameter: "a hole's diameter",
	fit.CornerRadius: "a corner's radius",
	fit.AnyHeight:    "a height",
	fit.HoleDistance: "a distance of holes",
	fit.ScaleOfFrets: "a scale length",
	fit.StringSpread: "a spread of the outer strings",

	fit.RadiusOfBoard:   "a fingerboard's radius",
	fit.ActionWanted:    "an action",
	fit.HeightAtNut:     "a height of the strings at the nut",
	fit.SlantOfSaddles:  "a slant of the saddles",
	fit.ThicknessOfBody: "a body's thickness",
	fit.ScrewDiameter:   "a screw's diameter",
	fit.ScrewLength:     "a screw's length",
}

// slips are the likely mistakes.
var slips = [...]string{
	fit.OutOfRange:    "read it again",
	fit.Centimetres:   "likely centimetres written as millimetres",
	fit.Inches:        "likely inches without their unit",
	fit.DecimalPoint:  "likely a decimal point was lost",
	fit.SidesSwapped:  "likely bass and treble were swapped",
	fit.EndsSwapped:   "likely the straightedge lay from tail to head",
	fit.LoneString:    "read the outermost string on either side",
	fit.NumbersTurned: "likely numbered from the other side",
}

// Nonsense says what cannot be so, with its lines and the likely slip.
func Nonsense(n *fit.Nonsense) string {
	value := Limit(n.Value)
	if n.What == fit.ScaleOfFrets || n.What == fit.StringSpread { // worked out, so that it has digits that nobody read
		value = strconv.FormatFloat(n.Value, 'g', 4, 64)
	}
	text := fmt.Sprintf("%s of %s mm, and instruments have %s to %s mm", senses[min(int(n.What), len(senses)-1)], value, Limit(n.Low), Limit(n.High))
	switch {
	case n.Slip == fit.LoneString:
		text = "only string " + strconv.Itoa(n.Readings[0].Mark.Number) + " was read, from both edges, which says nothing of the middle"
	case n.What == fit.Agreement && len(n.Readings) > 1:
		text = "one of them cannot be fitted with the other readings of its kit"
	case n.What == fit.Agreement:
		text = fmt.Sprintf("%s is %s mm, and the others of its kit say about %s mm", Reading(n.Readings[0]), Limit(n.Value), Fixed(n.Low, 1))
	case n.What == fit.EndOffset:
		text = fmt.Sprintf("%s was read at an offset of %s mm, and its sides lie at %s and %s mm", n.Readings[0].Feature, Limit(n.Value), Length(n.Low), Length(n.High))
	case n.What == fit.FloorStation:
		text = fmt.Sprintf("%s was read at a station of %s mm, and its pocket from %s to %s mm", n.Readings[0].Feature, Limit(n.Value), Length(n.Low), Length(n.High))
	case n.What == fit.OffItsLine:
		text = strings.TrimSpace(fmt.Sprintf("%s %s", n.Readings[0].Feature, mark(n.Readings[0].Mark))) + " lies " + Length(math.Abs(n.Value)) + " mm off where the others put it"
	case n.What == fit.SideOrder:
		text = features(n) + " lie the wrong way round"
	case n.What == fit.FretOrder:
		text = "stations fall from the nut to the last fret"
	case n.What == fit.StringOrder:
		text = "string 1 lies on the bass side, and it is the thinnest"
	case n.What == fit.HolePattern:
		text = features(n) + " match only when one of the two is turned round"
	}
	return lines(n) + ": " + text + ": " + slips[n.Slip]
}

// features names what was read there.
func features(n *fit.Nonsense) string {
	var list []string
	for _, r := range n.Readings {
		if name := r.Feature.String(); !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	if len(list) == 1 {
		list = append(list, "its other side")
	}
	return Listed(list)
}

// lines names the rows that say it.
func lines(n *fit.Nonsense) string {
	if len(n.Readings) == 0 {
		return Place(n.Place)
	}
	const most = 4
	var list []string
	for _, r := range n.Readings {
		list = append(list, strconv.Itoa(r.Place.Line))
	}
	if more := len(list) - most; more > 1 {
		list = append(list[:most], fmt.Sprintf("%d more", more))
	}
	word := " line "
	if len(list) > 1 {
		word = " lines "
	}
	return Harmless(filepath.Base(n.Readings[0].Place.File)) + word + Listed(list)
}

// alike puts what is said of several groups of readings in the same words together.
func alike(all []fit.Nonsense) (list []fit.Nonsense) {
	for _, n := range all {
		_, text, _ := strings.Cut(Nonsense(&n), ": ")
		i := slices.IndexFunc(list, func(o fit.Nonsense) bool {
			_, told, _ := strings.Cut(Nonsense(&o), ": ")
			return told == text && len(n.Readings) > 0 && len(o.Readings) > 0
		})
		if i < 0 {
			list = append(list, n)
			continue
		}
		list[i].Readings = slices.Concat(list[i].Readings, n.Readings)
		slices.SortStableFunc(list[i].Readings, func(a, b *measure.Reading) int { return a.Place.Line - b.Place.Line })
	}
	return list
}

// firstNonsense is the first of a result's, and how many more there are.
func firstNonsense(r *fit.Result) string {
	list := Nonsenses(r)
	switch len(list) {
	case 0:
		return "check names it"
	case 1:
		return list[0]
	}
	return fmt.Sprintf("%s; and %d more", list[0], len(list)-1)
}

// Nonsenses are all of a result's.
func Nonsenses(r *fit.Result) []string {
	list := []string{}
	for _, n := range alike(r.Nonsense) {
		list = append(list, Nonsense(&n))
	}
	return list
}
