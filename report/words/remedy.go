package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Remedies counts kits by what is to be done with them. Its zero value is ready to use.
type Remedies struct {
	Kits, Pass, Read int                      // Read: to be read, or read again, before anything is done
	Works            [remedy.Returned + 1]int // the others, by how drastic their plans are
}

// ReadFirst tells whether a kit is to be read, again or further, before anything is done.
func ReadFirst(r *fit.Result, a *remedy.Advice) bool {
	t := delivery.Trouble{Verdict: r.Verdict, Odd: make([]measure.Place, len(r.Nonsense)), Suspect: delivery.RowsOf(a.Suspect), Work: delivery.WorkOf(a)}
	return r.Verdict != fit.Pass && t.ReadFirst()
}

// Add counts a kit by its verdict, whether it is to be read first, and how drastic its plan is.
func (t *Remedies) Add(v fit.Verdict, read bool, level remedy.Level) {
	t.Kits++
	switch {
	case v == fit.Pass:
		t.Pass++
	case read:
		t.Read++
	default:
		t.Works[level]++
	}
}

// Headline counts the kits by what is to be done, the least first.
func (t *Remedies) Headline() string {
	var parts []string
	for _, c := range []struct {
		n         int
		one, many string
	}{
		{t.Pass, "needs nothing", "need nothing"},
		{t.Read, "is to be read again or further first", "are to be read again or further first"},
		{t.Works[remedy.Reversible], "needs a remedy that can be undone", "need a remedy that can be undone"},
		{t.Works[remedy.Trimmed], "needs a little wood to be cut", "need a little wood to be cut"},
		{t.Works[remedy.Redrilled], "needs holes to be plugged and drilled anew", "need holes to be plugged and drilled anew"},
		{t.Works[remedy.Returned], "has a part to be returned", "have a part to be returned"},
	} {
		if c.n > 0 {
			parts = append(parts, Amount(c.n, c.one, c.many))
		}
	}
	return Amount(t.Kits, "kit", "kits") + ": " + strings.Join(parts, ", ") + "."
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
	if len(a.Vain) > 0 {
		without := *a
		without.Vain = nil
		return "your own plan cannot be worked out before this is done: " + untriedReading(a.Vain[0]) + ". What is advised meanwhile: " + WhatToDo(r, &without)
	}
	switch {
	case a.Own:
		p := &a.Plans[0]
		if no := Barred(p); len(no) > 0 {
			return "your own plan, " + Plan(p) + ", cannot be carried out as it stands. " + strings.Join(no, " ")
		}
		return "your own plan, " + Plan(p) + ": " + Percent(p.P) + " that all then passes; " + fmt.Sprintf("%.0f minutes, %s.", p.Minutes, Level(p.Level))
	case r.Verdict == fit.Pass:
		if odd := Accused(r); odd != "" {
			return "passes as it was read: leave it, but read again what does not agree, " + odd + "."
		}
		return "passes: leave it."
	case r.Verdict == fit.NotMeasured:
		return "nothing could be judged, so nothing can be advised." + toRead(r)
	case r.Verdict == fit.Incomplete:
		return "what was judged passes, but not measured: " + Listed(UnmeasuredCritical(r)) + "." + toRead(r)
	case r.Verdict == fit.Implausible:
		return "read again before anything is done what cannot be so, " + firstNonsense(r) + "."
	case len(r.Nonsense) > 0:
		rest := *r
		rest.Nonsense = nil
		return "read again before anything is done what cannot be so, " + firstNonsense(r) + ". What follows from the rest: " + WhatToDo(&rest, a)
	case len(a.Suspect) > 0:
		rest := *a
		rest.Suspect = nil
		return "read again before anything is done: " + rows(delivery.RowsOf(a.Suspect)) + ". What would follow if that is as it was read: " + WhatToDo(r, &rest)
	case len(a.Waits) > 0:
		var ids []string
		for _, w := range a.Waits {
			ids = append(ids, w.ID.String())
		}
		text := "first " + untriedReading(a.Waits[0].Untried) + ": until then nothing can be said of how to cure " + strings.Join(ids, ", ")
		if a.Plans[0].Level != remedy.Untouched {
			return text + ". Meanwhile: " + planWords(r, a)
		}
		return text + "."
	}
	return planWords(r, a)
}

