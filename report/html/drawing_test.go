package html_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/fit/simulate"
	"neckfit/measure"
	"neckfit/report/internal/browser"
	"neckfit/report/words"
)

// drawn is what a browser reads back of a drawing: the middle of a mark's box, and the axes that
// the drawing says it has (at, and px a mm).
type drawn struct {
	X, Y     float64
	AxX, AxY string
}

// readMark asks for the first mark that a selector finds, in its drawing's units.
func readMark(b *tab, mark string) *drawn {
	return browser.Ask[*drawn](b.Tab, `(() => {
		const e = document.querySelector("`+mark+`");
		if (!e) return null;
		const box = e.getBBox(), s = e.ownerSVGElement;
		return { X: box.x + box.width / 2, Y: box.y + box.height / 2, AxX: s.dataset.x || "", AxY: s.dataset.y || "" };
	})()`)
}

// mm turns a coordinate back by an axis.
func mm(t *testing.T, axis string, px float64) float64 {
	t.Helper()
	at, per, ok := strings.Cut(axis, " ")
	a, err1 := strconv.ParseFloat(at, 64)
	p, err2 := strconv.ParseFloat(per, 64)
	if !ok || err1 != nil || err2 != nil || p == 0 {
		t.Fatalf("the axis %q is none", axis)
	}
	return (px - a) / p
}

// pixel is how far, in mm, a coordinate written to 0.01 px can be out, with a little for the
// browser's single-precision geometry.
func pixel(t *testing.T, axis string) float64 {
	t.Helper()
	_, per, _ := strings.Cut(axis, " ")
	p, err := strconv.ParseFloat(per, 64)
	if err != nil {
		t.Fatal(err)
	}
	return 0.03 / math.Abs(p)
}

// The bridge's mark must lie beside the centre line, in the plan and in the strip, by the
// centre-line error that was worked out without any drawing.
func TestBridgeIsDrawnWhereItLies(t *testing.T) {
	list := demo(t)
	for _, name := range []string{"SSB-03", "SSB-13", "SSB-21", "EC-02", "DF-02"} {
		r := named(t, list, name)
		want := characteristic(t, r, "centre-line-error").Value
		for _, drawing := range []string{".plan", ".strip"} {
			got := readMark(demoTab(t), section(t, name)+" svg.fig"+drawing+" .bridge-mark")
			if got == nil {
				t.Errorf("%s: no bridge in %s", name, drawing)
				continue
			}
			if e := mm(t, got.AxY, got.Y); math.Abs(e-want) > pixel(t, got.AxY) {
				t.Errorf("%s%s: the bridge is drawn %.3f mm beside the centre line, worked out as %.3f", name, drawing, e, want)
			}
		}
	}
}

// A left-handed kit is drawn as its mirror image, with treble below.
func TestLeftHandedIsMirrored(t *testing.T) {
	r := *named(t, demo(t), "SSB-03")
	heights := map[bool]float64{}
	for _, left := range []bool{false, true} {
		r.Info.LeftHanded = left
		b := open(t, render(t, &r))
		got := readMark(b, "svg.strip .bridge-mark")
		centre := readMark(b, "svg.strip .centre")
		heights[left] = got.Y - centre.Y
		word := browser.Ask[string](b.Tab, `document.querySelector("svg.strip text.side").textContent`)
		if want := map[bool]string{false: "toward treble", true: "toward bass"}[left]; word != want {
			t.Errorf("left-handed %v: above the line stands %q, want %q", left, word, want)
		}
	}
	const hundredth = 0.021 // px: each of two coordinates was rounded to 0.01
	if heights[false] >= 0 || math.Abs(heights[false]+heights[true]) > hundredth {
		t.Errorf("toward treble is %.2f px for right and %.2f px for left, want up and as far down", heights[false], heights[true])
	}
}

// The distance from nut to saddles in the plan is that of the geometry, to a pixel's worth.
func TestPlanHasTheLength(t *testing.T) {
	for _, name := range []string{"SSB-01", "SSB-13", "DF-01"} {
		r := named(t, demo(t), name)
		b, plan := demoTab(t), section(t, name)+" svg.plan"
		nut, bridge := readMark(b, plan+" .nut"), readMark(b, plan+" .bridge-mark")
		got := mm(t, nut.AxX, bridge.X) - mm(t, nut.AxX, nut.X)
		g := r.Model.Geometry
		along := [2]float64{g.Centre.NY, -g.Centre.NX}
		want := along[0]*g.Bridge.X + along[1]*g.Bridge.Y - g.Nut
		if math.Abs(got-want) > 2*pixel(t, nut.AxX) {
			t.Errorf("%s: drawn %.2f mm from nut to saddles, worked out as %.2f", name, got, want)
		}
	}
}

