package pair

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// What is said of an exchange against the table of prices itself: the whole match is written down with the two
// parts exchanged and added up. No exchange is cheaper than the one named, and none gains.
func TestSwaps(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 21)), 7, surveyed(false))
	p.Bodies = p.Bodies[:6]
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, necks, bodies, costs := priced(p)
	at := func(list []part, name string) int {
		return slices.IndexFunc(list, func(p part) bool { return p.Kit.Name == name })
	}
	column := make([]int, len(necks)) // a neck without a body has a column that costs nothing
	for i := range column {
		column[i] = len(bodies)
	}
	for _, one := range m.Pairs {
		column[at(necks, one.Neck)] = at(bodies, one.Body)
	}
	sum := func() (minutes float64) {
		for i, j := range column {
			if j < len(bodies) {
				minutes += costs[i][j]
			}
		}
		return minutes
	}
	now := sum()
	for _, one := range m.Pairs {
		i, least := at(necks, one.Neck), math.Inf(1)
		for r := range column {
			if r == i {
				continue
			}
			column[i], column[r] = column[r], column[i]
			if more := sum() - now; more < least && column[i] < len(bodies) || column[i] == len(bodies) && more < least {
				least = more
			}
			column[i], column[r] = column[r], column[i]
		}
		switch {
		case one.Swap == nil && !math.IsInf(least, 1), one.Swap != nil && math.Abs(one.Swap.More-least) > 1e-9: // sums of a few numbers
			t.Errorf("%s with %s: %+v, the cheapest exchange costs %v", one.Neck, one.Body, one.Swap, least)
		case one.Swap != nil:
			r := at(necks, one.Swap.Neck)
			column[i], column[r] = column[r], column[i]
			if more := sum() - now; math.Abs(more-one.Swap.More) > 1e-9 {
				t.Errorf("%s with %s: the exchange with %s costs %v, said to be %v", one.Neck, one.Body, one.Swap.Neck, more, one.Swap.More)
			}
			column[i], column[r] = column[r], column[i]
		}
	}
}

// Three pairs that cost nothing, of which no other was priced yet. What looks cheapest for the first, since gaps tell nothing of it,
// is to exchange with the second, whose bridge stands 9 mm farther ahead of a neck that wants it so: two bridges are to be moved
// for that. The third only has heel and pocket wider by a millimetre.
func TestTheCheapestSwapMayLookWorse(t *testing.T) {
	p := &Parts{}
	for i, change := range []func(in *simulate.Instrument){
		func(*simulate.Instrument) {},
		func(in *simulate.Instrument) { in.HeelStation += 9 },
		func(in *simulate.Instrument) {
			in.HeelMouth, in.HeelEnd, in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+1, in.PocketMouth+1, in.PocketEnd+1
		},
	} {
		in := simulate.ShortScaleBass()
		change(&in)
		one := loose1(in, simulate.Setup{Exact: true})
		one.Necks[0].Name, one.Bodies[0].Name = fmt.Sprintf("N%d", i), fmt.Sprintf("B%d", i)
		p.Necks, p.Bodies = append(p.Necks, one.Necks...), append(p.Bodies, one.Bodies...)
	}
	l, necks, bodies, costs := priced(p)
	table := newTable(l, necks, bodies)
	table.find([]lot.Cell{{Row: 0, Column: 0}, {Row: 1, Column: 1}, {Row: 2, Column: 2}})
	row, column, more := cheapestSwap(new(fit.Seater), table, &lot.Assignment{Column: []int{0, 1, 2}, Matched: 3}, 0)
	second, third := costs[0][1]+costs[1][0], costs[0][2]+costs[2][0]
	if costs[0][0]+costs[1][1]+costs[2][2] != 0 || third >= second || table.least(0, 1) >= table.least(0, 2) {
		t.Fatalf("prices %v, looks like %v", costs, table.minutes)
	}
	if row != 2 || column != 2 || math.Abs(more-third) > 1e-9 {
		t.Errorf("the cheapest exchange is with %d, %d for %v minutes, want that with the third for %v", row, column, more, third)
	}
}

