package pair

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// loose are the parts of n instruments, each under a name of its own.
func loose(rng *rand.Rand, n int, o simulate.Setup) *Parts {
	p := &Parts{}
	for i := range n {
		in := simulate.Random(rng)
		readings := simulate.LooseParts(in, rng, o)
		ofNeck := func(r measure.Reading) bool { return r.Datum == measure.DatumNeck }
		neck := in.Kit(fmt.Sprintf("N%02d", i+1), slices.DeleteFunc(slices.Clone(readings), func(r measure.Reading) bool { return !ofNeck(r) }))
		body := in.Kit(fmt.Sprintf("B%02d", i+1), slices.DeleteFunc(slices.Clone(readings), ofNeck))
		p.Necks, p.Bodies = append(p.Necks, neck), append(p.Bodies, body)
	}
	return p
}

func surveyed(heights bool) simulate.Setup {
	s := simulate.DefaultSetup()
	s.Heights = heights
	return s
}

// Parts solved apart against the other way to the same values: least squares on the readings of both
// parts together. Two solutions of the same equations agree to the
// solver's rounding, which for lengths of a metre is some 1e-9 mm.
func TestSeatedPartsAreWhatCheckFinds(t *testing.T) {
	const rounding = 1e-7 // mm or degrees
	rng := rand.New(rand.NewPCG(4, 1))
	p := loose(rng, 12, surveyed(true))
	p.Necks[3].Info.Action, p.Bodies[5].Info.NutHeight, p.Bodies[2].Info.Saddles = 1.4, 0.8, measure.SaddlePairs
	// One string's compensation is given, one worked out from the string, two are the built-in ones.
	o := fit.Options{
		Compensation: measure.Strings{1: 0.9},
		Specs:        map[int]measure.StringSpec{4: {Core: 1.2, UnitWeight: 16, Pitch: 41.2}},
	}
	l := newPricing(nil, nil, Options{})
	seen := map[fit.ID]int{}
	for range 60 {
		n, b := p.Necks[rng.IntN(12)], p.Bodies[rng.IntN(12)]
		full := fit.Check(fit.Unite("pair", n, b), o)
		s, got, screws := seated(n, b, o)
		for id, v := range got {
			c := full.Characteristics[id]
			if math.IsNaN(v) {
				if c.Missing.None() && slices.Contains(fit.OfPairs, c.ID) {
					t.Errorf("%s is not known, check finds %v", c.ID, c.Value)
				}
				continue
			}
			seen[c.ID]++
			if !c.Missing.None() || !(math.Abs(v-c.Value) <= rounding) {
				t.Errorf("%s with %s: %s is %.9f, check finds %.9f %v", n.Name, b.Name, c.ID, v, c.Value, c.Missing)
			}
		}
		if c := full.Characteristics[fit.NeckScrewMismatch]; math.Abs(min(screws, l.upper[fit.NeckScrewMismatch])-c.Upper) > rounding {
			t.Errorf("the neck screws' limit is %v, check's %v", screws, c.Upper)
		}
		got1, want := s.Swing(0), full.Swing
		if (got1 != nil) != (want != nil) || got1 != nil && (math.Abs(got1.Low-want.Low) > rounding || math.Abs(got1.High-want.High) > rounding) {
			t.Errorf("swing %+v, check finds %+v", got1, want)
		}
	}
	for _, id := range fit.OfPairs {
		if seen[id] == 0 {
			t.Errorf("%s was never measured", id)
		}
	}
}

func seated(n, b *measure.Kit, o fit.Options) (s *fit.Seater, v fit.Values, screws float64) {
	s = new(fit.Seater)
	s.Seat(fit.NewLooseNeck(n, nil), fit.NewLooseBody(b, nil), o)
	v, screws = s.Values()
	return s, v, screws
}

