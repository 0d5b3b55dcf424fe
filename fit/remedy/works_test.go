package remedy

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// kitOf is what a search knows of a bass surveyed as loose parts, with the built-in stock and costs.
func kitOf(in simulate.Instrument) *kit {
	r, _ := adviceOf(in)
	return newKit(r, newStock(Options{}))
}

// roomy is a bass whose pocket is wider than its heel by so much.
func roomy(gap float64) simulate.Instrument {
	in := bass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+gap, in.HeelEnd+gap
	return in
}

// What one work by itself does to the geometry and what the hand adds, by hand: a heel that gets 1.2 mm wider over its 76 mm slides in 2 mm with
// a part that is wider by 2 in 76 of that; a wedge is thick at the end, or at the mouth, where it lifts all and the end not; a wedge of an angle is as thick as
// that makes it over those 60 mm, and none is made thinner than a quarter of a millimetre.
func TestWhatOneWorkDoes(t *testing.T) {
	in := roomy(0.9)
	in.HeelMouth = in.HeelEnd + 1.2
	k := kitOf(in)
	type moved = map[fit.Move]float64
	tan := func(degrees float64) float64 { return 60 * math.Tan(degrees*math.Pi/180) }
	for name, c := range map[string]struct {
		d     *candidate
		a     Action
		moves moved
		noise []noise
	}{
		"trimmed":  {k.trimmed(2), Action{Work: measure.TrimHeel, Size: 2}, moved{fit.HeelAlong: 2}, []noise{{moves: [fit.Moves]float64{fit.HeelAlong: k.std(measure.TrimHeel)}}}},
		"deepened": {k.deepened(1.5), Action{Work: measure.DeepenFloor, Size: 1.5}, moved{fit.FloorAll: -1.5}, []noise{{moves: [fit.Moves]float64{fit.FloorAll: k.std(measure.DeepenFloor)}}}},
		"flat":     {k.flat(measure.Stock{Size: 0.5, Name: "card"}), Action{Work: measure.RiseShim, Size: 0.5, Name: "card"}, moved{fit.FloorAll: 0.5}, []noise{{moves: [fit.Moves]float64{fit.FloorAll: k.std(measure.RiseShim)}}}},
		"backward": {k.wedge(measure.Stock{Size: 0.6}, 1), Action{Work: measure.PitchShim, Size: 0.6, Turn: math.Atan(0.01) * 180 / math.Pi}, moved{fit.FloorEnd: 0.6}, []noise{{moves: [fit.Moves]float64{fit.FloorEnd: k.std(measure.PitchShim)}}}},
		"forward":  {k.wedge(measure.Stock{Size: 0.6}, -1), Action{Work: measure.PitchShim, Size: 0.6, Turn: -math.Atan(0.01) * 180 / math.Pi}, moved{fit.FloorEnd: -0.6, fit.FloorAll: 0.6}, []noise{{moves: [fit.Moves]float64{fit.FloorEnd: k.std(measure.PitchShim)}}}},
		"an angle": {k.wedge(measure.Stock{Angle: 0.5}, 1), Action{Work: measure.PitchShim, Size: tan(0.5), Turn: 0.5}, moved{fit.FloorEnd: tan(0.5)}, []noise{{moves: [fit.Moves]float64{fit.FloorEnd: k.std(measure.PitchShim)}}}},
		"too thin": {k.wedge(measure.Stock{Angle: 0.1}, 1), Action{Work: measure.PitchShim, Size: 0.25, Turn: math.Atan(0.25/60) * 180 / math.Pi}, moved{fit.FloorEnd: 0.25}, []noise{{moves: [fit.Moves]float64{fit.FloorEnd: k.std(measure.PitchShim)}}}},
		"eased":    {k.eased(1.5), Action{Work: measure.EaseCorner, Size: 1.5}, nil, []noise{{corner: 0.5 / 3}}},
		"levelled": {k.levelled(), Action{Work: measure.LevelFloor}, nil, []noise{{moves: [fit.Moves]float64{fit.FloorAll: 0.1 / 3}}}},
	} {
		a := c.d.actions[0]
		if math.Abs(a.Size-c.a.Size) > 1e-9 || math.Abs(a.Turn-c.a.Turn) > 1e-9 || a.Work != c.a.Work || a.Name != c.a.Name || len(c.d.actions) != 1 {
			t.Errorf("%s: %+v, by hand %+v", name, a, c.a)
		}
		for m, x := range c.d.moves {
			if math.Abs(x-c.moves[fit.Move(m)]) > 1e-9 {
				t.Errorf("%s: move %d is %g, by hand %g", name, m, x, c.moves[fit.Move(m)])
			}
		}
		if len(c.d.noise) != 1 || c.d.noise[0] != c.noise[0] {
			t.Errorf("%s: %+v", name, c.d.noise)
		}
	}
	d := k.trimmed(2)
	if math.Abs(d.slim-2*1.2/76) > 1e-6 || d.wider != [2]float64{-d.slim, -d.slim} || d.trimmed != 2 {
		t.Errorf("%+v", d)
	}
	// The pocket itself keeps its width, its gaps lose what the heel is wider there.
	for id, want := range map[fit.ID]float64{fit.PocketWidthMouth: 0, fit.PocketWidthEnd: 0, fit.PocketGapMouth: -2 * 1.2 / 76, fit.PocketGapEnd: -2 * 1.2 / 76} {
		if c := k.criterion(id); math.Abs(k.value(c, d)-k.model.Elements[c.first].Value-want) > 1e-6 {
			t.Errorf("%v changes by %.4f, by hand %.4f", id, k.value(c, d)-k.model.Elements[c.first].Value, want)
		}
	}
	// A heel that lies turned takes more across: its 63 mm over the cosine; it is the gaps' and not the pocket's.
	turned := &candidate{}
	turned.moves[fit.HeelMouth], turned.moves[fit.HeelEnd] = -3, 3
	for id, want := range map[fit.ID]float64{fit.PocketWidthMouth: 0, fit.PocketGapMouth: 1, fit.PocketGapEnd: 1} {
		c := k.criterion(id)
		took := -2 * k.half * (1/math.Cos(0.1) - 1) * want
		if got := k.value(c, turned) - k.model.Elements[c.first].Value; math.Abs(got-took) > 1e-9 || 2*k.half < 60 || 2*k.half > 66 {
			t.Errorf("%v changes by %.4f, by hand %.4f", id, got, took)
		}
	}
}

