package html

import (
	"math"
	"math/cmplx"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/measure"
)

func near1(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6f, want %.6f", what, got, want)
	}
}

// A frame's places are those of the plane turned so that the centre line runs along: held against the
// turning of complex numbers.
func TestFrameTurnsThePlane(t *testing.T) {
	for _, degrees := range []float64{0, 3, -17, 160} {
		angle, d, zero := degrees*math.Pi/180, 4.5, 120.0
		// A centre line in that direction, d to the treble side of the origin: its normal is the direction
		// turned by 90 degrees toward treble.
		f := frame{nx: -math.Sin(angle), ny: math.Cos(angle), d: d, zero: zero}
		for _, at := range []complex128{0, complex(300, 40), complex(-20, 7)} {
			turned := at * cmplx.Rect(1, -angle)
			p := f.of(real(at), imag(at))
			near1(t, "along", p.s, real(turned)-zero, 1e-9)
			near1(t, "beside", p.o, imag(turned)-d, 1e-9)
		}
		// A line 2 degrees off the centre line, through the frame's place 0, 30.
		off := 2 * math.Pi / 180
		through := cmplx.Rect(1, angle) * complex(zero, d+30)
		normal := cmplx.Rect(1, angle+off+math.Pi/2)
		l := &fit.Line{NX: real(normal), NY: imag(normal), D: real(normal)*real(through) + imag(normal)*imag(through)}
		near1(t, "the line's place at 0", f.offset(l, 0), 30, 1e-9)
		near1(t, "the line's place at 200", f.offset(l, 200), 30+200*math.Tan(off), 1e-9)
	}
}

// The distances of frets are tabled in handbooks as parts of the scale length: 0.05613, 0.25085, 0.33258,
// 0.5 and 0.75 for frets 1, 5, 7, 12 and 24.
func TestFrets(t *testing.T) {
	for n, part := range map[int]float64{0: 0, 1: 0.05613, 5: 0.25085, 7: 0.33258, 12: 0.5, 24: 0.75} {
		near1(t, "fret "+strconv.Itoa(n), fretAt(762, n)/762, part, 6e-6)
	}
}

func TestScales(t *testing.T) {
	a := between(-2, 6, 100, 20)
	near1(t, "the low end", a.of(-2), 100, 1e-12)
	near1(t, "the high end", a.of(6), 20, 1e-12)
	near1(t, "the middle", a.of(2), 60, 1e-12)
	if b := between(3, 3, 0, 10); math.IsNaN(b.of(3)) || math.IsInf(b.of(3), 0) {
		t.Errorf("a scale of no length: %v", b)
	}
	for x, want := range map[float64]float64{0.3: 1, 1: 1, 1.9: 1, 2: 2, 4.9: 3, 5: 5, 9.9: 5, 10: 10, 37: 30, 499: 300, 500: 500, 20000: 20000} {
		if got := roundFactor(x); got != want {
			t.Errorf("a round factor below %g: %g, want %g", x, got, want)
		}
	}
	at := planeAt(12, -2, 700) // leans by 2 degrees, its nut higher
	near1(t, "the plane at the bridge", at(700), 12, 1e-12)
	near1(t, "the plane at the nut", at(0), 12+700*0.0349208, 1e-3)
}

