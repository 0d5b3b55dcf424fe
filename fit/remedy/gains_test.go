package remedy

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/measure"
)

// plainKit is a roomy bass of which nothing is judged yet, worked by a hand that never errs.
func plainKit() *kit {
	k := newKit(surveyOf(roomy(1)), newStock(Options{}))
	for i := range k.criteria {
		k.criteria[i].judged = false
	}
	for w := range k.costs {
		k.costs[w] = measure.Cost{Work: w}
	}
	return k
}

// judge makes a characteristic one number that answers to some moves, judged by limits with a standard uncertainty.
func (k *kit) judge(id fit.ID, value, std, lower, upper float64, by map[fit.Move]float64) *criterion {
	c := k.criterion(id)
	c.taken, c.last, c.std, c.lower, c.upper = fit.Alone, c.first+1, std, lower, upper
	c.judged, c.movable, c.still, c.p = true, true, false, 0
	k.model.Elements[c.first].Value = value
	k.model.Response[c.first] = [fit.Moves]float64{}
	for m, x := range by {
		k.model.Response[c.first][m] = x
	}
	return c
}

// What fails once in fifty thousand times or more is drawn, of two holes or strings each half as seldom.
func TestWhatIsAsGoodAsSure(t *testing.T) {
	for _, c := range []struct {
		fails float64
		n     int
		drawn bool
	}{{2.1e-5, 1, true}, {1.9e-5, 1, false}, {1.05e-5, 2, true}, {0.95e-5, 2, false}} {
		k := plainKit()
		one := k.judge(fit.SaddleReserveFront, 0, 1, math.Inf(-1), -distuv.UnitNormal.Quantile(c.fails), map[fit.Move]float64{fit.BridgeAlong: 1})
		if one.last = one.first + c.n; c.n == 2 {
			one.taken, k.model.Elements[one.first+1].Value, k.model.Covariance[one.first][one.first] = fit.LeastOf, 9, 1
		}
		if drawn := len(k.doubtful(&candidate{})) == 1; drawn != c.drawn {
			t.Errorf("%+v: drawn %v", c, drawn)
		}
	}
}

// A way of moving a bridge that makes it likelier to pass by less than half a hundredth is taken back: from a half, by the normal distribution.
func TestABridgeStaysForNextToNothing(t *testing.T) {
	for _, m := range []fit.Move{fit.BridgeTurn, fit.BridgeAcross, fit.BridgeAlong} {
		for gain, stays := range map[float64]bool{0.0045: true, 0.0055: false} {
			for _, way := range []float64{1, -1} {
				k := plainKit()
				k.judge(fit.CentreLineError, 0, 1, 0, math.Inf(1), map[fit.Move]float64{m: way})
				d := &candidate{}
				d.moves[m] = way * distuv.UnitNormal.Quantile(0.5*math.Exp(gain))
				k.objective(d, all).stay(d)
				if (d.moves[m] == 0) != stays {
					t.Errorf("%v: a gain of %g leaves %g", m, gain, d.moves[m])
				}
			}
		}
	}
}

// The second and third time round a way of moving a bridge follows what the others changed by an eighth of its bound each: 2 x 3/8 of a degree for a turn that
// a shift of 10 mm asks for and that would be 2 degrees.
func TestABridgesWaysFollowEachOther(t *testing.T) {
	for _, way := range []float64{1, -1} {
		k := plainKit()
		k.judge(fit.CentreLineError, -10*way, 0.1, -1, 1, map[fit.Move]float64{fit.BridgeAcross: 1})
		k.judge(fit.BridgeSkew, 0, 0.1, -0.2, 0.2, map[fit.Move]float64{fit.BridgeTurn: 1, fit.BridgeAcross: 0.2})
		d := k.moveBridge(&candidate{}, measure.PlugBridge)
		if d == nil || math.Abs(-way*d.moves[fit.BridgeTurn]-0.725) > 0.0251 || math.Abs(way*d.moves[fit.BridgeAcross]-9.5) > 0.75 || d.moves[fit.BridgeAlong] != 0 {
			t.Errorf("moved by %v", d.moves)
		}
	}
}

