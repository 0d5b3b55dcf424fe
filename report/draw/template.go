package draw

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Action is what to do at a hole. The zero value is none of them, and a mistake.
type Action uint8

// The actions.
const (
	_            Action = iota
	Keep                // the hole stays and is used
	PlugAndDrill        // fill the old hole, drill a new one that it would spoil
	DrillFresh          // drill in sound wood; an old hole, if any, stays as it is
	PlugOnly            // fill the hole, drill nothing
)

// Hole is one hole of the schedule. Sizes are diameters in mm; 0 means not known or not wanted.
type Hole struct {
	Name   string
	At     Point // centre: of the hole to drill, or of the one to keep or to plug
	Action Action
	Old    *Point  // PlugAndDrill: centre of the old hole; DrillFresh: the same, if there is one
	OldDia float64 // of the old hole, or of the one to keep or to plug
	Plug   float64 // PlugAndDrill, PlugOnly: bore for the plug; DrillFresh: the same, for the old hole's looks
	Pilot  float64 // PlugAndDrill, DrillFresh: the bit
	Depth  string  // how deep, or "through", and anything to mind at this hole
	Move   string  // from the old place to the new one, in words; "" for none
	Within float64 // radius about At of the circle that the right place lies in with 95 %; 0 where it is not known
}

// Outline is a line of the body or of the bridge to lay the template by.
type Outline struct {
	Name   string
	Points []Point
	Closed bool
}

// Template is a drill template: what to draw, full size, and what to say beside it. Points are in
// mm, x the station and y the offset, whatever the hand.
type Template struct {
	Kit      string
	Left     bool   // a left-handed instrument: drawn mirrored
	Scale    string // a line of plain words under the kit's name, such as its scale length
	Places   string // what the places in the list of holes are counted from
	Holes    []Hole
	Register []Outline // pocket end and walls, drawn bold with their names: the template is laid by them
	Edges    []Outline // of the fingerboard, two points each: drawn right across with their names, for a straightedge
	Corners  []Point   // pocket corners, where a registration cross is put
	Centre   []Point   // nil, or two points of the neck's centre line, drawn right across
	Plate    []Outline // the bridge's plate and the like, drawn dashed
	Works    []string  // the plan's works that the template belongs to, in order
	Steps    []string  // what to do with the template, in order
	Cautions []string
	Notes    []string
}

// reach is how far from a kit's zero a point may lie, in mm. No body comes near it; a number
// beyond it is a slip of unit or of point.
const reach = 5000

// check returns an error for what cannot be drawn.
func (t *Template) check() error {
	if len(t.Holes) == 0 {
		return fmt.Errorf("the template of kit %q has no hole", t.Kit)
	}
	for _, l := range t.across() {
		if len(l.Points) != 2 || l.Points[0] == l.Points[1] {
			return fmt.Errorf("the line %q has the points %v, must have two that differ", l.Name, l.Points)
		}
	}
	for _, h := range t.Holes {
		if err := h.check(); err != nil {
			return fmt.Errorf("hole %q: %w", h.Name, err)
		}
	}
	points := append([]Point(nil), t.Corners...)
	for _, o := range append(t.outlines(), t.across()...) {
		points = append(points, o.Points...)
	}
	return checkPoints(points)
}

func (h *Hole) check() error {
	switch h.Action {
	case Keep, DrillFresh, PlugOnly:
	case PlugAndDrill:
		if h.Old == nil {
			return fmt.Errorf("to be plugged and drilled, but no old place")
		}
	default:
		return fmt.Errorf("nothing said of what to do")
	}
	for _, d := range []float64{h.OldDia, h.Plug, h.Pilot, 2 * h.Within} {
		if !(d >= 0 && d <= maxHole) {
			return fmt.Errorf("diameter of %v mm, must be from 0 to %v", d, maxHole)
		}
	}
	points := []Point{h.At}
	if h.Old != nil {
		points = append(points, *h.Old)
	}
	return checkPoints(points)
}

