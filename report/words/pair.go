package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
)

// PairHeadline counts the pairs of a match by what they need.
func PairHeadline(m *pair.Match) string {
	if len(m.Pairs) == 0 {
		return fmt.Sprintf("No pair can be made of %s and %s.", Amount(m.Necks, "neck", "necks"), Amount(m.Bodies, "body", "bodies"))
	}
	need := "need"
	if m.Ready == 1 {
		need = "needs"
	}
	text := fmt.Sprintf("%d of %s %s no work", m.Ready, Amount(len(m.Pairs), "pair", "pairs"), need)
	if m.Work > 0 {
		text += fmt.Sprintf(", %d %s work", m.Work, wants(m.Work))
	}
	if m.Doubt > 0 {
		text += fmt.Sprintf(", %d %s another reading", m.Doubt, wants(m.Doubt))
	}
	if lone := len(m.LoneNecks) + len(m.LoneBodies); lone > 0 {
		text += fmt.Sprintf("; %s left over", Amount(lone, "part is", "parts are"))
	}
	return text + fmt.Sprintf(". In all %s.", Duration(m.Minutes))
}

func wants(n int) string {
	if n == 1 {
		return "wants"
	}
	return "want"
}

// PairSaving compares the match with chance.
func PairSaving(m *pair.Match) string {
	if len(m.Pairs) == 0 {
		return ""
	}
	text := fmt.Sprintf("Matched by chance, the same parts would take %s on average", Duration(m.Random.Minutes))
	if m.Random.Impossible > 0 {
		pairs := "pairs"
		if Fixed(m.Random.Impossible, 1) == "1.0" {
			pairs = "pair"
		}
		text += fmt.Sprintf(" and leave %s %s that cannot be made", Fixed(m.Random.Impossible, 1), pairs)
	}
	return text + "."
}

// PairReadAgain lists, by name, the pairs and the parts left over of which readings cannot be so or do not agree, with what to read.
func PairReadAgain(m *pair.Match) (list []string) {
	add := func(name string, r *fit.Result) {
		if text := Accused(r); text != "" {
			list = append(list, name+": "+text)
		}
	}
	for i := range m.Pairs {
		add(KitName(m.Pairs[i].Neck, i+1)+" + "+KitName(m.Pairs[i].Body, i+1), m.Pairs[i].Result)
	}
	for i, l := range slices.Concat(m.LoneNecks, m.LoneBodies) {
		add(KitName(l.Name, i+1), &l.Alone)
	}
	return list
}

// ReadAgainHeading stands over that.
const ReadAgainHeading = "Read again first; nothing was judged that rests on what cannot be so:"

// PairAdvice is what to do with a pair and what it is about.
func PairAdvice(p *pair.Pair) string {
	text := Actions(p.Price.Actions)
	switch {
	case p.Ready():
		return "leave"
	case p.Result.Verdict == fit.Implausible: // works would rest on it
		return Actions(pair.Read)
	case p.Plan != nil && p.Plan.Level == remedy.Untouched:
		text = Actions(pair.Read) + " (passes as it is with " + Percent(p.Plan.P) + ")"
	case p.Plan != nil:
		text = fmt.Sprintf("%s (%s, passes with %s)", Plan(p.Plan), Duration(p.Plan.Minutes), Percent(p.Plan.P))
	case p.Price.Actions == 0:
		text = Actions(pair.Read)
	}
	const cuts = pair.Relieve | pair.Round | pair.Ream | pair.Drill | pair.Replan
	switch cut := p.Price.Actions&cuts != 0; {
	case p.Plan == nil && p.Price.Actions&^pair.Read == 0:
	case p.Result.Verdict == fit.Unsure && (p.Plan == nil && cut || p.Plan != nil && p.Plan.Level > remedy.Reversible):
		text = "read again before any wood is cut; if it holds, " + text
	case Accused(p.Result) != "":
		text = "read again first what does not agree; if that holds: " + text
	}
	if c := Worst(p.Result); c != nil && c.Verdict != fit.Pass {
		text += ": " + c.ID.String() + " " + ValueAside(c)
	}
	return text
}

// SwapWords names the cheapest exchange of a pair and what it costs, short; "" where there is none.
func SwapWords(p *pair.Pair, name func(string) string) string {
	if p.Swap == nil {
		return ""
	}
	with := p.Swap.Neck
	if with == "" {
		with = p.Swap.Body
	}
	return fmt.Sprintf("+%.0f (%s)", p.Swap.More, name(with))
}

// OwnPairs says what the builder's own pairs cost beside the best match, and which of them cannot be; "" for none.
func OwnPairs(m *pair.Match, own [][2]string) string {
	if m.Own == nil {
		return ""
	}
	var list []string
	for i, names := range own {
		text := Harmless(names[0]) + " with " + Harmless(names[1])
		switch instead := m.Own.Instead[i]; {
		case m.Own.Obstacle[i] != (pair.Obstacle{}):
			text += " cannot be: " + Obstacle(m.Own.Obstacle[i])
		case instead == names[1]:
			text += " is what the best match has too"
		case instead != "":
			text += " in place of " + Harmless(instead)
		}
		list = append(list, text)
	}
	more, way := m.Own.Minutes, "more"
	if math.Round(more) < 0 { // fewer pairs may take less
		more, way = -more, "less"
	}
	text := fmt.Sprintf("Your own: %s. With that the whole takes %s %s than the best match", strings.Join(list, "; "), Duration(max(0, more)), way)
	if m.Own.Fewer > 0 {
		text += fmt.Sprintf(" and has %s fewer", Amount(m.Own.Fewer, "pair", "pairs"))
	}
	return text + "."
}

