package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/measure"
)

// cell is the number of its reading that a row is of; an offset from the treble edge, which is read inward, its row counts
// outward.
func (s *solved) cell(row int) (cell *float64, outward bool) {
	switch r := s.Source[row]; {
	case r.Kind >= measure.Width:
		return &r.Size, false
	case s.axisOf(row) == measure.Station || r.Kind == measure.Station || r.Kind >= measure.StationNear:
		return &r.Station, false
	default:
		return &r.Offset, r.Datum == measure.DatumEdgeTreble
	}
}

// contradiction is the reading without whose numbers the others of a kit fall together best, where they cannot be fitted
// with it or only, as r says, by a chi-square many times as large: then it is one of the suspects; several where that does not
// tell them apart. mended is the
// kit with what the others say, and a millimetre more, in place of the first; nil where there is no such reading. Numbers are
// set aside by a gauge so coarse that they weigh nothing: then no start is spoilt by them.
func contradiction(kit *measure.Kit, r *Result) (n Nonsense, mended *measure.Kit) {
	const coarse, rivalry, better = 1e5, 6.0, 30.0 // mm; as in adjust.Suspect, of chi-square; times
	var s solved
	chi, found, kits := make([]float64, len(kit.Readings)), make([]Nonsense, len(kit.Readings)), make([]*measure.Kit, len(kit.Readings))
	least := math.Inf(1)
	settled := r.ChiSquare > 0
	if settled {
		least = r.ChiSquare / better
	}
	for i := range kit.Readings {
		if chi[i] = math.Inf(1); settled && !r.accuses(&kit.Readings[i]) {
			continue
		}
		k := *kit
		k.Readings = slices.Clone(kit.Readings)
		r := &k.Readings[i]
		vague := &measure.Gauge{ID: "none", Resolution: coarse}
		r.Gauge, r.StationGauge = vague, vague
		if s.solve(&k) != nil {
			continue
		}
		chi[i] = s.fit.ChiSquare
		least = min(least, chi[i])
		found[i], kits[i] = Nonsense{What: Agreement, Readings: []*measure.Reading{&kit.Readings[i]}}, &k
		for row, of := range s.Source {
			if of != r {
				continue
			}
			cell, outward := s.cell(row)
			off := s.fit.Residuals[row]
			if outward {
				off = -off
			}
			found[i].add(*cell, *cell-off)
			*cell += 1 - off
		}
		r.Gauge, r.StationGauge = kit.Readings[i].Gauge, kit.Readings[i].StationGauge
	}
	likely := 0 // how many are off by what people slip by
	var all []*measure.Reading
	for i := range found {
		if kits[i] == nil || chi[i] > least+rivalry || settled && math.Abs(found[i].Value-found[i].Low) < gross {
			continue
		}
		all = append(all, &kit.Readings[i])
		if found[i].Slip != OutOfRange {
			likely++
		}
		if mended == nil || n.Slip == OutOfRange && found[i].Slip != OutOfRange {
			n, mended = found[i], kits[i]
		}
	}
	if likely != 1 {
		n.Readings = all
	}
	return n, mended
}

// accuses tells whether a reading is a suspect or the rival of one.
func (r *Result) accuses(reading *measure.Reading) bool {
	return slices.ContainsFunc(r.Suspects, func(s Suspect) bool { return s.Reading == reading || slices.Contains(s.Rivals, reading) })
}

// add notes a number beside what the others say, if it is farther off than the one before.
func (n *Nonsense) add(read, expected float64) {
	if math.Abs(read-expected) <= math.Abs(n.Value-n.Low) {
		return
	}
	n.Value, n.Low, n.High, n.Slip = read, expected, expected, OutOfRange
	switch times := read / expected; {
	case math.Abs(times-10) < 0.3 || math.Abs(times-100) < 3:
		n.Slip = DecimalPoint
	case math.Abs(times-0.1) < 0.003:
		n.Slip = Centimetres
	}
}

// apart is the kit as if the readings that cannot be so had not been taken, and the kit with something in
// their place that can be fitted: the like of a sound reading of the same, a millimetre off, where there is one. So of numbers of kits.csv.
func apart(kit *measure.Kit, list []Nonsense) (sound, touched *measure.Kit) {
	struck := map[*measure.Reading]bool{}
	a, b := *kit, *kit
	a.Readings, b.Readings = nil, slices.Clone(kit.Readings)
	for _, n := range list {
		for _, r := range n.Readings {
			struck[r] = true
		}
		if n.Told > 0 {
			t := &told[n.Told-1]
			*t.of(&a.Info) = 0
			*t.of(&b.Info) = (n.Low + 3*n.High) / 4 // which no default is
		}
	}
	if a.Info.ScaleBass == 0 || a.Info.ScaleTreble == 0 { // they come together
		a.Info.ScaleBass, a.Info.ScaleTreble = 0, 0
	}
	for i := range kit.Readings {
		r := &kit.Readings[i]
		if !struck[r] {
			a.Readings = append(a.Readings, *r)
			continue
		}
		var like *measure.Reading // the first by its numbers, so that the order of rows does not matter
		for j := range kit.Readings {
			q := &kit.Readings[j]
			if struck[q] || q.Datum != r.Datum || q.Feature != r.Feature || q.Kind != r.Kind || q.Mark != r.Mark {
				continue
			}
			if like == nil || cmp.Or(cmp.Compare(q.Station, like.Station), cmp.Compare(q.Offset, like.Offset), cmp.Compare(q.Size, like.Size)) < 0 {
				like = q
			}
		}
		if like != nil {
			b.Readings[i].Station, b.Readings[i].Offset, b.Readings[i].Size = like.Station+1, like.Offset+1, like.Size+1
		}
	}
	return &a, &b
}
