package draw

import (
	"fmt"
	"math"
	"strconv"
)

// Strokes of a template in mm. The cross-hair is as thin as a printer draws it, since the punch
// goes where it crosses.
const (
	hairWidth     = 0.12
	registerWidth = 0.5
	plateWidth    = 0.2
)

// String is the action in the words of the schedule.
func (a Action) String() string {
	switch a {
	case Keep:
		return "keep"
	case PlugAndDrill:
		return "plug, re-drill"
	case DrillFresh:
		return "drill fresh"
	case PlugOnly:
		return "plug only"
	}
	return fmt.Sprintf("Action(%d)", uint8(a))
}

// class is the action as the class of an element.
func (a Action) class() string {
	switch a {
	case Keep:
		return "hole keep"
	case PlugAndDrill:
		return "hole plug-and-drill"
	case DrillFresh:
		return "hole drill-fresh"
	case PlugOnly:
		return "hole plug-only"
	}
	panic("draw: no such action")
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
	b := boxOf(h.At).Grown(h.arm())
	if h.Old != nil {
		b = b.Around(boxOf(*h.Old).Grown(h.oldReach()))
	}
	return b
}

// draw adds the marks of hole number i, counted from 1.
func (h *Hole) draw(d *Drawing, i int) {
	id := "hole-" + strconv.Itoa(i)
	title := h.Name + ": " + h.Action.String()
	d.Group(Group{ID: id, Class: h.Action.class(), Title: title}, func() {
		switch h.Action {
		case Keep:
			d.Circle(h.At, h.keepRadius(), Style{Width: 0.4})
		case PlugOnly:
			drawPlug(d, h.At, h.Plug, h.OldDia)
		case PlugAndDrill, DrillFresh:
			h.drawOld(d, id)
			d.Circle(h.At, h.Pilot/2, Style{Width: 0.3})
		}
		d.Group(Group{ID: id + "-at", Class: "at"}, func() {
			if h.Action == PlugOnly {
				d.Saltire(h.At, h.arm(), Style{Width: hairWidth})
				return
			}
			d.Cross(h.At, h.arm(), Style{Width: hairWidth})
		})
	})
}

// drawOld draws an old hole that stays open dashed, and one to be plugged with a cross to bore at.
func (h *Hole) drawOld(d *Drawing, id string) {
	if h.Old == nil {
		return
	}
	if h.Action == DrillFresh {
		d.Circle(*h.Old, h.keepRadius(), Style{Ink: DarkGrey, Width: 0.2, Dash: Dashed})
		return
	}
	drawPlug(d, *h.Old, h.Plug, h.OldDia)
	d.Group(Group{ID: id + "-old", Class: "old"}, func() {
		d.Saltire(*h.Old, h.oldReach(), Style{Width: hairWidth, Ink: Blue})
	})
}

// drawPlug draws an old hole, dashed, and around it the bore for its plug, hatched.
func drawPlug(d *Drawing, at Point, plug, old float64) {
	if plug > 0 {
		d.Circle(at, plug/2, Style{Ink: Blue, Width: 0.2, Fill: Hatched})
	}
	if old > 0 {
		d.Circle(at, old/2, Style{Ink: DarkGrey, Width: 0.2, Dash: Dashed})
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
