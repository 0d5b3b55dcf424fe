package fit

import (
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Every slip that people make when they write readings down is named with its lines, and what rests on them
// is not judged; the rest of the kit is as it would be.
func TestSlipsAreNamed(t *testing.T) {
	in := simulate.ShortScaleBass()
	loose := simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})
	edge := simulate.EdgeCheck(in, nil, simulate.Setup{Exact: true})
	is := func(features ...measure.Feature) func(*measure.Reading) bool {
		return func(r *measure.Reading) bool { return slices.Contains(features, r.Feature) }
	}
	for _, c := range []struct {
		name    string
		of      []measure.Reading
		slipped func(*measure.Reading) bool
		change  func(*measure.Reading)
		slip    Slip
		what    Sense
		touched []ID // at least these are implausible or not measured
		sound   []ID // these are judged as ever
	}{
		{name: "centimetres", of: loose, slipped: is(measure.Nut, measure.Fret), change: func(r *measure.Reading) { r.Station /= 10 },
			slip: Centimetres, what: ScaleOfFrets, touched: []ID{ScaleLength, SaddleReserveFront, MarginBass}, sound: []ID{PocketGapMouth, CornerReserve, CentreLineError}},
		{name: "inches", of: loose, slipped: is(measure.Nut, measure.Fret), change: func(r *measure.Reading) { r.Station /= 25.4 },
			slip: Inches, what: ScaleOfFrets, touched: []ID{ScaleLength}, sound: []ID{PocketGapMouth}},
		{name: "inches of a width", of: edge, slipped: is(measure.Heel), change: func(r *measure.Reading) { r.Size /= 25.4 },
			slip: Inches, what: HeelWidth, touched: []ID{PocketGapMouth, HeelWidthEnd}, sound: []ID{CentreLineError, ScaleLength}},
		{name: "a lost decimal point", of: loose, slipped: func(r *measure.Reading) bool { return r.Feature == measure.HeelTreble && r.Station < 520 },
			change: func(r *measure.Reading) { r.Offset *= 100 }, slip: DecimalPoint, what: AnyOffset, touched: []ID{HeelSkew, CentreLineError}, sound: []ID{ScaleLength, FretError, CornerReserve}},
		{name: "edges swapped", of: loose, slipped: is(measure.EdgeBass, measure.EdgeTreble), change: func(r *measure.Reading) {
			r.Feature = measure.EdgeBass + measure.EdgeTreble - r.Feature
		}, slip: SidesSwapped, what: SideOrder, touched: []ID{CentreLineError, MarginBass}, sound: []ID{PocketGapMouth, CornerReserve}},
		{name: "edge datums swapped", of: edge, slipped: func(r *measure.Reading) bool { return r.Datum.Edge() }, change: func(r *measure.Reading) {
			r.Datum = measure.DatumEdgeBass + measure.DatumEdgeTreble - r.Datum
		}, slip: SidesSwapped, what: StringOrder, touched: []ID{CentreLineError, BridgeSkew, MarginBass}, sound: []ID{PocketGapMouth}},
		{name: "strings numbered from the bass side", of: loose, slipped: is(measure.NutSlot), change: func(r *measure.Reading) { r.Mark.Number = 5 - r.Mark.Number },
			slip: NumbersTurned, what: StringOrder, touched: []ID{MarginBass, MarginTreble}, sound: []ID{CentreLineError, ScaleLength, PocketGapEnd}},
		{name: "straightedge laid from tail to head", of: loose, slipped: func(r *measure.Reading) bool { return r.Datum == measure.DatumNeck }, change: func(r *measure.Reading) {
			r.Station = -r.Station
		}, slip: EndsSwapped, what: FretOrder, touched: []ID{ScaleLength, FretError}, sound: []ID{PocketWidthMouth}},
		{name: "screws numbered the other way round", of: loose, slipped: is(measure.PlateScrew), change: func(r *measure.Reading) { r.Mark.Number = 6 - r.Mark.Number },
			slip: NumbersTurned, what: HolePattern, touched: []ID{BridgeHoleMismatch, BridgeSkew}, sound: []ID{ScaleLength, PocketGapMouth, NeckScrewMismatch}},
	} {
		k := in.Kit("K", append([]measure.Reading(nil), c.of...))
		sound := Check(k, Options{Compensation: in.Compensation})
		if len(sound.Nonsense) > 0 {
			t.Fatalf("%s: sound readings are said to be nonsense: %+v", c.name, sound.Nonsense)
		}
		var lines []int
		for i := range k.Readings {
			if r := &k.Readings[i]; c.slipped(r) {
				c.change(r)
				lines = append(lines, r.Place.Line)
			}
		}
		r := Check(k, Options{Compensation: in.Compensation, Model: true})
		if r.Verdict == Pass || r.Verdict != Fail && r.Verdict != Implausible {
			t.Errorf("%s: %s", c.name, r.Verdict)
		}
		found := false
		for _, n := range r.Nonsense {
			for _, accused := range n.Readings {
				if !slices.Contains(lines, accused.Place.Line) && n.Slip == OutOfRange {
					t.Errorf("%s: line %d is said to lie off the others", c.name, accused.Place.Line)
				}
			}
			if n.Slip == c.slip && n.What == c.what {
				found = found || slices.ContainsFunc(n.Readings, func(r *measure.Reading) bool { return slices.Contains(lines, r.Place.Line) })
			}
		}
		if !found {
			t.Errorf("%s: not named: %+v", c.name, r.Nonsense)
		}
		for _, id := range c.touched {
			if c2 := r.Find(id); c2.Measured() {
				t.Errorf("%s: %s is judged: %v %s", c.name, id, c2.Value, c2.Verdict)
			}
		}
		for _, id := range c.sound {
			if got, want := r.Find(id), sound.Find(id); !got.Measured() || got.Verdict != want.Verdict || got.Value-want.Value > untouched || want.Value-got.Value > untouched {
				t.Errorf("%s: %s is %v %s (%+v), without the slip %v %s", c.name, id, got.Value, got.Verdict, got.Missing, want.Value, want.Verdict)
			}
		}
	}
}

