package words

import (
	"fmt"
	"math"
	"strings"

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
		text += ": " + string(w)
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

// TemplateLay is what a drill template has to be laid by, and what is on it.
type TemplateLay struct {
	Left               bool // for a left-handed instrument
	Pocket, End, Edges bool // the pocket's end and walls, its end alone, the fingerboard's edges
	OldHoles, Plugs    bool // what was drilled before, whether some of it is plugged
	Heel, Body         bool // whether holes of the heel are drawn, and holes of the body
	From, To           string
	Apart              float64 // the distance in mm of two new holes, From and To; 0 where there are not two
}

// TemplateSteps are what to do with a drill template, in order.
func TemplateSteps(l TemplateLay) []string {
	steps := []string{
		"Print every sheet at 100 % (no fitting to the page).",
		"Check the bars: on every sheet the one across and the one down measure 100 mm, within a quarter of a millimetre. If one does not, do not drill.",
		"Cut along the line of each join, lay the numbered marks on each other and tape the sheets together. Of a single sheet there is nothing to cut.",
	}
	if l.Left {
		steps[0] += " The template is drawn mirrored, as the left-handed instrument lies before you."
	}
	if l.Heel && !l.Body {
		return append(steps, heelSteps(l)...)
	}
	var by []string // the surest first
	if l.Pocket {
		by = append(by, "the bold lines on the pocket's end and walls")
	} else if l.End {
		by = append(by, "the bold line on the pocket's end")
	}
	if l.OldHoles {
		by = append(by, "the dark rings on the old holes, a pin through the middle of each")
	}
	if l.Edges {
		by = append(by, "a straightedge along each edge of the fingerboard on its dashed line, the neck seated as the plan says")
	}
	steps = append(steps, "Align it on the body: "+strings.Join(by, "; ")+". Where these disagree by more than half a millimetre, stop and measure again.")
	prick := "Tape it down. Prick the centre of every upright cross through the paper."
	if l.Plugs {
		prick = "Tape it down. Prick the four small crosses near the sheet's corners through into tape on the body: they bring the template back after plugging. " +
			"Prick the slanting crosses, bore and glue the plugs, let them cure and trim them flush. Lay the template back on its pricks and prick the centre of every upright cross."
	}
	steps = append(steps, prick)
	if l.Apart > 0 {
		steps = append(steps, fmt.Sprintf("Check on the wood: the pricks of %s and %s are %.1f mm apart, and each lies from the old hole as the list says.", l.From, l.To, l.Apart))
	} else {
		steps = append(steps, "Check on the wood: the prick lies from the old hole as the list says.")
	}
	return append(steps, "Drill as the list says: the bit named, square to the top, to the depth named.")
}

// TemplateOf says under a kit's name which plan's template it is.
func TemplateOf(scale float64, plan int) string {
	return fmt.Sprintf("Scale length %.1f mm; plan %d of neckfit remedy", scale, plan)
}

// heelSteps are what to do where all holes are the heel's: they are marked through the body's, which the
// paper cannot do better.
func heelSteps(l TemplateLay) []string {
	mark := "Seat the neck as the plan says, clamp it, and mark the new holes through the body's, with a bit or punch that fits them. Take it apart again."
	check := "Check on the heel: each mark lies from its old hole as the list says"
	if l.Apart > 0 {
		check += fmt.Sprintf(", and those of %s and %s are %.1f mm apart", l.From, l.To, l.Apart)
	}
	steps := []string{"Align it on the heel's underside, face down: the dark rings on the old holes, a pin through the middle of each."}
	if l.Plugs {
		steps = append(steps, "Tape it down. Prick the slanting crosses, bore and glue the plugs, let them cure and trim them flush.")
	}
	return append(steps, mark, check+". Where they do not, measure again.", "Drill as the list says: the bit named, square to the heel, a stop at the depth named.")
}

// What is said on a template of the places in its list, and of holes in the heel.
const (
	PlacesFromPocket = "Place: mm tailward of the pocket's end (minus: toward the headstock), mm toward treble of the middle of its end (minus: toward bass). Within: radius of the circle that the right place lies in with 95 %, readings and hand together."
	PlacesFromDatum  = "Place: mm tailward of the zero mark, mm toward treble of the straightedge that the readings were taken from (minus: toward bass). Within: radius of the circle that the right place lies in with 95 %, readings and hand together."
	HeelFromFront    = "The heel's holes are drawn as seen from the front: on the heel's underside lay the sheet face down, or drill them through the body's holes with the neck clamped."
)

// Moved says where a place lies from the old one, both in mm; what is below 0.05 mm is not said.
func Moved(tailward, treble float64) string {
	var list []string
	for _, m := range []struct {
		mm          float64
		plus, minus string
	}{{treble, "treble", "bass"}, {tailward, "the tail", "the headstock"}} {
		switch least := 0.05; {
		case m.mm >= least:
			list = append(list, fmt.Sprintf("%.1f mm toward %s", m.mm, m.plus))
		case m.mm <= -least:
			list = append(list, fmt.Sprintf("%.1f mm toward %s", math.Abs(m.mm), m.minus))
		}
	}
	if list == nil {
		return "where the old one is"
	}
	return strings.Join(list, ", ") + " of the old one"
}
