package words

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/fit/study"
	"neckfit/measure"
)

// What stands on a page in place of a drawing, and what is said of works that are grouped.
const (
	NoDrawing      = "There is no drawing: it needs the fingerboard's centre line, that is edge-bass and edge-treble at two stations each."
	NotDrawn       = "This kit cannot be drawn: its numbers make no picture. Look at its readings."
	NotAdvised     = "Nothing can be advised for this kit: its numbers make no plan. Look at its readings."
	ReadGroup      = "read again or further first"
	ReadGroupAbout = "before anything is cut, moved or sent back"
	ReadAgainFirst = "readings that do not agree with the others of their kit; decide these first"
	TooNearToSay   = "kits whose worst characteristic is too near a limit to say"
)

// KitName is a kit's name as a page shows it: never empty.
func KitName(name string, number int) string {
	if name = strings.TrimSpace(Harmless(name)); name == "" {
		return fmt.Sprintf("(kit %d, without a name)", number)
	}
	return name
}

// Sign is a verdict as a sign that needs no colour.
func Sign(v fit.Verdict) string {
	return [...]string{
		fit.NotMeasured: "–", fit.NotJudged: "–", fit.Pass: "✓", fit.TooCoarse: "?", fit.Incomplete: "?", fit.Unsure: "?", fit.Implausible: "?", fit.Fail: "✕",
	}[v]
}

// SignedVerdict is a verdict as a word with its sign.
func SignedVerdict(v fit.Verdict) string {
	return Sign(v) + " " + strings.ReplaceAll(Verdict(v), "-", " ")
}

// Disagrees says what a suspect reading read and what the other readings say.
func Disagrees(s *fit.Suspect) string {
	return fmt.Sprintf("read %.2f mm, the others say %.2f mm; residual %.1f times its standard deviation, critical %.1f%s", s.Read, s.Expected, s.W, s.Critical, OrElse(s))
}

// MoreShares is what the readings of an uncertainty budget that are not shown add.
func MoreShares(n int, share float64) string {
	return "and " + Amount(n, "more reading", "more readings") + ", " + WholePercent(max(0, share)) + " together"
}

// Works names the works of a plan, without their sizes: what the kits of a batch are grouped by.
func Works(p *remedy.Plan) string {
	var kinds []measure.Work
	for _, a := range p.Actions {
		kinds = append(kinds, a.Work)
	}
	return workNames(kinds)
}

// PlanInShort is a plan in a line: its works, its chance, its time and how drastic it is.
func PlanInShort(p *remedy.Plan) string {
	text := strings.Join(append(Barred(p), Plan(p)), " ")
	if p.Level != remedy.Returned {
		text += fmt.Sprintf(": %s that all then passes, %.0f minutes", Percent(p.P), p.Minutes)
	}
	return text + "; " + Level(p.Level)
}

// HeldDownBy is what is least likely to pass under a plan, and how likely that is; "-" where it is as good
// as sure, and for a return.
func HeldDownBy(p *remedy.Plan) string {
	if p.Level == remedy.Returned || p.Weakest.P >= fit.Confidence {
		return "-"
	}
	return p.Weakest.ID.String() + ", " + Percent(p.Weakest.P)
}

// What a reader who cannot see a drawing is told of it.
const (
	PlanLabel   = "Plan of the kit from above: fingerboard, centre line, pocket, bridge, strings and readings."
	BridgeLabel = "The bridge from above: holes of the body as rings, holes of the plate as crosses, the saddles' travel and the neck's centre line."
	SideLabel   = "Side view: body top, pocket floor, and the plane of the frets carried to the saddles."
)

// SidewaysLabel is the same of the strip that shows how far the bridge lies beside the centre line.
func SidewaysLabel(e *fit.Characteristic) string {
	return fmt.Sprintf("Sideways from the centre line, magnified: the bridge lies %s from it, positive toward treble; limits %s mm.", Value(e), Limits(e))
}

