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

// The pocket's drawing: its corners in units of the view box, and what the widest gap takes.
const (
	pocketLeft, pocketRight = 90.0, 400.0
	pocketTop, pocketBottom = 50.0, 250.0
	heelRight               = pocketRight - 12
	widestGap               = 44.0
)

// pocketViews are the pocket from above with the heel in it, the mouth to the left, as it is and, where
// the recommended plan works on it, as the plan leaves it: with shims against their walls, and a dotted
// line where a wall was before it was scraped. Both have gaps of one magnification; the rest is a frame
// for them.
func pocketViews(s *scene) (now, then template.HTML) {
	p := s.g.Play
	if p == nil {
		return "", ""
	}
	widest, works := 0.05, []remedy.Action(nil)
	add := func(gaps ...[2]float64) {
		for _, g := range gaps {
			widest = math.Max(widest, math.Max(math.Abs(g[0]), math.Abs(g[1])))
		}
	}
	add(p.Bass, p.Treble)
	if s.plan != nil && s.plan.After != nil {
		add(s.plan.After.Bass, s.plan.After.Treble)
		for _, a := range s.plan.Actions {
			switch a.Work {
			case measure.SideShim, measure.RelieveWall:
				add([2]float64{a.Mouth, a.End})
				works = append(works, a)
			case measure.Reseat:
				works = append(works, a)
			}
		}
	}
	per := widestGap / widest
	f := &figure{width: 500, height: 344}
	s.pocketWith(f, per, p.Bass, p.Treble, nil)
	for i, where := range []string{"mouth", "end"} {
		f.text("note m", point{(pocketLeft + pocketRight) / 2, 160 + 16*float64(i)}, words.WholeGap(where, p.Bass[i]+p.Treble[i], p.Std[i]))
	}
	if s.Swing != nil {
		f.text("note", point{14, 319}, words.SwingRange(s.Swing))
	}
	if p.Length > 0 {
		f.text("note", point{14, 336}, words.Magnified("gaps", per*p.Length/(pocketRight-pocketLeft))+"; a negative gap interferes")
	} else {
		f.text("note", point{14, 336}, "gaps to a scale of their own; a negative gap interferes")
	}
	now = f.svg("fig", words.PocketLabel(p.Bass, p.Treble), "data-gap", num(per))
	if len(works) == 0 {
		return now, ""
	}
	after := s.plan.After
	f = &figure{width: 500, height: 344}
	s.pocketWith(f, per, after.Bass, after.Treble, works)
	f.text("note", point{14, 319}, "shaded: shims; dotted: where a scraped wall was")
	if s.plan.Swing != nil {
		f.text("note", point{14, 336}, words.SwingRange(s.plan.Swing))
	}
	return now, f.svg("fig", words.PocketLabel(after.Bass, after.Treble), "data-gap", num(per))
}