// maxHole is the largest diameter, in mm, that a template draws: a marked hole must lie whole on
// one sheet. Neck and bridge have none near it.
const maxHole = 60

func checkPoints(points []Point) error {
	for _, p := range points {
		if !p.finite() || p.length() > reach {
			return fmt.Errorf("a point at %v, %v: must be within %v mm of zero", p.X, p.Y, float64(reach))
		}
	}
	return nil
}

func (t *Template) outlines() []Outline {
	return append(append([]Outline(nil), t.Register...), t.Plate...)
}

// across are the lines that run right across the drawing.
func (t *Template) across() []Outline {
	if t.Centre == nil {
		return t.Edges
	}
	return append([]Outline{{Name: "neck centre line", Points: t.Centre}}, t.Edges...)
}

// Sheets lays the template out on paper: the first sheets say what to do, the others are the
// template, full size.
func (t Template) Sheets(p Paper) ([]Sheet, error) {
	pages, err := t.pages(p)
	if err != nil {
		return nil, err
	}
	out := make([]Sheet, len(pages))
	for i := range pages {
		title := fmt.Sprintf("Drill template of %s, sheet %d of %d", t.Kit, i+1, len(pages))
		out[i] = Sheet{number: i + 1, title: title, page: pages[i]}
	}
	return out, nil
}

// Sheet is one sheet of a template.
type Sheet struct {
	number int
	title  string
	page   page
}

// SVG writes the sheet as a document of its own that prints full size; its title is what a reader that cannot see
// is told.
func (s *Sheet) SVG(w io.Writer) error {
	c := &svgCanvas{w: bufio.NewWriter(w), prefix: fmt.Sprintf("s%d-", s.number)}
	c.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %[1]s %[2]s" role="img"`, mm(s.page.width), mm(s.page.height))
	c.printf(` font-family="Liberation Sans, Arial, Helvetica, sans-serif">` + "\n")
	c.printf("<title>%s</title>\n", escape(readable(s.title)))
	part{marks: s.page.drawing.marks}.paint(c)
	c.printf("</svg>\n")
	return c.w.Flush()
}

// PDF writes all sheets.
func (t Template) PDF(w io.Writer, p Paper) error {
	pages, err := t.pages(p)
	if err != nil {
		return err
	}
	doc := newPDF("Drill template of " + t.Kit)
	for i := range pages {
		doc.page(pages[i].width, pages[i].height, &pages[i].drawing)
	}
	if err := doc.doc.Output(w); err != nil {
		return fmt.Errorf("writing the PDF: %w", err)
	}
	return nil
}

// page is a sheet with all that is printed on it, in mm from its top left corner.
type page struct {
	sheet
	drawing Drawing
}

// pages lays the template out.
func (t *Template) pages(p Paper) ([]page, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	g, err := t.tile(p)
	if err != nil {
		return nil, err
	}
	g.first = 2
	out := t.keys(p, g)
	if g.first = len(out) + 1; g.first > 2 { // now that it is known, the map can say it
		out = t.keys(p, g)
	}
	total := len(out) + len(g.tiles)
	for i := range g.tiles {
		out = append(out, page{sheet: g.sheet, drawing: t.tileSheet(g, i)})
	}
	for i := range out {
		t.furnish(&out[i], i+1, total)
	}
	return out, nil
}

// Strokes of a template in mm. The cross-hair is as thin as a printer draws it, since the punch
// goes where it crosses.
const (
	hairWidth     = 0.12
	registerWidth = 0.5
	plateWidth    = 0.2
)

// String is the action in the words of the schedule.
func (a Action) String() string {
	return [...]string{Keep: "keep", PlugAndDrill: "plug, re-drill", DrillFresh: "drill fresh", PlugOnly: "plug only"}[a]
}

// arm is how far the cross at the hole's place reaches, in mm: beyond what is bored there, so
// that it can still be seen when the bit has begun.
func (h *Hole) arm() float64 {
	switch h.Action {
	case Keep:
		return h.keepRadius() + 1
	case PlugOnly:
		return math.Max(h.Plug, h.OldDia)/2 + 1
	}
	return math.Max(5, h.Pilot/2+3)
}