// In the close-up the outer saddles are drawn as far apart as they are.
func TestCloseUpHasTheSpread(t *testing.T) {
	r := named(t, demo(t), "SSB-01")
	box := browser.Ask[[]float64](demoTab(t).Tab, `(() => { const e = document.querySelector("`+section(t, r.Kit)+` svg.fig .saddle"), v = e.getBBox(); return [v.height, e.ownerSVGElement.dataset.y.split(" ")[1]].map(Number); })()`)
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range r.Model.Geometry.Places {
		if p.Feature == measure.Saddle {
			o := r.Model.Geometry.Centre.NX*p.X + r.Model.Geometry.Centre.NY*p.Y
			low, high = math.Min(low, o), math.Max(high, o)
		}
	}
	const arms, rounding = 12, 0.05 // px: the crosses' own arms; two coordinates, each rounded to 0.01
	if got := box[0] - arms; math.Abs(got-(high-low)*math.Abs(box[1])) > rounding {
		t.Errorf("the saddles are drawn %.2f px apart, want %.2f", got, (high-low)*math.Abs(box[1]))
	}
}

// The gaps of the pocket are drawn at their magnification.
func TestGapsAreDrawnToScale(t *testing.T) {
	for _, name := range []string{"SSB-03", "SSB-05", "SSB-08", "SSB-13"} {
		r := named(t, demo(t), name)
		got := browser.Ask[[]float64](demoTab(t).Tab, `(() => {
			const s = document.querySelector("`+section(t, name)+` svg[data-gap]");
			return [Number(s.dataset.gap), ...[...s.querySelectorAll(".dim")].map((e) => e.getBBox().height)];
		})()`)
		p := r.Model.Geometry.Play
		upper, lower := p.Treble, p.Bass
		if r.Info.LeftHanded {
			upper, lower = lower, upper
		}
		const rounding = 0.03 // px
		for i, want := range []float64{upper[0], upper[1], lower[0], lower[1]} {
			if math.Abs(got[1+i]-math.Abs(want)*got[0]) > rounding {
				t.Errorf("%s: gap %d is drawn %.2f px, want %.2f", name, i, got[1+i], math.Abs(want)*got[0])
			}
		}
	}
}

// Every tolerance bar's mark lies inside the band exactly when the value lies inside the limits.
func TestBarsShowInside(t *testing.T) {
	list := demo(t)
	all := browser.Ask[[][]bar](demoTab(t).Tab, `[...document.querySelectorAll("table.tol")].map((table) => [...table.querySelectorAll("tbody tr:not(.class)")].map((tr) => {
		const uses = tr.querySelectorAll("svg.bar use"), band = uses[0].getBBox(), mark = (uses[1] || uses[0]).getBBox();
		return { Name: tr.cells[0].textContent, Shape: (uses[1] || uses[0]).getAttribute("href"), Low: band.x, High: band.x + band.width, Mark: mark.x + mark.width / 2 };
	}))`)
	if len(all) != len(list) {
		t.Fatalf("%d tables of bars for %d kits", len(all), len(list))
	}
	for i, r := range list {
		if len(all[i]) == 0 {
			t.Errorf("%s has no bar", r.Kit)
		}
		for _, bar := range all[i] {
			bar.check(t, r)
		}
	}
}

func (b bar) check(t *testing.T, r *fit.Result) {
	t.Helper()
	c := characteristic(t, r, b.Name)
	in := b.Low <= b.Mark && b.Mark <= b.High
	if want := c.Lower <= c.Value && c.Value <= c.Upper; in != want {
		t.Errorf("%s %s: %.3f in %.3f to %.3f is drawn at %.1f of %.1f to %.1f", r.Kit, b.Name, c.Value, c.Lower, c.Upper, b.Mark, b.Low, b.High)
	}
	shapes := map[fit.Verdict]string{fit.Pass: "#p", fit.Unsure: "#u", fit.TooCoarse: "#u", fit.Implausible: "#u", fit.Fail: "#f"}
	if b.Shape != shapes[c.Verdict] && b.Shape != "#al" && b.Shape != "#ar" {
		t.Errorf("%s %s: drawn as %s", r.Kit, b.Name, b.Shape)
	}
}