// Parts that were not read whole: what check cannot measure is not measured here either.
func TestMissingReadingsAreMissedAlike(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	p := loose(rng, 3, surveyed(true))
	without := func(k *measure.Kit, gone func(*measure.Reading) bool) *measure.Kit {
		c := *k
		c.Readings = slices.DeleteFunc(slices.Clone(k.Readings), func(r measure.Reading) bool { return gone(&r) })
		return &c
	}
	compare := func(what string, gone func(*measure.Reading) bool) {
		n, b := without(p.Necks[0], gone), without(p.Bodies[1], gone)
		_, got, _ := seated(n, b, fit.Options{})
		full := fit.Check(fit.Unite("pair", n, b), fit.Options{})
		for _, id := range fit.OfPairs {
			c := full.Characteristics[id]
			if (!c.Missing.None()) != math.IsNaN(got[id]) || c.Missing.None() && math.Abs(got[id]-c.Value) > 1e-7 { // as above
				t.Errorf("without %s: %s is %v, check finds %v %v", what, id, got[id], c.Value, c.Missing)
			}
		}
	}
	for _, f := range []measure.Feature{
		measure.Fret, measure.EdgeBass, measure.NutSlot, measure.FretTop, measure.HeelScrew, measure.HeelCorner,
		measure.PlateScrew, measure.Saddle, measure.SaddleBack, measure.SaddleHigh, measure.PocketFloor, measure.Top, measure.NeckScrew,
	} {
		compare(f.String(), func(r *measure.Reading) bool { return r.Feature == f })
	}
	// Readings that are there and do not fix what they are of.
	middle := func(r *measure.Reading, f measure.Feature) bool { return r.Feature == f && r.Kind != measure.Width }
	compare("the edges but for widths", func(r *measure.Reading) bool {
		return middle(r, measure.EdgeBass) || middle(r, measure.EdgeTreble)
	})
	tops := 0
	compare("all but two fret tops and a copy", func(r *measure.Reading) bool {
		if r.Feature != measure.FretTop {
			return false
		}
		tops++
		return tops > 2
	})
	compare("offsets of the heel's screws", func(r *measure.Reading) bool {
		if r.Feature == measure.HeelScrew {
			r.HasOffset, r.Kind = false, measure.Station
		}
		return false
	})
}

// A fanned neck, told of or not, is to a body what check says.
func TestFannedNecks(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 13))
	in := simulate.Random(rng)
	in.Fan, in.StraightFret, in.SaddleSlant = 30, 7, 20
	p := loose1(in, simulate.Setup{Exact: true})
	n, b := p.Necks[0], p.Bodies[0]
	for _, told := range []bool{true, false} {
		if !told {
			n.Info.ScaleBass, n.Info.ScaleTreble, b.Info.ScaleBass, b.Info.ScaleTreble = 0, 0, 0, 0
		}
		_, got, _ := seated(n, b, fit.Options{})
		full := fit.Check(fit.Unite("pair", n, b), fit.Options{})
		for _, id := range fit.OfPairs {
			c := full.Find(id)
			// The neck alone does not know how far apart the saddles are, and so where its frets were laid out.
			if c.Measured() == math.IsNaN(got[id]) || c.Measured() && math.Abs(got[id]-c.Value) > 0.1 {
				t.Errorf("told %v: %s is %v, check finds %v %+v", told, id, got[id], c.Value, c.Missing)
			}
		}
		if got := math.IsNaN(got[fit.SaddleReserveFront]); got == told {
			t.Errorf("told %v: reserve measured %v", told, !got)
		}
	}
}

// Seaters are used again and again, and by many at once.
func TestSeaterThatWasUsed(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 12)), 4, surveyed(true))
	necks, bodies := parts(p.Necks, fit.NewLooseNeck, nil, Options{}), parts(p.Bodies, fit.NewLooseBody, nil, Options{})
	bare := fit.NewLooseBody(&measure.Kit{Name: "bare", Readings: slices.DeleteFunc(slices.Clone(p.Bodies[0].Readings), func(r measure.Reading) bool {
		return r.Datum == measure.DatumBridge || r.Kind == measure.Height
	})}, nil)
	var used fit.Seater
	for i := range 16 {
		n, b := necks[i%4].LoosePart, bodies[i/4].LoosePart
		used.Seat(n, bare, fit.Options{})
		used.Seat(n, b, fit.Options{})
		var fresh fit.Seater
		fresh.Seat(n, b, fit.Options{})
		got, _ := used.Values()
		want, _ := fresh.Values()
		for id := range got {
			if got[id] != want[id] && !(math.IsNaN(got[id]) && math.IsNaN(want[id])) {
				t.Errorf("%s: %v with a used seater, %v with a new one", fit.ID(id), got[id], want[id])
			}
		}
	}
}

