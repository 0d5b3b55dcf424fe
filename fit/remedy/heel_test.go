package remedy

import (
	"math"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Shims that a builder can make: parallel, a strip at one end, or sanded from veneer that leaves some.
func TestShimsThatCanBeMade(t *testing.T) {
	for _, c := range []struct {
		mouth, end float64
		can        bool
	}{
		{0.25, 0.25, true}, {0.1, 0.1, true}, {0.25, 0, true}, {0, 0.1, true}, {0.5, 0.25, true}, {0.25, 0.6, true}, {1, 0.5, true},
		{0.25, 0.1, false}, {0.5, 0.1, false}, {0.6, 0.5, false}, {0.45, 0.25, false},
	} {
		if makeable(c.mouth, c.end) != c.can || makeable(c.end, c.mouth) != c.can {
			t.Errorf("%g to %g: want %v", c.mouth, c.end, c.can)
		}
	}
	for seed := range uint64(kits() / 3) {
		_, a := surveyed(seed)
		for i := range a.Plans {
			for _, act := range a.Plans[i].Actions {
				if act.Work == measure.SideShim && !makeable(act.Mouth, act.End) {
					t.Errorf("seed %d: %+v", seed, act)
				}
			}
		}
	}
}

// A heel may stand in the middle, half way to a wall, or against it.
func TestSeats(t *testing.T) {
	for _, c := range []struct {
		gap  float64
		want []float64
	}{
		{-0.1, []float64{0}}, {0, []float64{0}}, {0.12, []float64{0, -0.06, 0.06}},
		{0.4, []float64{0, -0.1, 0.1, -0.2, 0.2}}, {0.9, []float64{0, -0.2, 0.2, -0.45, 0.45}},
	} {
		got, n := seats(c.gap)
		if n != len(c.want) {
			t.Errorf("%g: %v", c.gap, got[:n])
			continue
		}
		for i, w := range c.want {
			if math.Abs(got[i]-w) > 1e-12 {
				t.Errorf("%g: %v, want %v", c.gap, got[:n], c.want)
			}
		}
	}
	for _, c := range []struct {
		x, gap float64
		wall   Wall
	}{{0.2, 0.4, Treble}, {-0.2, 0.4, Bass}, {0.19, 0.4, NoWall}, {0, 0, NoWall}, {0, -0.1, NoWall}} {
		if got := against(c.x, c.gap); got != c.wall {
			t.Errorf("%g of %g: against %v", c.x, c.gap, got)
		}
	}
}

// A heel of 63.5 mm that is turned by 0.4 mm over the 60 mm from mouth to end drives one corner into the pocket's
// end: it comes out by half its width times the angle, 31.75 x 0.4/60 = 0.2117 mm, whichever way it turns.
// Shifted alike at both it stays home.
func TestATurnedHeelComesOutOfItsEnd(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+1
	r, _ := adviceOf(in)
	k := newKit(r, newStock(Options{}))
	if k.ends == nil {
		t.Fatal("the heel's corners are not known")
	}
	angle := 0.4 / 60
	// and the corner, 76 mm behind the mouth's marks, swings back by the turn's square
	want := -(31.75*math.Sin(angle) - 72*(1-math.Cos(angle))) / math.Cos(angle)
	for _, at := range [][2]float64{{-0.2, 0.2}, {0.2, -0.2}} {
		if got := k.home(at[0], at[1]); math.Abs(got-want) > 2e-3 { // the mark lies 72 mm, not 76, from the end
			t.Errorf("%v: %.4f, by hand %.4f", at, got, want)
		}
	}
	if got := k.home(0.3, 0.3); math.Abs(got) > 1e-9 {
		t.Errorf("shifted: %.6f", got)
	}
	k.ends = nil // as after a dry fit: the end is taken as square
	if got := k.home(-0.2, 0.2); math.Abs(got+31.75*angle) > 0.01 {
		t.Errorf("corners unknown: %.4f", got)
	}
}

// By hand, in a pocket with 1 mm of play: each work beside and under the heel and what it leaves.
func TestWorksByHand(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+1, in.HeelEnd+1
	r, _ := adviceOf(in)
	before := map[fit.ID]float64{}
	for i := range r.Characteristics {
		before[r.Characteristics[i].ID] = r.Characteristics[i].Value
	}
	lever := 295.0 // from the mouth's marks, 72 mm before the pocket's end, to the bridge 223 mm behind it
	for name, c := range map[string]struct {
		actions []Action
		change  map[fit.ID]float64
	}{
		"a shim on the bass wall": {
			[]Action{{Work: measure.SideShim, Wall: Bass, Mouth: 0.4, End: 0.4}},
			map[fit.ID]float64{fit.PocketGapMouth: -0.4, fit.PocketGapEnd: -0.4, fit.CentreLineError: -0.2},
		},
		"a scraped bass wall": {
			[]Action{{Work: measure.RelieveWall, Wall: Bass, Mouth: 0.4, End: 0.4}},
			map[fit.ID]float64{fit.PocketGapMouth: 0.4, fit.PocketGapEnd: 0.4, fit.CentreLineError: 0.2},
		},
		"a shim at the treble wall's end only": {
			[]Action{{Work: measure.SideShim, Wall: Treble, End: 0.6}},
			map[fit.ID]float64{fit.PocketGapMouth: 0, fit.PocketGapEnd: -0.6, fit.CentreLineError: 0.3 * lever / 60},
		},
		"a heel set over": {
			[]Action{{Work: measure.Reseat, Mouth: 0.2, End: 0.2}},
			map[fit.ID]float64{fit.CentreLineError: -0.2, fit.PocketGapMouth: 0},
		},
		"a heel turned": {
			[]Action{{Work: measure.Reseat, Mouth: 0.1, End: -0.1}},
			map[fit.ID]float64{fit.CentreLineError: 0.2*lever/60 - 0.1, fit.BridgeSkew: 0.2 / 60 * 180 / math.Pi},
		},
		"a bridge moved": {
			[]Action{{Work: measure.PlugBridge, Across: 1, Along: -2, Turn: 0.5}},
			map[fit.ID]float64{fit.CentreLineError: 1, fit.BridgeSkew: 0.5, fit.SaddleReserveBack: -2 + 28.5*math.Tan(0.5*math.Pi/180)}, // of the bass string, which has the least, the turn gives it back a part,
		},
		"a shorter heel": {
			[]Action{{Work: measure.TrimHeel, Size: 2}},
			map[fit.ID]float64{fit.SaddleReserveFront: 2, fit.SaddleReserveBack: -2, // every saddle must stand 2 mm farther tailward
				fit.NeckScrewMismatch: 2},
		},
		"rounder corners": {
			[]Action{{Work: measure.EaseCorner, Size: 1.5}},
			map[fit.ID]float64{fit.CornerReserve: 1.5},
		},
		"a flat shim": {
			[]Action{{Work: measure.RiseShim, Size: 0.5}},
			map[fit.ID]float64{fit.FretPlaneHeight: 0.5, fit.SaddleHeightReserveLow: 0.5, fit.SaddleHeightReserveHigh: -0.5, fit.Pitch: 0},
		},
		"a wedge thick at the end": {
			[]Action{{Work: measure.PitchShim, Size: 0.5, Turn: 1}},
			map[fit.ID]float64{fit.FretPlaneHeight: 0.5 * lever / 60, fit.Pitch: math.Atan(0.5/60) * 180 / math.Pi},
		},
		"a wedge thick at the mouth": {
			[]Action{{Work: measure.PitchShim, Size: 0.5, Turn: -1}},
			map[fit.ID]float64{fit.FretPlaneHeight: 0.5 - 0.5*lever/60, fit.Pitch: -math.Atan(0.5/60) * 180 / math.Pi},
		},
	} {
		p, untried := Try(r, c.actions, Options{})
		if p == nil {
			t.Fatalf("%s: %v", name, untried)
		}
		for _, q := range p.Predicted {
			id := r.Characteristics[q.Index].ID
			change, told := c.change[id]
			if !told {
				continue
			}
			if got := q.Value - before[id]; math.Abs(got-change) > 0.012 { // second order in a turn of a few thousandths
				t.Errorf("%s: %s changes by %.4f, by hand %.4f", name, id, got, change)
			}
		}
	}
}

// What is asked before a bridge goes far, and what may be opened: bits in stock up to a millimetre wider.
func TestOpenedScrewHoles(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.HeelScrewErrors = map[int]simulate.Point{2: {Offset: 0.6}}
	r, _ := adviceOf(in)
	k := newKit(r, newStock(Options{}))
	list := k.screws()
	if len(list) < 6 || k.neckHole() != in.NeckScrewSize || !list[len(list)-1].newNeck {
		t.Fatalf("%v, %g", list, k.neckHole())
	}
	for _, d := range list[:len(list)-1] {
		size, room := d.actions[0].Size, d.room.neck
		switch d.actions[0].Work {
		case measure.ReamScrews:
			if size <= in.NeckScrewSize || size > in.NeckScrewSize+1 || math.Abs(room-(size-in.NeckScrewSize)/2) > 1e-12 {
				t.Errorf("%g mm gives %.3f mm of room", size, room)
			}
		default: // a slot
			if room != size || size > 1 || size <= 0.5 {
				t.Errorf("a slot of %g mm gives %.3f mm of room", size, room)
			}
		}
	}
	p, _ := Try(r, []Action{{Work: measure.ReamScrews, Size: 6}}, Options{})
	for _, q := range p.Predicted {
		if c := &r.Characteristics[q.Index]; c.ID == fit.NeckScrewMismatch && math.Abs(q.Upper-c.Upper-0.4) > 1e-9 {
			t.Errorf("the limit grows from %.3f to %.3f", c.Upper, q.Upper)
		}
	}
}

// A pocket that fits is dear to cut, and a tapered shim takes longer than a parallel one.
func TestCosts(t *testing.T) {
	snug, loose := simulate.ShortScaleBass(), simulate.ShortScaleBass()
	snug.PocketMouth, snug.PocketEnd = snug.HeelMouth+0.3, snug.HeelEnd+0.3
	loose.PocketMouth, loose.PocketEnd = loose.HeelMouth+0.9, loose.HeelEnd+0.9
	for _, c := range []struct {
		in             simulate.Instrument
		a              Action
		minutes, price float64
	}{
		{snug, Action{Work: measure.RelieveWall, Mouth: 0.1, End: 0.1}, 30, 45 + 240},
		{loose, Action{Work: measure.RelieveWall, Mouth: 0.1, End: 0.1}, 30, 45},
		{loose, Action{Work: measure.SideShim, Mouth: 0.5, End: 0.5}, 20, 5},
		{loose, Action{Work: measure.SideShim, Mouth: 0.5, End: 0.25}, 30, 5},
		{loose, Action{Work: measure.PlugBridge}, 90, 150},
	} {
		r, _ := adviceOf(c.in)
		k := newKit(r, newStock(Options{}))
		if m, p := k.cost([]Action{c.a}); m != c.minutes || p != c.price {
			t.Errorf("%+v: %g + %g, want %g + %g", c.a, m, p, c.minutes, c.price)
		}
	}
	r, _ := adviceOf(loose)
	k := newKit(r, newStock(Options{Costs: []measure.Cost{{Work: measure.PlugBridge, Minutes: 7, Price: 3}}}))
	if m, p := k.cost([]Action{{Work: measure.PlugBridge}, {Work: measure.Reseat}}); m != 17 || p != 3 {
		t.Errorf("of costs.csv: %g + %g", m, p)
	}
}
