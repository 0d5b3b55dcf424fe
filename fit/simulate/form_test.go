package simulate

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"neckfit/measure"
)

// Places leave their form by the standard deviations of the table: a fret 0.05, a nut 0.3, a filed edge 0.05, a routed wall
// 0.03, a width by the root of two of them, and each place by the same however often it is read.
func TestFormScattersByItsTable(t *testing.T) {
	const kits = 300
	in := ShortScaleBass()
	in.Joint = &Pose{}
	exactly := Setup{Exact: true, Heights: true}
	ideal := LooseParts(in, nil, exactly)
	sums := make([]float64, len(ideal))
	for seed := range uint64(kits) {
		f := NewForm(rand.New(rand.NewPCG(seed, 3)), GoodParts())
		once, again := f.On(LooseParts(in, nil, exactly)), f.On(LooseParts(in, nil, exactly))
		for i := range once {
			d := once[i].Station - ideal[i].Station + once[i].Offset - ideal[i].Offset + once[i].Size - ideal[i].Size
			if once[i].Station != again[i].Station || once[i].Offset != again[i].Offset || once[i].Size != again[i].Size {
				t.Fatalf("%+v was read again as %+v", once[i], again[i])
			}
			sums[i] += d * d
		}
	}
	of := map[measure.Feature]float64{
		measure.Fret: 0.05, measure.Nut: 0.3, measure.EdgeBass: 0.05, measure.EdgeTreble: 0.05, measure.Fingerboard: 0.0707, measure.Heel: 0.0424, measure.Pocket: 0.0424,
		measure.HeelBass: 0.03, measure.HeelTreble: 0.03, measure.HeelEnd: 0.03, measure.PocketBass: 0.03, measure.PocketTreble: 0.03, measure.PocketEnd: 0.03,
		measure.BodyCentre: 0.03, measure.FretTop: 0.05, measure.PocketFloor: 0.05, measure.Top: 0.05,
	}
	for i, r := range ideal {
		// A standard deviation of so many scatters by 1/sqrt(2 n) of itself: 4 %; five of those.
		near(t, r.Feature.String(), math.Sqrt(sums[i]/kits), of[r.Feature], 0.2*of[r.Feature])
	}
}

// A place is the same at the whole millimetre that one marks, whichever side of a ten of them that is.
func TestAPlaceBesideItsMark(t *testing.T) {
	in := Random(seeded())
	f := NewForm(seeded(), GoodParts())
	setup := Setup{Exact: true, Heights: true}
	f.On(LooseParts(in, nil, setup))
	between := map[float64]bool{}
	for _, by := range f.By {
		between[by] = true
	}
	f.On(LooseParts(in, seeded(), Setup{Heights: true}))
	for at, by := range f.By {
		if !between[by] {
			t.Errorf("%s leaves the form by %v, unlike any place that was read exactly", at, by)
		}
	}
}

// A fret that stands toward the tail is read farther along, a wall that stands toward treble farther across, and a
// floor that is high higher; nothing else of the reading moves.
func TestLeavingTheForm(t *testing.T) {
	for _, c := range []struct {
		r                     measure.Reading
		station, offset, size float64
	}{
		{measure.Reading{Feature: measure.Fret, Kind: measure.Station, HasStation: true, HasOffset: true}, 0.2, 0, 0},
		{measure.Reading{Feature: measure.HeelEnd, Kind: measure.Station, HasStation: true, HasOffset: true}, 0.2, 0, 0},
		{measure.Reading{Feature: measure.PocketEnd, Kind: measure.Gap, HasOffset: true}, 0, 0, 0.2},
		{measure.Reading{Feature: measure.PocketBass, Kind: measure.Offset, HasStation: true, HasOffset: true}, 0, 0.2, 0},
		{measure.Reading{Feature: measure.PocketFloor, Kind: measure.Height, HasStation: true, HasOffset: true}, 0, 0, 0.2},
		{measure.Reading{Feature: measure.Heel, Kind: measure.Width, HasStation: true}, 0, 0, 0.2},
	} {
		r := c.r
		Leave(&r, 0.2)
		if r.Station != c.station || r.Offset != c.offset || r.Size != c.size {
			t.Errorf("%s %s moved to %v, %v, %v", r.Feature, r.Kind, r.Station, r.Offset, r.Size)
		}
	}
}

// A slip is in the number that was read, not in where it was meant to be read.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		r                     measure.Reading
		station, offset, size float64
	}{
		{measure.Reading{Feature: measure.Heel, Kind: measure.Width, Size: 63, Station: 10, HasStation: true}, 10, 0, 64},
		{measure.Reading{Feature: measure.Fret, Kind: measure.Station, Station: 381, HasStation: true, HasOffset: true}, 382, 0, 0},
		{measure.Reading{Feature: measure.EdgeBass, Kind: measure.Offset, Station: 100, HasStation: true, Offset: 20, HasOffset: true}, 100, 21, 0},
		{measure.Reading{Feature: measure.PocketEnd, Kind: measure.Station, Station: 90, HasStation: true, Offset: 60, HasOffset: true}, 91, 60, 0},
		{measure.Reading{Feature: measure.BridgeScrew, Kind: measure.Point, Station: 700, HasStation: true, Offset: 60, HasOffset: true}, 700, 61, 0},
	} {
		r := c.r
		Slip(&r, 1)
		if r.Station != c.station || r.Offset != c.offset || r.Size != c.size {
			t.Errorf("%s %s became %v, %v, %v", r.Feature, r.Kind, r.Station, r.Offset, r.Size)
		}
	}
}

