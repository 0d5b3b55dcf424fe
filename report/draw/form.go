package draw

import (
	"fmt"
	"io"
	"math"
	"strconv"
)

// Form is a sheet to fill in at the bench: a picture with numbered places, and beside it a row with boxes
// for each number. The picture is in mm of paper, x down the page and y to the right, and Left draws it
// mirrored.
type Form struct {
	Title, Subject string
	Left           bool
	Picture        *Drawing
	Spots          []Spot
	Rows           []Row
	Columns        []string // the headings of the boxes; the last is for second readings
	Blanks         []string // what to note at the head, a line to write on behind each
	Legend         []string
}

// Spot is a place of the picture with the text that a leader leads to, such as the numbers of its rows.
type Spot struct {
	At   Point
	Text string
}

// Row is what to read at a place: its number, what and with what, and which of the form's columns have a
// box. Again counts the boxes in the last.
type Row struct {
	Number     int
	What, With string
	Boxes      []bool
	Again      int
}

// Label is to be cut out and stuck on a part.
type Label struct{ Big, Small, Line string }

// The form's measures in mm: the picture's panel at the left, the rows beside it.
const (
	panelWide  = 72
	panelHigh  = 218
	rowHigh    = 8.2
	numberWide = 6.5
	whatWide   = 31
	boxWide    = 14
	formHead   = 14 // blanks
)

// PanelWidth and PanelHeight are the room for a form's picture, in mm.
const (
	PanelWidth  = panelWide
	PanelHeight = panelHigh
)

// RowsPerPage is how many rows one form has room for.
func RowsPerPage(p Paper) int {
	b := p.upright().printable()
	return int((b.Height() - headBand - formHead - 7) / rowHigh)
}

// Forms writes forms as a PDF, a page each, and labels on pages of their own.
func Forms(w io.Writer, p Paper, title string, forms []Form, labels []Label) error {
	doc := newPDF(title)
	s := p.upright()
	for i := range forms {
		var d Drawing
		if err := forms[i].draw(&d, s); err != nil {
			return err
		}
		doc.page(s.width, s.height, &d)
	}
	for len(labels) > 0 {
		var d Drawing
		labels = labels[drawLabels(&d, s, labels):]
		doc.page(s.width, s.height, &d)
	}
	if err := doc.doc.Output(w); err != nil {
		return fmt.Errorf("writing the PDF: %w", err)
	}
	return nil
}

// draw lays the form out on a sheet.
func (f *Form) draw(d *Drawing, s sheet) error {
	b := s.printable()
	big := Font{Size: 4.4, Bold: true}
	subject := big
	subject.Anchor = Right
	d.Text(Point{b.Max.X, b.Min.Y + 3.8}, shorten(f.Subject, big, b.Width()/2), subject)
	d.Text(Point{b.Min.X, b.Min.Y + 3.8}, f.Title, big)
	x, step := b.Min.X, b.Width()/float64(max(1, len(f.Blanks)))
	for _, blank := range f.Blanks {
		small := Font{Size: 2.7}
		d.Text(Point{x, b.Min.Y + 13}, blank, small)
		d.Line(Point{x + Width(blank, small) + 1.5, b.Min.Y + 13.4}, Point{x + step - 4, b.Min.Y + 13.4}, Style{Width: 0.15})
		x += step
	}
	top := b.Min.Y + headBand + 3
	f.rows(d, Point{b.Max.X - f.wide(), top}, b.Max.Y)
	panel := Box{Point{b.Min.X, top}, Point{b.Min.X + panelWide, math.Min(top+panelHigh, b.Max.Y-float64(len(f.Legend))*3.4-2)}}
	if err := f.picture(d, panel); err != nil {
		return err
	}
	y := panel.Max.Y + 2
	for _, line := range f.Legend {
		for _, part := range wrap(line, Font{Size: 2.5}, panelWide, 4) {
			y += 3.2
			d.Text(Point{b.Min.X, y}, part, Font{Size: 2.5})
		}
	}
	return nil
}

func (f *Form) wide() float64 { return numberWide + whatWide + boxWide*float64(len(f.Columns)+1)*0.96 }

