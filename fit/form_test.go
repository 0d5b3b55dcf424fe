package fit

import (
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// newForm is the form of good parts.
func newForm(rng *rand.Rand) *simulate.Form { return simulate.NewForm(rng, simulate.GoodParts()) }

// What simulate takes good parts to be is what survey allows them.
func TestGoodPartsAreAsAllowed(t *testing.T) {
	want := simulate.Spread{Fret: survey.FretForm, Nut: survey.NutForm, Edge: survey.EdgeForm, Wall: survey.WallForm, Plane: survey.PlaneForm, FretsByEdge: true}
	if got := simulate.GoodParts(); got != want {
		t.Errorf("simulated %+v, allowed %+v", got, want)
	}
}

// localForms are the places whose own deviation a characteristic has in it, with its sign: a width is that of the place
// where it was read, and so is a gap.
func localForms(readings []measure.Reading) (of [characteristics]map[simulate.Spot]float64) {
	type span struct{ low, high *measure.Reading }
	widths, gaps := map[measure.Feature]span{}, map[measure.Feature]span{}
	for i := range readings {
		r := &readings[i]
		list := widths
		switch {
		case r.Kind == measure.Gap:
			list = gaps
		case r.Kind != measure.Width || r.Feature == measure.Fingerboard:
			continue
		}
		at, seen := list[r.Feature]
		if !seen || r.Station < at.low.Station {
			at.low = r
		}
		if !seen || r.Station > at.high.Station {
			at.high = r
		}
		list[r.Feature] = at
	}
	put := func(id ID, at *measure.Reading, sign float64) {
		if at != nil {
			if of[id] == nil {
				of[id] = map[simulate.Spot]float64{}
			}
			place, _ := simulate.GoodParts().Spot(at)
			of[id][place] = sign
		}
	}
	pocket, heel := widths[measure.Pocket], widths[measure.Heel]
	put(PocketWidthMouth, pocket.low, 1)
	put(PocketWidthEnd, pocket.high, 1)
	put(HeelWidthMouth, heel.low, 1)
	put(HeelWidthEnd, heel.high, 1)
	if bass, felt := gaps[measure.PocketBass]; felt {
		treble := gaps[measure.PocketTreble]
		put(PocketGapMouth, bass.low, 1)
		put(PocketGapMouth, treble.low, 1)
		put(PocketGapEnd, bass.high, 1)
		put(PocketGapEnd, treble.high, 1)
	} else {
		put(PocketGapMouth, pocket.low, 1)
		put(PocketGapMouth, heel.low, -1)
		put(PocketGapEnd, pocket.high, 1)
		put(PocketGapEnd, heel.high, -1)
	}
	for i := range readings { // an edge is that of the last fret
		r := &readings[i]
		last := r.Kind == measure.Offset && r.Datum != measure.DatumEdgeBass && r.Datum != measure.DatumEdgeTreble
		for k := range readings {
			last = last && (readings[k].Feature != r.Feature || readings[k].Station <= r.Station)
		}
		switch {
		case last && r.Feature == measure.EdgeBass:
			put(MarginBass, r, -1)
			put(MarginBalance, r, -1)
		case last && r.Feature == measure.EdgeTreble:
			put(MarginTreble, r, 1)
			put(MarginBalance, r, -1)
		}
	}
	return of
}
