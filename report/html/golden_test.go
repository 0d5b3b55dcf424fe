package html

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

var update = flag.Bool("update", false, "write the golden files anew; look at the drawings before you keep them")

// drawnKit is a kit of round numbers, made by hand: a frame turned by 2 degrees, the nut at 100, a scale of
// 760, the pocket from 520 to 590, the bridge 1.5 mm toward treble.
func drawnKit(left bool) *scene {
	turn := 2 * math.Pi / 180
	sin, cos := math.Sincos(turn)
	at := func(s, o float64) (x, y float64) { return (s+100)*cos - o*sin, (s+100)*sin + o*cos }
	line := func(o, degrees float64) *fit.Line { // through the place 0, o of the centre line's frame
		x, y := at(0, o)
		nx, ny := -math.Sin(turn+degrees*math.Pi/180), math.Cos(turn+degrees*math.Pi/180)
		return &fit.Line{NX: nx, NY: ny, D: nx*x + ny*y}
	}
	g := &fit.Geometry{
		Centre: line(0, 0), Edges: [2]*fit.Line{line(-20, -0.6), line(20, 0.6)}, Pocket: [2]*fit.Line{line(-28, 0.1), line(28, 0.1)},
		Nut: 100, Scale: 760, LastFret: 20, Strings: 4,
	}
	bx, by := at(764, 1.5)
	g.Bridge = &fit.Reference{X: bx, Y: by, Heading: 2.5}
	mx, my := at(520, 0.2)
	g.Play = &fit.Play{MouthX: mx, MouthY: my, Length: 70, Lever: 244, Bass: [2]float64{0.3, -0.1}, Treble: [2]float64{0.5, 0.2}, Std: [2]float64{0.05, 0.04}, Placed: true}
	place := func(f measure.Feature, n int, s, o, diameter float64) {
		x, y := at(s, o)
		g.Places = append(g.Places, fit.Place{Feature: f, Mark: measure.Mark{Number: n}, X: x, Y: y, Diameter: diameter})
	}
	for n := 1; n <= 4; n++ {
		o := 28.5 - 19*float64(n-1)
		place(measure.NutSlot, n, 0, o/2, 0)
		place(measure.Saddle, n, 762+2*float64(n), o+1, 0)
		place(measure.SaddleFront, n, 755, o+1, 0)
		place(measure.SaddleBack, n, 772, o+1, 0)
		place(measure.StringHole, n, 790, o+2, 3.2)
		place(measure.PlateHole, n, 790.5, o+1.5, 0)
		place(measure.NeckScrew, n, 530+20*float64(n%2), o/2, 5)
	}
	place(measure.BridgeScrew, 1, 780, 38, 0)
	place(measure.PlateScrew, 1, 780.4, 38.6, 0)
	for i, c := range [][2]float64{{750, -40}, {750, 42}, {800, 42}, {800, -40}} {
		place(measure.PlateEdge, i+1, c[0], c[1], 0)
		x, y := at(c[0]-30, c[1]/3)
		g.Places = append(g.Places, fit.Place{Feature: measure.Cavity, Mark: measure.Mark{Name: "pickup-" + string(rune('1'+i))}, X: x, Y: y})
	}
	r := &fit.Result{Kit: "hand-made", Model: &fit.Model{Geometry: g}, Swing: &fit.Swing{Low: -1.2, High: 0.9}}
	r.Info.LeftHanded = left
	r.Characteristics = []fit.Characteristic{
		{ID: fit.CentreLineError, Value: 1.5, StdUncertainty: 0.2, Lower: -1, Upper: 1, Verdict: fit.Fail},
		{ID: fit.FretPlaneHeight, Value: 11, StdUncertainty: 0.1, Verdict: fit.NotJudged},
		{ID: fit.Pitch, Value: -1.5, StdUncertainty: 0.05, Verdict: fit.NotJudged, Dimension: measure.Angle},
		{ID: fit.PocketDepth, Value: 16, StdUncertainty: 0.05, Verdict: fit.NotJudged},
		{ID: fit.SaddleHeightReserveLow, Value: 2, StdUncertainty: 0.1, Verdict: fit.Pass},
		{ID: fit.SaddleHeightReserveHigh, Value: -0.5, StdUncertainty: 0.1, Verdict: fit.Fail},
	}
	for i, suspect := range []bool{false, true, false} {
		x, y := at(200*float64(i), 20+2*float64(i))
		r.Residuals = append(r.Residuals, fit.Residual{
			Reading: &measure.Reading{Datum: measure.DatumNeck, Feature: measure.EdgeTreble}, Axis: measure.Offset, Placed: true, X: x, Y: y,
			Residual: 0.1 * float64(i-1), Checked: true, Suspect: suspect,
		})
	}
	s := newScene(r)
	s.plan = &remedy.Plan{
		Actions: []remedy.Action{
			{Work: measure.SideShim, Wall: remedy.Treble, Mouth: 0.3, End: 0.1}, {Work: measure.RelieveWall, Wall: remedy.Bass, Mouth: 0, End: 0.2},
			{Work: measure.PitchShim, Turn: 0.4, Size: 0.5}, {Work: measure.RiseShim, Size: 0.25}, {Work: measure.PitchShim, Turn: -0.2, Size: 0.3},
		},
		After: &remedy.After{Bass: [2]float64{0.2, 0.05}, Treble: [2]float64{0.3, 0.15}}, Swing: &fit.Swing{Low: -0.4, High: 0.3},
		Predicted: []remedy.Predicted{{Index: 1, Value: 12.2, Changed: true}, {Index: 2, Value: -1.9, Changed: true}},
	}
	return s
}

