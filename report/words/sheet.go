package words

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// Where is a place on a part, as a measuring sheet names it.
type Where string

// The places.
const (
	Anywhere          Where = ""
	NearMouth         Where = "near the pocket's mouth"
	Halfway           Where = "halfway"
	NearEnd           Where = "near the pocket's end"
	BassSide          Where = "on the bass side"
	TrebleSide        Where = "on the treble side"
	AtNut             Where = "at the nut"
	ThirdAlong        Where = "a third along"
	TwoThirdsAlong    Where = "two thirds along"
	AtLastFret        Where = "at the last fret"
	OnCentreLine      Where = "on the centre line"
	AtStraightedge    Where = "where it meets the straightedge"
	SlotCentre        Where = "centre of the slot"
	Centre            Where = "centre"
	BassMost          Where = "centre of the bass-most hole"
	TrebleMost        Where = "centre of the treble-most hole"
	ByGauge           Where = "gauge or coin"
	UnderString       Where = "where the string lies"
	WoundForward      Where = "wound fully forward"
	WoundBack         Where = "wound fully back"
	WoundDown         Where = "wound fully down"
	WoundUp           Where = "wound fully up"
	MouthBass         Where = "mouth, bass corner"
	MouthTreble       Where = "mouth, treble corner"
	Middle            Where = "middle"
	EndBass           Where = "end, bass corner"
	EndTreble         Where = "end, treble corner"
	BesideMouthBass   Where = "beside the mouth, bass"
	BesideMouthTreble Where = "beside the mouth, treble"
	BehindEndBass     Where = "behind the end, bass"
	BehindEndTreble   Where = "behind the end, treble"
	BehindPocket      Where = "if it shows, behind the pocket"
	BeforeBridge      Where = "if it shows, before the bridge"
	AtTail            Where = "if it shows, at the tail"
)

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
		text = string(w) + ": " + text
	}
	return text
}