// priced is a table of costs for tests of the match itself.
func priced(p *Parts) (l *pricing, necks, bodies []part, costs [][]float64) {
	necks, bodies = parts(p.Necks, fit.NewLooseNeck, ofNeck, Options{}), parts(p.Bodies, fit.NewLooseBody, ofBody, Options{})
	l = newPricing(necks, bodies, Options{})
	t := newTable(l, necks, bodies)
	for i := range necks {
		var row []lot.Cell
		for j := range bodies {
			row = append(row, lot.Cell{Row: i, Column: j})
		}
		costs = append(costs, t.find(row))
	}
	return l, necks, bodies, costs
}

// total is what a match costs, and how many of its pairs cannot be.
func total(costs [][]float64, column []int) (minutes float64, impossible int) {
	for i, j := range column {
		if math.IsInf(costs[i][j], 1) {
			impossible++
			continue
		}
		minutes += costs[i][j]
	}
	return minutes, impossible
}

func TestEightByEightEqualsBruteForce(t *testing.T) {
	_, _, _, costs := priced(loose(rand.New(rand.NewPCG(4, 3)), 8, surveyed(false)))
	least, fewest := math.Inf(1), math.MaxInt
	column := []int{0, 1, 2, 3, 4, 5, 6, 7}
	var permute func(k int)
	permute = func(k int) {
		if k == len(column) {
			if minutes, bad := total(costs, column); bad < fewest || bad == fewest && minutes < least {
				least, fewest = minutes, bad
			}
			return
		}
		for i := k; i < len(column); i++ {
			column[k], column[i] = column[i], column[k]
			permute(k + 1)
			column[k], column[i] = column[i], column[k]
		}
	}
	permute(0)
	best, err := lot.Assign(costs)
	if err != nil {
		t.Fatal(err)
	}
	// sums of eight numbers of some hundreds, in different orders: 1e-9 is far above their rounding
	if best.Matched != 8-fewest || math.Abs(best.Total-least) > 1e-9 {
		t.Errorf("%d pairs for %v minutes, brute force %d for %v", best.Matched, best.Total, 8-fewest, least)
	}
}

// Issue: pairing never costs more than any of 10,000 random matchings.
func TestNoRandomMatchIsCheaper(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	p := loose(rng, 30, surveyed(false))
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, _, _, costs := priced(p)
	sum, bad, cheapest := 0.0, 0, math.Inf(1)
	const matches = 10000
	for range matches {
		minutes, impossible := total(costs, rng.Perm(30))
		sum, bad = sum+minutes, bad+impossible
		if impossible <= 30-len(m.Pairs) {
			cheapest = min(cheapest, minutes)
		}
	}
	if m.Minutes > cheapest {
		t.Errorf("the match costs %v minutes, a random one %v", m.Minutes, cheapest)
	}
	// The mean of 10,000 is within a hundredth of the true one: a match's spread is below a fifth of it.
	if mean := sum / matches; math.Abs(mean-m.Random.Minutes) > 0.01*mean {
		t.Errorf("random matches cost %v minutes on average, said to be %v", mean, m.Random.Minutes)
	}
	if mean := float64(bad) / matches; math.Abs(mean-m.Random.Impossible) > 0.05 {
		t.Errorf("random matches have %v impossible pairs on average, said to be %v", mean, m.Random.Impossible)
	}
	if m.Minutes >= m.Random.Minutes {
		t.Errorf("the match is no better than chance: %v minutes against %v", m.Minutes, m.Random.Minutes)
	}
}

func TestUnequalNumbersAndParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 5))
	p := loose(rng, 6, surveyed(false))
	p.Bodies = p.Bodies[:4]
	p.Necks[2].Readings = slices.DeleteFunc(p.Necks[2].Readings, func(r measure.Reading) bool { return r.Feature == measure.HeelEnd })
	for i := range p.Bodies[3].Readings { // a pocket 6 mm too narrow for any neck
		r := &p.Bodies[3].Readings[i]
		switch r.Feature {
		case measure.PocketTreble:
			r.Offset -= 6
		case measure.Pocket:
			r.Size -= 6
		}
	}
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Pairs) != 3 || len(m.LoneNecks) != 3 || len(m.LoneBodies) != 1 {
		t.Fatalf("%d pairs, %d necks and %d bodies over; want 3, 3, 1", len(m.Pairs), len(m.LoneNecks), len(m.LoneBodies))
	}
	unread := Obstacle{Kind: NeckUnread, Missing: fit.Missing{Want: fit.WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}}
	for _, n := range m.LoneNecks {
		if n.Name == "N03" && !slices.Equal(n.Why, []Obstacle{unread}) {
			t.Errorf("N03 is left over because %+v", n.Why)
		}
		if n.Name != "N03" && n.Why != nil {
			t.Errorf("%s would fit, but is said to be left over because %+v", n.Name, n.Why)
		}
	}
	// N03 gives another reason than the other necks do.
	if got := m.LoneBodies[0]; got.Name != "B04" || !slices.Equal(got.Why, []Obstacle{{Kind: HeelTooWide}, unread}) {
		t.Errorf("left over is %+v", got)
	}
	for _, pair := range m.Pairs {
		if pair.Neck == "N03" || pair.Body == "B04" {
			t.Errorf("%s is paired with %s", pair.Neck, pair.Body)
		}
	}
}

func TestOrderOfPartsDoesNotMatterForTheCost(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 6))
	p := loose(rng, 10, surveyed(false))
	m, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	rng.Shuffle(10, func(i, j int) { p.Necks[i], p.Necks[j] = p.Necks[j], p.Necks[i] })
	rng.Shuffle(10, func(i, j int) { p.Bodies[i], p.Bodies[j] = p.Bodies[j], p.Bodies[i] })
	again, err := Find(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// sums of ten numbers of some hundreds in another order
	if math.Abs(m.Minutes-again.Minutes) > 1e-9 || len(m.Pairs) != len(again.Pairs) {
		t.Errorf("%v minutes, shuffled %v", m.Minutes, again.Minutes)
	}
}

func TestNoPartsOfOneKind(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 7)), 2, surveyed(false))
	m, err := Find(&Parts{Necks: p.Necks}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]Lone{{Name: "N01", Why: []Obstacle{{Kind: NoBody}}}, {Name: "N02", Why: []Obstacle{{Kind: NoBody}}}}, m.LoneNecks); diff != "" {
		t.Error(diff)
	}
	if m, err = Find(&Parts{}, Options{}); err != nil || len(m.Pairs)+len(m.LoneNecks)+len(m.LoneBodies) != 0 {
		t.Errorf("of no parts: %+v, %v", m, err)
	}
}

