package words

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// Where is a place on a part, as a measuring sheet names it.
type Where uint8

// The places.
const (
	Anywhere Where = iota
	NearMouth
	Halfway
	NearEnd
	BassSide
	TrebleSide
	AtNut
	ThirdAlong
	TwoThirdsAlong
	AtLastFret
	OnCentreLine
	AtStraightedge
	SlotCentre
	Centre
	BassMost
	TrebleMost
	ByGauge
	UnderString
	WoundForward
	WoundBack
	WoundDown
	WoundUp
	MouthBass
	MouthTreble
	Middle
	EndBass
	EndTreble
	BesideMouthBass
	BesideMouthTreble
	BehindEndBass
	BehindEndTreble
)

// places are in the order of the constants.
var places = []string{
	"", "near the pocket's mouth", "halfway", "near the pocket's end", "on the bass side", "on the treble side",
	"at the nut", "a third along", "two thirds along", "at the last fret", "on the centre line", "where it meets the straightedge",
	"centre of the slot", "centre", "centre of the bass-most hole", "centre of the treble-most hole", "gauge or coin", "where the string lies",
	"wound fully forward", "wound fully back", "wound fully down", "wound fully up",
	"mouth, bass corner", "mouth, treble corner", "middle", "end, bass corner", "end, treble corner",
	"beside the mouth, bass", "beside the mouth, treble", "behind the end, bass", "behind the end, treble",
}

// String says where, and nothing for Anywhere.
func (w Where) String() string { return places[w] }

// Hint tells where a reading of a sheet is taken and which cells to fill in. It panics for a kind that
// the feature does not take.
func Hint(f measure.Feature, k measure.Kind, w Where) string {
	station, offset, size, ok := f.Needs(k)
	if !ok {
		panic(fmt.Sprintf("words: a sheet cannot have %s of %s", k, f))
	}
	var cells []string
	for _, c := range []struct {
		name string
		need measure.Need
	}{{"station", station}, {"offset", offset}, {"size", size}} {
		if c.need == measure.Required {
			cells = append(cells, c.name)
		}
	}
	text := "fill in " + strings.Join(cells, " and ")
	if w != Anywhere {
		text = w.String() + ": " + text
	}
	return text
}

// Next lists what would tell more of a kit, what matters most first: the readings that are missing for what
// is wanted, and the places to read again.
func Next(r *fit.Result) (list []string) {
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; r.Wanted(c) && !c.Measured() {
			list = append(list, fmt.Sprintf("%s needs: %s", c.ID, Missing(c.Missing)))
		}
	}
	for _, s := range r.Suspects {
		list = append(list, fmt.Sprintf("%s: read %s mm, the others say %s mm: read it again", Reading(s.Reading), Limit(s.Read), Length(s.Expected)))
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if advice := Advice(c) + TooCoarse(c); advice != "" && c.Measured() {
			list = append(list, fmt.Sprintf("%s: %s", c.ID, advice))
		}
	}
	return list
}

// TellsMost says which reading of those that are still to be taken would tell most, and of what.
func TellsMost(name, where string, rests fit.ID) string {
	if where != "" {
		name += ", " + where
	}
	return fmt.Sprintf("of what is still to be read this tells most: %s (%s rests on it)", name, rests)
}

// NothingToTry is said where so little was read that no plan can be worked out.
const NothingToTry = "nothing can be tried yet: read more of the kit first"

// TriedInVain says what must be read before a plan of one's own can be worked out.
func TriedInVain(untried string) string { return "this cannot be worked out yet. " + untried }

// TaskName names a reading that is taken, or still to be taken, for the person who takes it.
func TaskName(d measure.Datum, f measure.Feature, mark string, k measure.Kind, trial string) string {
	text := strings.ReplaceAll(f.String(), "-", " ")
	if mark != "" {
		text += " " + mark
	}
	switch k {
	case measure.Width, measure.Gap, measure.Diameter, measure.Radius, measure.Distance:
		text += ", " + k.String()
	}
	switch d {
	case measure.DatumEdgeBass:
		text += ", from the bass edge"
	case measure.DatumEdgeTreble:
		text += ", from the treble edge"
	}
	if trial != "" && trial != "1" {
		text += ", time " + trial
	}
	return text
}

// NumberName says which number of a reading a column of readings.csv holds.
func NumberName(column string, k measure.Kind) string {
	switch column {
	case "station":
		return "station: how far along the straightedge"
	case "offset":
		return "offset: how far across from the straightedge"
	}
	return k.String()
}

// Planned says beforehand what a sheet's rows will be able to decide: a line for what they decide, one for
// what the gauges are too coarse for, and one for what matters and has no rows, each only if there is any.
func Planned(list []fit.Planned, wanted func(fit.ID) bool) (lines []string) {
	var decided, coarse, lacking []string
	for i := range list {
		p := &list[i]
		c := fit.Characteristic{ID: p.ID, Dimension: fit.Characteristics()[p.ID.String()]}
		limited := !math.IsInf(p.Lower, -1) || !math.IsInf(p.Upper, 1)
		u := short(Coverage*p.StdUncertainty) + " " + Unit(&c)
		switch {
		case !p.Missing.None() && wanted(p.ID):
			lacking = append(lacking, p.ID.String())
		case !p.Missing.None() || !limited:
		case p.TooCoarse:
			coarse = append(coarse, fmt.Sprintf("%s (± %s, needed ± %s)", p.ID, u, short(Coverage*p.Needed)))
		default:
			decided = append(decided, fmt.Sprintf("%s ± %s", p.ID, u))
		}
	}
	for _, l := range []struct {
		text string
		list []string
	}{
		{"With these rows and gauges can be decided: ", decided},
		{"Too coarse to be decided, unless read several times or with finer gauges: ", coarse},
		{"No rows for what matters besides: ", lacking},
	} {
		if len(l.list) > 0 {
			lines = append(lines, l.text+strings.Join(l.list, ", ")+".")
		}
	}
	return lines
}
