package remedy

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// causes are how many independent errors a made-up kit's readings have.
const causes = 5

// madeUp is a kit of some characteristics whose responses and errors are any numbers: by[e][i] is what the i-th of its independent errors
// does to element e. What a bridge is laid by answers to its own move alone.
func madeUp(seed uint64) (k *kit, by [][causes]float64) {
	rng := seeded(seed)
	k = &kit{stock: newStock(Options{}), result: &fit.Result{}, model: &fit.Model{Geometry: &fit.Geometry{}}}
	for _, c := range []struct {
		id    fit.ID
		taken fit.Taken
		marks []int
	}{
		{fit.BridgeHoleMismatch, fit.LongestOf, []int{1, 1, 2, 2}}, {fit.NeckScrewMismatch, fit.LongestOf, []int{1, 1, 2, 2}}, {fit.PlateHoleMismatch, fit.LongestOf, []int{1, 1, 2, 2}},
		{fit.CentreLineError, fit.Alone, []int{0}}, {fit.BridgeSkew, fit.Alone, []int{0}}, {fit.SaddleReserveFront, fit.LeastOf, []int{1, 2}}, {fit.CornerReserve, fit.LeastOf, []int{0, 1}}, {fit.PocketGapMouth, fit.Alone, []int{0}},
	} {
		one := criterion{id: c.id, taken: c.taken, first: len(by), last: len(by) + len(c.marks)}
		for _, mark := range c.marks {
			var errors [causes]float64
			var response [fit.Moves]float64
			for i := range errors {
				errors[i] = 0.1 * rng.NormFloat64()
				one.std = math.Hypot(one.std, errors[i])
			}
			for m := range response {
				response[m] = rng.NormFloat64()
			}
			if own, aims := map[fit.ID]fit.Move{fit.CentreLineError: fit.BridgeAcross, fit.BridgeSkew: fit.BridgeTurn, fit.SaddleReserveFront: fit.BridgeAlong}[c.id]; aims {
				clear(response[fit.BridgeAlong : fit.BridgeTurn+1])
				response[own] = -0.8
			}
			by, k.model.Response = append(by, errors), append(k.model.Response, response)
			k.model.Elements = append(k.model.Elements, fit.Element{Mark: mark, Value: 0.3 * rng.NormFloat64()})
		}
		if c.id == fit.PocketGapMouth {
			one.gap = [2]float64{0.7, 0.3}
		}
		k.criteria = append(k.criteria, one)
	}
	for _, a := range by {
		var line []float64
		for _, b := range by {
			sum := 0.0
			for i := range a {
				sum += a[i] * b[i]
			}
			line = append(line, sum)
		}
		k.model.Covariance = append(k.model.Covariance, line)
	}
	return k, by
}

// anyNoise is what a hand may do, heel and bridge at once.
func anyNoise(rng *rand.Rand) (list []noise) {
	for range 3 {
		var n noise
		for m := range n.moves {
			n.moves[m] = 0.1 * rng.NormFloat64()
		}
		n.wider, n.corner = [2]float64{0.1 * rng.NormFloat64(), 0.1 * rng.NormFloat64()}, 0.1*rng.NormFloat64()
		list = append(list, n)
	}
	return list
}

