package pair

import (
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Parts are of one instrument where neither tells otherwise: what one of them does not tell is no obstacle.
func TestObstacles(t *testing.T) {
	of := func(strings int, told, left bool) *part {
		return &part{LoosePart: &fit.LoosePart{Strings: strings}, told: told, left: left}
	}
	lacking := &part{LoosePart: &fit.LoosePart{Missing: fit.Missing{Want: fit.WantSide}}}
	for _, c := range []struct {
		neck, body *part
		want       ObstacleKind
	}{
		{of(4, true, false), of(4, true, false), NoObstacle},
		{of(4, true, false), of(5, true, false), StringCount},
		{of(6, true, false), of(5, true, false), StringCount},
		{of(0, true, false), of(5, true, false), NoObstacle},
		{of(4, true, false), of(0, true, false), NoObstacle},
		{of(4, true, true), of(4, true, false), Handedness},
		{of(4, true, false), of(4, true, true), Handedness},
		{of(4, true, true), of(4, true, true), NoObstacle},
		{of(4, false, false), of(4, true, true), NoObstacle},
		{of(4, true, true), of(4, false, false), NoObstacle},
		{lacking, of(4, true, false), NeckUnread},
		{of(4, true, false), lacking, BodyUnread},
	} {
		if got := mismatch(c.neck, c.body); got.Kind != c.want || c.want == StringCount && (got.NeckStrings != c.neck.Strings || got.BodyStrings != c.body.Strings) {
			t.Errorf("%+v with %+v: %+v, want %v", *c.neck.LoosePart, *c.body.LoosePart, got, c.want)
		}
	}
}

// How far things may be off for a pair to be one, and for the holes of its screws to be opened: 12 mm of the bridge,
// 1.5 of both walls, 0.5 of the screws, each beyond the limit; on either side of that by a little.
func TestHowFarIsTooFar(t *testing.T) {
	price := func(in simulate.Instrument) Price {
		_, necks, bodies, _ := priced(loose1(in, simulate.Setup{Exact: true, Heights: true}))
		l := newPricing(nil, nil, Options{Check: fit.Options{Compensation: in.Compensation}})
		return l.priceOf(new(fit.Seater), &necks[0], &bodies[0])
	}
	good := simulate.ShortScaleBass()
	if p := price(good); !p.Possible() || p.Actions.Work() { // what has no limit, such as heights, is never beyond it
		t.Errorf("a good instrument: %+v", p)
	}
	truth := good.Truth()
	for name, far := range map[string]func(in *simulate.Instrument, off float64){
		"centre line": func(in *simulate.Instrument, off float64) { in.CentreLineError = 1 + 12 + off },
		"to the bass": func(in *simulate.Instrument, off float64) { in.CentreLineError = -(1 + 12 + off) },
		"saddles behind": func(in *simulate.Instrument, off float64) {
			in.BridgeStation += truth.SaddleReserveFront - 1 + 12 + off
		},
		"saddles ahead": func(in *simulate.Instrument, off float64) { in.BridgeStation -= truth.SaddleReserveBack - 1 + 12 + off },
		"heel": func(in *simulate.Instrument, off float64) {
			in.PocketMouth, in.PocketEnd = in.HeelMouth+0.05-1.5-off, in.HeelEnd+0.05-1.5-off
		},
	} {
		for _, off := range []float64{-0.1, 0.1} {
			in := simulate.ShortScaleBass()
			far(&in, off)
			if p := price(in); p.Possible() != (off < 0) {
				t.Errorf("%s, %v mm from the farthest: %+v", name, off, p)
			}
		}
	}
	for off, want := range map[float64]Action{0.49: Ream, 0.51: Drill} {
		in := simulate.ShortScaleBass()
		in.HeelScrewErrors = map[int]simulate.Point{1: {Offset: (5.2-4.5)/2 + off}}
		if p := price(in); p.Actions&(Ream|Drill) != want {
			t.Errorf("screws that miss by %v mm more than they may: %+v", off, p)
		}
	}
}

// The gaps that bound a price are the catalogue's own.
func TestGapsAreTheValues(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 31)), 12, surveyed(false))
	last := p.Bodies[11]
	for i := range last.Readings { // a pocket that was read at one place alone
		if r := &last.Readings[i]; r.Feature.Part() == measure.BodyPart && (r.Feature == measure.Pocket || r.Feature == measure.PocketBass || r.Feature == measure.PocketTreble) {
			r.Station = 500
		}
	}
	necks, bodies := parts(p.Necks, fit.NewLooseNeck, ofNeck, Options{}), parts(p.Bodies, fit.NewLooseBody, ofBody, Options{})
	var s fit.Seater
	known := 0
	for i := range necks {
		for j := range bodies {
			if mismatch(&necks[i], &bodies[j]) != (Obstacle{}) {
				continue
			}
			s.Seat(necks[i].LoosePart, bodies[j].LoosePart, fit.Options{})
			v, _ := s.Values()
			mouth, end := fit.Gaps(necks[i].LoosePart, bodies[j].LoosePart)
			for id, got := range map[fit.ID]float64{fit.PocketGapMouth: mouth, fit.PocketGapEnd: end} {
				if got != v[id] && !(math.IsNaN(got) && math.IsNaN(v[id])) {
					t.Errorf("%d with %d: %s is %v as a bound, %v as a value", i, j, id, got, v[id])
				}
				if !math.IsNaN(got) {
					known++
				}
			}
		}
	}
	if known < 2*12*11 {
		t.Errorf("%d gaps are known", known)
	}
}

