package simulate

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"neckfit/measure"
)

// Spread is how far places of parts leave the ideal form, as standard deviations in mm.
type Spread struct {
	Fret, Nut   float64 // a fret, or an end of the nut, from the law of frets; a whole nut from where its frets want it
	Edge, Wall  float64 // a fingerboard's edge, and a side or end of heel or pocket or a body's middle, from straight
	Plane       float64 // fret tops, floor and top from their planes
	FretsByEdge bool    // so few frets are read from an edge that a nut is taken for one of them
}

// GoodParts is the spread of parts that nobody would complain of: common practice, no source.
func GoodParts() Spread {
	return Spread{Fret: 0.05, Nut: 0.3, Edge: 0.05, Wall: 0.03, Plane: 0.05, FretsByEdge: true}
}

// Spot is a place of a part by name. Places that surveys read lie more than 10 mm apart.
type Spot string

// Spot is the place that a reading is of, with how far it may leave the form; "" for what has none.
func (s Spread) Spot(r *measure.Reading) (at Spot, std float64) {
	name := func(x ...float64) Spot {
		text := fmt.Sprint(r.Feature, " ", r.Datum, " ", r.Mark)
		if r.Kind == measure.Gap {
			text += " gap"
		}
		for _, v := range x {
			text += fmt.Sprint(" ", math.Round(v/10))
		}
		return Spot(text)
	}
	along := r.Station
	switch r.Feature {
	case measure.HeelEnd, measure.PocketEnd:
		along = r.Offset
		fallthrough
	case measure.HeelBass, measure.HeelTreble, measure.PocketBass, measure.PocketTreble, measure.BodyCentre:
		if r.Kind == measure.Gap { // what is felt is between two
			return name(along), math.Sqrt2 * s.Wall
		}
		return name(along), s.Wall
	case measure.EdgeBass, measure.EdgeTreble:
		return name(along), s.Edge
	case measure.Fingerboard:
		return name(along), math.Sqrt2 * s.Edge
	case measure.Heel, measure.Pocket:
		return name(along), math.Sqrt2 * s.Wall
	case measure.Fret, measure.Nut:
		return name(r.Offset), s.Fret
	case measure.FretTop, measure.PocketFloor, measure.Top:
		return name(along, r.Offset), s.Plane
	}
	return "", 0
}

// Form is how far each place of one set of parts leaves the ideal form, drawn when it is first read.
type Form struct {
	Spread
	By  map[Spot]float64 // mm: toward tail of frets, nuts and ends, else as the gauge shows it
	std map[Spot]float64 // of which it was drawn
	rng *rand.Rand
}

// NewForm is of parts of which no place was read yet.
func NewForm(rng *rand.Rand, s Spread) *Form {
	return &Form{s, map[Spot]float64{}, map[Spot]float64{}, rng}
}

// On makes exact or noisy readings of an ideal instrument those of the same instrument with this form.
func (f *Form) On(readings []measure.Reading) []measure.Reading {
	for i := range readings {
		at, std := f.Spot(&readings[i])
		if std == 0 {
			continue
		}
		if _, ok := f.By[at]; !ok {
			f.std[at] = std
			if f.By[at], ok = f.beside(readings[i]); !ok {
				f.By[at] = std * f.rng.NormFloat64()
			}
		}
		Leave(&readings[i], f.By[at])
		if r := &readings[i]; r.Feature == measure.Nut && !(f.FretsByEdge && r.Datum.Edge()) {
			if _, ok := f.By[WholeNut]; !ok {
				f.By[WholeNut] = f.Nut * f.rng.NormFloat64()
			}
			Leave(r, f.By[WholeNut])
		}
	}
	return readings
}

// beside is what a place leaves the form by that was read at another mark within a millimetre, as an exact survey reads between the whole ones.
func (f *Form) beside(r measure.Reading) (by float64, ok bool) {
	station, offset := r.Station, r.Offset
	for k := range 9 {
		r.Station, r.Offset = station+float64(k%3-1), offset+float64(k/3-1)
		at, _ := f.Spot(&r)
		if by, ok = f.By[at]; ok {
			return by, true
		}
	}
	return 0, false
}

// WholeNut is the nut, in one piece, besides what its ends leave the form by.
const WholeNut Spot = "whole nut"

// Leave moves a reading as its place leaves the form by so much.
func Leave(r *measure.Reading, by float64) {
	switch r.Feature {
	case measure.Fret, measure.Nut, measure.HeelEnd, measure.PocketEnd:
		if r.Kind != measure.Gap {
			r.Station += by
			return
		}
	}
	switch {
	case r.Kind >= measure.Width:
		r.Size += by
	case r.HasOffset:
		r.Offset += by
	}
}

// Bend makes one place each of frets, floor, sides and fret tops leave the form by three of its standard deviations.
func (f *Form) Bend() {
	spots := slices.Sorted(maps.Keys(f.By))
	for _, of := range []string{"fret ", "pocket-floor", "edge-bass", "heel-treble", "pocket-bass", "fret-top"} {
		var some []Spot
		for _, at := range spots {
			if strings.HasPrefix(string(at), of) && !strings.Contains(string(at), "gap") {
				some = append(some, at)
			}
		}
		if len(some) > 0 {
			at := some[f.rng.IntN(len(some))]
			f.By[at] = 3 * f.std[at] * float64(2*f.rng.IntN(2)-1)
		}
	}
}

// Slip is a blunder: so much is added to what a reading showed.
func Slip(r *measure.Reading, by float64) {
	switch {
	case r.Size != 0:
		r.Size += by
	case r.HasOffset && r.Feature != measure.Fret && r.Feature != measure.HeelEnd && r.Feature != measure.PocketEnd && r.Kind != measure.Station:
		r.Offset += by
	default:
		r.Station += by
	}
}
