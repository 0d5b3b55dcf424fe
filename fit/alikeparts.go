package fit

import (
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// holes are in even rows, those of one feature as wide as each other, and patterns of two parts lie on each other.
func (k *alike) holes() {
	var former survey.PointKey
	for _, key := range k.Points.Keys() {
		frame, f := key.Frame(), key.Feature()
		if frame == former.Frame() && f == former.Feature() {
			continue
		}
		former = key
		switch f {
		case measure.NutSlot:
			k.family(1, k.row(frame, f, measure.Offset))
			fallthrough
		case measure.StringHole, measure.Ferrule, measure.PlateHole:
			k.family(1, k.row(frame, f, measure.Station))
		}
		k.family(0, k.row(frame, f, measure.Diameter))
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
		for _, apart := range r.off {
			square := apart.X.Value*apart.X.Value + apart.Y.Value*apart.Y.Value
			p.most, chi2 = max(p.most, math.Sqrt(square)), chi2+square/(2*alikeHole*alikeHole)
		}
		critical := adjust.Critical(4*len(r.marks), falseUnlike)
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
			m := autodiff.Rigid([]autodiff.Vector{from[i].Fixed(), from[j].Fixed()}, []autodiff.Vector{to[i].Fixed(), to[j].Fixed()})
			moved, apart := make([]adjust.Point, len(from)), make([]float64, len(from))
			for n, p := range from {
				x, y := m.At(p)
				moved[n] = adjust.Point{X: x, Y: y}
				apart[n] = math.Hypot(to[n].X.Value-x, to[n].Y.Value-y)
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
		back := k.row(frame, measure.SaddleBack, measure.Station)
		k.family(1, front, back)
		for _, o := range k.row(frame, measure.Saddle, measure.Station).row {
			k.travel(o, front, back)
		}
		heights := [2]series{{std: alikeHole}, {std: alikeHole}}
		for i, key := range k.Heights.Keys() {
			if key.Frame() == frame {
				mark := measure.Mark{Number: key.Mark()}
				o := one{float64(key.Mark()), k.fit.X[k.Heights.At(i).Unknown], asked{frame: frame, feature: key.Feature(), mark: mark, number: measure.Height}}
				high := int(key.Feature() - measure.SaddleLow)
				heights[high].row = append(heights[high].row, o)
			}
		}
		k.family(2, heights[:]...) // over a crown
	}
}

// travel compares a saddle with its stops, between which it stands, or where the front one alone was read, with what saddles
// travel.
func (k *alike) travel(o one, front, back series) {
	stop := func(of series) *one {
		i := slices.IndexFunc(of.row, func(f one) bool { return f.at == o.at })
		if i < 0 {
			return nil
		}
		return &of.row[i]
	}
	near, far, std := stop(front), stop(back), alikeHole
	switch {
	case near == nil:
		return
	case far == nil:
		o.value -= saddleBehind
		std = alikeSaddle
	case o.value > near.value && o.value > far.value:
		near = far
	case o.value > near.value:
		return
	}
	if math.Abs(o.value-near.value) < atFirstSight/2*(alikeHole+std) {
		return
	}
	at := adjust.Term{Unknown: k.unknown(), Coef: 1}
	k.add(*near, alikeHole, at)
	k.add(o, std, at)
}

// spacing of strings is the same at saddles, stops and holes, whichever straightedge they were read from.
func (k *alike) spacing() {
	const askew = 0.2 // no straightedge is laid farther askew
	var rows []series
	for _, frame := range []measure.Datum{measure.DatumBody, measure.DatumBridge, measure.DatumEdgeBass} {
		for _, f := range []measure.Feature{measure.Saddle, measure.SaddleFront, measure.SaddleBack, measure.PlateHole, measure.StringHole, measure.Ferrule} {
			s, along := k.row(frame, f, measure.Offset), k.row(frame, f, measure.Station).row
			if len(s.row) == 0 {
				continue
			}
			if n := len(s.row); n == len(along) && n > 1 {
				points := make([]adjust.Point, n)
				for i := range points {
					points[i] = adjust.Point{X: s.row[i].value, Y: along[i].value}
				}
				if _, slope := adjust.MedianLine(points); math.Abs(slope) < askew {
					for i := range s.row {
						s.row[i].at /= math.Hypot(1, slope)
					}
				}
			}
			rows = append(rows, s)
		}
	}
	k.family(1, rows...)
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
		k.family(0, series{alikeSize, row[:]})
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
	if math.Abs(wide[0][0].value-wide[1][0].value) > 2*alikeHeel {
		k.add(one{}, alikeHeel, heel[0], less(heel[1]))
	}
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
		k.family(0, series{alikePlace, low})
		k.family(0, series{alikePlace, high})
	}
}
