package html

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// pocketView is the pocket from above with the heel in it, the mouth to the left. Its gaps are
// magnified, the rest is a frame for them.
func pocketView(s *scene) template.HTML {
	p := s.g.Play
	if p == nil {
		return ""
	}
	const (
		left, right = 90.0, 400.0
		top, bottom = 50.0, 250.0
		most        = 44.0 // px that the widest gap takes
	)
	f := &figure{width: 500, height: 344}
	widest := 0.05
	for i := range p.Bass {
		widest = math.Max(widest, math.Max(math.Abs(p.Bass[i]), math.Abs(p.Treble[i])))
	}
	if s.plan != nil {
		for _, a := range s.plan.Actions {
			if a.Work == measure.SideShim || a.Work == measure.RelieveWall {
				widest = math.Max(widest, math.Max(a.Mouth, a.End))
			}
		}
	}
	per := most / widest
	upper, lower := p.Treble, p.Bass
	if s.hand < 0 {
		upper, lower = p.Bass, p.Treble
	}
	f.path("wood", "M80 0V50H400V250H80V300H460V0Z")
	f.polygon("heel", point{left - 50, top + per*upper[0]}, point{left, top + per*upper[0]}, point{right - 12, top + per*upper[1]},
		point{right - 12, bottom - per*lower[1]}, point{left, bottom - per*lower[0]}, point{left - 50, bottom - per*lower[0]})
	f.path("wall", "M80 50H400V250H80")
	upWord, downWord := s.up()
	if s.plan != nil {
		pocketWork(f, s, per, left, right, top, bottom)
	}
	for i, x := range []float64{left, right - 12} { // where the heel's corners are drawn
		gapMark(f, x, top, top+per*upper[i], upper[i], upWord, 24)
		gapMark(f, x, bottom, bottom-per*lower[i], lower[i], downWord, -16)
	}
	f.text("side", point{left + 9, 18}, "mouth")
	f.text("side e", point{right - 21, 18}, "end")
	f.text("strong m", point{(left + right) / 2, 142}, "heel")
	f.text("note m", point{(left + right) / 2, 160}, pocketLine(p.Bass[0]+p.Treble[0], p.Std[0], "mouth"))
	f.text("note m", point{(left + right) / 2, 176}, pocketLine(p.Bass[1]+p.Treble[1], p.Std[1], "end"))
	if s.Swing != nil {
		f.text("note", point{14, 319}, fmt.Sprintf("swing of the neck at the bridge: %+.2f to %+.2f mm", s.Swing.Low, s.Swing.High))
	}
	scale := "gaps drawn " + trimmed(per) + " px a mm; a negative gap is wood to take away"
	if p.Length > 0 {
		scale = "gaps drawn " + trimmed(per*p.Length/(right-left)) + " times the scale of lengths; a negative gap interferes"
	}
	f.text("note", point{14, 336}, scale)
	return f.svg("fig", fmt.Sprintf("Pocket with the heel in it, gaps magnified. At the mouth %.2f mm on the bass side and %.2f on the treble side; at the end %.2f and %.2f.",
		p.Bass[0], p.Treble[0], p.Bass[1], p.Treble[1]), "data-gap", num(per))
}

// pocketWork draws the shims of the recommended plan against their walls, and a dotted line where a
// wall is scraped back to.
func pocketWork(f *figure, s *scene, per, left, right, top, bottom float64) {
	upper := remedy.Treble
	if s.hand < 0 {
		upper = remedy.Bass
	}
	for _, a := range s.plan.Actions {
		wall, inward, text := bottom, -per, point{(left + right) / 2, bottom + 26}
		if a.Wall == upper {
			wall, inward, text = top, per, point{(left + right) / 2, top - 18}
		}
		switch a.Work {
		case measure.SideShim:
			f.polygon("shim", point{left, wall}, point{right, wall}, point{right, wall + inward*a.End}, point{left, wall + inward*a.Mouth})
			f.text("strong m", text, "shim "+fromTo(a.Mouth, a.End))
		case measure.RelieveWall:
			f.line("relief", point{left, wall - inward*a.Mouth}, point{right, wall - inward*a.End})
			f.text("strong m", text, "scrape back "+fromTo(a.Mouth, a.End))
		}
	}
}

