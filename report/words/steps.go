package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Step is one work of a plan, told to whoever carries it out.
type Step struct {
	Do    string // on which side, how much, with what; glue and cure, bore, bit and depth
	Check string // what to measure after it, and what that must read; "" where nothing is worked on
}

// String is what to do and what to check.
func (s Step) String() string {
	if s.Check == "" {
		return s.Do
	}
	return s.Do + " Check: " + s.Check
}

// Steps are a plan's, in their order. The result is of the kit before the work.
func Steps(r *fit.Result, p *remedy.Plan) []Step {
	s, list := steps{r, p}, make([]Step, len(p.Actions))
	for i := range list {
		list[i] = Step{s.do(&p.Actions[i]), s.check(i)}
	}
	return list
}

// steps words the works of a plan.
type steps struct {
	result *fit.Result
	plan   *remedy.Plan
}

// Glue and cure, common practice, no source.
const (
	cure     = "leave it overnight to cure (common practice, no source; the label decides)"
	glueShim = "When the last check has proved it right, glue it to the wall and not to the heel: a thin coat of wood glue, clamped against a block for an hour; " + cure + "."
	gluePlug = "wood glue in the bore, the plug tapped home, no clamp; " + cure + "; trim it flush"
)

// doSized says what to do in works of which nothing but a size is to be told, in mm.
var doSized = map[measure.Work]string{
	measure.TrimHeel:     "Shorten the heel's end by %.1f mm, so that the neck slides farther home: clamp the neck, mark the line square across, plane or sand to it with a square block; stop 0.2 mm short, try the heel, go on.",
	measure.SlotScrews:   "Lay the heel where it is to stay and try the screws. Where one does not fall through, draw the hole of the body, not the heel's, with a round file into a slot toward the heel's hole, the body clamped, as far as the screw needs and by %.1f mm at the most. Leave those that fit as they are.",
	measure.SquareCorner: "Cut both corners of the pocket's end square, the body clamped: score the finish first, then a sharp chisel straight down in thin slices, until the radius of %.1f mm is out.",
	measure.SlotStrings:  "With a round file draw the string holes that stand out of their row into slots toward it, by %.1f mm at the most, the body clamped on a backing board.",
	measure.DeepenFloor:  "Cut the pocket's floor lower by %.2f mm all over: a router on a template, the body clamped, in passes of half a millimetre, the depth measured at four places after each. At least 12 mm of wood must stay under it (common practice, no source).",
	measure.EaseCorner:   "Round both corners of the heel's end, bass and treble, to a radius %.1f mm larger than now, with a file along the corner.",
	measure.ReamScrews:   "Lay the heel where it is to stay and try the screws. Where one does not fall through, open the body's neck-screw hole, not the heel's, with a bit of %.2f mm: clamp the body on a backing board, drill square and right through. Leave those that fit as they are.",
}

