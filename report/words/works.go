package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Level is how reversible a plan is.
func Level(l remedy.Level) string {
	return [...]string{"nothing is done", "reversible", "irreversible: a little wood is cut", "irreversible: holes are plugged", "part returned"}[l]
}

// Parts are parts by name: "neck and body".
func Parts(parts []measure.Part) string {
	var list []string
	for _, p := range parts {
		list = append(list, p.String())
	}
	return strings.Join(list, " and ")
}

// Plan names a plan in a few words.
func Plan(p *remedy.Plan) string {
	var list []string
	for _, a := range p.Actions {
		list = append(list, brief(p, a))
	}
	return Harmless(strings.Join(list, ", "))
}

// brief names one of its works.
func brief(p *remedy.Plan, a remedy.Action) string {
	switch a.Work {
	case measure.NoWork:
	case measure.Leave:
		return "leave it"
	case measure.Reseat:
		return "re-seat the neck"
	case measure.ReadAgain:
		return "read it again"
	case measure.TrimHeel:
		return fmt.Sprintf("shorten the heel's end by %.1f mm", a.Size)
	case measure.SideShim:
		return fmt.Sprintf("%s side shim %s", a.Wall, shimSizes(a))
	case measure.RelieveWall:
		return fmt.Sprintf("relieve the %s wall %s", a.Wall, shimSizes(a))
	case measure.PitchShim:
		return fmt.Sprintf("pitch shim %.2f deg", math.Abs(a.Turn))
	case measure.RiseShim:
		return fmt.Sprintf("floor shim %.2f mm", a.Size)
	case measure.BridgeMove:
		return "move the bridge in its clearance"
	case measure.ReamScrews:
		return fmt.Sprintf("open the neck-screw holes to %.2f mm", a.Size)
	case measure.EaseCorner:
		return fmt.Sprintf("round the heel's corners by %.1f mm", a.Size)
	case measure.LevelFloor:
		return "level the pocket's floor"
	case measure.PlugNeck:
		return "plug and re-drill the heel's screw holes"
	case measure.PlugStrings:
		return "plug and re-drill the string holes"
	case measure.PlugBridge:
		return "plug and re-drill the bridge"
	case measure.SendBack:
		return "return the " + Parts(p.Return)
	}
	panic("words: no such work")
}

func shimSizes(a remedy.Action) string {
	if a.Mouth == a.End {
		return fmt.Sprintf("%.2f mm", a.Mouth)
	}
	switch {
	case a.End == 0:
		return fmt.Sprintf("%.2f mm at the mouth only", a.Mouth)
	case a.Mouth == 0:
		return fmt.Sprintf("%.2f mm at the end only", a.End)
	}
	return fmt.Sprintf("%.2f mm at the mouth, %.2f at the end", a.Mouth, a.End)
}

