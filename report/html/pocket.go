package html

import (
	"fmt"
	"html/template"
	"math"

	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
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
		wall, inward, words := bottom, -per, point{(left + right) / 2, bottom + 26}
		if a.Wall == upper {
			wall, inward, words = top, per, point{(left + right) / 2, top - 18}
		}
		switch a.Work {
		case measure.SideShim:
			f.polygon("shim", point{left, wall}, point{right, wall}, point{right, wall + inward*a.End}, point{left, wall + inward*a.Mouth})
			f.text("strong m", words, "shim "+fromTo(a.Mouth, a.End))
		case measure.RelieveWall:
			f.line("relief", point{left, wall - inward*a.Mouth}, point{right, wall - inward*a.End})
			f.text("strong m", words, "scrape back "+fromTo(a.Mouth, a.End))
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
	v, u := report.Rounded(gap, std)
	return "whole gap at the " + where + " " + v + " ± " + u + " mm"
}

// gapMark writes one gap with its arrow from the wall.
func gapMark(f *figure, x, wall, heel, gap float64, side string, below float64) {
	class := "dim"
	words := fmt.Sprintf("%s %.2f", side, gap)
	if gap < 0 {
		class, words = "dim clash", words+" (tight)"
	}
	f.whisker(class, x, math.Min(wall, heel), math.Max(wall, heel))
	y := math.Max(wall, heel) + 16
	if below < 0 {
		y = math.Min(wall, heel) - 7
	}
	if x > f.width/2 {
		f.text("e", point{x - 9, y}, words)
		return
	}
	f.text("", point{x + 9, y}, words)
}
