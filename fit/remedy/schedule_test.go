package remedy

import (
	"math"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// schedulerFor is a scheduler with nothing on its list: wood, screws and bits as they usually are.
func schedulerFor(in simulate.Instrument) *scheduler {
	r, _ := adviceOf(in)
	k := newKit(r, newStock(Options{}))
	return &scheduler{kit: k, placed: r.Model.Geometry}
}

// Whether an old hole is used, plugged or left is a matter of the wood between it and the new one: it is used
// within half of what its screw may be off, plugged up to 2 mm of wood, and plugged across the grain where
// the two overlap. Diameters 3 and 2 mm, so that walls touch at 2.5 mm from centre to centre.
func TestWhatIsDoneAtAHole(t *testing.T) {
	s := schedulerFor(simulate.ShortScaleBass())
	limit := s.criterion(fit.BridgeHoleMismatch).upper
	for _, c := range []struct {
		move  float64
		work  HoleWork
		grain bool
	}{
		{0, Reuse, false}, {limit/2 - 0.001, Reuse, false}, {limit/2 + 0.001, PlugFirst, true}, {2.4, PlugFirst, true},
		{2.6, PlugFirst, false}, {4.4, PlugFirst, false}, {4.6, Fresh, false}, {20, Fresh, false},
	} {
		h := Hole{Feature: measure.BridgeScrew, HasOld: true, OldDiameter: 3, Pilot: 2, Move: c.move}
		s.decide(&h)
		if h.Work != c.work || h.FaceGrain != c.grain {
			t.Errorf("%g mm: %v, face grain %v", c.move, h.Work, h.FaceGrain)
		}
	}
	h := Hole{Feature: measure.StringHole, HasOld: true, OldDiameter: 4, Pilot: 4, Move: 0.49}
	if s.decide(&h); h.Work != Reuse || math.Abs(h.Shared-overlap(0.49, 2, 2)/(4*math.Pi)) > 1e-12 {
		t.Errorf("a string hole half a millimetre off: %+v", h)
	}
	h = Hole{Feature: measure.BridgeScrew, Pilot: 2}
	if s.decide(&h); h.Work != Fresh {
		t.Errorf("a hole where none was: %v", h.Work)
	}
}

// line is holes in a row, so far apart, each plugged because its new place overlaps the old one.
func line(s *scheduler, pitch, old float64, n int) {
	for i := range n {
		at := float64(i) * pitch
		s.out.Holes = append(s.out.Holes, Hole{
			Feature: measure.StringHole, Mark: i + 1, HasOld: true, Old: Point{0, at}, New: Point{1, at}, Move: 1,
			OldDiameter: old, Pilot: 3.2, Work: PlugFirst, Ligament: math.Inf(1), Cavity: math.Inf(1), Edge: math.Inf(1),
		})
	}
}

// The smallest plug that cleans a hole of 4 mm is 6 mm, since 3/16 in leaves 0.38 mm of wall; one of 8 mm leaves
// the bit, 1 mm off, 1.4 mm, so that it takes 10 mm. In a row of 10.4 mm that is as much as there is room for, in one of 7 mm only 6,
// in one of 5 not even that.
func TestPlugsDoNotOverlap(t *testing.T) {
	for _, c := range []struct {
		pitch float64
		plug  float64
		kind  RemarkKind
	}{{20, 10, NoRemark}, {10.4, 10, NoRemark}, {7, 6, NoRemark}, {5, 6, PlugsOverlap}} {
		s := schedulerFor(simulate.ShortScaleBass())
		line(s, c.pitch, 4, 4)
		s.plugs()
		for i := range s.out.Holes {
			h := &s.out.Holes[i]
			if h.Refused.Kind != c.kind {
				t.Errorf("pitch %g, hole %d: %+v", c.pitch, i+1, h.Refused)
			}
			for j := range i {
				o := &s.out.Holes[j]
				if c.kind == NoRemark && math.Abs(o.Old.Y-h.Old.Y) < (o.Plug+h.Plug)/2-1e-9 {
					t.Errorf("pitch %g: plugs of %g and %g overlap", c.pitch, o.Plug, h.Plug)
				}
			}
		}
		if got := s.out.Holes[0].Plug; c.kind == NoRemark && got != c.plug {
			t.Errorf("pitch %g: plug %g, want %g", c.pitch, got, c.plug)
		}
	}
}

// Wood between neighbours: 0.33 mm is told, none is refused, and screws want three of their diameters.
func TestNeighboursOfAHole(t *testing.T) {
	for _, c := range []struct {
		pitch  float64
		screw  float64
		warns  RemarkKind
		refuse RemarkKind
	}{
		{6, 0, NoRemark, NoRemark}, {3.53, 0, ThinWood, NoRemark}, {3.1, 0, NoRemark, RunsInto},
		{5.9, 2.9, Close, Crowded}, {8.6, 2.9, Close, NoRemark}, {9, 2.9, NoRemark, NoRemark},
	} {
		s := schedulerFor(simulate.ShortScaleBass())
		line(s, c.pitch, 3, 2)
		for i := range s.out.Holes {
			s.out.Holes[i].Feature = measure.BridgeScrew
		}
		if c.refuse == Crowded {
			s.out.Holes[1].New.Y, s.out.Holes[1].Old.Y = 2*c.screw-0.1, 2*c.screw-0.1
		}
		s.neighbours(0, c.screw)
		h := &s.out.Holes[0]
		warned := NoRemark
		if len(h.Warnings) > 0 {
			warned = h.Warnings[0].Kind
		}
		if h.Refused.Kind != c.refuse || c.refuse == NoRemark && warned != c.warns {
			t.Errorf("%+v: warned %v, refused %v, %.2f mm of wood", c, warned, h.Refused.Kind, h.Ligament)
		}
		if c.refuse == NoRemark && math.Abs(h.Ligament-(c.pitch-3.2)) > 1e-9 {
			t.Errorf("%+v: %.3f mm of wood", c, h.Ligament)
		}
	}
}

// Depths: a bridge screw of 25 mm goes 25 mm deep and needs a body of 31; a neck screw of 45 mm through the
// plate of 1.6 mm and a body of 40 less a pocket of 16 mm goes 19.4 mm into the heel.
func TestDepths(t *testing.T) {
	in := simulate.ShortScaleBass()
	s := schedulerFor(in)
	info := &s.result.Info
	info.BridgeScrewLength, info.BodyThickness, info.NeckScrewLength = 25, 40, 45
	bridge, heel := Hole{Feature: measure.BridgeScrew}, Hole{Feature: measure.HeelScrew}
	s.depth(&bridge)
	s.depth(&heel)
	if bridge.Depth != 25 || bridge.Refused.Kind != NoRemark || math.Abs(heel.Depth-(45-1.6-(40-16))) > 1e-6 || heel.Refused.Kind != NoRemark {
		t.Errorf("%+v, %+v", bridge.Depth, heel.Depth)
	}
	info.BodyThickness, bridge = 30.9, Hole{Feature: measure.BridgeScrew}
	if s.depth(&bridge); bridge.Refused.Kind != TooDeep || math.Abs(bridge.Refused.Have-5.9) > 1e-9 {
		t.Errorf("through the body: %+v", bridge.Refused)
	}
	info.BodyThickness, info.NeckScrewLength, heel = 40, 53, Hole{Feature: measure.HeelScrew} // 27.4 mm into 26.5
	if s.depth(&heel); heel.Refused.Kind != TooDeep {
		t.Errorf("through the fingerboard: %+v", heel)
	}
	for length, thick := range map[float64]float64{25: 0.5, 0.5: 6} { // however thin the wood or short the screw
		info.BridgeScrewLength, info.BodyThickness, bridge = length, thick, Hole{Feature: measure.BridgeScrew}
		if s.depth(&bridge); bridge.Refused != (Remark{Kind: TooDeep, Have: thick - length, Need: 6}) {
			t.Errorf("%g mm into %g: %+v", length, thick, bridge.Refused)
		}
	}
	info.BridgeScrewLength, bridge = 0, Hole{Feature: measure.BridgeScrew}
	if s.depth(&bridge); bridge.Depth != 0 || bridge.Refused.Kind != NoRemark {
		t.Errorf("a screw of unknown length: %+v", bridge)
	}
	info.BridgeScrewLength, info.BodyThickness, bridge = 25, 0, Hole{Feature: measure.BridgeScrew}
	if s.depth(&bridge); bridge.Depth != 25 || bridge.Refused.Kind != NoRemark {
		t.Errorf("into a body of unknown thickness: %+v", bridge)
	}
	info.BridgeScrewLength, info.BodyThickness, bridge = 0, 3, Hole{Feature: measure.BridgeScrew}
	if s.depth(&bridge); bridge.Refused.Kind != NoRemark {
		t.Errorf("a screw of unknown length into a thin body: %+v", bridge)
	}
}

// A hole of the body that meets none of the bridge's is plugged only, and one of the bridge's that meets none
// of the body's is drilled where none was.
func TestHolesWithoutPartners(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 4
	r, a := adviceOf(in)
	p, ok := recommended(a.Plans, nil)
	if !ok || p.Kind != measure.PlugBridge {
		t.Fatalf("%v", p.Actions)
	}
	for i := range r.Model.Geometry.Places {
		q := &r.Model.Geometry.Places[i]
		if q.Feature == measure.BridgeScrew && q.Mark.Number == 1 {
			q.Mark.Number = 9
		}
	}
	s, lack := Drill(r, p, Options{})
	if lack != NoLack {
		t.Fatal(lack)
	}
	works := map[int]HoleWork{}
	for i := range s.Holes {
		if h := &s.Holes[i]; h.Feature == measure.BridgeScrew {
			works[h.Mark] = h.Work
			if h.Work == Abandon && (h.Plug == 0 || h.Pilot != 0 || h.New != h.Old) || h.Mark == 1 && (h.HasOld || h.Pilot == 0) {
				t.Errorf("%+v", h)
			}
		}
	}
	if works[9] != Abandon || works[1] != Fresh || len(works) != len(in.BridgeScrews)+1 {
		t.Errorf("%v", works)
	}
}

// The heel's holes are laid out where the plan seats it: a heel that is shimmed by 0.6 mm toward bass meets
// the body's holes 0.6 mm farther toward treble in itself.
func TestHeelHolesLieWhereThePlanSeatsTheHeel(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+1.4, in.HeelEnd+1.4
	in.HeelScrewErrors = map[int]simulate.Point{2: {Station: 1.5}}
	r, _ := adviceOf(in)
	p, _ := Try(r, []Action{{Work: measure.SideShim, Wall: Treble, Mouth: 1.2, End: 1.2}, {Work: measure.PlugNeck}}, Options{})
	for i := range p.Drilling.Holes {
		h := &p.Drilling.Holes[i]
		want := 0.6
		if h.Mark == 2 {
			want = math.Hypot(0.6, 1.5)
		}
		if math.Abs(h.Move-want) > 1e-3 || h.Mark != 2 && math.Abs(h.New.Y-h.Old.Y-0.6) > 1e-3 || h.Work != PlugFirst { // the heel's own small turn
			t.Errorf("hole %d: moved %.4f, by hand %.4f (%v)", h.Mark, h.Move, want, h.Work)
		}
	}
}

// Every hole that is not placed names the bit or the plug that is wanted; with an unknown screw it is asked.
func TestWhatIsWantedForAHole(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 4
	kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	kit.Info.BridgeScrew = 0
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	p, ok := recommended(For(r, Options{}).Plans, nil)
	if !ok || p.Kind != measure.PlugBridge || len(p.Asks) == 0 || p.Asks[0] != BridgeScrewSize {
		t.Fatalf("%v asks %v", p.Actions, p.Asks)
	}
	noted := false
	for _, n := range p.Drilling.Notes {
		noted = noted || n.Kind == ScrewUnknown && n.Feature == measure.BridgeScrew
	}
	if !noted {
		t.Errorf("%+v", p.Drilling.Notes)
	}
	if !(math.Hypot(p.Moves[fit.BridgeAcross], p.Moves[fit.BridgeAlong]) > askFrom) || p.Asks[len(p.Asks)-1] != FarBridge {
		t.Errorf("a bridge moved by %v asks %v", p.Moves, p.Asks)
	}
}

// What is taken for granted is noted: the rule of the pilots, and the core where it was not measured.
func TestNotesOfASchedule(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 4
	for core, want := range map[float64]int{0: 2, 2: 1} {
		kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
		kit.Info.BridgeCore, kit.Info.Wood = core, "alder"
		r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
		p, _ := Try(r, []Action{{Work: measure.PlugBridge, Across: -4}}, Options{})
		var got []Note
		for _, n := range p.Drilling.Notes {
			if n.Kind != DiameterAssumed {
				got = append(got, n)
			}
		}
		rule, unknown := Note{Kind: PilotRule, Feature: measure.BridgeScrew}, Note{Kind: CoreUnknown, Feature: measure.BridgeScrew}
		if len(got) != want || got[0] != rule || want == 2 && got[1] != unknown {
			t.Errorf("core %g: %+v", core, got)
		}
		for i := range p.Drilling.Holes {
			if h := &p.Drilling.Holes[i]; h.Feature == measure.BridgeScrew && core > 0 && h.Pilot != core {
				t.Errorf("core %g: pilot %g", core, h.Pilot)
			}
		}
	}
}

// The play that is left beside the walls adds up to the gaps, also of a heel that tapers by 1 in 76 and slides
// in 2 mm farther.
func TestPlayAddsUpToTheGaps(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.HeelMouth = in.HeelEnd + 1
	in.PocketMouth, in.PocketEnd = in.HeelMouth+0.9, in.HeelEnd+0.9
	r, _ := adviceOf(in)
	for _, actions := range [][]Action{
		{{Work: measure.TrimHeel, Size: 2}}, {{Work: measure.SideShim, Wall: Bass, Mouth: 0.5, End: 0.5}, {Work: measure.TrimHeel, Size: 2}},
		{{Work: measure.RelieveWall, Wall: Treble, Mouth: 0.2}, {Work: measure.Reseat, Mouth: 0.1, End: -0.1}},
	} {
		p, _ := Try(r, actions, Options{})
		for _, q := range p.Predicted {
			at, ok := map[fit.ID]int{fit.PocketGapMouth: 0, fit.PocketGapEnd: 1}[r.Characteristics[q.Index].ID]
			if !ok {
				continue
			}
			if sum := p.After.Bass[at] + p.After.Treble[at]; math.Abs(sum-q.Value) > 1e-9 || p.After.Bass[at] < 0 || math.Abs(p.After.Bass[at]-p.After.Treble[at]) > 0.21 {
				t.Errorf("%v: %.4f and %.4f beside the walls, gap %.4f", actions, p.After.Bass[at], p.After.Treble[at], q.Value)
			}
		}
	}
}

// A bit that runs into another's old hole wants that plugged first, across the grain, and is warned of its plug's edge:
// bit 2, old hole 3, plug 4 mm, 1.5 mm from centre to centre. Ten millimetres off it is nobody's concern.
func TestAnOthersOldHoleIsPluggedFirst(t *testing.T) {
	for _, c := range []struct {
		at    float64
		work  HoleWork
		grain bool
		warns int
	}{{1.5, PlugFirst, true, 1}, {4.4, PlugFirst, false, 0}, {4.6, Fresh, false, 0}, {10, Fresh, false, 0}} {
		s := schedulerFor(simulate.ShortScaleBass())
		far := math.Inf(1)
		one := Hole{Feature: measure.BridgeScrew, Mark: 1, HasOld: true, New: Point{0, 30}, Move: 30, OldDiameter: 3, Pilot: 2, Ligament: far, Cavity: far, Edge: far}
		two := Hole{Feature: measure.StringHole, Mark: 2, HasOld: true, Old: Point{-40, 0}, New: Point{c.at, 0}, Move: 40 + c.at, OldDiameter: 3, Pilot: 2, Ligament: far, Cavity: far, Edge: far}
		s.out.Holes = []Hole{one, two}
		for i := range s.out.Holes {
			s.decide(&s.out.Holes[i])
		}
		s.plugOthers()
		s.plugs()
		s.neighbours(1, 0)
		if got := &s.out.Holes[0]; got.Work != c.work || got.FaceGrain != c.grain || got.Plug != 4 {
			t.Errorf("%g mm off: %+v", c.at, got)
		}
		if w := s.out.Holes[1].Warnings; len(w) != c.warns || c.warns > 0 && w[0] != (Remark{Kind: AcrossPlug, Other: Named{measure.BridgeScrew, 1, true}}) {
			t.Errorf("%g mm off: %+v", c.at, w)
		}
	}
}