func TestSort(t *testing.T) {
	in := simulate.ShortScaleBass()
	rng := rand.New(rand.NewPCG(4, 8))
	all := in.Kit("whole", simulate.LooseParts(in, rng, surveyed(false)))
	only := func(name string, datums ...measure.Datum) *measure.Kit {
		return in.Kit(name, slices.DeleteFunc(slices.Clone(all.Readings), func(r measure.Reading) bool { return !slices.Contains(datums, r.Datum) }))
	}
	neck, bare := only("neck", measure.DatumNeck), only("bare", measure.DatumBody)
	full, bridge := only("full", measure.DatumBody, measure.DatumBridge), only("bridge", measure.DatumBridge)

	p, err := Sort([]*measure.Kit{bare, neck, bridge, full})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Necks) != 1 || len(p.Bodies) != 2 || p.Bridge != "bridge" {
		t.Fatalf("%d necks, %d bodies, bridge %q", len(p.Necks), len(p.Bodies), p.Bridge)
	}
	if got, want := len(p.Bodies[0].Readings), len(bare.Readings)+len(bridge.Readings); got != want {
		t.Errorf("the bare body has %d readings with the bridge's, want %d", got, want)
	}
	if len(p.Bodies[1].Readings) != len(full.Readings) {
		t.Error("a body with a bridge of its own was given the common one")
	}
	if len(bare.Readings) == len(p.Bodies[0].Readings) {
		t.Error("the body handed in was changed")
	}

	// One reading with the neck in the pocket is one too many.
	for _, r := range []measure.Reading{
		{Datum: measure.DatumEdgeBass, Feature: measure.EdgeTreble, Kind: measure.Offset}, {Datum: measure.DatumBody, Feature: measure.PocketBass, Kind: measure.Gap},
		{Datum: measure.DatumBody, Feature: measure.Fret, Kind: measure.Station},
	} {
		with := *bare
		with.Readings = append(slices.Clone(bare.Readings), r)
		if _, err := Sort([]*measure.Kit{&with}); err == nil {
			t.Errorf("a body with %+v was taken", r)
		}
	}

	dry := in.Kit("dry", simulate.DryFit(in, rng, surveyed(false)))
	edge := in.Kit("edge", simulate.EdgeCheck(in, rng, surveyed(false)))
	for _, kits := range [][]*measure.Kit{{all}, {dry}, {edge}, {bridge, only("other", measure.DatumBridge)}} {
		if _, err := Sort(kits); err == nil {
			t.Errorf("%q was taken", kits[0].Name)
		}
	}
}

// Each fault by itself asks for its action, at what the tables of README say the work takes and 10 minutes
// for each mm or degree beyond the limit; by how much it is beyond, the instrument's makers know.
func TestActions(t *testing.T) {
	exact := simulate.DefaultSetup()
	exact.Exact = true
	price := func(in simulate.Instrument) Price {
		_, necks, bodies, _ := priced(loose1(in, exact))
		o := Options{Check: fit.Options{Compensation: in.Compensation}}
		return newPricing(nil, nil, o).priceOf(new(fit.Seater), &necks[0], &bodies[0])
	}
	beyond := func(v, lower, upper float64) float64 { return max(0, lower-v, v-upper) }
	sideways := func(truth simulate.Truth) float64 {
		return max(beyond(truth.CentreLineError, -1, 1), beyond(truth.MarginBalance, -1.4, 1.4),
			beyond(truth.MarginBass, 2.5, math.Inf(1)), beyond(truth.MarginTreble, 2.5, math.Inf(1)))
	}
	for _, c := range []struct {
		name    string
		change  func(*simulate.Instrument)
		want    Action
		minutes float64
		excess  func(simulate.Truth) float64
	}{
		{"nothing wrong", func(*simulate.Instrument) {}, 0, 0, func(simulate.Truth) float64 { return 0 }},
		{
			"tight", func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = 63.3, 63.3 }, Relieve, 30,
			func(truth simulate.Truth) float64 { return 0.05 - truth.PocketGapMouth },
		},
		{
			"tight at the end", func(in *simulate.Instrument) { in.PocketEnd = 63.4 }, Relieve, 30,
			func(truth simulate.Truth) float64 { return 0.05 - truth.PocketGapEnd },
		},
		{
			"loose", func(in *simulate.Instrument) { in.PocketMouth, in.PocketEnd = 64.2, 64.2 }, Shim, 40,
			func(truth simulate.Truth) float64 { return truth.PocketGapEnd - 0.5 },
		},
		{
			"loose at the mouth", func(in *simulate.Instrument) { in.PocketMouth = 64.6 }, Shim, 40,
			func(truth simulate.Truth) float64 { return truth.PocketGapMouth - 0.5 },
		},
		{"off centre within the swing", func(in *simulate.Instrument) { in.CentreLineError = 1.3 }, Reseat, 10, sideways},
		{"off centre to the other side", func(in *simulate.Instrument) { in.CentreLineError = -1.3 }, Reseat, 10, sideways},
		{"off centre beyond it", func(in *simulate.Instrument) { in.CentreLineError = 4 }, Replan, 90, sideways},
		{
			"skew", func(in *simulate.Instrument) { in.BridgeSkew = 1.1 }, Replan, 90,
			func(truth simulate.Truth) float64 { return truth.BridgeSkew - 0.8 },
		},
		{
			"corners", func(in *simulate.Instrument) { in.HeelRadius = 4 }, Round, 15,
			func(truth simulate.Truth) float64 { return 0 - truth.CornerReserve },
		},
		{
			"saddles", func(in *simulate.Instrument) { in.BridgeStation = 764 }, Replan, 90,
			func(truth simulate.Truth) float64 { return beyond(truth.SaddleReserveFront, 1, math.Inf(1)) },
		},
		{
			"neck screws", func(in *simulate.Instrument) { in.HeelScrewErrors = map[int]simulate.Point{1: {Offset: 2}} }, Drill, 60,
			func(truth simulate.Truth) float64 { return truth.NeckScrewMismatch - (5.2-4.5)/2 },
		},
		{
			"neck screws, less", func(in *simulate.Instrument) { in.HeelScrewErrors = map[int]simulate.Point{1: {Offset: 0.6}} }, Ream, 10,
			func(truth simulate.Truth) float64 { return truth.NeckScrewMismatch - (5.2-4.5)/2 },
		},
		{
			"bow", func(in *simulate.Instrument) { in.SideBow = 0.6 }, PartOwn, 30,
			func(truth simulate.Truth) float64 { return truth.SideBow - 0.3 },
		},
		{
			"bow to the other side", func(in *simulate.Instrument) { in.SideBow = -0.6 }, PartOwn, 30,
			func(truth simulate.Truth) float64 { return -truth.SideBow - 0.3 },
		},
	} {
		in := simulate.ShortScaleBass()
		c.change(&in)
		got, want := price(in), c.minutes+10*c.excess(in.Truth())
		// The sagitta of a board that is bowed and tapers is found by reading it at four stations.
		const sagitta = 0.3 // minutes: 0.03 mm
		if got.Actions != c.want || math.Abs(got.Minutes-want) > sagitta {
			t.Errorf("%s: %b, %v minutes; want %b, %v", c.name, got.Actions, got.Minutes, c.want, want)
		}
	}
	narrow := simulate.ShortScaleBass()
	narrow.PocketMouth, narrow.PocketEnd = 61, 61
	if p := price(narrow); p.Possible() || p.Obstacle.Kind != HeelTooWide {
		t.Errorf("a heel 2.5 mm too wide goes in: %+v", p)
	}
	far := simulate.ShortScaleBass()
	far.BridgeStation += 40
	if p := price(far); p.Possible() || p.Obstacle.Kind != BridgeTooFar {
		t.Errorf("a bridge 40 mm off will do: %+v", p)
	}
}