// do says what to do.
func (s steps) do(a *remedy.Action) string {
	if format := doSized[a.Work]; format != "" {
		return fmt.Sprintf(format, a.Size)
	}
	switch a.Work {
	case measure.NoWork:
	case measure.Leave:
		return "Leave the kit as it is."
	case measure.ReadAgain:
		return "Measure the kit again."
	case measure.SendBack:
		return "Return the " + Parts(s.plan.Return, s.plan.OneOf) + ", with what check has found."
	case measure.LevelFloor:
		return "Scrape the pocket's floor flat, the body clamped: lumps of finish, filler and chips first."
	case measure.SlotBridge:
		return "Slacken the strings, take the bridge off and lay it on its new place: it " + moveWords(a) + fmt.Sprintf("; prick through its holes. Draw out toward the pricks, by %.1f mm at the most, the holes whose screws do not enter; glue a sliver of hardwood on the side that each screw leaves; %s.", a.Size, cure)
	case measure.RelieveWall:
		return fmt.Sprintf("Scrape the %s: take %s. Clamp the body, work in passes with a sharp scraper or a straight sanding block, finish first and wood last; try the heel after each pass.", wallWords(a.Wall), offWords(a))
	case measure.SideShim:
		return fmt.Sprintf("Lay a shim between the heel and the %s: %s, as high as the wall. Leave it dry, or hold it by tape whose thickness counts: so it can come out again. %s", wallWords(a.Wall), shimWords(a), glueShim)
	case measure.PitchShim:
		thick, thin, which := "end (the side of the bridge)", "mouth", "back"
		if a.Turn < 0 {
			thick, thin, which = "mouth (the side of the nut)", "end", "forward"
		}
		return fmt.Sprintf("Lay a wedge%s under the whole heel, dry, with holes for the screws: %.2f mm thick at the pocket's %s and nothing at its %s, an angle of %.2f degrees. It leans the neck %s.",
			pieceWords(a.Name), a.Size, thick, thin, math.Abs(a.Turn), which)
	case measure.RiseShim:
		return fmt.Sprintf("Lay a flat shim of %.2f mm%s under the whole heel, dry, with holes for the screws.", a.Size, pieceWords(a.Name))
	case measure.Reseat:
		return "Slacken the strings, ease the neck screws, push the heel home and set it " + s.against(a) + s.seat(a) + "; clamp it there and tighten the screws in turns."
	case measure.BridgeMove:
		return "Slacken the strings, ease the bridge's screws and move it within their clearance: it " + moveWords(a) + "; tighten the screws in turns."
	case measure.PlugNeck:
		return s.plug("the heel's screw holes", true) + " Seat the neck as it is to stay, clamp it, and prick through the body's holes with a bit or punch that fits them. Take it out and drill " + s.bits(true) + "."
	case measure.PlugStrings:
		return s.plug("the string holes", false) + " Lay the template of neckfit drill, prick the new places in their even row, and drill " + s.bits(false) + "."
	case measure.PlugBridge:
		return s.plug("the bridge's holes", false) + " Lay the template of neckfit drill and prick each new place: the bridge " + moveWords(a) + ". Drill " + s.bits(false) + "."
	}
	panic("words: no such work")
}

// check says what to measure after step i and what it must read.
func (s steps) check(i int) string {
	a := &s.plan.Actions[i]
	switch a.Work {
	case measure.NoWork, measure.Leave, measure.ReadAgain, measure.SendBack:
		return ""
	case measure.TrimHeel:
		return fmt.Sprintf("a calliper from the heel's end to its nearest screw hole reads %.1f mm less than before, and no leaf of 0.05 mm enters between the heel's end and the pocket's.", a.Size)
	case measure.LevelFloor:
		return "nothing rocks on it, and under a straightedge along, across and corner to corner no leaf of " + s.most(fit.FloorFlatness, 0.15) + " mm enters."
	case measure.SlotScrews:
		return fmt.Sprintf("each screw falls through, no hole is longer than it is wide by more than %.1f mm, and the screw's head or the plate bears all round.", a.Size)
	case measure.SquareCorner:
		return "a square stands in both corners, and no leaf of 0.05 mm enters between the heel's end and the pocket's."
	case measure.SlotStrings:
		return "along the row a string in each hole is off by no more than " + s.most(fit.StringHolePitch, 0.5) + " mm, and plate or ferrule covers the slot."
	case measure.SlotBridge:
		return "every screw draws tight, and its head lies flat" + s.bridge(i) + "."
	case measure.DeepenFloor:
		return s.height() + "the screws reach " + s.least(fit.NeckScrewReach, 8) + " mm or more into the heel."
	case measure.EaseCorner:
		return fmt.Sprintf("the radius gauge that fits is %.1f mm larger than before, and no leaf of 0.05 mm enters between the heel's end and the pocket's.", a.Size)
	case measure.ReamScrews:
		return fmt.Sprintf("each screw falls through, in holes that measure %.2f mm at the most.", a.Size)
	case measure.PitchShim, measure.RiseShim:
		return s.height() + "the screws reach " + s.least(fit.NeckScrewReach, 8) + " mm or more into the heel."
	case measure.PlugNeck:
		return "each prick, before it is drilled, lies from the old hole as neckfit drill lists it; then every screw goes in by hand for its first turns, the neck in its place, and no hole is off by more than " + s.most(fit.NeckScrewMismatch, 0.5) + " mm."
	case measure.PlugStrings:
		return "under a straightedge along the row no hole is off by more than " + s.most(fit.StringHolePitch, 0.5) + " mm."
	case measure.PlugBridge:
		return "each prick, before it is drilled, lies from the old hole as neckfit drill lists it; then the plate's screws go in by hand for their first turns, no hole off by more than " + s.most(fit.BridgeHoleMismatch, 0.5) + " mm" + s.bridge(i) + "."
	case measure.RelieveWall:
		if text := s.widths(i); text != "" {
			return "the pocket, by the calliper's inside jaws, measures " + text + s.bridge(i) + "."
		}
		return s.feelers(i) + s.bridge(i) + "."
	case measure.SideShim:
		return s.feelers(i) + ", and the heel goes in by hand" + s.bridge(i) + "."
	case measure.Reseat:
		return "the leaves go in as said and none that is 0.05 mm thicker" + s.bridge(i) + "."
	case measure.BridgeMove:
		return "every screw is tight, and its head lies flat" + s.bridge(i) + "."
	}
	panic("words: no such work")
}

