package html

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// pocketView is the pocket from above with the heel in it, the mouth to the left. Its gaps are
// magnified, the rest is a frame for them. Shims of the recommended plan lie against their walls, and a
// dotted line is what a wall is scraped back to.
func pocketView(s *scene) template.HTML {
	p := s.g.Play
	if p == nil {
		return ""
	}
	const (
		left, right = 90.0, 400.0
		heelEnd     = right - 12
		top, bottom = 50.0, 250.0
		middle      = (left + right) / 2
		most        = 44.0 // px that the widest gap takes
	)
	f := &figure{width: 500, height: 344}
	var works []remedy.Action
	if s.plan != nil {
		works = s.plan.Actions
	}
	widest := 0.05
	for i := range p.Bass {
		widest = math.Max(widest, math.Max(math.Abs(p.Bass[i]), math.Abs(p.Treble[i])))
	}
	for _, a := range works {
		if a.Work == measure.SideShim || a.Work == measure.RelieveWall {
			widest = math.Max(widest, math.Max(a.Mouth, a.End))
		}
	}
	per := most / widest
	upper, lower, upperWall := p.Treble, p.Bass, remedy.Treble
	if s.hand < 0 {
		upper, lower, upperWall = p.Bass, p.Treble, remedy.Bass
	}
	f.path("wood", "M80 0V50H400V250H80V300H460V0Z")
	f.polygon("heel", point{left - 50, top + per*upper[0]}, point{left, top + per*upper[0]}, point{heelEnd, top + per*upper[1]},
		point{heelEnd, bottom - per*lower[1]}, point{left, bottom - per*lower[0]}, point{left - 50, bottom - per*lower[0]})
	f.path("wall", "M80 50H400V250H80")
	for _, a := range works {
		wall, inward, said := bottom, -per, point{middle, bottom + 26}
		if a.Wall == upperWall {
			wall, inward, said = top, per, point{middle, top - 18}
		}
		switch a.Work {
		case measure.SideShim:
			f.polygon("shim", point{left, wall}, point{right, wall}, point{right, wall + inward*a.End}, point{left, wall + inward*a.Mouth})
			f.text("strong m", said, "shim "+words.Extent(a.Mouth, a.End))
		case measure.RelieveWall:
			f.line("relief", point{left, wall - inward*a.Mouth}, point{right, wall - inward*a.End})
			f.text("strong m", said, "scrape back "+words.Extent(a.Mouth, a.End))
		}
	}
	upWord, downWord := s.up()
	for i, x := range []float64{left, heelEnd} { // where the heel's corners are drawn
		f.gap(x, top, top+per*upper[i], upper[i], upWord, true)
		f.gap(x, bottom, bottom-per*lower[i], lower[i], downWord, false)
		where := [2]string{"mouth", "end"}[i]
		f.text([]string{"side", "side e"}[i], point{x + 9*float64(1-2*i), 18}, where)
		f.text("note m", point{middle, 160 + 16*float64(i)}, words.WholeGap(where, p.Bass[i]+p.Treble[i], p.Std[i]))
	}
	f.text("strong m", point{middle, 142}, "heel")
	if s.Swing != nil {
		f.text("note", point{14, 319}, words.SwingRange(s.Swing))
	}
	if p.Length > 0 {
		f.text("note", point{14, 336}, words.Magnified("gaps", per*p.Length/(right-left))+"; a negative gap interferes")
	} else {
		f.text("note", point{14, 336}, "gaps to a scale of their own; a negative gap interferes")
	}
	return f.svg("fig", words.PocketLabel(p), "data-gap", num(per))
}

// gap writes one gap with its arrow from the wall, below the arrow or above it.
func (f *figure) gap(x, wall, heel, gap float64, side string, below bool) {
	class, text := "dim", fmt.Sprintf("%s %.2f", side, gap)
	if gap < 0 {
		class, text = "dim clash", text+" (tight)"
	}
	f.whisker(class, x, math.Min(wall, heel), math.Max(wall, heel))
	y := math.Min(wall, heel) - 7
	if below {
		y = math.Max(wall, heel) + 16
	}
	if x > f.width/2 {
		f.text("e", point{x - 9, y}, text)
		return
	}
	f.text("", point{x + 9, y}, text)
}