// toRead is the first reading that would tell more of a kit.
func toRead(r *fit.Result) string {
	if list := Next(r); len(list) > 0 {
		return " To read first: " + list[0] + "."
	}
	return ""
}

// planWords is what the first plan does and how likely it is.
func planWords(r *fit.Result, a *remedy.Advice) string {
	p := &a.Plans[0]
	switch p.Level {
	case remedy.Returned:
		return strings.TrimSuffix("return the "+Parts(p.Return, p.OneOf)+": "+strings.Join(Cannot(a), "; "), ": ") + "."
	case remedy.Untouched:
		return "read again what is unsure, and leave it until then: " + Percent(p.P) + " that it passes as it is."
	case remedy.Reversible, remedy.Trimmed, remedy.Redrilled:
	}
	text := Plan(p) + ": " + Percent(p.P) + " that all then passes; " + fmt.Sprintf("%.0f minutes, %s.", p.Minutes, Level(p.Level))
	if p.Level > remedy.Reversible && r.Verdict == fit.Unsure {
		text = "read again what is unsure before any wood is cut; if it holds, " + text
	}
	if p.Level > remedy.Reversible && len(a.Untried) > 0 {
		text = "first " + untriedReading(a.Untried[0]) + ", for that may save it this: " + text
	}
	if p.Waits() {
		text += " It waits for an answer: " + strings.Join(Asks(r.Kit, p), " ")
	}
	return text
}

// Why is what the first plan has over the second, in one sentence; "" where there is no second.
func Why(a *remedy.Advice) string {
	if a.Why == remedy.NoSecond || a.Own {
		return ""
	}
	p, q := &a.Plans[0], &a.Plans[1]
	switch a.Why {
	case remedy.NoSecond:
	case remedy.NothingHelps:
		return "No work on this kit is likely to make it pass: the next plan (" + Plan(q) + ") reaches " + Percent(q.P) + "."
	case remedy.Cheaper:
		return fmt.Sprintf("It comes before the next plan (%s) because it is expected to cost less, %.0f against %.0f minutes with measuring again, what cannot be undone and what comes next where it fails; %s against %s that all then passes.",
			Plan(q), p.Expected, q.Expected, Percent(p.P), Percent(q.P))
	}
	panic("words: no such reason")
}

// Arithmetic is how the cost of a plan, counted from 0, comes about: it adds up.
func Arithmetic(a *remedy.Advice, i int) string {
	p := &a.Plans[i]
	parts := []string{Fixed(p.Minutes, 0) + " of work"}
	add := func(minutes float64, what string) {
		if minutes > 0 {
			parts = append(parts, Fixed(minutes, 0)+" "+what)
		}
	}
	add(p.Price, "for what cannot be undone")
	add(p.Again, "to measure again")
	if p.Fails > 0 && p.Then > 0 {
		next := "what comes next"
		if p.Next >= 0 {
			next += fmt.Sprintf(", plan %d first", p.Next+1)
		}
		parts = append(parts, fmt.Sprintf("%s (the chance that it fails) of %.0f (%s)", Percent(p.Fails), p.Then, next))
	}
	add(p.Back, "to return a part in any case, since something fails that no work changes")
	return "Its cost in minutes: " + strings.Join(parts, " + ") + " = " + Fixed(p.Expected, 0) + ". Minutes and prices are those of costs.csv, or the built-in ones."
}

// Cannot is what no plan cures, and why.
func Cannot(a *remedy.Advice) []string {
	var list []string
	for _, c := range a.Cannot {
		list = append(list, incurable(c))
	}
	return list
}