// A heel is not shortened, nor a thicker shim laid under it, for a gain of less than a thousandth. A normal number is below 3 standard deviations but for 1.35
// thousandths, below 3.2 but for 0.69, below 3.5 but for 0.23.
func TestWhatAGainIsWorth(t *testing.T) {
	for z, worth := range map[float64]bool{3: true, 3.2: false} {
		k := plainKit()
		if k.judge(fit.SaddleReserveFront, z, 1, 0, math.Inf(1), map[fit.Move]float64{fit.HeelAlong: 1}); (k.trim() != nil) != worth {
			t.Errorf("%g deviations inside: shortened %v", z, !worth)
		}
		k = plainKit()
		k.pieces[measure.FloorStock] = []measure.Stock{{Size: 0.5}, {Size: 1}}
		k.judge(fit.SaddleReserveFront, z-0.5, 1, 0, math.Inf(1), map[fit.Move]float64{fit.FloorAll: 1})
		want := 0.5
		if worth {
			want = 1
		}
		if list := k.heights(); len(list) == 0 || list[0].actions[0].Size != want {
			t.Errorf("%g deviations inside: %v", z, list[0].actions)
		}
	}
	k := plainKit()
	if d := k.trim(); d != nil {
		t.Errorf("where nothing answers the heel is shortened by %g", d.trimmed)
	}
}

// A further work must make the whole likelier by a hundredth, as a share: by the normal distribution, from a half. One that does not is none, be it the first or the last.
func TestWhatAFurtherWorkMustBring(t *testing.T) {
	k := plainKit()
	k.judge(fit.SaddleReserveFront, 0, 1, 0, math.Inf(1), map[fit.Move]float64{fit.FloorAll: 1})
	way := func(gain float64) *candidate {
		return k.flat(measure.Stock{Size: distuv.UnitNormal.Quantile(0.5 * math.Exp(gain))})
	}
	for _, c := range []struct {
		gains []float64
		want  int
	}{{nil, 0}, {[]float64{0.0095}, 0}, {[]float64{0.0105}, 1}, {[]float64{0.0095, 0.009}, 0}, {[]float64{-0.1, 0.0105}, 1}, {[]float64{0.0105, -0.1}, 1}} {
		var ways []*candidate
		for _, g := range c.gains {
			ways = append(ways, way(g))
		}
		if got := k.alternatives(&candidate{}, ways, all); len(got) != c.want {
			t.Errorf("%v: %d are worth it", c.gains, len(got))
		}
	}
}

// Leaf by leaf a heel goes where each leaf makes it likelier by a thousandth: with half a standard deviation a leaf from 2 to 3.5, since 4 is likelier by 0.2
// thousandths only, or as far as its gap lets it; the other end stays where it is, in whole leaves or not.
func TestAHeelGoesLeafByLeaf(t *testing.T) {
	logCDF := func(z float64) float64 { return math.Log(distuv.UnitNormal.CDF(z)) }
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		for _, c := range []struct{ gap, from, to float64 }{{1, 0, 0.15}, {0.24, 0, 0.1}, {1, 0.02, 0.15}} {
			for _, way := range []float64{1, -1} {
				k := plainKit()
				k.gaps[i] = c.gap
				k.judge(fit.CentreLineError, 2, 1, 0, math.Inf(1), map[fit.Move]float64{m: 10 * way})
				o := k.objective(&candidate{}, all)
				o.vary(&candidate{}, fit.HeelMouth, fit.HeelEnd, fit.HeelAlong)
				s := seating{u: -0.12, v: -0.12, score: 7}
				at, other := &s.u, &s.v
				if i == 1 {
					at, other = other, at
				}
				*at = c.from * way
				k.refine(o, &s)
				if math.Abs(*at-c.to*way) > 1e-12 || *other != -0.12 || math.Abs(s.score-7-logCDF(2+10*c.to)+logCDF(2+10*c.from)) > 2e-4 {
					t.Errorf("%v in %g: %+v", m, c.gap, s)
				}
			}
		}
	}
}

