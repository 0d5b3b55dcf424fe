package fit

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"neckfit/fit/survey"
	"neckfit/measure"
)

// formOf names the place that a reading is of and tells how far such a place of a good part leaves the ideal form; it
// is empty for what has no form. Places of the simulated surveys lie more than 10 mm apart.
func formOf(r *measure.Reading) (place string, std float64) {
	at := func(x float64) int { return int(math.Round(x / 10)) }
	switch r.Feature {
	case measure.Nut:
		if r.Datum.Edge() { // few frets are read from there
			return fmt.Sprint(r.Feature, r.Datum, at(r.Offset)), survey.FretForm
		}
		return fmt.Sprint(r.Feature, r.Datum, at(r.Offset)), survey.NutForm
	case measure.Fret:
		return fmt.Sprint(r.Feature, r.Datum, r.Mark, at(r.Offset)), survey.FretForm
	case measure.EdgeBass, measure.EdgeTreble:
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), survey.EdgeForm
	case measure.HeelBass, measure.HeelTreble, measure.PocketBass, measure.PocketTreble:
		if r.Kind == measure.Gap {
			return fmt.Sprint(r.Feature, r.Datum, "gap", at(r.Station)), math.Sqrt2 * survey.WallForm
		}
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), survey.WallForm
	case measure.HeelEnd, measure.PocketEnd:
		if r.Kind == measure.Gap {
			return fmt.Sprint(r.Feature, r.Datum, "gap", at(r.Offset)), math.Sqrt2 * survey.WallForm
		}
		return fmt.Sprint(r.Feature, r.Datum, at(r.Offset)), survey.WallForm
	case measure.Fingerboard:
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), math.Sqrt2 * survey.EdgeForm
	case measure.Heel, measure.Pocket:
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), math.Sqrt2 * survey.WallForm
	case measure.FretTop, measure.PocketFloor, measure.Top:
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station), at(r.Offset)), survey.PlaneForm
	}
	return "", 0
}

// leave moves a reading as its place leaves the form by so much.
func leave(r *measure.Reading, by float64) {
	switch r.Feature {
	case measure.Fret, measure.Nut, measure.HeelEnd, measure.PocketEnd:
		if r.Kind != measure.Gap {
			r.Station += by
			return
		}
	}
	shown(r, by)
}

// form is how far each place of a part leaves the ideal form, drawn when it is first read.
type form struct {
	rng *rand.Rand
	by  map[string]float64
}

func newForm(rng *rand.Rand) *form { return &form{rng, map[string]float64{}} }

// on is the same readings of the part with its form.
func (f *form) on(readings []measure.Reading) []measure.Reading {
	for i := range readings {
		place, std := formOf(&readings[i])
		if std == 0 {
			continue
		}
		if _, ok := f.by[place]; !ok {
			f.by[place] = std * f.rng.NormFloat64()
		}
		leave(&readings[i], f.by[place])
	}
	return readings
}

// bend makes one place each of frets, floor and sides leave the form by three times as much as good parts may.
func (f *form) bend() {
	places := slices.Sorted(maps.Keys(f.by))
	for _, of := range []string{"fret", "pocket-floor", "edge-bass", "heel-treble", "pocket-bass"} {
		var some []string
		for _, place := range places {
			if strings.HasPrefix(place, of) && !strings.Contains(place, "gap") {
				some = append(some, place)
			}
		}
		if len(some) > 0 {
			f.by[some[f.rng.IntN(len(some))]] = 3 * survey.FretForm * float64(2*f.rng.IntN(2)-1)
		}
	}
}

// localForms are the places whose own deviation a characteristic has in it, with its sign: a width is that of the place
// where it was read, and so is a gap.
func localForms(readings []measure.Reading) (of [characteristics]map[string]float64) {
	type span struct{ low, high *measure.Reading }
	widths, gaps := map[measure.Feature]span{}, map[measure.Feature]span{}
	for i := range readings {
		r := &readings[i]
		list, x := widths, func(r *measure.Reading) float64 { return r.Station }
		switch {
		case r.Kind == measure.Gap:
			list = gaps
			if r.Feature == measure.PocketEnd {
				x = func(r *measure.Reading) float64 { return r.Offset }
			}
		case r.Kind != measure.Width || r.Feature == measure.Fingerboard:
			continue
		}
		at, seen := list[r.Feature]
		if !seen || x(r) < x(at.low) {
			at.low = r
		}
		if !seen || x(r) > x(at.high) {
			at.high = r
		}
		list[r.Feature] = at
	}
	put := func(id ID, at *measure.Reading, sign float64) {
		if at != nil {
			if of[id] == nil {
				of[id] = map[string]float64{}
			}
			place, _ := formOf(at)
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
	if stop := gaps[measure.PocketEnd]; stop.low != nil && stop.low.Size > stop.high.Size {
		put(EndGap, stop.low, 1)
	} else {
		put(EndGap, stop.high, 1)
	}
	return of
}