// The circle of a hole, cause by cause, each a thousandth of its standard deviation: the plate is carried and turned point by point to where centre line,
// skew and the mean of the reserves come out as planned, and so is the paper by the hand; what lies between the two adds up over the causes.
func TestCirclesCauseByCause(t *testing.T) {
	const small = 1e-3
	for seed := range uint64(3) {
		k, by := madeUp(seed)
		for i, w := range []measure.Work{measure.PlugBridge, measure.PlugNeck, measure.PlugStrings} {
			k.costs[w] = measure.Cost{Work: w, Worst: 0.3 * float64(i+1)}
		}
		sin, cos := math.Sincos(0.1 * float64(seed))
		middle := Point{900, 12}
		s := &scheduler{kit: k, placed: &fit.Geometry{Centre: &fit.Line{NX: -sin, NY: cos}, Bridge: &fit.Reference{X: middle.X, Y: middle.Y}}}
		first := map[measure.Feature]int{measure.BridgeScrew: 0, measure.HeelScrew: 4, measure.StringHole: 8}
		drill := map[measure.Feature]float64{measure.BridgeScrew: 0.1, measure.HeelScrew: 0.2, measure.StringHole: 0.3}
		const line, skew, front = 12, 13, 14
		carried := func(p Point, along, across, degrees float64) Point {
			a, b := math.Sincos(degrees * math.Pi / 180)
			x, y := p.X-middle.X, p.Y-middle.Y
			return Point{middle.X + along*cos - across*sin + b*x - a*y, middle.Y + along*sin + across*cos + a*x + b*y}
		}
		for feature, drilled := range drill {
			for _, newBridge := range []bool{true, false} {
				h := &Hole{Feature: feature, Mark: 2, New: Point{940, -20}}
				d := &candidate{newBridge: newBridge, noise: anyNoise(seeded(seed + 50))}
				xx, yy, xy := drilled*drilled, drilled*drilled, 0.0
				cause := func(errors func(e int) float64, hand [fit.Moves]float64) {
					at, right := h.New, h.New
					off := func(e int) float64 { // what the hand does at the heel, and the reading's error
						sum := errors(e)
						for _, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd, fit.HeelAlong, fit.FloorEnd, fit.FloorAll} {
							sum += k.model.Response[e][m] * hand[m]
						}
						return small * sum
					}
					e := first[feature] + 2 // the second hole
					if feature == measure.HeelScrew {
						right.X, right.Y = right.X+off(e), right.Y+off(e+1)
					} else {
						at = carried(at, small*hand[fit.BridgeAlong], small*hand[fit.BridgeAcross], small*hand[fit.BridgeTurn])
						if newBridge {
							right = carried(right, (off(front)+off(front+1))/2/0.8, off(line)/0.8, off(skew)/0.8)
						}
						right.X, right.Y = right.X-small*errors(e), right.Y-small*errors(e+1)
					}
					x, y := (at.X-right.X)/small, (at.Y-right.Y)/small
					xx, yy, xy = xx+x*x, yy+y*y, xy+x*y
				}
				for i := range causes {
					cause(func(e int) float64 { return by[e][i] }, [fit.Moves]float64{})
				}
				for _, n := range d.noise {
					cause(func(int) float64 { return 0 }, n.moves)
				}
				if got, want := s.within(d, h), radius(xx, yy, xy, 0.95); math.Abs(got-want) > 1e-3*want {
					t.Errorf("seed %d, %v, new bridge %v: %.5f, cause by cause %.5f", seed, feature, newBridge, got, want)
				}
			}
		}
	}
}

// Where the bridge or the centre line has no place, and where what a bridge is laid by was not read, what is left is the plate's own holes and the drill.
func TestCirclesWithoutAPlace(t *testing.T) {
	k, _ := madeUp(4)
	std, cov := k.std(measure.PlugBridge), k.model.Covariance
	alone := radius(std*std+cov[0][0], std*std+cov[1][1], cov[0][1], 0.95)
	centre, bridge := &fit.Line{NY: 1}, &fit.Reference{X: 900}
	h := &Hole{Feature: measure.BridgeScrew, Mark: 1, New: Point{940, -20}}
	check := func(name string, placed fit.Geometry, want float64) {
		t.Helper()
		s := &scheduler{kit: k, placed: &placed}
		if got := s.within(&candidate{newBridge: true, noise: anyNoise(seeded(1))}, h); math.Abs(got-want) > 1e-5 {
			t.Errorf("%s: %.5f, by hand %.5f", name, got, want)
		}
	}
	check("no bridge", fit.Geometry{Centre: centre}, alone)
	check("no centre line", fit.Geometry{Bridge: bridge}, alone)
	h.Mark = 7
	check("a hole of which nothing was read", fit.Geometry{}, radius(std*std, std*std, 0, 0.95))
	h.Mark = 1
	k.criteria = k.criteria[:1]
	s := &scheduler{kit: k, placed: &fit.Geometry{Centre: centre, Bridge: bridge}}
	if got := s.within(&candidate{newBridge: true}, h); math.Abs(got-alone) > 1e-5 {
		t.Errorf("nothing to lay a bridge by: %.5f, by hand %.5f", got, alone)
	}
	k.criteria[0].taken = fit.Alone // known as a whole, not hole by hole
	if got, want := s.within(&candidate{newBridge: true}, h), radius(std*std, std*std, 0, 0.95); math.Abs(got-want) > 1e-5 {
		t.Errorf("no hole by itself: %.5f, by hand %.5f", got, want)
	}
	if got := radius(0, 0, 0, 0.95); got != 0 {
		t.Errorf("no error at all: %g", got)
	}
	works := &Schedule{Placed: s.placed, Holes: []Hole{{Work: Fresh}, {Work: PlugFirst}, {Work: Reuse}, {Work: Abandon}, {}}}
	k.circles(&candidate{}, nil)
	k.circles(&candidate{}, works)
	for _, h := range works.Holes {
		if drilled := h.Work == Fresh || h.Work == PlugFirst; (h.Within > 0) != drilled {
			t.Errorf("%v has a circle of %g", h.Work, h.Within)
		}
	}
}