// What matching by chance comes to, against every match of a table written down: each injection of the
// shorter side into the longer counts once.
func TestRandomMatchIsTheMeanOfAll(t *testing.T) {
	inf := math.Inf(1)
	for _, costs := range [][][]float64{
		{{1, 2, 30}, {4, inf, 6}},
		{{1, 4}, {2, inf}, {30, 6}},
		{{7}},
		{{inf, 1, 5}, {2, 3, 4}, {inf, inf, 9}},
	} {
		rows, columns := len(costs), len(costs[0])
		var sum, bad, matches float64
		var match func(i int, taken []bool, left int, minutes, impossible float64)
		match = func(i int, taken []bool, left int, minutes, impossible float64) {
			if i == rows {
				if left == 0 {
					sum, bad, matches = sum+minutes, bad+impossible, matches+1
				}
				return
			}
			if rows-i > left { // this row may go without
				match(i+1, taken, left, minutes, impossible)
			}
			for j := range columns {
				if taken[j] || left == 0 {
					continue
				}
				taken[j] = true
				if math.IsInf(costs[i][j], 1) {
					match(i+1, taken, left-1, minutes, impossible+1)
				} else {
					match(i+1, taken, left-1, minutes+costs[i][j], impossible)
				}
				taken[j] = false
			}
		}
		match(0, make([]bool, columns), min(rows, columns), 0, 0)
		got := randomMatch(rows, columns, func(cells []lot.Cell) (minutes []float64) {
			for _, c := range cells {
				minutes = append(minutes, costs[c.Row][c.Column])
			}
			return minutes
		})
		if math.Abs(got.Minutes-sum/matches) > 1e-9 || math.Abs(got.Impossible-bad/matches) > 1e-9 { // sums of a few numbers
			t.Errorf("%v: %+v, the mean of all %v matches is %v and %v", costs, got, matches, sum/matches, bad/matches)
		}
	}
}