// fromTo is a size at mouth and end.
func fromTo(mouth, end float64) string {
	if mouth == end {
		return fmt.Sprintf("%.2f mm", mouth)
	}
	return fmt.Sprintf("%.2f to %.2f mm", mouth, end)
}

func pocketLine(gap, std float64, where string) string {
	v, u := words.Rounded(gap, std)
	return "whole gap at the " + where + " " + v + " ± " + u + " mm"
}

// gapMark writes one gap with its arrow from the wall.
func gapMark(f *figure, x, wall, heel, gap float64, side string, below float64) {
	class := "dim"
	text := fmt.Sprintf("%s %.2f", side, gap)
	if gap < 0 {
		class, text = "dim clash", text+" (tight)"
	}
	f.whisker(class, x, math.Min(wall, heel), math.Max(wall, heel))
	y := math.Max(wall, heel) + 16
	if below < 0 {
		y = math.Min(wall, heel) - 7
	}
	if x > f.width/2 {
		f.text("e", point{x - 9, y}, text)
		return
	}
	f.text("", point{x + 9, y}, text)
}

// closeUp is the bridge from above at one scale both ways, the neck to the left.
type closeUp struct {
	*scene
	figure
	x, y axis
}

// nearBridge are the features that the close-up shows.
func nearBridge(f measure.Feature) bool {
	switch f {
	case measure.BridgeScrew, measure.StringHole, measure.PlateScrew, measure.PlateHole, measure.Saddle,
		measure.SaddleFront, measure.SaddleBack, measure.PlateEdge, measure.Cavity:
		return true
	}
	return false
}

// bridgeView draws the bridge on the body; "" where nothing of it was read.
func bridgeView(s *scene) template.HTML {
	low, high, wide, n := math.Inf(1), math.Inf(-1), 0.0, 0
	for _, p := range s.g.Places {
		if nearBridge(p.Feature) && p.Feature != measure.Cavity {
			q := s.of(p)
			low, high, wide = math.Min(low, q.s), math.Max(high, q.s), math.Max(wide, math.Abs(q.o))
			n++
		}
	}
	for _, h := range s.drilled() {
		q := s.frame.of(h.New.X, h.New.Y)
		low, high, wide = math.Min(low, q.s), math.Max(high, q.s), math.Max(wide, math.Abs(q.o))
	}
	b, ok := s.bridge()
	if n < 2 || !ok {
		return ""
	}
	const border = 8.0 // mm around
	low, high, wide = math.Min(low, b.s)-border, math.Max(high, b.s)+border, math.Max(wide, math.Abs(b.o))+border
	c := &closeUp{scene: s, figure: figure{width: 500, height: 330}}
	const left, right, top, bottom = 14.0, 486.0, 24.0, 290.0
	per := math.Min((right-left)/(high-low), (bottom-top)/(2*wide))
	middle := (left + right) / 2
	c.x = axis{middle - per*(low+high)/2, per}
	c.y = s.across((top+bottom)/2, per)
	c.outline()
	c.line("centre", point{left, c.y.of(0)}, point{right, c.y.of(0)})
	c.travel()
	c.marks()
	c.renewed()
	turn := s.frame.heading(s.g.Bridge.Heading) * math.Pi / 180
	end := func(k float64) point { return c.at(place{b.s - k*wide*math.Sin(turn), b.o + k*wide*math.Cos(turn)}) }
	c.line("saddle-line", end(-0.9), end(0.9))
	c.diamond("bridge-mark", c.at(b), 6)
	c.captions(per)
	return c.svg("fig", "The bridge from above: holes of the body as rings, holes of the plate as crosses, the saddles' travel and the neck's centre line.",
		"data-x", c.x.data(), "data-y", c.y.data())
}

func (c *closeUp) at(p place) point { return point{c.x.of(p.s), c.y.of(p.o)} }

