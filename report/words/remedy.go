package words

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// RemedyHeadline counts the kits by what is to be done.
func RemedyHeadline(kits int, tally map[remedy.Level]int) string {
	var parts []string
	for level, words := range []string{"need nothing", "a remedy that can be undone", "a little wood to be cut", "holes to be plugged and drilled anew", "a part to be returned"} {
		if n := tally[remedy.Level(level)]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, words))
		}
	}
	return fmt.Sprintf("%d kits: %s.", kits, strings.Join(parts, ", "))
}

// Handles tells whether a plan tells somebody to cut, drill or glue, or to turn a neck screw.
func Handles(p *remedy.Plan) bool {
	for _, a := range p.Actions {
		if a.Work != measure.Leave && a.Work != measure.SendBack {
			return true
		}
	}
	return false
}

// WhatToDo is a kit's recommendation in a sentence or two.
func WhatToDo(r *fit.Result, a *remedy.Advice) string {
	p := &a.Plans[0]
	switch {
	case r.Verdict == fit.Pass:
		return "passes: leave it."
	case r.Verdict == fit.NotMeasured:
		return "nothing could be judged, so nothing can be advised: read more."
	case p.Level == remedy.Returned:
		return "return the " + p.Actions[0].Part + ": " + Harmless(strings.Join(a.Cannot, "; ")) + "."
	case p.Level == remedy.Untouched:
		return "leave it and read again what is unsure: all passes with " + Percent(p.Curable) + " as it is."
	}
	text := p.Brief() + ": " + Percent(p.Curable) + " that all then passes; " + fmt.Sprintf("%.0f minutes, %s.", p.Minutes, p.Level)
	if p.Level > remedy.Reversible && len(a.Untried) > 0 {
		text = "first " + readFirst(a) + ", for that may save it this: " + text
	}
	return text
}

// readFirst is the reading that would let a less drastic plan be tried.
func readFirst(a *remedy.Advice) string {
	_, reading, found := strings.Cut(a.Untried[0], ": ")
	if !found {
		return a.Untried[0]
	}
	return reading
}

// Play says what play a plan leaves beside the pocket's walls; "" where it is not known.
func Play(p *remedy.Plan) string {
	if p.After == nil {
		return ""
	}
	text := fmt.Sprintf("Play that remains: at the mouth %.2f mm on the bass side and %.2f on the treble side, at the end %.2f and %.2f.",
		p.After.Bass[0], p.After.Treble[0], p.After.Bass[1], p.After.Treble[1])
	if p.Swing != nil {
		text += fmt.Sprintf(" If the heel slips in it, the centre-line error may be anywhere from %s to %s mm.", Signed(p.Swing.Low), Signed(p.Swing.High))
	}
	return text
}