func incurable(c remedy.Incurable) string {
	name := c.ID.String() + ": "
	switch c.Cause {
	case remedy.NotTogether:
		return "each fault by itself can be cured, but no plan makes it likely that all is good at once"
	case remedy.OtherScale:
		return fmt.Sprintf("the neck is of another scale: it measures %.0f mm, and kits.csv says %.0f mm; frets cannot be moved", c.Have, c.Need)
	case remedy.HeelTooWide:
		return fmt.Sprintf("%sthe heel is %.1f mm wider than the pocket there, and a wall is scraped by %.1f mm at the most", name, c.Have, c.Most)
	case remedy.NoStockFits:
		thickest := "none"
		if c.Most > 0 {
			thickest = fmt.Sprintf("%.2f mm a wall", c.Most)
		}
		return fmt.Sprintf("%sno stock fits: it takes %.1f to %.1f mm of shim, and the thickest on the shelf is %s", name, c.Have, c.Need, thickest)
	case remedy.TravelTooShort:
		return fmt.Sprintf("%sthe saddles travel too little: the two reserves add up to %.1f mm and must be %.1f mm, wherever the bridge stands", name, c.Have, c.Need)
	case remedy.BridgeTooFar:
		return fmt.Sprintf("%sthe bridge stands beyond what its saddles' travel can make up, and it cannot be moved that far (%.0f mm at the most)", name, c.Most)
	case remedy.Unchanged:
		return c.ID.String() + " is not changed by any work on the fit"
	case remedy.NoSizeFits:
		return name + "no work and no size on the shelf brings it inside its limits"
	}
	panic("words: no such cause")
}

// Untried is what could not be tried for want of readings, and which they are.
func Untried(a *remedy.Advice) []string {
	works := [...]string{
		remedy.HeelUntried: "re-seating, side shims and relief", remedy.BridgeUntried: "moving the bridge",
		remedy.ClearanceUntried: "moving the bridge within its screws' clearance", remedy.ScrewsUntried: "opening the neck-screw holes",
		remedy.SaddlesUntried: "the saddles' reserve after a move",
	}
	var list []string
	for _, u := range a.Untried {
		list = append(list, works[u]+": "+untriedReading(u))
	}
	return list
}

func untriedReading(u remedy.Untried) string {
	return [...]string{
		remedy.HeelUntried:      "read pocket and heel at mouth and end, from the straightedge along the bass edge (datum edge-bass) in an edge check, so that it is known how far from the bridge they are; or the gaps beside both walls from the body's datum",
		remedy.BridgeUntried:    "read the fingerboard's edges and the outer saddles or the bridge's screw holes",
		remedy.ClearanceUntried: "read plate-screw (datum bridge) and bridge-screw (datum body)",
		remedy.ScrewsUntried:    "read their diameters (neck-screw, kind diameter)",
		remedy.SaddlesUntried:   "read saddle-front and saddle-back",
	}[u]
}

// Frame names the frame that a kit's places are given in, and says where its zero is.
func Frame(w fit.Way) (name, origin string) {
	switch w {
	case fit.LooseParts:
		return "pocket", "on the pocket's axis; its mouth and end in this frame say where"
	case fit.DryFit:
		return "body", "the zero mark of the straightedge beside the body"
	case fit.EdgeCheck:
		return "edge-bass", "the zero mark of the straightedge along the bass edge of the fingerboard"
	case fit.NoWay:
	}
	return "", ""
}

// HiddenSeat is said where a comparison cannot show how a heel was set.
const HiddenSeat = "the parts were measured apart, which does not show where the heel was set: measure it in the pocket (dry fit)."

// Barred are the reasons why a plan cannot be carried out as it stands.
func Barred(p *remedy.Plan) (list []string) {
	if at, by, stuck := p.Stuck(); stuck {
		list = append(list, fmt.Sprintf("The heel does not go in: at the pocket's %s it is %.2f mm wider than the pocket.", [...]string{"mouth", "end"}[at], by))
	}
	if p.Beyond > 0 {
		list = append(list, fmt.Sprintf("Moved so far, the bridge's screws stand %.1f mm or more beyond what their holes let them: it gets there only with those holes plugged and drilled anew.", p.Beyond))
	}
	return list
}

// Play says what play a plan leaves beside the pocket's walls; "" where it is not known, or there is none.
func Play(p *remedy.Plan) string {
	if _, _, stuck := p.Stuck(); p.After == nil || stuck {
		return ""
	}
	text := fmt.Sprintf("Play that remains: at the mouth %.2f mm on the bass side and %.2f on the treble side, at the end %.2f and %.2f.",
		p.After.Bass[0], p.After.Treble[0], p.After.Bass[1], p.After.Treble[1])
	if p.Swing != nil {
		text += fmt.Sprintf(" If the heel slips in it, the bridge may lie anywhere from %s to %s of the neck's centre line.", Sideways(p.Swing.Low), Sideways(p.Swing.High))
	}
	return text
}

