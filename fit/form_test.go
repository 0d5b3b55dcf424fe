package fit

import (
	"fmt"
	"math"
	"math/rand/v2"

	"neckfit/fit/survey"
	"neckfit/measure"
)

// formOf names the place that a reading is of and tells how far such a place of a good part leaves the ideal form; it
// is empty for what has no form. Places of the simulated surveys lie more than 10 mm apart.
func formOf(r *measure.Reading) (place string, std float64) {
	at := func(x float64) int { return int(math.Round(x / 10)) }
	switch r.Feature {
	case measure.Fret, measure.Nut:
		return fmt.Sprint(r.Feature, r.Datum, r.Mark, at(r.Offset)), survey.FretForm
	case measure.EdgeBass, measure.EdgeTreble, measure.HeelBass, measure.HeelTreble, measure.PocketBass, measure.PocketTreble:
		if r.Kind == measure.Gap {
			return fmt.Sprint(r.Feature, r.Datum, "gap", at(r.Station)), math.Sqrt2 * survey.SideForm
		}
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), survey.SideForm
	case measure.HeelEnd, measure.PocketEnd:
		if r.Kind == measure.Gap {
			return fmt.Sprint(r.Feature, r.Datum, "gap", at(r.Offset)), math.Sqrt2 * survey.SideForm
		}
		return fmt.Sprint(r.Feature, r.Datum, at(r.Offset)), survey.SideForm
	case measure.Fingerboard, measure.Heel, measure.Pocket:
		return fmt.Sprint(r.Feature, r.Datum, at(r.Station)), math.Sqrt2 * survey.SideForm
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
