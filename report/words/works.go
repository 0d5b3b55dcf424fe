package words

import (
	"fmt"
	"math"
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

// Step tells a builder what to do, in one or two sentences.
func Step(p *remedy.Plan, a remedy.Action) string {
	switch a.Work {
	case measure.NoWork:
	case measure.Leave:
		return "Leave the kit as it is."
	case measure.ReadAgain:
		return "Measure the kit again."
	case measure.TrimHeel:
		return fmt.Sprintf("Take %.1f mm off the heel's end, square across, so that the neck slides farther home; stop short, try, and measure the scale to the saddles again.", a.Size)
	case measure.Reseat:
		return "Ease the neck screws and set the heel " + seatWords(a) + ", by feeler leaves beside both walls; tighten and measure again."
	case measure.SideShim:
		return fmt.Sprintf("Glue a shim to the %s wall of the pocket: %s.", a.Wall, shimWords(a))
	case measure.RelieveWall:
		return fmt.Sprintf("Scrape the %s wall of the pocket back by %s; finish first, wood last, and try often.", a.Wall, shimSizes(a))
	case measure.PitchShim:
		thick, thin := "end", "mouth"
		if a.Turn < 0 {
			thick, thin = thin, thick
		}
		return fmt.Sprintf("Lay a wedge of %.2f degrees under the heel (%s), thick at the pocket's %s (%.2f mm more than at the %s).", math.Abs(a.Turn), Harmless(a.Name), thick, a.Size, thin)
	case measure.RiseShim:
		return fmt.Sprintf("Lay a flat shim of %.2f mm (%s) under the whole heel.", a.Size, Harmless(a.Name))
	case measure.BridgeMove:
		return "Ease the bridge's screws and move it within their clearance: " + moveWords(a) + "."
	case measure.ReamScrews:
		return fmt.Sprintf("Open the body's neck-screw holes to %.2f mm.", a.Size)
	case measure.EaseCorner:
		return fmt.Sprintf("Round the heel's end corners to a radius %.1f mm larger.", a.Size)
	case measure.LevelFloor:
		return "Scrape the pocket's floor flat: lumps of finish, filler and chips first; no rock under a straightedge."
	case measure.PlugNeck:
		return "Plug the heel's screw holes and drill them anew through the body's, the neck clamped in its place."
	case measure.PlugStrings:
		return "Plug the string holes and drill them anew in an even row, from the top on a backing board."
	case measure.PlugBridge:
		return "Plug the bridge's holes and drill them anew where the schedule says: " + moveWords(a) + "."
	case measure.SendBack:
		return "Return the " + Parts(p.Return) + "."
	}
	panic("words: no such work")
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

// seat is where the heel goes, in words.
func seatWords(a remedy.Action) string {
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
		return "where it stands"
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