// What is tried for screws, by what is in stock: bits up to a millimetre wider than the narrowest hole, three slots, plugs last; none
// where the screws are not judged.
func TestWhatIsTriedForScrews(t *testing.T) {
	k := kitOf(bass())
	hole := bass().NeckScrewSize
	k.pieces[measure.DrillStock] = nil
	for _, x := range []float64{hole - 0.5, hole, hole + 0.1, hole + 1, hole + 1.1} {
		k.pieces[measure.DrillStock] = append(k.pieces[measure.DrillStock], measure.Stock{Size: x})
	}
	var got []float64
	for _, d := range k.screws() {
		got = append(got, d.actions[0].Size, d.room.neck)
	}
	for i, want := range []float64{hole + 0.1, 0.05, hole + 1, 0.5, 0.6, 0.6, 0.8, 0.8, 1, 1, 0, 0} {
		if len(got) != 12 || math.Abs(got[i]-want) > 1e-9 {
			t.Fatalf("%v", got)
		}
	}
	places(k.model.Geometry, measure.NeckScrew)[2].Diameter = hole - 0.3
	if got := k.neckHole(); math.Abs(got-(hole-0.3)) > 1e-12 {
		t.Errorf("the narrowest is %g", got)
	}
	for _, p := range places(k.model.Geometry, measure.NeckScrew) {
		p.Diameter = 0
	}
	if k.neckHole() != 0 || len(k.screws()) != 4 {
		t.Errorf("of unknown size: %g, %d ways", k.neckHole(), len(k.screws()))
	}
	k.criterion(fit.NeckScrewMismatch).judged = false
	if k.screws() != nil {
		t.Error("screws that nobody judges")
	}
}

// Corners: the heel's are rounded by the least half millimetre that passes, by 5 mm at the most; the pocket's are cut to 0.3 mm, where they
// are known and rounder.
func TestWhatIsTriedForCorners(t *testing.T) {
	in := bass()
	in.HeelRadius, in.PocketRadius = 3, 5
	k := kitOf(in)
	list := k.corners()
	if len(list) != 2 || list[0].actions[0].Work != measure.EaseCorner || list[1].actions[0].Work != measure.SquareCorner {
		t.Fatalf("%v", list)
	}
	c := k.criterion(fit.CornerReserve)
	by := list[0].actions[0].Size
	passes := func(by float64) bool {
		d := k.eased(by)
		return fit.Conformance(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, c.upper) >= 0.95
	}
	if by < 2 || by > 4 || math.Mod(by, 0.5) != 0 || !passes(by) || passes(by-0.5) || math.Abs(k.value(c, list[0])-(3+by-5)) > 0.01 {
		t.Errorf("rounded by %g, which leaves %.3f", by, k.value(c, list[0]))
	}
	square := list[1]
	if square.actions[0].Size != 5 || math.Abs(square.squared[0]-4.7) > 1e-9 || math.Abs(square.squared[1]-4.7) > 1e-9 || math.Abs(k.value(c, square)-2.7) > 0.01 || math.Abs(square.noise[0].corner-0.1) > 1e-12 {
		t.Errorf("%+v leaves %.3f", square, k.value(c, square))
	}
	for radii, want := range map[[2]float64]bool{{0.3, 5}: false, {5, 0.3}: false, {0.31, 0.31}: true, {0, 0}: false} {
		k.model.Geometry.Corners = radii
		if d := k.square(); (len(d.actions) > 0) != want {
			t.Errorf("radii %v: %+v", radii, d.actions)
		}
	}
	in.PocketRadius = 12 // beyond what a heel is rounded by
	if list := kitOf(in).corners(); len(list) != 1 || list[0].actions[0].Work != measure.SquareCorner {
		t.Errorf("%v", list)
	}
	if list := kitOf(bass()).corners(); list != nil {
		t.Errorf("corners with nothing wrong: %v", list)
	}
}

