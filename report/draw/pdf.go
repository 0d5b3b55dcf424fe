package draw

import (
	"cmp"
	"strings"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
)

// pdfFont is the name under which the file carries its own font.
const pdfFont = "LiberationSans"

// noScaling ends the language entry of the PDF's catalogue and adds one that tells a viewer to
// print the pages as large as they are. The writer has no call for it, and passes the language on
// as it is; a test looks for the entry in the file.
const noScaling = "en-GB) /ViewerPreferences << /PrintScaling /None >> %("

// pdfCanvas paints on the current page of a PDF.
type pdfCanvas struct{ doc *fpdf.Fpdf }

// newPDF starts a file that comes out the same at any time: its dates are fixed and its fonts
// sorted.
func newPDF(title string) pdfCanvas {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 210, Ht: 297}})
	always := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(always)
	doc.SetModificationDate(always)
	doc.SetCatalogSort(true)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	doc.SetTitle(readable(title), true)
	doc.SetLang(noScaling)
	doc.AddUTF8FontFromBytes(pdfFont, "", liberationsansregular.TTF)
	doc.AddUTF8FontFromBytes(pdfFont, "B", liberationsansbold.TTF)
	return pdfCanvas{doc}
}

func (c pdfCanvas) page(width, height float64, d *Drawing) {
	c.doc.AddPageFormat("P", fpdf.SizeType{Wd: width, Ht: height})
	c.doc.SetLineCapStyle("butt")
	c.doc.SetLineJoinStyle("miter")
	part{marks: d.marks}.paint(c)
}

func (c pdfCanvas) path(points []Point, closed bool, s Style) {
	how := c.style(s, closed)
	if how == "" || len(points) == 0 {
		return
	}
	c.doc.MoveTo(points[0].X, points[0].Y)
	for _, p := range points[1:] {
		c.doc.LineTo(p.X, p.Y)
	}
	if closed {
		c.doc.ClosePath()
	}
	c.doc.DrawPath(how)
}

// circleByCubics is the distance of the control points, over the radius, of four cubics that make
// a circle: 4/3 (sqrt 2 - 1). They leave it by at most 0.03 % of the radius.
const circleByCubics = 0.5522847498307936

func (c pdfCanvas) circle(o Point, r float64, s Style) {
	how := c.style(s, true)
	if how == "" {
		return
	}
	k := r * circleByCubics
	c.doc.MoveTo(o.X+r, o.Y)
	c.doc.CurveBezierCubicTo(o.X+r, o.Y+k, o.X+k, o.Y+r, o.X, o.Y+r)
	c.doc.CurveBezierCubicTo(o.X-k, o.Y+r, o.X-r, o.Y+k, o.X-r, o.Y)
	c.doc.CurveBezierCubicTo(o.X-r, o.Y-k, o.X-k, o.Y-r, o.X, o.Y-r)
	c.doc.CurveBezierCubicTo(o.X+k, o.Y-r, o.X+r, o.Y-k, o.X+r, o.Y)
	c.doc.ClosePath()
	c.doc.DrawPath(how)
}

// style sets pen and brush and returns the writer's word for what to do with the path.
func (c pdfCanvas) style(s Style, closes bool) string {
	how := ""
	if closes && (s.Fill == Full || s.Fill == Cover) {
		ink := s.Ink
		if s.Fill == Cover {
			ink = White
		}
		c.doc.SetFillColor(ink.rgb())
		how = "F"
	}
	if s.width() > 0 {
		c.doc.SetDrawColor(s.Ink.rgb())
		c.doc.SetLineWidth(s.width())
		c.doc.SetDashPattern(s.Dash.lengths(), 0)
		how += "D"
	}
	return how
}

const pointsPerMM = 72 / 25.4

func (c pdfCanvas) text(at Point, text string, f Font) {
	text = leftToRight(drawable(text, f.Bold))
	if text == "" {
		return
	}
	weight := ""
	if f.Bold {
		weight = "B"
	}
	c.doc.SetFont(pdfFont, weight, f.size()*pointsPerMM)
	c.doc.SetTextColor(f.Ink.rgb())
	x := at.X
	switch f.Anchor {
	case Left:
	case Middle:
		x -= Width(text, f) / 2
	case Right:
		x -= Width(text, f)
	}
	if f.Turn == 0 {
		c.doc.Text(x, at.Y, text)
		return
	}
	c.doc.TransformBegin()
	c.doc.TransformRotate(-f.Turn, at.X, at.Y)
	c.doc.Text(x, at.Y, text)
	c.doc.TransformEnd()
}

// open begins a marked-content sequence, so that a reader of the file can find a group in it.
func (c pdfCanvas) open(g Group) {
	class, _, _ := strings.Cut(g.Class, " ")
	name := cmp.Or(g.ID, class, "group")
	c.doc.RawWriteStr("/" + name + " BMC")
}

func (c pdfCanvas) close() { c.doc.RawWriteStr("EMC") }

func (c pdfCanvas) clip(b Box) { c.doc.ClipRect(b.Min.X, b.Min.Y, b.Width(), b.Height(), false) }

// unclip restores the pen and the font of before the clip, which the writer does not notice; a
// font that no writing has makes it set the next one anew.
func (c pdfCanvas) unclip() {
	c.doc.ClipEnd()
	c.doc.SetFont(pdfFont, "", 1)
}