// A characteristic's variance, cause by cause: what a millionth of each, of the readings and of the hand, does to it, over a millionth.
func TestVariancesCauseByCause(t *testing.T) {
	const small = 1e-6
	for seed := range uint64(4) {
		k, by := madeUp(seed)
		rng := seeded(seed + 80)
		d := &candidate{noise: anyNoise(rng), corner: 0.2, squared: [2]float64{0.1, -0.3}}
		for m := range d.moves {
			d.moves[m] = rng.NormFloat64()
		}
		for i := range k.criteria {
			c := &k.criteria[i]
			value := func(errors func(e int) float64, hand noise) float64 {
				var list []float64
				for e := c.first; e < c.last; e++ {
					v := k.model.Elements[e].Value + small*errors(e)
					if c.id == fit.PocketGapMouth {
						v += small * (0.7*hand.wider[0] + 0.3*hand.wider[1])
					} else {
						for m, r := range k.model.Response[e] {
							v += r * (d.moves[m] + small*hand.moves[m])
						}
					}
					if c.id == fit.CornerReserve {
						v += d.corner + d.squared[e-c.first] + small*hand.corner
					}
					list = append(list, v)
				}
				switch c.taken {
				case fit.LeastOf:
					return slices.Min(list)
				case fit.LongestOf:
					return max(math.Hypot(list[0], list[1]), math.Hypot(list[2], list[3]))
				}
				return list[0]
			}
			none := func(int) float64 { return 0 }
			before, want := value(none, noise{}), 0.0
			for i := range causes {
				by := (value(func(e int) float64 { return by[e][i] }, noise{}) - before) / small
				want += by * by
			}
			for _, n := range d.noise {
				by := (value(none, n) - before) / small
				want += by * by
			}
			if got := k.variance(c, d); math.Abs(got-want) > 1e-4*want {
				t.Errorf("seed %d, %v: %.6f, cause by cause %.6f", seed, c.id, got, want)
			}
			if c.gap != [2]float64{} {
				continue
			}
			if got := k.value(c, d); math.Abs(got-before) > 1e-9 {
				t.Errorf("seed %d, %v becomes %.6f, element by element %.6f", seed, c.id, got, before)
			}
			var all []float64 // what alone makes the difference is the element that the value comes from
			for e := c.first; e < c.last; e++ {
				all = append(all, math.Abs(value(func(at int) float64 {
					if at == e {
						return 1
					}
					return 0
				}, noise{})-before))
			}
			worst := k.worstElement(c, d)
			moved := all[worst-c.first] > 0
			if c.taken == fit.LongestOf {
				moved = (worst-c.first)%2 == 0 && (moved || all[worst-c.first+1] > 0)
			}
			if !moved {
				t.Errorf("seed %d, %v: element %d is no worst: %v", seed, c.id, worst-c.first, all)
			}
		}
	}
}

// How many holes are drilled anew: all of a bridge's or a heel's but those that stay, where these are known one by one; of strings' all.
func TestHowManyHolesAreBored(t *testing.T) {
	k, _ := madeUp(5)
	for feature, n := range map[measure.Feature]int{measure.HeelScrew: 4, measure.PlateScrew: 5, measure.StringHole: 6} {
		for i := range n {
			k.model.Geometry.Places = append(k.model.Geometry.Places, fit.Place{Feature: feature, Mark: measure.Mark{Number: i + 1}})
		}
	}
	some := map[Named]bool{{Feature: measure.BridgeScrew, Mark: 1}: true, {Feature: measure.BridgeScrew, Mark: 2}: true, {Feature: measure.HeelScrew, Mark: 2}: true}
	for _, c := range []struct {
		id     fit.ID
		taken  fit.Taken
		reused map[Named]bool
		n      int
		work   measure.Work
	}{
		{fit.NeckScrewMismatch, fit.LongestOf, nil, 4, measure.PlugNeck}, {fit.NeckScrewMismatch, fit.LongestOf, some, 3, measure.PlugNeck}, {fit.NeckScrewMismatch, fit.Alone, some, 4, measure.PlugNeck},
		{fit.BridgeHoleMismatch, fit.LongestOf, nil, 5, measure.PlugBridge}, {fit.BridgeHoleMismatch, fit.LongestOf, some, 3, measure.PlugBridge}, {fit.BridgeHoleMismatch, fit.Alone, some, 5, measure.PlugBridge},
		{fit.PlateHoleMismatch, fit.LongestOf, some, 6, measure.PlugStrings},
	} {
		one := *k.criterion(c.id)
		one.taken = c.taken
		if n, std := k.bored(&one, &candidate{reused: c.reused}); n != c.n || std != k.costs[c.work].Worst/3 {
			t.Errorf("%+v: %d holes with %g mm", c, n, std)
		}
	}
	k.model.Geometry.Places = k.model.Geometry.Places[:1]
	k.model.Geometry.Places[0].Feature = measure.HeelScrew // one alone keeps to Rayleigh's median, and to its limit as often as that distribution says
	one, std := *k.criterion(fit.NeckScrewMismatch), k.costs[measure.PlugNeck].Worst/3
	one.upper = 1.5 * std
	if value, _, p := k.renewed(&one, &candidate{}); math.Abs(value-1.17741*std) > 1e-5 || math.Abs(p-(1-math.Exp(-1.125))) > 1e-9 {
		t.Errorf("one hole: %.5f with %.5f", value, p)
	}
	k.model.Geometry.Places = nil
	if value, std, p := k.renewed(k.criterion(fit.NeckScrewMismatch), &candidate{}); value != 0 || std != 0 || p != 1 {
		t.Errorf("no hole at all: %g ± %g with %g", value, std, p)
	}
}

