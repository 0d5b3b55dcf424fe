package remedy

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/measure"
)

// What a candidate is estimated to cost, by the normal distribution: 20 + 3 minutes and a return of 30 + 450 where it fails. Of a work two sizes are weighed by that, and
// the larger must be estimated to cost five minutes less; the cheaper works come first, the fewer where they cost alike, and three of a kind are gone on with.
func TestWhatCandidatesAreEstimatedToCost(t *testing.T) {
	k := plainKit()
	k.costs[measure.RiseShim], k.costs[measure.SendBack] = measure.Cost{Minutes: 20, Price: 3}, measure.Cost{Minutes: 30, Price: 450}
	k.judge(fit.SaddleReserveFront, 0, 1, 0, math.Inf(1), map[fit.Move]float64{fit.FloorAll: 1})
	passing := func(p float64) *candidate { return k.flat(measure.Stock{Size: distuv.UnitNormal.Quantile(p)}) }
	for _, p := range []float64{0.5, 0.7, 0.9} {
		if got, want := k.estimate(passing(p), all), 23+(1-p)*480; math.Abs(got-want) > 0.05 {
			t.Errorf("%g: %.3f, by hand %.3f", p, got, want)
		}
	}
	for less, larger := range map[float64]bool{4.8: false, 5.2: true} {
		ways := []*candidate{passing(0.6), passing(0.6 + less/480)}
		want := ways[0]
		if larger {
			want = ways[1]
		}
		if got := k.alternatives(&candidate{}, ways, all); len(got) != 1 || !got[0].like(want) {
			t.Errorf("%g minutes less: %v", less, got[0].actions)
		}
	}
	two := passing(0.8).with(Action{Work: measure.Reseat})
	list := []*candidate{passing(0.6), two, passing(0.9), passing(0.8), passing(0.7), passing(0.9)}
	kinds := k.byKind(append(list, (&candidate{}).with(Action{Work: measure.Reseat})), all)
	if len(kinds) != 2 || kinds[0][0].actions[0].Work != measure.Reseat {
		t.Fatalf("%d kinds", len(kinds))
	}
	for i, want := range []int{2, 5, 3, 1, 4, 0} { // the two works cost as much as the one
		if !kinds[1][i].like(list[want]) {
			t.Errorf("place %d: %v", i, kinds[1][i].actions)
		}
	}
	best := k.promising(list, all)
	if len(best) != 3 || !best[0].like(list[2]) || !best[1].like(list[3]) || !best[2].like(two) {
		t.Errorf("%d go on", len(best))
	}
}

// Of a kind two are worked out in full, the second where it is estimated to cost at most a quarter of an hour more.
func TestHowManyOfAKindAreShown(t *testing.T) {
	for _, c := range []struct {
		more float64
		n    int
		want int // with the one that leaves the kit
	}{{15, 1, 2}, {15, 2, 3}, {15.1, 2, 2}, {0, 3, 3}} {
		k := plainKit()
		k.costs[measure.RiseShim], k.costs[measure.Reseat] = measure.Cost{Minutes: 20}, measure.Cost{Minutes: c.more}
		list := []*candidate{k.flat(measure.Stock{Size: 0.5})}
		for i := 1; i < c.n; i++ {
			list = append(list, k.flat(measure.Stock{Size: 0.5 + float64(i)/10}).with(Action{Work: measure.Reseat}))
		}
		if got := k.shown(append(list, list[0])); len(got) != c.want || len(got[0].actions) != 0 {
			t.Errorf("%d of a kind, %g dearer: %d shown", c.n, c.more, len(got))
		}
	}
}

