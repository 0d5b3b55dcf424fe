package html

import (
	"fmt"
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// sideView is the kit from the side: body top, pocket floor and the plane of the frets carried on
// to the saddles. Heights are magnified. It is "" where heights were not read.
func sideView(s *scene) template.HTML {
	height, pitch := s.named(fit.FretPlaneHeight), s.named(fit.Pitch)
	mouth, end, okPocket := s.pocket()
	b, okBridge := s.bridge()
	if height == nil || pitch == nil || !okBridge {
		return ""
	}
	const (
		left, right  = 30.0, 880.0
		base, bottom = 150.0, 206.0 // body top, and where its drawing stops
		most         = 108.0        // px from body top to the highest line
	)
	f := &figure{width: planWidth, height: 250}
	from := 0.0
	if s.g.Scale <= 0 {
		from = math.Min(mouth, b.s-300)
	}
	x := between(from, b.s+25, left, right)
	slope := math.Tan(pitch.Value * math.Pi / 180)
	at := func(s float64) float64 { return height.Value + slope*(s-b.s) }
	highest := math.Max(math.Max(at(from), at(b.s)), 5)
	depth := 0.0
	if d := s.named(fit.PocketDepth); d != nil {
		depth = math.Max(d.Value, 0)
	}
	per := math.Min(most/highest, (bottom-base)/math.Max(depth+2, 5))
	y := axis{base, -per}
	tail := right + 8 // the words of the saddles' range begin at right + 13
	if okPocket {
		f.polygon("wood", point{x.of(mouth), bottom}, point{x.of(mouth), y.of(-depth)}, point{x.of(end), y.of(-depth)},
			point{x.of(end), base}, point{tail, base}, point{tail, bottom})
		f.text("note m", point{x.of((mouth + end) / 2), bottom + 15}, "pocket floor")
		f.polygon("heel", point{x.of(mouth), y.of(-depth)}, point{x.of(end) - 3, y.of(-depth)}, point{x.of(end) - 3, y.of(at(end))},
			point{x.of(from), y.of(at(from))}, point{x.of(from), y.of(at(from)) + 22}, point{x.of(mouth), y.of(at(mouth)) + 22})
	} else {
		f.polygon("wood", point{x.of(from), base}, point{tail, base}, point{tail, bottom}, point{x.of(from), bottom})
	}
	if okPocket {
		s.underHeel(f, x, y, [2]float64{mouth, end}, -depth, bottom+31)
		s.planeThen(f, x, y, from, b.s)
	}
	f.line("plane", point{x.of(from), y.of(at(from))}, point{x.of(b.s), y.of(at(b.s))})
	f.line("dim", point{x.of(b.s), base}, point{x.of(b.s), y.of(height.Value)})
	v, u := words.Rounded(height.Value, height.StdUncertainty)
	f.text("strong e", point{x.of(b.s) - 8, base - 8}, v+" ± "+u+" mm over the top")
	v, u = words.Rounded(pitch.Value, pitch.StdUncertainty)
	f.text("", point{left, y.of(at(from)) - 10}, "plane of the frets, pitch "+v+" ± "+u+" deg")
	s.saddleRange(f, point{right + 60, 36}, 124)
	f.text("note", point{left, 240}, fmt.Sprintf("heights drawn %s times the scale of lengths", trimmed(per/x.per)))
	return f.svg("fig plan", "Side view: body top, pocket floor, and the plane of the frets carried to the saddles.", "data-x", x.data(), "data-y", y.data())
}

// underHeel draws what the recommended plan lays on the pocket's floor, one upon the other from
// the floor's height up, and says below it how thick it is.
func (s *scene) underHeel(f *figure, x, y axis, ends [2]float64, floor, words float64) {
	if s.plan == nil {
		return
	}
	at, said := [2]float64{floor, floor}, ""
	for _, a := range s.plan.Actions {
		thick := underneath(a)
		if thick == [2]float64{} {
			continue
		}
		top := [2]float64{at[0] + thick[0], at[1] + thick[1]}
		f.polygon("shim", point{x.of(ends[0]), y.of(at[0])}, point{x.of(ends[1]), y.of(at[1])}, point{x.of(ends[1]), y.of(top[1])}, point{x.of(ends[0]), y.of(top[0])})
		if at = top; said != "" {
			said += ", "
		}
		said += "shim " + fromTo(thick[0], thick[1])
	}
	if said != "" {
		f.text("strong m", point{x.of((ends[0] + ends[1]) / 2), words}, said)
	}
}

// underneath is how thick, in mm, an action's shim is at the pocket's mouth and at its end.
func underneath(a remedy.Action) [2]float64 {
	switch {
	case a.Work == measure.RiseShim:
		return [2]float64{a.Size, a.Size}
	case a.Work == measure.PitchShim && a.Turn < 0:
		return [2]float64{a.Size, 0}
	case a.Work == measure.PitchShim:
		return [2]float64{0, a.Size}
	}
	return [2]float64{}
}

// planeThen is the plane of the frets as the recommended plan leaves it, where that changes.
func (s *scene) planeThen(f *figure, x, y axis, from, bridge float64) {
	height, okHeight := s.predicted(fit.FretPlaneHeight)
	pitch, okPitch := s.predicted(fit.Pitch)
	if !okHeight || !okPitch || !height.Changed && !pitch.Changed {
		return
	}
	nut := height.Value + math.Tan(pitch.Value*math.Pi/180)*(from-bridge)
	f.line("plane moved", point{x.of(from), y.of(nut)}, point{x.of(bridge), y.of(height.Value)})
	f.text("note e", point{x.of(bridge), 237}, "dashed: the plane after the work")
}

// predicted is what the recommended plan leaves of a characteristic.
func (s *scene) predicted(id fit.ID) (remedy.Predicted, bool) {
	if s.plan == nil || s.named(id) == nil {
		return remedy.Predicted{}, false
	}
	for _, p := range s.plan.Predicted {
		if s.Characteristics[p.Index].ID == id {
			return p, true
		}
	}
	return remedy.Predicted{}, false
}

// saddleRange is a scale of the saddles' height: the least reserves about what is needed.
func (s *scene) saddleRange(f *figure, at point, length float64) {
	low, high := s.named(fit.SaddleHeightReserveLow), s.named(fit.SaddleHeightReserveHigh)
	if low == nil || high == nil {
		return
	}
	all := low.Value + high.Value
	if all <= 0 {
		return
	}
	y := between(-low.Value, high.Value, at.y+length, at.y)
	f.rect("band", at.x-7, at.y, 14, length)
	f.line("limit", point{at.x - 7, at.y}, point{at.x + 7, at.y})
	f.line("limit", point{at.x - 7, at.y + length}, point{at.x + 7, at.y + length})
	const top, bottom = 10.0, 196.0
	need := math.Min(math.Max(y.of(0), top), bottom)
	f.diamond("bridge-mark", point{at.x, need}, 6)
	f.text("note m", point{at.x, at.y - 20}, "saddle height")
	f.text("tiny m", point{at.x, at.y - 6}, room(high.Value))
	f.text("tiny m", point{at.x, math.Max(at.y+length, need+6) + 14}, room(low.Value))
	f.text("tiny", point{at.x + 12, need + 4}, "need")
}

// room says how far the height that a saddle needs lies inside an end of its range.
func room(reserve float64) string {
	if reserve < 0 {
		return fmt.Sprintf("%.1f mm short", -reserve)
	}
	return fmt.Sprintf("%.1f mm to spare", reserve)
}
