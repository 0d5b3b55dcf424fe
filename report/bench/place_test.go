package bench_test

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"neckfit/report/bench"
)

// rowsOf are the rows of a way's sheet.
func rowsOf(t *testing.T, way string) []bench.RowView {
	t.Helper()
	f, err := bench.OpenFolder(emptyFolder(t), options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("K", way, counts, false); err != nil {
		t.Fatal(err)
	}
	s, err := f.State("K")
	if err != nil {
		t.Fatal(err)
	}
	return s.Kit.Rows
}

// Every place is marked where page.html draws the part: the pocket from x 560 to 680 and y 100 to 200, the
// bridge from 840 to 920, the nut at 120 and the last fret at 610 between y 125, 175 and 109, 191.
func TestPlacesLieOnTheDrawing(t *testing.T) {
	within := func(x, low, high float64) bool { return low <= x && x <= high }
	edge := func(x float64) float64 { return 125 - 16*(x-120)/490 } // the drawn line from nut to last fret
	for _, way := range []string{"quick", "edge", "dry", "loose"} {
		for _, r := range rowsOf(t, way) {
			p := r.Place
			feature, _, _ := strings.Cut(r.Label, ",")
			ok := within(p.X, 0, 1000) && within(p.Y, 90, 210) && p.End >= p.Y
			switch {
			case strings.HasPrefix(feature, "pocket"), strings.HasPrefix(feature, "heel"), strings.HasPrefix(feature, "neck screw"):
				ok = ok && within(p.X, 560, 680)
			case strings.HasPrefix(feature, "bridge"), strings.HasPrefix(feature, "plate"), strings.HasPrefix(feature, "string hole"), strings.HasPrefix(feature, "saddle"):
				ok = ok && within(p.X, 840, 920)
			case strings.HasPrefix(feature, "nut"):
				ok = ok && p.X == 120
			case strings.HasPrefix(feature, "fret"):
				ok = ok && within(p.X, 121, 610)
			}
			switch { // a width goes across; what is read from an edge lies on it, or on its side
			case strings.HasSuffix(r.Label, ", width"):
				ok = ok && p.Y < 150 && p.End-150 == 150-p.Y
			case feature == "edge bass" || p.Edge == "bass" && (feature == "nut" || strings.HasPrefix(feature, "fret")):
				ok = ok && math.Abs(p.Y-edge(p.X)) < 1e-9
			case feature == "edge treble" || p.Edge == "treble" && (feature == "nut" || strings.HasPrefix(feature, "fret")):
				ok = ok && math.Abs(p.Y-(300-edge(p.X))) < 1e-9
			case strings.Contains(r.Where, "bass") || strings.HasPrefix(feature, "heel bass") || strings.HasPrefix(feature, "pocket bass"):
				ok = ok && p.Y < 150
			case strings.Contains(r.Where, "treble") || strings.HasPrefix(feature, "heel treble") || strings.HasPrefix(feature, "pocket treble"):
				ok = ok && p.Y > 150
			}
			if strings.Contains(r.Where, "mouth") {
				ok = ok && p.X < 620
			}
			if strings.Contains(r.Where, "pocket's end") {
				ok = ok && p.X > 620
			}
			if !ok {
				t.Errorf("%s: %s, %s at %+v", way, r.Label, r.Where, p)
			}
		}
	}
}

// Fret 12 halves the scale, so it is drawn where half of the way to the bridge is that fret 20 takes
// 1 - 2^(-20/12) of; strings and holes go from treble to bass as their numbers grow.
func TestPlacesAreInOrder(t *testing.T) {
	at := map[string]bench.Place{}
	for _, r := range rowsOf(t, "loose") {
		at[r.Label] = r.Place
	}
	if got, want := at["fret 12"].X, 120+490*0.5/(1-math.Pow(2, -20./12)); math.Abs(got-want) > 1e-9 {
		t.Errorf("fret 12 at %v, want %v", got, want)
	}
	for _, feature := range []string{"nut slot", "saddle", "string hole"} {
		for i, n := range []string{"2", "3", "4"} {
			before, after := at[feature+" "+[]string{"1", "2", "3"}[i]], at[feature+" "+n]
			if after.Y >= before.Y || before.Y == 0 {
				t.Errorf("%s %s at %+v, the one before at %+v", feature, n, after, before)
			}
		}
	}
	last := 0.0
	for _, n := range []string{"1", "3", "5", "7", "9", "12", "15", "17", "20"} {
		x := at["fret "+n].X
		if x <= last {
			t.Errorf("fret %s at %v", n, x)
		}
		last = x
	}
}

// A gauge that is chosen goes with the number that it read, and with none that was taken away.
func TestGaugeGoesWithTheNumber(t *testing.T) {
	dir := emptyFolder(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("K", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ column, text, gauge, want string }{
		{"station", "10", "rule", "# half read: K,edge-bass,heel,,,width,10,,,mm,,rule,"},
		{"size", "63.5", "calliper", "\nK,edge-bass,heel,,,width,10,,63.5,mm,calliper,rule,"},
		{"size", "63.6", "", "\nK,edge-bass,heel,,,width,10,,63.6,mm,calliper,rule,"},
		{"size", "", "feeler", "# half read: K,edge-bass,heel,,,width,10,,,mm,calliper,rule,"},
	} {
		s, err := f.State("K")
		if err != nil {
			t.Fatal(err)
		}
		r := s.Kit.Rows[0]
		if err := f.Enter(bench.Entry{Row: r.Row, Was: r.Was, Column: c.column, Text: c.text, Gauge: c.gauge}); err != nil {
			t.Error(err)
		}
		if text := read(t, filepath.Join(dir, "readings.csv")); !strings.Contains(text, c.want) {
			t.Errorf("%+v:\n%s", c, text)
		}
	}
}

// A place that is read once more gets a row of its own beside the first, and both are numbered.
func TestRepeat(t *testing.T) {
	dir := emptyFolder(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("K", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		s, err := f.State("K")
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Repeat(s.Kit.Rows[0].Row, s.Kit.Rows[0].Was); err != nil {
			t.Fatal(err)
		}
	}
	s, err := f.State("K")
	if err != nil {
		t.Fatal(err)
	}
	var times []string // the sheet has three of the place
	for _, r := range s.Kit.Rows {
		if cells := strings.Split(r.Was, ","); strings.HasPrefix(cells[len(cells)-1], "1. ") {
			times = append(times, cells[12]+": "+r.Label)
		}
	}
	want := []string{"1: ", "2: , time 2", "3: , time 3", "4: , time 4", "5: , time 5"}
	for i := range want {
		want[i] = strings.Replace(want[i], ": ", ": heel, width, from the bass edge", 1)
	}
	if len(s.Kit.Rows) != 26 || !slices.Equal(times, want) {
		t.Errorf("%d rows, of the place %q", len(s.Kit.Rows), times)
	}
	if err := f.Repeat(0, "no such row"); err == nil {
		t.Error("repeated")
	}
}