// A value just inside its limit is billed as a reading, one well inside is not.
func TestDoubtIsBilled(t *testing.T) {
	exact := simulate.DefaultSetup()
	exact.Exact = true
	price := func(gap float64) Price {
		in := simulate.ShortScaleBass()
		in.PocketMouth, in.PocketEnd = in.HeelMouth+gap, in.HeelEnd+gap
		l, necks, bodies, _ := priced(loose1(in, exact))
		return l.priceOf(new(fit.Seater), &necks[0], &bodies[0])
	}
	well, just, on := price(0.25), price(0.47), price(0.495) // the limit is 0.5
	if !(just.Minutes > well.Minutes+15) || just.Actions != Read || !(on.Minutes > just.Minutes) || just.Actions.Work() {
		t.Errorf("prices %+v, %+v, %+v", well, just, on)
	}
	// The bill falls in a straight line from 15 minutes on the limit to nothing at the guard band's end,
	// 1.645 standard uncertainties inside, of mouth and end alike and of whatever else lies near a limit.
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+0.47, in.HeelEnd+0.47
	r := fit.Check(in.Kit("K", simulate.LooseParts(in, nil, exact)), fit.Options{})
	want := 0.0
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		inside := min(c.Value-c.Lower, c.Upper-c.Value)
		if share := inside / (1.645 * c.StdUncertainty); c.Measured() && share < 1 {
			t.Logf("%v: %.3f of the guard band", c.ID, share)
			want += 15 * (1 - share)
		}
	}
	if math.Abs(just.Minutes-want) > 1e-6 { // two ways to the same value
		t.Errorf("a gap of 0.47 mm is billed %v minutes, want %v", just.Minutes, want)
	}
}

func loose1(in simulate.Instrument, o simulate.Setup) *Parts {
	readings := simulate.LooseParts(in, rand.New(rand.NewPCG(1, 1)), o)
	ofNeck := func(r measure.Reading) bool { return r.Datum == measure.DatumNeck }
	return &Parts{
		Necks:  []*measure.Kit{in.Kit("N", slices.DeleteFunc(slices.Clone(readings), func(r measure.Reading) bool { return !ofNeck(r) }))},
		Bodies: []*measure.Kit{in.Kit("B", slices.DeleteFunc(slices.Clone(readings), ofNeck))},
	}
}

// What a pair costs at the least is never more than what it costs, and mostly tells something.
func TestLeastIsNoMore(t *testing.T) {
	l, necks, bodies, costs := priced(loose(rand.New(rand.NewPCG(4, 9)), 30, surveyed(true)))
	told := 0
	for i := range necks {
		for j := range bodies {
			least := l.leastOf(&necks[i], &bodies[j])
			if least > costs[i][j] {
				t.Errorf("pair %d, %d costs %v minutes, at the least %v", i, j, costs[i][j], least)
			}
			if least > necks[i].own+bodies[j].own {
				told++
			}
		}
	}
	if told < 300 {
		t.Errorf("gaps tell something of %d pairs of 900", told)
	}
}