// bestOf is another way to the best match: over all sets of columns, row by row, the most pairs and then the least minutes.
func bestOf(costs [][]float64) (pairs int, minutes float64) {
	columns := len(costs[0])
	least := make([]float64, 1<<columns) // of matching the rows so far with just these columns
	for set := range least {
		least[set] = math.Inf(1)
	}
	least[0] = 0
	for _, row := range costs {
		for set := len(least) - 1; set >= 0; set-- { // larger ones first, so that a row comes once
			for j, cost := range row {
				if set>>j&1 != 0 {
					least[set] = min(least[set], least[set&^(1<<j)]+cost)
				}
			}
		}
	}
	for set, total := range least {
		if n := bits.OnesCount(uint(set)); !math.IsInf(total, 1) && (n > pairs || n == pairs && total < minutes) {
			pairs, minutes = n, total
		}
	}
	return pairs, minutes
}

// Of deliveries with many parts that are alike, so that many matches cost the same, and some that fit nowhere, the match is
// the best by another method on the prices of all pairs.
func TestMatchesOfAlikePartsAreBest(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 32))
	for k, size := range [][2]int{{9, 9}, {10, 8}, {7, 10}, {9, 9}} {
		few := loose(rng, 4, surveyed(false))
		p := &Parts{}
		again := func(list []*measure.Kit, i int, name string) *measure.Kit {
			kit := *list[rng.IntN(len(list))]
			kit.Name = fmt.Sprintf("%s%d", name, i)
			return &kit
		}
		for i := range size[0] {
			p.Necks = append(p.Necks, again(few.Necks, i, "N"))
		}
		for j := range size[1] {
			p.Bodies = append(p.Bodies, again(few.Bodies, j, "B"))
		}
		m, err := Find(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		l, necks, bodies, _ := priced(p)
		costs := make([][]float64, len(necks))
		for i := range necks {
			for j := range bodies {
				costs[i] = append(costs[i], l.priceOf(new(fit.Seater), &necks[i], &bodies[j]).Minutes)
			}
		}
		if pairs, minutes := bestOf(costs); len(m.Pairs) != pairs || math.Abs(m.Minutes-minutes) > 1e-9 { // sums of ten numbers in another order
			t.Errorf("delivery %d: %d pairs for %v minutes, by another method %d for %v", k, len(m.Pairs), m.Minutes, pairs, minutes)
		}
	}
}