// A wall by hand: a parallel shim errs alike at both ends, a tapered one and a scraped wall at each by itself; what is off moves the middle by half.
func TestWhatTheHandAddsAtAWall(t *testing.T) {
	k := kitOf(roomy(1))
	s, r := k.std(measure.SideShim), k.std(measure.RelieveWall)
	if math.Abs(s-0.05/3) > 1e-12 || math.Abs(r-0.1/3) > 1e-12 {
		t.Fatalf("%g and %g", s, r)
	}
	of := func(mouth, end, by float64) (n noise) {
		n.wider = [2]float64{-2 * mouth * math.Abs(by), -2 * end * math.Abs(by)}
		n.moves[fit.HeelMouth], n.moves[fit.HeelEnd] = mouth*by, end*by
		return n
	}
	for name, c := range map[string]struct {
		w          Wall
		t          treatment
		mouth, end float64
		want       []noise
		a          Action
	}{
		"parallel":      {Bass, shimmed, 0.5, 0.5, []noise{of(1, 1, s/2)}, Action{Work: measure.SideShim, Wall: Bass, Mouth: 0.5, End: 0.5}},
		"on the treble": {Treble, shimmed, 0.5, 0.5, []noise{of(1, 1, -s/2)}, Action{Work: measure.SideShim, Wall: Treble, Mouth: 0.5, End: 0.5}},
		"tapered":       {Bass, shimmed, 0.5, 0.25, []noise{of(1, 0, s/2), of(0, 1, s/2)}, Action{Work: measure.SideShim, Wall: Bass, Mouth: 0.5, End: 0.25}},
		"a strip":       {Bass, shimmed, 0, 0.25, []noise{of(0, 1, s/2)}, Action{Work: measure.SideShim, Wall: Bass, End: 0.25}},
		"scraped":       {Treble, relieved, -0.2, -0.2, []noise{of(1, 0, -r/2), of(0, 1, -r/2)}, Action{Work: measure.RelieveWall, Wall: Treble, Mouth: 0.2, End: 0.2}},
		"at the mouth":  {Bass, relieved, -0.2, 0, []noise{of(1, 0, r/2)}, Action{Work: measure.RelieveWall, Wall: Bass, Mouth: 0.2}},
		"nothing":       {Bass, untreated, 0, 0, nil, Action{}},
	} {
		d := &candidate{}
		k.wall(d, c.w, c.t, c.mouth, c.end)
		if !slices.EqualFunc(d.noise, c.want, func(a, b noise) bool {
			return math.Abs(a.wider[0]-b.wider[0])+math.Abs(a.wider[1]-b.wider[1])+math.Abs(a.moves[fit.HeelMouth]-b.moves[fit.HeelMouth])+math.Abs(a.moves[fit.HeelEnd]-b.moves[fit.HeelEnd]) < 1e-12
		}) {
			t.Errorf("%s: %+v, by hand %+v", name, d.noise, c.want)
		}
		if len(c.want) == 0 {
			continue
		}
		a := d.actions[0]
		if a.Name = ""; a.Mouth+0 != c.a.Mouth || a.End+0 != c.a.End || a.Work != c.a.Work || a.Wall != c.a.Wall {
			t.Errorf("%s: %+v", name, a)
		}
	}
	named := &candidate{}
	k.pieces[measure.SideStock] = []measure.Stock{{Size: 0.4, Name: "card"}, {Size: 0.5, Name: "veneer"}}
	k.wall(named, Bass, shimmed, 0.25, 0.5)
	if got := named.actions[0].Name; got != "veneer" {
		t.Errorf("made of %q", got)
	}
}