// The builder's own pair is made, and costs what the cheapest of all matches that have it costs more.
func TestOwnPairs(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 22)), 5, surveyed(false))
	free, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, necks, bodies, costs := priced(p)
	for i := range necks {
		for j := range bodies {
			own, err := Find(p, Options{Own: []Own{{i, j}}})
			if err != nil {
				t.Fatal(err)
			}
			made := slices.ContainsFunc(own.Pairs, func(p Pair) bool { return p.Neck == necks[i].Kit.Name && p.Body == bodies[j].Kit.Name })
			if math.IsInf(costs[i][j], 1) {
				if made || own.Own.Obstacle[0] == (Obstacle{}) {
					t.Errorf("%d with %d cannot be, and is made %v: %+v", i, j, made, own.Own)
				}
				continue
			}
			least, fewest := math.Inf(1), math.MaxInt
			var permute func(k int, column []int)
			permute = func(k int, column []int) {
				if k == len(column) {
					if minutes, bad := total(costs, column); column[i] == j && (bad < fewest || bad == fewest && minutes < least) {
						least, fewest = minutes, bad
					}
					return
				}
				for x := k; x < len(column); x++ {
					column[k], column[x] = column[x], column[k]
					permute(k+1, column)
					column[k], column[x] = column[x], column[k]
				}
			}
			permute(0, []int{0, 1, 2, 3, 4})
			if want := least - free.Minutes; !made || math.Abs(own.Own.Minutes-want) > 1e-9 || own.Own.Fewer != len(free.Pairs)-(5-fewest) {
				t.Errorf("%d with %d: made %v, %+v; want %v minutes more", i, j, made, own.Own, want)
			}
		}
	}
}

// A partner made to a size that is wanted fits just so: at either end of the range the value that hangs on it lies
// on its limit, the other sizes being in the middle of theirs.
func TestPartnersMadeToSize(t *testing.T) {
	exact := simulate.Setup{Exact: true, Heights: true}
	good, odd := simulate.ShortScaleBass(), simulate.ShortScaleBass()
	odd.HeelMouth, odd.HeelEnd, odd.HeelStation = 66, 65.8, odd.HeelStation+5
	odd.PocketMouth, odd.PocketEnd, odd.PocketLength, odd.BridgeStation = 62, 61.7, odd.PocketLength-1, odd.BridgeStation+9
	// sides are the widths at a part's ends that give these at the two stations where gaps are told.
	sides := func(length, mouth, end float64) (atMouth, atEnd float64) {
		slope := (mouth - end) / (good.MouthInset - good.EndInset)
		return end + slope*(length-good.EndInset), end - slope*good.EndInset
	}
	for _, necks := range []bool{true, false} {
		p := loose1(good, exact)
		lone := make([]Lone, 1)
		if necks {
			p.Necks = loose1(odd, exact).Necks
			l, n, b, _ := priced(p)
			l.partners(n, b, lone, true)
		} else {
			p.Bodies = loose1(odd, exact).Bodies
			l, n, b, _ := priced(p)
			l.partners(b, n, lone, false)
		}
		partner := lone[0].Partner
		if partner.Strings != 4 || math.Abs(partner.Scale-good.Scale) > 0.01 || len(partner.Sizes) != 3 {
			t.Fatalf("necks %v: partner %+v", necks, partner)
		}
		for k := range partner.Sizes {
			for end := range 2 {
				at := [3]float64{} // at mouth, at the end, along
				for i, w := range partner.Sizes {
					at[i] = (w.Lower + w.Upper) / 2
				}
				w := partner.Sizes[k]
				at[k] = [2]float64{w.Lower, w.Upper}[end]
				made := good
				n, b := p.Necks[0], p.Bodies[0]
				if necks {
					made.PocketMouth, made.PocketEnd = sides(good.PocketLength, at[0], at[1])
					made.BridgeStation = good.HeelStation + at[2]
					b = loose1(made, exact).Bodies[0]
				} else {
					made.HeelMouth, made.HeelEnd = sides(good.HeelLength, at[0], at[1])
					made.HeelStation = at[2]
					n = loose1(made, exact).Necks[0]
				}
				r := fit.Check(fit.Unite("", n, b), fit.Options{})
				grows := (end == 1) == necks // the gap at this end of the range is the widest allowed
				var id fit.ID
				want := 0.05
				switch {
				case k == 2 && end == 0:
					id, want = fit.SaddleReserveBack, 1
				case k == 2:
					id, want = fit.SaddleReserveFront, 1
				default:
					if id = []fit.ID{fit.PocketGapMouth, fit.PocketGapEnd}[k]; grows {
						want = 0.5
					}
				}
				// a heel's width at the pocket's mouth hangs on its taper and where the other body's mouth was
				if got := r.Find(id).Value; math.Abs(got-want) > 0.01 {
					t.Errorf("necks %v: made to %.3f of %+v, %v is %.3f, want %.3f", necks, at[k], w, id, got, want)
				}
			}
		}
	}
}