// What a treatment beside the heel loses by itself: five thousandths for a millimetre of swing at the bridge, here 4 and 5 mm a millimetre at mouth and end, and
// a fiftieth for each tapered shim. Gaps too narrow for a leaf of 0.05 mm, or none, have but the middle.
func TestWhatATreatmentLoses(t *testing.T) {
	for name, c := range map[string]struct {
		gaps       [2]float64
		g          group
		mouth, end ends
		loss       float64
		seats      bool
	}{
		"nothing":             {[2]float64{0.6, 0.4}, group{}, ends{}, ends{}, 0.005 * (2.4 + 2), true},
		"a parallel shim":     {[2]float64{0.6, 0.4}, group{shimmed, untreated}, ends{0.25, 0}, ends{0.25, 0}, 0.005 * (1.4 + 0.75), true},
		"a tapered shim":      {[2]float64{0.6, 0.4}, group{untreated, shimmed}, ends{0, 0.5}, ends{0, 0.25}, 0.005*(0.4+0.75) + 0.02, true},
		"two":                 {[2]float64{0.6, 0.4}, group{shimmed, shimmed}, ends{0.25, 0.1}, ends{}, 0.005*(1+2) + 0.04, true},
		"none at the mouth":   {[2]float64{-0.1, 0.4}, group{}, ends{}, ends{}, 0.005 * 2, false},
		"none at the end":     {[2]float64{0.4, -0.1}, group{}, ends{}, ends{}, 0.005 * 1.6, false},
		"less than a leaf":    {[2]float64{0.04, 0.045}, group{}, ends{}, ends{}, 0.005 * (0.16 + 0.225), false},
		"a leaf at the mouth": {[2]float64{0.06, 0.04}, group{}, ends{}, ends{}, 0.005 * (0.24 + 0.2), true},
		"a leaf at the end":   {[2]float64{0.04, 0.06}, group{}, ends{}, ends{}, 0.005 * (0.16 + 0.3), true},
	} {
		k := plainKit()
		k.gaps = c.gaps
		for i := range c.gaps {
			k.play.Bass[i], k.play.Treble[i] = c.gaps[i]/2, c.gaps[i]/2
		}
		k.judge(fit.CentreLineError, 0, 0.5, -1, 1, map[fit.Move]float64{fit.HeelMouth: -4, fit.HeelEnd: 5}).judged = false
		o := k.objective(&candidate{}, all)
		o.vary(&candidate{}, fit.HeelMouth, fit.HeelEnd, fit.HeelAlong)
		high := [2]seating{{score: math.Inf(-1)}, {score: math.Inf(-1)}}
		if k.try(o, c.g, seating{mouth: c.mouth, end: c.end}, &high); math.Abs(high[0].score+c.loss) > 1e-9 || c.seats != (high[1].score == high[0].score) || c.seats == math.IsInf(high[1].score, -1) {
			t.Errorf("%s: %g and %g, by hand %g", name, high[0].score, high[1].score, -c.loss)
		}
	}
	// 0.2 mm to either wall: hard against both, crosswise, cures an error of 1.8 mm, by the normal distribution.
	k := plainKit()
	k.gaps, k.play.Bass, k.play.Treble = [2]float64{0.4, 0.4}, [2]float64{0.2, 0.2}, [2]float64{0.2, 0.2}
	k.judge(fit.CentreLineError, 1.8, 0.5, -1, 1, map[fit.Move]float64{fit.HeelMouth: -4, fit.HeelEnd: 5})
	o := k.objective(&candidate{}, all)
	o.vary(&candidate{}, fit.HeelMouth, fit.HeelEnd, fit.HeelAlong)
	high := [2]seating{{score: math.Inf(-1)}, {score: math.Inf(-1)}}
	k.try(o, group{}, seating{}, &high)
	logCDF := func(z float64) float64 { return math.Log(distuv.UnitNormal.CDF(z)) }
	if _, best := k.bestOf(group{}, all); best == nil || len(best.actions) != 1 || best.actions[0].Mouth != 0.2 || best.actions[0].End != -0.2 || best.actions[0].Against != [2]Wall{Treble, Bass} {
		t.Errorf("%+v", best)
	}
	treated := [2]seating{{score: math.Inf(-1)}, {score: math.Inf(-1)}} // a shim of 0.1 mm sets the heel over by 0.05, with 0.3 mm of either gap left
	k.try(o, group{shimmed, untreated}, seating{mouth: ends{0.1, 0}, end: ends{0.1, 0}}, &treated)
	if math.Abs(treated[0].score-logCDF(2*2.85)-logCDF(2*(1-1.85))+0.0135) > 3e-4 || math.Abs(treated[1].score-logCDF(2*(1-0.5))-logCDF(2*1.5)+0.0135) > 3e-4 {
		t.Errorf("%+v", treated)
	}
	if s := high[1]; s.u != 0.2 || s.v != -0.2 || math.Abs(s.score-2*logCDF(2)+0.018) > 3e-4 || math.Abs(high[0].score-logCDF(5.6)-logCDF(-1.6)+0.018) > 3e-4 {
		t.Errorf("%+v", high)
	}
}