// Where a heel is set, and what is left beside it: in a gap of 1 mm with 0.4 taken on the bass side the middle lies 0.2 toward treble.
func TestWhereAHeelIsSet(t *testing.T) {
	k := kitOf(roomy(1))
	d := &candidate{walls: After{Bass: [2]float64{0.4, 0.4}}, wider: [2]float64{-0.4, -0.4}}
	k.set(d, 0.1, -0.05)
	if math.Abs(d.moves[fit.HeelMouth]-0.3) > 1e-6 || math.Abs(d.moves[fit.HeelEnd]-0.15) > 1e-6 || d.moves[fit.HeelAlong] != 0 {
		// the bass wall comes 0.4 nearer, so that the middle of what is left lies 0.2 toward treble
		t.Errorf("%v", d.moves)
	}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = -0.1, 0.2
	got := k.after(d)
	turned := k.turned(d) / 2
	for i, want := range [2][2]float64{{0.5 - 0.4 - 0.1, 0.5 + 0.1}, {0.5 - 0.4 + 0.2, 0.5 - 0.2}} {
		if math.Abs(got.Bass[i]-max(0, want[0]-turned)) > 1e-6 || math.Abs(got.Bass[i]+got.Treble[i]-(want[0]+want[1]-2*turned)) > 1e-6 {
			t.Errorf("at %d: %g and %g, by hand %v", i, got.Bass[i], got.Treble[i], want)
		}
	}
	// Set anew where its gaps have changed: hard at a wall it stays there, between walls it stays as far as there is room.
	for _, c := range []struct {
		against [2]Wall
		at      [2]float64
		want    [2]float64
	}{{[2]Wall{Treble, Bass}, [2]float64{0.5, -0.5}, [2]float64{0.3, -0.3}}, {[2]Wall{}, [2]float64{0.1, -0.1}, [2]float64{0.1, -0.1}}, {[2]Wall{}, [2]float64{0.45, -0.45}, [2]float64{0.3, -0.3}}} {
		d := &candidate{actions: []Action{{Work: measure.SideShim}, {Work: measure.Reseat, Mouth: c.at[0], End: c.at[1], Against: c.against}}, walls: After{Bass: [2]float64{0.4, 0.4}}, wider: [2]float64{-0.4, -0.4}}
		k.settle(d)
		if a := d.actions[1]; math.Abs(a.Mouth-c.want[0]) > 1e-6 || math.Abs(a.End-c.want[1]) > 1e-6 || math.Abs(d.moves[fit.HeelMouth]-0.2-c.want[0]) > 1e-6 || !d.seated {
			t.Errorf("%+v: %+v, moved %v", c, a, d.moves)
		}
	}
	// What the hand is off there: a third of its worst, less between near walls, a hundredth of a millimetre against one, with half of what the gap is uncertain.
	half := [2]float64{k.play.Std[0] / 2, k.play.Std[1] / 2}
	for name, c := range map[string]struct {
		gap, at float64
		want    float64
	}{"free": {1, 0, 0.1 / 3}, "near walls": {0.06, 0, 0.02}, "against": {1, 0.5, math.Hypot(0.01, half[0])}, "no room": {-0.1, 0, 0}} {
		k.gaps = [2]float64{c.gap, c.gap}
		d := &candidate{}
		k.place(d, c.at, c.at)
		if got := d.noise[0].moves[fit.HeelMouth]; math.Abs(got-math.Hypot(c.want, k.play.Adrift[0])) > 1e-9 || d.lies != 1 || len(d.noise) != 2 || d.noise[0].moves[fit.HeelEnd] != 0 || d.noise[1].moves[fit.HeelMouth] != 0 {
			t.Errorf("%s: %.5f, by hand %.5f, %+v", name, got, c.want, d.noise)
		}
		if k.place(d, c.at, c.at); len(d.noise) != 2 {
			t.Errorf("%s: set twice it errs %d times", name, len(d.noise))
		}
	}
	k.result.Way = fit.DryFit // felt beside each wall the middle is as uncertain as half a gap
	k.gaps = [2]float64{1, 1}
	d = &candidate{}
	if k.place(d, 0, 0); math.Abs(d.noise[1].moves[fit.HeelEnd]-math.Hypot(math.Hypot(0.1/3, half[1]), k.play.Adrift[1])) > 1e-9 {
		t.Errorf("%+v", d.noise)
	}
}

// Two candidates joined have both's works, and what either does to the geometry adds up; rooms do not.
func TestJoinedCandidatesAddUp(t *testing.T) {
	a := &candidate{actions: []Action{{Work: measure.SideShim}}, wider: [2]float64{-1, -2}, room: rooms{0.5, 0.1, 0.3}, corner: 1, squared: [2]float64{1, 2}, trimmed: 1, slim: 0.1, noise: make([]noise, 2), newNeck: true, seated: true}
	b := &candidate{actions: []Action{{Work: measure.TrimHeel}}, wider: [2]float64{3, 5}, room: rooms{0.2, 0.4, 0.3}, corner: 2, squared: [2]float64{3, 5}, trimmed: 2, slim: 0.3, noise: make([]noise, 1), newStrings: true, newFloor: true}
	a.moves[fit.HeelAlong], b.moves[fit.HeelAlong], b.moves[fit.FloorAll] = 1, 2, 7
	got := a.join(b)
	if got.moves[fit.HeelAlong] != 3 || got.moves[fit.FloorAll] != 7 || got.wider != [2]float64{2, 3} || got.room != (rooms{0.5, 0.4, 0.3}) || got.corner != 3 || got.squared != [2]float64{4, 7} ||
		got.trimmed != 3 || math.Abs(got.slim-0.4) > 1e-12 || len(got.noise) != 3 || len(got.actions) != 2 || !got.newNeck || !got.newStrings || !got.newFloor || !got.seated {
		t.Errorf("%+v", got)
	}
	if len(a.actions) != 1 || len(a.noise) != 2 || a.join(&candidate{trimmed: 5}) != a {
		t.Errorf("%+v", a)
	}
}

