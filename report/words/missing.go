package words

import (
	"strconv"
	"strings"

	"neckfit/fit"
)

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
	fit.WantFrets:         "nut, and at least 3 frets",
	fit.WantLastFret:      "the last fret, or frets in kits.csv",
	fit.WantBow:           "edge-bass or edge-treble at three stations or more",
	fit.WantNutSlots:      "nut-slot 1 and the last (datum {datum}), or nut_spread in kits.csv",
	fit.WantBridge:        "saddle 1 and the last (points), or plate-screw and saddle (datum bridge) with bridge-screw",
	fit.WantBridgeByEdge:  "saddle 1 and the last, or two bridge screws, as points from edge-bass and edge-treble",
	fit.WantInwardByEdge:  "the outer saddles or bridge screws from edge-bass and from edge-treble (offsets)",
	fit.WantPlate:         "plate-screw and saddle (datum bridge): the bridge screws are not in one row",
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