// The best partner is the one that looks worst by its gaps: the others fit and want their bridges drilled anew. It is not
// among the pairs that are asked for at first, and a bound that promised too little would leave it out.
func TestTheBestMayLookWorst(t *testing.T) {
	in := simulate.ShortScaleBass()
	p := &Parts{Necks: loose1(in, simulate.Setup{Exact: true}).Necks}
	const others = 45
	for i := range others {
		off := in
		off.BridgeStation += 10
		b := *loose1(off, simulate.Setup{Exact: true}).Bodies[0]
		b.Name = fmt.Sprintf("off %d", i)
		p.Bodies = append(p.Bodies, &b)
	}
	wide := in
	wide.PocketMouth, wide.PocketEnd = in.HeelMouth+0.6, in.HeelEnd+0.6
	b := *loose1(wide, simulate.Setup{Exact: true}).Bodies[0]
	b.Name = "wide"
	p.Bodies = append(p.Bodies, &b)
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// Two side shims of 20 minutes, and 10 for each mm that the gap is beyond 0.5 mm.
	if got := m.Pairs[0]; got.Body != "wide" || got.Price.Actions != Shim || math.Abs(got.Price.Minutes-41) > 0.01 {
		t.Errorf("the neck goes with %s: %+v", got.Body, got.Price)
	}
}

// Of exchanges that cost alike the first is named.
func TestFirstOfAlikeExchanges(t *testing.T) {
	p := &Parts{}
	for i := range 5 {
		one := loose1(simulate.ShortScaleBass(), simulate.Setup{Exact: true})
		n, b := *one.Necks[0], *one.Bodies[0]
		n.Name, b.Name = fmt.Sprintf("N%d", i), fmt.Sprintf("B%d", i)
		p.Necks, p.Bodies = append(p.Necks, &n), append(p.Bodies, &b)
	}
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, one := range m.Pairs {
		first := m.Pairs[0]
		if i == 0 {
			first = m.Pairs[1]
		}
		if s := one.Swap; s == nil || s.Neck != first.Neck || s.Body != first.Body || s.More != 0 {
			t.Errorf("%s with %s: %+v, want %s with %s for nothing", one.Neck, one.Body, s, first.Neck, first.Body)
		}
	}
}

// Every pair that is asked for has its price, however many are asked for at a time, and every pair its bound.
func TestAllThatIsAskedForIsPriced(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 33)), 17, surveyed(false))
	p.Bodies = p.Bodies[:9]
	necks, bodies := parts(p.Necks, fit.NewLooseNeck, ofNeck, Options{}), parts(p.Bodies, fit.NewLooseBody, ofBody, Options{})
	l := newPricing(necks, bodies, Options{})
	for _, n := range []int{1, 2, 64, 65, 128, 129, 17 * 9} {
		table := newTable(l, necks, bodies)
		var cells []lot.Cell
		for k := range n {
			cells = append(cells, lot.Cell{Row: k % 17, Column: k / 17})
		}
		for k, got := range table.find(cells) {
			if want := l.priceOf(new(fit.Seater), &necks[cells[k].Row], &bodies[cells[k].Column]).Minutes; got != want || table.least(cells[k].Row, cells[k].Column) != want {
				t.Errorf("of %d the %d. costs %v, want %v", n, k+1, got, want)
			}
		}
		for i := range necks {
			for j := range bodies {
				if want := l.leastOf(&necks[i], &bodies[j]); i+17*j >= n && table.least(i, j) != want {
					t.Errorf("%d with %d costs %v at the least, want %v", i, j, table.least(i, j), want)
				}
			}
		}
	}
}

