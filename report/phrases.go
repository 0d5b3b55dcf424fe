package report

import (
	"neckfit/fit"
	"neckfit/fit/remedy"
)

// What follows is how this package words a result, for a report that lays it out otherwise, such
// as HTML. All of it is plain text, rounded for people.

// Check refuses a result with a number that no report can show.
func Check(r *fit.Result) error { return check(r) }

// VerdictWord is a verdict in words, such as "not-measured".
func VerdictWord(v fit.Verdict) string { return verdictWord(v) }

// UnitWord is "mm" or "deg".
func UnitWord(c *fit.Characteristic) string { return unitWord(c) }

// Measured tells whether a characteristic has a value, Judged whether it was held against a limit.
func Measured(c *fit.Characteristic) bool { return measured(c) }

// Judged tells whether a characteristic was held against a limit.
func Judged(c *fit.Characteristic) bool { return judged(c) }

// Rounded gives the expanded uncertainty (95 %, k = 1.96) of a value of that standard uncertainty
// to two significant digits, and the value to match.
func Rounded(value, standard float64) (v, u string) { return rounded(value, standard) }

// LimitWord writes one limit, Limits what lies inside both.
func LimitWord(x float64) string { return limit(x) }

// Limits writes what lies inside the limits, such as "at least 2.5".
func Limits(c *fit.Characteristic) string { return limits(c) }

// Percent writes a probability.
func Percent(p float64) string { return percent(p) }

// Worst is the judged characteristic that matters most; nil when nothing was judged.
func Worst(r *fit.Result) *fit.Characteristic { return worst(r) }

// Headline says of a kit what matters most and what to do, InBrief the same in a few words.
func Headline(r *fit.Result) string { return headline(r) }

// InBrief says in a few words what matters most of a kit.
func InBrief(r *fit.Result) string { return inBrief(r) }

// ReadAgain names the readings of a kit that do not agree with the others; "" when there is none.
func ReadAgain(r *fit.Result) string { return readAgain(r.Suspects) }

// SwingWords says what the play of the pocket can do; "" where it is not known.
func SwingWords(r *fit.Result) string { return swingWords(r) }

// Adjusted says how the readings were taken and how well they agree.
func Adjusted(r *fit.Result) string { return adjusted(r) }

// Harmless makes a text of the user's one line of printing characters.
func Harmless(text string) string { return harmless(text) }

// Coverage is the factor from the standard to the expanded uncertainty.
const Coverage = coverage

// UncertaintyNote says which uncertainty people are shown.
const UncertaintyNote = uncertaintyNote

// Cautions are for a kit on which the next thing that somebody does may be to loosen, cut or
// drill; nil for others.
func Cautions(r *fit.Result) []string {
	if !mending(r) {
		return nil
	}
	return remedy.Cautions()
}

// WhatToDo is a kit's recommendation in a sentence or two.
func WhatToDo(r *fit.Result, a *remedy.Advice) string { return whatToDo(r, a) }

// RemedyHeadline counts kits by how drastic their recommended plans are.
func RemedyHeadline(kits int, tally map[remedy.Level]int) string { return remedyHeadline(kits, tally) }

// PlayWords says what play a plan leaves beside the pocket's walls; "" where it is not known.
func PlayWords(p *remedy.Plan) string { return playWords(p) }

// Handles tells whether a plan tells somebody to cut, drill or glue, or to turn a neck screw; then
// remedy.Cautions belong beside it.
func Handles(p *remedy.Plan) bool { return handles(p) }