// bridgeView draws the bridge on the body at one scale both ways, the neck to the left: the body's
// holes at their size, the plate's over them, the saddles with their travel, and what the recommended
// plan leaves. It is "" where nothing of the bridge was read.
func bridgeView(s *scene) template.HTML {
	low, high, wide, n := math.Inf(1), math.Inf(-1), 0.0, 0
	add := func(q place) {
		low, high, wide = math.Min(low, q.s), math.Max(high, q.s), math.Max(wide, math.Abs(q.o))
	}
	for _, p := range s.g.Places {
		switch p.Feature {
		case measure.BridgeScrew, measure.StringHole, measure.PlateScrew, measure.PlateHole, measure.Saddle,
			measure.SaddleFront, measure.SaddleBack, measure.PlateEdge:
			add(s.of(p))
			n++
		}
	}
	holes := s.drilled()
	for _, h := range holes {
		add(s.frame.of(h.New.X, h.New.Y))
	}
	b, ok := s.bridge()
	if n < 2 || !ok {
		return ""
	}
	const border = 8.0 // mm around
	add(b)
	low, high, wide = low-border, high+border, wide+border
	const left, right, top, bottom = 14.0, 486.0, 24.0, 290.0
	per := math.Min((right-left)/(high-low), (bottom-top)/(2*wide))
	d := &drawing{scene: s, figure: figure{width: 500, height: 330}, x: axis{(left+right)/2 - per*(low+high)/2, per}, y: s.across((top+bottom)/2, per)}
	d.outlines()
	d.line("centre", point{left, d.y.of(0)}, point{right, d.y.of(0)})
	d.marks()
	d.renewed(holes)
	d.saddleLine(b, 0.9*wide)
	d.diamond("bridge-mark", d.at(b), 6)
	up, down := s.up()
	d.text("side", point{left, 16}, up+" side")
	d.text("side", point{left, 304}, down+" side")
	d.line("rule", point{right - 10*per, 306}, point{right, 306})
	d.text("note e", point{right, 322}, "10 mm")
	d.text("note", point{left, 322}, "ring: hole in the body; ✕: hole in the plate; +: saddle")
	return d.svg("fig", words.BridgeLabel,
		"data-x", d.x.data(), "data-y", d.y.data())
}

// outlines joins the plate's corners, and each cavity's, in the order in which they were read.
func (d *drawing) outlines() {
	var order []string
	corners := map[string][]point{}
	for _, p := range d.g.Places {
		name := "plate"
		switch p.Feature {
		case measure.PlateEdge:
		case measure.Cavity:
			name = "cavity " + strings.TrimRight(p.Mark.Name, "0123456789 -")
		default:
			continue
		}
		if _, ok := corners[name]; !ok {
			order = append(order, name)
		}
		corners[name] = append(corners[name], d.at(d.of(p)))
	}
	for _, name := range order {
		class, _, _ := strings.Cut(name, " ")
		d.polygon(class, corners[name]...)
	}
}

// marks are the body's holes at their size, the plate's over them, and each saddle with its way from
// its front stop to its back stop.
func (d *drawing) marks() {
	crosses, saddles := "", ""
	for _, p := range d.g.Places {
		at := d.at(d.of(p))
		switch p.Feature {
		case measure.BridgeScrew, measure.StringHole:
			const usual = 2.4 // mm, where none was read
			diameter := p.Diameter
			if diameter == 0 {
				diameter = usual
			}
			d.circle("hole", at, diameter/2*d.x.per)
			if p.Feature == measure.StringHole {
				d.text("tiny", point{at.x + 16, at.y + 4}, "string "+p.Mark.String())
			} else {
				d.text("tiny m", point{at.x, at.y - 11}, p.Mark.String()) // beside it may run the line of the saddles
			}
		case measure.PlateScrew, measure.PlateHole:
			crosses += saltire(at, 5)
		case measure.Saddle:
			saddles += cross(at, 6)
		case measure.SaddleFront:
			if back, ok := d.byString(measure.SaddleBack, p.Mark.Number); ok {
				d.line("travel", at, d.at(back))
			}
		}
	}
	d.path("part", crosses)
	d.path("saddle", saddles)
}

// drilled are the holes at the bridge that the recommended plan drills anew.
func (s *scene) drilled() (list []remedy.Hole) {
	if s.schedule == nil {
		return nil
	}
	for _, h := range s.schedule.Holes {
		if (h.Feature == measure.BridgeScrew || h.Feature == measure.StringHole) && h.Work != remedy.Reuse && h.Refused.Kind == remedy.NoRemark {
			list = append(list, h)
		}
	}
	return list
}

// renewed draws what the plan leaves: plugs in the old holes, the new holes, and the plate where it
// then lies.
func (d *drawing) renewed(holes []remedy.Hole) {
	if len(holes) == 0 {
		return
	}
	for _, h := range holes {
		if h.HasOld && h.Plug > 0 {
			d.circle("plug", d.at(d.frame.of(h.Old.X, h.Old.Y)), h.Plug/2*d.x.per)
		}
	}
	for _, h := range holes {
		const usual = 1.0 // mm, where no pilot is stated
		d.circle("fresh", d.at(d.frame.of(h.New.X, h.New.Y)), math.Max(h.Pilot/2, usual)*d.x.per)
	}
	var corners []point
	for _, p := range remedy.Plate(d.Result, d.plan) {
		corners = append(corners, d.at(d.frame.of(p.X, p.Y)))
	}
	if len(corners) > 2 {
		d.polygon("plate moved", corners...)
	}
	d.text("note", point{14, 288}, "dashed: plug in an old hole; filled: new hole")
}