// The clearance of the neck's screws is their limit, unless the user sets one; one for something else changes nothing.
func TestUsersLimitForScrews(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.HeelScrewErrors = map[int]simulate.Point{1: {Offset: 0.8}} // the clearance is 0.35
	p := loose1(in, simulate.Setup{Exact: true})
	for name, want := range map[string]Action{fit.NeckScrewMismatch.String(): 0, fit.MarginBalance.String(): Ream} {
		o := Options{Check: fit.Options{Compensation: in.Compensation, Rule: fit.Simple, Limits: []measure.Limit{{Characteristic: name, Lower: -2, Upper: 2}}}}
		necks, bodies := parts(p.Necks, fit.NewLooseNeck, ofNeck, o), parts(p.Bodies, fit.NewLooseBody, ofBody, o)
		if got := newPricing(necks, bodies, o).priceOf(new(fit.Seater), &necks[0], &bodies[0]); got.Actions != want {
			t.Errorf("a limit for %s: %+v, want %b", name, got, want)
		}
	}
}

// Of which hand a part is says kits.csv alone.
func TestHandsAreTold(t *testing.T) {
	for _, told := range []bool{true, false} {
		p := loose1(simulate.ShortScaleBass(), simulate.Setup{Exact: true})
		p.Necks[0].Info.LeftHanded = true
		for _, k := range []*measure.Kit{p.Necks[0], p.Bodies[0]} {
			k.Info.Place = measure.Place{}
			if told {
				k.Info.Place = measure.Place{File: "kits.csv", Line: 2}
			}
		}
		_, necks, bodies, _ := priced(p)
		if got := mismatch(&necks[0], &bodies[0]).Kind == Handedness; got != told {
			t.Errorf("told %v: hands differ %v", told, got)
		}
	}
}

// Guard bands are those of a pair of which all can be so, be it the neck or the body of the first by name of which not.
func TestGuardBandsOfASoundPair(t *testing.T) {
	guards := func(odd func(p *Parts)) fit.Values {
		p := loose(rand.New(rand.NewPCG(4, 34)), 2, surveyed(false))
		odd(p)
		l, _, _, _ := priced(p)
		return l.guard
	}
	spoil := func(k *measure.Kit, f measure.Feature) {
		for i := range k.Readings {
			if r := &k.Readings[i]; r.Feature == f && r.Kind == measure.Width {
				r.Size *= 100 // a decimal point that was lost
			}
		}
	}
	want := guards(func(*Parts) {})
	for name, odd := range map[string]func(p *Parts){
		"neck": func(p *Parts) { spoil(p.Necks[0], measure.Heel) },
		"body": func(p *Parts) { spoil(p.Bodies[0], measure.Pocket) },
	} {
		got := guards(odd)
		for _, id := range []fit.ID{fit.PocketGapMouth, fit.PocketGapEnd} {
			// another pair's, surveyed in the same way
			if math.Abs(got[id]-want[id]) > 0.3*want[id] || want[id] == 0 {
				t.Errorf("an odd %s: the guard band of %v is %v, of sound parts %v", name, id, got[id], want[id])
			}
		}
	}
}

// A remedy is worked out where it was asked for, of pairs that do not pass, drawn or not.
func TestRemediesAsAskedFor(t *testing.T) {
	tight := simulate.ShortScaleBass()
	tight.PocketMouth, tight.PocketEnd = 63.3, 63.3
	for _, in := range []simulate.Instrument{simulate.ShortScaleBass(), tight} {
		for _, o := range []Options{{}, {Drawn: true}, {Remedies: true}, {Remedies: true, Drawn: true}} {
			o.Check.Rule, o.Check.Compensation = fit.Simple, in.Compensation
			m, err := Find(loose1(in, simulate.Setup{Exact: true}), o)
			if err != nil {
				t.Fatal(err)
			}
			one := m.Pairs[0]
			if passes := one.Result.Verdict == fit.Pass; passes != (in.PocketEnd != tight.PocketEnd) || (one.Plan != nil) != (o.Remedies && !passes) || (one.Result.Model != nil) != o.Drawn {
				t.Errorf("asked for %v, drawn %v: %v, plan %v, model %v", o.Remedies, o.Drawn, one.Result.Verdict, one.Plan != nil, one.Result.Model != nil)
			}
		}
	}
}
