package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// Drilling is a hole schedule and what it belongs to.
type Drilling struct {
	Result   *fit.Result
	Advice   *remedy.Advice // that the plan is of; nil where it is not known
	Plan     *remedy.Plan
	Number   int // of the plan, from 1; 1 is the recommended one
	Schedule *remedy.Schedule
}

// DrillText writes a hole schedule for people.
func DrillText(w io.Writer, d *Drilling, o Options) error {
	t := newText(o)
	t.add("", words.BeforeDrilling(d.Result, d.Advice))
	t.add("", fmt.Sprintf("%s: %s.", words.Harmless(d.Result.Kit), words.DrillHeadline(d.Schedule)))
	if d.Number > 1 {
		t.add("", words.OtherPlan(d.Plan, d.Number))
	}
	t.opened()
	t.section("")
	rows := [][]string{{"hole", "do", "behind", "beside", "moved", "within", "old", "plug", "bit", "wood left"}}
	var notes [][]string
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		rows = append(rows, []string{words.HoleName(h.Name()), words.HoleWork(h.Work), words.Known(h.Behind), words.Beside(h.Beside), words.Fixed(h.Move, 2), words.Size(h.Within),
			words.Size(h.OldDiameter), words.Size(h.Plug), words.Size(h.Pilot), words.Known(h.Ligament)})
		notes = append(notes, words.Minding(h))
	}
	t.tableWithNotes("llrrrrrrrr", rows, notes)
	t.section("")
	t.add("", words.DrillNote)
	for _, n := range words.HoleNotes(d.Schedule) {
		t.add("", n+".")
	}
	t.section(words.WorksHeading)
	t.steps(d.Result, d.Plan)
	t.cautions()
	return t.write(w)
}

// tableWithNotes adds rows, each of one line where there is room, with notes below each but the first.
func (t *text) tableWithNotes(align string, rows [][]string, notes [][]string) {
	lines := words.Table(t.Columns, align, rows)
	if len(lines) != len(rows) { // there is no room for a line a row
		lines = nil
		for _, row := range rows[1:] {
			lines = append(lines, strings.Join(words.Table(t.Columns, align, [][]string{rows[0], row}), "\n"))
		}
	} else {
		t.lines = append(t.lines, strings.TrimRight(lines[0], " "))
		lines = lines[1:]
	}
	for i, line := range lines {
		t.lines = append(t.lines, strings.TrimRight(line, " "))
		for _, note := range notes[i] {
			t.add("    ", note)
		}
	}
}

// DrillCSV writes a hole schedule exactly, in mm; x (tailward) and y (toward treble) are of the frame that is named: the
// pocket, or the straightedge of that datum.
func DrillCSV(w io.Writer, d *Drilling) error {
	var out record
	out.row("kit", "hole", "mark", "work", "frame", "old_x", "old_y", "new_x", "new_y", "behind_pocket_end", "beside_centre_line",
		"moved", "within", "old_diameter", "plug", "bit", "shared", "straddles", "ligament", "next", "cavity", "edge", "old_hole", "depth", "warnings", "refused", "read_first")
	frame, _ := words.Frame(d.Result.Way)
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		out.row(d.Result.Kit, h.Feature.String(), h.Mark, words.HoleWork(h.Work), frame, h.Old.X, h.Old.Y, h.New.X, h.New.Y, h.Behind, h.Beside,
			h.Move, h.Within, h.OldDiameter, h.Plug, h.Pilot, h.Shared, h.Straddles, h.Ligament, words.HoleName(h.Next), h.Cavity, h.Edge,
			words.Sight(h.Sight), words.Depth(h), strings.Join(words.Remarks(h), "; "), words.Remark(h.Refused), words.BeforeDrilling(d.Result, d.Advice))
	}
	return out.write(w)
}

// DrillTemplate is the 1:1 template of a hole schedule: what to lay it by, the neck's centre line and
// edges where the plan puts the neck, the plate, the holes. Its zero is the middle of the pocket's end
// where that is known.
func DrillTemplate(d *Drilling) draw.Template {
	g := d.Result.Model.Placed(&d.Plan.Moves)
	f := frameOf(g)
	t := draw.Template{
		Kit: d.Result.Kit, Left: d.Result.Info.LeftHanded, Cautions: words.WorkCautions(), Notes: words.HoleNotes(d.Schedule),
		Scale: words.TemplateOf(g.Scale, d.Number), Places: words.PlacesFromDatum,
	}
	lay := words.TemplateLay{Left: t.Left}
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		t.Holes = append(t.Holes, f.hole(h))
		lay.OldHoles = lay.OldHoles || h.HasOld
		lay.Plugs = lay.Plugs || h.Work == remedy.PlugFirst
		if h.Feature == measure.HeelScrew {
			lay.Heel = true
		} else {
			lay.Body = true
		}
	}
	f.pocket(&t, &lay)
	f.neck(&t, &lay)
	if plate := remedy.Plate(d.Result, d.Plan); len(plate) > 2 {
		t.Plate = append(t.Plate, draw.Outline{Name: "bridge plate", Points: f.all(plate), Closed: true})
	}
	if lay.Heel {
		t.Notes = append(t.Notes, words.HeelFromFront)
	}
	if first := words.BeforeDrilling(d.Result, d.Advice); first != "" {
		t.Works = append(t.Works, first)
	}
	for _, s := range words.Steps(d.Result, d.Plan) {
		t.Works = append(t.Works, s.String())
	}
	lay.From, lay.To, lay.Apart = farthest(t.Holes)
	t.Steps = words.TemplateSteps(lay)
	return t
}