// The limits stand at the ends of the band, 72 and 168 of 240 px; with one limit the other side is open, a
// value inside lies in the band and its whole interval in the bar.
func TestBarScale(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		band                    string
		lower, upper, value, u  float64
		lowAt, highAt           float64
		left, right, minimumGap float64 // where the value must lie, and how far at least from the limit
	}{
		{"b", -1, 1, 0.25, 0.1, 72, 168, 132, 132, 0},
		{"b", 0.05, 0.5, 0.95, 0.05, 72, 168, 264, 264, 0},
		{"bl", 2.5, inf, 6, 0.2, 72, 0, 72, 240, 40},
		{"bl", 2.5, inf, 2, 0.2, 72, 0, 0, 72, 5},
		{"bu", -inf, 0.3, 0.1, 0.05, 0, 168, 0, 168, 40},
		{"bu", -inf, 0.3, 0.9, 0.05, 0, 168, 168, 240, 40},
		{"bp", 0, 0, 0.4, 0.1, 120, 120, 216, 216, 0},
	} {
		x := &fit.Characteristic{Lower: c.lower, Upper: c.upper, Value: c.value, StdUncertainty: c.u, Verdict: fit.Pass}
		band, scale := barScale(x)
		if band != c.band {
			t.Errorf("%+v: the band is %s", c, band)
		}
		if c.lowAt > 0 {
			near1(t, "the lower limit", scale.of(c.lower), c.lowAt, 1e-9)
		}
		if c.highAt > 0 {
			near1(t, "the upper limit", scale.of(c.upper), c.highAt, 1e-9)
		}
		at := scale.of(c.value)
		if at < c.left-1e-9 || at > c.right+1e-9 {
			t.Errorf("%s %v in %v to %v is drawn at %.2f, want %.0f to %.0f", band, c.value, c.lower, c.upper, at, c.left, c.right)
		}
		if scale.per <= 0 {
			t.Errorf("%s: more is drawn to the left", band)
		}
		if limit := c.lower; c.minimumGap > 0 {
			if math.IsInf(limit, 0) {
				limit = c.upper
			}
			if d := math.Abs(at - scale.of(limit)); d < c.minimumGap {
				t.Errorf("%s: the value lies %.1f px from its limit", band, d)
			}
			for _, end := range []float64{c.value - 1.96*c.u, c.value + 1.96*c.u} {
				if p := scale.of(end); p < 0 || p > 240 {
					t.Errorf("%s: the interval's end is drawn at %.1f", band, p)
				}
			}
		}
	}
	if _, scale := barScale(&fit.Characteristic{Lower: 1, Upper: inf, Value: 1}); math.IsInf(scale.per, 0) || math.IsNaN(scale.at) {
		t.Errorf("a value at its limit without uncertainty: %v", scale)
	}
}

// spreadOf is a series of values that all kits have, within limits.
func spreadOf(lower, upper float64, values ...float64) *series {
	s := &series{name: "gap", unit: "mm", lower: lower, upper: upper, sameLimits: true, values: values}
	for range values {
		s.u, s.verdicts, s.kits = append(s.u, 0.3), append(s.verdicts, fit.Pass), append(s.kits, len(s.kits)+1)
	}
	s.u[0] = 0.4
	return s
}

var attributes = regexp.MustCompile(`(\w+)="(-?[\d.]+)"`)

// elements are the number attributes of a drawing's elements of a class.
func elements(svg, name, class string) (list []map[string]float64) {
	for _, m := range regexp.MustCompile(`<`+name+` class="`+class+`"([^>]*)/>`).FindAllStringSubmatch(svg, -1) {
		e := map[string]float64{}
		for _, a := range attributes.FindAllStringSubmatch(m[1], -1) {
			e[a[1]], _ = strconv.ParseFloat(a[2], 64)
		}
		list = append(list, e)
	}
	return list
}

