package report

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// drillings are the first plan with holes of each kit of a batch that has one.
func drillings(t *testing.T, dir string) map[string]*Drilling {
	t.Helper()
	batch, err := measure.Open(dir, measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = batch.Close() }()
	list := map[string]*Drilling{}
	kits, err := batch.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range kits {
		r := fit.Check(k, fit.Options{Model: true, Limits: batch.Limits, Compensation: batch.Compensation()})
		plans := remedy.For(r, remedy.Options{}).Plans
		for i := range plans {
			if s, lack := remedy.Drill(r, &plans[i], remedy.Options{}); lack == remedy.NoLack {
				list[r.Kit] = &Drilling{Result: r, Plan: &plans[i], Number: i + 1, Schedule: s}
				break
			}
		}
	}
	if len(list) == 0 {
		t.Fatal("no kit has a plan with holes")
	}
	return list
}

// distance of a place from a line of the assembled frame, mm.
func distance(l *fit.Line, x, y float64) float64 { return l.NX*x + l.NY*y - l.D }

// On the template every hole has the distances from the pocket's end and from the neck's centre line, and
// from its old place, that the schedule states, and the lines lie as in the geometry: measured on the
// template's own coordinates.
func TestTemplateIsTheSchedule(t *testing.T) {
	const near = 1e-6 // mm
	for kit, d := range drillings(t, "../testdata/demo") {
		g, x := d.Result.Model.Placed(&d.Plan.Moves), DrillTemplate(d)
		if len(x.Holes) != len(d.Schedule.Holes) {
			t.Fatalf("%s: %d holes of %d", kit, len(x.Holes), len(d.Schedule.Holes))
		}
		for i := range x.Holes {
			one, h := &x.Holes[i], &d.Schedule.Holes[i]
			from := func(p, q draw.Point, at draw.Point) float64 { // signed distance from the line through p and q
				along := math.Hypot(q.X-p.X, q.Y-p.Y)
				return ((q.X-p.X)*(at.Y-p.Y) - (q.Y-p.Y)*(at.X-p.X)) / along
			}
			if one.Within != h.Within || (h.Within > 0) != (h.Work == remedy.Fresh || h.Work == remedy.PlugFirst) {
				t.Errorf("%s %s: a circle of %.3f mm, the schedule has %.3f", kit, one.Name, one.Within, h.Within)
			}
			if one.Action != draw.Keep && math.Abs(distance(g.Centre, h.New.X, h.New.Y)-h.Beside) > near {
				t.Errorf("%s %s: the schedule says %.4f mm beside the centre line", kit, one.Name, h.Beside)
			}
			at := h.New
			if h.Work == remedy.Reuse {
				at = h.Old
			}
			if got := from(x.Centre[0], x.Centre[1], one.At); math.Abs(got-distance(g.Centre, at.X, at.Y)) > near {
				t.Errorf("%s %s: %.4f mm beside the centre line", kit, one.Name, got)
			}
			for k, e := range x.Edges {
				if got := from(e.Points[0], e.Points[1], one.At); math.Abs(got-distance(g.Edges[k], at.X, at.Y)) > near {
					t.Errorf("%s %s: %.4f mm beside %s", kit, one.Name, got, e.Name)
				}
			}
			if x.Corners != nil {
				if got := from(x.Corners[1], x.Corners[0], one.At); math.Abs(got-distance(g.PocketEnd, at.X, at.Y)) > near {
					t.Errorf("%s %s: %.4f mm behind the pocket's end", kit, one.Name, got)
				}
			}
			if one.Old != nil {
				if got := math.Hypot(one.At.X-one.Old.X, one.At.Y-one.Old.Y); math.Abs(got-h.Move) > near {
					t.Errorf("%s %s: moved %.4f, the schedule says %.4f", kit, one.Name, got, h.Move)
				}
				if toTreble := strings.Contains(one.Move, "toward treble"); one.At.Y-one.Old.Y > 0.1 && !toTreble || one.At.Y-one.Old.Y < -0.1 && toTreble {
					t.Errorf("%s %s: moves by %.2f mm across, which it calls %s", kit, one.Name, one.At.Y-one.Old.Y, one.Move)
				}
			}
		}
		if len(x.Edges) != 2 || len(x.Steps) < 7 || x.Left != d.Result.Info.LeftHanded {
			t.Errorf("%s: %d edges, %d steps, left %v", kit, len(x.Edges), len(x.Steps), x.Left)
		}
	}
}

