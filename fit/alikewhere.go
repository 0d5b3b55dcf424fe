package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Somebody who reads both sides of a part at the same marks makes those that a straightedge lays aslant differ by the same few
// mm. Common practice, no source: one mark is astray that is at least this far from its fellow, where all others agree, of so
// many on a side that they do not by chance.
const (
	strayMark  = 10.0
	sameMark   = 0.5
	aslant     = 3.0
	fewMarks   = 4 // fewer say nothing
	enoughSlew = 5 // and fewer than these nothing of marks that lie aslant
)

// marks at which both sides of a part were read are compared where they are as many.
func (k *alike) marks() {
	for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody} {
		for _, across := range []measure.Feature{measure.Fingerboard, measure.Heel, measure.Pocket} {
			pair := survey.Partners(across)
			bass := k.Sides.Get(survey.SideAt(frame, pair[0]))
			if bass == nil || bass.N < fewMarks {
				continue
			}
			if treble := k.Sides.Get(survey.SideAt(frame, pair[1])); treble != nil && treble.N == bass.N {
				k.fellows(k.readingsOf(frame, pair[0]), k.readingsOf(frame, pair[1]))
			}
		}
	}
}

// readingsOf are those of a side, by their stations.
func (k *alike) readingsOf(frame measure.Datum, f measure.Feature) []*measure.Reading {
	from := len(k.read)
	for i, r := range k.Source {
		if r != nil && r.Feature == f && survey.Frame(r.Datum) == frame && r.Kind != measure.Gap && (i == 0 || k.Source[i-1] != r) {
			k.read = append(k.read, r)
		}
	}
	list := k.read[from:len(k.read):len(k.read)]
	slices.SortStableFunc(list, func(r, q *measure.Reading) int { return cmp.Compare(r.Station, q.Station) })
	return list
}

// fellows compares the marks of two sides.
func (k *alike) fellows(a, b []*measure.Reading) {
	if len(a) != len(b) {
		return
	}
	for i, r := range a {
		for j, q := range b {
			if math.Abs(r.Station-q.Station) >= strayMark && othersAgree(a, b, i, j) {
				k.strays = append(k.strays, stray(a, b, r, q))
				return
			}
		}
	}
}

// othersAgree tells whether all but these two are at the same marks.
func othersAgree(a, b []*measure.Reading, i, j int) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for n := range len(a) - 1 {
		x, y := n, n
		if n >= i {
			x++
		}
		if n >= j {
			y++
		}
		by := a[x].Station - b[y].Station
		if low, high = min(low, by), max(high, by); high-low > sameMark {
			return false
		}
	}
	most := sameMark
	if len(a) >= enoughSlew {
		most = aslant
	}
	return max(math.Abs(low), math.Abs(high)) <= most
}

// stray is the one of two readings that is not where all of its place are, or either where nothing tells.
func stray(a, b []*measure.Reading, r, q *measure.Reading) Suspect {
	near := func(r, o *measure.Reading) bool { return math.Abs(r.Station-o.Station) <= aslant }
	at := func(r *measure.Reading, list []*measure.Reading) (n float64) {
		for _, o := range list {
			if near(r, o) {
				n++
			}
		}
		return n
	}
	var times []float64
	for i := range a {
		times = append(times, at(a[i], a), at(b[i], b))
	}
	usual := math.Floor(adjust.Median(times))
	rivals := []*measure.Reading{q}
	switch here, there := at(r, a) != usual, at(q, b) != usual; {
	case here && !there:
		rivals = a
	case there && !here:
		r, q, rivals = q, r, b
	}
	s := Suspect{Reading: r, W: (r.Station - q.Station) / aslant, Critical: strayMark / aslant, Read: r.Station, Expected: q.Station}
	for _, o := range rivals { // all that were read at its place, where they are too many
		if o == q || o != r && near(o, r) {
			s.Rivals = append(s.Rivals, o)
		}
	}
	return s
}
