package html

import (
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// frame turns the assembled frame so that the neck's centre line runs along: s is the distance
// from the nut (or, where that is not known, from the frame's zero) along it, growing tailward,
// and o the distance from it, growing toward treble. All in mm.
type frame struct {
	nx, ny, d, zero float64
}

// place is a point of a frame.
type place struct{ s, o float64 }

func (f frame) of(x, y float64) place {
	return place{f.ny*x - f.nx*y - f.zero, f.nx*x + f.ny*y - f.d}
}

// offset is where a line that runs along lies at s.
func (f frame) offset(l *fit.Line, s float64) float64 {
	along, across := l.NX*f.ny-l.NY*f.nx, l.NX*f.nx+l.NY*f.ny
	return (l.D - f.d*across - along*(s+f.zero)) / across
}

// fretAt is how far fret n stands from the nut by the rule of equal temperament, L (1 - 2^(-n/12)).
func fretAt(scale float64, n int) float64 { return scale * (1 - math.Pow(2, -float64(n)/12)) }

// scene is what the drawings of a kit share.
type scene struct {
	*fit.Result
	g     *fit.Geometry
	frame frame
	hand  float64 // 1, or -1 for a left-handed kit, which is drawn mirrored

	plan *remedy.Plan        // what is recommended; nil for nothing
	then *fit.Characteristic // the error at the bridge as the plan leaves it; nil where it does not change it
}

// newScene is nil where there is nothing to draw: no model, or no centre line.
func newScene(r *fit.Result) *scene {
	if r.Model == nil || r.Model.Geometry == nil || r.Model.Geometry.Centre == nil {
		return nil
	}
	g := *r.Model.Geometry
	if g.Edges[0] == nil || g.Edges[1] == nil {
		g.Scale = 0 // nut and frets are drawn from edge to edge
	}
	s := &scene{Result: r, g: &g, frame: frame{g.Centre.NX, g.Centre.NY, g.Centre.D, 0}, hand: 1}
	if g.Scale > 0 {
		s.frame.zero = g.Nut
	}
	if r.Info.LeftHanded {
		s.hand = -1
	}
	return s
}

// across is the axis of offsets down the page, per px a mm: seen from the front with the neck to
// the left, treble is up for a right-handed instrument.
func (s *scene) across(middle, per float64) axis { return axis{middle, -s.hand * per} }

// up tells which side is drawn at the top.
func (s *scene) up() (top, bottom string) {
	if s.hand < 0 {
		return "bass", "treble"
	}
	return "treble", "bass"
}

// named is a characteristic that has a value; nil when it has none.
func (s *scene) named(id fit.ID) *fit.Characteristic {
	if c := s.Find(id); c != nil && c.Measured() {
		return c
	}
	return nil
}

// bridge is the bridge's reference in the frame.
func (s *scene) bridge() (place, bool) {
	if s.g.Bridge == nil {
		return place{}, false
	}
	return s.frame.of(s.g.Bridge.X, s.g.Bridge.Y), true
}

// pocket is where the pocket's mouth and end stand along the centre line.
func (s *scene) pocket() (mouth, end float64, ok bool) {
	p := s.g.Play
	if p == nil || !p.Placed || p.Length <= 0 {
		return 0, 0, false
	}
	mouth = s.frame.of(p.MouthX, p.MouthY).s
	return mouth, mouth + p.Length, true
}

func (s *scene) of(p fit.Place) place { return s.frame.of(p.X, p.Y) }

// byString finds a string's place of a feature.
func (s *scene) byString(f measure.Feature, n int) (place, bool) {
	for _, p := range s.g.Places {
		if p.Feature == f && p.Mark.Number == n {
			return s.of(p), true
		}
	}
	return place{}, false
}

// drawing is a figure of a scene from above: the neck to the left, with an axis each way.
type drawing struct {
	*scene
	figure
	x, y axis
}

func (d *drawing) at(p place) point { return point{d.x.of(p.s), d.y.of(p.o)} }

// saddleLine is the line through the saddles, half mm to either side of the bridge's reference.
func (d *drawing) saddleLine(b place, half float64) {
	sin, cos := math.Sincos(d.g.Bridge.Heading*math.Pi/180 - math.Atan2(-d.frame.nx, d.frame.ny)) // its heading from the centre line
	end := func(k float64) point { return d.at(place{b.s - k*sin, b.o + k*cos}) }
	d.line("saddle-line", end(-half), end(half))
}

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