// Where the pocket's end crosses the centre line, looked for along it step by step, and where it comes nearest to the middle of the
// saddles' front stops.
func TestLengthsAlongTheCentreLine(t *testing.T) {
	_, necks, bodies, _ := priced(loose(rand.New(rand.NewPCG(4, 35)), 4, surveyed(false)))
	for k := range necks {
		n, b := necks[k], bodies[(k+1)%4]
		g := fit.Check(fit.Unite("", n.Kit, b.Kit), fit.Options{Model: true, Brief: true}).Model.Geometry
		at := func(s float64) (x, y float64) {
			return g.Centre.NX*g.Centre.D + s*g.Centre.NY, g.Centre.NY*g.Centre.D - s*g.Centre.NX
		}
		until := func(short func(s float64) bool) float64 {
			low, high := -2000.0, 2000.0
			for range 60 {
				if s := (low + high) / 2; short(s) {
					low = s
				} else {
					high = s
				}
			}
			return low
		}
		end := until(func(s float64) bool {
			x, y := at(s)
			return g.PocketEnd.NX*x+g.PocketEnd.NY*y < g.PocketEnd.D
		})
		var fronts []fit.Place
		for _, p := range g.Places {
			if p.Feature == measure.SaddleFront && (p.Mark.Number == 1 || p.Mark.Number == 4) {
				fronts = append(fronts, p)
			}
		}
		// Where the two together are nearest to the line: a millimetre on is farther off.
		from := func(s float64) (squares float64) {
			x, y := at(s)
			for _, p := range fronts {
				squares += (p.X-x)*(p.X-x) + (p.Y-y)*(p.Y-y)
			}
			return squares
		}
		nearest := until(func(s float64) bool { return from(s+0.5) < from(s-0.5) })
		got := lengthsOf(n, b, fit.Options{})
		if want := end - g.Nut; math.Abs(got.nut-want) > 1e-8 { // of halving 4 m sixty times, and rounding
			t.Errorf("pair %d: %v from the nut to the heel's end, want %v", k, got.nut, want)
		}
		if want := nearest - end; len(fronts) != 2 || math.Abs(got.saddles-want) > 1e-6 { // squares of a metre, rounded
			t.Errorf("pair %d: %v from the pocket's end to the saddles, want %v", k, got.saddles, want)
		}
	}
}

// Of parts that cannot be put together nothing is known but their own widths.
func TestLengthsOfPartsThatDoNotMeet(t *testing.T) {
	nothing := part{LoosePart: &fit.LoosePart{Kit: &measure.Kit{}}}
	got := lengthsOf(nothing, nothing, fit.Options{})
	if got.scale != 0 || !math.IsNaN(got.nut) || !math.IsNaN(got.saddles) {
		t.Errorf("%+v", got)
	}
}

// A size of which nothing is known, or that no limit holds on one side, is not wanted.
func TestSizesThatCannotBeTold(t *testing.T) {
	l := newPricing(nil, nil, Options{})
	var v fit.Values
	v[fit.PocketGapMouth], v[fit.PocketGapEnd], v[fit.SaddleReserveFront], v[fit.SaddleReserveBack] = 0.3, 0.3, 5, 5
	full := &lengths{pocket: [2]float64{60, 60}, heel: [2]float64{59.7, 59.7}, saddles: 400, nut: 350}
	sizes := func(fixed lengths) (list []Size) {
		for _, w := range l.sizes(&v, &fixed, true) {
			list = append(list, w.Size)
		}
		return list
	}
	if got := sizes(*full); !slices.Equal(got, []Size{PocketAtMouth, PocketAtEnd, SaddlesFromEnd}) {
		t.Errorf("wanted are %v", got)
	}
	lacking := *full
	lacking.pocket[1] = math.NaN()
	if got := sizes(lacking); !slices.Equal(got, []Size{PocketAtMouth, SaddlesFromEnd}) {
		t.Errorf("without a pocket's width at the end, wanted are %v", got)
	}
	open := []Size{PocketAtEnd, SaddlesFromEnd}
	least := l.lower[fit.PocketGapMouth]
	l.lower[fit.PocketGapMouth] = math.Inf(-1)
	if got := sizes(*full); !slices.Equal(got, open) {
		t.Errorf("without a least gap at the mouth, wanted are %v", got)
	}
	l.upper[fit.PocketGapMouth] = math.Inf(1)
	if got := sizes(*full); !slices.Equal(got, open) {
		t.Errorf("without limits at the mouth, wanted are %v", got)
	}
	l.lower[fit.PocketGapMouth] = least
	if got := sizes(*full); !slices.Equal(got, open) {
		t.Errorf("without a widest gap at the mouth, wanted are %v", got)
	}
}