// Suits says what partner would suit a part that is left over; "" where nothing is known of it.
func Suits(l *pair.Lone, neck bool) string {
	p := &l.Partner
	text := "body"
	if !neck {
		text = "neck"
	}
	if p.Told {
		text = map[bool]string{true: "left-handed ", false: "right-handed "}[p.LeftHanded] + text
	}
	if p.Strings > 0 {
		text += " for " + Amount(p.Strings, "string", "strings")
	}
	var sizes []string
	for _, w := range p.Sizes {
		sizes = append(sizes, fmt.Sprintf("%s %s to %s mm", sizeWords[w.Size], Fixed(w.Lower, 2), Fixed(w.Upper, 2)))
	}
	switch {
	case len(sizes) == 0 && !p.Told && p.Strings == 0:
		return ""
	case len(sizes) == 0:
		return "wants a " + text
	}
	text += ": " + strings.Join(sizes, "; ")
	if p.Scale > 0 {
		text += fmt.Sprintf(" (for a scale of %s mm)", Fixed(p.Scale, 1))
	}
	return "wants a " + text
}

// sizeWords are what Partner's sizes are of.
var sizeWords = map[pair.Size]string{
	pair.PocketAtMouth: "pocket at its mouth", pair.PocketAtEnd: "at its end", pair.SaddlesFromEnd: "from the pocket's end to the outer saddles' front stops",
	pair.HeelAtMouth: "heel at the pocket's mouth", pair.HeelAtEnd: "at its end", pair.NutFromEnd: "from nut to heel's end",
}

// PairNote says what the numbers of a match are.
const PairNote = "Swap: the cheapest exchange with another pair or a part left over, and the minutes that both then take more. Minutes are of bench work, as costs.csv or common practice has them, with 10 for each mm beyond a limit and up to 15 for " +
	"a value so near one that it is to be read again. Values: of each pair the characteristic that matters most. " + UncertaintyNote

// CommonBridge name the common bridge; "" for none.
func CommonBridge(m *pair.Match) string {
	if m.Bridge == "" {
		return ""
	}
	return fmt.Sprintf("The bridge %s stands for every body without one of its own.", Harmless(m.Bridge))
}

// actionWords are in the order of the bits.
var actionWords = []string{
	"re-seat the neck", "shim both walls", "relieve a wall", "round the heel's corners",
	"open the neck screws' holes", "plug and re-drill the neck screws", "shim under the heel", "plug and re-drill the bridge",
	"mend the part's own fault", "read again",
}

// Actions lists what is to be done to a pair, and says "leave" for nothing.
func Actions(a pair.Action) string {
	var list []string
	for i, words := range actionWords {
		if a&(1<<i) != 0 {
			list = append(list, words)
		}
	}
	if list == nil {
		return "leave"
	}
	return strings.Join(list, "; ")
}

// Obstacle is why two parts cannot be a pair; "" for none.
func Obstacle(o pair.Obstacle) string {
	return [...]string{
		pair.NoObstacle: "", pair.NoNeck: "there is no neck", pair.NoBody: "there is no body",
		pair.NeckUnread:   "the neck cannot be seated: not measured is " + Missing(o.Missing),
		pair.BodyUnread:   "no neck can be seated: not measured is " + Missing(o.Missing),
		pair.StringCount:  fmt.Sprintf("the neck is for %d strings, the body for %d", o.NeckStrings, o.BodyStrings),
		pair.Handedness:   "one is left-handed, the other not",
		pair.HeelTooWide:  "the heel is too wide for the pocket",
		pair.BridgeTooFar: "the bridge would stand too far from where the neck wants it",
	}[o.Kind]
}

// WhyLone is why a part is left over.
func WhyLone(l pair.Lone) string {
	switch len(l.Why) {
	case 0:
		return "one too many"
	case 1:
		return Obstacle(l.Why[0])
	}
	return "fits none: " + Obstacle(l.Why[0]) + "; " + Obstacle(l.Why[1])
}

// PairLabel is what a reader who cannot see the drawing of a pair is told of it; e is nil where it is not known.
func PairLabel(bass, treble [2]float64, e *fit.Characteristic) string {
	text := PocketLabel(bass, treble)
	if e != nil {
		text += " Behind it " + BridgeLies(e) + " of the neck's centre line."
	}
	return text
}

// PairAssumed are the names of the gauges that parts of the pairs were taken to be read with.
func PairAssumed(m *pair.Match) (names []string) {
	for i := range m.Pairs {
		names = WithAssumed(names, m.Pairs[i].Result.Gauges)
	}
	return names
}
