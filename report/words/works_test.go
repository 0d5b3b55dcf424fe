package words

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// A step says where, by how much, with what and what to check: each side, end and direction both ways.
func TestSteps(t *testing.T) {
	after := &remedy.After{Bass: [2]float64{0.1, 0.2}, Treble: [2]float64{0.3, 0.4}}
	bridge := &remedy.Schedule{Holes: []remedy.Hole{
		{Feature: measure.BridgeScrew, Work: remedy.PlugFirst, Plug: 6, Pilot: 2.5, Sight: remedy.InSight, FaceGrain: true},
		{Feature: measure.BridgeScrew, Work: remedy.PlugFirst, Plug: 6, Pilot: 2.5},
		{Feature: measure.StringHole, Work: remedy.PlugFirst, Plug: 8, Pilot: 3.2, Through: true, Sight: remedy.InSight},
		{Feature: measure.HeelScrew, Work: remedy.PlugFirst, Plug: 10, Pilot: 3},
		{Feature: measure.BridgeScrew, Work: remedy.Reuse, Plug: 12, Pilot: 4},
	}}
	for _, c := range []struct {
		plan   remedy.Plan
		action remedy.Action
		brief  string
		want   []string
	}{
		{remedy.Plan{After: after}, remedy.Action{Work: measure.Reseat, Mouth: 0.1}, "re-seat the neck",
			[]string{"feeler gauges show 0.10 mm beside it on the bass side and 0.30 mm on the treble side at the pocket's mouth, 0.20 mm and 0.40 mm at its end"}},
		{remedy.Plan{}, remedy.Action{Work: measure.Reseat, Mouth: 0.1, End: -0.25}, "re-seat the neck",
			[]string{"0.10 mm toward treble of the middle at the mouth and 0.25 mm toward bass of the middle at the end"}},
		{remedy.Plan{}, remedy.Action{Work: measure.Reseat}, "re-seat the neck", []string{"in the middle of the play"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SideShim, Wall: remedy.Bass, Mouth: 0.5, End: 0.5, Name: "veneer"}, "bass side shim 0.50 mm",
			[]string{"between the heel and the bass wall, the side of the thick strings: 0.50 mm (veneer), parallel", "hold it by tape", "a thin coat of wood glue, clamped against a block for an hour; leave it overnight", "glue it to the wall and not to the heel"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SideShim, Wall: remedy.Treble, Mouth: 0.5, End: 0.25, Name: "veneer"}, "treble side shim 0.50 mm at the mouth, 0.25 at the end",
			[]string{"the treble wall, the side of the thin strings: 0.50 mm at the mouth, 0.25 at the end, sanded to a taper from 0.50 mm (veneer)"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SideShim, Wall: remedy.Treble, End: 0.25}, "treble side shim 0.25 mm at the end only", []string{": 0.25 mm at the end only, a third as long as the pocket"}},
		{remedy.Plan{}, remedy.Action{Work: measure.RelieveWall, Wall: remedy.Bass, Mouth: 0.3}, "relieve the bass wall 0.30 mm at the mouth only",
			[]string{"Scrape the bass wall, the side of the thick strings: take 0.30 mm off at the mouth, running out to nothing at the end. Clamp", "finish first and wood last"}},
		{remedy.Plan{}, remedy.Action{Work: measure.PitchShim, Turn: 0.5, Size: 0.6, Name: "full wedge"}, "pitch shim 0.50 deg",
			[]string{"a wedge (full wedge) under the whole heel", "0.60 mm thick at the pocket's end (the side of the bridge) and nothing at its mouth, an angle of 0.50 degrees. It leans the neck back."}},
		{remedy.Plan{}, remedy.Action{Work: measure.PitchShim, Turn: -0.5, Size: 0.6}, "pitch shim 0.50 deg",
			[]string{"0.60 mm thick at the pocket's mouth (the side of the nut) and nothing at its end", "It leans the neck forward."}},
		{remedy.Plan{}, remedy.Action{Work: measure.RiseShim, Size: 0.5, Name: "card"}, "floor shim 0.50 mm", []string{"a flat shim of 0.50 mm (card) under the whole heel"}},
		{remedy.Plan{}, remedy.Action{Work: measure.BridgeMove, Across: 0.2, Along: -0.3, Turn: 0.4}, "move the bridge in its clearance",
			[]string{"0.20 mm toward treble (the thin strings), 0.30 mm toward the headstock, turned by 0.40 degrees with its tail toward treble; tighten"}},
		{remedy.Plan{}, remedy.Action{Work: measure.BridgeMove, Across: -0.2, Along: 0.3, Turn: -0.4}, "move the bridge in its clearance",
			[]string{"0.20 mm toward bass (the thick strings), 0.30 mm toward the tail, turned by 0.40 degrees with its tail toward bass; tighten"}},
		{remedy.Plan{}, remedy.Action{Work: measure.ReamScrews, Size: 5.5}, "open the neck-screw holes to 5.50 mm", []string{"try the screws", "body's neck-screw hole, not the heel's, with a bit of 5.50 mm", "Leave those that fit"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SlotScrews, Size: 0.8}, "slot the neck-screw holes by up to 0.8 mm", []string{"the hole of the body, not the heel's, with a round file into a slot toward the heel's hole", "by 0.8 mm at the most"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SquareCorner, Size: 4.8}, "square the pocket's corners", []string{"of the pocket's end square", "until the radius of 4.8 mm is out"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SlotStrings, Size: 0.3}, "slot the string holes by up to 0.3 mm", []string{"into slots toward it, by 0.3 mm at the most"}},
		{remedy.Plan{}, remedy.Action{Work: measure.SlotBridge, Size: 0.3, Across: -0.4}, "move the bridge and slot its screw holes by up to 0.3 mm",
			[]string{"lay it on its new place: it goes 0.40 mm toward bass (the thick strings)", "toward the pricks, by 0.3 mm at the most", "a sliver of hardwood on the side that each screw leaves"}},
		{remedy.Plan{}, remedy.Action{Work: measure.DeepenFloor, Size: 1.25}, "deepen the pocket's floor by 1.25 mm", []string{"lower by 1.25 mm all over", "At least 12 mm of wood must stay under it"}},
		{remedy.Plan{}, remedy.Action{Work: measure.EaseCorner, Size: 1.5}, "round the heel's corners by 1.5 mm", []string{"a radius 1.5 mm larger"}},
		{remedy.Plan{}, remedy.Action{Work: measure.TrimHeel, Size: 2.6}, "shorten the heel's end by 2.6 mm", []string{"Shorten the heel's end by 2.6 mm", "reads 2.6 mm less than before"}},
		{remedy.Plan{}, remedy.Action{Work: measure.LevelFloor}, "level the pocket's floor", []string{"nothing rocks on it", "no leaf of 0.15 mm enters"}},
		{remedy.Plan{Drilling: bridge}, remedy.Action{Work: measure.PlugBridge, Across: -2}, "plug and re-drill the bridge",
			[]string{"bore to 6.00 and 8.00 mm, each as neckfit drill lists it, as deep as the old hole is, for plugs of that size", "of the same wood with its face grain up where old and new overlap", "overnight to cure (common practice, no source; the label decides); trim it flush",
				"the template of neckfit drill and prick each new place: the bridge goes 2.00 mm toward bass (the thick strings). Drill 2.50 mm, as deep as its screw reaches, 6 mm of wood or more left below; 3.20 mm, through, from the top on a backing board; square"}},
		{remedy.Plan{Drilling: bridge}, remedy.Action{Work: measure.PlugNeck}, "plug and re-drill the heel's screw holes",
			[]string{"bore to 10.00 mm, as deep", "Take it out and drill 3.00 mm, as deep as its screw", "Seat the neck as it is to stay, clamp it"}},
		{remedy.Plan{}, remedy.Action{Work: measure.PlugBridge}, "plug and re-drill the bridge", []string{"Plug the bridge's holes, each with the smallest plug", "the bridge stays where it stands. Drill as neckfit drill lists it"}},
		{remedy.Plan{Drilling: &remedy.Schedule{Holes: []remedy.Hole{{Feature: measure.StringHole, Work: remedy.PlugFirst, Plug: 8, Pilot: 3.2, Through: true}}}}, remedy.Action{Work: measure.PlugStrings},
			"plug and re-drill the string holes", []string{"bore to 8.00 mm, as deep", "in their even row, and drill 3.20 mm, through, from the top on a backing board"}},
		{remedy.Plan{Return: []measure.Part{measure.NeckPart, measure.BodyPart}}, remedy.Action{Work: measure.SendBack}, "return the neck and body", []string{"Return the neck and body, with what check has found."}},
		{remedy.Plan{Return: []measure.Part{measure.NeckPart, measure.BodyPart}, OneOf: true}, remedy.Action{Work: measure.SendBack}, "return the neck or body", []string{"Return the neck or body, with what check has found."}},
		{remedy.Plan{}, remedy.Action{Work: measure.Leave}, "leave it", []string{"Leave the kit as it is."}},
		{remedy.Plan{}, remedy.Action{Work: measure.ReadAgain}, "read it again", []string{"Measure the kit again."}},
	} {
		c.plan.Actions = []remedy.Action{c.action}
		got := Steps(&fit.Result{}, &c.plan)[0].String()
		for _, want := range c.want {
			if !strings.Contains(got, want) {
				t.Errorf("%v: no %q in %q", c.action.Work, want, got)
			}
		}
		if got := Plan(&c.plan); got != c.brief {
			t.Errorf("%v in brief: %q, want %q", c.action.Work, got, c.brief)
		}
	}
}

