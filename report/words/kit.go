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

// Place names a place as tools do: file:line.
func Place(p measure.Place) string { return fmt.Sprintf("%s:%d", Harmless(p.File), p.Line) }

// NearLimit is the limit that a value is beyond, or the nearer one.
func NearLimit(c *fit.Characteristic) float64 {
	if c.Value-c.Lower < c.Upper-c.Value {
		return c.Lower
	}
	return c.Upper
}

// limitWithUnit is a limit without its sign where it is on the value's own side of nought, for then the
// sentence around it says the side.
func limitWithUnit(c *fit.Characteristic, limit float64) string {
	if limit < 0 && c.Value < 0 && aboutOf(c.ID).minus != "" {
		limit = -limit
	}
	return Limit(limit) + " " + Unit(c)
}

// Allowed says what lies inside the limits: "1 mm either way allowed".
func Allowed(c *fit.Characteristic) string {
	low, high := !math.IsInf(c.Lower, -1), !math.IsInf(c.Upper, 1)
	switch {
	case low && high && c.Lower == -c.Upper:
		return Limit(c.Upper) + " " + Unit(c) + " either way allowed"
	case low && !high:
		return Limits(c) + " " + Unit(c) + " wanted"
	}
	return Limits(c) + " " + Unit(c) + " allowed"
}

// Standing is what is said of a characteristic in a sentence: what its value means, how it stands to its
// limits, and its name.
func Standing(c *fit.Characteristic) string {
	text := ""
	switch {
	case c.Verdict == fit.Unsure:
		text = "too near the limit of " + limitWithUnit(c, NearLimit(c)) + " to say"
	case c.Verdict == fit.TooCoarse:
		text = "which gauges as coarse as these cannot hold against its limits, " + Limits(c) + " " + Unit(c)
	case c.Verdict == fit.Fail && c.LimitSource.Origin == fit.ByClearance && c.Upper <= 0:
		text = fmt.Sprintf("and its screw does not pass freely: it is %.2f mm thick, and the narrowest hole %.2f mm wide", c.LimitSource.Screw, c.LimitSource.Hole)
	case c.Verdict == fit.Fail && c.Value > c.Upper:
		text = "more than the " + limitWithUnit(c, c.Upper) + " allowed"
	case c.Verdict == fit.Fail && c.Value < c.Lower && c.Lower < 0:
		text = "more than the " + limitWithUnit(c, c.Lower) + " allowed"
	case c.Verdict == fit.Fail && c.Value < c.Lower && c.Value >= 0:
		text = "less than the " + limitWithUnit(c, c.Lower) + " wanted"
	default:
		text = Allowed(c)
	}
	meaning := Meaning(c)
	if strings.HasPrefix(meaning, c.ID.String()) {
		return meaning + ", " + text
	}
	return fmt.Sprintf("%s, %s (%s)", meaning, text, c.ID)
}

// Headline says of a kit what matters most.
func Headline(r *fit.Result) string {
	c := Worst(r)
	switch {
	case r.Verdict == fit.Implausible && len(r.Nonsense) > 0:
		return firstNonsense(r) + ". Nothing was judged that rests on it."
	case c == nil && r.Verdict == fit.NotMeasured:
		return "nothing could be judged, for the readings do not give anything that has a limit."
	case c == nil:
		return "nothing was judged, for nothing that was measured has a limit."
	case c.Verdict == fit.TooCoarse:
		return "the gauges are too coarse to judge what was measured: no value of it could pass. " + Standing(c) + "."
	case c.Verdict == fit.Pass:
		text := passes(r)
		if open := UnmeasuredCritical(r); len(open) > 0 {
			text += ", but not measured: " + strings.Join(open, ", ")
		}
		return fmt.Sprintf("%s. Least room: %s.", text, Standing(c))
	case c.Verdict == fit.Unsure && c.Advice.Kind != fit.NoAdvice && len(r.Suspects) == 0:
		return Standing(c) + ". To decide it: " + Advice(c) + "."
	case c.Verdict == fit.Unsure:
		return Standing(c) + "."
	}
	text := Standing(c) + "."
	var others []string
	for i := range r.Characteristics {
		if o := &r.Characteristics[i]; o.Verdict == c.Verdict && o.ID != c.ID {
			others = append(others, o.ID.String())
		}
	}
	if len(others) > 0 {
		text += " Also failing: " + strings.Join(others, ", ") + "."
	}
	return text
}