// An objective is made ready more than once: its score is each time the sum over the characteristics as they are with the moves that do not vary.
func TestObjectivesMadeReadyAgain(t *testing.T) {
	k := misfitKit(1)
	d := &candidate{}
	d.moves[fit.HeelMouth], d.moves[fit.BridgeAcross] = 0.1, -0.2
	o := k.objective(d, all)
	for _, moves := range [][]fit.Move{{fit.BridgeTurn}, {fit.HeelMouth, fit.HeelEnd}, {fit.BridgeAcross}} {
		o.vary(d, moves...)
		var x varied
		for j, m := range moves {
			x[j] = d.moves[m]
		}
		want := 0.0
		for i := range k.criteria {
			if c := &k.criteria[i]; c.judged && c.movable && c.gap == [2]float64{} {
				want += k.scoreOf(c, d)
			}
		}
		if got := o.score(x, math.Inf(-1)); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%v: %.9f, summed up %.9f", moves, got, want)
		}
	}
}

// The bridge's turn about the neck's is all of second order that counts: with it, an element is what the moved parts say.
func TestMovesOfSecondOrder(t *testing.T) {
	k := newKit(surveyOf(roomy(1)), newStock(Options{}))
	c := k.criterion(fit.CentreLineError)
	d := &candidate{}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd], d.moves[fit.BridgeAlong] = 0.3, -0.2, 8
	exact := &candidate{exact: k.model.Values(&d.moves)}
	product := 8 * 0.5 / k.play.Length // 0.05 mm and more
	if got, want := k.value(c, d), k.value(c, exact); product < 0.05 || math.Abs(got-want) > 0.1*product {
		t.Errorf("%.4f, on the moved parts %.4f", got, want)
	}
	// A heel that lies turned takes more room across: a line square to the walls crosses it aslant.
	d = &candidate{slim: 0.2, wider: [2]float64{0.5, 0.7}}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = 3, -4
	more := 2 * k.half * (math.Hypot(1, math.Tan(7/k.play.Length)) - 1)
	for id, by := range map[fit.ID]float64{fit.PocketGapMouth: 0.5 - more, fit.PocketGapEnd: 0.7 - more, fit.PocketWidthMouth: 0.7, fit.PocketWidthEnd: 0.9} {
		c := k.criterion(id)
		if got := k.value(c, d) - k.model.Elements[c.first].Value; math.Abs(got-by) > 1e-9 || more < 0.01 {
			t.Errorf("%v grows by %.6f, by hand %.6f", id, got, by)
		}
	}
	// A heel turned by a hundredth, felt 30 mm and 28 mm beside its middle, stands 0.3 and -0.28 mm off the end: 0.58 mm apart.
	k.ends, k.play = nil, &fit.Play{Length: 70, Felt: true, Beside: [2]float64{-30, 28}}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = 0.1, -0.6
	for upper, want := range map[float64]float64{0.58: 0.5, 0.68: 0.8413447} {
		if value, std, p := k.renewed(&criterion{id: fit.EndGap, std: 0.1, lower: -1, upper: upper}, d); math.Abs(value-0.58) > 1e-9 || std != 0.1 || math.Abs(p-want) > 1e-6 {
			t.Errorf("a gap that is closed anew: %.6f ± %g, below %g with %.6f", value, std, upper, p)
		}
	}
}

