package words

import (
	"fmt"

	"neckfit/measure"
)

// ToRead says on paper what a reading of a sheet is: the feature with its mark, which of its sizes, where, and which of
// how many times, where it is more than once.
func ToRead(f measure.Feature, mark string, k measure.Kind, w Where, trial, times int) string {
	text := f.String()
	if mark != "" {
		text += " " + mark
	}
	if k != measure.Point {
		text += ", " + k.String()
	}
	if w != Anywhere && w != Centre {
		text += ": " + w.String()
	}
	switch {
	case times < 2:
	case trial < 2:
		text += fmt.Sprintf(", %d times", times)
	default:
		text += fmt.Sprintf(", time %d of %d", trial, times)
	}
	return text
}

// Tool says which jaw, or which edge of the rule, a reading is taken with, and from which straightedge.
func Tool(d measure.Datum, f measure.Feature, k measure.Kind) string {
	switch k {
	case measure.Width:
		if f == measure.Pocket {
			return "inside jaws"
		}
		return "outside jaws"
	case measure.Gap:
		return "feeler leaves, as many as go in"
	case measure.Diameter:
		return "inside jaws, or the bit that just goes in"
	case measure.Radius:
		return "radius gauge or coin"
	case measure.Height:
		return "depth rod, from " + straightedge(d)
	case measure.Station:
		return "rule along " + straightedge(d)
	case measure.Offset:
		return "depth rod, square to " + straightedge(d)
	}
	return "rule along, depth rod across: " + straightedge(d)
}

// straightedge is which one, in a word or two.
func straightedge(d measure.Datum) string {
	switch d {
	case measure.DatumEdgeBass:
		return "the bass edge"
	case measure.DatumEdgeTreble:
		return "the treble edge"
	case measure.DatumNeck, measure.DatumBody, measure.DatumBridge, measure.NoDatum:
	}
	return "the straightedge"
}

// SheetTitle heads a measuring sheet on paper.
func SheetTitle(way string, page, pages int) string {
	title := map[string]string{
		"quick": "Quick check", "edge": "Edge check", "dry": "Dry fit", "loose": "Loose parts",
	}[way]
	if pages > 1 {
		title += fmt.Sprintf(", page %d of %d", page, pages)
	}
	return title
}

// SheetLegend is what stands below the picture of a measuring sheet.
func SheetLegend(way string, left bool) []string {
	list := []string{
		"Numbers: the order of the walk, and the note of each row of readings.csv.",
		"String 1 and screw 1: the treble side, thin strings.",
		"Station: along the straightedge from its zero mark, toward the tail. Offset: square from it.",
		"Again: lift the tool, set it anew, read anew; it becomes a row of its own.",
		"Outside jaws grip, inside jaws spread. Rule: its zero edge, not its corner.",
	}
	switch way {
	case "quick", "edge":
		list = append(list, "Heel and pocket with the neck out; then seat it, the straightedge along each edge of the fingerboard in turn and out over the body.")
	case "dry":
		list = append(list, "Neck in its pocket, one straightedge on the body for everything.")
	case "loose":
		list = append(list, "Each part alone, its straightedge beside it not moved until the part is done.")
	}
	if left {
		list = append(list, "Left-handed: mirrored, bass on the right.")
	}
	return list
}

// What is written on a measuring sheet's head, over its boxes, and on the labels for parts.
var (
	SheetBlanks  = []string{"date", "read by", "gauges", "lot"}
	SheetColumns = []string{"station", "offset", "size", "again"}
)

// LabelLine is what to fill in on a label.
const LabelLine = "lot ____________   date ____________"