// predicted is what the plan leaves of a characteristic; nil where it was not measured.
func (s steps) predicted(id fit.ID) *remedy.Predicted {
	for i := range s.plan.Predicted {
		if q := &s.plan.Predicted[i]; s.result.Characteristics[q.Index].ID == id {
			return q
		}
	}
	return nil
}

// most is the upper limit of a characteristic; where it was not measured it is the built-in one.
func (s steps) most(id fit.ID, usual float64) string {
	if q := s.predicted(id); q != nil && !math.IsInf(q.Upper, 0) {
		usual = q.Upper
	}
	return Limit(usual)
}

// least is the lower one.
func (s steps) least(id fit.ID, usual float64) string {
	if q := s.predicted(id); q != nil && !math.IsInf(q.Lower, 0) {
		usual = q.Lower
	}
	return Limit(usual)
}

// bridge is where the bridge must lie after step i, when it is the last that moves it.
func (s steps) bridge(i int) string {
	for _, later := range s.plan.Actions[i+1:] {
		switch later.Work {
		case measure.SideShim, measure.RelieveWall, measure.Reseat, measure.BridgeMove, measure.SlotBridge, measure.PlugBridge:
			return ""
		}
	}
	text := "; then read the bridge from both edges of the fingerboard again"
	q := s.predicted(fit.CentreLineError)
	if q == nil {
		c := s.result.Find(fit.CentreLineError)
		if c == nil {
			return text
		}
		q = &remedy.Predicted{Lower: c.Lower, Upper: c.Upper, Value: math.NaN()}
	}
	switch text += ": half of what the two differ by must be "; {
	case q.Lower == -q.Upper && !math.IsInf(q.Upper, 0):
		text += "at most " + Limit(q.Upper) + " mm"
	case !math.IsInf(q.Lower, 0) && !math.IsInf(q.Upper, 0):
		text += "from " + Limit(q.Lower) + " to " + Limit(q.Upper) + " mm (plus is toward treble)"
	default:
		text += "about what is expected"
	}
	if !math.IsNaN(q.Value) {
		text += "; " + Sideways(q.Value) + " is expected"
	}
	return text
}

// height is where the frets' plane must lie.
func (s steps) height() string {
	q := s.predicted(fit.FretPlaneHeight)
	if q == nil {
		return "the strings' height at the saddles is one that they have; "
	}
	v, u := Rounded(q.Value, q.StdUncertainty)
	return fmt.Sprintf("a straightedge along the frets stands %s mm over the body's top at the saddles, give or take %s; ", v, u)
}

