package draw

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// svgCanvas writes elements whose coordinates are the page's millimetres. Everything is in
// attributes of the elements, so that a drawing inside a page of HTML neither takes nor gives
// any style, and needs no leave to use one.
type svgCanvas struct {
	w      *bufio.Writer
	prefix string // of every id
	clips  int
}

// printf leaves a failure of the writer to Flush, which reports it.
func (c *svgCanvas) printf(format string, args ...any) { _, _ = fmt.Fprintf(c.w, format, args...) }

func (c *svgCanvas) path(points []Point, closed bool, s Style) {
	var b strings.Builder
	for i, p := range points {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(mm(p.X) + "," + mm(p.Y))
	}
	element := "polyline"
	if closed {
		element = "polygon"
	}
	c.printf("<%s points=\"%s\"%s/>\n", element, b.String(), svgStyle(s, closed))
}

func (c *svgCanvas) circle(centre Point, r float64, s Style) {
	c.printf("<circle cx=\"%s\" cy=\"%s\" r=\"%s\"%s/>\n", mm(centre.X), mm(centre.Y), mm(r), svgStyle(s, true))
}

func (c *svgCanvas) text(at Point, text string, f Font) {
	if text == "" {
		return
	}
	c.printf(`<text x="%s" y="%s" font-size="%s" fill="%s"`, mm(at.X), mm(at.Y), mm(f.size()), svgInk(f.Ink))
	switch f.Anchor {
	case Left:
	case Middle:
		c.printf(` text-anchor="middle"`)
	case Right:
		c.printf(` text-anchor="end"`)
	}
	if f.Bold {
		c.printf(` font-weight="bold"`)
	}
	if f.Turn != 0 {
		c.printf(` transform="rotate(%s %s %s)"`, mm(f.Turn), mm(at.X), mm(at.Y))
	}
	c.printf(">%s</text>\n", escape(text))
}

func (c *svgCanvas) open(g Group) {
	c.printf("<g")
	if g.ID != "" {
		c.printf(` id="%s%s"`, escape(c.prefix), escape(g.ID))
	}
	if g.Class != "" {
		c.printf(` class="%s"`, escape(g.Class))
	}
	c.printf(">\n")
	if g.Title != "" {
		c.printf("<title>%s</title>\n", escape(g.Title))
	}
}

func (c *svgCanvas) close() { c.printf("</g>\n") }

func (c *svgCanvas) clip(b Box) {
	c.clips++
	id := escape(c.prefix) + "clip-" + strconv.Itoa(c.clips)
	c.printf("<clipPath id=\"%s\"><rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/></clipPath>\n<g clip-path=\"url(#%s)\">\n",
		id, mm(b.Min.X), mm(b.Min.Y), mm(b.Width()), mm(b.Height()), id)
}

func (c *svgCanvas) unclip() { c.printf("</g>\n") }

// svgStyle is the attributes of a style; only an outline that closes may be filled.
func svgStyle(s Style, closes bool) string {
	fill := "none"
	switch {
	case !closes || s.Fill == Open || s.Fill == Hatched:
	case s.Fill == Full:
		fill = svgInk(s.Ink)
	case s.Fill == Cover:
		fill = svgInk(White)
	}
	out := ` fill="` + fill + `"`
	if s.width() <= 0 {
		return out
	}
	out += ` stroke="` + svgInk(s.Ink) + `" stroke-width="` + mm(s.width()) + `"`
	if dash := s.Dash.lengths(); dash != nil {
		out += ` stroke-dasharray="`
		for i, l := range dash {
			if i > 0 {
				out += " "
			}
			out += mm(l)
		}
		out += `"`
	}
	return out
}

func svgInk(i Ink) string {
	r, g, b := i.rgb()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

// mm writes a length to a thousandth of a millimetre, which no printer resolves.
func mm(x float64) string {
	text := strconv.FormatFloat(x, 'f', 3, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

// escape is for text and attributes alike; it also replaces what XML does not allow.
func escape(text string) string {
	var b strings.Builder
	// a strings.Builder never fails
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}