// Step tells a builder what to do: where, by how much, with what, and what to check after it.
func Step(p *remedy.Plan, a remedy.Action) string {
	switch a.Work {
	case measure.NoWork:
	case measure.Leave:
		return "Leave the kit as it is."
	case measure.ReadAgain:
		return "Measure the kit again."
	case measure.TrimHeel:
		return fmt.Sprintf("Take %.1f mm off the heel's end, square across, so that the neck slides farther home: stop short, try, go on. "+
			"Check: the heel's end touches the pocket's end, and the scale reaches the saddles.", a.Size)
	case measure.Reseat:
		return "Slacken the strings, ease the neck screws and set the heel " + seatWords(p, a) + "; tighten the screws in turns. Check: read the bridge from both edges of the fingerboard again."
	case measure.SideShim:
		return fmt.Sprintf("Lay a shim between the heel and the %s: %s. Dry, or held by tape whose thickness counts, it can come out again; glue it to the wall, not to the heel, once it has proved right. "+
			"Check: the heel goes in by hand and does not move.", wallWords(a.Wall), shimWords(a))
	case measure.RelieveWall:
		return fmt.Sprintf("Scrape the %s back by %s, in passes with a straight block, finish first and wood last; try the heel after each. "+
			"Check: the width of the pocket at mouth and end.", wallWords(a.Wall), shimSizes(a))
	case measure.PitchShim:
		thick, thin, which := "end, toward the bridge", "mouth", "back"
		if a.Turn < 0 {
			thick, thin, which = "mouth, toward the nut", "end", "forward"
		}
		return fmt.Sprintf("Lay a wedge of %.2f degrees (%s) under the heel, thick at the pocket's %s: %.2f mm more than at the %s. It leans the neck %s. "+
			"Check: the screws still reach as far into the heel, and the strings' height at the saddles.", math.Abs(a.Turn), Harmless(a.Name), thick, a.Size, thin, which)
	case measure.RiseShim:
		return fmt.Sprintf("Lay a flat shim of %.2f mm (%s) under the whole heel. Check: the screws still reach as far into the heel, and the strings' height at the saddles.", a.Size, Harmless(a.Name))
	case measure.BridgeMove:
		return "Ease the bridge's screws and move it within their clearance: " + moveWords(a) + "; tighten. Check: read the bridge from both edges of the fingerboard again."
	case measure.ReamScrews:
		return fmt.Sprintf("Open the body's neck-screw holes, not the heel's, to %.2f mm, square through on a backing board. Check: each screw falls through.", a.Size)
	case measure.EaseCorner:
		return fmt.Sprintf("Round both corners of the heel's end to a radius %.1f mm larger. Check: the end goes home, no light between it and the pocket's end.", a.Size)
	case measure.LevelFloor:
		return "Scrape the pocket's floor flat: lumps of finish, filler and chips first. Check: nothing rocks under a straightedge, along, across and corner to corner."
	case measure.PlugNeck:
		return "Plug the heel's screw holes" + plugWords(p, true) + ". Seat the neck, clamp it, and prick through the body's holes; take it out and drill" + bitWords(p, true) +
			". Check: every screw goes in by hand for its first turns, the neck in its place."
	case measure.PlugStrings:
		return "Plug the string holes" + plugWords(p, false) + ". Drill them anew in an even row" + bitWords(p, false) + ", from the top on a backing board. Check: the row with a straightedge."
	case measure.PlugBridge:
		return "Plug the bridge's holes" + plugWords(p, false) + ". Mark the new places by the template of neckfit drill (" + moveWords(a) + "), prick them, and drill" + bitWords(p, false) +
			". Check: the plate drops on its holes, and the bridge from both edges of the fingerboard."
	case measure.SendBack:
		return "Return the " + Parts(p.Return) + "."
	}
	panic("words: no such work")
}

// wallWords is a wall of the pocket with the strings on its side.
func wallWords(w remedy.Wall) string {
	if w == remedy.Bass {
		return "bass wall (on the side of the thick strings)"
	}
	return "treble wall (on the side of the thin strings)"
}

func shimWords(a remedy.Action) string {
	name := ""
	if a.Name != "" {
		name = " (" + Harmless(a.Name) + ")"
	}
	if a.Mouth == a.End {
		return fmt.Sprintf("%.2f mm%s, parallel, from mouth to end", a.Mouth, name)
	}
	return fmt.Sprintf("%s, tapered from %.2f mm%s", shimSizes(a), max(a.Mouth, a.End), name)
}

// seatWords is where the heel goes: by the feeler gauges beside it, where the play that remains is known.
func seatWords(p *remedy.Plan, a remedy.Action) string {
	if f := p.After; f != nil {
		return fmt.Sprintf("so that feeler gauges show %.2f mm beside it on the bass side and %.2f mm on the treble side at the pocket's mouth, %.2f mm and %.2f mm at its end",
			f.Bass[0], f.Treble[0], f.Bass[1], f.Treble[1])
	}
	if a.Mouth == 0 && a.End == 0 {
		return "in the middle of the play"
	}
	return toward(a.Mouth, "at the mouth") + " and " + toward(a.End, "at the end")
}

