package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"

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
	for i, a := range p.Actions {
		told := worksTold()[a.Work]
		list = append(list, steps{plan: p}.filled(cmp.Or(told["plan"], told["brief"]), i))
	}
	return Harmless(strings.Join(list, ", "))
}

// worksTold are the dictionary's lines on works.
var worksTold = sync.OnceValue(func() map[measure.Work]map[string]string {
	told := map[measure.Work]map[string]string{}
	for _, d := range definitions() {
		if w, ok := measure.ParseWork(d.word); ok && d.group == workGroup {
			told[w] = d.lines
		}
	}
	return told
})

// workNames names works without their sizes, each once where it follows itself.
func workNames(kinds []measure.Work) string {
	var list []string
	for _, k := range slices.Compact(slices.Clone(kinds)) {
		list = append(list, worksTold()[k]["brief"])
	}
	return strings.Join(list, ", ")
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