// The corners of a heel's end, point by point: turned about the middle of the mouth, shifted along the centre line's normal, slid along the heel until each meets
// the pocket's end. Where one of the lines is not known, or the heel's side runs along its end, nothing is known of the corners.
func TestCornersPointByPoint(t *testing.T) {
	through := func(a, b Point) *fit.Line {
		d := b.minus(a)
		n := Point{d.Y / d.length(), -d.X / d.length()} // tailward of a line from bass to treble
		return &fit.Line{NX: n.X, NY: n.Y, D: n.X*a.X + n.Y*a.Y}
	}
	mouth := Point{500, 3}
	corners := [2]Point{{571, -28}, {569, 33}}
	stop := [2]Point{{574, -40}, {570, 40}}
	lines := func() *fit.Geometry {
		return &fit.Geometry{
			Centre: &fit.Line{NX: -math.Sin(0.2), NY: math.Cos(0.2)}, PocketEnd: through(stop[0], stop[1]), HeelEnd: through(corners[0], corners[1]),
			Heel: [2]*fit.Line{through(Point{500, -27}, corners[0]), through(Point{500, 34}, corners[1])},
		}
	}
	k := plainKit()
	k.play.MouthX, k.play.MouthY, k.play.Length, k.ends = mouth.X, mouth.Y, 70, nil
	if k.findCorners(lines()); k.ends == nil {
		t.Fatal("the corners are not known")
	}
	cross := func(a, b Point) float64 { return a.X*b.Y - a.Y*b.X }
	for _, turn := range []float64{-0.3, -0.1, 0, 0.2} {
		for _, shift := range []float64{-5, 0, 4} {
			var slides []float64
			sin, cos := math.Sincos(turn)
			for _, p := range corners {
				d := p.minus(mouth)
				at := Point{mouth.X + cos*d.X - sin*d.Y - shift*math.Sin(0.2), mouth.Y + sin*d.X + cos*d.Y + shift*math.Cos(0.2)}
				along := stop[1].minus(stop[0])
				slides = append(slides, cross(stop[0].minus(at), along)/cross(Point{cos, sin}, along))
			}
			least, greatest := k.endGaps(shift, shift+70*turn)
			if math.Abs(least-slices.Min(slides)) > 1e-9 || math.Abs(greatest-slices.Max(slides)) > 1e-9 {
				t.Errorf("turned by %g, shifted by %g: %g and %g, point by point %v", turn, shift, least, greatest, slides)
			}
		}
	}
	for name, spoil := range map[string]func(g *fit.Geometry){
		"centre": func(g *fit.Geometry) { g.Centre = nil }, "pocket's end": func(g *fit.Geometry) { g.PocketEnd = nil }, "heel's end": func(g *fit.Geometry) { g.HeelEnd = nil },
		"bass side": func(g *fit.Geometry) { g.Heel[0] = nil }, "treble side": func(g *fit.Geometry) { g.Heel[1] = nil }, "a side along the end": func(g *fit.Geometry) { g.Heel[1] = g.HeelEnd },
	} {
		g := lines()
		spoil(g)
		k.ends = nil
		if k.findCorners(g); k.ends != nil {
			t.Errorf("%s: %+v", name, k.ends)
		}
	}
}

// What fails whatever is done, at a probability of a twentieth from both sides; what waits for readings unless something cannot be cured anyhow; and what
// passes one by one, but not together.
func TestVerdictByHand(t *testing.T) {
	type ps = map[fit.ID]float64
	for name, c := range map[string]struct {
		best     ps // of the likeliest plan
		together float64
		cannot   []Incurable
		waits    []Wait
	}{
		"one cannot":     {ps{fit.FretError: 0.049}, 0.2, []Incurable{{ID: fit.FretError, Cause: Unchanged}}, nil},
		"one can":        {ps{fit.FretError: 0.051}, 0.051, nil, nil},
		"one waits":      {ps{fit.CentreLineError: 0.049, fit.FretError: 0.3}, 0.02, nil, []Wait{{fit.CentreLineError, HeelUntried}}},
		"one does not":   {ps{fit.CentreLineError: 0.049, fit.FretError: 0.049}, 0.02, []Incurable{{ID: fit.FretError, Cause: Unchanged}}, nil},
		"not together":   {ps{fit.CentreLineError: 0.3, fit.FretError: 0.3}, 0.049, []Incurable{{Cause: NotTogether}}, nil},
		"just together":  {ps{fit.CentreLineError: 0.3, fit.FretError: 0.3}, 0.051, nil, nil},
		"a limit itself": {ps{fit.FretError: hopeless}, hopeless, []Incurable{{ID: fit.FretError, Cause: Unchanged}}, nil},
	} {
		k := plainKit()
		k.play = nil
		plan, worse := &Plan{Curable: c.together}, &Plan{Curable: c.together / 2}
		for i := range k.criteria {
			cr := &k.criteria[i]
			if p, ok := c.best[cr.id]; ok {
				cr.judged = true
				plan.Predicted, worse.Predicted = append(plan.Predicted, Predicted{Index: cr.index, P: p}), append(worse.Predicted, Predicted{Index: cr.index, P: p / 2})
			}
		}
		var a Advice
		if k.verdict(&a, []weighed{{plan: plan}, {plan: worse}}); !slices.Equal(a.Cannot, c.cannot) || !slices.Equal(a.Waits, c.waits) {
			t.Errorf("%s: %+v, %+v", name, a.Cannot, a.Waits)
		}
	}
}