// Plans side by side: odds, minutes, cost, whether they can be undone, the worst after a slip, what will be seen.
func TestSideBySide(t *testing.T) {
	seen := &remedy.Schedule{Holes: []remedy.Hole{{Plug: 6, Sight: remedy.InSight}, {Plug: 6, Sight: remedy.InSight}, {Plug: 6}, {Sight: remedy.InSight}}}
	act := func(w measure.Work) []remedy.Action { return []remedy.Action{{Work: w}} }
	a := &remedy.Advice{Plans: []remedy.Plan{
		{Actions: act(measure.Reseat), Level: remedy.Reversible, P: 0.912, Minutes: 10, Expected: 50.6, Swing: &fit.Swing{Low: -1.3, High: 1.2}},
		{Actions: act(measure.LevelFloor), Level: remedy.Trimmed, P: 0.9, Minutes: 20, Expected: 80, Swing: &fit.Swing{Low: -1.1, High: 1.2}},
		{Actions: act(measure.PlugBridge), Level: remedy.Redrilled, P: 0.99, Minutes: 90, Expected: 250, Drilling: seen},
		{Actions: act(measure.Leave), P: 0.01},
		{Actions: act(measure.SendBack), Level: remedy.Returned, Return: []measure.Part{measure.BodyPart}, Minutes: 30, Expected: 300, Swing: &fit.Swing{Low: 1, High: 2}},
	}}
	want := [][]string{
		{"", "odds", "min", "cost", "undone", "after a slip", "seen", "plan"},
		{"1", "91.2 %", "10", "51", "yes", "1.3 mm toward bass", "-", "re-seat the neck"},
		{"2", "90.0 %", "20", "80", "no, cuts", "1.2 mm toward treble", "-", "level the pocket's floor"},
		{"3", "99.0 %", "90", "250", "no, drills", "-", "2 plugs", "plug and re-drill the bridge"},
		{"4", "1.0 %", "0", "0", "-", "-", "-", "leave it"},
		{"5", "-", "30", "300", "-", "-", "-", "return the body"},
	}
	got, shown := SideBySide(a)
	if diff := cmp.Diff(want, got) + cmp.Diff([]int{0, 1, 2, 3, 4}, shown); diff != "" {
		t.Error(diff)
	}
	a.Plans[2].Drilling = nil
	if got, _ := SideBySide(a); len(got[0]) != 7 || got[0][6] != "plan" || got[1][5] != "1.3 mm toward bass" || got[3][6] != "plug and re-drill the bridge" {
		t.Errorf("nothing is seen, but %q", got)
	}
	note := SideBySideNote(a)
	a.Plans[0].P, a.Plans[2].P, a.Plans[3].P, a.Plans[4].P = 0.0009, 0.00099, 0, 0 // the first stays, and leaving it, and the return
	got, shown = SideBySide(a)
	if diff := cmp.Diff([]int{0, 1, 3, 4}, shown); diff != "" || len(got) != 5 || got[1][1] != "<0.1 %" || got[3][0] != "4" {
		t.Errorf("%q shows %v", got, shown)
	}
	said(t, [2]string{SideBySideNote(a), note + " Left out, with less than 0.1 %: plan 3."})
	a.Plans[1].P = 0
	said(t, [2]string{SideBySideNote(a), note + " Left out, with less than 0.1 %: plans 2 and 3."})
}