// Bent parts have one fret, one place of the floor, one of an edge and one of the frets' tops 0.15 mm from where they belong, and one of a
// heel's and of a pocket's wall 0.09 mm.
func TestBent(t *testing.T) {
	f := NewForm(seeded(), GoodParts())
	f.On(LooseParts(ShortScaleBass(), nil, Setup{Exact: true, Heights: true}))
	before := map[Spot]float64{}
	for at, by := range f.By {
		before[at] = by
	}
	f.Bend()
	moved := 0
	for at, by := range f.By {
		if by != before[at] {
			moved++
			want := 0.15
			if strings.HasPrefix(string(at), "heel") || strings.HasPrefix(string(at), "pocket-bass") {
				want = 0.09
			}
			near(t, string(at), math.Abs(by), want, exact)
		}
	}
	if moved != 6 {
		t.Errorf("%d places are bent", moved)
	}
}

// Read over again with the same gauges, what a gauge's greatest error adds stays, and what the hand adds does not. With
// a gauge that has nothing but its greatest error all trials are alike, and so are the straightedges' seats.
func TestReadOverAgain(t *testing.T) {
	steady := &measure.Gauge{ID: "steady", MaxError: 0.5}
	shaky := &measure.Gauge{ID: "shaky", Repeatability: 0.1}
	in := ShortScaleBass()
	for name, g := range map[string]*measure.Gauge{"steady": steady, "shaky": shaky} {
		setup := Setup{Offset: g, Station: g, Long: g, Gap: g, Seat: 0.2}
		all := Repeated(3, QuickCheck, in, seeded(), setup)
		n := len(all) / 3
		var squares float64
		for i := range n {
			a, b := all[i], all[n+i]
			if a.Trial != 1 || b.Trial != 2 || a.Feature != b.Feature || a.Mark != b.Mark {
				t.Fatalf("%+v and %+v", a, b)
			}
			d := a.Station - b.Station + a.Offset - b.Offset + a.Size - b.Size
			squares += d * d / float64(n)
		}
		if alike := squares < 1e-18; alike != (name == "steady") {
			t.Errorf("%s: trials differ by %g mm", name, math.Sqrt(squares))
		}
		if exactly := QuickCheck(in, nil, Setup{Exact: true}); math.Abs(all[6].Offset-exactly[6].Offset) < 1e-3 {
			t.Errorf("%s: neither gauge nor seat moved %+v", name, all[6])
		}
	}
}

// By hand: a pocket whose axis is laid along station 0, a joint 2 mm toward bass of it and turned by 0.5 degrees about the
// pocket's end. 42 mm before the end, midway along the pocket, it has come 42 tan 0.5 = 0.3665 mm nearer to bass; square to
// it that is (2 + 0.3665) cos 0.5. The bridge lies where the centre line puts it, 223 mm behind the pocket's end.
func TestJointByHand(t *testing.T) {
	in := ShortScaleBass()
	in.Joint = &Pose{Zero: Point{Offset: -2}, Turn: 0.5}
	sin, cos := math.Sincos(0.5 * math.Pi / 180)
	truth := in.Truth()
	near(t, "pocket", truth.PocketOffCentre, (2+42*sin/cos)*cos, 1e-9)
	near(t, "bridge", truth.BridgeOffCentre, (2-223*sin/cos)*cos, 1e-9)
	mirrored := in.Mirrored().Truth()
	near(t, "mirrored pocket", mirrored.PocketOffCentre, -truth.PocketOffCentre, exact)
	near(t, "mirrored bridge", mirrored.BridgeOffCentre, -truth.BridgeOffCentre, exact)
	read := 0
	for _, r := range DryFit(in, nil, Setup{Exact: true}) {
		if r.Feature == measure.BodyCentre { // from a straightedge 90 mm before and 70 mm beside the pocket's end
			read++
			near(t, "offset", r.Offset, 70-2+(r.Station-90)*sin/cos, 1e-9)
		}
	}
	if read != 3 {
		t.Errorf("the joint was read %d times", read)
	}
}

// By hand: the quick check's straightedge along an edge of a board that is 41 mm wide at the nut and 62 mm at fret 20, 762 (1 -
// 2^(-20/12)) = 521.98 mm on, its zero 10 mm behind the nut. A fret's line meets the edge that much farther along as the edge leans.
func TestQuickCheckByHand(t *testing.T) {
	last := 762 * (1 - math.Pow(2, -20./12))
	lean := math.Hypot(1, (62-41)/2./last)
	for _, r := range QuickCheck(ShortScaleBass(), nil, Setup{Exact: true}) {
		switch r.Feature {
		case measure.Nut:
			near(t, "nut", r.Station, 10*lean, 1e-9)
		case measure.Fret:
			if r.Mark.Number != 20 {
				t.Errorf("fret %d is read", r.Mark.Number)
			}
			near(t, "fret 20", r.Station, (last+10)*lean, 1e-9)
		case measure.Heel:
			near(t, "heel", r.Size, 63.5, 1e-9)
		case measure.Pocket:
			near(t, "pocket", r.Size, 63.7, 1e-9)
		}
	}
}