// What a bridge is moved by to the step where its limits are narrow, across and in turn; one that stays where it is is no move, but its holes may be
// drawn out or drilled anew there, where any of them are judged.
func TestABridgeGoesWhereItIsAskedTo(t *testing.T) {
	for n := -80; n <= 80; n += 7 {
		at := float64(n) / 20
		k := plainKit()
		k.judge(fit.CentreLineError, -at, 0.02, -0.05, 0.05, map[fit.Move]float64{fit.BridgeAcross: 1})
		k.judge(fit.BridgeSkew, at/2, 0.02, -0.05, 0.05, map[fit.Move]float64{fit.BridgeTurn: 1})
		d := k.moveBridge(&candidate{}, measure.PlugBridge)
		if d == nil || math.Abs(d.moves[fit.BridgeAcross]-at) > 1e-9 || math.Abs(d.moves[fit.BridgeTurn]+at/2) > 0.0251 {
			t.Errorf("asked for %g and %g: moved by %v", at, -at/2, d.moves)
		}
	}
	for m, id := range map[fit.Move]fit.ID{fit.BridgeAcross: fit.CentreLineError, fit.BridgeTurn: fit.BridgeSkew, fit.BridgeAlong: fit.SaddleReserveFront} { // one way by itself
		k := plainKit()
		k.judge(id, -0.6, 0.02, -0.05, 0.05, map[fit.Move]float64{m: 1})
		if d := k.moveBridge(&candidate{}, measure.PlugBridge); d == nil || math.Abs(d.moves[m]-0.6) > 0.051 {
			t.Errorf("asked for %v alone: %+v", m, d)
		}
	}
	for _, c := range []struct {
		work   measure.Work
		judged fit.ID
		done   bool
	}{
		{measure.PlugBridge, fit.FretError, false}, {measure.PlugBridge, fit.BridgeHoleMismatch, true}, {measure.PlugBridge, fit.StringHolePitch, true},
		{measure.SlotBridge, fit.BridgeHoleMismatch, true}, {measure.SlotBridge, fit.StringHolePitch, false}, {measure.BridgeMove, fit.BridgeHoleMismatch, false},
	} {
		k := plainKit()
		k.criterion(c.judged).judged = true
		if d := k.moveBridge(&candidate{}, c.work); (d != nil) != c.done {
			t.Errorf("%+v: %v", c, d != nil)
		}
	}
}

// Which readings tell where a bridge's holes are: the bridge's and the neck's place, and holes of either kind.
func TestHolesUnread(t *testing.T) {
	screw, str := fit.Place{Feature: measure.BridgeScrew}, fit.Place{Feature: measure.StringHole}
	bridge, centre := &fit.Reference{}, &fit.Line{NY: 1}
	for i, c := range []struct {
		g      fit.Geometry
		unread bool
	}{
		{fit.Geometry{Bridge: bridge, Centre: centre, Places: []fit.Place{screw}}, false}, {fit.Geometry{Bridge: bridge, Centre: centre, Places: []fit.Place{str}}, false}, {fit.Geometry{Bridge: bridge, Centre: centre, Places: []fit.Place{screw, str}}, false},
		{fit.Geometry{Bridge: bridge, Centre: centre}, true}, {fit.Geometry{Centre: centre, Places: []fit.Place{screw, str}}, true}, {fit.Geometry{Bridge: bridge, Places: []fit.Place{screw, str}}, true},
	} {
		if k := (&kit{model: &fit.Model{Geometry: &c.g}}); k.holesUnread() != c.unread {
			t.Errorf("%d: unread %v", i, !c.unread)
		}
	}
}