// Half a heel and its taper, by hand, where the widths are known and where they are not; the span of a bridge whose plate was not read; and which readings
// a heel can be moved by.
func TestWhatAKitIsTakenFor(t *testing.T) {
	missing := fit.Missing{Want: fit.Nothing + 1}
	for name, c := range map[string]struct {
		without     []fit.ID
		half, taper float64
	}{
		"all known":       {nil, 34.75, 1.0 / 70},
		"no pocket width": {[]fit.ID{fit.PocketWidthEnd}, 29.75, 1.0 / 70},
		"no heel's mouth": {[]fit.ID{fit.HeelWidthMouth}, 34.75, 0},
		"no heel's end":   {[]fit.ID{fit.HeelWidthEnd}, 34.75, 0},
	} {
		k := plainKit()
		k.gaps[1], k.play.Length, k.taper = 0.5, 70, 0
		k.characteristic(fit.PocketWidthEnd).Value, k.characteristic(fit.HeelWidthMouth).Value, k.characteristic(fit.HeelWidthEnd).Value = 70, 64, 63
		for _, id := range c.without {
			k.characteristic(id).Missing = missing
		}
		if k.findCorners(&fit.Geometry{}); math.Abs(k.half-c.half) > 1e-12 || math.Abs(k.taper-c.taper) > 1e-12 {
			t.Errorf("%s: half %g, taper %g", name, k.half, k.taper)
		}
	}
	r := surveyOf(roomy(1))
	g := r.Model.Geometry
	for name, spoil := range map[string]func(p *fit.Play){"all": func(*fit.Play) {}, "not placed": func(p *fit.Play) { p.Placed = false }, "no length": func(p *fit.Play) { p.Length = 0 }, "no lever": func(p *fit.Play) { p.Lever = 0 }} {
		was, play := g.Play, *g.Play
		spoil(&play)
		g.Play = &play
		if k := newKit(r, newStock(Options{})); (k.play != nil) != (name == "all") || k.neck != (name == "all") || !k.bridge {
			t.Errorf("%s: play %v, neck screws %v, bridge %v", name, k.play, k.neck, k.bridge)
		}
		g.Play = was
	}
	g.Places = slices.DeleteFunc(slices.Clone(g.Places), func(p fit.Place) bool { return p.Feature == measure.PlateScrew })
	if k := newKit(r, newStock(Options{})); k.span != 50 {
		t.Errorf("a plate that was not read spans %g", k.span)
	}
}

// A heel that slides in with a wider part has half of it less beside either wall; where there is no play, what is wanting stays as it is.
func TestWhatIsLeftBesideAHeel(t *testing.T) {
	for _, c := range []struct{ slim, mouth, bass, treble float64 }{{0.2, 0, 0.4, 0.4}, {0.2, 0.1, 0.5, 0.3}, {0, 0.6, 1, 0}, {0, -0.6, 0, 1}, {1.2, 0, -0.1, -0.1}, {1.2, 0.1, 0, -0.2}} {
		k := plainKit()
		k.play.Bass, k.play.Treble = [2]float64{0.5, 0.5}, [2]float64{0.5, 0.5}
		d := &candidate{slim: c.slim}
		d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = c.mouth, c.mouth
		if a := k.after(d); math.Abs(a.Bass[0]-c.bass) > 1e-12 || math.Abs(a.Treble[1]-c.treble) > 1e-12 {
			t.Errorf("%+v: %+v", c, a)
		}
	}
}

// The plug about a bit: the smallest with 1.5 mm of it around the bit, or left of the bit outside it; else it is told that the bit cuts across its edge, or how thin
// the wood is.
func TestPlugsWideEnough(t *testing.T) {
	for _, c := range []struct {
		move, plug float64
		sizes      []float64
		want       float64
		warned     RemarkKind
	}{
		{1, 4, []float64{4, 6, 6.98, 7, 8}, 7, NoRemark}, {1, 4, []float64{4, 6, 6.98}, 4, ThinPlug}, {4.5, 4, []float64{4, 10}, 4, NoRemark}, {4.49, 4, []float64{4, 10}, 4, ThinPlug},
		{4.49, 4, []float64{4, 14}, 14, NoRemark}, {2, 4, []float64{4}, 4, AcrossPlug}, {1, 8, []float64{7, 8}, 8, NoRemark},
	} {
		s := schedulerFor(bass())
		s.pieces = map[measure.StockKind][]measure.Stock{}
		for _, x := range c.sizes {
			s.pieces[measure.PlugStock] = append(s.pieces[measure.PlugStock], measure.Stock{Size: x})
		}
		h := bareHole(measure.BridgeScrew, 1, PlugFirst, 0, 0)
		h.HasOld, h.OldDiameter, h.Move, h.Pilot, h.Plug = true, 3, c.move, 2, c.plug
		s.out.Holes = []Hole{h}
		s.widen(0)
		got, kind := &s.out.Holes[0], NoRemark
		if len(got.Warnings) > 0 {
			kind = got.Warnings[0].Kind
		}
		if got.Plug != c.want || kind != c.warned || got.Straddles != (c.warned == AcrossPlug) || kind == ThinPlug && got.Warnings[0].Need != 1.5 {
			t.Errorf("%+v: %g, %+v", c, got.Plug, got.Warnings)
		}
	}
}