type bar struct {
	Name, Shape     string
	Low, High, Mark float64
}

// Every suspect of a kit is marked among its residuals, with its line.
func TestSuspectsAreMarked(t *testing.T) {
	list := demo(t)
	marked := browser.Ask[[]string](demoTab(t).Tab, `[...document.querySelectorAll("details.kit")].map((d) => [...d.querySelectorAll("table.resid mark")].map((e) => e.textContent + ".").join(" "))`)
	for i, r := range list {
		if len(r.Suspects) == 0 && marked[i] != "" {
			t.Errorf("%s has no suspect, but marks %s", r.Kit, marked[i])
		}
		for _, s := range r.Suspects {
			if !strings.Contains(marked[i], "line "+strconv.Itoa(s.Reading.Place.Line)+".") {
				t.Errorf("%s: the suspect of line %d is not marked: %s", r.Kit, s.Reading.Place.Line, marked[i])
			}
		}
	}
}

// Every hole that the recommended plan drills at the bridge is drawn at its new place, and every
// plug at the old one with its own width.
func TestNewHolesAreDrawnWhereTheyGo(t *testing.T) {
	var r *fit.Result
	var schedule *remedy.Schedule
	for _, one := range demo(t) {
		if p := remedy.For(one, remedy.Options{}).Plans[0]; one.Verdict == fit.Fail && p.Drilling != nil && p.Drilling.Holes[0].Feature == measure.BridgeScrew {
			r, schedule = one, p.Drilling
			break
		}
	}
	if r == nil {
		t.Fatal("no kit of the demonstration has its bridge drilled anew")
	}
	circles := `(() => {
		const s = document.querySelector("` + section(t, r.Kit) + ` svg.fig:has(.fresh)"), get = (c) => [...s.querySelectorAll("circle." + c)].map((e) => ["cx", "cy", "r"].map((a) => Number(e.getAttribute(a))));
		return { X: s.dataset.x, Y: s.dataset.y, Fresh: get("fresh"), Plug: get("plug") };
	})()`
	got := browser.Ask[struct {
		X, Y        string
		Fresh, Plug [][]float64
	}](demoTab(t).Tab, circles)
	c := r.Model.Geometry.Centre
	near := func(list [][]float64, at remedy.Point, radius float64) bool {
		s, o := c.NY*at.X-c.NX*at.Y-r.Model.Geometry.Nut, c.NX*at.X+c.NY*at.Y-c.D
		for _, q := range list {
			out := math.Hypot(mm(t, got.X, q[0])-s, mm(t, got.Y, q[1])-o)
			if out < 2*pixel(t, got.X) && (radius == 0 || math.Abs(mm(t, got.X, q[2])-mm(t, got.X, 0)-radius) < pixel(t, got.X)) {
				return true
			}
		}
		return false
	}
	drilled, plugged := 0, 0
	for _, h := range schedule.Holes {
		if h.Work == remedy.Reuse || h.Refused.Kind != remedy.NoRemark {
			continue
		}
		drilled++
		if !near(got.Fresh, h.New, 0) {
			t.Errorf("%v is not drawn at its new place", h.Name())
		}
		if h.Plug > 0 {
			plugged++
			if !near(got.Plug, h.Old, h.Plug/2) {
				t.Errorf("the plug of %v is not drawn at its old place", h.Name())
			}
		}
	}
	if drilled == 0 || len(got.Fresh) != drilled || len(got.Plug) != plugged {
		t.Errorf("%d new holes and %d plugs are drawn, want %d and %d", len(got.Fresh), len(got.Plug), drilled, plugged)
	}
}

