package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A slip in a number that no second reading checks is named with its row, by what is alike on every instrument: an end of which
// both places lie on one side of its part, a hole 2 mm off its pattern among others that are drilled badly, a fret's top
// beside the nut.
func TestSlipsThatOnlyTheirLikeTell(t *testing.T) {
	of := func(f measure.Feature, mark int) func(r *measure.Reading) bool {
		return func(r *measure.Reading) bool {
			return r.Feature == f && r.Mark.Number == mark && r.Kind != measure.Diameter
		}
	}
	for _, c := range []struct {
		name   string
		read   func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading
		which  func(r *measure.Reading) bool // the first of these
		change func(r *measure.Reading)
		made   bool // the part may be made so
	}{
		{"a heel's end read where it was read before", simulate.LooseParts, of(measure.HeelEnd, 0), func(r *measure.Reading) { r.Offset += 36 }, false},
		{"a pocket's end beyond its middle", simulate.LooseParts, of(measure.PocketEnd, 0), func(r *measure.Reading) { r.Offset += 27 }, false},
		{"a screw's hole in the body", simulate.LooseParts, of(measure.BridgeScrew, 2), func(r *measure.Reading) { r.Station += 2.6 }, true},
		{"a hole in the bridge", simulate.LooseParts, of(measure.PlateScrew, 4), func(r *measure.Reading) { r.Offset -= 2.6 }, true},
		{"a hole in the heel", simulate.LooseParts, of(measure.HeelScrew, 3), func(r *measure.Reading) { r.Offset += 2.6 }, true},
		{"a string's hole", simulate.DryFit, of(measure.StringHole, 2), func(r *measure.Reading) { r.Offset += 2.6 }, true},
	} {
		for seed := range uint64(8) {
			rng := rand.New(rand.NewPCG(seed, 91))
			in := simulate.Random(rng)
			in.EndGap = 0.3
			for _, errors := range []map[int]simulate.Point{in.BridgeHoleErrors, in.HeelScrewErrors} { // worse than any pattern's scatter
				for k, e := range errors {
					errors[k] = simulate.Point{Station: 2 * e.Station, Offset: 2 * e.Offset}
				}
			}
			k := in.Kit("K", c.read(in, rng, simulate.DefaultSetup()))
			r := &k.Readings[slices.IndexFunc(k.Readings, func(r measure.Reading) bool { return c.which(&r) })]
			c.change(r)
			got := Check(k, Options{Compensation: in.Compensation})
			at := slices.IndexFunc(got.Suspects, func(s Suspect) bool { return s.Reading == r || slices.Contains(s.Rivals, r) })
			if at < 0 {
				t.Errorf("%s, %d: not named: %+v", c.name, seed, got.Suspects)
			} else if s := &got.Suspects[at]; s.Crooked != c.made {
				t.Errorf("%s, %d: the part may be made so: %v", c.name, seed, s.Crooked)
			} else if far := min(math.Abs(s.Read-s.Reading.Station), math.Abs(s.Read-s.Reading.Offset)); far > 0.2 { // adjusted from both
				t.Errorf("%s, %d: %+v is said to have been read as %v", c.name, seed, s.Reading, s.Read)
			}
		}
	}
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.DryFit(in, nil, simulate.Setup{Exact: true, Heights: true}))
	at := slices.IndexFunc(k.Readings, func(r measure.Reading) bool { return r.Feature == measure.FretTop })
	k.Readings[at].Station = -k.Readings[at].Station
	if got := Check(k, Options{}); len(got.Nonsense) != 1 || got.Nonsense[0].What != OffItsLine || got.Nonsense[0].Readings[0] != &k.Readings[at] || got.Find(FretPlaneHeight).Measured() {
		t.Errorf("a fret's top on the wrong side of zero: %+v", got.Nonsense)
	}
}

// A worst of several is the kit's only if they were all read: a fret at which its top was, both corners before the heel's end,
// a floor's corners and its middle. By hand: of four places whose corners lie at a square any hump of the fourth is shared by
// all alike, and its middle would tell nothing.
func TestAWorstWantsAllOfThem(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.EndGap = 0.3
	for _, c := range []struct {
		of   ID
		way  func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading
		drop func(r *measure.Reading) bool
		lack Missing
	}{
		{FretError, simulate.LooseParts, func(r *measure.Reading) bool { return r.Feature == measure.Fret && r.Mark.Number == 12 }, Missing{Want: WantFrets, Marks: Marks{1 << 12}}},
		{EndGap, simulate.DryFit, func(r *measure.Reading) bool { return r.Feature == measure.PocketEnd && r.Offset < 70 }, Missing{Want: WantEndGap}},
		{FloorFlatness, simulate.LooseParts, func(r *measure.Reading) bool {
			return r.Feature == measure.PocketFloor && r.Station < 30 && r.Offset < 70
		}, Missing{Want: WantMoreFloor}},
	} {
		k := in.Kit("K", c.way(in, nil, simulate.Setup{Exact: true, Heights: true}))
		whole := Check(k, Options{}).Find(c.of)
		n := len(k.Readings)
		k.Readings = slices.DeleteFunc(k.Readings, func(r measure.Reading) bool { return c.drop(&r) })
		if got := Check(k, Options{}).Find(c.of); len(k.Readings) != n-1 || !whole.Measured() || got.Missing != c.lack {
			t.Errorf("%s without one of %d readings: %+v", c.of, n-len(k.Readings), got.Missing)
		}
	}
	frets := Check(in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true})), Options{}).Find(FretError).Basis
	if frets.Read != 9 || frets.All != 20 {
		t.Errorf("%d of %d frets were read", frets.Read, frets.All)
	}
}
