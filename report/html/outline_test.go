package html_test

import (
	"math"
	"neckfit/report/internal/browser"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The corners of the bridge's plate and of a cavity, as they are read: invented, in mm of their
// own datums, which lie beside bridge and body as they like.
var (
	plateCorners  = [][2]float64{{2, 4}, {2.5, 98}, {58.5, 97.5}, {58, 4.5}}
	cavityCorners = [][2]float64{{322, 62}, {322, 92}, {347, 88}, {347, 62}}
)

// outlined is kit SSB-01 of the demonstration batch with the outlines read, too.
func outlined(t *testing.T) string {
	t.Helper()
	const demo, kit = "../../testdata/demo", "SSB-01"
	dir := t.TempDir()
	for _, name := range []string{"gauges.csv", "strings.csv"} {
		data, err := os.ReadFile(filepath.Join(demo, name))
		if err := os.WriteFile(filepath.Join(dir, name), must(t, data, err), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(filepath.Join(demo, "readings.csv"))
	var rows strings.Builder
	for line := range strings.Lines(string(must(t, data, err))) {
		if strings.HasPrefix(line, kit+",") || strings.HasPrefix(line, "kit,") {
			rows.WriteString(line)
		}
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	for i := range plateCorners {
		p, c := plateCorners[i], cavityCorners[i]
		n := strconv.Itoa(i + 1)
		rows.WriteString(kit + ",bridge,plate-edge,corner-" + n + ",,point," + number(p[0]) + "," + number(p[1]) + ",,mm,cal150,cal150,,,,\n")
		rows.WriteString(kit + ",body,cavity,pickup-" + n + ",,point," + number(c[0]) + "," + number(c[1]) + ",,mm,cal150,ver1000,,,,\n")
	}
	if err := os.WriteFile(filepath.Join(dir, "readings.csv"), []byte(rows.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

// The plate and a cavity are drawn with the sides and diagonals that were read, for to be laid on
// the body turns a part and does not stretch it; and the cavity stands from the bridge's screw
// holes, which have readings of their own, as far as in the readings.
func TestOutlinesAreDrawnAsRead(t *testing.T) {
	list, err := check(outlined(t))
	if err != nil || len(list) != 1 {
		t.Fatalf("%d kits: %v", len(list), err)
	}
	b := open(t, render(t, list...))
	b.Quiet()
	b.fits()
	got := browser.Ask[struct {
		X, Y          string
		Plate, Cavity [][]float64
		Holes         [][]float64
	}](b.Tab, `(() => {
		const s = document.querySelector("svg.fig:has(.plate)");
		const corners = (c) => s.querySelector("polygon." + c).getAttribute("points").split(" ").map((p) => p.split(",").map(Number));
		return { X: s.dataset.x, Y: s.dataset.y, Plate: corners("plate"), Cavity: corners("cavity"),
			Holes: [...s.querySelectorAll("circle.hole")].map((e) => [Number(e.getAttribute("cx")), Number(e.getAttribute("cy"))]) };
	})()`)
	apart := func(p, q []float64) float64 {
		return math.Hypot(mm(t, got.X, p[0])-mm(t, got.X, q[0]), mm(t, got.Y, p[1])-mm(t, got.Y, q[1]))
	}
	same := func(what string, drawn, read float64) {
		t.Helper()
		if math.Abs(drawn-read) > pixel(t, got.X) {
			t.Errorf("%s: drawn %.3f mm apart, read %.3f", what, drawn, read)
		}
	}
	for name, o := range map[string]struct {
		drawn [][]float64
		read  [][2]float64
	}{"plate": {got.Plate, plateCorners}, "cavity": {got.Cavity, cavityCorners}} {
		if len(o.drawn) != len(o.read) {
			t.Fatalf("the %s has %d corners, want %d", name, len(o.drawn), len(o.read))
		}
		for i := range o.read {
			for j := range i {
				same(name+" "+strconv.Itoa(j+1)+" to "+strconv.Itoa(i+1), apart(o.drawn[i], o.drawn[j]),
					math.Hypot(o.read[i][0]-o.read[j][0], o.read[i][1]-o.read[j][1]))
			}
		}
	}
	screws := [][2]float64{{343.44, 103.24}, {343.7, 77.23}, {343.86, 51.23}} // bridge-screw 1 to 3 of SSB-01, rows of the body
	for i, c := range cavityCorners {
		for j, s := range screws {
			same("cavity "+strconv.Itoa(i+1)+" to bridge-screw "+strconv.Itoa(j+1), apart(got.Cavity[i], got.Holes[j]), math.Hypot(c[0]-s[0], c[1]-s[1]))
		}
	}
}