// The sum of a plan's cost in words has the terms that there are, and adds up by hand: 40 + 50 + 10 + 0.25 x 200 = 150.
func TestArithmetic(t *testing.T) {
	act := func(w measure.Work) []remedy.Action { return []remedy.Action{{Work: w}} }
	a := &remedy.Advice{Plans: []remedy.Plan{
		{Actions: act(measure.RelieveWall), Minutes: 40, Price: 50, Again: 10, Fails: 0.25, Then: 200, Expected: 150, Next: 1},
		{Actions: act(measure.SendBack), Return: []measure.Part{measure.BodyPart}, Level: remedy.Returned, Minutes: 30, Price: 450, Expected: 480, Next: -1},
		{Actions: act(measure.Leave), Again: 10, Back: 480, Expected: 490, Next: -1},
	}}
	const end = ". Minutes and prices are those of costs.csv, or the built-in ones."
	for i, want := range []string{
		"Its cost in minutes: 40 of work + 50 for what cannot be undone + 10 to measure again + 25.0 % (the chance that it fails) of 200 (what comes next, plan 2 first) = 150",
		"Its cost in minutes: 30 of work + 450 for what cannot be undone = 480",
		"Its cost in minutes: 0 of work + 10 to measure again + 480 to return a part in any case, since something fails that no work changes = 490",
	} {
		if got := Arithmetic(a, i); got != want+end {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestExpectAndAsk(t *testing.T) {
	r := kitWith(found(fit.PocketGapEnd, 0.6, 0.05, 0.5, fit.Fail, measure.Major), found(fit.CentreLineError, 1.9, -1, 1, fit.Fail, measure.Critical))
	p := &remedy.Plan{Level: remedy.Reversible, Minutes: 12.4, P: 0.79, Actions: []remedy.Action{{Work: measure.Reseat}}, Weakest: remedy.Weakest{ID: fit.CentreLineError, P: 0.8},
		Predicted: []remedy.Predicted{{Index: 0, Value: 0.3, StdUncertainty: 0.1, Changed: true}, {Index: 1, Value: -0.85, StdUncertainty: 0.1, Changed: true}}}
	if got, want := Expect(r, p), "Least sure after it: the bridge lies 0.85 ± 0.20 mm toward bass (the thick strings), inside its limits with 80.0 % (centre-line-error)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.Predicted[1].Changed = false
	if got := Expect(r, p); got != "" {
		t.Error(got)
	}
	if got, want := PlanHeading(p, 3), "Plan 3: re-seat the neck (reversible; 12 minutes; 79.0 % that all then passes)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.Asks = []remedy.Ask{remedy.BridgeScrewSize, remedy.NeckScrewSize, remedy.FarBridge}
	got := Asks("K", p)
	if len(got) != 3 || !strings.Contains(got[0], "bridge_screw") || !strings.Contains(got[1], "neck_screw") || !strings.Contains(got[2], "more than 3 mm") {
		t.Errorf("%q", got)
	}
}

// A kit that is to be read first is not one that needs nothing.
func TestRemedies(t *testing.T) {
	var all Remedies
	all.Add(fit.Pass, false, remedy.Untouched)
	if got := all.Headline(); got != "1 kit: 1 needs nothing." {
		t.Error(got)
	}
	plans := func(l remedy.Level) *remedy.Advice {
		work := [...]measure.Work{measure.Leave, measure.SideShim, measure.LevelFloor, measure.PlugBridge, measure.SendBack}[l]
		p := remedy.Plan{Level: l, Actions: []remedy.Action{{Work: work}}}
		if l == remedy.Returned {
			p.Return = []measure.Part{measure.NeckPart}
		}
		return &remedy.Advice{Plans: []remedy.Plan{p}}
	}
	suspected, waiting := plans(remedy.Redrilled), plans(remedy.Trimmed)
	suspected.Suspect, waiting.Waits = []fit.Suspect{{Reading: &measure.Reading{}}}, make([]remedy.Wait, 1)
	doing := func(l remedy.Level, untried int, asks ...remedy.Ask) *remedy.Advice {
		a := plans(l)
		a.Untried, a.Plans[0].Asks = make([]remedy.Untried, untried), asks
		return a
	}
	for _, c := range []struct {
		verdict fit.Verdict
		advice  *remedy.Advice
		read    bool
	}{
		{fit.Pass, suspected, false}, {fit.Unsure, plans(remedy.Untouched), true}, {fit.NotMeasured, plans(remedy.Untouched), true}, {fit.Fail, suspected, true},
		{fit.Fail, waiting, true}, {fit.Fail, plans(remedy.Reversible), false}, {fit.Fail, plans(remedy.Reversible), false}, {fit.Fail, plans(remedy.Trimmed), false},
		{fit.Fail, doing(remedy.Redrilled, 0), false}, {fit.Fail, plans(remedy.Returned), false},
		{fit.Unsure, doing(remedy.Redrilled, 0), true}, {fit.Fail, doing(remedy.Redrilled, 1), true}, {fit.Fail, doing(remedy.Reversible, 1), false},
		{fit.Fail, doing(remedy.Redrilled, 0, remedy.HolesUnread), true},
	} {
		if got := ReadFirst(&fit.Result{Verdict: c.verdict}, c.advice); got != c.read {
			t.Errorf("%v at level %v is to be read first: %v", c.verdict, c.advice.Plans[0].Level, got)
		}
		all.Add(c.verdict, c.read, c.advice.Plans[0].Level)
	}
	if got, want := all.Headline(), "15 kits: 2 need nothing, 7 are to be read again or further first, 3 need a remedy that can be undone, "+
		"1 needs a little wood to be cut, 1 needs holes to be plugged and drilled anew, 1 has a part to be returned."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestBeside(t *testing.T) {
	check(t, Beside, numbers{{26.2, "26.20 treble"}, {-25.744, "25.74 bass"}, {0.004, "0.00"}, {-0.004, "0.00"}})
}

func TestLearnt(t *testing.T) {
	if got, want := Learnt(remedy.Accuracy{Worst: 0.7512, U: 0.118}), "0.75 ± 0.12"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
