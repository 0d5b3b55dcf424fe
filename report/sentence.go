package report

import (
	"fmt"
	"path/filepath"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// placeWord names a place as tools do: file:line.
func placeWord(p measure.Place) string { return fmt.Sprintf("%s:%d", harmless(p.File), p.Line) }

// nearLimit is the limit that a value is beyond, or the nearer one.
func nearLimit(c *fit.Characteristic) float64 {
	if c.Value-c.Lower < c.Upper-c.Value {
		return c.Lower
	}
	return c.Upper
}

// beside tells on which side of its limits a value lies: "above 1 mm".
func beside(c *fit.Characteristic) string {
	unit := " " + unitWord(c)
	switch {
	case c.Value < c.Lower:
		return "below " + limit(c.Lower) + unit
	case c.Value > c.Upper:
		return "above " + limit(c.Upper) + unit
	}
	return "inside " + limits(c) + unit
}

// standing is what is said of a characteristic in a sentence.
func standing(c *fit.Characteristic) string {
	is := c.ID.String() + " is " + valueWords(c)
	switch {
	case c.Verdict == fit.Unsure:
		return is + ", too near its limit of " + limit(nearLimit(c)) + " " + unitWord(c) + " to say"
	case c.Verdict == fit.Fail:
		return is + ", " + beside(c)
	}
	return is + ", limits " + limits(c) + " " + unitWord(c)
}

// headline says of a kit what matters most.
func headline(r *fit.Result) string {
	c := worst(r)
	switch {
	case c == nil && r.Verdict == fit.NotMeasured:
		return "nothing could be judged, for the readings do not give anything that has a limit."
	case c == nil:
		return "nothing was judged, for nothing that was measured has a limit."
	case c.Verdict == fit.Pass:
		text := count(r, fit.Pass, "passes", "pass")
		if open := unmeasuredCritical(r); len(open) > 0 {
			text += ", but not measured: " + strings.Join(open, ", ")
		}
		return fmt.Sprintf("%s. Least room: %s.", text, standing(c))
	case c.Verdict == fit.Unsure && c.Advice != "":
		return standing(c) + ". To decide it: " + harmless(c.Advice) + "."
	case c.Verdict == fit.Unsure:
		return standing(c) + "."
	}
	text := standing(c) + "."
	if others := othersLike(r, c); len(others) > 0 {
		text += " Also failing: " + strings.Join(others, ", ") + "."
	}
	return text
}

// unmeasuredCritical names the critical characteristics that a kit passes without.
func unmeasuredCritical(r *fit.Result) []string {
	var names []string
	for i := range r.Characteristics {
		if c := &r.Characteristics[i]; c.Class == measure.Critical && c.Verdict == fit.NotMeasured {
			names = append(names, c.ID.String())
		}
	}
	return names
}

// count says how many characteristics have a verdict.
func count(r *fit.Result, v fit.Verdict, one, many string) string {
	n := 0
	for i := range r.Characteristics {
		if r.Characteristics[i].Verdict == v {
			n++
		}
	}
	if n == 1 {
		return "the one judged characteristic " + one
	}
	return fmt.Sprintf("all %d judged characteristics %s", n, many)
}

// othersLike names the other characteristics of the same verdict.
func othersLike(r *fit.Result, c *fit.Characteristic) []string {
	var names []string
	for i := range r.Characteristics {
		if o := &r.Characteristics[i]; o.Verdict == c.Verdict && o.ID != c.ID {
			names = append(names, o.ID.String())
		}
	}
	return names
}

// inBrief is what matters most of a kit, for a line in a list.
func inBrief(r *fit.Result) string {
	text := "nothing judged"
	switch c := worst(r); {
	case c == nil:
	case c.Verdict == fit.Unsure:
		text = c.ID.String() + " near " + limit(nearLimit(c)) + " " + unitWord(c)
	case c.Verdict == fit.Fail:
		text = c.ID.String() + " " + beside(c)
	default:
		text = c.ID.String() + " has least room"
		if open := unmeasuredCritical(r); len(open) > 0 {
			text = open[0] + " not measured"
			if len(open) > 1 {
				text += fmt.Sprintf(" (+%d)", len(open)-1)
			}
			text += "; " + c.ID.String()
		}
	}
	if len(r.Suspects) == 0 {
		return text
	}
	return fmt.Sprintf("read line %d again; %s", r.Suspects[0].Place.Line, text)
}

// mostSuspects is how many suspects a sentence names.
const mostSuspects = 3

// readAgain names the first suspects of a kit; it is "" when there is none.
func readAgain(suspects []fit.Suspect) string {
	if len(suspects) == 0 {
		return ""
	}
	var places []string
	for _, s := range suspects[:min(mostSuspects, len(suspects))] {
		places = append(places, fmt.Sprintf("%s line %d, %s", harmless(filepath.Base(s.Place.File)), s.Place.Line, harmless(s.What)))
	}
	text := "Read again first: " + strings.Join(places, "; ")
	if more := len(suspects) - mostSuspects; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text + "."
}

// swingWords says what the play of the pocket can do.
func swingWords(r *fit.Result) string {
	if r.Swing == nil {
		return ""
	}
	text := fmt.Sprintf("With the screws eased the pocket lets the centre-line error go from %s to %s mm.",
		signed(r.Swing.Low), signed(r.Swing.High))
	c := r.Find(centreLine)
	if c == nil || c.Verdict != fit.Fail && c.Verdict != fit.Unsure {
		return text
	}
	within := fmt.Sprintf("the limits, %s mm", limits(c))
	if curable(r) {
		return text + " That reaches inside " + within + ": re-seat the neck first, and read again."
	}
	return text + " That does not reach " + within + ": the pocket's play cannot cure it."
}

// centreLine is the characteristic that the swing moves.
const centreLine = fit.CentreLineError

// curable tells whether the swing reaches inside the limits.
func curable(r *fit.Result) bool {
	c := r.Find(centreLine)
	return r.Swing != nil && c != nil && r.Swing.Low <= c.Upper && r.Swing.High >= c.Lower
}

// signed writes a length to 0.1 mm with its sign.
func signed(mm float64) string {
	text := limit(mm)
	if mm > -longest && mm < longest {
		text = fixed(mm, 1)
	}
	if mm > 0 {
		return "+" + text
	}
	return text
}

// adjusted says how the readings were taken and how well they agree.
func adjusted(r *fit.Result) string {
	var parts []string
	if way := wayWord(r.Way); way != "" {
		parts = append(parts, strings.ReplaceAll(way, "-", " "))
	}
	if r.Info.Lot != "" {
		parts = append(parts, "lot "+harmless(r.Info.Lot))
	}
	if r.Info.Supplier != "" {
		parts = append(parts, "supplier "+harmless(r.Info.Supplier))
	}
	parts = append(parts, fmt.Sprintf("%d readings, %d of them redundant", r.Readings, r.DOF))
	if r.DOF > 0 {
		parts = append(parts, fmt.Sprintf("chi-square %.1f", r.ChiSquare))
	}
	text := strings.Join(parts, "; ") + "."
	if r.Scale > 1 {
		text += fmt.Sprintf(" They scatter more than their gauges claim, so every uncertainty was multiplied by %.2f.", r.Scale)
	}
	return text
}
