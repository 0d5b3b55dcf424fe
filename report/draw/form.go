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

// PanelWidth and PanelHeight are the room for a form's picture at its left, in mm.
const (
	PanelWidth  = 72
	PanelHeight = 206
)

// The measures of the rows beside it, in mm.
const (
	rowHigh    = 8.2 // at least, and where there is room
	rowRoomy   = 12.0
	numberWide = 6.5
	gutter     = 4
	boxWide    = 14
	formTop    = headBand + 3 // below the margin, under title and blanks
	columnHead = 5
)

// RowsPerPage is how many rows one form has room for.
func RowsPerPage(p Paper) int {
	b := p.upright().printable()
	return int((b.Height() - formTop - columnHead) / rowHigh)
}

// Forms writes forms as a PDF, a page each, and labels on pages of their own.
func Forms(w io.Writer, p Paper, title string, forms []Form, labels []Label) error {
	doc := newPDF(title)
	s := p.upright()
	for i := range forms {
		var d Drawing
		forms[i].draw(&d, s)
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
func (f *Form) draw(d *Drawing, s sheet) {
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
	top := b.Min.Y + formTop
	f.rows(d, Box{Point{b.Min.X + PanelWidth + gutter, top}, b.Max})
	f.picture(d, Box{Point{b.Min.X, top}, Point{b.Min.X + PanelWidth, top + PanelHeight}})
	y, small := top+PanelHeight, Font{Size: 2.2}
	for _, line := range f.Legend {
		for _, part := range wrap(line, small, PanelWidth, 4) {
			y += 2.9
			d.Text(Point{b.Min.X, y}, part, small)
		}
	}
}

// rows writes the table beside the picture; the column for second readings is wider by a half.
func (f *Form) rows(d *Drawing, room Box) {
	last := len(f.Columns) - 1
	at, bottom := room.Min, room.Max.Y
	what := at.X + numberWide
	left := func(i int) float64 { return room.Max.X - boxWide*(float64(last-i)+1.5) }
	whatWide := left(0) - what
	for i, title := range f.Columns {
		d.Text(Point{left(i) + 0.5, at.Y + 3}, title, Font{Size: 2.3, Ink: DarkGrey})
	}
	y := at.Y + columnHead
	high := math.Max(rowHigh, math.Min(rowRoomy, (bottom-y)/float64(max(1, len(f.Rows)))))
	for _, r := range f.Rows {
		if y+high > bottom+0.01 {
			panic("draw: more rows than RowsPerPage")
		}
		d.Group(Group{ID: "row-" + strconv.Itoa(r.Number), Class: "row"}, func() {
			d.Text(Point{at.X, y + high/2 + 1.2}, strconv.Itoa(r.Number), Font{Size: 3.2, Bold: true})
			text, with := Font{Size: 2.5}, Font{Size: 2.2, Ink: DarkGrey}
			lines := wrap(r.What, text, whatWide-2, 2)
			for i, line := range lines {
				d.Text(Point{what, y + high/2 - 1.5 + 2.6*float64(i)}, line, text)
			}
			d.Text(Point{what, y + high/2 - 1.5 + 2.6*float64(len(lines))}, shorten(r.With, with, whatWide-2), with)
			cell := func(x, wide float64) {
				d.Polygon(Box{Point{x, y + 0.6}, Point{x + wide - 1, y + high - 0.6}}.corners(), Style{Width: 0.2})
			}
			for i, has := range r.Boxes {
				if has && i < last {
					cell(left(i), boxWide)
				}
			}
			for i := range r.Again {
				wide := 1.5 * boxWide / float64(r.Again)
				cell(left(last)+wide*float64(i), wide)
			}
		})
		y += high
	}
}

// picture draws the picture in its panel, and a tag with a leader for every spot.
func (f *Form) picture(d *Drawing, panel Box) {
	v := View{Mirrored: f.Left, Origin: Point{panel.centre().X, panel.Min.Y}}
	whole := part{group: Group{Class: "picture"}, marks: f.Picture.marks}.placed(v)
	d.marks = append(d.marks, whole)
	l := layout{room: panel}
	l.avoid(whole)
	tags := make([]callout, len(f.Spots))
	for i, s := range f.Spots {
		at := v.Apply(s.At)
		tags[i] = callout{lines: []string{s.Text}, hole: i + 1, at: at, keepOff: boxOf(at).Grown(spotRadius), tag: true}
		l.holes = append(l.holes, tags[i].keepOff)
	}
	l = l.putAll(tags)
	for _, c := range l.placed {
		d.Circle(c.at, spotRadius, Style{Fill: Full, Width: -1, Ink: Blue})
		c.draw(d)
	}
	if l.crowded > 0 {
		text := fmt.Sprintf("%d numbers found no room here: see their rows", l.crowded)
		d.Text(Point{panel.centre().X, panel.Max.Y - 1}, text, Font{Size: calloutSize, Anchor: Middle, Bold: true})
	}
}

// spotRadius is that of the dot on a place, in mm.
const spotRadius = 0.7

// avoid keeps tags off the writing of a mark that is on the page, and makes them dear on its lines.
func (l *layout) avoid(m mark) {
	switch m := m.(type) {
	case path:
		for i := 1; i < len(m.points); i++ {
			l.strokes = append(l.strokes, [2]Point{m.points[i-1], m.points[i]})
		}
	case label:
		long := Width(m.text, m.font)
		from := m.at.minus(Point{long * map[Anchor]float64{Middle: 0.5, Right: 1}[m.font.Anchor], 0.8 * m.font.size()})
		l.names = append(l.names, name{box: Box{from, from.plus(Point{long, m.font.size()})}})
	case part:
		for _, one := range m.marks {
			l.avoid(one)
		}
	}
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