// farthest names the two drilled holes that lie the farthest apart, in mm.
func farthest(holes []draw.Hole) (from, to string, apart float64) {
	for i := range holes {
		for j := range i {
			if holes[i].Action == draw.Keep || holes[j].Action == draw.Keep {
				continue
			}
			if mm := math.Hypot(holes[i].At.X-holes[j].At.X, holes[i].At.Y-holes[j].At.Y); mm > apart {
				from, to, apart = holes[j].Name, holes[i].Name, mm
			}
		}
	}
	return from, to, apart
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

// pocket draws the pocket's end and walls; of a dry fit its end alone is known.
func (f *templateFrame) pocket(t *draw.Template, lay *words.TemplateLay) {
	switch end := f.geometry.PocketEnd; {
	case f.corners != nil:
		lay.Pocket = true
		t.Corners, t.Places = f.corners, words.PlacesFromPocket
		t.Register = append(t.Register, draw.Outline{Name: "pocket end", Points: f.corners})
		for i, name := range []string{"pocket wall, bass side", "pocket wall, treble side"} {
			l := f.geometry.Pocket[i]
			c := f.corners[i]
			mouth := draw.Point{X: c.X - pocketShown*l.NY, Y: c.Y + pocketShown*l.NX} // headstockward along the wall
			t.Register = append(t.Register, draw.Outline{Name: name, Points: []draw.Point{mouth, c}})
		}
	case end != nil && f.geometry.Centre != nil:
		c, ok := crossing(end, f.geometry.Centre)
		if !ok {
			return
		}
		lay.End = true
		half := func(k float64) draw.Point { return f.at(c.X-k*end.NY, c.Y+k*end.NX) }
		t.Register = append(t.Register, draw.Outline{Name: "pocket end", Points: []draw.Point{half(-endShown / 2), half(endShown / 2)}})
	default:
		t.Notes = append(t.Notes, words.NoPocketEnd)
	}
}

// endShown is how much of the pocket's end is drawn where its walls were not read.
const endShown = 56.0 // mm

// neck draws the neck's centre line from the zero to behind the last hole, and the fingerboard's edges.
func (f *templateFrame) neck(t *draw.Template, lay *words.TemplateLay) {
	from, to := math.Inf(1), math.Inf(-1)
	for _, h := range t.Holes {
		from, to = min(from, h.At.X), max(to, h.At.X)
	}
	if f.corners != nil {
		from = min(from, 0)
	}
	const beyond = 20 // mm
	points := func(l *fit.Line) []draw.Point {
		on := func(x float64) draw.Point { return draw.Point{X: x, Y: (l.D-l.NX*(x+f.x))/l.NY - f.y} }
		return []draw.Point{on(from - beyond), on(to + beyond)}
	}
	if l := f.geometry.Centre; l != nil {
		t.Centre = points(l)
	}
	for i, name := range []string{"fingerboard edge, bass", "fingerboard edge, treble"} {
		if l := f.geometry.Edges[i]; l != nil {
			lay.Edges = true
			t.Edges = append(t.Edges, draw.Outline{Name: name, Points: points(l)})
		}
	}
}

// hole is a line of the schedule.
func (f *templateFrame) hole(h *remedy.Hole) draw.Hole {
	at, old := f.at(h.New.X, h.New.Y), f.at(h.Old.X, h.Old.Y)
	out := draw.Hole{Name: words.HoleName(h.Name()), At: at, OldDia: h.OldDiameter, Pilot: h.Pilot, Depth: words.Depth(h), Within: h.Within}
	if h.HasOld && h.Work != remedy.Reuse && h.Work != remedy.Abandon {
		out.Move = words.Moved(at.X-old.X, at.Y-old.Y)
	}
	switch h.Work {
	case remedy.Reuse:
		out.At, out.Action, out.Pilot, out.Depth = old, draw.Keep, 0, "as it is"
	case remedy.Fresh:
		if out.Action = draw.DrillFresh; h.HasOld {
			out.Old, out.Plug = &old, h.Plug
		}
	case remedy.PlugFirst:
		out.Action, out.Old, out.Plug = draw.PlugAndDrill, &old, h.Plug
		if h.Straddles {
			out.Depth += "; " + words.Straddles
		}
	case remedy.Abandon:
		out.Action, out.At, out.Plug, out.Depth = draw.PlugOnly, old, h.Plug, words.PlugOnly
	case remedy.NoHoleWork:
	}
	if h.Refused.Kind != remedy.NoRemark {
		out.Depth = "DO NOT DRILL: " + words.Remark(h.Refused)
	}
	return out
}
