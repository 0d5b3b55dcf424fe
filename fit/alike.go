package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// How much what is alike on an instrument may differ, as a standard deviation in mm: holes of one pattern and stops of
// saddles, diameters, corners, the gaps of a pocket at mouth and end, where heel and pocket were read. Common practice, no
// source: wide enough for what is made well, narrow enough for a number that was misread by 1 mm.
const (
	alikeHole   = 0.12
	alikeRow    = 0.17 // holes that are drilled one by one in a row
	alikeSize   = 0.15 // diameters and radii
	alikeGap    = 0.2
	alikeHeel   = 2.5   // a heel's own widths at mouth and end
	alikeEnd    = 0.005 // an end beside square, in mm per mm
	alikeWidth  = 0.06  // a width beside the gaps felt there
	alikePlace  = 9.0
	alikeMiddle = 3.0 // the middle of the two places an end was read at, beside its part's
	// A saddle stands amid its travel, this far behind its front stop.
	saddleBehind = 7.5
	alikeSaddle  = 8.0

	// farHole is how far, in mm, a hole lies from its pattern that is read again however badly the others are drilled.
	farHole = 1.5

	atFirstSight = 4.0 // how many of these what is alike must differ by to be looked into

	// The chances that a kit of good parts has a suspect, by what readings say of each other and by what is alike: together 2 %,
	// shared by how many numbers each looks at, about three to one.
	falseMisfit = 0.015
	falseUnlike = 0.005
)

// alike asks whether readings agree with what is alike on every instrument. Of holes, saddles and widths no reading
// checks another, so that an adjustment takes any number for them. The values are those of the places, each with an error
// of its own, in equations of their own. What comes out is misread, or made so, and no doubt about a value: a bad
// hole is a bad hole, but it is read again before anybody plugs it.
type alike struct {
	*assembly
	of     adjust.Problem
	source []*measure.Reading // of each row; nil where several readings tell of it, or none
	other  []*measure.Reading // and which might be meant instead, by the row alone
	where  []bool             // it is where something was read that is in question, and the part is as it is
	laid   []measure.Kind     // Station or Offset where its number was carried from another datum, the two laid about alike
	far    []Suspect          // by a pattern's robust pose
	strays []Suspect          // by the marks of the other side
	rows   []one              // room for all of them
	read   []*measure.Reading // and for readings
	solver adjust.Solver
}

// asked is which number of the readings is meant.
type asked struct {
	frame   measure.Datum
	feature measure.Feature
	mark    measure.Mark
	number  measure.Kind // Station or Offset of a place, else the kind of a size
	where   bool         // it is no number of the part, but where that was read
	near    bool         // only at that station
	station float64
	other   float64 // and at this one, where not the number is in question but where it was read
}

// one is a value among others that are alike, with its place in their row.
type one struct {
	at, value float64
	asked
}

// suspects are the readings that differ from their like. The room of another kit's is used again.
func (k *alike) suspects(a *assembly) (list []Suspect) {
	k.assembly, k.of, k.far, k.strays, k.rows, k.read = a, adjust.Problem{Start: k.of.Start[:0], Rows: k.of.Rows[:0]}, nil, nil, k.rows[:0], k.read[:0]
	k.source, k.other, k.where, k.laid = k.source[:0], k.other[:0], k.where[:0], k.laid[:0]
	k.holes()
	k.saddles()
	k.spacing()
	k.sizes()
	k.ends()
	k.pocket()
	k.places()
	k.marks()
	k.patterns()
	if len(k.of.Rows) == 0 {
		return append(k.strays, k.far...)
	}
	fit, err := k.solver.Solve(&k.of, adjust.Options{Alpha: falseUnlike, KnownScale: true})
	if err != nil {
		return append(k.strays, k.far...)
	}
	list = k.strays
	for _, s := range fit.Suspects() {
		out := Suspect{W: s.W, Critical: s.Critical, Crooked: !k.where[s.Row]}
		all := append([]adjust.Rival{{Row: s.Row, Error: s.Error}}, s.Rivals...)
		slices.SortStableFunc(all, func(a, b adjust.Rival) int { // first what has its number as it was read
			return cmp.Compare(k.laid[a.Row], k.laid[b.Row])
		})
		for _, rival := range all {
			for _, r := range []*measure.Reading{k.source[rival.Row], k.other[rival.Row]} {
				switch {
				case r == nil || r == out.Reading || slices.Contains(out.Rivals, r):
				case out.Reading == nil:
					out.Reading, out.Read = r, k.of.Rows[rival.Row].Value
					switch k.laid[rival.Row] {
					case measure.Station:
						out.Read = r.Station
					case measure.Offset:
						out.Read = r.Offset
					}
					out.Expected = out.Read - rival.Error
					out.W = math.Copysign(out.W, rival.Error)
				default:
					out.Rivals = append(out.Rivals, r)
				}
			}
		}
		told := func(s Suspect) bool { return s.Reading == out.Reading || slices.Contains(out.Rivals, s.Reading) }
		if out.Reading != nil && !slices.ContainsFunc(list, told) { // by another row of the same reading
			list = append(list, out)
		}
	}
	for _, f := range k.far {
		if !slices.ContainsFunc(list, func(s Suspect) bool { return s.Reading == f.Reading || slices.Contains(s.Rivals, f.Reading) }) {
			list = append(list, f)
		}
	}
	return list
}