// pocketWith draws the pocket's walls, what was done to them, and the heel with the gaps beside it.
func (s *scene) pocketWith(f *figure, per float64, bass, treble [2]float64, works []remedy.Action) {
	const middle = (pocketLeft + pocketRight) / 2
	sides := [2]struct { // the wall at the top of the page and the one at its foot
		wall   remedy.Wall
		name   string
		y, in  float64 // where it is, and px a mm into the pocket
		gap    [2]float64
		moved  [2]float64 // outward by scraping
		packed [2]float64 // by shims
		said   []string
	}{{wall: remedy.Treble, y: pocketTop, in: per, gap: treble}, {wall: remedy.Bass, y: pocketBottom, in: -per, gap: bass}}
	if s.hand < 0 {
		sides[0].wall, sides[1].wall, sides[0].gap, sides[1].gap = remedy.Bass, remedy.Treble, bass, treble
	}
	for i := range sides {
		side := &sides[i]
		side.name = side.wall.String()
		for _, a := range works {
			size := [2]float64{a.Mouth, a.End}
			if a.Wall != side.wall {
				continue
			}
			switch a.Work {
			case measure.SideShim:
				side.packed = [2]float64{side.packed[0] + size[0], side.packed[1] + size[1]}
				side.said = append(side.said, "shim "+words.Extent(a.Mouth, a.End))
			case measure.RelieveWall:
				side.moved = [2]float64{side.moved[0] + size[0], side.moved[1] + size[1]}
				side.said = append(side.said, "scraped back "+words.Extent(a.Mouth, a.End))
			}
		}
	}
	at := func(i int, k int, beyond float64) float64 { // beyond the scraped wall, mm into the pocket, at mouth or end
		return sides[i].y + sides[i].in*(beyond-sides[i].moved[k])
	}
	shape := func(i int, from, to [2]float64, right float64) []point {
		return []point{{pocketLeft, at(i, 0, from[0])}, {right, at(i, 1, from[1])}, {right, at(i, 1, to[1])}, {pocketLeft, at(i, 0, to[0])}}
	}
	var none [2]float64
	f.polygon("wood", point{80, 0}, point{80, at(0, 0, 0)}, point{pocketLeft, at(0, 0, 0)}, point{pocketRight, at(0, 1, 0)}, point{pocketRight, at(1, 1, 0)},
		point{pocketLeft, at(1, 0, 0)}, point{80, at(1, 0, 0)}, point{80, 300}, point{460, 300}, point{460, 0})
	heel := [2][2]float64{}
	for i := range sides {
		for k := range 2 {
			heel[i][k] = at(i, k, sides[i].packed[k]+sides[i].gap[k])
		}
	}
	f.polygon("heel", point{pocketLeft - 50, heel[0][0]}, point{pocketLeft, heel[0][0]}, point{heelRight, heel[0][1]},
		point{heelRight, heel[1][1]}, point{pocketLeft, heel[1][0]}, point{pocketLeft - 50, heel[1][0]})
	f.path("wall", "M80 "+num(at(0, 0, 0))+"H"+num(pocketLeft)+"L"+num(pocketRight)+" "+num(at(0, 1, 0))+"V"+num(at(1, 1, 0))+"L"+num(pocketLeft)+" "+num(at(1, 0, 0))+"H80")
	for i, side := range sides {
		if side.packed != none {
			f.polygon("shim", shape(i, none, side.packed, pocketRight)...)
		}
		if side.moved != none {
			f.line("relief", point{pocketLeft, side.y}, point{pocketRight, side.y})
		}
		for k, x := range []float64{pocketLeft, heelRight} { // where the heel's corners are drawn
			f.gap(x, at(i, k, side.packed[k]), heel[i][k], side.gap[k], side.name, i == 0)
		}
	}
	f.textWhereFree("side", pocketLeft+9, "mouth", 128, 146, 164, 110)
	f.textWhereFree("side e", heelRight-9, "end", 128, 146, 164, 110)
	f.textWhereFree("note m", middle, "heel", 140, 156, 172)
	f.textWhereFree("strong m", middle, strings.Join(sides[0].said, ", "), 30, 16, 46, 114, 130, 98, 172)
	f.textWhereFree("strong m", middle, strings.Join(sides[1].said, ", "), 280, 294, 264, 186, 170, 202, 110)
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
	var holes []remedy.Hole // at the bridge that the recommended plan drills anew
	if s.plan != nil && s.plan.Drilling != nil {
		for _, h := range s.plan.Drilling.Holes {
			if (h.Feature == measure.BridgeScrew || h.Feature == measure.StringHole) && h.Work != remedy.Reuse && h.Refused.Kind == remedy.NoRemark {
				holes = append(holes, h)
				add(s.frame.of(h.New.X, h.New.Y))
			}
		}
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
	if s.plan != nil && (s.plan.Moves[fit.BridgeAcross] != 0 || s.plan.Moves[fit.BridgeAlong] != 0) {
		d.diamond("bridge-mark then", d.at(place{b.s + s.plan.Moves[fit.BridgeAlong], b.o + s.plan.Moves[fit.BridgeAcross]}), 6)
	}
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
			saddles += "M" + num(at.x-6) + " " + num(at.y) + "h12M" + num(at.x) + " " + num(at.y-6) + "v12" // an upright cross
		case measure.SaddleFront:
			if back, ok := d.byString(measure.SaddleBack, p.Mark.Number); ok {
				d.line("travel", at, d.at(back))
			}
		}
	}
	d.path("part", crosses)
	d.path("saddle", saddles)
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