// HeadlineInOne is what is to be read again, and the headline.
func HeadlineInOne(r *fit.Result) string {
	again := ReadAgain(r)
	if again == "" {
		return Headline(r)
	}
	return strings.TrimSuffix(again, ".") + "; as it was read, " + Headline(r)
}

// First says what to do first with a kit, where the headline has not said it.
func First(r *fit.Result) string {
	c := Worst(r)
	switch {
	case r.Verdict == fit.Implausible:
		return "To do first: look again at what was read there and correct its row; then check once more."
	case len(r.Suspects)+len(r.Nonsense) > 0 || c != nil && c.Verdict == fit.Unsure:
		return ""
	case c == nil || c.Verdict == fit.Pass || c.Verdict == fit.TooCoarse:
		for i := range r.Characteristics {
			if o := &r.Characteristics[i]; r.Wanted(o) && o.Verdict == fit.NotMeasured {
				return "To do first: read what is missing for " + o.ID.String() + ": " + Missing(o.Missing) + "."
			}
		}
		switch {
		case c == nil:
			return ""
		case c.Verdict == fit.TooCoarse:
			return "To do first: " + TooCoarse(c) + "."
		}
		return "Nothing to do before assembly."
	case c.ID == fit.CentreLineError && reseatMayDo(r):
		return "To do first: neckfit remedy, which says how likely re-seating the neck cures it, and sets what else would beside it, with the odds."
	}
	return "To do first: neckfit remedy, which sets the works that would cure it side by side, with their odds."
}

// UnmeasuredCritical names the characteristics without which a kit is incomplete.
func UnmeasuredCritical(r *fit.Result) []string {
	var names []string
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; r.Wanted(c) && c.Verdict == fit.NotMeasured {
			names = append(names, c.ID.String())
		}
	}
	return names
}

// passes says how many characteristics do.
func passes(r *fit.Result) string {
	n := 0
	for i := range r.Characteristics {
		if r.Characteristics[i].Verdict == fit.Pass {
			n++
		}
	}
	if n == 1 {
		return "the one judged characteristic passes"
	}
	return fmt.Sprintf("all %d judged characteristics pass", n)
}

// Brief is what matters most of a kit, for a line in a list.
func Brief(r *fit.Result) string {
	text := "nothing judged"
	switch c := Worst(r); {
	case c == nil:
	case c.Verdict == fit.TooCoarse:
		text = c.ID.String() + ": the gauges are too coarse for its limits"
	case c.Verdict == fit.Unsure:
		text = c.ID.String() + ": " + sideways(c) + "near the limit of " + limitWithUnit(c, NearLimit(c))
	case c.Verdict == fit.Fail:
		text = c.ID.String() + ": " + sideways(c) + beyond(c)
	default:
		text = c.ID.String() + " has least room"
		if open := UnmeasuredCritical(r); len(open) > 0 {
			text = open[0] + " not measured"
			if len(open) > 1 {
				text += fmt.Sprintf(" (+%d)", len(open)-1)
			}
			text += "; " + c.ID.String()
		}
	}
	if len(r.Nonsense) > 0 {
		n := &r.Nonsense[0]
		row := fmt.Sprintf("line %d", n.Row().Line)
		if len(n.Readings) == 0 {
			row = Harmless(filepath.Base(n.Place.File)) + " " + row
		}
		return row + " cannot be so; " + text
	}
	if len(r.Suspects) == 0 {
		return text
	}
	s := &r.Suspects[0]
	line := strconv.Itoa(s.Reading.Place.Line)
	if n := len(s.Rivals); n == 1 {
		line += " or " + strconv.Itoa(s.Rivals[0].Place.Line)
	} else if n > 1 {
		line += fmt.Sprintf(" or %d others", n)
	}
	return "read line " + line + " again; " + text
}

// sideways is which way a value lies, where that is not plain from its limits, with a comma.
func sideways(c *fit.Characteristic) string {
	if side := Which(c); side != "" && (c.Value < 0 || c.Lower < 0) {
		return side + ", "
	}
	return ""
}