// left is how much room both sides together have at mouth and end after step i.
func (s steps) left(i int) (mouth, end float64) {
	f := s.plan.After
	mouth, end = f.Bass[0]+f.Treble[0], f.Bass[1]+f.Treble[1]
	for _, later := range s.plan.Actions[i+1:] {
		switch later.Work {
		case measure.SideShim:
			mouth, end = mouth+later.Mouth, end+later.End
		case measure.RelieveWall:
			mouth, end = mouth-later.Mouth, end-later.End
		}
	}
	return mouth, end
}

// feelers is what feeler leaves beside the heel must read.
func (s steps) feelers(i int) string {
	if s.plan.After == nil {
		return "the heel does not move sideways in the pocket"
	}
	mouth, end := s.left(i)
	give := ""
	if std := s.plan.Actions[i].Std; std > 0 {
		give = ", give or take " + Fixed(3*std, 2)
	}
	return fmt.Sprintf("feeler leaves on both sides of the heel together come to %s mm at the pocket's mouth and %s mm at its end%s", Fixed(max(mouth, 0), 2), Fixed(max(end, 0), 2), give)
}

// widths is what the pocket must measure, shims and all; "" where its width was not read.
func (s steps) widths(i int) string {
	mouth, end := s.result.Find(fit.PocketWidthMouth), s.result.Find(fit.PocketWidthEnd)
	if mouth == nil || end == nil || !mouth.Measured() || !end.Measured() {
		return ""
	}
	m, e := mouth.Value, end.Value
	for _, a := range s.plan.Actions[:i+1] {
		switch a.Work {
		case measure.RelieveWall:
			m, e = m+a.Mouth, e+a.End
		case measure.SideShim:
			m, e = m-a.Mouth, e-a.End
		}
	}
	return Fixed(m, 2) + " mm at its mouth and " + Fixed(e, 2) + " mm at its end"
}

// wallWords is a wall of the pocket with the strings on its side.
func wallWords(w remedy.Wall) string {
	if w == remedy.Bass {
		return "bass wall, the side of the thick strings"
	}
	return "treble wall, the side of the thin strings"
}

// pieceWords names a piece of the stock.
func pieceWords(name string) string {
	if name == "" {
		return ""
	}
	return " (" + Harmless(name) + ")"
}

func shimWords(a *remedy.Action) string {
	if a.Mouth == a.End {
		return fmt.Sprintf("%.2f mm%s, parallel, from mouth to end", a.Mouth, pieceWords(a.Name))
	}
	if a.Mouth == 0 || a.End == 0 {
		return shimSizes(*a) + pieceWords(a.Name) + ", a third as long as the pocket"
	}
	return fmt.Sprintf("%s, sanded to a taper from %.2f mm%s", shimSizes(*a), max(a.Mouth, a.End), pieceWords(a.Name))
}

// against is the wall that the heel is pushed to.
func (s steps) against(a *remedy.Action) string {
	mouth, end := a.Against[0], a.Against[1]
	switch {
	case mouth == end && mouth != remedy.NoWall:
		return "hard against the " + wallWords(mouth) + ", at mouth and end, "
	case mouth != remedy.NoWall && end != remedy.NoWall:
		return "hard against the " + wallWords(mouth) + ", at the mouth and against the " + wallWords(end) + ", at the end, "
	case mouth != remedy.NoWall:
		return "hard against the " + wallWords(mouth) + ", at the mouth, "
	case end != remedy.NoWall:
		return "hard against the " + wallWords(end) + ", at the end, "
	}
	return ""
}

// offWords is how much is scraped off a wall.
func offWords(a *remedy.Action) string {
	switch {
	case a.Mouth == a.End:
		return fmt.Sprintf("%.2f mm off, from mouth to end", a.Mouth)
	case a.End == 0:
		return fmt.Sprintf("%.2f mm off at the mouth, running out to nothing at the end", a.Mouth)
	case a.Mouth == 0:
		return fmt.Sprintf("%.2f mm off at the end, running out to nothing at the mouth", a.End)
	}
	return fmt.Sprintf("%.2f mm off at the mouth and %.2f mm at the end, straight between them", a.Mouth, a.End)
}

