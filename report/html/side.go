package html

import (
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// sideView is the kit from the side: body top, pocket floor and the plane of the frets carried on
// to the saddles, and what the recommended plan lays under the heel. Heights are magnified. It is ""
// where heights were not read.
func sideView(s *scene) template.HTML {
	height, pitch := s.named(fit.FretPlaneHeight), s.named(fit.Pitch)
	mouth, end, okPocket := s.pocket()
	b, okBridge := s.bridge()
	if height == nil || pitch == nil || !okBridge {
		return ""
	}
	const (
		left, right  = 30.0, 880.0
		tail         = right + 8    // the words of the saddles' range begin at right + 13
		base, bottom = 150.0, 206.0 // body top, and where its drawing stops
		most         = 108.0        // px from body top to the highest line
	)
	f := &figure{width: planWidth, height: 250}
	from := 0.0
	if s.g.Scale <= 0 {
		from = math.Min(mouth, b.s-300)
	}
	x := between(from, b.s+25, left, right)
	at := planeAt(height.Value, pitch.Value, b.s)
	depth := 0.0
	if d := s.named(fit.PocketDepth); d != nil {
		depth = math.Max(d.Value, 0)
	}
	per := math.Min(most/math.Max(math.Max(at(from), at(b.s)), 5), (bottom-base)/math.Max(depth+2, 5))
	y := axis{base, -per}
	if okPocket {
		f.polygon("wood", point{x.of(mouth), bottom}, point{x.of(mouth), y.of(-depth)}, point{x.of(end), y.of(-depth)},
			point{x.of(end), base}, point{tail, base}, point{tail, bottom})
		f.text("note m", point{x.of((mouth + end) / 2), bottom + 15}, "pocket floor")
		f.polygon("heel", point{x.of(mouth), y.of(-depth)}, point{x.of(end) - 3, y.of(-depth)}, point{x.of(end) - 3, y.of(at(end))},
			point{x.of(from), y.of(at(from))}, point{x.of(from), y.of(at(from)) + 22}, point{x.of(mouth), y.of(at(mouth)) + 22})
		if s.plan != nil {
			s.underHeel(f, x, y, [2]float64{mouth, end}, -depth, bottom+31)
			s.planeThen(f, x, y, from, b.s)
		}
	} else {
		f.polygon("wood", point{x.of(from), base}, point{tail, base}, point{tail, bottom}, point{x.of(from), bottom})
	}
	f.line("plane", point{x.of(from), y.of(at(from))}, point{x.of(b.s), y.of(at(b.s))})
	f.line("dim", point{x.of(b.s), base}, point{x.of(b.s), y.of(height.Value)})
	f.text("strong e", point{x.of(b.s) - 8, base - 8}, words.Value(height)+" over the top")
	f.text("", point{left, y.of(at(from)) - 10}, "plane of the frets, pitch "+words.Value(pitch))
	s.saddleRange(f, point{right + 60, 36}, 124)
	f.text("note", point{left, 240}, words.Magnified("heights", per/x.per))
	return f.svg("fig plan", words.SideLabel, "data-x", x.data(), "data-y", y.data())
}

// planeAt is the height, in mm, of a plane that stands height mm over the body at the bridge and
// leans by a pitch in degrees.
func planeAt(height, pitch, bridge float64) func(s float64) float64 {
	slope := math.Tan(pitch * math.Pi / 180)
	return func(s float64) float64 { return height + slope*(s-bridge) }
}

// underHeel draws what the recommended plan lays on the pocket's floor, one upon the other from
// the floor's height up, and says below it how thick it is.
func (s *scene) underHeel(f *figure, x, y axis, ends [2]float64, floor, below float64) {
	at, said := [2]float64{floor, floor}, ""
	for _, a := range s.plan.Actions {
		var thick [2]float64 // at the pocket's mouth and at its end
		switch {
		case a.Work == measure.RiseShim:
			thick = [2]float64{a.Size, a.Size}
		case a.Work == measure.PitchShim && a.Turn < 0:
			thick[0] = a.Size
		case a.Work == measure.PitchShim:
			thick[1] = a.Size
		default:
			continue
		}
		top := [2]float64{at[0] + thick[0], at[1] + thick[1]}
		f.polygon("shim", point{x.of(ends[0]), y.of(at[0])}, point{x.of(ends[1]), y.of(at[1])}, point{x.of(ends[1]), y.of(top[1])}, point{x.of(ends[0]), y.of(top[0])})
		if at = top; said != "" {
			said += ", "
		}
		said += "shim " + words.Extent(thick[0], thick[1])
	}
	if said != "" {
		f.text("strong m", point{x.of((ends[0] + ends[1]) / 2), below}, said)
	}
}

// planeThen is the plane of the frets as the recommended plan leaves it, where that changes.
func (s *scene) planeThen(f *figure, x, y axis, from, bridge float64) {
	then := map[fit.ID]remedy.Predicted{}
	for _, p := range s.plan.Predicted {
		then[s.Characteristics[p.Index].ID] = p
	}
	height, pitch := then[fit.FretPlaneHeight], then[fit.Pitch]
	if !height.Changed && !pitch.Changed {
		return
	}
	at := planeAt(height.Value, pitch.Value, bridge)
	f.line("plane moved", point{x.of(from), y.of(at(from))}, point{x.of(bridge), y.of(height.Value)})
	f.text("note e", point{x.of(bridge), 237}, "dashed: the plane after the work")
}

// saddleRange is a scale of the saddles' height: the least reserves about what is needed.
func (s *scene) saddleRange(f *figure, at point, length float64) {
	low, high := s.named(fit.SaddleHeightReserveLow), s.named(fit.SaddleHeightReserveHigh)
	if low == nil || high == nil || low.Value+high.Value <= 0 {
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
	f.text("tiny m", point{at.x, at.y - 6}, words.Reserve(high.Value))
	f.text("tiny m", point{at.x, math.Max(at.y+length, need+6) + 14}, words.Reserve(low.Value))
	f.text("tiny", point{at.x + 12, need + 4}, "need")
}