// A thousand values, evenly from 0 to 1: an interquartile range of a half and, by Freedman and Diaconis
// (1981), steps of 2 x 0.5 / 10; so ten steps of a hundred values, all as high. The mean square of the
// uncertainties is (0.4^2 + 999 x 0.3^2) / 1000.
func TestHistogram(t *testing.T) {
	var even []float64
	for i := range 1000 {
		even = append(even, (float64(i)+0.5)/1000)
	}
	s := spreadOf(0.2, 0.9, even...)
	near1(t, "the mean uncertainty", s.meanU(), math.Sqrt((0.16+999*0.09)/1000), 1e-12)
	if n := s.bins(1); n != 10 {
		t.Errorf("%d steps over a span of 1, want 10", n)
	}
	if n := s.bins(0.4); n != 8 {
		t.Errorf("%d steps over a short span, want the fewest, 8", n)
	}
	if n := s.bins(4); n != 32 {
		t.Errorf("%d steps over a long span, want the most, 32", n)
	}
	low, high := s.span()
	near1(t, "the span's low end", low, 0.0005-0.06*0.999, 1e-9)
	near1(t, "the span's high end", high, 0.9995+0.06*0.999, 1e-9)
	svg := string(s.histogram())
	bins := elements(svg, "rect", "bin")
	tallest := 0.0
	for _, b := range bins {
		tallest = math.Max(tallest, b["height"])
		near1(t, "a bin's foot", b["y"]+b["height"], chartBase, 0.02)
	}
	near1(t, "the tallest bin", tallest, 96, 0.01)
	if len(bins) != 12 { // ten steps' worth and the rests at both ends
		t.Errorf("%d bins are drawn", len(bins))
	}
	x := between(low, high, chartLeft, chartWidth-chartLeft)
	band := elements(svg, "rect", "band")[0]
	near1(t, "the band's beginning", band["x"], x.of(0.2), 0.01)
	near1(t, "the band's end", band["x"]+band["width"], x.of(0.9), 0.02)
	limits := elements(svg, "line", "limit")
	near1(t, "the lower limit", limits[0]["x1"], x.of(0.2), 0.01)
	near1(t, "the upper limit", limits[1]["x1"], x.of(0.9), 0.01)
	if !strings.Contains(svg, "mean 0.50 mm") || strings.Contains(svg, "more") {
		t.Errorf("the label says: %s", svg[:200])
	}
}

// What lies far out is counted at the edge: four times the interquartile range, or eight of the
// uncertainty, beyond the quartiles.
func TestHistogramOfOutliers(t *testing.T) {
	s := spreadOf(math.Inf(-1), math.Inf(1), 1, 2, 3, 4, 5, 6, 7, 8, 100, 200, -150)
	svg := string(s.histogram())
	if !strings.Contains(svg, "2 more ▶") || !strings.Contains(svg, "◀ 1 more") {
		t.Errorf("the outliers are not counted: %s", svg)
	}
	if len(elements(svg, "rect", "band")) != 0 || len(elements(svg, "line", "limit")) != 0 {
		t.Error("limits are drawn that there are not")
	}
	if q1, q3 := quartiles([]float64{4, 1, 3, 2}); q1 != 2 || q3 != 4 {
		t.Errorf("quartiles %v and %v", q1, q3)
	}
	one := spreadOf(0, 1, 0.5, 0.5, 0.5)
	if svg := string(one.histogram()); strings.Contains(svg, "NaN") || len(elements(svg, "rect", "bin")) != 1 {
		t.Errorf("values all alike: %s", svg)
	}
	one.sameLimits = false
	if svg := string(one.histogram()); len(elements(svg, "line", "limit")) != 0 {
		t.Error("limits that differ from kit to kit are drawn")
	}
}

var moves = regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`)

// pathPoints are the points of a path that moves and draws lines.
func pathPoints(svg, class string) (list []point) {
	m := regexp.MustCompile(`<path class="` + class + `" d="([^"]*)"`).FindStringSubmatch(svg)
	if m == nil {
		return nil
	}
	for _, p := range moves.FindAllStringSubmatch(m[1], -1) {
		x, _ := strconv.ParseFloat(p[1], 64)
		y, _ := strconv.ParseFloat(p[2], 64)
		list = append(list, point{x, y})
	}
	return list
}

