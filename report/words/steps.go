package words

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
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

// Steps are a plan's, in their order, as the dictionary tells of each work what to do and what to check after it; what must be off for it is
// told before the first that wants it so. The result is of the kit before the work.
func Steps(r *fit.Result, p *remedy.Plan) []Step {
	s, list := steps{r, p}, make([]Step, len(p.Actions))
	off := map[string]bool{"": true}
	for i, a := range p.Actions {
		told := worksTold()[a.Work]
		list[i] = Step{s.filled(told["do"], i), s.filled(told["check"], i)}
		if first := told["first"]; !off[first] {
			off[first], list[i].Do = true, first+" "+list[i].Do
		}
		if a.Work == measure.Reseat { // which puts it on again
			off = map[string]bool{"": true}
		}
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
	gluePlug = "wood glue in the bore, the plug tapped home, no clamp; " + cure + "; trim it flush"
)

// gap is what a line of the dictionary leaves to be filled in: {tenths}, {most floor-flatness 0.15}.
var gap = regexp.MustCompile(`\{([\w-]+) ?([^}]*)\}`)

// filled is a line on step i with its gaps filled.
func (s steps) filled(line string, i int) string {
	a := &s.plan.Actions[i]
	heel := a.Work == measure.PlugNeck
	wedge := [3]string{"end (the side of the bridge)", "mouth", "back"} // where it is thick and thin, and which way the neck leans
	if a.Turn < 0 {
		wedge = [3]string{"mouth (the side of the nut)", "end", "forward"}
	}
	return gap.ReplaceAllStringFunc(line, func(text string) string {
		found := gap.FindStringSubmatch(text)
		name, usual, _ := strings.Cut(found[2], " ")
		return map[string]func() string{
			"tenths": func() string { return Fixed(a.Size, 1) }, "hundredths": func() string { return Fixed(a.Size, 2) },
			"turn": func() string { return Fixed(math.Abs(a.Turn), 2) }, "plug": func() string { return s.plug(found[2], heel) },
			"most": func() string { return s.limit(name, usual, true) }, "least": func() string { return s.limit(name, usual, false) },
			"room":  func() string { return cmp.Or(s.widths(i), s.feelers(i)) },
			"parts": func() string { return Parts(s.plan.Return, s.plan.OneOf) },
			"side":  a.Wall.String, "sizes": func() string { return shimSizes(*a) }, "wall": func() string { return wallWords(a.Wall) },
			"move": func() string { return moveWords(a) }, "off": func() string { return offWords(a) }, "shim": func() string { return shimWords(a) },
			"piece": func() string { return pieceWords(a.Name) }, "cure": func() string { return cure },
			"thick": func() string { return wedge[0] }, "thin": func() string { return wedge[1] }, "leans": func() string { return wedge[2] },
			"against": func() string { return s.against(a) }, "seat": func() string { return s.seat(a) }, "bits": func() string { return s.bits(heel) },
			"bridge": func() string { return s.bridge(i) }, "height": s.height, "feelers": func() string { return s.feelers(i) },
		}[found[1]]()
	})
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

// limit is the upper or the lower limit of a characteristic; where it was not measured it is the built-in one.
func (s steps) limit(name, usual string, upper bool) string {
	id, _ := fit.Named(name)
	if q := s.predicted(id); q != nil && upper && !math.IsInf(q.Upper, 0) {
		return Limit(q.Upper)
	} else if q != nil && !upper && !math.IsInf(q.Lower, 0) {
		return Limit(q.Lower)
	}
	return usual
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
	return "the pocket, by the calliper's inside jaws, measures " + Fixed(m, 2) + " mm at its mouth and " + Fixed(e, 2) + " mm at its end"
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