// The ten likeliest treatments at one place, of eighths of a millimetre: by what both walls take together, and the eleventh where it is the tenth's mirror image.
func TestTenTreatmentsAndATwin(t *testing.T) {
	for _, c := range []struct {
		eighths []float64
		want    []ends
	}{
		{[]float64{1, 3, 7}, []ends{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {0, 3}, {3, 0}, {1, 3}, {3, 1}, {3, 3}, {0, 7}, {7, 0}}},
		{[]float64{1, 3, 5}, []ends{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {0, 3}, {3, 0}, {1, 3}, {3, 1}, {0, 5}, {5, 0}}},
	} {
		k := plainKit()
		k.gaps[0], k.pieces[measure.SideStock] = 2, nil
		for _, n := range c.eighths {
			k.pieces[measure.SideStock] = append(k.pieces[measure.SideStock], measure.Stock{Size: n / 8})
		}
		k.judge(fit.PocketGapMouth, 2, 1, 0, math.Inf(1), nil)
		list := k.bestEnds(group{shimmed, shimmed}, 0)
		if !slices.EqualFunc(list, c.want, func(a ratedEnds, b ends) bool { return a.bass*8 == b.bass && a.treble*8 == b.treble }) {
			t.Errorf("%v: %v", c.eighths, list)
		}
	}
	k := plainKit()
	k.pieces[measure.SideStock] = nil
	if middle, best := k.bestOf(group{shimmed, untreated}, all); middle != nil || best != nil {
		t.Errorf("shims of nothing: %v, %v", middle, best)
	}
}

// A neck that stands off is pushed home as it lies where its gaps were felt and it goes in; that is besides the best seat, which is the middle where nothing counts,
// and which there is in a gap that takes a leaf.
func TestWhenANeckIsPushedHome(t *testing.T) {
	in := bass()
	in.EndGap = 1.2
	r := surveyOf(in)
	for name, c := range map[string]struct {
		gaps    [2]float64
		felt    bool
		p       float64
		reseats int
	}{
		"felt": {[2]float64{0.5, 0.5}, true, 0.9, 2}, "not felt": {[2]float64{0.5, 0.5}, false, 0.9, 1}, "right": {[2]float64{0.5, 0.5}, true, 0.96, 1},
		"hard at the mouth": {[2]float64{-0.1, 0.5}, true, 0.9, 0}, "hard at the end": {[2]float64{0.5, -0.1}, true, 0.9, 0}, "no play": {[2]float64{}, true, 0.9, 1},
	} {
		k := newKit(r, newStock(Options{}))
		k.gaps, k.play.Felt = c.gaps, c.felt
		gap := k.criterion(fit.EndGap)
		gap.judged, gap.p = true, c.p
		n := 0
		for _, d := range k.lateral(func(*criterion) bool { return false }) {
			if len(d.actions) == 1 && d.actions[0].Work == measure.Reseat && d.actions[0].Mouth == 0 && d.actions[0].End == 0 {
				n++
			}
		}
		if n != c.reseats {
			t.Errorf("%s: set into the middle %d times, by hand %d", name, n, c.reseats)
		}
	}
}

// Screws are drawn toward each other or drilled anew where at least one hole of either part is known.
func TestScrewsOfBothParts(t *testing.T) {
	for _, c := range []struct{ neck, heel, ways int }{{1, 1, 4}, {0, 1, 0}, {1, 0, 0}, {0, 0, 0}} {
		k := plainKit()
		k.judge(fit.NeckScrewMismatch, 1, 1, 0, 1, nil)
		left := map[measure.Feature]int{measure.NeckScrew: c.neck, measure.HeelScrew: c.heel}
		k.model.Geometry.Places = slices.DeleteFunc(slices.Clone(k.model.Geometry.Places), func(p fit.Place) bool {
			n, screw := left[p.Feature]
			left[p.Feature]--
			return screw && n <= 0
		})
		k.pieces[measure.DrillStock] = nil
		if got := k.screws(); len(got) != c.ways {
			t.Errorf("%d and %d holes: %d ways", c.neck, c.heel, len(got))
		}
	}
}
