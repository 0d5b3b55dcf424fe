package draw

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// raster is a page in grey, as a printer of 600 dots an inch would be sent it.
type raster struct {
	width, height int
	pixels        []byte
}

const dpi = 600

// printed turns one page of a PDF into dots by poppler's pdftoppm.
func printed(t *testing.T, pdf []byte, page int) raster {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	n := strconv.Itoa(page)
	out, err := exec.Command("pdftoppm", "-r", strconv.Itoa(dpi), "-gray", "-f", n, "-l", n, "-singlefile", file, filepath.Join(dir, "out")).CombinedOutput()
	if err != nil {
		t.Fatalf("pdftoppm of poppler-utils is needed (bash .ci/test installs it): %v: %s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(dir, "out.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	var r raster
	most := 0
	if _, err := fmt.Sscanf(string(data[:32]), "P5\n%d %d\n%d", &r.width, &r.height, &most); err != nil || most != 255 {
		t.Fatalf("no grey picture: %q", data[:32])
	}
	r.pixels = data[len(data)-r.width*r.height:]
	return r
}

func (r raster) dark(x, y int) bool { return r.pixels[y*r.width+x] < 128 }

// longest is the longest run of dark dots along a row, or down a column: its length and where it begins.
func (r raster) longest(down bool) (length, x, y int) {
	outer, inner := r.height, r.width
	if down {
		outer, inner = inner, outer
	}
	for i := range outer {
		run := 0
		for j := range inner {
			px, py := j, i
			if down {
				px, py = i, j
			}
			if run++; !r.dark(px, py) {
				run = 0
			}
			if run > length {
				length, x, y = run, px, py
			}
		}
	}
	if down {
		return length, x, y - length + 1
	}
	return length, x - length + 1, y
}

// On paper of either size, in dots of 600 an inch, the bars are 100 mm long across and down, to a dot at
// either end, and nothing else on the sheet is as long.
func TestBarsInDots(t *testing.T) {
	const dot = 25.4 / dpi
	for paper, page := range map[Paper]int{A4: 2, Letter: 1} {
		x := bass()
		x.Centre, x.Edges = nil, nil // which run across the whole window
		x.Left = paper == Letter
		var b bytes.Buffer
		if err := x.PDF(&b, paper); err != nil {
			t.Fatal(err)
		}
		r := printed(t, b.Bytes(), page)
		if w := float64(r.width) * dot; math.Abs(w-sizes[paper].X) > dot {
			t.Errorf("%s: the page is %.2f mm wide", paper, w)
		}
		const ends = 0.2 // mm: half a tick's stroke at either end
		for _, down := range []bool{false, true} {
			length, at, top := r.longest(down)
			if mm := float64(length) * dot; math.Abs(mm-100-ends) > 2*dot {
				t.Errorf("%s: the bar (down %v) is %.3f mm long, at %d, %d", paper, down, mm, at, top)
			}
		}
	}
}

// crossings are where a mark lies on the first tile when the sheets are laid together.
func crossings(t *testing.T, sheets []*found, tag string) (list []Point) {
	t.Helper()
	for i, shift := range shifts(t, sheets) {
		if p, ok := sheets[i].crossing(t, tag); ok {
			list = append(list, p.plus(shift))
		}
	}
	return list
}

// The fingerboard's edges are drawn right across every tile, on the lines that they are given by, for
// either hand: their distance from the pocket's corner is worked out by hand.
func TestEdgesLieOnTheirLines(t *testing.T) {
	for _, left := range []bool{false, true} {
		x := bass()
		x.Left = left
		eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
			shift := shifts(t, sheets)
			corner := crossings(t, sheets, "corner-1")[0]
			right := map[bool]float64{false: 1, true: -1}[left]
			for i, e := range x.Edges {
				a, b := e.Points[0], e.Points[1]
				seen := 0
				for n, s := range sheets {
					for _, l := range s.lines[fmt.Sprintf("edge-%d", i+1)] {
						if s.lines["sheet-cross-1"] == nil {
							continue
						}
						seen++
						if f := s.frame(); math.Abs(l[1].Y-l[0].Y) < f.Height()-2*near && math.Abs(l[1].X-l[0].X) < f.Width()-2*near {
							t.Errorf("edge %d ends inside sheet %d", i+1, n+1)
						}
						for _, p := range l {
							q := p.plus(shift[n]).minus(corner)
							station, offset := q.Y+x.Corners[0].X, right*q.X+x.Corners[0].Y
							if want := a.Y + (station-a.X)*(b.Y-a.Y)/(b.X-a.X); math.Abs(offset-want) > near {
								t.Errorf("edge %d lies at %.3f where the station is %.1f, want %.3f", i+1, offset, station, want)
							}
						}
					}
				}
				if seen < 2 {
					t.Errorf("edge %d is on %d sheets", i+1, seen)
				}
			}
		})
	}
}

