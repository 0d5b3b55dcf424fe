package draw

// Ink is a colour. None means anything alone: what it sets apart, a dash or a shape sets apart too.
type Ink uint8

// The inks.
const (
	Black Ink = iota
	DarkGrey
	MidGrey
	LightGrey
	White
	Blue
	Red
	Green
)

// rgb is the ink's red, green and blue, 0 to 255. The colours are dark enough to read on white,
// and differ in lightness where they are told apart in grey.
func (i Ink) rgb() (r, g, b int) {
	switch i {
	case Black:
		return 0, 0, 0
	case DarkGrey:
		return 70, 70, 70
	case MidGrey:
		return 120, 120, 120
	case LightGrey:
		return 190, 190, 190
	case White:
		return 255, 255, 255
	case Blue:
		return 0, 60, 140
	case Red:
		return 170, 20, 20
	case Green:
		return 0, 95, 60
	}
	panic("draw: no such ink")
}

// Dash is how a line is broken.
type Dash uint8

// The dashes.
const (
	Solid  Dash = iota
	Dashed      // hidden or old things
	Dotted      // leaders and grids
	Chain       // centre lines: long, short
)

// lengths are the strokes and gaps in mm.
func (d Dash) lengths() []float64 {
	switch d {
	case Solid:
		return nil
	case Dashed:
		return []float64{2, 1}
	case Dotted:
		return []float64{0.4, 0.8}
	case Chain:
		return []float64{8, 1, 1.5, 1}
	}
	panic("draw: no such dash")
}

// Fill is what a closed outline or a circle has inside.
type Fill uint8

// The fills.
const (
	Open    Fill = iota // nothing
	Hatched             // lines at 45 degrees in the ink
	Full                // the ink
	Cover               // white, to cover what lies beneath
)

// Style is how a line or an outline is drawn; the zero value is a solid black line 0.25 mm wide.
type Style struct {
	Ink   Ink
	Width float64 // of the stroke, in mm; 0 means 0.25, below 0 means no stroke
	Dash  Dash
	Fill  Fill
}

// usualWidth is a stroke that both a laser and an ink printer draw cleanly.
const usualWidth = 0.25

func (s Style) width() float64 {
	if s.Width == 0 {
		return usualWidth
	}
	return s.Width
}

// Anchor is the side of the writing that lies at its place, as the reader sees it.
type Anchor uint8

// The anchors.
const (
	Left Anchor = iota
	Middle
	Right
)

// Font is how writing looks; Size is that of the letters in mm (a capital is 0.73 of it), 0
// means 3, and Turn is in degrees, positive clockwise, on the page.
type Font struct {
	Size   float64
	Bold   bool
	Ink    Ink
	Anchor Anchor
	Turn   float64
}

func (f Font) size() float64 {
	if f.Size == 0 {
		return 3
	}
	return f.Size
}