// What is asked before a plan is carried out, one by one.
func TestWhatIsAsked(t *testing.T) {
	far, down := [fit.Moves]float64{fit.BridgeAcross: 2.5, fit.BridgeAlong: -2.5}, [fit.Moves]float64{fit.FloorAll: -0.1}
	r := surveyOf(bass())
	full := measure.Info{BridgeScrew: 3, NeckScrew: 4.5, BodyThickness: 40}
	for _, c := range []struct {
		name string
		d    candidate
		info measure.Info
		want []Ask
	}{
		{"all is known", candidate{newBridge: true, newNeck: true}, full, nil},
		{"neck's screws", candidate{newNeck: true}, measure.Info{BridgeScrew: 3}, []Ask{NeckScrewSize}},
		{"neck's screws, which stay", candidate{newBridge: true}, measure.Info{BridgeScrew: 3}, nil},
		{"bridge's screws", candidate{newBridge: true}, measure.Info{NeckScrew: 4.5}, []Ask{BridgeScrewSize}},
		{"bridge's screws, which stay", candidate{newNeck: true}, measure.Info{NeckScrew: 4.5}, nil},
		{"far", candidate{newBridge: true, moves: far}, full, []Ask{FarBridge}},
		{"far, in its own holes", candidate{moves: far}, full, nil},
		{"a deeper floor", candidate{moves: down}, full, nil},
		{"a deeper floor in what body", candidate{moves: down}, measure.Info{}, []Ask{FloorThickness}},
		{"a higher one", candidate{moves: [fit.Moves]float64{fit.FloorAll: 0.1}}, measure.Info{}, nil},
	} {
		k := newKit(r, newStock(Options{}))
		k.result.Info = c.info
		if got := k.asks(&c.d); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Why the first plan stands first, and what comes after it.
func TestWhyTheFirstPlanStandsFirst(t *testing.T) {
	for _, c := range []struct {
		faults string
		why    Reason
		first  bool // is a return
	}{{"miss=3", Cheaper, false}, {"travel=2", NothingHelps, true}, {"", NoSecond, false}} {
		_, a := adviceOf(spoiled(t, c.faults))
		p := &a.Plans[0]
		if a.Why != c.why || (p.Level == Returned) != c.first {
			t.Errorf("%q: why %v, first %v", c.faults, a.Why, p.Actions)
		}
		if c.why == NoSecond && (len(a.Plans) != 1 || p.Next != -1) {
			t.Errorf("%q: %d plans, then %d", c.faults, len(a.Plans), p.Next)
		}
		if c.why == Cheaper && a.Plans[p.Next].Level != Returned && a.Plans[p.Next].Kind == p.Kind {
			t.Errorf("%q: the same again comes next", c.faults)
		}
	}
}

// What works take and cost, by hand: a shim that is not as thick at both ends takes ten minutes more, and a wall of a pocket that is snug has its price besides.
func TestWhatWorksTake(t *testing.T) {
	k := newKit(surveyOf(bass()), newStock(Options{}))
	for work, c := range map[measure.Work][2]float64{measure.SideShim: {20, 5}, measure.RelieveWall: {30, 40}, measure.Snug: {0, 7}, measure.PlugBridge: {90, 150}, measure.Reseat: {10, 1}} {
		k.costs[work] = measure.Cost{Work: work, Minutes: c[0], Price: c[1]}
	}
	relieved := []Action{{Work: measure.RelieveWall, Wall: Bass, Mouth: 0.1}, {Work: measure.SideShim, Mouth: 0.2, End: 0.2}}
	for _, c := range []struct {
		actions        []Action
		snug           bool
		minutes, price float64
	}{
		{nil, true, 0, 0}, {relieved[1:], true, 20, 5}, {[]Action{{Work: measure.SideShim, End: 0.2}}, true, 30, 5}, {relieved, false, 50, 45}, {relieved, true, 50, 52}, {[]Action{{Work: measure.PlugBridge}, {Work: measure.Reseat, Mouth: 0.1}}, true, 100, 151},
	} {
		k.snug = c.snug
		if minutes, price := k.cost(c.actions); minutes != c.minutes || price != c.price {
			t.Errorf("%+v: %g and %g", c, minutes, price)
		}
	}
	// Two holes of five that stay save two fifths of two thirds of the drilling, and nothing of the rest. Half of the draws pass, four in five of
	// what is drilled, and half of what no work changes.
	d := &candidate{exact: k.still(), actions: []Action{{Work: measure.PlugBridge}, {Work: measure.Reseat}}, drilled: &Schedule{Holes: make([]Hole, 5)}, reused: map[Named]bool{{Mark: 1}: true, {Mark: 2}: true}}
	o := passedIn(0, draws/2)
	o.fresh, o.fixed = 0.8, 0.5
	for i := range k.criteria {
		k.criteria[i].judged, k.criteria[i].p = k.criteria[i].id == fit.CentreLineError || k.criteria[i].id == fit.BridgeSkew, 0.7
	}
	k.criterion(fit.BridgeSkew).p = 0.6
	p := k.weigh(d, o).plan
	if math.Abs(p.Minutes-(10+90*11.0/15)) > 1e-9 || math.Abs(p.Price-(1+150*11.0/15)) > 1e-9 || math.Abs(p.Curable-0.4) > 1e-12 || math.Abs(p.P-0.2) > 1e-12 || p.Level != Redrilled || p.Kind != measure.PlugBridge || p.Actions[0].Work != measure.Reseat || p.Next != -1 {
		t.Errorf("%+v", p)
	}
	if p.Weakest != (Weakest{fit.BridgeSkew, 0.6}) || len(p.Predicted) != len(k.criteria) || p.SwingStd != k.criterion(fit.CentreLineError).std {
		t.Errorf("weakest %+v, %d predicted, %g", p.Weakest, len(p.Predicted), p.SwingStd)
	}
	if p := k.weigh(&candidate{exact: k.still()}, o).plan; len(p.Actions) != 1 || p.Actions[0].Work != measure.Leave || p.Minutes != 0 || p.Level != Untouched {
		t.Errorf("%+v", p)
	}
}

// A characteristic changes where it moves by more than a tenth of its standard uncertainty, or where its limit does; else it passes as it was judged. Of holes
// drilled anew those that stay are as far off as they are.
func TestWhatIsPredicted(t *testing.T) {
	k, _ := madeUp(6)
	c := k.criterion(fit.CentreLineError)
	c.judged, c.p, c.lower, c.upper = true, 0.77, math.Inf(-1), k.model.Elements[c.first].Value
	for by, changed := range map[float64]bool{0: false, 0.099: false, -0.099: false, 0.101: true, -0.101: true, 1: true} { // in standard uncertainties; across by one moves it by -0.8
		d := &candidate{}
		d.moves[fit.BridgeAcross] = -by * c.std / 0.8
		want := 0.77
		if changed {
			want = 0.5 * math.Erfc(by/math.Sqrt2)
		}
		if got := k.predict(c, d); got.Changed != changed || math.Abs(got.P-want) > 1e-9 || math.Abs(got.Value-c.upper-by*c.std) > 1e-9 || math.Abs(got.StdUncertainty-c.std) > 1e-9 || !got.Judged {
			t.Errorf("by %g: %+v, passes by hand with %.4f", by, got, want)
		}
	}
	c.judged = false
	if got := k.predict(c, &candidate{moves: [fit.Moves]float64{fit.BridgeAcross: 1}}); got.P != 0 || !got.Changed || got.Judged {
		t.Errorf("judged by nothing: %+v", got)
	}
	n := k.criterion(fit.NeckScrewMismatch)
	n.judged, n.lower, n.upper = true, math.Inf(-1), 0.5
	if got := k.predict(n, &candidate{room: rooms{neck: 0.1}}); !got.Changed || math.Abs(got.Upper-0.6) > 1e-12 {
		t.Errorf("a limit that is wider: %+v", got)
	}
	for mark := range 2 {
		k.model.Geometry.Places = append(k.model.Geometry.Places, fit.Place{Feature: measure.HeelScrew, Mark: measure.Mark{Number: mark + 1}})
	}
	d := &candidate{newNeck: true, exact: make([]float64, len(k.model.Elements)), reused: map[Named]bool{{Feature: measure.HeelScrew, Mark: 2}: true}}
	copy(d.exact[n.first:], []float64{3, 4, 0.3, 0.4}) // the one that is drilled anew, the one that stays
	if got := k.predict(n, d); math.Abs(got.Value-0.5) > 1e-12 || math.Abs(got.P-0.5) > 1e-9 || !got.Changed {
		t.Errorf("a hole that stays on its limit: %+v", got)
	}
	d.reused = nil // all are drilled anew: what the old ones were is gone
	value, std, p := k.renewed(n, d)
	if got := k.predict(n, d); got.Value != value || got.StdUncertainty != std || got.P != p {
		t.Errorf("holes drilled anew: %+v, want %g ± %g with %g", got, value, std, p)
	}
}

// Draw by draw, what lies outside passes no more, be it the only draw of its block; what has failed before does not come back.
func TestDrawsThatAreKept(t *testing.T) {
	o := &odds{kit: &kit{}}
	c := &criterion{lower: -1, upper: 1}
	z := make([]float64, draws)
	z[0], z[1], z[63], z[64], z[128], z[129] = 3, -3, 0.9, 1.1, -1.1, -0.9
	for _, from := range [][]int{{0}, {64}, {128, 129}, {0, 1, 2, 63, 64, 65, 128, 129, draws - 1}} {
		out := &outcome{}
		for _, at := range from {
			out.passed[at/64] |= 1 << (at % 64)
		}
		o.keep(out, c, &candidate{}, []drawnElement{{causes: []cause{{1, z}}}})
		for at := range draws {
			if got, want := out.passed[at/64]>>(at%64)&1 == 1, slices.Contains(from, at) && math.Abs(z[at]) <= 1; got != want {
				t.Errorf("of %v, draw %d is kept: %v", from, at, got)
			}
		}
	}
	c.taken = fit.LongestOf // the second hole is the farther off, by as much less across as it is more along
	out := passedIn(0, draws)
	o.keep(out, c, &candidate{}, []drawnElement{{}, {}, {causes: []cause{{1, z}}}, {planned: 0.9, causes: []cause{{-1, z}}}})
	for at, x := range z {
		if got, want := out.passed[at/64]>>(at%64)&1 == 1, math.Hypot(x, 0.9-x) <= 1; got != want {
			t.Errorf("a hole's draw %d is kept: %v", at, got)
		}
	}
}

// What steers a search, by going there: the most that the centre line scores is found at a corner of the play, or at the middle of its limits where that
// lies within; a gap grows as it is told; a fault of a bridge is a hundredth at a limit, nothing in the middle, and along a hundredth for 3 mm.
func TestWhatSteersASearch(t *testing.T) {
	k, _ := madeUp(7)
	hole, line, gap := k.criterion(fit.BridgeHoleMismatch), k.criterion(fit.CentreLineError), k.criterion(fit.PocketGapMouth)
	hole.lower, hole.upper, line.lower, line.upper, gap.lower, gap.upper = math.Inf(-1), 1, -1, 2, 0, 0.4
	for _, c := range []*criterion{hole, line, gap} {
		c.judged, c.movable = true, true
	}
	if got, want := k.score(&candidate{}, func(c *criterion) bool { return c == line }), k.scoreOf(line, &candidate{}); got != want {
		t.Errorf("one that counts scores %g, and all %g", want, got)
	}
	o := k.objective(&candidate{}, all)
	o.vary(&candidate{}, fit.BridgeAcross)
	by := k.model.Response[line.first]
	at := k.model.Elements[line.first].Value
	for _, play := range [][2]float64{{0.3, 0.5}, {0.4, 0.1}, {40, 50}} {
		for _, across := range []float64{-8, 0, 3} {
			y := at - 0.8*across
			best, low, high := math.Inf(-1), math.Inf(1), math.Inf(-1)
			for _, sign := range [][2]float64{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
				there := y + by[fit.HeelMouth]*sign[0]*play[0]/2 + by[fit.HeelEnd]*sign[1]*play[1]/2
				best, low, high = max(best, logInside(there, line.std, -1, 2)), min(low, there), max(high, there)
			}
			if low <= 0.5 && high >= 0.5 {
				best = logInside(0.5, line.std, -1, 2)
			}
			if got := o.within(varied{across}, play); math.Abs(got-best) > 1e-6 {
				t.Errorf("in %v from %.2f: %.6f, at the best of its corners %.6f", play, y, got, best)
			}
		}
	}
	for _, wider := range [][2]float64{{0, 0}, {0.5, 0}, {0, 0.5}, {-0.3, 0.7}} {
		if got, want := o.ofGaps(wider), logInside(k.model.Elements[gap.first].Value+0.7*wider[0]+0.3*wider[1], gap.std, 0, 0.4); math.Abs(got-want) > 1e-9 {
			t.Errorf("gaps wider by %v: %.6f, by hand %.6f", wider, got, want)
		}
	}
	for y, want := range map[float64]float64{0.5: 0, 2: 0.01, -1: 0.01, 3.5: 0.04, 1.25: 0.0025} {
		if got := o.fault(fit.BridgeAcross, (at-y)/0.8); math.Abs(got-want) > 1e-9 {
			t.Errorf("a centre line off by %g is a fault of %g, by hand %g", y, got, want)
		}
	}
	if a, b := o.fault(fit.BridgeAlong, 3), o.fault(fit.BridgeAlong, -6); math.Abs(a-0.01) > 1e-12 || math.Abs(b-0.02) > 1e-12 {
		t.Errorf("along by 3 and -6 mm: %g and %g", a, b)
	}
	hole.lower = -1 // of several numbers none is aimed at, nor one that has a limit on one side alone
	for upper, want := range map[float64]float64{2: 0.01, math.Inf(1): 0} {
		line.upper = upper
		o := k.objective(&candidate{}, all)
		o.vary(&candidate{}, fit.BridgeAcross)
		if got := o.fault(fit.BridgeAcross, (at-2)/0.8); math.Abs(got-want) > 1e-9 {
			t.Errorf("beside holes with two limits, up to %g: a fault of %g, by hand %g", upper, got, want)
		}
	}
	hole.lower = math.Inf(-1)
	// Of these only what is judged, some work changes and is not as good as sure is drawn; of what is made anew only holes, where some stay.
	hole.upper, line.upper = 0.3, at
	some := map[Named]bool{{Feature: measure.BridgeScrew, Mark: 1}: true}
	k.criterion(fit.PlateHoleMismatch).judged, k.criterion(fit.PlateHoleMismatch).movable, gap.judged = true, true, false
	for _, c := range []struct {
		d     candidate
		spoil func()
		want  []fit.ID
	}{
		{candidate{newStrings: true}, func() {}, []fit.ID{fit.BridgeHoleMismatch, fit.CentreLineError}},
		{candidate{newStrings: true, newBridge: true}, func() {}, []fit.ID{fit.CentreLineError}},
		{candidate{newStrings: true, newBridge: true, reused: some}, func() {}, []fit.ID{fit.BridgeHoleMismatch, fit.CentreLineError}},
		{candidate{newStrings: true}, func() { line.lower, line.upper = at-3, at+3 }, []fit.ID{fit.BridgeHoleMismatch}},
		{candidate{newStrings: true}, func() { line.upper, line.judged = at, false }, []fit.ID{fit.BridgeHoleMismatch}},
		{candidate{newStrings: true}, func() { line.judged, line.movable = true, false }, []fit.ID{fit.BridgeHoleMismatch}},
	} {
		c.spoil()
		var got []fit.ID
		for _, one := range k.doubtful(&c.d) {
			got = append(got, one.id)
		}
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%+v: drawn are %v, want %v", c.d, got, c.want)
		}
	}
}

// Where a heel is stuck: at that of mouth and end where it is wider than its pocket by more, if by more than half of what is printed.
func TestWhereAHeelIsStuck(t *testing.T) {
	for _, c := range []struct {
		after *After
		at    int
		by    float64
		stuck bool
	}{
		{nil, 0, 0, false}, {&After{}, 0, 0, false}, {&After{Bass: [2]float64{-0.3, 0.1}, Treble: [2]float64{0.1, 0.1}}, 0, 0.2, true}, {&After{Bass: [2]float64{-0.3, -0.1}, Treble: [2]float64{0.1, -0.4}}, 1, 0.5, true},
		{&After{Bass: [2]float64{0, -0.2}, Treble: [2]float64{0, 0.204}}, 0, 0, false}, {&After{Bass: [2]float64{0, -0.204}, Treble: [2]float64{0, 0.2}}, 1, 0.004, false}, {&After{Bass: [2]float64{0, -0.2051}, Treble: [2]float64{0, 0.2}}, 1, 0.0051, true}, {&After{Bass: [2]float64{0, -0.2049}, Treble: [2]float64{0, 0.2}}, 1, 0.0049, false},
	} {
		if at, by, stuck := (&Plan{After: c.after}).Stuck(); at != c.at || math.Abs(by-c.by) > 1e-9 || stuck != c.stuck {
			t.Errorf("%+v: %d, %g, %v", c, at, by, stuck)
		}
	}
}

// What a hand does beside the heel moves a gap between mouth and end by its share of either.
func TestDrawnGapsByTheirShares(t *testing.T) {
	k, _ := madeUp(1)
	c := criterion{id: fit.PocketWidthMouth, first: 0, last: 1, gap: [2]float64{0.7, 0.3}}
	d := &candidate{noise: anyNoise(seeded(60))}
	o := &odds{kit: k, errors: make([][]float64, len(k.model.Elements))}
	list := o.drawn(&c, d, make([][]float64, len(d.noise)), nil)
	if len(list) != 1 || len(list[0].causes) != 1+len(d.noise) {
		t.Fatalf("%+v", list)
	}
	for i, n := range d.noise {
		if got, want := list[0].causes[1+i].by, 0.7*n.wider[0]+0.3*n.wider[1]; math.Abs(got-want) > 1e-15 {
			t.Errorf("cause %d: %v, want %v", i, got, want)
		}
	}
}

// Of a kit whose readings cannot be fitted nothing is known against leaving it.
func TestNothingIsAdvisedWithoutAModel(t *testing.T) {
	a := For(&fit.Result{}, Options{})
	if len(a.Plans) != 1 || a.Plans[0].Next != -1 || a.Plans[0].Weakest.P != 1 {
		t.Errorf("%+v", a)
	}
}
