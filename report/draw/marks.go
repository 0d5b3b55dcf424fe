package draw

// canvas is what marks are painted on, in mm of the page; there is one for SVG and one for PDF.
type canvas interface {
	path(points []Point, closed bool, s Style)
	circle(centre Point, r float64, s Style)
	text(at Point, text string, f Font)
	open(g Group)
	close()
	clip(b Box)
	unclip()
}

// mark is one thing of a drawing.
type mark interface {
	placed(v View) mark
	bounds() Box
	paint(c canvas)
}

type path struct {
	points []Point
	closed bool
	style  Style
}

func (m path) placed(v View) mark { return path{v.all(m.points), m.closed, m.style} }
func (m path) bounds() Box        { return boxOf(m.points...) }

func (m path) paint(c canvas) {
	if m.style.Fill != Hatched {
		c.path(m.points, m.closed, m.style)
		return
	}
	hatch(c, m.points, m.style)
	c.path(m.points, m.closed, outlineOf(m.style))
}

type circle struct {
	centre Point
	r      float64
	style  Style
}

func (m circle) placed(v View) mark { return circle{v.Apply(m.centre), m.r * v.scale(), m.style} }
func (m circle) bounds() Box        { return boxOf(m.centre).Grown(m.r) }

func (m circle) paint(c canvas) {
	if m.style.Fill != Hatched {
		c.circle(m.centre, m.r, m.style)
		return
	}
	hatch(c, ring(m.centre, m.r), m.style)
	c.circle(m.centre, m.r, outlineOf(m.style))
}

func outlineOf(s Style) Style {
	s.Fill = Open
	return s
}

type label struct {
	at   Point
	text string
	font Font
}

func (m label) placed(v View) mark {
	m.at = v.Apply(m.at)
	m.font.Size = m.font.size() * v.scale()
	return m
}

// bounds of turned writing is a box that holds it whichever way it is turned.
func (m label) bounds() Box {
	size, w := m.font.size(), Width(m.text, m.font)
	if m.font.Turn != 0 {
		return boxOf(m.at).Grown(w)
	}
	left := m.at.X
	switch m.font.Anchor {
	case Left:
	case Middle:
		left -= w / 2
	case Right:
		left -= w
	}
	return Box{Point{left, m.at.Y - 0.8*size}, Point{left + w, m.at.Y + 0.22*size}}
}

func (m label) paint(c canvas) { c.text(m.at, m.text, m.font) }

// Groups and clips frame other marks and take no room.

type opening struct{ group Group }

func (m opening) placed(View) mark { return m }
func (m opening) bounds() Box      { return Empty() }
func (m opening) paint(c canvas)   { c.open(m.group) }

type closing struct{}

func (m closing) placed(View) mark { return m }
func (m closing) bounds() Box      { return Empty() }
func (m closing) paint(c canvas)   { c.close() }

type clipping struct{ box Box }

func (m clipping) placed(v View) mark { return clipping{boxOf(v.Apply(m.box.Min), v.Apply(m.box.Max))} }
func (m clipping) bounds() Box        { return Empty() }
func (m clipping) paint(c canvas)     { c.clip(m.box) }

type unclipping struct{}

func (m unclipping) placed(View) mark { return m }
func (m unclipping) bounds() Box      { return Empty() }
func (m unclipping) paint(c canvas)   { c.unclip() }