// In the order of the batch the values stand at even steps, each as high as it is; the mean's line lies at
// the mean, the band between the limits; of the moving ranges each lies above zero by its length.
func TestSequence(t *testing.T) {
	values := []float64{2, 4, 3, 5, 1, 3, 4, 2, 3, 3}
	s := spreadOf(1.5, 4.5, values...)
	chart, err := lot.IndividualsChart(values, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	html := string(s.sequence(chart))
	low, high := s.span()
	y := between(low, high, 146, 28)
	points := pathPoints(html, "run")
	if len(points) != len(values) {
		t.Fatalf("%d points for %d values", len(points), len(values))
	}
	step := points[1].x - points[0].x
	near1(t, "the first value's place", points[0].x, chartLeft+8, 0.05)
	near1(t, "the last value's place", points[9].x, chartWidth-chartLeft-44, 0.05)
	for i, v := range values {
		near1(t, "value "+strconv.Itoa(i), points[i].y, y.of(v), 0.06)
		near1(t, "step "+strconv.Itoa(i), points[i].x, points[0].x+step*float64(i), 0.5)
	}
	near1(t, "the mean's line", elements(html, "line", "base")[0]["y1"], y.of(3), 0.01)
	band := elements(html, "rect", "band")[0]
	near1(t, "the band's top", band["y"], y.of(4.5), 0.01)
	near1(t, "the band's foot", band["y"]+band["height"], y.of(1.5), 0.02)

	ranges := string(s.ranges(chart))
	top := chart.RangeTop // above all ranges here
	yr := between(0, top, 108, 30)
	for i, p := range pathPoints(ranges, "run") {
		near1(t, "range "+strconv.Itoa(i), p.y, yr.of(math.Abs(values[i+1]-values[i])), 0.06)
		near1(t, "range's place "+strconv.Itoa(i), p.x, points[i+1].x, 0.06)
	}
	near1(t, "the ranges' zero", elements(ranges, "line", "base")[0]["y1"], 108, 0.01)
	near1(t, "the ranges' limit", elements(ranges, "line", "control")[0]["y1"], 30, 0.01)
	near1(t, "the ranges' mean", elements(ranges, "line", "control")[1]["y1"], yr.of(15.0/9), 0.01)
}

// The parts of a bar follow one another and fill it.
func TestTallies(t *testing.T) {
	list := tallyOf([fit.Fail + 1]int{fit.Pass: 5, fit.Unsure: 2, fit.Fail: 1})
	want := []tally{{"fail", "✕ fail", 1, "0", "12.5"}, {"unsure", "? unsure", 2, "12.5", "25"}, {"pass", "✓ pass", 5, "37.5", "62.5"}}
	for i := range want {
		if i >= len(list) || list[i] != want[i] {
			t.Fatalf("%v, want %v", list, want)
		}
	}
}

// A residual of so many standard deviations has its tick so far from the middle; those beyond four stand
// at the ends, and a point's second number behind a stroke.
func TestResidualRows(t *testing.T) {
	reading := func(line int) *measure.Reading {
		return &measure.Reading{Datum: measure.DatumNeck, Feature: measure.EdgeBass, Place: measure.Place{File: "a", Line: line}}
	}
	r := &fit.Result{Residuals: []fit.Residual{
		{Reading: reading(3), Axis: measure.Station, Checked: true, W: 2, Residual: 0.123},
		{Reading: reading(3), Axis: measure.Offset, Checked: true, W: -9, Residual: -0.5},
		{Reading: reading(4), Axis: measure.Offset, Checked: true, Suspect: true, W: 4, Residual: 0.004},
		{Reading: reading(9), Axis: measure.Offset, W: 1},
	}}
	rows := residualRows(r)
	if len(rows) != 1 || len(rows[0].Runs) != 2 {
		t.Fatalf("%+v", rows)
	}
	strip := string(rows[0].Strip)
	for _, tick := range []string{"M132 4v10", "M6 4v10"} { // 90 +- 84 px are four deviations
		if !strings.Contains(strip, tick) {
			t.Errorf("no tick %s in %s", tick, strip)
		}
	}
	if !strings.Contains(strip, `points="174,3 180,14 168,14"`) {
		t.Errorf("the suspect is not at the end of the scale: %s", strip)
	}
	first, second := rows[0].Runs[0], rows[0].Runs[1]
	if first.First != 3 || first.Last != 4 || first.Unchecked || second.First != 9 || !second.Unchecked {
		t.Errorf("runs %+v", rows[0].Runs)
	}
	want := []residualValue{{false, false, "+12", 3}, {true, false, "−50", 3}, {false, true, "0", 4}}
	for i, v := range first.Values {
		if v != want[i] {
			t.Errorf("value %d is %+v, want %+v", i, v, want[i])
		}
	}
}

func num1(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