// One string read from both edges says how far it lies from each, and nothing of the middle.
func TestALoneStringIsNamed(t *testing.T) {
	k := kit(t, "edge-bass saddle 1 offset - 42 -", "edge-treble saddle 1 offset - 12.3 -")
	r := Check(k, Options{})
	if len(r.Nonsense) != 1 || r.Nonsense[0].Slip != LoneString || len(r.Nonsense[0].Readings) != 2 || r.Verdict != Implausible || r.Find(CentreLineError).Measured() {
		t.Errorf("%s: %+v; centre-line-error %v", r.Verdict, r.Nonsense, r.Find(CentreLineError))
	}
}

// A nominal scale in centimetres is told with its row.
func TestScaleOfKitsTable(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	k.Info.Scale, k.Info.Place = 76.2, measure.Place{File: "kits.csv", Line: 3}
	r := Check(k, Options{Compensation: in.Compensation})
	if len(r.Nonsense) != 1 || r.Nonsense[0].Slip != Centimetres || r.Nonsense[0].Place.Line != 3 || r.Verdict == Pass {
		t.Errorf("%s: %+v", r.Verdict, r.Nonsense)
	}
}

// Sound instruments of every kind, as people read them, are never nonsense.
func TestSoundKitsAreNoNonsense(t *testing.T) {
	rng := rand.New(rand.NewPCG(211, 212))
	for range 300 {
		in := simulate.Random(rng)
		for _, p := range plans {
			setup := simulate.DefaultSetup()
			setup.Heights = true
			k := in.Kit("K", p.read(in, rng, setup))
			if list := new(sense).nonsense(k); len(list) > 0 {
				t.Fatalf("%s: %+v", p.name, list)
			}
		}
	}
}