// seat is where the heel goes: by the feeler gauges beside it, where the play that remains is known.
func (s steps) seat(a *remedy.Action) string {
	if f := s.plan.After; f != nil {
		leaf := func(mm float64) string {
			if text := Fixed(mm, 2); mm > 0 && text != "0.00" {
				return text + " mm"
			}
			return "nothing"
		}
		return fmt.Sprintf("so that feeler gauges show %s beside it on the bass side and %s on the treble side at the pocket's mouth, %s and %s at its end",
			leaf(f.Bass[0]), leaf(f.Treble[0]), leaf(f.Bass[1]), leaf(f.Treble[1]))
	}
	if a.Mouth == 0 && a.End == 0 {
		return "in the middle of the play"
	}
	toward := func(mm float64, where string) string {
		switch {
		case mm > 0:
			return fmt.Sprintf("%.2f mm toward treble of the middle %s", mm, where)
		case mm < 0:
			return fmt.Sprintf("%.2f mm toward bass of the middle %s", -mm, where)
		}
		return "in the middle " + where
	}
	return toward(a.Mouth, "at the mouth") + " and " + toward(a.End, "at the end")
}

// plug is how old holes are plugged, in the heel or in the body.
func (s steps) plug(which string, heel bool) string {
	if s.plan.Waits() {
		return "Plug those of " + which + " that neckfit drill names once the question is answered: " + gluePlug + "."
	}
	var sizes []float64
	grain := ""
	for _, h := range s.holes(heel) {
		if h.Plug > 0 && !slices.Contains(sizes, h.Plug) {
			sizes = append(sizes, h.Plug)
		}
		if h.FaceGrain {
			grain = ", of the same wood with its face grain up where old and new overlap"
		}
	}
	switch {
	case len(sizes) > 0:
		each := ""
		if len(sizes) > 1 {
			each = ", each as neckfit drill lists it"
		}
		slices.Sort(sizes)
		list := make([]string, len(sizes))
		for i, s := range sizes {
			list[i] = Fixed(s, 2)
		}
		return "Plug " + which + ": bore to " + Listed(list) + " mm" + each + ", as deep as the old hole is, for plugs of that size" + grain + "; " + gluePlug + "."
	case s.plan.Drilling == nil:
		return "Plug " + which + ", each with the smallest plug that leaves a clean wall; " + gluePlug + "."
	}
	return "None of " + which + " needs a plug."
}

// bits are the bits of the schedule, each with the depth that it drills to.
func (s steps) bits(heel bool) string {
	var list []string
	for _, h := range s.holes(heel) {
		if h.Work == remedy.Abandon {
			continue
		}
		bit := "with the bit that follows from the screw (see the question)"
		if h.Pilot > 0 {
			bit = Fixed(h.Pilot, 2) + " mm"
		}
		if text := bit + ", " + Depth(&h); !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	if list == nil {
		return "as neckfit drill lists it"
	}
	slices.Sort(list)
	return strings.Join(list, "; ") + "; square to the wood, with a stop on the bit"
}

// holes are those that a plan plugs or drills, in the heel or in the body.
func (s steps) holes(heel bool) (list []remedy.Hole) {
	if s.plan.Drilling == nil {
		return nil
	}
	for _, h := range s.plan.Drilling.Holes {
		if (h.Feature == measure.HeelScrew) == heel && h.Work != remedy.Reuse {
			list = append(list, h)
		}
	}
	return list
}

// moveWords is where the bridge goes.
func moveWords(a *remedy.Action) string {
	var list []string
	add := func(x float64, format, plus, minus string) {
		if x > 0 {
			list = append(list, fmt.Sprintf(format, x, plus))
		} else if x < 0 {
			list = append(list, fmt.Sprintf(format, -x, minus))
		}
	}
	add(a.Across, "%.2f mm toward %s", "treble (the thin strings)", "bass (the thick strings)")
	add(a.Along, "%.2f mm toward the %s", "tail", "headstock")
	add(a.Turn, "turned by %.2f degrees with its tail toward %s", "treble", "bass")
	if list == nil {
		return "stays where it stands"
	}
	return "goes " + strings.Join(list, ", ")
}