// The drawings of a kit made by hand are as they were when somebody looked at them last. What matters in
// them has tests of its own, by the numbers; this holds all the rest.
func TestDrawingsAreAsTheyWere(t *testing.T) {
	for name, s := range map[string]*scene{"right": drawnKit(false), "left": drawnKit(true)} {
		now, then := pocketViews(s)
		got := strings.ReplaceAll(string(planView(s)+sideways(s)+now+then+bridgeView(s)+sideView(s)), "><", ">\n<") + "\n"
		file := filepath.Join("testdata", "drawings-"+name+".golden")
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o600); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
			t.Errorf("%s (-want +got):\n%.3000s", name, diff)
		}
	}
}

// By hand: the nut at the left margin's 8 mm, the bridge 764 mm from it and 1.5 mm toward treble, the pocket
// from 520 to 590 mm, the board's end at the 20th fret, the strings from slot to saddle.
func TestPlanByHand(t *testing.T) {
	s := drawnKit(false)
	svg := string(planView(s))
	low, high, wide, ok := s.extent()
	near1(t, "the low end", low, -8, 1e-6)
	near1(t, "the high end", high, 800+12, 1e-6)
	near1(t, "the width", wide, 42+4, 1e-6)
	if !ok {
		t.Fatal("nothing to draw")
	}
	x, y := between(-8, 812, 46, 954), axis{168, -118 / 46.0}
	numbersOf := func(class, attribute string) (list []float64) {
		_, rest, _ := strings.Cut(svg, `class="`+class+`"`)
		_, rest, _ = strings.Cut(rest, attribute+`="`)
		rest, _, _ = strings.Cut(rest, `"`)
		for _, word := range strings.FieldsFunc(rest, func(c rune) bool { return c == ' ' || c == ',' || c == 'M' || c == 'L' }) {
			list = append(list, num1(t, word))
		}
		return list
	}
	same := func(what string, got []float64, want ...float64) {
		t.Helper()
		if len(got) < len(want) {
			t.Fatalf("%s: %v", what, got)
		}
		for i := range want {
			near1(t, what, got[i], want[i], 0.06)
		}
	}
	same("the bridge", numbersOf("bridge-mark", "data-bridge"), x.of(764), y.of(1.5))
	tan := math.Tan(0.1 * math.Pi / 180)
	same("the pocket", numbersOf("pocket", "points"), x.of(520), y.of(-28+520*tan), x.of(590), y.of(-28+590*tan), x.of(590), y.of(28+590*tan), x.of(520), y.of(28+520*tan))
	board, end := math.Tan(0.6*math.Pi/180), 760*(1-math.Pow(2, -20.0/12))
	same("the board", numbersOf("board", "points"), x.of(0), y.of(-20), x.of(end), y.of(-20-end*board), x.of(end), y.of(20+end*board), x.of(0), y.of(20))
	same("the strings", numbersOf("string", "d"), x.of(0), y.of(14.25), x.of(764), y.of(29.5), x.of(0), y.of(4.75), x.of(766), y.of(10.5))
	fret := 760 * (1 - math.Pow(2, -1.0/12))
	same("the first fret", numbersOf("fret", "d"), x.of(fret), y.of(-20-fret*board), x.of(fret), y.of(20+fret*board))
	slant := math.Tan(0.5 * math.Pi / 180) // heading 2.5 in a frame turned by 2
	got := []float64{numbersOf("saddle-line", "x1")[0], numbersOf("saddle-line", "y1")[0], numbersOf("saddle-line", "x2")[0], numbersOf("saddle-line", "y2")[0]}
	same("the saddles' line", got, x.of(764+28*slant), y.of(1.5-28), x.of(764-28*slant), y.of(1.5+28))
}
