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

// HoleWork is what to do at a hole; "" for nothing.
func HoleWork(w remedy.HoleWork) string {
	return [...]string{"", "reuse", "drill fresh", "plug, re-drill", "plug only"}[w]
}

// HoleName is what a hole is called; "" for none.
func HoleName(n remedy.Named) string {
	switch {
	case n == remedy.Named{}:
		return ""
	case n.Old:
		return fmt.Sprintf("the old %s %d", n.Feature, n.Mark)
	}
	return fmt.Sprintf("%s %d", n.Feature, n.Mark)
}

// BeforeDrilling is what must be read, and checked again, before a kit is drilled; "" for nothing.
func BeforeDrilling(r *fit.Result, a *remedy.Advice) string {
	text := ReadAgain(r)
	if text == "" && r.Verdict == fit.Unsure {
		text = "Read again first what is unsure: check names it."
	}
	if a != nil && len(a.Untried) > 0 {
		text = strings.TrimSpace(text + " First " + untriedReading(a.Untried[0]) + ", for that may save it the drill.")
	}
	if text == "" {
		return ""
	}
	return text + " Drill nothing until then, and check once more."
}

// DrillHeadline counts the holes of a schedule by what is to be done, and says first which cannot be placed.
func DrillHeadline(s *remedy.Schedule) string {
	count := map[remedy.HoleWork]int{}
	for i := range s.Holes {
		count[s.Holes[i].Work]++
	}
	text := fmt.Sprintf("%s: %d plugged and drilled anew, %d drilled fresh, %d used as they are",
		Amount(len(s.Holes), "hole", "holes"), count[remedy.PlugFirst], count[remedy.Fresh], count[remedy.Reuse])
	if n := count[remedy.Abandon]; n > 0 {
		text += fmt.Sprintf(", %d plugged only", n)
	}
	if n := s.Refusals; n > 0 {
		text = fmt.Sprintf("%d of the holes cannot be placed, do not drill; ", n) + text
	}
	return text
}

// Depth is how deep a hole is drilled.
func Depth(h *remedy.Hole) string {
	if h.Through {
		return "through, from the top on a backing board"
	}
	if h.Depth > 0 {
		return fmt.Sprintf("%.0f mm deep in the wood", h.Depth)
	}
	return "as deep as its screw reaches, 6 mm of wood or more left below"
}

// Sight is whether an old hole will be seen; "" where that is not known.
func Sight(s remedy.Sight) string {
	return [...]string{"", "in sight", "under the plate"}[s]
}

// OtherPlan tells that a schedule is not that of the recommended plan.
func OtherPlan(p *remedy.Plan, number int) string {
	return fmt.Sprintf("This is plan %d, %s. The recommended plan is another: neckfit remedy tells.", number, Plan(p))
}

// DrillNote says what the columns of a schedule are.
const DrillNote = "Behind: mm behind the pocket's end (minus: before it). Beside: mm from the neck's centre line, and on which side. Moved: mm from the old hole. Within: the right place lies within so many mm with 95 %, readings and hand (costs.csv) together. " +
	"Old, plug, bit: diameters in mm. Wood left: mm to the nearest other hole."

// WorksHeading stands above the steps of the plan that a schedule belongs to.
const WorksHeading = "The plan's works, in order:"

// Minding is what is to be said of a hole besides its numbers, a sentence each.
func Minding(h *remedy.Hole) (notes []string) {
	if h.Refused.Kind != remedy.NoRemark {
		notes = append(notes, "CANNOT BE PLACED: "+Remark(h.Refused)+".")
	}
	if h.Work == remedy.Reuse {
		return notes
	}
	list := []string{Depth(h)}
	if h.HasOld && h.Work != remedy.Abandon {
		list = append([]string{"drilled " + Moved(h.New.X-h.Old.X, h.New.Y-h.Old.Y)}, list...)
	}
	if h.Shared > 0 {
		list = append(list, fmt.Sprintf("%.0f %% of it lies in the old hole", 100*h.Shared))
	}
	if h.FaceGrain {
		list = append(list, "face-grain plug of the same wood")
	}
	if h.Sight != remedy.NoSight {
		list = append(list, "the old hole is "+Sight(h.Sight))
	}
	if !math.IsInf(h.Cavity, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to a cavity", h.Cavity))
	}
	if !math.IsInf(h.Edge, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to the edge", h.Edge))
	}
	return append(notes, Harmless(strings.Join(append(list, Remarks(h)...), "; "))+".")
}

// Refused are the holes that a plan would drill and that cannot be placed, each with the reason; what Asks asks for
// is none.
func Refused(p *remedy.Plan) (list []string) {
	if p.Drilling == nil {
		return nil
	}
	for i := range p.Drilling.Holes {
		if h := &p.Drilling.Holes[i]; h.Refused.Kind != remedy.NoRemark && h.Refused != (remedy.Remark{Kind: remedy.NoBit}) {
			list = append(list, HoleName(h.Name())+" cannot be placed: "+Remark(h.Refused)+".")
		}
	}
	return list
}

// What is said on a template.
const (
	NoPocketEnd = "The pocket's end was not read, so it is not drawn: lay the template by what the steps name."
	Straddles   = "the bit cuts across the plug's edge"
	PlugOnly    = "nothing is drilled here"
)