// What a dry fit knows is what its template is laid by: the pocket's end, the fingerboard's edges, and
// the old holes; of an edge check the edges and the holes.
func TestTemplateOfADryFit(t *testing.T) {
	loose := drillings(t, "../testdata/demo")["SSB-04"]
	if loose == nil || loose.Result.Way != fit.LooseParts || loose.Schedule.Holes[0].Feature != measure.BridgeScrew {
		t.Fatal("SSB-04 has no plan that drills the bridge anew")
	}
	for _, c := range []struct {
		name       string
		end        bool
		says, lays string
	}{{"dry fit", true, "pocket's end;", "pocket end"}, {"edge check", false, "straightedge along each edge", ""}} {
		r := *loose.Result
		model, g := *r.Model, *r.Model.Geometry
		g.Pocket = [2]*fit.Line{}
		if !c.end {
			g.PocketEnd = nil
		}
		model.Geometry, r.Model = &g, &model
		x := DrillTemplate(&Drilling{Result: &r, Plan: loose.Plan, Number: 1, Schedule: loose.Schedule})
		align := x.Steps[slices.IndexFunc(x.Steps, func(s string) bool { return strings.HasPrefix(s, "Align") })]
		if !strings.Contains(align, c.says) || !strings.Contains(align, "dark rings on the old holes") || strings.Contains(align, "walls") {
			t.Errorf("%s: laid by: %s", c.name, align)
		}
		if c.end {
			if len(x.Register) != 1 || x.Register[0].Name != c.lays {
				t.Fatalf("%s: registered on %v", c.name, x.Register)
			}
			for _, p := range x.Register[0].Points {
				if miss := distance(g.PocketEnd, p.X, p.Y); math.Abs(miss) > 1e-6 {
					t.Errorf("%s: the end is drawn %.3f mm off", c.name, miss)
				}
			}
		}
		if _, err := x.Sheets(draw.A4); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A hole that is only plugged, one where none was, and one whose old hole is plugged for its looks are drawn as what
// they are.
func TestTemplateOfEveryWork(t *testing.T) {
	d := drillings(t, "../testdata/demo")["SSB-18"]
	s := *d.Schedule
	s.Holes = slices.Clone(s.Holes[:3])
	for i := range s.Holes {
		s.Holes[i].HasOld, s.Holes[i].Plug = i != 1, 6
		s.Holes[i].Work = []remedy.HoleWork{remedy.Abandon, remedy.Fresh, remedy.Fresh}[i]
	}
	s.Holes[1].Plug = 0
	d.Schedule = &s
	x := DrillTemplate(d)
	if _, err := x.Sheets(draw.A4); err != nil {
		t.Fatal(err)
	}
	if h := &x.Holes[0]; h.Action != draw.PlugOnly || h.Plug != 6 || h.Move != "" {
		t.Errorf("%+v", h)
	}
	if h := &x.Holes[1]; h.Action != draw.DrillFresh || h.Old != nil || h.Move != "" {
		t.Errorf("%+v", h)
	}
	if h := &x.Holes[2]; h.Action != draw.DrillFresh || h.Old == nil || h.Plug != 6 {
		t.Errorf("%+v", h)
	}
}

// Every plan that drills, of kits measured in every way, has a template: no two of its holes stand too close for their
// names, it has something to be laid by, each drilled hole says where it goes, and the plan's works stand on it.
func TestTemplatesOfMisfits(t *testing.T) {
	results, advice := misfits(60)
	laid := map[fit.Way]int{}
	for i, r := range results {
		for n := range advice[i].Plans {
			p := &advice[i].Plans[n]
			if p.Drilling == nil || p.Waits() {
				continue
			}
			x := DrillTemplate(&Drilling{Result: r, Advice: advice[i], Plan: p, Number: n + 1, Schedule: p.Drilling})
			sheets, err := x.Sheets(draw.A4)
			if err != nil {
				t.Fatalf("%s: %v", r.Kit, err)
			}
			laid[r.Way]++
			for k := range sheets {
				var out bytes.Buffer
				if err := sheets[k].SVG(&out); err != nil || strings.Contains(out.String(), "stand too close") {
					t.Errorf("%s, sheet %d: %v, or names that collide", r.Kit, k+1, err)
				}
			}
			old := slices.ContainsFunc(x.Holes, func(h draw.Hole) bool { return h.Old != nil || h.Action == draw.Keep })
			first := words.BeforeDrilling(r, advice[i]) // stands before the works
			if first != "" && (len(x.Works) == 0 || x.Works[0] != first) {
				t.Errorf("%s: what must be read first is not the first work", r.Kit)
			}
			if len(x.Works) != len(p.Actions)+min(1, len(first)) || len(x.Register)+len(x.Edges) == 0 || !old || len(x.Cautions) == 0 {
				t.Errorf("%s: %d works of %d, laid by %d lines and edges, old holes %v", r.Kit, len(x.Works), len(p.Actions), len(x.Register)+len(x.Edges), old)
			}
			for _, h := range x.Holes {
				if drilled := h.Action == draw.PlugAndDrill || h.Action == draw.DrillFresh && h.Old != nil; drilled && (h.Move == "" || h.Within <= 0) || h.Name == "" || h.Depth == "" {
					t.Errorf("%s: %+v", r.Kit, h)
				}
			}
		}
	}
	if laid[fit.LooseParts] < 10 || laid[fit.DryFit] < 5 {
		t.Errorf("templates by way: %v", laid)
	}
}