// Gaps that were felt before a heel's end, point by point: a corner beside the middle swings away from the end on the one side, and toward it on the other. Where
// nothing was felt, both corners touch.
func TestFeltGapsPointByPoint(t *testing.T) {
	k := plainKit()
	k.ends, k.half = nil, 31
	for _, felt := range []bool{true, false} {
		k.play.Felt, k.play.Length, k.play.Ahead, k.play.Beside = felt, 60, [2]float64{0.3, 0.5}, [2]float64{-28, 32}
		at, beside := k.play.Ahead, k.play.Beside
		if !felt {
			at, beside = [2]float64{}, [2]float64{-31, 31}
		}
		for _, turn := range []float64{-0.01, -0.001, 0, 0.002, 0.01} {
			var gaps []float64
			for i := range at {
				gaps = append(gaps, at[i]+math.Sin(turn)*beside[i])
			}
			least, greatest := k.endGaps(0.2, 0.2+60*turn)
			if math.Abs(least-slices.Min(gaps)) > 1e-5 || math.Abs(greatest-slices.Max(gaps)) > 1e-5 {
				t.Errorf("felt %v, turned by %g: %g and %g, point by point %v", felt, turn, least, greatest, gaps)
			}
		}
	}
}

// Without a pocket to move it in no turn or slide of the heel is a cure, of the bridge it is; with one, turns are.
func TestWhatCouldBeCured(t *testing.T) {
	for m, want := range map[fit.Move][2]bool{fit.HeelMouth: {false, true}, fit.HeelEnd: {false, true}, fit.HeelAlong: {false, false}, fit.BridgeAcross: {true, true}, fit.FloorAll: {true, true}} {
		k := plainKit()
		k.judge(fit.CentreLineError, 0, 1, 0, 1, map[fit.Move]float64{m: 1})
		at := slices.IndexFunc(k.criteria, func(c criterion) bool { return c.id == fit.CentreLineError })
		with := k.newCriterion(at)
		k.play = nil
		if without := k.newCriterion(at); without.movable != want[0] || with.movable != want[1] || without.still || with.still {
			t.Errorf("%v: %v without a pocket, %v with one", m, without.movable, with.movable)
		}
	}
}

// A heel is shortened by 0.4 mm at the least: where 0.2 would be right 0.4 is as wrong as nothing.
func TestTheLeastTrim(t *testing.T) {
	for wanted, by := range map[float64]float64{0.2: 0, 0.4: 0.4, 0.5: 0.5} {
		k := plainKit()
		k.judge(fit.SaddleReserveFront, -wanted, 0.05, -0.12, 0.12, map[fit.Move]float64{fit.HeelAlong: 1})
		got := 0.0
		if d := k.trim(); d != nil {
			got = d.trimmed
		}
		if math.Abs(got-by) > 1e-9 {
			t.Errorf("where %g would be right: %g, by hand %g", wanted, got, by)
		}
	}
}

// Wedges are tried either way round: half a degree lifts the heel's end, over the 60 mm from the mouth, or the mouth and not the end.
func TestWedgesEitherWayRound(t *testing.T) {
	thick := 60 * math.Tan(math.Pi/360)
	for _, way := range []float64{1, -1} {
		k := plainKit()
		k.pieces = map[measure.StockKind][]measure.Stock{measure.WedgeStock: {{Angle: 0.5}}}
		k.judge(fit.SaddleReserveFront, 0, 0.2, 0, math.Inf(1), map[fit.Move]float64{fit.FloorEnd: way})
		list := k.heights()
		at := slices.IndexFunc(list, func(d *candidate) bool { return d.actions[0].Turn*way > 0 })
		if at < 0 {
			t.Fatalf("%g: none", way)
		}
		if d := list[at]; math.Abs(d.actions[0].Turn-way/2) > 1e-9 || math.Abs(d.moves[fit.FloorEnd]-way*thick) > 1e-6 || math.Abs(d.moves[fit.FloorAll]-max(0, -way)*thick) > 1e-6 {
			t.Errorf("%g: %+v, moved %v", way, d.actions, d.moves)
		}
	}
}

// A pocket is snug where both of its gaps pass.
func TestASnugPocket(t *testing.T) {
	r := surveyOf(bass())
	for _, c := range []struct {
		mouth, end float64
		snug       bool
	}{{0.951, 0.951, true}, {0.949, 0.99, false}, {0.99, 0.949, false}, {0.5, 0.5, false}} {
		r.Characteristics[fit.PocketGapMouth].P, r.Characteristics[fit.PocketGapEnd].P = c.mouth, c.end
		if k := newKit(r, newStock(Options{})); k.snug != c.snug {
			t.Errorf("%+v: %v", c, k.snug)
		}
	}
}
