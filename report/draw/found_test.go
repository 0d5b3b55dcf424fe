package draw

import (
	"math"
	"strings"
	"testing"
)

// found is what a finished file shows on one sheet, whichever the format: places in mm from the
// sheet's top left corner, under the name of each group that they are in.
type found struct {
	width, height float64
	lines         map[string][][2]Point
	circles       map[string][]disc
	texts         []string
	looks         map[string]int // of a PDF: how often each look is painted
	pens          []Point        // of a PDF: where each text begins
	flipped       bool           // some transform turned writing into mirror writing
}

type disc struct {
	centre Point
	r      float64
}

func newFound(width, height float64) *found {
	return &found{width: width, height: height, lines: map[string][][2]Point{}, circles: map[string][]disc{}, looks: map[string]int{}}
}

func (f *found) addLine(tags []string, from, to Point) {
	for _, tag := range tags {
		f.lines[tag] = append(f.lines[tag], [2]Point{from, to})
	}
}

func (f *found) addCircle(tags []string, d disc) {
	for _, tag := range tags {
		f.circles[tag] = append(f.circles[tag], d)
	}
}

// crossing is where the two lines of a cross meet, worked out from the lines.
func (f *found) crossing(t *testing.T, tag string) (Point, bool) {
	t.Helper()
	lines := f.lines[tag]
	if len(lines) == 0 {
		return Point{}, false
	}
	if len(lines) < 2 {
		t.Fatalf("%s has %d lines, a cross has two", tag, len(lines))
	}
	a, b := lines[0][0], lines[0][1].minus(lines[0][0])
	c, d := lines[1][0], lines[1][1].minus(lines[1][0])
	det := b.X*d.Y - b.Y*d.X
	if math.Abs(det) < 1 { // mm^2: arms of a millimetre and more, square to each other
		t.Fatalf("%s: the lines of the cross are parallel", tag)
	}
	e := c.minus(a)
	return a.plus(b.times((e.X*d.Y - e.Y*d.X) / det)), true
}

func (f *found) says(text string) bool {
	return strings.Contains(strings.Join(f.texts, "\n"), text)
}

// near is what the task allows: 0.01 mm. Both formats round to less than 0.002 mm.
const near = 0.01

func close2(p, q Point) bool { return p.minus(q).length() <= near }

// readers writes a template in both formats and reads the files back.
var readers = map[string]func(*testing.T, Template, Paper) []*found{
	"svg": func(t *testing.T, x Template, p Paper) []*found {
		sheets, err := x.Sheets(p)
		if err != nil {
			t.Fatal(err)
		}
		var out []*found
		for i := range sheets {
			var b strings.Builder
			if err := sheets[i].SVG(&b); err != nil {
				t.Fatal(err)
			}
			out = append(out, readSVG(t, b.String()))
		}
		return out
	},
	"pdf": func(t *testing.T, x Template, p Paper) []*found {
		var b strings.Builder
		if err := x.PDF(&b, p); err != nil {
			t.Fatal(err)
		}
		return readPDF(t, []byte(b.String()))
	},
}

// eachFormat runs a check on a template in both formats.
func eachFormat(t *testing.T, x Template, p Paper, check func(*testing.T, []*found)) {
	t.Helper()
	for name, read := range readers {
		t.Run(name+" "+p.String(), func(t *testing.T) { check(t, read(t, x, p)) })
	}
}
