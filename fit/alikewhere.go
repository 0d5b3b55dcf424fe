package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// alikeMark is how far apart, as a standard deviation in mm, the marks are at which two sides of one part were read. Common
// practice, no source.
const alikeMark = 2.0

// fewMarks is how many there must be on a side to tell that its marks are meant to be those of the other.
const fewMarks = 3

// marks at which the two sides of a part, or two rows of a floor, were read are the same: one that has no fellow on the other
// side, while the others have, was written down wrong, or that fellow was.
func (k *alike) marks() {
	station := func(r *measure.Reading) *float64 { return &r.Station }
	for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody} {
		for _, across := range []measure.Feature{measure.Fingerboard, measure.Heel, measure.Pocket} {
			pair := survey.Partners(across)
			side := func(f measure.Feature) []*measure.Reading {
				return k.readings(func(r *measure.Reading) bool {
					return r.Feature == f && survey.Frame(r.Datum) == frame && r.Kind != measure.Gap && r.HasStation
				})
			}
			if bass := side(pair[0]); len(bass) >= fewMarks {
				k.fellows(bass, side(pair[1]), station)
			}
		}
	}
	floor := k.Planes.Get(survey.SideAt(measure.DatumBody, measure.PocketFloor))
	if floor == nil {
		return
	}
	offset := func(r *measure.Reading) *float64 { return &r.Offset }
	row := func(across func(r *measure.Reading) *float64, middle float64, side float64) []*measure.Reading {
		return k.readings(func(r *measure.Reading) bool {
			return r.Feature == measure.PocketFloor && (*across(r)-middle)*side > atFirstSight*alikeMark
		})
	}
	k.fellows(row(offset, floor.Y0, -1), row(offset, floor.Y0, 1), station)
	k.fellows(row(station, floor.X0, -1), row(station, floor.X0, 1), offset)
}

// readings are those wanted of what was fitted, each once.
func (k *alike) readings(wanted func(r *measure.Reading) bool) []*measure.Reading {
	from := len(k.read)
	for i, r := range k.Source {
		if r != nil && (i == 0 || k.Source[i-1] != r) && wanted(r) {
			k.read = append(k.read, r)
		}
	}
	return k.read[from:len(k.read):len(k.read)]
}

// fellows compares the marks of two rows, as many in each.
func (k *alike) fellows(a, b []*measure.Reading, mark func(r *measure.Reading) *float64) {
	apart := func(r, q *measure.Reading) float64 { return math.Abs(*mark(r) - *mark(q)) }
	odd := false
	for _, list := range [][]*measure.Reading{a, b} {
		slices.SortStableFunc(list, func(r, q *measure.Reading) int { return cmp.Compare(*mark(r), *mark(q)) })
	}
	for i := range min(len(a), len(b)) {
		odd = odd || apart(a[i], b[i]) > atFirstSight*alikeMark
	}
	if !odd || len(a) != len(b) || len(a) < 2 {
		return
	}
	without := func(list []*measure.Reading, i int) []*measure.Reading {
		return slices.Delete(slices.Clone(list), i, i+1)
	}
	at := func(r *measure.Reading, list []*measure.Reading) (n int) { // how many were read there
		for _, q := range list {
			if apart(r, q) <= 3*alikeMark {
				n++
			}
		}
		return n
	}
	best, least := -1, 3*alikeMark
	for both := range len(a) * len(b) {
		i, j := both/len(b), both%len(b)
		if apart(a[i], b[j]) <= atFirstSight*alikeMark {
			continue
		}
		rest, others, most := without(a, i), without(b, j), 0.0
		for n := range rest {
			most = max(most, apart(rest[n], others[n]))
		}
		if most < least {
			best, least = both, most
		}
	}
	if best < 0 {
		return
	}
	r, q := a[best/len(b)], b[best%len(b)]
	var times []float64
	for i := range a {
		times = append(times, float64(at(a[i], a)), float64(at(b[i], b)))
	}
	usual := int(adjust.Median(times))
	rivals := []*measure.Reading{q}
	switch here, there := at(r, a) != usual, at(q, b) != usual; {
	case here && !there:
		rivals = a
	case there && !here:
		r, q, rivals = q, r, b
	}
	s := Suspect{Reading: r, Critical: atFirstSight, Read: *mark(r), Expected: *mark(q), W: (*mark(r) - *mark(q)) / alikeMark}
	for _, o := range rivals { // all that were read at its place, where they are too many
		if o == q || o != r && apart(o, r) <= 3*alikeMark {
			s.Rivals = append(s.Rivals, o)
		}
	}
	k.strays = append(k.strays, s)
}
