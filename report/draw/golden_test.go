package draw

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew; look at the sheets before you keep them")

// dump writes all that a reader finds on the sheets of a file, to 0.01 mm.
func dump(sheets []*found) string {
	var b strings.Builder
	for i, s := range sheets {
		fmt.Fprintf(&b, "sheet %d: %.2f by %.2f mm\n", i+1, s.width, s.height)
		for _, tag := range slices.Sorted(maps.Keys(s.lines)) {
			if tag == "" {
				continue // those have other names as well
			}
			for _, l := range s.lines[tag] {
				fmt.Fprintf(&b, "%s: line %.2f %.2f to %.2f %.2f\n", tag, l[0].X, l[0].Y, l[1].X, l[1].Y)
			}
		}
		for _, tag := range slices.Sorted(maps.Keys(s.circles)) {
			for _, c := range s.circles[tag] {
				fmt.Fprintf(&b, "%s: circle %.2f %.2f of %.2f\n", tag, c.centre.X, c.centre.Y, c.r)
			}
		}
		for _, look := range slices.Sorted(maps.Keys(s.looks)) {
			fmt.Fprintf(&b, "%d times %s\n", s.looks[look], look)
		}
		for n, text := range s.texts {
			fmt.Fprintf(&b, "text %.2f %.2f %s\n", s.pens[n].X, s.pens[n].Y, text)
		}
	}
	return strings.ReplaceAll(b.String(), "-0.00", "0.00")
}

// The whole layout of a template and of a form is as it was when somebody looked at it last. The places
// that matter have tests of their own, by the reader's rule; this holds all others.
func TestLayoutIsAsItWas(t *testing.T) {
	left, crowd := bass(), bass()
	left.Left = true
	for i := range 9 {
		crowd.Holes = append(crowd.Holes, Hole{Name: "a hole of a long name", At: Point{290 + float64(i%3)*7, float64(i/3)*7 - 8}, Action: DrillFresh, Pilot: 2, Depth: "12 mm"})
	}
	crowd.Register, crowd.Corners, crowd.Centre = []Outline{{Name: "pocket end", Points: []Point{{64, -31.7}, {64, 31.7}}}}, nil, nil
	mirrored := form(6)
	mirrored.Left = true
	for name, sheets := range map[string][]*found{
		"template": readers["pdf"](t, bass(), A4), "left-letter": readers["pdf"](t, left, Letter), "crowd": readers["pdf"](t, crowd, A4), "big": readers["pdf"](t, big(), Letter)[:2],
		"form": readForms(t, A4, []Form{form(12), mirrored}, []Label{{Big: "Kit 1", Small: "neck", Line: "lot"}, {Big: "Kit 1", Small: "body", Line: "lot"}}),
	} {
		file, got := filepath.Join("testdata", name+".golden"), dump(sheets)
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

// Both formats draw the same lines and circles in every group that has a number of its own.
func TestFormatsAgree(t *testing.T) {
	numbered := func(tag string) bool { return strings.ContainsAny(tag, "0123456789") }
	svg, pdf := readers["svg"](t, bass(), A4), readers["pdf"](t, bass(), A4)
	groups := 0
	for i := range pdf {
		for tag, lines := range pdf[i].lines {
			if !numbered(tag) {
				continue
			}
			groups++
			if other := svg[i].lines[tag]; !slices.EqualFunc(lines, other, func(a, b [2]Point) bool { return close2(a[0], b[0]) && close2(a[1], b[1]) }) {
				t.Errorf("sheet %d, %s: %v in PDF, %v in SVG", i+1, tag, lines, other)
			}
		}
		for tag, circles := range pdf[i].circles {
			if numbered(tag) && len(circles) != len(svg[i].circles[tag]) {
				t.Errorf("sheet %d, %s: %d circles in PDF, %d in SVG", i+1, tag, len(circles), len(svg[i].circles[tag]))
			}
			for _, c := range circles {
				if numbered(tag) && !svg[i].hasCircle(tag, c) {
					t.Errorf("sheet %d, %s: no circle %v in SVG", i+1, tag, c)
				}
			}
		}
	}
	if groups < 40 {
		t.Errorf("%d groups were compared", groups)
	}
}