// Beside is how far a hole lies beside the neck's centre line, and on which side.
func Beside(mm float64) string {
	switch text := Fixed(math.Abs(mm), 2); {
	case text == "0.00":
		return text
	case mm < 0:
		return text + " bass"
	default:
		return text + " treble"
	}
}

// Remarks are what is to be minded at a hole.
func Remarks(h *remedy.Hole) []string {
	var list []string
	for _, r := range h.Warnings {
		list = append(list, Remark(r))
	}
	return list
}

// Remark is what is to be minded at a hole, or why it cannot be placed; "" for nothing.
func Remark(r remedy.Remark) string {
	switch r.Kind {
	case remedy.NoRemark:
		return ""
	case remedy.PilotOff:
		return fmt.Sprintf("the pilot should be %.2f mm; the nearest bit in stock is %.2f mm", r.Need, r.Have)
	case remedy.AcrossPlug:
		whose := "the plug's edge"
		if r.Other != (remedy.Named{}) {
			whose = "the edge of the plug in " + HoleName(r.Other)
		}
		return "the bit cuts across " + whose + " and is drawn aside: face-grain plug of the same wood, brad point, guide"
	case remedy.ThinPlug:
		return fmt.Sprintf("less than %.1f mm of wood is left between the bit and the plug's edge", r.Need)
	case remedy.Close:
		return fmt.Sprintf("%s is %.1f mm away, less than %g screw diameters", HoleName(r.Other), r.Have, r.Need)
	case remedy.CloseToEdge:
		return fmt.Sprintf("only %.1f mm of wood to the edge or a cavity; %.1f mm is common practice, no source", r.Have, r.Need)
	case remedy.ThinWood:
		return fmt.Sprintf("only %.2f mm of wood to %s; %.1f mm is common practice, no source", r.Have, HoleName(r.Other), r.Need)
	case remedy.NoBit:
		if r.Need == 0 {
			return "the screw's size is not known: write bridge_screw or neck_screw into kits.csv, or read the old hole's diameter"
		}
		return "no bit in stock for " + Fixed(r.Need, 2) + " mm"
	case remedy.NoPlug:
		return fmt.Sprintf("no plug in stock is %.1f mm or more, which the old hole needs", r.Need)
	case remedy.Crowded:
		return fmt.Sprintf("%s is only %.1f mm away, less than %g screw diameters", HoleName(r.Other), r.Have, r.Need)
	case remedy.RunsInto:
		return "it runs into " + HoleName(r.Other)
	case remedy.PlugsOverlap:
		return "its plug and that of " + HoleName(r.Other) + " would overlap"
	case remedy.TooDeep:
		return fmt.Sprintf("the screw is too long: only %.1f mm of wood would be left behind the hole, %.0f mm is common practice, no source", r.Have, r.Need)
	case remedy.InCavity:
		return "it falls into the cavity " + r.Cavity
	case remedy.OutsideBody:
		return "it falls outside the body"
	}
	panic("words: no such remark")
}

// HoleNotes are what is true of many holes of a schedule.
func HoleNotes(s *remedy.Schedule) []string {
	var list []string
	for _, n := range s.Notes {
		list = append(list, Harmless(holeNote(n)))
	}
	for _, f := range []measure.Feature{measure.BridgeScrew, measure.HeelScrew} {
		if slices.ContainsFunc(s.Holes, func(h remedy.Hole) bool { return h.Feature == f && h.Pilot > 0 && !h.Through && h.Depth == 0 }) {
			columns := "bridge_screw_length is"
			if f == measure.HeelScrew {
				columns = "neck_screw_length and body_thickness are"
			}
			list = append(list, "depths come in mm once "+columns+" in kits.csv")
		}
	}
	return list
}

func holeNote(n remedy.Note) string {
	screw := "bridge_screw" // as kits.csv has it
	if n.Feature == measure.HeelScrew {
		screw = "neck_screw"
	}
	switch n.Kind {
	case remedy.ScrewUnknown:
		return screw + " is blank in kits.csv: pilots are as wide as the old holes"
	case remedy.PilotRule:
		return "pilots as repairers drill them: a measured core as it is, else the core in dense woods and three quarters of it in lighter ones (common practice, no source); try on scrap"
	case remedy.CoreUnknown:
		return screw + "_core is blank in kits.csv: the core is taken as two thirds of the screw's outside diameter; measure it"
	case remedy.WoodUnknown:
		return fmt.Sprintf("wood %q is not in the table: taken as a lighter one", n.Wood)
	case remedy.DiameterAssumed:
		return fmt.Sprintf("diameters of %s were not read: taken as %.1f mm (the screw's, or common practice, no source)", n.Feature, n.Diameter)
	}
	panic("words: no such note")
}

// Lack is why a plan has no hole schedule.
func Lack(p *remedy.Plan, l remedy.Lack) string {
	return [...]string{
		remedy.NoLack: "", remedy.DrillsNothing: "the plan drills no holes: " + Plan(p),
		remedy.NoBodyHoles: "no hole schedule: no bridge-screw or string-hole was read in the body",
		remedy.NoHeelHoles: "no hole schedule: heel-screw and neck-screw of the same marks were not read",
	}[l]
}