// A number of a neck that cannot be so changes no match of four with five: the neck is fitted without it. It is named in the
// neck's pair with its row, and when the neck is left over; nothing that rests on it gets a verdict, and the pair wants
// another reading, not work. A neck that was measured again after work is what it was then, with bodies that were not.
func TestReadingsThatCannotBeSo(t *testing.T) {
	for _, slip := range []float64{100, 0.1} { // the one is told by itself, the other by what it does to the rest
		p := loose(rand.New(rand.NewPCG(4, 28)), 5, surveyed(false))
		p.Necks = p.Necks[:4]
		before, err := Find(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		neck := *p.Necks[0]
		neck.Readings = slices.Clone(neck.Readings)
		at := slices.IndexFunc(neck.Readings, func(r measure.Reading) bool { return r.Feature == measure.EdgeTreble && r.Station > 300 })
		neck.Readings[at].Offset *= slip
		neck.Readings[at].Place = measure.Place{File: "readings.csv", Line: 777}
		p.Necks[0] = &neck
		m, err := Find(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Pairs {
			one, was := &m.Pairs[i], &before.Pairs[i]
			if one.Body != was.Body {
				t.Errorf("times %v: %s goes with %s, and with %s before", slip, one.Neck, one.Body, was.Body)
			}
			named := len(one.Result.Nonsense) == 1 && len(one.Result.Nonsense[0].Readings) == 1 && one.Result.Nonsense[0].Readings[0].Place.Line == 777
			if named != (one.Neck == "N01") {
				t.Errorf("times %v: of %s with %s cannot be so %+v", slip, one.Neck, one.Body, one.Result.Nonsense)
			}
			if c := one.Result.Find(fit.CentreLineError); named && (c.Measured() || c.Verdict != fit.Implausible) {
				t.Errorf("times %v: the bridge lies %v off, %s", slip, c.Value, c.Verdict)
			}
		}
		if work := before.Pairs[0].Price.Actions.Work(); !work || m.Work != before.Work-1 || m.Doubt != before.Doubt+1 {
			t.Errorf("times %v: the first needs work before: %v; %d need work and %d another reading, before %d and %d", slip, work, m.Work, m.Doubt, before.Work, before.Doubt)
		}
		p.Bodies = p.Bodies[:1]
		if m, err = Find(p, Options{}); err != nil {
			t.Fatal(err)
		}
		for _, l := range m.LoneNecks {
			if (len(l.Alone.Nonsense) == 1) != (l.Name == "N01") {
				t.Errorf("times %v: of %s, left over, cannot be so %+v", slip, l.Name, l.Alone.Nonsense)
			}
		}
	}
	p := loose(rand.New(rand.NewPCG(4, 22)), 2, surveyed(false))
	want, _ := Find(p, Options{})
	again := *p.Necks[0]
	again.Readings = slices.Clone(again.Readings)
	for i := range again.Readings {
		r := again.Readings[i]
		r.Stage = measure.Reworked
		again.Readings[i].Station += 3 // as it came
		again.Readings = append(again.Readings, r)
	}
	sorted, err := Sort([]*measure.Kit{&again, p.Necks[1], p.Bodies[0], p.Bodies[1]})
	if err != nil {
		t.Fatal(err)
	}
	got, _ := Find(sorted, Options{})
	for i := range got.Pairs {
		if a, b := got.Pairs[i].Result.Find(fit.CentreLineError), want.Pairs[i].Result.Find(fit.CentreLineError); a.Value != b.Value || got.Pairs[i].Price != want.Pairs[i].Price {
			t.Errorf("%s, one neck measured again: %v for %+v; before %v for %+v", got.Pairs[i].Neck, a.Value, got.Pairs[i].Price, b.Value, want.Pairs[i].Price)
		}
	}
}

// What kits.csv tells of a neck or of a body that cannot be so is named with that part's row.
func TestRowsOfBothParts(t *testing.T) {
	p := loose(rand.New(rand.NewPCG(4, 29)), 1, surveyed(false))
	neck, body := *p.Necks[0], *p.Bodies[0]
	neck.Info.Place, body.Info.Place = measure.Place{File: "kits.csv", Line: 3}, measure.Place{File: "kits.csv", Line: 9}
	neck.Info.BoardRadius, body.Info.BodyThickness = 9.5, 1.75 // inches
	m, err := Find(&Parts{Necks: []*measure.Kit{&neck}, Bodies: []*measure.Kit{&body}}, Options{})
	if err != nil || len(m.Pairs) != 1 {
		t.Fatal(err, m)
	}
	rows := map[fit.Sense]int{}
	for _, n := range m.Pairs[0].Result.Nonsense {
		rows[n.What] = n.Row().Line
	}
	if len(rows) != 2 || rows[fit.RadiusOfBoard] != 3 || rows[fit.ThicknessOfBody] != 9 {
		t.Errorf("rows %v", rows)
	}
}