// Next lists what would tell more of a kit, what matters most first: a line for each suspect, to be read again,
// for much else may follow from it; then the readings that are missing for what is wanted, and the places to
// read again.
func Next(r *fit.Result) (list []string) {
	for _, s := range r.Suspects {
		list = append(list, fmt.Sprintf("%s: read %s mm, the others say %s mm: read it again%s", Reading(s.Reading), Limit(s.Read), Length(s.Expected), OrElse(&s)))
	}
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; r.Wanted(c) && !c.Measured() {
			list = append(list, fmt.Sprintf("%s needs: %s", c.ID, Missing(c.Missing)))
		}
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

// Answer is what can be said beforehand of a characteristic.
type Answer uint8

// The answers, and the one of a characteristic that no row is for.
const (
	NoRows Answer = iota
	NotLimited
	Coarse
	Decidable
)

// String is the answer in a word or two.
func (a Answer) String() string {
	return [...]string{"no rows", "no limit", "too coarse", "can be decided"}[a]
}

// AnswerOf tells which.
func AnswerOf(p *fit.Planned) Answer {
	switch {
	case !p.Missing.None():
		return NoRows
	case math.IsInf(p.Lower, -1) && math.IsInf(p.Upper, 1):
		return NotLimited
	case p.TooCoarse:
		return Coarse
	}
	return Decidable
}

// PlannedUnit is the unit of a characteristic.
func PlannedUnit(p *fit.Planned) string {
	return Unit(&fit.Characteristic{Dimension: fit.Characteristics()[p.ID.String()]})
}

// PlannedU is the expanded uncertainty that a characteristic will have, and the largest with which its best value passes:
// blank where there is none.
func PlannedU(p *fit.Planned) (u, needed string) {
	u = short(Coverage * p.StdUncertainty)
	if p.Needed > 0 {
		needed = short(Coverage * p.Needed)
	}
	return u, needed
}

// PlannedCure says what would make a characteristic decidable that these rows and gauges are too coarse for; "" for any other.
func PlannedCure(p *fit.Planned) string {
	if AnswerOf(p) != Coarse {
		return ""
	}
	c := &p.Cure
	if c.Times == 0 {
		return "neither a calliper nor reading each place three times as often would do"
	}
	var parts []string
	if len(c.Instead) > 0 {
		parts = append(parts, fmt.Sprintf("instead of %s a calliper that repeats to %s mm, or as good a long vernier where that does not reach",
			Harmless(Listed(c.Instead)), Limit(measure.BuiltInGauges()[0].Repeatability)))
	}
	if c.Times > 1 {
		parts = append(parts, "each place read "+[]string{"twice", "three times"}[c.Times-2]+" as often")
	}
	text := strings.Join(parts, ", and ")
	return fmt.Sprintf("%s: ± %s %s", text, short(Coverage*c.StdUncertainty), PlannedUnit(p))
}

// Planned says beforehand what a sheet's rows will be able to decide: a line for what they decide, one for
// what the gauges are too coarse for, and one for what matters and has no rows, each only if there is any.
func Planned(list []fit.Planned) (lines []string) {
	said := map[Answer][]string{}
	for i := range list {
		p := &list[i]
		u, needed := PlannedU(p)
		text := fmt.Sprintf("%s ± %s %s", p.ID, u, PlannedUnit(p))
		switch a := AnswerOf(p); {
		case a == Coarse:
			said[a] = append(said[a], fmt.Sprintf("%s (± %s %s, needed ± %s %[3]s; %[5]s)", p.ID, u, PlannedUnit(p), needed, PlannedCure(p)))
		case a == NoRows && p.Wanted:
			said[a] = append(said[a], p.ID.String())
		case a == Decidable:
			said[a] = append(said[a], text)
		}
	}
	for _, l := range []struct {
		text string
		of   Answer
	}{
		{"With these rows and gauges can be decided: ", Decidable},
		{"Too coarse to be decided: ", Coarse},
		{"No rows for what matters besides: ", NoRows},
	} {
		if len(said[l.of]) > 0 {
			lines = append(lines, l.text+strings.Join(said[l.of], ", ")+".")
		}
	}
	return lines
}

// PlanHeadline says of kits that have the same rows what can be decided of what matters.
func PlanHeadline(kits []string, list []fit.Planned) string {
	var coarse, lacking []string
	for i := range list {
		switch p := &list[i]; {
		case !p.Wanted:
		case AnswerOf(p) == Coarse:
			coarse = append(coarse, p.ID.String())
		case AnswerOf(p) == NoRows:
			lacking = append(lacking, fmt.Sprintf("%s (read %s)", p.ID, Missing(p.Missing)))
		}
	}
	const shown = 5
	text := Listed(kits)
	if len(kits) > shown {
		text = fmt.Sprintf("%s and %d more", strings.Join(kits[:shown], ", "), len(kits)-shown)
	}
	text += ": "
	if len(coarse)+len(lacking) == 0 {
		return text + "everything that matters can be decided with these rows and gauges."
	}
	var parts []string
	if len(coarse) > 0 {
		parts = append(parts, "these rows and gauges are too coarse for "+Listed(coarse))
	}
	if len(lacking) > 0 {
		parts = append(parts, "there are no rows for "+Listed(lacking))
	}
	return text + strings.Join(parts, "; ") + "."
}

// PlanColumns stands over the table of what will be known.
var PlanColumns = []string{"characteristic", "± U to come", "", "needed", "limits"}

// CuresHeading stands over what would make the rest decidable.
const CuresHeading = "What would do instead, with ± U then:"

// PlanNote says what the columns are.
const PlanNote = UncertaintyNote + " It is what half of the kits will have whose parts are good, when all rows are read; where nothing is told of a part " +
	"it is taken to be of a usual size. Needed is the largest with which the best value still passes; so the nearer to it, the fewer good kits will pass."
