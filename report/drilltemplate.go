package report

import (
	"fmt"
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// DrillTemplate is the 1:1 template of a hole schedule: the pocket to lay it by, the neck's centre
// line, the plate, the holes. Its zero is the middle of the pocket's end where that is known.
func DrillTemplate(d *Drilling) draw.Template {
	g := d.Result.Model.Geometry
	f := frameOf(g)
	t := draw.Template{
		Kit: d.Result.Kit, Left: d.Result.Info.LeftHanded, Cautions: words.WorkCautions(), Notes: words.HoleNotes(d.Schedule),
		Scale: fmt.Sprintf("Scale length %.1f mm; %s", g.Scale, words.Plan(d.Plan)),
	}
	f.pocket(&t)
	f.centre(&t, d.Schedule)
	if plate := remedy.Plate(d.Result, d.Plan); len(plate) > 2 {
		t.Plate = append(t.Plate, draw.Outline{Name: "bridge plate", Points: f.all(plate), Closed: true})
	}
	for i := range d.Schedule.Holes {
		t.Holes = append(t.Holes, f.hole(&d.Schedule.Holes[i]))
	}
	return t
}

// templateFrame carries the assembled frame onto the paper: it only shifts.
type templateFrame struct {
	geometry *fit.Geometry
	x, y     float64
	corners  []draw.Point // of the pocket's end, bass and treble; nil where not known
}

func frameOf(g *fit.Geometry) *templateFrame {
	f := &templateFrame{geometry: g}
	if g.PocketEnd != nil && g.Pocket[0] != nil && g.Pocket[1] != nil {
		a, okA := crossing(g.PocketEnd, g.Pocket[0])
		b, okB := crossing(g.PocketEnd, g.Pocket[1])
		if okA && okB {
			f.x, f.y = (a.X+b.X)/2, (a.Y+b.Y)/2
			f.corners = []draw.Point{f.at(a.X, a.Y), f.at(b.X, b.Y)}
		}
	}
	return f
}

func (f *templateFrame) at(x, y float64) draw.Point { return draw.Point{X: x - f.x, Y: y - f.y} }

func (f *templateFrame) all(spots []remedy.Point) []draw.Point {
	var list []draw.Point
	for _, s := range spots {
		list = append(list, f.at(s.X, s.Y))
	}
	return list
}

// crossing is where two lines meet; false where they are as good as parallel.
func crossing(a, b *fit.Line) (draw.Point, bool) {
	det := a.NX*b.NY - a.NY*b.NX
	if math.Abs(det) < leastTurn {
		return draw.Point{}, false
	}
	return draw.Point{X: (a.D*b.NY - b.D*a.NY) / det, Y: (b.D*a.NX - a.D*b.NX) / det}, true
}

// leastTurn is the sine of an angle under which a side and an end no longer make a corner: 3 degrees.
const leastTurn = 0.05

// pocketShown is how much of the pocket's sides is drawn.
const pocketShown = 70.0 // mm

func (f *templateFrame) pocket(t *draw.Template) {
	if f.corners == nil {
		t.Notes = append(t.Notes, words.NoPocketEnd)
		return
	}
	t.Corners = f.corners
	t.Register = append(t.Register, draw.Outline{Name: "pocket end", Points: f.corners})
	for i, name := range []string{"pocket bass side", "pocket treble side"} {
		l := f.geometry.Pocket[i]
		c := f.corners[i]
		mouth := draw.Point{X: c.X - pocketShown*l.NY, Y: c.Y + pocketShown*l.NX} // headstockward along the wall
		t.Register = append(t.Register, draw.Outline{Name: name, Points: []draw.Point{mouth, c}})
	}
}

// centre draws the neck's centre line from the zero to behind the last hole.
func (f *templateFrame) centre(t *draw.Template, s *remedy.Schedule) {
	l := f.geometry.Centre
	if l == nil {
		return
	}
	from, to := math.Inf(1), math.Inf(-1)
	for i := range s.Holes {
		p := f.at(s.Holes[i].New.X, s.Holes[i].New.Y)
		from, to = min(from, p.X), max(to, p.X)
	}
	if f.corners != nil {
		from = min(from, 0)
	}
	on := func(x float64) draw.Point { return draw.Point{X: x, Y: (l.D-l.NX*(x+f.x))/l.NY - f.y} }
	const beyond = 20 // mm
	t.Centre = []draw.Point{on(from - beyond), on(to + beyond)}
}

func (f *templateFrame) hole(h *remedy.Hole) draw.Hole {
	at, old := f.at(h.New.X, h.New.Y), f.at(h.Old.X, h.Old.Y)
	out := draw.Hole{Name: words.HoleName(h.Name()), At: at, OldDia: h.OldDiameter, Pilot: h.Pilot, Depth: words.Depth(h)}
	switch h.Work {
	case remedy.Reuse:
		out.At, out.Action, out.Pilot, out.Depth = old, draw.Keep, 0, "as it is"
	case remedy.Fresh:
		out.Action, out.Old = draw.DrillFresh, &old
	case remedy.PlugFirst:
		out.Action, out.Old, out.Plug = draw.PlugAndDrill, &old, h.Plug
		if h.Straddles {
			out.Depth += "; " + words.Straddles
		}
	}
	if h.Refused.Kind != remedy.NoRemark {
		out.Depth = "DO NOT DRILL: " + words.Remark(h.Refused)
	}
	return out
}