// Which works go on and which limit opened holes leave.
func TestLimitsOfOpenedHoles(t *testing.T) {
	d := &candidate{room: rooms{0.1, 0.2, 0.4}}
	for id, want := range map[fit.ID]float64{fit.NeckScrewMismatch: 1.1, fit.BridgeHoleMismatch: 1.2, fit.StringHolePitch: 1.4, fit.PlateHoleMismatch: 1.4, fit.FerruleMismatch: 1, fit.CentreLineError: 1} {
		if got := d.limit(&criterion{id: id, upper: 1}); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: %g, want %g", id, got, want)
		}
	}
	for _, c := range []struct {
		d    candidate
		id   fit.ID
		home bool
		want bool
	}{
		{candidate{newNeck: true}, fit.NeckScrewMismatch, false, true}, {candidate{newBridge: true}, fit.NeckScrewMismatch, false, false}, {candidate{newBridge: true}, fit.BridgeHoleMismatch, false, true},
		{candidate{newStrings: true}, fit.StringHolePitch, false, true}, {candidate{newStrings: true}, fit.FerruleMismatch, false, true}, {candidate{newStrings: true}, fit.PlateHoleMismatch, false, true}, {candidate{newStrings: true}, fit.BridgeHoleMismatch, false, false},
		{candidate{newFloor: true}, fit.FloorFlatness, false, true}, {candidate{}, fit.FloorFlatness, false, false}, {candidate{seated: true}, fit.EndGap, true, true}, {candidate{seated: true}, fit.EndGap, false, false}, {candidate{}, fit.EndGap, true, false},
	} {
		if got := c.d.renews(&criterion{id: c.id, home: c.home}); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
	reused := &candidate{reused: map[Named]bool{{Feature: measure.BridgeScrew, Mark: 2}: true, {Feature: measure.HeelScrew, Mark: 3}: true}}
	for _, c := range []struct {
		id   fit.ID
		mark int
		want bool
	}{{fit.BridgeHoleMismatch, 2, true}, {fit.BridgeHoleMismatch, 3, false}, {fit.NeckScrewMismatch, 3, true}, {fit.NeckScrewMismatch, 2, false}} {
		if got := reused.stays(&criterion{id: c.id}, c.mark); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
	// A floor that was scraped is left uneven by half of the worst, a sixth of which is a standard deviation.
	k := kitOf(bass())
	if v, std, p := k.renewed(&criterion{id: fit.FloorFlatness, lower: -1, upper: 1}, &candidate{newFloor: true}); math.Abs(v-0.05) > 1e-12 || math.Abs(std-0.05/3) > 1e-12 || p < 0.999 {
		t.Errorf("%g, %g, %g", v, std, p)
	}
	if _, _, p := k.renewed(&criterion{id: fit.FloorFlatness, lower: -1, upper: 0.05}, &candidate{newFloor: true}); math.Abs(p-0.5) > 1e-9 {
		t.Errorf("a floor on its limit passes with %g", p)
	}
}

// What may be done to both walls: each treated wall is treated somewhere, by what can be made; of the shims those that are not too thick.
func TestTreatmentsThatCanBe(t *testing.T) {
	for _, c := range []struct {
		g          group
		mouth, end ends
		want       bool
	}{
		{group{shimmed, untreated}, ends{0.5, 0}, ends{0.5, 0}, true}, {group{shimmed, untreated}, ends{}, ends{}, false}, {group{untreated, shimmed}, ends{0, 0.5}, ends{}, true}, {group{untreated, shimmed}, ends{}, ends{}, false},
		{group{shimmed, shimmed}, ends{0.5, 0}, ends{0.5, 0}, false}, {group{shimmed, shimmed}, ends{0.5, 0.1}, ends{0.5, 0.1}, true}, {group{shimmed, untreated}, ends{0.5, 0}, ends{0.4, 0}, false},
		{group{untreated, shimmed}, ends{0, 0.5}, ends{0, 0.4}, false}, {group{relieved, relieved}, ends{-0.1, 0}, ends{0, -0.2}, true}, {group{relieved, untreated}, ends{-0.4, 0}, ends{-0.3, 0}, true}, {group{}, ends{}, ends{}, true},
	} {
		if got := c.g.makeable(c.mouth, c.end); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
	k := kitOf(roomy(1))
	k.pieces[measure.SideStock] = []measure.Stock{{Size: 0.4}, {Size: 1.2}, {Size: 1.3}}
	for treatment, want := range map[treatment][]float64{untreated: {0}, shimmed: {0, 0.4, 1.2}, relieved: {0, -0.1, -0.2, -0.3, -0.4, -0.5, -0.6, -0.8, -1}} {
		if got := k.thicknesses(treatment); !slices.Equal(got, want) {
			t.Errorf("%v: %v", treatment, got)
		}
	}
	// Of a gap of 1 mm whose limit is 0.5 a shim of 0.4 to 0.9 on one wall is likely best; none that is wider than the gap is tried, and the likeliest are ahead.
	k.pieces[measure.SideStock] = []measure.Stock{{Size: 0.1}, {Size: 0.7}, {Size: 1.1}}
	list := k.bestEnds(group{shimmed, untreated}, 0)
	if len(list) != 3 || list[0].ends != (ends{0.7, 0}) || list[0].score < list[1].score || slices.ContainsFunc(list, func(e ratedEnds) bool { return e.bass > 1 || e.treble != 0 }) {
		t.Errorf("%+v", list)
	}
	// A twin of the last that is kept, its mirror image, is kept too: here of five thicknesses on either wall.
	k.pieces[measure.SideStock] = []measure.Stock{{Size: 0.1}, {Size: 0.2}, {Size: 0.3}, {Size: 0.4}, {Size: 0.45}}
	both := k.bestEnds(group{shimmed, shimmed}, 1)
	if last := both[len(both)-1].ends; len(both) < 10 || len(both) > 11 || last.bass != last.treble && !slices.ContainsFunc(both, func(e ratedEnds) bool { return e.ends == ends{last.treble, last.bass} }) {
		t.Errorf("%d: %+v", len(both), both)
	}
}

// How exactly a bridge is laid, by hand: a third of its worst across and along, and off by that at either end of its screws' span in turn.
func TestWhatTheHandAddsAtABridge(t *testing.T) {
	k := kitOf(bass())
	far := 0.0
	for _, p := range bass().BridgeScrews {
		for _, q := range bass().BridgeScrews {
			far = max(far, math.Hypot(p.Station-q.Station, p.Offset-q.Offset))
		}
	}
	if math.Abs(k.span-far) > 1e-6 {
		t.Errorf("a span of %.4f, by hand %.4f", k.span, far)
	}
	d := &candidate{}
	k.bridgeNoise(d)
	const std = 0.25 / 3
	want := []noise{{moves: [fit.Moves]float64{fit.BridgeAcross: std}}, {moves: [fit.Moves]float64{fit.BridgeAlong: std}}, {moves: [fit.Moves]float64{fit.BridgeTurn: std * math.Sqrt2 / far * 180 / math.Pi}}}
	for i := range want {
		for m := range want[i].moves {
			if len(d.noise) != 3 || math.Abs(d.noise[i].moves[m]-want[i].moves[m]) > 1e-9 {
				t.Errorf("cause %d: %v, by hand %v", i, d.noise[i].moves, want[i].moves)
			}
		}
	}
	s := &scheduler{kit: k, placed: &fit.Geometry{Centre: k.model.Geometry.Centre}}
	if x, y := s.carried(&Hole{}, &want[0].moves); x != 0 || y != 0 {
		t.Errorf("a bridge that is nowhere carries a hole by %g, %g", x, y)
	}
}

// One hole that is off by 3 mm draws the bridge with it, as it is laid at its best over all. Laid over the other four it meets these to the steps that a hand can
// set, and that one alone is drilled anew; with two that are off there is no such place.
func TestABridgeOverTheHolesThatAreRight(t *testing.T) {
	in := bass()
	in.BridgeHoleErrors = map[int]simulate.Point{2: {Station: 3}}
	k := kitOf(in)
	d := k.plugOne(&candidate{})
	if d == nil {
		t.Fatal("no such plan")
	}
	c := k.criterion(fit.BridgeHoleMismatch)
	drawn := 0.0
	for e := c.first; e < c.last; e += 2 {
		was, off := math.Hypot(k.model.Elements[e].Value, k.model.Elements[e+1].Value), math.Hypot(k.element(c, d, e), k.element(c, d, e+1))
		if right := k.model.Elements[e].Mark != 2; right && off > 0.06 || !right && math.Abs(off-3) > 0.06 {
			t.Errorf("hole %d is off by %.3f, before %.3f", k.model.Elements[e].Mark, off, was)
		} else if right {
			drawn = max(drawn, was)
		}
	}
	if drawn < 0.5 || !d.newBridge || !d.newStrings || len(d.noise) != 3 {
		t.Errorf("the others were off by %.3f; %+v", drawn, d)
	}
	a := d.actions[0]
	if a.Work != measure.PlugBridge || a.Across != d.moves[fit.BridgeAcross] || a.Along != d.moves[fit.BridgeAlong] || a.Turn != d.moves[fit.BridgeTurn] {
		t.Errorf("%+v, moved %v", a, d.moves)
	}
	in.BridgeHoleErrors[2] = simulate.Point{Station: 20} // as laid at its best it stands 4 mm off: not a small move
	if d := kitOf(in).plugOne(&candidate{}); d != nil {
		t.Errorf("moved by %v", d.moves)
	}
	if d := kitOf(bass()).plugOne(&candidate{}); d != nil {
		t.Errorf("with nothing wrong: %v", d.actions)
	}
}

// A hole that is off along and across is left out with both its numbers: of holes that would all meet but for it the bridge is moved to where they do,
// from wherever it lies.
func TestTheHoleThatIsWrongTellsNothing(t *testing.T) {
	for wrong := 1; wrong <= 5; wrong++ {
		k := kitOf(spoiled(t, "hole=1.5"))
		c := k.criterion(fit.BridgeHoleMismatch)
		away := [fit.Moves]float64{fit.BridgeAlong: 0.35, fit.BridgeAcross: -0.6, fit.BridgeTurn: 0.25}
		for e := c.first; e < c.last; e++ {
			at := &k.model.Elements[e]
			if at.Value = dot(&k.model.Response[e], &away); at.Mark == wrong {
				at.Value += []float64{2, -2.3}[(e-c.first)%2]
			}
		}
		d := k.plugOne(&candidate{})
		if d == nil {
			t.Fatal("no such plan")
		}
		for m, by := range away {
			if math.Abs(d.moves[m]+by) > 1e-9 {
				t.Errorf("hole %d is wrong: moved by %v, want back from %v", wrong, d.moves, away)
				break
			}
		}
		for holes, told := range map[int]bool{2: false, 3: true} { // two holes tell of none of them that it is wrong
			if c.last = c.first + 2*holes; (k.plugOne(&candidate{}) != nil) != told {
				t.Errorf("of %d holes one is left out: %v", holes, !told)
			}
		}
	}
}

// String holes are drawn out by 0.3 mm or drilled anew where any of what tells of them does not pass; a bridge without string holes has none to drill.
func TestWhatIsTriedForStrings(t *testing.T) {
	for _, id := range []fit.ID{fit.StringHolePitch, fit.PlateHoleMismatch, 0} {
		k := kitOf(bass())
		if c := k.criterion(id); id != 0 && c != nil {
			c.p, c.judged = 0.5, true
		}
		list := k.strings()
		if id == 0 && list == nil {
			continue
		}
		if len(list) != 2 || list[0].actions[0] != (Action{Work: measure.SlotStrings, Size: 0.3}) || list[0].room.strings != 0.3 || list[1].actions[0].Work != measure.PlugStrings || !list[1].newStrings || list[0].newStrings {
			t.Errorf("%v: %+v", id, list)
		}
	}
	in := bass()
	for _, without := range []bool{false, true} {
		read := simulate.LooseParts(in, nil, simulate.Setup{Exact: true})
		if without {
			read = slices.DeleteFunc(read, func(r measure.Reading) bool { return r.Feature == measure.StringHole })
		}
		k := newKit(fit.Check(in.Kit("K", read), fit.Options{Model: true, Compensation: in.Compensation}), newStock(Options{}))
		d, _ := k.candidateOf([]Action{{Work: measure.PlugBridge, Across: 3}})
		if d.newStrings == without || !d.newBridge {
			t.Errorf("without string holes %v: %+v", without, d)
		}
	}
}

// A search starts from what may be done beside the heel, each with the bridge moved within its holes, and from what is left for the heel to do when the
// bridge takes its share, each with the bridge moved in every way; where nothing of a bridge is wrong it is not drilled. Each is there once.
func TestWhatASearchStartsFrom(t *testing.T) {
	apart := 0
	for _, faults := range []string{"gap=0.9;miss=2", "gap=0.9;hole=1.5", "gap=0.3;miss=1.2;skew=0.4;screw=0.8", "gap=0.9"} {
		k := kitOf(spoiled(t, faults))
		bases := k.bases()
		there := func(d *candidate) {
			t.Helper()
			if d == nil {
				return
			}
			if n := len(slices.DeleteFunc(slices.Clone(bases), func(b *candidate) bool { return !b.like(d) })); n != 1 {
				t.Errorf("%q: %+v is there %d times", faults, d.actions, n)
			}
		}
		free := with(k.lateral(all), k.lateral(screwless)...)
		for _, d := range free {
			there(d)
			there(k.moveBridge(d, measure.BridgeMove))
		}
		drilled := slices.ContainsFunc(bases, func(d *candidate) bool { return d.newBridge })
		if drilled != k.trouble(k.ofBridge) {
			t.Errorf("%q: the bridge is drilled anew: %v", faults, drilled)
		}
		for _, d := range k.lateral(func(c *criterion) bool { return !k.ofBridge(c) }) {
			if !drilled {
				continue
			}
			if !slices.ContainsFunc(free, d.like) {
				apart++
			}
			for _, work := range []measure.Work{measure.BridgeMove, measure.SlotBridge, measure.PlugBridge} {
				there(k.moveBridge(d, work))
			}
			there(k.plugOne(d))
		}
	}
	if apart == 0 {
		t.Error("nothing is left for a heel that a bridge takes a share of")
	}
}

// A search counts what is judged, what a work could change and what it was asked for, and nothing else.
func TestWhatASearchCounts(t *testing.T) {
	k := kitOf(roomy(0.9))
	count := func() int {
		o := k.objective(&candidate{}, all)
		return len(o.criteria) + len(o.gaps)
	}
	whole := count()
	for _, id := range []fit.ID{fit.CentreLineError, fit.PocketGapMouth} {
		c := k.criterion(id)
		for _, spoil := range []*bool{&c.judged, &c.movable} {
			if *spoil = false; count() != whole-1 {
				t.Errorf("%v: %d of %d are counted", id, count(), whole)
			}
			*spoil = true
		}
	}
	if o := k.objective(&candidate{}, func(c *criterion) bool { return c.id == fit.CentreLineError }); len(o.criteria) != 1 || len(o.gaps) != 0 || o.base != 0 {
		t.Errorf("%+v", o)
	}
}

// How far works go, at their ends: a heel is shortened by 6 mm at the most; corners are rounded by 5; a bridge is moved by 15 mm and turned by 3 degrees at the most, and
// beyond 3 mm the parts are asked for; over the holes that are right it moves by a millimetre and a half.
func TestHowFarWorksGo(t *testing.T) {
	if d := kitOf(spoiled(t, "heel-long=9")).trim(); d == nil || math.Abs(d.trimmed-6) > 1e-9 {
		t.Errorf("a heel that is 9 mm too long: %+v", d)
	}
	if d := kitOf(bass()).trim(); d != nil {
		t.Errorf("a heel that is right is shortened by %g", d.trimmed)
	}
	rounded := func(pocket float64) float64 {
		in := bass()
		in.HeelRadius, in.PocketRadius = 3, pocket
		for _, d := range kitOf(in).corners() {
			if d.actions[0].Work == measure.EaseCorner {
				return d.actions[0].Size
			}
		}
		return 0
	}
	least := rounded(5)
	if a, b := rounded(5+(5-least)), rounded(5+(5.5-least)); a != 5 || b != 0 {
		t.Errorf("corners are rounded by %g and %g where it takes 5 and 5.5", a, b)
	}
	for _, c := range []struct{ miss, skew, across, turn float64 }{{20, 0, 15, 0}, {14, 0, 14, 0}, {4, 5, 4, 3}, {4, 2.5, 4, 2.5}} {
		in := bass()
		in.CentreLineError, in.BridgeSkew = c.miss, c.skew
		d := kitOf(in).moveBridge(&candidate{}, measure.PlugBridge)
		if d == nil || math.Abs(math.Abs(d.moves[fit.BridgeAcross])-c.across) > 0.3 || math.Abs(math.Abs(d.moves[fit.BridgeTurn])-c.turn) > 0.4 || math.Abs(d.moves[fit.BridgeAcross]) > 15 || math.Abs(d.moves[fit.BridgeTurn]) > 3 {
			t.Errorf("%+v: moved %v", c, d.moves)
		}
	}
	for off, goes := range map[float64]bool{7.2: true, 7.9: false} { // a fifth of it
		in := bass()
		in.BridgeHoleErrors = map[int]simulate.Point{2: {Station: off}}
		if d := kitOf(in).plugOne(&candidate{}); (d != nil) != goes {
			t.Errorf("a hole that is off by %g: moved %v", off, d != nil)
		}
	}
	r, _ := adviceOf(bass())
	for across, asks := range map[float64]bool{2.9: false, 3.1: true, -3.1: true} {
		p, _ := Try(r, []Action{{Work: measure.PlugBridge, Across: across}}, Options{})
		if slices.Contains(p.Asks, FarBridge) != asks {
			t.Errorf("%g mm: asks %v", across, p.Asks)
		}
	}
}

// Holes drilled anew, by the distribution of a length of two normal errors: what all of them keep to in half of the cases, and half of what lies between the sixth
// below and the sixth above, one standard deviation of a normal law either way.
func TestHolesDrilledAnew(t *testing.T) {
	k := kitOf(bass())
	c := k.criterion(fit.BridgeHoleMismatch)
	d := (&candidate{}).with(Action{Work: measure.PlugBridge})
	d.newBridge = true
	n := float64(c.last-c.first) / 2
	each := k.std(measure.PlugBridge)
	keep := func(p float64) float64 { return each * math.Sqrt(-2*math.Log(1-math.Pow(p, 1/n))) }
	value, std, p := k.renewed(c, d)
	below := distuv.UnitNormal.CDF(-1)
	if math.Abs(value-keep(0.5)) > 1e-4*value || math.Abs(std-(keep(1-below)-keep(below))/2) > 1e-3*std {
		t.Errorf("%.5f and %.5f, by hand %.5f and %.5f", value, std, keep(0.5), (keep(1-below)-keep(below))/2)
	}
	if want := math.Pow(1-math.Exp(-c.upper*c.upper/(2*each*each)), n); math.Abs(p-want) > 1e-9 {
		t.Errorf("all inside with %.6f, by hand %.6f", p, want)
	}
}