func toward(mm float64, where string) string {
	switch {
	case mm > 0:
		return fmt.Sprintf("%.2f mm toward treble of the middle %s", mm, where)
	case mm < 0:
		return fmt.Sprintf("%.2f mm toward bass of the middle %s", -mm, where)
	}
	return "in the middle " + where
}

// plugWords are the plugs of a plan's schedule, for the heel's holes or the body's, with glue and cure.
func plugWords(p *remedy.Plan, heel bool) string {
	var sizes []float64
	grain := ""
	for _, h := range holesOf(p, heel) {
		if h.Plug > 0 && !slices.Contains(sizes, h.Plug) {
			sizes = append(sizes, h.Plug)
		}
		if h.FaceGrain {
			grain = ", of the same wood with its face grain up where old and new overlap"
		}
	}
	if len(sizes) == 0 {
		return ""
	}
	each := ""
	if len(sizes) > 1 {
		each = ", each as neckfit drill lists it"
	}
	return ": bore to " + sizesWords(sizes) + each + ", glue plugs of that size in" + grain + ", leave them to cure overnight (common practice, no source; the label decides), trim them flush"
}

// bitWords are the bits of a plan's schedule.
func bitWords(p *remedy.Plan, heel bool) string {
	var sizes []float64
	through := true
	for _, h := range holesOf(p, heel) {
		if h.Pilot > 0 && !slices.Contains(sizes, h.Pilot) {
			sizes = append(sizes, h.Pilot)
		}
		through = through && h.Through
	}
	switch {
	case len(sizes) == 0:
		return " them as neckfit drill lists them"
	case through:
		return " " + sizesWords(sizes)
	}
	return " " + sizesWords(sizes) + ", a mark on the bit for the depth that neckfit drill lists"
}

// holesOf are the holes that a plan plugs or drills, in the heel or in the body.
func holesOf(p *remedy.Plan, heel bool) (list []remedy.Hole) {
	if p.Drilling == nil {
		return nil
	}
	for _, h := range p.Drilling.Holes {
		if (h.Feature == measure.HeelScrew) == heel && h.Work != remedy.Reuse {
			list = append(list, h)
		}
	}
	return list
}

func sizesWords(sizes []float64) string {
	slices.Sort(sizes)
	list := make([]string, len(sizes))
	for i, s := range sizes {
		list[i] = Fixed(s, 2)
	}
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " and " + list[n-1] + " mm"
	}
	return list[0] + " mm"
}

// move is where the bridge goes, in words.
func moveWords(a remedy.Action) string {
	var list []string
	add := func(x float64, format, plus, minus string) {
		if x > 0 {
			list = append(list, fmt.Sprintf(format, x, plus))
		} else if x < 0 {
			list = append(list, fmt.Sprintf(format, -x, minus))
		}
	}
	add(a.Across, "%.2f mm toward %s", "treble", "bass")
	add(a.Along, "%.2f mm toward the %s", "tail", "neck")
	add(a.Turn, "turned by %.2f degrees, its tail toward %s", "treble", "bass")
	if len(list) == 0 {
		return "the bridge stays where it stands"
	}
	return strings.Join(list, ", ")
}

// ShortCautions are the cautions for a terminal.
const ShortCautions = "Before anything is loosened, cut or drilled: strings slack, neck clamped, eye protection and mask on, depth checked, " +
	"tried on scrap, measured again. neckfit explain cautions says it in full."

// WorkCautions are what every report says that tells somebody to cut, drill or glue. They are of the
// trade, none of them a substitute for training.
func WorkCautions() []string {
	return []string{
		"Slacken the strings before the neck screws are turned; keep the neck clamped to the body meanwhile.",
		"Clamp the body to bench or press; never hold it by hand. Eye protection; dust extraction and a mask.",
		"Fumes of glues, cyanoacrylate above all: ventilate, and keep your face away.",
		"Check the depth under every hole and what lies behind it: cavity, truss rod, the other face.",
		"Try on scrap of the same wood first. Measure again before you drill.",
		"Local rules and licensed practice come first.",
	}
}
