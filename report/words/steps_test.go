package words

import (
	"math"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// pocketed is a kit whose pocket is 64.0 mm wide at its mouth and 64.1 at its end, with a plan of some works that leaves
// 0.15 and 0.35 mm of play, the bridge 0.4 mm toward bass and the frets' plane at 18.3 mm.
func pocketed(works ...remedy.Action) (*fit.Result, *remedy.Plan) {
	far := math.Inf(1)
	r := kitWith(found(fit.CentreLineError, 1.9, -1, 1, fit.Fail, measure.Critical), found(fit.PocketWidthMouth, 64.0, -far, far, fit.NotJudged, measure.Minor),
		found(fit.PocketWidthEnd, 64.1, -far, far, fit.NotJudged, measure.Minor), found(fit.FretPlaneHeight, 17, -far, far, fit.NotJudged, measure.Minor),
		found(fit.NeckScrewReach, 12, 9, far, fit.Pass, measure.Major), found(fit.BridgeHoleMismatch, 0.9, -far, 0.4, fit.Fail, measure.Major))
	p := &remedy.Plan{Actions: works, After: &remedy.After{Bass: [2]float64{0.1, 0.2}, Treble: [2]float64{0.05, 0.15}}, Predicted: []remedy.Predicted{
		{Index: 0, Value: -0.4, Lower: -1, Upper: 1}, {Index: 3, Value: 18.3, StdUncertainty: 0.1}, {Index: 4, Lower: 9, Upper: far}, {Index: 5, Lower: -far, Upper: 0.4},
	}}
	return r, p
}

// What a check must read, by hand: the pocket is wider by what was scraped and narrower by what was laid in, feelers show
// what is left and is yet to go, and the bridge is read once, after the last work that moves it.
func TestChecksByHand(t *testing.T) {
	relief := remedy.Action{Work: measure.RelieveWall, Wall: remedy.Treble, Mouth: 0.3, End: 0.2}
	shim := remedy.Action{Work: measure.SideShim, Wall: remedy.Bass, Mouth: 0.5, End: 0.25, Std: 0.02}
	seat := remedy.Action{Work: measure.Reseat, Against: [2]remedy.Wall{remedy.Bass, remedy.NoWall}}
	drill := remedy.Action{Work: measure.PlugBridge, Across: -1}
	const bridge = "; then read the bridge from both edges of the fingerboard again: half of what the two differ by must be at most 1 mm; 0.4 mm toward bass is expected."
	for _, c := range []struct {
		works []remedy.Action
		want  []string
	}{
		{[]remedy.Action{relief, shim, seat, drill}, []string{
			"the pocket, by the calliper's inside jaws, measures 64.30 mm at its mouth and 64.30 mm at its end.",
			"feeler leaves on both sides of the heel together come to 0.15 mm at the pocket's mouth and 0.35 mm at its end, give or take 0.06, and the heel goes in by hand.",
			"the leaves go in as said and none that is 0.05 mm thicker.",
			"no hole off by more than 0.4 mm" + bridge,
		}},
		{[]remedy.Action{shim, relief}, []string{
			"come to 0.00 mm at the pocket's mouth and 0.15 mm at its end", // 0.15 - 0.3 and 0.35 - 0.2
			"measures 63.80 mm at its mouth and 64.05 mm at its end" + bridge,
		}},
		{[]remedy.Action{shim, shim}, []string{"come to 0.65 mm at the pocket's mouth and 0.60 mm at its end", bridge}},
		{[]remedy.Action{{Work: measure.PitchShim, Turn: 0.5, Size: 0.6}, seat}, []string{
			"a straightedge along the frets stands 18.30 mm over the body's top at the saddles, give or take 0.20; the screws reach 9 mm or more into the heel.", bridge,
		}},
	} {
		for i, s := range Steps(pocketed(c.works...)) {
			if !strings.Contains(s.Check, c.want[i]) || strings.Contains(s.Check, "read the bridge") != (i == len(c.works)-1) {
				t.Errorf("%v: %q, want %q", c.works[i].Work, s.Check, c.want[i])
			}
		}
	}
	r, p := pocketed(seat)
	if got := Steps(r, p)[0].Do; !strings.Contains(got, "set it hard against the bass wall, the side of the thick strings, at the mouth, so that feeler gauges show 0.10 mm") {
		t.Error(got)
	}
	p.Predicted[0].Lower = -0.5
	if got := Steps(r, p)[0].Check; !strings.Contains(got, "must be from -0.5 to 1 mm (plus is toward treble); 0.4 mm toward bass is expected") {
		t.Error(got)
	}
	p.Predicted = nil
	if got := Steps(r, p)[0].Check; !strings.HasSuffix(got, "must be at most 1 mm.") {
		t.Error(got)
	}
	r.Characteristics[1].Missing = fit.Missing{Want: fit.WantEdges}
	p.Actions[0] = relief
	if got := Steps(r, p)[0].Check; !strings.Contains(got, "feeler leaves on both sides") { // its width was not read
		t.Error(got)
	}
	if p.After = nil; !strings.Contains(Steps(r, p)[0].Check, "does not move sideways") {
		t.Error(Steps(r, p)[0].Check)
	}
}

// Bits and plugs are each said once, with their depths; what waits for an answer says so.
func TestBoresByHand(t *testing.T) {
	holes := []remedy.Hole{
		{Feature: measure.BridgeScrew, Work: remedy.PlugFirst, Plug: 6, Pilot: 2.5, Depth: 18.4},
		{Feature: measure.BridgeScrew, Work: remedy.Fresh, Pilot: 2.5, Depth: 18.4},
		{Feature: measure.BridgeScrew, Work: remedy.Abandon, Plug: 8},
		{Feature: measure.StringHole, Work: remedy.PlugFirst, Plug: 8, Pilot: 3.2, Through: true, FaceGrain: true},
		{Feature: measure.HeelScrew, Work: remedy.PlugFirst, Plug: 10, Pilot: 3, Depth: 19},
	}
	r, p := pocketed(remedy.Action{Work: measure.PlugBridge, Along: 1.5}, remedy.Action{Work: measure.PlugNeck})
	p.Drilling = &remedy.Schedule{Holes: holes}
	s := Steps(r, p)
	for i, want := range [][]string{
		{"bore to 6.00 and 8.00 mm, each as neckfit drill lists it, as deep as the old hole is", "of the same wood with its face grain up where old and new overlap", "the bridge goes 1.50 mm toward the tail.",
			"Drill 2.50 mm, 18 mm deep in the wood; 3.20 mm, through, from the top on a backing board; square to the wood"},
		{"bore to 10.00 mm, as deep", "drill 3.00 mm, 19 mm deep in the wood; square to the wood, with a stop on the bit."},
	} {
		for _, one := range want {
			if !strings.Contains(s[i].Do, one) {
				t.Errorf("no %q in %q", one, s[i].Do)
			}
		}
	}
	p.Drilling.Holes = []remedy.Hole{{Feature: measure.BridgeScrew, Work: remedy.Fresh, Pilot: 2}, {Feature: measure.HeelScrew, Work: remedy.Reuse, Plug: 10, Pilot: 3}}
	s = Steps(r, p)
	if !strings.Contains(s[0].Do, "None of the bridge's holes needs a plug. ") || !strings.Contains(s[1].Do, "drill as neckfit drill lists it") {
		t.Errorf("%q", s)
	}
	p.Drilling.Holes[0].Refused, p.Drilling.Holes[0].Pilot = remedy.Remark{Kind: remedy.NoBit}, 0
	p.Asks = []remedy.Ask{remedy.BridgeScrewSize}
	if s = Steps(r, p); !strings.Contains(s[0].Do, "that neckfit drill names once the question is answered") || !strings.Contains(s[0].Do, "the bit that follows from the screw") {
		t.Errorf("%q", s[0].Do)
	}
	a := &remedy.Advice{Plans: []remedy.Plan{{}, *p}}
	want := "Plan 2 waits for an answer. How thick are the bridge's screws? Measure one, and write bridge_screw into kits.csv, row =A: the pilots hang on it."
	if got := Waiting("=A", a); len(got) != 1 || got[0] != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.Level, p.P, p.Minutes = remedy.Redrilled, 0.9, 90
	said := WhatToDo(r, &remedy.Advice{Plans: []remedy.Plan{*p}})
	if !strings.Contains(said, "90 minutes, irreversible: holes are plugged. It waits for an answer: How thick are the bridge's screws? Measure one,") {
		t.Error(said)
	}
	if rows, _ := SideBySide(a); rows[1][0] != "1" || rows[2][0] != "2?" {
		t.Errorf("%q", rows)
	}
	if got := Refused(p); got != nil {
		t.Errorf("what is asked for is no refusal: %q", got)
	}
	p.Drilling.Holes[0].Refused = remedy.Remark{Kind: remedy.OutsideBody}
	if got := Refused(p); len(got) != 1 || got[0] != "bridge-screw 0 cannot be placed: it falls outside the body." {
		t.Errorf("%q", got)
	}
}

// A heel that is wider than the pocket has no play, and none is said; a plan of one's own that cannot be worked out says
// which reading it wants.
func TestPlayAndVain(t *testing.T) {
	r, p := pocketed(remedy.Action{Work: measure.Reseat})
	if got := Play(p); got != "Play that remains: at the mouth 0.10 mm on the bass side and 0.05 on the treble side, at the end 0.20 and 0.15." {
		t.Error(got)
	}
	p.After.Bass[1] = -0.59
	const stuck = "The heel does not go in: at the pocket's end it is 0.44 mm wider than the pocket."
	if got := Barred(p); Play(p) != "" || len(got) != 1 || got[0] != stuck {
		t.Errorf("%q, play %q", got, Play(p))
	}
	if got := WhatToDo(r, &remedy.Advice{Own: true, Plans: []remedy.Plan{*p}}); !strings.HasSuffix(got, ", cannot be carried out as it stands. "+stuck) || !strings.HasPrefix(PlanInShort(p), stuck+" ") {
		t.Error(got)
	}
	far := remedy.Plan{Beyond: 3.7}
	if got := Barred(&far); len(got) != 1 || got[0] != "Moved so far, the bridge's screws stand 3.7 mm or more beyond what their holes let them: it gets there only with those holes plugged and drilled anew." {
		t.Errorf("%q", got)
	}
	if got := Steps(r, p)[0].Do; !strings.Contains(got, "nothing and 0.15 mm at its end") {
		t.Error(got)
	}
	a := &remedy.Advice{Vain: []remedy.Untried{remedy.BridgeUntried}, Plans: []remedy.Plan{{Level: remedy.Returned, Return: []measure.Part{measure.NeckPart}}}}
	if got, want := WhatToDo(r, a), "your own plan cannot be worked out before this is done: read the fingerboard's edges and the outer saddles or the bridge's screw holes. What is advised meanwhile: return the neck."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := LearntLine(remedy.Accuracy{Work: measure.Reseat, Kits: 5, Worst: 0.12, U: 0.05}), "re-seat: worst 0.12 ± 0.05 mm (95 %), three standard deviations, from 5 kits"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for way, want := range map[fit.Way]string{fit.LooseParts: "pocket", fit.DryFit: "body", fit.EdgeCheck: "edge-bass", fit.NoWay: ""} {
		if name, origin := Frame(way); name != want || (origin == "") != (want == "") {
			t.Errorf("%v: %q, %q", way, name, origin)
		}
	}
}

// What must be off is told before the first work that wants it off, and once.
func TestWhatIsTakenOffFirst(t *testing.T) {
	const neck = "Slacken the strings and take the neck off. "
	p := &remedy.Plan{Actions: []remedy.Action{{Work: measure.SquareCorner}, {Work: measure.SideShim, Wall: remedy.Bass}, {Work: measure.Reseat}, {Work: measure.TrimHeel}}}
	s := Steps(kitWith(), p)
	if !strings.HasPrefix(s[0].Do, neck+"Cut both corners") || !strings.HasPrefix(s[1].Do, "Lay a shim") || !strings.HasPrefix(s[2].Do, "Slacken the strings, ease") || !strings.HasPrefix(s[3].Do, neck) {
		t.Errorf("%q", s)
	}
	for work, told := range worksTold() {
		do := told["do"]
		inJoint := strings.Contains(do, "under the whole heel") || strings.Contains(do, "pocket's") || strings.Contains(do, "heel's end") || strings.Contains(do, "Scrape")
		if got := told["first"]; inJoint && got+" " != neck {
			t.Errorf("%s is done with the neck in its pocket: %q", work, got)
		}
	}
}
