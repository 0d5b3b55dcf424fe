package draw

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"testing"
)

// form is one with rows of every sort of box, and a few places close to each other.
func form(rows int) Form {
	f := Form{
		Title: "Quick check", Subject: "Kit 07", Picture: &Drawing{}, Columns: []string{"station", "offset", "size", "again"},
		Blanks: []string{"date", "read by"}, Legend: []string{"String 1 is on the treble side."},
	}
	f.Picture.Line(Point{20, -20}, Point{20, 20}, Style{})
	f.Picture.Text(Point{30, 0}, "heel", Font{Anchor: Middle})
	for i := range rows {
		n := i + 1
		f.Rows = append(f.Rows, Row{Number: n, What: "heel, width", With: "outside jaws", Boxes: []bool{n%2 == 0, n%3 == 0, true}, Again: 1 + n%2})
		f.Spots = append(f.Spots, Spot{At: Point{20 + 4*float64(i), 12 * math.Sin(float64(i))}, Text: strconv.Itoa(n)})
	}
	return f
}

func readForms(t *testing.T, p Paper, forms []Form, labels []Label) []*found {
	t.Helper()
	var b bytes.Buffer
	if err := Forms(&b, p, "Sheets", forms, labels); err != nil {
		t.Fatal(err)
	}
	return readPDF(t, b.Bytes())
}

// Each row has as many boxes as it needs, at least 8 mm wide and 6.5 high, none over another, all where a
// printer prints.
func TestFormBoxes(t *testing.T) {
	for _, p := range []Paper{A4, Letter} {
		for _, rows := range []int{3, RowsPerPage(p)} {
			f := form(rows)
			page := readForms(t, p, []Form{f}, nil)[0]
			var all []Box
			for _, r := range f.Rows {
				want := r.Again
				for _, has := range r.Boxes {
					if has {
						want++
					}
				}
				lines := page.lines["row-"+strconv.Itoa(r.Number)]
				if len(lines) != 3*want { // a closed outline's last side is not among its lines
					t.Fatalf("%s: row %d has %d lines, want those of %d boxes", p, r.Number, len(lines), want)
				}
				for i := range want {
					box := Empty()
					for _, l := range lines[3*i : 3*i+3] {
						box = box.Around(boxOf(l[:]...))
					}
					if box.Width() < 8 || box.Height() < 6.5 || !page.printable().holdsAll(box) {
						t.Errorf("%s: row %d has a box of %.1f by %.1f mm at %v", p, r.Number, box.Width(), box.Height(), box.Min)
					}
					for _, o := range all {
						if o.Overlaps(box) {
							t.Errorf("%s: row %d: a box at %v lies over one at %v", p, r.Number, box.Min, o.Min)
						}
					}
					all = append(all, box)
				}
			}
		}
	}
}

// A place's dot lies where the picture has it, mirrored for the left hand, and its number beside it, over
// no other number.
func TestFormPlaces(t *testing.T) {
	for _, left := range []bool{false, true} {
		f := form(20)
		f.Left = left
		page := readForms(t, A4, []Form{f}, nil)[0]
		right := map[bool]float64{false: 1, true: -1}[left]
		var tags []Box
		for i, s := range f.Spots {
			want := Point{10 + PanelWidth/2 + right*s.At.Y, 10 + 18 + s.At.X}
			lines := page.lines["callout-"+strconv.Itoa(i+1)]
			if len(lines) != 4 {
				t.Fatalf("number %s has %d lines, want a leader and a frame", s.Text, len(lines))
			}
			if d := lines[0][0].minus(want).length(); d > 1.2+near {
				t.Errorf("left %v: the leader of %s begins %.2f mm from its place", left, s.Text, d)
			}
			tag := page.calloutBox(i + 1)
			for _, o := range tags {
				if o.Overlaps(tag) {
					t.Errorf("left %v: number %s lies over another", left, s.Text)
				}
			}
			if !(Box{Point{10, 10}, Point{10 + PanelWidth, 287}}).holdsAll(tag) {
				t.Errorf("left %v: number %s leaves the picture's panel: %v", left, s.Text, tag)
			}
			tags = append(tags, tag)
			if !page.says(s.Text) {
				t.Errorf("number %s is not written", s.Text)
			}
		}
	}
}