// hopeless tells that a plan, counted from 0, is not worth a row beside the others: its odds are too small to be shown,
// and it is neither the first nor what a kit is left to without any.
func hopeless(a *remedy.Advice, i int) bool {
	p := &a.Plans[i]
	return i > 0 && p.P < leastOdds && p.Level != remedy.Untouched && p.Level != remedy.Returned
}

// SideBySide sets the plans of a kit in one table, of which the first row is the headings: shim or
// re-drill, in one look. Shown are the plans of the other rows, counted from 0.
func SideBySide(a *remedy.Advice) (rows [][]string, shown []int) {
	rows = [][]string{{"", "odds", "min", "cost", "undone", "after a slip", "seen", "plan"}}
	anySeen := false
	for i := range a.Plans {
		if hopeless(a, i) {
			continue
		}
		p := &a.Plans[i]
		number := strconv.Itoa(i + 1)
		if p.Waits() {
			number += "?"
		}
		row := []string{number, "-", Fixed(p.Minutes, 0), Fixed(p.Expected, 0), "-", "-", "-", Plan(p)}
		if p.Level != remedy.Returned {
			row[1], row[4] = Percent(p.P), [...]string{"-", "yes", "no, cuts", "no, drills", ""}[p.Level]
		}
		if s := p.Swing; s != nil && p.Level != remedy.Returned {
			if row[5] = Sideways(s.High); math.Abs(s.Low) >= math.Abs(s.High) {
				row[5] = Sideways(s.Low)
			}
		}
		if seen := plugsSeen(p); seen > 0 {
			row[6] = Amount(seen, "plug", "plugs")
			anySeen = true
		}
		rows, shown = append(rows, row), append(shown, i)
	}
	if !anySeen {
		for i, row := range rows {
			rows[i] = append(row[:6:6], row[7])
		}
	}
	return rows, shown
}

// plugsSeen counts the old holes that no plate will cover.
func plugsSeen(p *remedy.Plan) (n int) {
	if p.Drilling == nil {
		return 0
	}
	for _, h := range p.Drilling.Holes {
		if h.Plug > 0 && h.Sight == remedy.InSight {
			n++
		}
	}
	return n
}

// SideBySideNote says what the columns of SideBySide are.
func SideBySideNote(a *remedy.Advice) string {
	text := "Odds: that everything judged then passes. Cost: minutes expected, with measuring again, what cannot be undone, and what comes next where it fails. " +
		"Undone: whether it can be. After a slip: the farthest that the bridge may lie off, if the heel moves in the play that is left."
	if slices.ContainsFunc(a.Plans, func(p remedy.Plan) bool { return plugsSeen(&p) > 0 }) {
		text += " Seen: plugs that no plate covers."
	}
	var left []string
	for i := range a.Plans {
		if hopeless(a, i) {
			left = append(left, strconv.Itoa(i+1))
		}
	}
	if n := len(left); n > 0 {
		text += " Left out, with less than 0.1 %: plan" + map[bool]string{n > 1: "s"}[true] + " " + Listed(left) + "."
	}
	return text
}

// Expect says what is predicted of the characteristic that holds a plan's odds down; "" where the plan does
// not change it.
func Expect(r *fit.Result, p *remedy.Plan) string {
	for i := range p.Predicted {
		q := &p.Predicted[i]
		c := r.Characteristics[q.Index]
		if c.ID == p.Weakest.ID && q.Changed {
			c.Value, c.StdUncertainty = q.Value, q.StdUncertainty
			return "Least sure after it: " + Meaning(&c) + ", inside its limits with " + Percent(p.Weakest.P) + " (" + c.ID.String() + ")."
		}
	}
	return ""
}

// LearntHeading stands above what a shop's own accuracies come out as.
const LearntHeading = "How exactly these works were done, for the column worst of costs.csv (mm, three standard deviations):"

// Learnt is an accuracy with its uncertainty.
func Learnt(a remedy.Accuracy) string { return fmt.Sprintf("%.2f ± %.2f", a.Worst, a.U) }

