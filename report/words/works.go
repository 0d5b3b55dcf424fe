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

// Parts are parts by name: "neck and body", or "neck or body" where it is one of them.
func Parts(parts []measure.Part, oneOf bool) string {
	var list []string
	for _, p := range parts {
		list = append(list, p.String())
	}
	if oneOf {
		return strings.Join(list, " or ")
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

// workPhrases name works, and how their sizes in mm are told.
var workPhrases = map[measure.Work][2]string{
	measure.Leave:        {"leave it"},
	measure.Reseat:       {"re-seat the neck"},
	measure.ReadAgain:    {"read it again"},
	measure.SideShim:     {"side shim"},
	measure.RelieveWall:  {"relieve a wall"},
	measure.PitchShim:    {"pitch shim"},
	measure.RiseShim:     {"floor shim", " %.2f mm"},
	measure.BridgeMove:   {"move the bridge in its clearance"},
	measure.SlotBridge:   {"move the bridge and slot its screw holes", " by up to %.1f mm"},
	measure.SlotStrings:  {"slot the string holes", " by up to %.1f mm"},
	measure.ReamScrews:   {"open the neck-screw holes", " to %.2f mm"},
	measure.SlotScrews:   {"slot the neck-screw holes", " by up to %.1f mm"},
	measure.TrimHeel:     {"shorten the heel's end", " by %.1f mm"},
	measure.EaseCorner:   {"round the heel's corners", " by %.1f mm"},
	measure.SquareCorner: {"square the pocket's corners"},
	measure.LevelFloor:   {"level the pocket's floor"},
	measure.DeepenFloor:  {"deepen the pocket's floor", " by %.2f mm"},
	measure.PlugNeck:     {"plug and re-drill the heel's screw holes"},
	measure.PlugStrings:  {"plug and re-drill the string holes"},
	measure.PlugBridge:   {"plug and re-drill the bridge"},
	measure.SendBack:     {"return a part"},
}

// workNames names works without their sizes, each once where it follows itself.
func workNames(kinds []measure.Work) string {
	var list []string
	for _, k := range slices.Compact(slices.Clone(kinds)) {
		list = append(list, workPhrases[k][0])
	}
	return strings.Join(list, ", ")
}

// brief names one of a plan's works.
func brief(p *remedy.Plan, a remedy.Action) string {
	switch phrase := workPhrases[a.Work]; {
	case a.Work == measure.SideShim:
		return fmt.Sprintf("%s side shim %s", a.Wall, shimSizes(a))
	case a.Work == measure.RelieveWall:
		return fmt.Sprintf("relieve the %s wall %s", a.Wall, shimSizes(a))
	case a.Work == measure.PitchShim:
		return fmt.Sprintf("pitch shim %.2f deg", math.Abs(a.Turn))
	case a.Work == measure.SendBack:
		return "return the " + Parts(p.Return, p.OneOf)
	case phrase[0] == "":
		panic("words: no such work")
	case phrase[1] != "":
		return phrase[0] + fmt.Sprintf(phrase[1], a.Size)
	default:
		return phrase[0]
	}
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
