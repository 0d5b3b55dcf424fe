package words

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"

	"neckfit/fit"
)

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
	text := fmt.Sprintf("%s of %s mm, and instruments have %s to %s mm", senses[min(int(n.What), len(senses)-1)], Limit(n.Value), Limit(n.Low), Limit(n.High))
	switch {
	case n.Slip == fit.LoneString:
		text = "only string " + strconv.Itoa(n.Readings[0].Mark.Number) + " was read, from both edges, which says nothing of the middle"
	case n.What == fit.Agreement && len(n.Readings) > 1:
		text = "one of them cannot be fitted with the other readings of its kit"
	case n.What == fit.Agreement:
		text = fmt.Sprintf("%s is %s mm there, and the others of its kit say about %s mm", Reading(n.Readings[0]), Limit(n.Value), Fixed(n.Low, 1))
	case n.What == fit.EndOffset:
		text = fmt.Sprintf("%s was read at an offset of %s mm, and its sides lie at %s and %s mm", n.Readings[0].Feature, Limit(n.Value), Length(n.Low), Length(n.High))
	case n.What == fit.OffItsLine:
		text = fmt.Sprintf("%s lies %s mm off the others", n.Readings[0].Feature, Length(math.Abs(n.Value)))
	case n.What == fit.SideOrder:
		text = n.Readings[0].Feature.String() + " and its other side lie the wrong way round"
	case n.What == fit.FretOrder:
		text = "stations fall from the nut to the last fret"
	case n.What == fit.StringOrder:
		text = "string 1 lies on the bass side, and it is the thinnest"
	case n.What == fit.HolePattern:
		text = n.Readings[0].Feature.String() + " and the holes that they are to lie on match only when one of them is turned round"
	}
	return lines(n) + ": " + text + ": " + slips[n.Slip]
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

// Nonsenses are all of a result's.
func Nonsenses(r *fit.Result) []string {
	list := make([]string, len(r.Nonsense))
	for i := range r.Nonsense {
		list[i] = Nonsense(&r.Nonsense[i])
	}
	return list
}