// BridgeLies says where the bridge lies beside the neck's centre line.
func BridgeLies(e *fit.Characteristic) string {
	v, u := Rounded(math.Abs(e.Value), e.StdUncertainty)
	side := "treble"
	if e.Value < 0 {
		side = "bass"
	}
	return fmt.Sprintf("the bridge lies %s ± %s mm toward %s", v, u, side)
}

// PocketLabel is the same of the pocket with the heel in it, by the gaps at its mouth and its end.
func PocketLabel(bass, treble [2]float64) string {
	return fmt.Sprintf("Pocket with the heel in it, gaps magnified. At the mouth %.2f mm on the bass side and %.2f on the treble side; at the end %.2f and %.2f.",
		bass[0], treble[0], bass[1], treble[1])
}

// HistogramLabel is the same of the values of a batch, with their mean and the root mean square of
// their standard uncertainties.
func HistogramLabel(name, unit string, kits int, mean, std float64) string {
	v, u := Rounded(mean, std)
	return fmt.Sprintf("Histogram of %s over %s, mean %s %s; one kit is uncertain by ± %s.", name, Amount(kits, "kit", "kits"), v, unit, u)
}

// SequenceLabel is the same of the values in their order.
func SequenceLabel(name string, values, signals int) string {
	return fmt.Sprintf("Individuals chart of %s: %s, %s.", name, Amount(values, "value", "values"), Amount(signals, "signal", "signals"))
}

// RangesLabel is the same of the steps from one value to the next.
func RangesLabel(name, unit string, steps int, limit float64) string {
	return fmt.Sprintf("Moving ranges of %s: %s, limit %s %s.", name, Amount(steps, "step", "steps"), Small(limit), unit)
}

// Magnified says by how much a drawing's one scale is larger than its other.
func Magnified(what string, factor float64) string {
	places := 1
	if factor >= 10 {
		places = 0
	}
	return fmt.Sprintf("%s drawn %s times the scale of lengths", what, Fixed(factor, places))
}

// Extent is a size that may differ at the pocket's mouth and at its end, in mm.
func Extent(mouth, end float64) string {
	if mouth == end {
		return Fixed(mouth, 2) + " mm"
	}
	return Fixed(mouth, 2) + " to " + Fixed(end, 2) + " mm"
}

// WholeGap is what lies free beside the heel, on both sides together.
func WholeGap(where string, gap, std float64) string {
	v, u := Rounded(gap, std)
	return fmt.Sprintf("whole gap at the %s %s ± %s mm", where, v, u)
}

// SwingRange is how far the neck can be swung in its pocket.
func SwingRange(s *fit.Swing) string {
	return fmt.Sprintf("swing of the neck at the bridge: %+.2f to %+.2f mm", s.Low, s.High)
}

// Reserve says how far the height that a saddle needs lies inside an end of its range.
func Reserve(mm float64) string {
	if mm < 0 {
		return fmt.Sprintf("%.1f mm short", -mm)
	}
	return fmt.Sprintf("%.1f mm to spare", mm)
}

// DeviationsNote says what the drawing of a gauge study shows, and DeviationsBand what is shaded in it.
const (
	DeviationsNote = "each reading less the mean of its place, in mm"
	DeviationsBand = "shaded: where the readings of an adequate gauge stay"
)

// DeviationsLabel is what a reader who cannot see it is told of that drawing.
func DeviationsLabel(s *study.Study) string {
	return fmt.Sprintf("Readings of %s at %s, each less the mean of its place, by person: %s; one person's readings scatter by %s, the persons differ by %s.",
		Harmless(s.Gauge), StudyPlace(s), Amount(len(s.Deviations), "reading", "readings"), Spread(s.Repeatability()), Spread(s.Reproducibility()))
}

// Person is who read, whose name may be blank.
func Person(name string) string {
	if name == "" {
		return "(not named)"
	}
	return Harmless(name)
}