// Labels are cut out of as many sheets as they take, and each says its kit and its part.
func TestLabels(t *testing.T) {
	var labels []Label
	for i := range 100 {
		labels = append(labels, Label{Big: fmt.Sprintf("Kit %d", i+1), Small: "neck", Line: "lot ____"})
	}
	pages := readForms(t, A4, []Form{form(3)}, labels)
	if len(pages) != 4 { // 3 columns of 16 rows of 17 mm in 277 mm
		t.Fatalf("%d pages, want one form and three of labels", len(pages))
	}
	var boxes []Box
	for i := range labels {
		page := pages[1+i/48]
		lines := page.lines["label-"+strconv.Itoa(i%48+1)]
		if len(lines) != 3 || !page.says(labels[i].Big) || !page.printable().holdsAll(boxOf(lines[0][0], lines[1][1])) {
			t.Fatalf("label %d has %d lines", i+1, len(lines))
		}
		boxes = append(boxes, boxOf(lines[0][0], lines[1][1]))
	}
	if b := boxes[0]; math.Abs(b.Width()-190.0/3) > near || math.Abs(b.Height()-17) > near {
		t.Errorf("a label is %.2f by %.2f mm", b.Width(), b.Height())
	}
}

func TestFormsTakeHostileNames(t *testing.T) {
	for name, text := range hostile {
		f := form(4)
		f.Subject, f.Rows[0].What = text, text
		if pages := readForms(t, Letter, []Form{f}, []Label{{Big: text, Small: text}}); len(pages) != 2 {
			t.Errorf("%s: %d pages", name, len(pages))
		}
	}
}

func TestFormsThatCannotBeDrawn(t *testing.T) {
	f := form(1)
	for range 400 {
		f.Spots = append(f.Spots, Spot{At: Point{40, 0}, Text: "many"})
	}
	if page := readForms(t, A4, []Form{f}, nil)[0]; !page.says("found no room") {
		t.Error("400 numbers at one place, and some are missing without a word")
	}
	if err := Forms(full{}, A4, "", []Form{form(2)}, nil); !errors.Is(err, errFull) {
		t.Errorf("a full disk: %v", err)
	}
	defer func() {
		if recover() == nil {
			t.Error("more rows than a page has were drawn")
		}
	}()
	_ = Forms(&bytes.Buffer{}, A4, "", []Form{form(RowsPerPage(A4) + 1)}, nil)
}

// A sheet of A4 takes thirty rows, one of letter paper twenty-eight; few rows stand as far apart as there
// is room for, but at most 12 mm. Title, kit and blanks stand at the head, the legend below the picture.
func TestFormIsLaidOut(t *testing.T) {
	if a, l := RowsPerPage(A4), RowsPerPage(Letter); a != 30 || l != 28 {
		t.Errorf("%d and %d rows a page", a, l)
	}
	for rows, want := range map[int]float64{4: 12, 30: 254.0 / 30} {
		f := form(rows)
		page := readForms(t, A4, []Form{f}, nil)[0]
		first, second := boxOf(page.lines["row-1"][0][0]), boxOf(page.lines["row-2"][0][0])
		if got := second.Min.Y - first.Min.Y; math.Abs(got-want) > near {
			t.Errorf("%d rows stand %.3f mm apart, want %.3f", rows, got, want)
		}
		if got := first.Min.Y; math.Abs(got-(10+18+5+0.6)) > near {
			t.Errorf("the first box begins at %.3f mm", got)
		}
		for _, text := range []string{f.Title, f.Subject, "date", "read by", "station", "again", f.Legend[0], "outside jaws"} {
			if !page.says(text) {
				t.Errorf("the form does not say %q", text)
			}
		}
	}
	var d Drawing
	f := form(3)
	f.draw(&d, A4.upright())
	at := map[string]Point{}
	eachLabel(d.marks, func(l label) { at[l.text] = l.at })
	if at["date"].X != 10 || math.Abs(at["read by"].X-(10+190/2)) > near || at[f.Title].X != 10 || at[f.Subject].X != 200 {
		t.Errorf("the head stands at %v, %v, %v, %v", at["date"], at["read by"], at[f.Title], at[f.Subject])
	}
	if y := at[f.Legend[0]].Y; math.Abs(y-(28+206+2.9)) > near {
		t.Errorf("the legend stands at %v", at[f.Legend[0]])
	}
}