// The work list has every kit that does not pass, once: to be read, again or further, before anything is done, or under its
// recommended works.
func TestWorkListIsWhole(t *testing.T) {
	list, b := demo(t), demoTab(t)
	got := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll(".work")].slice(1).flatMap((w) => [...w.querySelectorAll(".tasks a")].map((a) => a.textContent))`)
	bad := func(r *fit.Result) bool { return r.Verdict == fit.Fail || r.Verdict == fit.Unsure }
	first := func(r *fit.Result) bool { return bad(r) && words.ReadFirst(r, remedy.For(r, remedy.Options{})) }
	want := kits(list, func(r *fit.Result) bool { return bad(r) && !first(r) })
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("the work list has %q, want %q", got, want)
	}
	again := browser.Ask[[]string](b.Tab, `[...document.querySelector(".work").querySelectorAll(".tasks a")].map((a) => a.textContent)`)
	slices.Sort(again)
	if want := slices.Sorted(slices.Values(kits(list, first))); !slices.Equal(again, want) {
		t.Errorf("to be read again are %q, want %q", again, want)
	}
}

// A shim is drawn against its wall as thick as it is, at the gaps' magnification.
func TestShimsAreDrawnToScale(t *testing.T) {
	r := named(t, demo(t), "SSB-08")
	plan := remedy.For(r, remedy.Options{}).Plans[0]
	i := slices.IndexFunc(plan.Actions, func(a remedy.Action) bool { return a.Work == measure.SideShim })
	if i < 0 {
		t.Fatalf("the plan for a wide pocket has no side shim: %v", plan.Actions)
	}
	got := browser.Ask[[]float64](demoTab(t).Tab, `(() => { const e = document.querySelector("`+section(t, r.Kit)+` .shim"); return [e.getBBox().height, Number(e.ownerSVGElement.dataset.gap)]; })()`)
	const rounding = 0.03 // px
	if want := max(plan.Actions[i].Mouth, plan.Actions[i].End) * got[1]; math.Abs(got[0]-want) > rounding {
		t.Errorf("the shim is drawn %.2f px thick, want %.2f", got[0], want)
	}
}

// A wedge under the heel is drawn as thick as it is and on the side that it is thick, and the
// dashed plane meets the saddles as high as the plan predicts.
func TestWedgeIsDrawnFromTheSide(t *testing.T) {
	r := named(t, demo(t), "SSB-09")
	plan := remedy.For(r, remedy.Options{}).Plans[0]
	i := slices.IndexFunc(plan.Actions, func(a remedy.Action) bool { return a.Work == measure.PitchShim })
	if i < 0 {
		t.Fatalf("the plan for a kit with too little pitch has no wedge: %v", plan.Actions)
	}
	got := browser.Ask[struct {
		Y      string
		Points []float64
		Plane  float64
	}](demoTab(t).Tab, `(() => {
		const s = document.querySelector("`+section(t, r.Kit)+` svg[aria-label^='Side view']"), plane = s.querySelector(".plane.moved");
		return { Y: s.dataset.y, Points: s.querySelector(".shim").getAttribute("points").split(/[ ,]/).map(Number), Plane: Number(plane.getAttribute("y2")) };
	})()`)
	thick := func(below, above int) float64 {
		return mm(t, got.Y, got.Points[above]) - mm(t, got.Y, got.Points[below])
	}
	mouth, end := thick(1, 7), thick(3, 5) // y of the four corners: mouth and end below, end and mouth above
	want := [2]float64{0, plan.Actions[i].Size}
	if plan.Actions[i].Turn < 0 {
		want = [2]float64{want[1], want[0]}
	}
	if math.Abs(mouth-want[0]) > 2*pixel(t, got.Y) || math.Abs(end-want[1]) > 2*pixel(t, got.Y) {
		t.Errorf("the wedge is drawn %.3f mm thick at the mouth and %.3f at the end, want %v", mouth, end, want)
	}
	for _, p := range plan.Predicted {
		if r.Characteristics[p.Index].ID.String() == "fret-plane-height" && math.Abs(mm(t, got.Y, got.Plane)-p.Value) > pixel(t, got.Y) {
			t.Errorf("the plane is drawn %.2f mm high at the saddles, predicted %.2f", mm(t, got.Y, got.Plane), p.Value)
		}
	}
}

// The pocket after the work is drawn to the scale of the one before: the whole of walls, shims and heel
// adds up, and what is scraped lies outside the old wall.
func TestPocketIsDrawnBeforeAndAfter(t *testing.T) {
	seen := map[measure.Work]bool{}
	for _, r := range misfits(60) {
		a := remedy.For(r, remedy.Options{})
		p, play := &a.Plans[0], r.Model.Geometry.Play
		if p.After == nil || play == nil || !slices.ContainsFunc(p.Actions, func(a remedy.Action) bool {
			return a.Work == measure.SideShim || a.Work == measure.RelieveWall
		}) {
			continue
		}
		var scraped, packed [3]float64 // by wall, at the mouth
		for _, one := range p.Actions {
			switch one.Work {
			case measure.SideShim:
				packed[one.Wall] += one.Mouth
			case measure.RelieveWall:
				scraped[one.Wall] += one.Mouth
			default:
				continue
			}
			seen[one.Work] = true
		}
		b := open(t, render(t, r))
		got := browser.Ask[struct {
			Gap           float64
			Wall, Heel    []float64
			Dims          []float64
			Reliefs       []float64
			Before, After int
		}](b.Tab, `(() => {
			const all = [...document.querySelectorAll("svg[data-gap]")], s = all[1], numbers = (e, a) => e.getAttribute(a).match(/-?[\d.]+/g).map(Number);
			return { Gap: Number(s.dataset.gap), Wall: numbers(s.querySelector(".wall"), "d"), Heel: numbers(s.querySelector(".heel"), "points"),
				Dims: [...s.querySelectorAll(".dim")].map((e) => e.getBBox().height), Reliefs: [...s.querySelectorAll(".relief")].map((e) => Number(e.getAttribute("y1"))),
				Before: all.length, After: all[0].dataset.gap === s.dataset.gap ? 1 : 0 };
		})()`)
		if got.Before != 2 || got.After != 1 {
			t.Fatalf("%s: %d pockets, of one scale: %d", r.Kit, got.Before, got.After)
		}
		upper, lower, up, down := p.After.Treble[0], p.After.Bass[0], remedy.Treble, remedy.Bass
		if r.Info.LeftHanded {
			upper, lower, up, down = lower, upper, down, up
		}
		const rounding = 0.06                   // px
		top, bottom := got.Wall[1], got.Wall[7] // of the walls at the mouth
		for what, pair := range map[string][2]float64{
			"upper wall":     {50 - top, got.Gap * scraped[up]},
			"lower wall":     {bottom - 250, got.Gap * scraped[down]},
			"upper gap":      {got.Heel[3] - top, got.Gap * (packed[up] + upper)},
			"lower gap":      {bottom - got.Heel[9], got.Gap * (packed[down] + lower)},
			"upper gap mark": {got.Dims[0], got.Gap * math.Abs(upper)},
			"lower gap mark": {got.Dims[2], got.Gap * math.Abs(lower)},
		} {
			if math.Abs(pair[0]-pair[1]) > rounding {
				t.Errorf("%s: the %s is drawn %.2f px, want %.2f", r.Kit, what, pair[0], pair[1])
			}
		}
		for _, y := range got.Reliefs {
			if y != 50 && y != 250 {
				t.Errorf("%s: an old wall is drawn at %.1f", r.Kit, y)
			}
		}
		if seen[measure.SideShim] && seen[measure.RelieveWall] {
			break
		}
	}
	if !seen[measure.SideShim] || !seen[measure.RelieveWall] {
		t.Errorf("works that were seen: %v", seen)
	}
}

// Of a fan the nut is drawn slanted as it was made: each outer string has its own scale from the fret that is square.
func TestFanIsDrawnSlanted(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.Fan, in.StraightFret, in.SaddleSlant = 30, 7, 20
	r := fit.Check(in.Kit("fan", simulate.DryFit(in, rand.New(rand.NewPCG(1, 1)), simulate.Setup{Exact: true})), fit.Options{Model: true})
	b := open(t, render(t, r))
	nut := browser.Ask[struct {
		X              string
		Bass, Treble   float64
		BassY, TrebleY float64
	}](b.Tab, `(() => { const n = document.querySelector("svg.plan .nut"); const at = (k) => Number(n.getAttribute(k));
		return { X: n.ownerSVGElement.dataset.x, Bass: at("x1"), Treble: at("x2"), BassY: at("y1"), TrebleY: at("y2") }; })()`)
	want := in.Fan * (1 - math.Pow(2, -7.0/12))
	if got := mm(t, nut.X, nut.Treble) - mm(t, nut.X, nut.Bass); math.Abs(got-want) > 2*pixel(t, nut.X) || nut.BassY <= nut.TrebleY {
		t.Errorf("the nut's treble end lies %.2f mm behind its bass end, want %.2f", got, want)
	}
}
