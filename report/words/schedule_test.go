package words

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit/remedy"
	"neckfit/measure"
)

// What is true of many holes names the column to fill in, of the neck's screws or the bridge's.
func TestHoleNotes(t *testing.T) {
	note := func(kind remedy.NoteKind, f measure.Feature) remedy.Note {
		return remedy.Note{Kind: kind, Feature: f, Diameter: 3.25, Wood: "oak\x1b"}
	}
	s := &remedy.Schedule{Notes: []remedy.Note{
		note(remedy.ScrewUnknown, measure.BridgeScrew), note(remedy.ScrewUnknown, measure.HeelScrew), note(remedy.CoreUnknown, measure.BridgeScrew), note(remedy.CoreUnknown, measure.HeelScrew),
		note(remedy.WoodUnknown, measure.BridgeScrew), note(remedy.DiameterAssumed, measure.StringHole),
	}}
	want := []string{
		"bridge_screw is blank in kits.csv: pilots are as wide as the old holes",
		"neck_screw is blank in kits.csv: pilots are as wide as the old holes",
		"bridge_screw_core is blank in kits.csv: the core is taken as two thirds of the screw's outside diameter; measure it",
		"neck_screw_core is blank in kits.csv: the core is taken as two thirds of the screw's outside diameter; measure it",
		`wood "oak\x1b" is not in the table: taken as a lighter one`,
		"diameters of string-hole were not read: taken as 3.2 mm (the screw's, or common practice, no source)",
	}
	if diff := cmp.Diff(want, HoleNotes(s)); diff != "" {
		t.Error(diff)
	}
	for _, c := range []struct {
		hole remedy.Hole
		want string
	}{
		{remedy.Hole{Feature: measure.BridgeScrew, Pilot: 2.5}, "depths come in mm once bridge_screw_length is in kits.csv"},
		{remedy.Hole{Feature: measure.HeelScrew, Pilot: 3}, "depths come in mm once neck_screw_length and body_thickness are in kits.csv"},
		{remedy.Hole{Feature: measure.BridgeScrew, Pilot: 2.5, Depth: 20}, ""},
		{remedy.Hole{Feature: measure.BridgeScrew, Pilot: 2.5, Through: true}, ""},
		{remedy.Hole{Feature: measure.BridgeScrew}, ""},
		{remedy.Hole{Feature: measure.StringHole, Pilot: 3}, ""},
	} {
		said(t, [2]string{strings.Join(HoleNotes(&remedy.Schedule{Holes: []remedy.Hole{c.hole}}), "|"), c.want})
	}
}

func TestSchedulesInWords(t *testing.T) {
	plan := &remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}}}
	said(t,
		[2]string{Sight(remedy.NoSight) + "|" + Sight(remedy.InSight) + "|" + Sight(remedy.UnderPlate), "|in sight|under the plate"},
		[2]string{OtherPlan(plan, 3), "This is plan 3, re-seat the neck. The recommended plan is another: neckfit remedy tells."},
		[2]string{Lack(plan, remedy.NoLack), ""},
		[2]string{Lack(plan, remedy.DrillsNothing), "the plan drills no holes: re-seat the neck"},
		[2]string{Lack(plan, remedy.NoBodyHoles), "no hole schedule: no bridge-screw or string-hole was read in the body"},
		[2]string{Lack(plan, remedy.NoHeelHoles), "no hole schedule: heel-screw and neck-screw of the same marks were not read"},
		[2]string{DrillHeadline(&remedy.Schedule{Holes: []remedy.Hole{{Work: remedy.Fresh}}}), "1 hole: 0 plugged and drilled anew, 1 drilled fresh, 0 used as they are"},
	)
	// A hole that is used as it is has nothing to be minded but that it may not be; another has its numbers in their order.
	far := math.Inf(1)
	said(t,
		[2]string{strings.Join(Minding(&remedy.Hole{Work: remedy.Reuse, Cavity: far, Edge: far}), "|"), ""},
		[2]string{
			strings.Join(Minding(&remedy.Hole{
				Work: remedy.PlugFirst, HasOld: true, Old: remedy.Point{X: 10, Y: 5}, New: remedy.Point{X: 9.6, Y: 5.3}, Depth: 24, Shared: 0.256, FaceGrain: true,
				Sight: remedy.InSight, Cavity: 12.34, Edge: 40, Warnings: []remedy.Remark{{Kind: remedy.ThinPlug, Need: 1.5}},
			}), "|"),
			"drilled 0.3 mm toward treble, 0.4 mm toward the headstock of the old one; 24 mm deep in the wood; 26 % of it lies in the old hole; face-grain plug of the same wood; the old hole is in sight; 12.3 mm to a cavity; 40.0 mm to the edge; " +
				"less than 1.5 mm of wood is left between the bit and the plug's edge.",
		},
		[2]string{
			strings.Join(Minding(&remedy.Hole{Work: remedy.Abandon, HasOld: true, Through: true, Cavity: far, Edge: far, Refused: remedy.Remark{Kind: remedy.OutsideBody}}), "|"),
			"CANNOT BE PLACED: it falls outside the body.|through, from the top on a backing board.",
		},
	)
	refused := &remedy.Plan{Drilling: &remedy.Schedule{Holes: []remedy.Hole{
		{Feature: measure.BridgeScrew, Mark: 1}, {Feature: measure.BridgeScrew, Mark: 2, Refused: remedy.Remark{Kind: remedy.NoBit}},
		{Feature: measure.HeelScrew, Mark: 3, Refused: remedy.Remark{Kind: remedy.TooDeep, Have: 1.26, Need: 3}},
	}}}
	said(t,
		[2]string{strings.Join(Refused(&remedy.Plan{}), "|"), ""},
		[2]string{strings.Join(Refused(refused), "|"), "heel-screw 3 cannot be placed: the screw is too long: only 1.3 mm of wood would be left behind the hole, 3 mm is common practice, no source."},
		[2]string{Remark(remedy.Remark{Kind: remedy.AcrossPlug}), "the bit cuts across the plug's edge and is drawn aside: face-grain plug of the same wood, brad point, guide"},
		[2]string{
			Remark(remedy.Remark{Kind: remedy.AcrossPlug, Other: remedy.Named{Feature: measure.BridgeScrew, Mark: 4, Old: true}}),
			"the bit cuts across the edge of the plug in the old bridge-screw 4 and is drawn aside: face-grain plug of the same wood, brad point, guide",
		},
	)
}