// rows writes the table beside the picture.
func (f *Form) rows(d *Drawing, at Point, bottom float64) {
	last := len(f.Columns) - 1
	box := (f.wide() - numberWide - whatWide) / (float64(len(f.Columns)) + 0.6) // the last is wider by 0.6
	left := func(i int) float64 { return at.X + numberWide + whatWide + box*float64(i) }
	for i, title := range f.Columns {
		d.Text(Point{left(i) + 0.5, at.Y + 3}, title, Font{Size: 2.3, Ink: DarkGrey})
	}
	y := at.Y + 5
	for _, r := range f.Rows {
		if y+rowHigh > bottom {
			panic("draw: more rows than RowsPerPage")
		}
		d.Group(Group{ID: "row-" + strconv.Itoa(r.Number), Class: "row"}, func() {
			d.Text(Point{at.X, y + 5}, strconv.Itoa(r.Number), Font{Size: 3.2, Bold: true})
			lines := wrap(r.What, Font{Size: 2.3}, whatWide-1, 2)
			lines = append(lines, wrap(r.With, Font{Size: 2.1}, whatWide-1, 1)...)
			for i, line := range lines {
				f := Font{Size: 2.3}
				if r.With != "" && i == len(lines)-1 {
					f = Font{Size: 2.1, Ink: DarkGrey}
				}
				d.Text(Point{at.X + numberWide, y + 2.6 + 2.6*float64(i)}, line, f)
			}
			cell := func(x, wide float64) {
				d.Polygon(Box{Point{x, y + 0.6}, Point{x + wide - 1, y + rowHigh - 0.6}}.corners(), Style{Width: 0.2})
			}
			for i, has := range r.Boxes {
				if has && i < last {
					cell(left(i), box)
				}
			}
			for i := range r.Again {
				wide := 1.6 * box / float64(r.Again)
				cell(left(last)+wide*float64(i), wide)
			}
		})
		y += rowHigh
	}
}

// picture draws the picture in its panel, and a tag with a leader for every spot.
func (f *Form) picture(d *Drawing, panel Box) error {
	v := View{Mirrored: f.Left, Origin: Point{panel.centre().X, panel.Min.Y}}
	d.Group(Group{Class: "picture"}, func() { d.place(f.Picture, v, &panel) })
	l := layout{room: panel, strokes: strokesOf(f.Picture.marks, v)}
	for i, s := range f.Spots {
		at := v.Apply(s.At)
		l.holes = append(l.holes, boxOf(at).Grown(0.9))
		if !l.put(callout{lines: []string{s.Text}, hole: i + 1, at: at, keepOff: boxOf(at).Grown(0.9), tag: true}) {
			return fmt.Errorf("the picture has no room for the number %s", s.Text)
		}
	}
	for i, c := range l.placed {
		d.Circle(c.at, 0.7, Style{Fill: Full, Width: -1, Ink: Blue})
		c.draw(d)
		_ = i
	}
	return nil
}

// strokesOf are the straight lines of a drawing, on the page.
func strokesOf(marks []mark, v View) (list [][2]Point) {
	for _, m := range marks {
		switch m := m.(type) {
		case path:
			points := v.all(m.points)
			for i := 1; i < len(points); i++ {
				list = append(list, [2]Point{points[i-1], points[i]})
			}
		case part:
			list = append(list, strokesOf(m.marks, v)...)
		}
	}
	return list
}

// drawLabels fills a sheet with labels and says how many found room.
func drawLabels(d *Drawing, s sheet, labels []Label) int {
	const columns, high = 3, 17.0
	b := s.printable()
	wide := b.Width() / columns
	n := min(len(labels), columns*int(b.Height()/high))
	for i, l := range labels[:n] {
		at := Point{b.Min.X + wide*float64(i%columns), b.Min.Y + high*float64(i/columns)}
		box := Box{at, at.plus(Point{wide, high})}
		d.Group(Group{ID: "label-" + strconv.Itoa(i+1), Class: "label"}, func() {
			d.Polygon(box.corners(), Style{Width: 0.15, Dash: Dashed, Ink: MidGrey})
			f := Font{Size: 4.2, Bold: true}
			d.Text(at.plus(Point{2.5, 6}), shorten(l.Big, f, wide-5), f)
			d.Text(at.plus(Point{2.5, 10.5}), shorten(l.Small, Font{}, wide-5), Font{})
			d.Text(at.plus(Point{2.5, 14.8}), shorten(l.Line, Font{Size: 2.6}, wide-5), Font{Size: 2.6})
		})
	}
	return n
}