// tooFar notes a number that lies farther from what its pattern says than holes are drilled, with what may be meant instead.
func (k *alike) tooFar(read, expected float64, of ...asked) {
	out := Suspect{W: (read - expected) / alikeHole, Critical: farHole / alikeHole, Read: read, Expected: expected, Crooked: true}
	if math.Abs(read-expected) < farHole {
		return
	}
	for _, q := range of {
		switch r := k.only(q); {
		case r == nil:
		case out.Reading == nil:
			out.Reading = r
		default:
			out.Rivals = append(out.Rivals, r)
		}
	}
	if out.Reading != nil {
		k.far = append(k.far, out)
	}
}

func (k *alike) unknown() int {
	k.of.Start = append(k.of.Start, 0)
	return len(k.of.Start) - 1
}

func (k *alike) add(o one, std float64, terms ...adjust.Term) {
	k.of.Rows = append(k.of.Rows, adjust.Row{Value: o.value, Sigma: std, Terms: terms})
	k.source, k.other, k.where = append(k.source, k.only(o.asked)), append(k.other, nil), append(k.where, o.where)
	k.laid = append(k.laid, measure.NoKind)
	if o.other != 0 {
		o.station = o.other
		k.other[len(k.other)-1] = k.only(o.asked)
	}
}

// only is the one reading that tells a number; nil where several do.
func (k *alike) only(q asked) (only *measure.Reading) {
	for i, r := range k.Source {
		if r == nil || i > 0 && k.Source[i-1] == r || !q.toldBy(r) {
			continue
		}
		if only != nil {
			return nil
		}
		only = r
	}
	return only
}

// toldBy tells whether a reading has the number.
func (q *asked) toldBy(r *measure.Reading) bool {
	switch {
	case r.Feature != q.feature || survey.Frame(r.Datum) != q.frame || r.Mark.Number != q.mark.Number || r.Mark.Name != q.mark.Name:
		return false
	case q.near && math.Abs(r.Station-q.station) > leastApart:
		return false
	case q.number == measure.Station:
		return r.HasStation && (r.Kind < measure.Width || q.near)
	case q.number == measure.Offset:
		return r.HasOffset && r.Kind < measure.Width
	}
	return q.number < measure.Width || r.Kind == q.number
}

// series are values that are alike, and by how much as a standard deviation.
type series struct {
	std float64
	row []one
}

// row are the stations, offsets or diameters of a feature's marks.
func (k *alike) row(frame measure.Datum, f measure.Feature, number measure.Kind) series {
	from, std := len(k.rows), alikeHole
	if !k.Marked(frame, f) {
		return series{}
	}
	switch {
	case number == measure.Diameter:
		std = alikeSize
	case f == measure.StringHole || f == measure.Ferrule:
		std = alikeRow
	}
	for i, key := range k.Points.Keys() {
		if key.Frame() != frame || key.Feature() != f {
			continue
		}
		p, unknown := k.Points.At(i), -1
		switch {
		case number == measure.Station && p.HasStation:
			unknown = p.Station
		case number == measure.Offset && p.HasOffset:
			unknown = p.Offset
		case number == measure.Diameter && p.HasDiameter:
			unknown = p.Diameter
		}
		if unknown >= 0 {
			mark := measure.Mark{Number: key.Mark()}
			k.rows = append(k.rows, one{float64(key.Mark()), k.fit.X[unknown], asked{frame: frame, feature: f, mark: mark, number: number}})
		}
	}
	return series{std, k.rows[from:len(k.rows):len(k.rows)]}
}

// family are rows of values that rise alike, by a polynomial of their places of which only the constant differs from
// row to row.
func (k *alike) family(degree int, rows ...series) {
	odd, all := false, 0
	for i, s := range rows {
		all += len(s.row)
		odd = odd || farOff(s.row, nil, degree+1, s.std)
		odd = odd || i > 0 && len(s.row) == len(rows[0].row) && farOff(s.row, rows[0].row, 1, s.std)
	}
	if !odd || all <= len(rows)+degree {
		return
	}
	common := make([]int, degree)
	for d := range common {
		common[d] = k.unknown()
	}
	for _, s := range rows {
		row := s.row
		if degree == 1 && len(row) >= leastLine {
			points := make([]adjust.Point, len(row))
			for i, o := range row {
				points[i] = adjust.Point{X: o.at, Y: o.value}
			}
			a, slope := adjust.MedianLine(points)
			for _, o := range row {
				k.tooFar(o.value, a+slope*o.at, o.asked)
			}
		}
		first := k.unknown()
		for _, o := range row {
			terms, power := []adjust.Term{{Unknown: first, Coef: 1}}, 1.0
			for _, u := range common {
				power *= o.at
				terms = append(terms, adjust.Term{Unknown: u, Coef: power})
			}
			k.add(o, s.std, terms...)
		}
	}
}

// farOff tells whether some difference of an order between neighbours is long beside the standard deviation: of values, or
// of what they are more than others.
func farOff(row, than []one, order int, std float64) bool {
	var room [usualStrings]float64
	v := room[:0]
	for i, o := range row {
		if than != nil {
			o.value -= than[i].value
		}
		v = append(v, o.value)
	}
	for range min(order, len(v)) {
		for i := range len(v) - 1 {
			v[i] = v[i+1] - v[i]
		}
		v = v[:len(v)-1]
	}
	return slices.ContainsFunc(v, func(d float64) bool { return math.Abs(d) > atFirstSight*std })
}