// The wall that a heel is pushed to, what is scraped and what is laid in are said for the mouth and for the end.
func TestWallsInWords(t *testing.T) {
	s := steps{plan: &remedy.Plan{}}
	b, r := "bass wall, the side of the thick strings", "treble wall, the side of the thin strings"
	for _, c := range []struct {
		against [2]remedy.Wall
		want    string
	}{
		{[2]remedy.Wall{}, ""},
		{[2]remedy.Wall{remedy.Bass, remedy.Bass}, "hard against the " + b + ", at mouth and end, "},
		{[2]remedy.Wall{remedy.Treble, remedy.Bass}, "hard against the " + r + ", at the mouth and against the " + b + ", at the end, "},
		{[2]remedy.Wall{remedy.Treble, remedy.NoWall}, "hard against the " + r + ", at the mouth, "},
		{[2]remedy.Wall{remedy.NoWall, remedy.Bass}, "hard against the " + b + ", at the end, "},
	} {
		said(t, [2]string{s.against(&remedy.Action{Against: c.against}), c.want})
	}
	for _, c := range []struct {
		mouth, end float64
		off, shim  string
	}{
		{0.3, 0.3, "0.30 mm off, from mouth to end", "0.30 mm (maple veneer), parallel, from mouth to end"},
		{0.3, 0, "0.30 mm off at the mouth, running out to nothing at the end", "0.30 mm at the mouth only (maple veneer), a third as long as the pocket"},
		{0, 0.2, "0.20 mm off at the end, running out to nothing at the mouth", "0.20 mm at the end only (maple veneer), a third as long as the pocket"},
		{0.3, 0.2, "0.30 mm off at the mouth and 0.20 mm at the end, straight between them", "0.30 mm at the mouth, 0.20 at the end, sanded to a taper from 0.30 mm (maple veneer)"},
		{0.1, 0.4, "0.10 mm off at the mouth and 0.40 mm at the end, straight between them", "0.10 mm at the mouth, 0.40 at the end, sanded to a taper from 0.40 mm (maple veneer)"},
	} {
		a := &remedy.Action{Mouth: c.mouth, End: c.end, Name: "maple veneer"}
		said(t, [2]string{offWords(a), c.off}, [2]string{shimWords(a), c.shim})
	}
}

// What waits for an answer is not drilled before, and says so; without a schedule nothing is invented.
func TestPlugsInWords(t *testing.T) {
	glue := "wood glue in the bore, the plug tapped home, no clamp; leave it overnight to cure (common practice, no source; the label decides); trim it flush"
	bare := steps{plan: &remedy.Plan{}}
	none := steps{plan: &remedy.Plan{Drilling: &remedy.Schedule{Holes: []remedy.Hole{{Feature: measure.BridgeScrew, Work: remedy.Fresh, Pilot: 2.5, Depth: 18}}}}}
	waits := steps{plan: &remedy.Plan{Asks: []remedy.Ask{remedy.HolesUnread}}}
	said(t,
		[2]string{bare.plug("the string holes", false), "Plug the string holes, each with the smallest plug that leaves a clean wall; " + glue + "."},
		[2]string{none.plug("the bridge's holes", false), "None of the bridge's holes needs a plug."},
		[2]string{waits.plug("the bridge's holes", false), "Plug those of the bridge's holes that neckfit drill names once the question is answered: " + glue + "."},
		[2]string{bare.bits(false), "as neckfit drill lists it"},
		[2]string{none.bits(false), "2.50 mm, 18 mm deep in the wood; square to the wood, with a stop on the bit"},
		[2]string{none.bits(true), "as neckfit drill lists it"},
	)
	two := steps{plan: &remedy.Plan{Drilling: &remedy.Schedule{Holes: []remedy.Hole{
		{Feature: measure.BridgeScrew, Work: remedy.PlugFirst, Plug: 8, Pilot: 2.5, Depth: 18}, {Feature: measure.BridgeScrew, Work: remedy.PlugFirst, Plug: 6, FaceGrain: true},
		{Feature: measure.StringHole, Work: remedy.Abandon, Plug: 8}, {Feature: measure.HeelScrew, Work: remedy.PlugFirst, Plug: 10, Pilot: 3},
	}}}}
	said(t,
		[2]string{two.plug("the bridge's holes", false), "Plug the bridge's holes: bore to 6.00 and 8.00 mm, each as neckfit drill lists it, as deep as the old hole is, for plugs of that size, of the same wood with its face grain up where old and new overlap; " + glue + "."},
		[2]string{two.bits(false), "2.50 mm, 18 mm deep in the wood; with the bit that follows from the screw (see the question), as deep as its screw reaches, 6 mm of wood or more left below; square to the wood, with a stop on the bit"},
		[2]string{two.plug("the heel's screw holes", true), "Plug the heel's screw holes: bore to 10.00 mm, as deep as the old hole is, for plugs of that size; " + glue + "."},
		[2]string{moveWords(&remedy.Action{}), "stays where it stands"},
	)
}