// beyond tells which limit a value is beyond.
func beyond(c *fit.Characteristic) string {
	switch {
	case c.Value < c.Lower && c.Lower < 0:
		return "beyond " + limitWithUnit(c, c.Lower)
	case c.Value < c.Lower:
		return "below " + limitWithUnit(c, c.Lower)
	case c.Lower < 0 && c.Upper > 0 && !math.IsInf(c.Lower, -1):
		return "beyond " + limitWithUnit(c, c.Upper)
	}
	return "above " + limitWithUnit(c, c.Upper)
}

// mostSuspects is how many suspects a sentence names.
const mostSuspects = 3

// ReadAgain names what cannot be so, unless the headline does, and the first suspects of a kit; it is "" when there is
// nothing of either.
func ReadAgain(r *fit.Result) string {
	rest := *r
	if r.Verdict == fit.Implausible {
		rest.Nonsense = nil
	}
	if text := Accused(&rest); text != "" {
		return "Read again first: " + text + "."
	}
	return ""
}

// Accused names what cannot be so, and the first suspects.
func Accused(r *fit.Result) string {
	var places []string
	odd := Nonsenses(r)
	places = append(places, odd[:min(mostSuspects, len(odd))]...)
	suspects := r.Suspects
	for _, s := range suspects[:min(mostSuspects, len(suspects))] {
		place := fmt.Sprintf("%s line %d, %s", Harmless(filepath.Base(s.Reading.Place.File)), s.Reading.Place.Line, Reading(s.Reading))
		for _, r := range s.Rivals[:min(mostSuspects, len(s.Rivals))] {
			place += fmt.Sprintf(" or line %d", r.Place.Line)
		}
		places = append(places, place)
	}
	if more := len(suspects) - mostSuspects; more > 0 {
		places = append(places, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(places, "; ")
}

// Swing says what the play of the pocket can do.
func Swing(r *fit.Result) string {
	if r.Swing == nil {
		return ""
	}
	text := fmt.Sprintf("With the screws eased the pocket lets the bridge come to lie anywhere from %s to %s of the neck's centre line.",
		Sideways(r.Swing.Low), Sideways(r.Swing.High))
	if r.Swing.ByScrews {
		text += " The screws' holes in the body allow less than the pocket does."
	}
	c := r.Find(fit.CentreLineError)
	if c == nil || c.Verdict != fit.Fail && c.Verdict != fit.Unsure {
		return text
	}
	switch {
	case reseatMayDo(r):
		return text + " That reaches inside the limits (" + Allowed(c) + "): re-seating the neck may be all it takes."
	case Curable(r):
		return text + " That reaches inside the limits (" + Allowed(c) + ")."
	}
	return text + " That does not reach the limits (" + Allowed(c) + "): the pocket's play cannot cure it."
}

// Curable tells whether the swing reaches inside the limits.
func Curable(r *fit.Result) bool {
	c := r.Find(fit.CentreLineError)
	return r.Swing != nil && c != nil && r.Swing.Low <= c.Upper && r.Swing.High >= c.Lower
}

// reseatMayDo tells whether the play of the pocket may be all it takes: nothing fails but what moves
// with the neck.
func reseatMayDo(r *fit.Result) bool {
	for i := range r.Characteristics {
		switch c := &r.Characteristics[i]; c.ID {
		case fit.CentreLineError, fit.BridgeSkew, fit.MarginBass, fit.MarginTreble, fit.MarginBalance:
		default:
			if c.Verdict == fit.Fail {
				return false
			}
		}
	}
	return Curable(r)
}

// Adjusted says how the readings were taken and how well they agree.
func Adjusted(r *fit.Result) string {
	var parts []string
	if way := Way(r.Way); way != "" {
		parts = append(parts, strings.ReplaceAll(way, "-", " "))
	}
	if r.Info.Lot != "" {
		parts = append(parts, "lot "+Harmless(r.Info.Lot))
	}
	if r.Info.Supplier != "" {
		parts = append(parts, "supplier "+Harmless(r.Info.Supplier))
	}
	parts = append(parts, fmt.Sprintf("%s, %d of them redundant", Amount(r.Readings, "reading", "readings"), r.DOF))
	if r.DOF > 0 {
		parts = append(parts, fmt.Sprintf("chi-square %.1f", r.ChiSquare))
	}
	text := strings.Join(parts, "; ") + "."
	if assumed := Assumed(r.Gauges); assumed != "" {
		text += " " + assumed
	}
	if r.Scale > 1 {
		text += fmt.Sprintf(" Some scatter more than their gauges claim: the uncertainty of what rests on these was multiplied by up to %.2f.", r.Scale)
	}
	return text
}

// Assumed names those gauges that were taken for granted, with what is taken of them; "" for none.
func Assumed(gauges []*measure.Gauge) string {
	var list []string
	for _, g := range gauges {
		if g.Place == (measure.Place{}) {
			list = append(list, gaugeFigures(g))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "Gauges taken for granted, since gauges.csv has none: " + Listed(list) + "; common practice, no source."
}

// AssumedByName names the gauges that were taken for granted in a report on many kits; "" for none.
func AssumedByName(ids []string) string {
	if len(ids) == 0 {
		return ""
	}
	return "Gauges taken for granted in some kits, since gauges.csv has none: " + Harmless(Listed(ids)) + "; common practice, no source."
}

// WithAssumed adds to names those of gauges that were taken for granted.
func WithAssumed(names []string, of []*measure.Gauge) []string {
	for _, g := range of {
		if g.Place == (measure.Place{}) && !slices.Contains(names, g.ID) {
			names = append(names, g.ID)
		}
	}
	return names
}

// Mending tells whether a kit is to be re-seated, shimmed, cut or drilled, as far as is known.
func Mending(r *fit.Result) bool {
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if c.Verdict == fit.Fail || c.Verdict == fit.Unsure && c.ID == fit.CentreLineError && Curable(r) {
			return true
		}
	}
	return false
}

// UncertaintyNote says which uncertainty people are shown.
const UncertaintyNote = "± U is the expanded uncertainty for 95 % (k = 1.96)."

// Notes that stand below a kit's table and below a list of kits.
const (
	KitNote   = UncertaintyNote + " Inside is the probability that the true value lies inside the limits."
	BatchNote = "Of each kit the characteristic that matters most. " + UncertaintyNote + " --kit NAME gives a kit's whole table."
)

// Suspect says what was read and what the other readings say.
func Suspect(s *fit.Suspect) string {
	return fmt.Sprintf("%s: %s: read %s mm, the others say %s mm; residual %.1f times its standard deviation, critical %.1f%s",
		Place(s.Reading.Place), Reading(s.Reading), Limit(s.Read), Length(s.Expected), s.W, s.Critical, OrElse(s))
}

// OrElse says what may be meant instead of a suspect: other readings that the rest cannot tell from it, or a part that
// is not as it should be at that place.
func OrElse(s *fit.Suspect) string {
	text := ""
	if s.Crooked {
		text = "; misread, or the part is off there: it is the part if it reads the same again"
	}
	if len(s.Rivals) == 0 {
		return text
	}
	var lines []string
	for _, r := range s.Rivals[:min(mostSuspects, len(s.Rivals))] {
		lines = append(lines, strconv.Itoa(r.Place.Line))
	}
	if more := len(s.Rivals) - mostSuspects; more > 0 {
		lines = append(lines, fmt.Sprintf("%d more", more))
	}
	return text + "; or it is line " + strings.Join(lines, " or ") + ", the readings cannot tell"
}

// OtherMissing names what was not measured besides, and would be judged by nobody, or only as minor; "" for
// nothing.
func OtherMissing(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "Not measured either: " + strings.Join(names, ", ") + ". neckfit explain NAME says what to read for one."
}

// Headings of what stands below a kit's table.
const (
	MissingHeading  = "Not measured, so neither pass nor fail:"
	SuspectsHeading = "Readings that do not agree with the others (none was left out):"
	AdviceHeading   = "To decide what else is unsure:"
	CoarseHeading   = "Too coarse: with these gauges no value could pass."
)

// Cautions are for a kit on which the next thing that somebody does may be to loosen, cut or drill;
// nil for others.
func Cautions(r *fit.Result) []string {
	if !Mending(r) {
		return nil
	}
	return WorkCautions()
}