// outline joins the plate's corners, and each cavity's, in the order in which they were read.
func (c *closeUp) outline() {
	var order []string
	corners := map[string][]point{}
	for _, p := range c.g.Places {
		name := ""
		switch p.Feature {
		case measure.PlateEdge:
			name = "plate"
		case measure.Cavity:
			name = "cavity " + strings.TrimRight(p.Mark.Name, "0123456789 -")
		default:
			continue
		}
		if _, ok := corners[name]; !ok {
			order = append(order, name)
		}
		corners[name] = append(corners[name], c.at(c.of(p)))
	}
	for _, name := range order {
		class := "plate"
		if name != "plate" {
			class = "cavity"
		}
		c.polygon(class, corners[name]...)
	}
}

// travel is each saddle's way from its front stop to its back stop.
func (c *closeUp) travel() {
	for _, front := range c.places(measure.SaddleFront) {
		back, ok := c.byString(measure.SaddleBack, front.Mark.Number)
		if ok {
			c.line("travel", c.at(c.of(front)), c.at(back))
		}
	}
}

// marks are the holes at their size and the plate's over them.
func (c *closeUp) marks() {
	crosses, saddles := "", ""
	for _, p := range c.g.Places {
		at := c.at(c.of(p))
		switch p.Feature {
		case measure.BridgeScrew, measure.StringHole:
			c.circle("hole", at, c.radius(p))
			if p.Feature == measure.StringHole {
				c.text("tiny", point{at.x + 16, at.y + 4}, "string "+p.Mark.String())
			} else {
				c.text("tiny m", point{at.x, at.y - 11}, p.Mark.String()) // beside it may run the line of the saddles
			}
		case measure.PlateScrew, measure.PlateHole:
			crosses += saltire(at, 5)
		case measure.Saddle:
			saddles += cross(at, 6)
		}
	}
	if crosses != "" {
		c.path("part", crosses)
	}
	if saddles != "" {
		c.path("saddle", saddles)
	}
}

// drilled are the holes at the bridge that the recommended plan drills anew.
func (s *scene) drilled() []remedy.Hole {
	if s.schedule == nil {
		return nil
	}
	var list []remedy.Hole
	for _, h := range s.schedule.Holes {
		if (h.Feature == measure.BridgeScrew || h.Feature == measure.StringHole) && h.Work != remedy.Reuse && h.Refused == "" {
			list = append(list, h)
		}
	}
	return list
}

// renewed draws what the plan leaves: plugs in the old holes, the new holes, and the plate where it
// then lies.
func (c *closeUp) renewed() {
	holes := c.drilled()
	if len(holes) == 0 {
		return
	}
	for _, h := range holes {
		if h.HasOld && h.Plug > 0 {
			c.circle("plug", c.at(c.frame.of(h.Old.X, h.Old.Y)), h.Plug/2*c.x.per)
		}
	}
	for _, h := range holes {
		const usual = 1.0 // mm, where no pilot is stated
		c.circle("fresh", c.at(c.frame.of(h.New.X, h.New.Y)), math.Max(h.Pilot/2, usual)*c.x.per)
	}
	var corners []point
	for _, p := range remedy.Plate(c.Result, c.plan) {
		corners = append(corners, c.at(c.frame.of(p.X, p.Y)))
	}
	if len(corners) > 2 {
		c.polygon("plate moved", corners...)
	}
	c.text("note", point{14, 288}, "dashed: plug in an old hole; filled: new hole")
}

// radius of a hole, as read or, where it was not, of a small screw's pilot.
func (c *closeUp) radius(p fit.Place) float64 {
	const usual = 1.2 // mm
	if p.Diameter > 0 {
		return p.Diameter / 2 * c.x.per
	}
	return usual * c.x.per
}

func (c *closeUp) captions(per float64) {
	top, bottom := c.up()
	c.text("side", point{14, 16}, top+" side")
	c.text("side", point{14, 304}, bottom+" side")
	c.line("rule", point{486 - 10*per, 306}, point{486, 306})
	c.text("note e", point{486, 322}, "10 mm")
	c.text("note", point{14, 322}, "ring: hole in the body; ✕: hole in the plate; +: saddle")
}