// LearntLine is the same in a line of costs.csv.
func LearntLine(a remedy.Accuracy) string {
	return fmt.Sprintf("%s: worst %s mm (95 %%), three standard deviations, from %s", a.Work, Learnt(a), Amount(a.Kits, "kit", "kits"))
}

// What is said of a shop's own accuracies.
const (
	LearntHint    = "--show costs writes them as a costs.csv."
	NothingLearnt = "fewer than four kits had a plan of one work, and were measured again after it: nothing can be learnt of how exactly works are done"
)

// Asks are what must be answered before a kit's plan is carried out.
func Asks(kit string, p *remedy.Plan) (list []string) {
	write := func(column string) string {
		return fmt.Sprintf("Measure one, and write %s into kits.csv, row %s: the pilots hang on it.", column, Harmless(kit))
	}
	for _, a := range p.Asks {
		switch a {
		case remedy.BridgeScrewSize:
			list = append(list, "How thick are the bridge's screws? "+write("bridge_screw"))
		case remedy.NeckScrewSize:
			list = append(list, "How thick are the neck screws? "+write("neck_screw"))
		case remedy.FarBridge:
			list = append(list, "The bridge would move by more than 3 mm: are these the parts that belong together?")
		case remedy.FloorThickness:
			list = append(list, "How thick is the body under the pocket's floor? Write body_thickness into kits.csv, row "+Harmless(kit)+", and read the floor's depth: at least 12 mm must stay (common practice, no source).")
		case remedy.HolesUnread:
			list = append(list, "Where are the bridge's holes? Read bridge-screw (and string-hole), station and offset, from the body's datum or, in an edge check, from both edges': only then is there a hole schedule.")
		}
	}
	return list
}

// Waiting are the plans that are no use before a question is answered, by their numbers in SideBySide.
func Waiting(kit string, a *remedy.Advice) (list []string) {
	for i := range a.Plans {
		if p := &a.Plans[i]; p.Waits() {
			list = append(list, fmt.Sprintf("Plan %d waits for an answer. %s", i+1, strings.Join(Asks(kit, p), " ")))
		}
	}
	return list
}

// PlanHeading stands above a plan: how drastic it is, how long it takes, what it promises.
func PlanHeading(p *remedy.Plan, number int) string {
	text := fmt.Sprintf("Plan %d: %s (%s; %.0f minutes", number, Plan(p), Level(p.Level), p.Minutes)
	if p.Level != remedy.Returned {
		text += "; " + Percent(p.P) + " that all then passes"
	}
	return text + ")"
}

// MorePlans says how to see the plans that are not shown.
func MorePlans(more, all int) string {
	return fmt.Sprintf("%s: --plans %d shows all.", Amount(more, "more plan", "more plans"), all)
}

// Headings of what stands below the plans.
const (
	CannotHeading  = "What no work cures:"
	UntriedHeading = "Not tried, for want of readings:"
)

// Notes that stand below a kit's plans, below a list of kits with their plans, and below what was
// measured after the work.
const (
	RemedyNote = "± U is the expanded uncertainty for 95 % (k = 1.96), of the readings and of the hand that does the work. " +
		"The probabilities are that everything judged then passes, by 2,500 fixed draws of all characteristics together, off by 1 % at the most (standard error). Sizes come from stock.csv, minutes, prices and accuracies (the worst is three standard deviations) from costs.csv, or the built-in ones: common practice, no source."
	RemedyBatchNote = "--kit NAME gives a kit's plans, what each leaves and why the first is the first."
	ReworkedNote    = "± U is the expanded uncertainty for 95 % (k = 1.96). En is the difference over both expanded uncertainties " +
		"together; at most 1 either way where work, plan and readings agree (ISO/IEC 17043)."
)

// Reworked says how many characteristics of a kit that was worked on agree with its plan.
func Reworked(before, after *fit.Result, p *remedy.Plan, agreeing, all int) string {
	text := fmt.Sprintf("%s: was %s, is now %s; %d of %d characteristics agree with the plan (%s), which gave it %s.", Harmless(after.Kit),
		Verdict(before.Verdict), Verdict(after.Verdict), agreeing, all, Plan(p), Percent(p.P))
	if again := Accused(after); again != "" {
		text += " Read again first, of what was read after the work: " + again + "."
	}
	return text
}
