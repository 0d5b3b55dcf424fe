package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// How much what is alike on an instrument may differ, as a standard deviation in mm: holes of one pattern and stops of
// saddles, diameters, corners, the gaps of a pocket at mouth and end, where heel and pocket were read. Common practice, no
// source: wide enough for what is made well, narrow enough for a number that was misread by 1 mm.
const (
	alikeHole   = 0.12
	alikeRow    = 0.2 // holes that are drilled one by one in a row
	alikeSize   = 0.15
	alikeCorner = 0.2
	alikeGap    = 0.2
	alikeHeel   = 2.5   // a heel's own widths at mouth and end
	alikeEnd    = 0.005 // an end beside square, in mm per mm
	alikeWidth  = 0.06  // a width beside the gaps felt there
	alikePlace  = 9.0
	alikeMiddle = 3.5 // the middle of the two places an end was read at, beside its part's
	// A saddle stands amid its travel, this far behind its front stop.
	saddleBehind = 7.5
	alikeSaddle  = 8.0

	// farHole is how far, in mm, a hole lies from its pattern that is read again however badly the others are drilled.
	farHole = 1.5

	atFirstSight = 4.0 // how many of these what is alike must differ by to be looked into
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
	rows   []one              // room for all of them
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
	k.assembly, k.of, k.far, k.rows = a, adjust.Problem{Start: k.of.Start[:0], Rows: k.of.Rows[:0]}, nil, k.rows[:0]
	k.source, k.other, k.where, k.laid = k.source[:0], k.other[:0], k.where[:0], k.laid[:0]
	k.holes()
	k.saddles()
	k.sizes()
	k.ends()
	k.pocket()
	k.places()
	k.patterns()
	if len(k.of.Rows) == 0 {
		return k.far
	}
	fit, err := k.solver.Solve(&k.of, adjust.Options{})
	if err != nil {
		return k.far
	}
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
		if out.Reading != nil {
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
func (q asked) toldBy(r *measure.Reading) bool {
	switch {
	case survey.Frame(r.Datum) != q.frame || r.Feature != q.feature || r.Mark.Number != q.mark.Number || r.Mark.Name != q.mark.Name:
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

// row are the stations, offsets or diameters of a feature's marks.
func (k *alike) row(frame measure.Datum, f measure.Feature, number measure.Kind) []one {
	from := len(k.rows)
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
	return k.rows[from:len(k.rows):len(k.rows)]
}

// family are rows of values that rise alike, by a polynomial of their places of which only the constant differs from
// row to row.
func (k *alike) family(degree int, std float64, rows ...[]one) {
	odd, all := false, 0
	for i, row := range rows {
		all += len(row)
		odd = odd || farOff(row, nil, degree+1, std)
		odd = odd || i > 0 && len(row) == len(rows[0]) && farOff(row, rows[0], 1, std)
	}
	if !odd || all <= len(rows)+degree {
		return
	}
	common := make([]int, degree)
	for d := range common {
		common[d] = k.unknown()
	}
	for _, row := range rows {
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
			k.add(o, std, terms...)
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

// holes are in even rows, those of one feature as wide as each other, and patterns of two parts lie on each other.
func (k *alike) holes() {
	var former survey.PointKey
	for i, key := range k.Points.Keys() {
		frame, f := key.Frame(), key.Feature()
		if i > 0 && frame == former.Frame() && f == former.Feature() {
			continue
		}
		former = key
		switch f {
		case measure.StringHole, measure.Ferrule:
			k.family(1, alikeRow, k.row(frame, f, measure.Station))
			k.family(1, alikeRow, k.row(frame, f, measure.Offset))
		case measure.PlateHole, measure.NutSlot:
			k.family(1, alikeHole, k.row(frame, f, measure.Station))
			k.family(1, alikeHole, k.row(frame, f, measure.Offset))
		}
		k.family(0, alikeSize, k.row(frame, f, measure.Diameter))
	}
}

// pattern is two patterns of holes, one to lie on the other.
type pattern struct {
	frame, on measure.Datum
	f, g      measure.Feature

	laid *registration
	most float64 // how far, in mm, their holes are apart then; 0 where they are fewer than three
}

// patterns compares patterns, where anything is odd already or some hole of theirs may be a suspect. The first is laid on the
// other by that pair of its holes after which half of them lie best: one wrong hole does not turn it.
func (k *alike) patterns() {
	list := [...]pattern{
		{frame: measure.DatumBridge, f: measure.PlateScrew, on: k.body.frame, g: measure.BridgeScrew},
		{frame: measure.DatumNeck, f: measure.HeelScrew, on: k.body.frame, g: measure.NeckScrew},
	}
	const least = 3
	odd := len(k.of.Rows) > 0
	for i := range list {
		p := &list[i]
		r, ok := k.register(p.frame, p.f, p.on, p.g)
		if !ok || len(r.marks) < least {
			continue
		}
		p.laid = r
		chi2 := 0.0 // of their equations, in which each hole has four numbers
		for _, m := range r.marks {
			apart := r.residualOf(m)
			square := apart.X.Value*apart.X.Value + apart.Y.Value*apart.Y.Value
			p.most, chi2 = max(p.most, math.Sqrt(square)), chi2+square/(2*alikeHole*alikeHole)
		}
		critical := adjust.Critical(4 * len(r.marks))
		odd = odd || chi2 > critical*critical
	}
	for i := range list {
		if p := &list[i]; odd && p.most > atFirstSight*alikeHole/2 {
			k.compare(p)
		}
	}
}

// compare writes the equations of two patterns that are apart.
func (k *alike) compare(p *pattern) {
	r := p.laid
	laid := laidByPair(r.from, r.to)
	turn, right, down := k.unknown(), k.unknown(), k.unknown()
	for i, m := range r.marks {
		x, y, mark := k.unknown(), k.unknown(), measure.Mark{Number: m}
		number := func(v float64, frame measure.Datum, f measure.Feature, number measure.Kind) one {
			return one{value: v, asked: asked{frame: frame, feature: f, mark: mark, number: number}}
		}
		here, there := number(0, p.frame, p.f, measure.Station).asked, number(0, p.on, p.g, measure.Station).asked
		if x, y := r.to[i].X.Value-laid[i].X, r.to[i].Y.Value-laid[i].Y; math.Abs(x) >= math.Abs(y) {
			k.tooFar(r.to[i].X.Value, laid[i].X, there, here)
		} else {
			here.number, there.number = measure.Offset, measure.Offset
			k.tooFar(r.to[i].Y.Value, laid[i].Y, there, here)
		}
		k.add(number(laid[i].X, p.frame, p.f, measure.Station), alikeHole, adjust.Term{Unknown: x, Coef: 1})
		k.add(number(laid[i].Y, p.frame, p.f, measure.Offset), alikeHole, adjust.Term{Unknown: y, Coef: 1})
		k.laid[len(k.laid)-2], k.laid[len(k.laid)-1] = measure.Station, measure.Offset
		k.add(number(r.to[i].X.Value, p.on, p.g, measure.Station), alikeHole,
			adjust.Term{Unknown: x, Coef: 1}, adjust.Term{Unknown: right, Coef: 1}, adjust.Term{Unknown: turn, Coef: -laid[i].Y})
		k.add(number(r.to[i].Y.Value, p.on, p.g, measure.Offset), alikeHole,
			adjust.Term{Unknown: y, Coef: 1}, adjust.Term{Unknown: down, Coef: 1}, adjust.Term{Unknown: turn, Coef: laid[i].X})
	}
}

// laidByPair moves places onto others rigidly by the pair of them that leaves the least median distance.
func laidByPair(from, to []autodiff.Vector) (best []adjust.Point) {
	least := math.Inf(1)
	for i := range from {
		for j := range i {
			m := autodiff.Rigid([]autodiff.Vector{from[i], from[j]}, []autodiff.Vector{to[i], to[j]})
			moved, apart := make([]adjust.Point, len(from)), make([]float64, len(from))
			for n, p := range from {
				at := m.Place(p)
				moved[n] = adjust.Point{X: at.X.Value, Y: at.Y.Value}
				apart[n] = math.Hypot(to[n].X.Value-at.X.Value, to[n].Y.Value-at.Y.Value)
			}
			slices.Sort(apart)
			if half := apart[len(apart)/2]; half < least {
				least, best = half, moved
			}
		}
	}
	return best
}

// saddles have their stops and their strings in rows, and stand between them.
func (k *alike) saddles() {
	for _, frame := range []measure.Datum{measure.DatumBody, measure.DatumBridge, measure.DatumEdgeBass} {
		front := k.row(frame, measure.SaddleFront, measure.Station)
		k.family(1, alikeHole, front, k.row(frame, measure.SaddleBack, measure.Station))
		k.family(1, alikeHole, k.row(frame, measure.Saddle, measure.Offset), k.row(frame, measure.SaddleFront, measure.Offset), k.row(frame, measure.SaddleBack, measure.Offset))
		for _, o := range k.row(frame, measure.Saddle, measure.Station) {
			stop := slices.IndexFunc(front, func(f one) bool { return f.at == o.at })
			if o.value -= saddleBehind; stop < 0 || math.Abs(o.value-front[stop].value) < atFirstSight/2*alikeSaddle {
				continue
			}
			at := adjust.Term{Unknown: k.unknown(), Coef: 1}
			k.add(front[stop], alikeHole, at)
			k.add(o, alikeSaddle, at)
		}
		var heights [2][]one
		for i, key := range k.Heights.Keys() {
			if key.Frame() == frame {
				mark := measure.Mark{Number: key.Mark()}
				o := one{float64(key.Mark()), k.fit.X[k.Heights.At(i).Unknown], asked{frame: frame, feature: key.Feature(), mark: mark, number: measure.Height}}
				high := int(key.Feature() - measure.SaddleLow)
				heights[high] = append(heights[high], o)
			}
		}
		k.family(2, alikeHole, heights[:]...) // over a crown
	}
}

// sizes of two corners of a part are the same.
func (k *alike) sizes() {
	keys := k.Corners.Keys()
	for i := 1; i < len(keys); i++ {
		if keys[i].Frame != keys[i-1].Frame || keys[i].Feature != keys[i-1].Feature {
			continue
		}
		var row [2]one
		for j := range row {
			row[j] = one{0, k.fit.X[k.Corners.At(i-1+j).Radius], asked{
				frame: keys[i].Frame, feature: keys[i].Feature, mark: measure.Mark{Name: keys[i-1+j].Name}, number: measure.Radius}}
		}
		k.family(0, alikeCorner, row[:])
	}
}

// ends lie square across and are read toward both sides of their part, and the gap at an end is as wide at both corners.
func (k *alike) ends() {
	for i, key := range k.Sides.Keys() {
		part := measure.Heel
		switch key.Feature() {
		case measure.PocketEnd:
			part = measure.Pocket
		case measure.HeelEnd:
		default:
			continue
		}
		on, slope := k.Sides.At(i), 0.0
		if !key.Gap() {
			pair := k.pair(key.Frame(), part)
			if !pair.there {
				continue
			}
			slope = pair.mid.N.X.Value / pair.mid.N.Y.Value
			if middle := pair.mid.AtX(k.fit.X[on.A]).Y.Value; on.N == 2 && (on.LowX-middle)*(on.HighX-middle) > 0 {
				k.lopsided(key, middle)
			}
		}
		if on.N != 2 || math.Abs(k.fit.X[on.B]-slope)*(on.HighX-on.LowX) < atFirstSight*alikeHole {
			continue
		}
		a, b := k.unknown(), k.unknown()
		for row, r := range k.Source {
			if r != nil && r.Feature == key.Feature() && survey.Frame(r.Datum) == key.Frame() && (r.Kind == measure.Gap) == key.Gap() {
				k.add(one{value: k.Problem.Rows[row].Value}, alikeWidth, adjust.OnLine(a, b, on.C, r.Offset)...)
				k.source[len(k.source)-1] = r
			}
		}
		k.add(one{value: slope}, alikeEnd, adjust.Term{Unknown: b, Coef: 1})
	}
}

// lopsided are the two places of an end that lie on one side of its part's middle.
func (k *alike) lopsided(key survey.SideKey, middle float64) {
	const exact = 0.01 // beside what the places scatter by
	var both []*measure.Reading
	for _, r := range k.Source {
		if r != nil && r.Feature == key.Feature() && survey.Frame(r.Datum) == key.Frame() && r.Kind != measure.Gap && !slices.Contains(both, r) {
			both = append(both, r)
		}
	}
	at := adjust.Term{Unknown: k.unknown(), Coef: 1}
	k.add(one{value: both[0].Offset, asked: asked{where: true}}, 2*alikeMiddle, at)
	k.add(one{value: 2*middle - both[1].Offset, asked: asked{where: true}}, exact, at)
	k.source[len(k.source)-2], k.other[len(k.other)-2] = both[0], both[1]
}

// pocket compares heel and pocket where widths alone were read of them, and the gaps felt beside the heel: a pocket is as
// much too wide at its mouth as at its end, and by what was felt.
func (k *alike) pocket() {
	var wide, felt [2][]one // at mouth and end: heel and pocket; both gaps
	for _, of := range []survey.SideKey{survey.SideAt(k.heelFrame(), measure.Heel), survey.SideAt(k.pocketFrame(), measure.Pocket)} {
		w := k.Widths.Get(of)
		if w == nil || w.HighX-w.LowX <= leastApart || k.Sides.Get(survey.SideAt(of.Frame(), survey.Partners(of.Feature())[0])).N > 0 {
			return
		}
		k.outermost(&wide, of, &w.Trend, measure.Width)
	}
	for _, wall := range []measure.Feature{measure.PocketBass, measure.PocketTreble} {
		if on := k.Sides.Get(survey.GapBeside(measure.DatumBody, wall)); on != nil && on.HighX-on.LowX > leastApart {
			k.outermost(&felt, survey.SideAt(measure.DatumBody, wall), &on.Trend, measure.Gap)
		}
	}
	var over [2]float64
	odd := false
	for i := range over {
		over[i] = wide[i][1].value - wide[i][0].value
		odd = odd || len(felt[i]) == 2 && math.Abs(over[i]-felt[i][0].value-felt[i][1].value) > atFirstSight*alikeWidth
	}
	if !odd && math.Abs(over[0]-over[1]) < atFirstSight*alikeGap/2 {
		return
	}
	var heel, gap [2]adjust.Term
	for i := range over {
		heel[i], gap[i] = adjust.Term{Unknown: k.unknown(), Coef: 1}, adjust.Term{Unknown: k.unknown(), Coef: 1}
		k.add(wide[i][0], alikeWidth, heel[i])
		k.add(wide[i][1], alikeWidth, heel[i], gap[i])
		if len(felt[i]) == 2 {
			bass := k.unknown()
			k.add(felt[i][0], alikeWidth, adjust.Term{Unknown: bass, Coef: 1})
			k.add(felt[i][1], alikeWidth, gap[i], adjust.Term{Unknown: bass, Coef: -1})
		}
	}
	less := func(t adjust.Term) adjust.Term { return adjust.Term{Unknown: t.Unknown, Coef: -1} }
	k.add(one{}, alikeGap, gap[0], less(gap[1]))
	k.add(one{}, alikeHeel, heel[0], less(heel[1]))
}

// outermost adds what a size comes to at the first and the last of its places, the mean of what was read there.
func (k *alike) outermost(list *[2][]one, of survey.SideKey, seen *survey.Trend, kind measure.Kind) {
	for i, station := range []float64{seen.LowX, seen.HighX} {
		o, n := one{asked: asked{frame: of.Frame(), feature: of.Feature(), number: kind, near: true, station: station}}, 0.0
		for row, r := range k.Source {
			if r != nil && survey.Frame(r.Datum) == of.Frame() && r.Feature == of.Feature() && r.Kind == kind && math.Abs(r.Station-station) <= leastApart {
				n++
				o.value += (k.Problem.Rows[row].Value - o.value) / n
			}
		}
		list[i] = append(list[i], o)
	}
}

// places at which heel and pocket were read from one straightedge are about the same, at the mouth and at the end.
func (k *alike) places() {
	for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody, measure.DatumEdgeBass} {
		var room [2][8]one
		low, high := room[0][:0], room[1][:0]
		note := func(t *survey.Trend, f measure.Feature, kind measure.Kind) {
			if t.HighX-t.LowX > leastApart {
				of := asked{frame: frame, feature: f, number: kind, where: true, near: true}
				low, high = append(low, one{0, t.LowX, of}), append(high, one{0, t.HighX, of})
				low[len(low)-1].station, high[len(high)-1].station = t.LowX, t.HighX
				low[len(low)-1].other, high[len(high)-1].other = t.HighX, t.LowX
			}
		}
		for i, key := range k.Sides.Keys() {
			switch f := key.Feature(); {
			case key.Frame() != frame || f == measure.EdgeBass || f == measure.EdgeTreble || f == measure.HeelEnd || f == measure.PocketEnd || f == measure.BodyCentre:
			case key.Gap():
				note(&k.Sides.At(i).Trend, f, measure.Gap)
			default:
				note(&k.Sides.At(i).Trend, f, measure.Station)
			}
		}
		for i, key := range k.Widths.Keys() {
			if key.Frame() == frame && key.Feature() != measure.Fingerboard {
				note(&k.Widths.At(i).Trend, key.Feature(), measure.Width)
			}
		}
		k.family(0, alikePlace, low)
		k.family(0, alikePlace, high)
	}
}