// keepRadius draws a hole of unknown size as one of 3 mm.
func (h *Hole) keepRadius() float64 {
	if h.OldDia == 0 {
		return 1.5
	}
	return h.OldDia / 2
}

// oldReach is how far the marks at the old place reach from it.
func (h *Hole) oldReach() float64 { return math.Max(h.Plug, h.OldDia)/2 + 1 }

// bounds is the box, in the drawing's frame, around all that is drawn at the hole.
func (h *Hole) bounds() Box {
	b := boxOf(h.At).Grown(math.Max(h.arm(), h.Within))
	if h.Old != nil {
		b = b.Around(boxOf(*h.Old).Grown(h.oldReach()))
	}
	return b
}

// draw adds the marks of hole number i, counted from 1; 0 is a sample, whose marks have no names. An
// old hole that stays open is dashed, and one to be plugged has a cross to bore at.
func (h *Hole) draw(d *Drawing, i int) {
	group := func(ending, class string) Group {
		if i == 0 {
			return Group{Class: class}
		}
		return Group{ID: "hole-" + strconv.Itoa(i) + ending, Class: class}
	}
	whole := group("", "hole "+strings.NewReplacer(", ", "-and-", "re-", "", " ", "-").Replace(h.Action.String()))
	whole.Title = h.Name + ": " + h.Action.String()
	d.Group(whole, func() {
		switch h.Action {
		case Keep:
			d.Circle(h.At, h.keepRadius(), Style{Width: 0.4})
		case PlugOnly:
			drawPlug(d, h.At, h.Plug, h.OldDia)
		case PlugAndDrill:
			drawPlug(d, *h.Old, h.Plug, h.OldDia)
			d.Group(group("-old", "old"), func() { d.Saltire(*h.Old, h.oldReach(), Style{Width: hairWidth, Ink: Blue}) })
			d.Circle(h.At, h.Pilot/2, Style{Width: 0.3})
		case DrillFresh:
			if h.Old != nil {
				drawPlug(d, *h.Old, h.Plug, 2*h.keepRadius())
			}
			d.Circle(h.At, h.Pilot/2, Style{Width: 0.3})
		}
		if h.Within > 0 {
			d.Group(group("-within", "within"), func() { d.Circle(h.At, h.Within, Style{Ink: Red, Width: 0.15, Dash: Dashed}) })
		}
		d.Group(group("-at", "at"), func() {
			if h.Action == PlugOnly {
				d.Saltire(h.At, h.arm(), Style{Width: hairWidth})
				return
			}
			d.Cross(h.At, h.arm(), Style{Width: hairWidth})
		})
	})
}

// oldStyle is dark, since the template is laid by the old holes: they are there to see.
var oldStyle = Style{Width: 0.4}

// drawPlug draws an old hole, and around it the bore for its plug, hatched.
func drawPlug(d *Drawing, at Point, plug, old float64) {
	if plug > 0 {
		d.Circle(at, plug/2, Style{Ink: Blue, Width: 0.2, Fill: Hatched})
	}
	if old > 0 {
		d.Circle(at, old/2, oldStyle)
	}
}

// short is the action with its sizes, for the callout.
func (h *Hole) short() string {
	drill := "drill"
	if h.Pilot > 0 {
		drill += " " + diameter(h.Pilot)
	}
	plug := "plug"
	if h.Plug > 0 {
		plug += " " + diameter(h.Plug)
	}
	switch h.Action {
	case Keep:
		return "keep"
	case PlugAndDrill:
		return plug + ", " + drill
	case DrillFresh:
		if h.Plug > 0 {
			return drill + ", old: " + plug
		}
		return drill
	case PlugOnly:
		return plug
	}
	panic("draw: no such action")
}

// diameter is a size to a hundredth of a millimetre.
func diameter(d float64) string {
	return "Ø" + strconv.FormatFloat(math.Round(d*100)/100, 'f', -1, 64)
}
