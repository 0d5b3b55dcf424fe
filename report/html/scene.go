package html

import (
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
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
