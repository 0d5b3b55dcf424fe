package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// looseParts are neck and body of an instrument as kits of their own, without some readings.
func looseParts(in simulate.Instrument, drop func(r *measure.Reading) bool) (neck, body *measure.Kit) {
	all := simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})
	part := func(name string, ofNeck bool) *measure.Kit {
		return in.Kit(name, slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool {
			return (r.Datum == measure.DatumNeck) != ofNeck || drop(&r)
		}))
	}
	return part("N", true), part("B", false)
}

// remembered is how much a part has worked out.
func (p *LoosePart) remembered() int {
	s := p.places
	return len(s.lines.Keys()) + len(s.sleeves.Keys()) + len(s.laid.Keys()) + len(s.patterns.Keys())
}

// Parts that are fitted by themselves and put together are the instrument that simulate builds of them, also where stops were read without
// their strings, frets are fanned, and where some readings lack, of which nothing else suffers. The parts are only read then.
func TestPartsPutTogetherAreAsBuilt(t *testing.T) {
	reserves, bridge := []ID{SaddleReserveFront, SaddleReserveBack}, []ID{CentreLineError, BridgeSkew, MarginBass, MarginTreble, MarginBalance, SaddleReserveFront, SaddleReserveBack, SaddleHeightReserveLow, SaddleHeightReserveHigh, FretPlaneHeight}
	none := func(*measure.Reading) bool { return false }
	for what, c := range map[string]struct {
		fan  float64
		drop func(r *measure.Reading) bool
		lost []ID
	}{
		"whole": {0, none, nil}, "fanned": {40, none, nil}, "a row that is wrong of the body": {0, none, nil}, "screws of no known size": {0, none, nil},
		"no neck screws": {0, func(r *measure.Reading) bool { return r.Feature == measure.NeckScrew }, []ID{NeckScrewMismatch}},
		"stops by themselves": {0, func(r *measure.Reading) bool {
			if r.Feature == measure.SaddleFront || r.Feature == measure.SaddleBack {
				r.HasOffset, r.Offset = false, 0
			}
			return false
		}, nil},
		"one fret": {0, func(r *measure.Reading) bool {
			return r.Feature == measure.Nut || r.Feature == measure.Fret && r.Mark.Number != 12
		}, append([]ID{MarginBass, MarginTreble, MarginBalance}, reserves...)},
		"a bridge that lies nowhere": {0, func(r *measure.Reading) bool {
			return r.Feature == measure.BridgeScrew || r.Feature == measure.StringHole
		}, bridge},
	} {
		rng := rand.New(rand.NewPCG(61, uint64(len(what))))
		in, near := fanned(rng, c.fan, 7), 0.1 // a neck alone does not know how far apart the saddles are that its frets were laid out for
		if c.fan == 0 {
			in, near = simulate.Random(rng), 0.011 // heights are added plumb
		}
		in.FretErrors, in.SideBow, in.FloorHump, in.FretRoll = nil, 0, 0, 0
		in = in.Seated()
		neck, body := looseParts(in, c.drop)
		switch what {
		case "fanned": // of which the body's row tells nothing
			body.Info.Slant, body.Info.ScaleBass, body.Info.ScaleTreble, neck.Info.Slant = 0, 0, 0, 0
		case "a row that is wrong of the body":
			body.Info.Strings = 5
		case "screws of no known size":
			neck.Info.NeckScrew, body.Info.NeckScrew = 0, 0
		}
		n, b := NewLooseNeck(neck, nil), NewLooseBody(body, nil)
		known := n.remembered() + b.remembered()
		var s Seater
		s.Seat(n, b, Options{Compensation: in.Compensation})
		v, screws := s.Values()
		truth := in.Truth()
		want := heightTruths(in, truth)
		for name, v := range truth.Named() {
			id, _ := Named(name)
			want[id] = v
		}
		for _, id := range OfPairs {
			if lost := id == IntonationError || slices.Contains(c.lost, id); math.IsNaN(v[id]) != lost {
				t.Errorf("%s: %s is %v", what, id, v[id])
			} else if !lost && math.Abs(v[id]-want[id]) > near {
				t.Errorf("%s: %s is %.4f, built with %.4f", what, id, v[id], want[id])
			}
		}
		if math.IsInf(screws, 1) != (what == "no neck screws" || what == "screws of no known size") || !math.IsInf(screws, 1) && math.Abs(screws-(in.NeckScrewSize-4.5)/2) > 1e-9 {
			t.Errorf("%s: the screws may miss by %v", what, screws)
		}
		mouth, end := Gaps(n, b)
		about(t, what+": gap at the mouth", mouth, truth.PocketGapMouth, 1e-6)
		about(t, what+": gap at the end", end, truth.PocketGapEnd, 1e-6)
		swing := s.Swing(0)
		if (swing != nil) != (truth.HasSwing && !math.IsNaN(v[CentreLineError])) {
			t.Errorf("%s: swing %+v, built with gaps of %v, %v", what, swing, mouth, end)
		}
		if whole := Check(Unite("K", neck, body), Options{Compensation: in.Compensation}); swing != nil && (whole.Swing == nil || math.Abs(whole.Swing.High-swing.High) > near || math.Abs(whole.Swing.Low-swing.Low) > near) {
			t.Errorf("%s: swing %+v, of both together %+v", what, swing, whole.Swing)
		}
		if got := n.remembered() + b.remembered(); got != known {
			t.Errorf("%s: parts that are only read know %d lines and patterns, before %d", what, got, known)
		}
	}
	in := simulate.ShortScaleBass()
	neck, body := looseParts(in, none)
	least := math.Inf(1)
	pocket := func(r *measure.Reading) bool {
		return r.Feature == measure.Pocket || r.Feature == measure.PocketBass || r.Feature == measure.PocketTreble
	}
	for pass := range 2 { // all of it within 4 mm
		for i := range body.Readings {
			if r := &body.Readings[i]; pass == 0 && pocket(r) {
				least = min(least, r.Station)
			} else if pocket(r) {
				r.Station = min(r.Station, least+4)
			}
		}
	}
	n, b := NewLooseNeck(neck, nil), NewLooseBody(body, nil)
	if mouth, end := Gaps(n, b); !math.IsNaN(mouth) || !math.IsNaN(end) {
		t.Errorf("of a pocket that was read at one place: gaps of %v and %v", mouth, end)
	}
	united := Unite("K", neck, body)
	if len(united.Readings) != len(neck.Readings)+len(body.Readings) || united.Readings[0] != neck.Readings[0] || united.Name != "K" {
		t.Errorf("%d and %d readings make %d", len(neck.Readings), len(body.Readings), len(united.Readings))
	}
}