// An old hole is a dark ring of its own size at its own place, and the circle of a new one is as wide as
// it is told.
func TestOldHolesAndCircles(t *testing.T) {
	x := bass()
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		shift := shifts(t, sheets)
		corner := crossings(t, sheets, "corner-1")[0]
		at := func(p Point) Point { return corner.plus(Point{p.Y - x.Corners[0].Y, p.X - x.Corners[0].X}) }
		has := func(tag string, want disc) bool {
			for i, s := range sheets {
				if shift[i].finite() && s.hasCircle(tag, disc{want.centre.minus(shift[i]), want.r}) {
					return true
				}
			}
			return false
		}
		for i, h := range x.Holes {
			tag := fmt.Sprintf("hole-%d", i+1)
			if h.Old != nil && !has(tag, disc{at(*h.Old), h.OldDia / 2}) {
				t.Errorf("%s has no ring of its old hole", tag)
			}
			if h.Within > 0 && !has(tag+"-within", disc{at(h.At), h.Within}) {
				t.Errorf("%s has no circle of %.1f mm", tag, h.Within)
			}
		}
	})
}

// turnedBox is where level or upright writing stands.
func turnedBox(l label) Box {
	b := l.box()
	if l.font.Turn == 0 {
		return b
	}
	long := Width(l.text, l.font)
	from := l.at.Y - long*map[Anchor]float64{Left: 1, Middle: 0.5, Right: 0}[l.font.Anchor]
	return Box{Point{l.at.X - 0.8*l.font.size(), from}, Point{l.at.X + 0.22*l.font.size(), from + long}}
}

// No two writings of a sheet lie on each other, whatever the hand and the paper.
func TestWritingDoesNotCollide(t *testing.T) {
	for _, paper := range []Paper{A4, Letter} {
		for _, left := range []bool{false, true} {
			x := bass()
			x.Left = left
			pages, err := x.pages(paper)
			if err != nil {
				t.Fatal(err)
			}
			for n, p := range pages {
				var all []label
				eachLabel(p.drawing.marks, func(l label) { all = append(all, l) })
				for i, l := range all {
					for _, o := range all[:i] {
						if turnedBox(l).Grown(-0.2).Overlaps(turnedBox(o)) {
							t.Errorf("%s, left %v, sheet %d: %q lies on %q", paper, left, n+1, l.text, o.text)
						}
					}
				}
			}
		}
	}
}

// Every line that the template is laid by has its name, each old hole its number, and the steps stand in
// their order.
func TestRegistersAreNamed(t *testing.T) {
	x := bass()
	eachFormat(t, x, A4, func(t *testing.T, sheets []*found) {
		all := ""
		for _, s := range sheets {
			all += strings.Join(s.texts, "\n") + "\n"
		}
		for _, want := range []string{"pocket end", "pocket bass side", "fingerboard edge, treble", "neck centre line", "old 1", "old 5"} {
			if !strings.Contains(all, "\n"+want+"\n") {
				t.Errorf("nothing is named %q", want)
			}
		}
		last := 0
		for i, step := range x.Steps {
			at := strings.Index(all, fmt.Sprintf("%d\n%s", i+1, step))
			if at < last {
				t.Errorf("step %d stands at %d, the one before at %d", i+1, at, last)
			}
			last = at
		}
		if !strings.Contains(all, "2.3 mm toward treble") {
			t.Error("the move is not said")
		}
	})
}
