package html

import (
	"fmt"
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// The plan's sheet, in its own units.
const (
	planWidth  = 1000.0
	planHeight = 340.0
	planMargin = 46.0
	planMiddle = 168.0 // where the centre line runs
	planHalf   = 118.0 // what lies to either side of it
)

// plan is the view from above, from nut to tail: the neck to the left. Its length and its width
// have scales of their own, and say so.
type plan struct {
	*scene
	figure
	x, y axis
}

// planView draws the whole kit; "" where there is no bridge or nut to draw between.
func planView(s *scene) template.HTML {
	low, high, wide, ok := s.extent()
	if !ok {
		return ""
	}
	p := &plan{scene: s, figure: figure{width: planWidth, height: planHeight}}
	p.x = between(low, high, planMargin, planWidth-planMargin)
	p.y = s.across(planMiddle, planHalf/wide)
	p.body()
	p.board()
	p.strings()
	p.centre(low, high)
	p.holes()
	p.readings()
	p.reference()
	p.captions(math.Abs(p.y.per) / p.x.per)
	return p.svg("fig plan", "Plan of the kit from above: fingerboard, centre line, pocket, bridge, strings and readings.",
		"data-x", p.x.data(), "data-y", p.y.data())
}

// extent is how far along and across the kit reaches, in mm of the frame.
func (s *scene) extent() (low, high, wide float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	add := func(p place) {
		low, high, wide = math.Min(low, p.s), math.Max(high, p.s), math.Max(wide, math.Abs(p.o))
	}
	for _, p := range s.g.Places {
		if p.Feature != measure.Outline && p.Feature != measure.Cavity {
			add(s.of(p))
		}
	}
	if s.g.Scale > 0 {
		add(place{0, s.frame.offset(s.g.Edges[0], 0)})
		end := fretAt(s.g.Scale, s.g.LastFret)
		add(place{end, s.frame.offset(s.g.Edges[1], end)})
	}
	if p, ok := s.bridge(); ok {
		add(p)
	}
	const leastLength, leastWidth = 50.0, 5.0
	return low - 8, high + 12, wide + 4, high-low > leastLength && wide > leastWidth
}

func (p *plan) at(q place) point { return point{p.x.of(q.s), p.y.of(q.o)} }

// body is the pocket, open at its mouth.
func (p *plan) body() {
	mouth, end, ok := p.pocket()
	if !ok || p.g.Pocket[0] == nil {
		return
	}
	corner := func(i int, s float64) point { return p.at(place{s, p.frame.offset(p.g.Pocket[i], s)}) }
	p.polygon("pocket", corner(0, mouth), corner(0, end), corner(1, end), corner(1, mouth))
}

// board is the fingerboard with its frets by the rule of the fitted scale.
func (p *plan) board() {
	if p.g.Scale <= 0 || p.g.LastFret == 0 {
		return
	}
	edge := func(i int, s float64) point { return p.at(place{s, p.frame.offset(p.g.Edges[i], s)}) }
	end := fretAt(p.g.Scale, p.g.LastFret)
	p.polygon("board", edge(0, 0), edge(0, end), edge(1, end), edge(1, 0))
	data := ""
	for n := 1; n < p.g.LastFret; n++ {
		a, b := edge(0, fretAt(p.g.Scale, n)), edge(1, fretAt(p.g.Scale, n))
		data += stroke(a, b)
	}
	p.path("fret", data)
	p.line("nut", edge(0, 0), edge(1, 0))
}

// strings run from the nut's slots to the saddles.
func (p *plan) strings() {
	data := ""
	for n := 1; n <= p.g.Strings; n++ {
		from, ok1 := p.byString(measure.NutSlot, n)
		to, ok2 := p.byString(measure.Saddle, n)
		if !ok2 {
			to, ok2 = p.byString(measure.StringHole, n)
		}
		if ok1 && ok2 {
			a, b := p.at(from), p.at(to)
			data += stroke(a, b)
		}
	}
	if data != "" {
		p.path("string", data)
	}
}

func (p *plan) centre(low, high float64) {
	p.line("centre", p.at(place{low, 0}), p.at(place{high, 0}))
}

// holes: those of the body as rings, those of the bridge and the heel as crosses.
func (p *plan) holes() {
	rings, crosses := "", ""
	for _, q := range p.g.Places {
		at := p.at(p.of(q))
		switch q.Feature {
		case measure.BridgeScrew, measure.NeckScrew, measure.StringHole:
			rings += dot(at)
		case measure.PlateScrew, measure.HeelScrew, measure.PlateHole:
			crosses += saltire(at, 3)
		}
	}
	if rings != "" {
		p.path("ring", rings)
		p.path("ring-in", rings)
	}
	if crosses != "" {
		p.path("part", crosses)
	}
}

// readings are where something was read; suspects stand out by shape and by word.
func (p *plan) readings() {
	good := ""
	for i := range p.Residuals {
		r := &p.Residuals[i]
		if !r.Placed || r.Axis == measure.Station.String() {
			continue
		}
		at := p.at(p.frame.of(r.X, r.Y))
		if at.x < 0 || at.x > planWidth || at.y < 0 || at.y > planHeight {
			continue
		}
		if r.Suspect {
			p.polygon("suspect", point{at.x, at.y - 7}, point{at.x + 7, at.y + 5}, point{at.x - 7, at.y + 5})
			p.text("suspect-word m", point{at.x, at.y - 10}, "suspect")
			continue
		}
		good += dot(at)
	}
	if good != "" {
		p.path("read-dots", good)
	}
}

// reference is the middle of the saddles' line and that line.
func (p *plan) reference() {
	b, ok := p.bridge()
	if !ok {
		return
	}
	turn := p.frame.heading(p.g.Bridge.Heading) * math.Pi / 180
	const half = 28.0 // mm to either side
	end := func(k float64) point {
		return p.at(place{b.s - k*half*math.Sin(turn), b.o + k*half*math.Cos(turn)})
	}
	p.line("saddle-line", end(-1), end(1))
	p.diamond("bridge-mark", p.at(b), 6, "data-bridge", num(p.x.of(b.s))+" "+num(p.y.of(b.o)))
}

func (p *plan) captions(factor float64) {
	top, bottom := p.up()
	p.text("side", point{planMargin, 16}, top+" side")
	p.text("side", point{planMargin, planHeight - 28}, bottom+" side")
	if p.Info.LeftHanded {
		p.text("side e", point{planWidth - planMargin, 16}, "left-handed: drawn mirrored")
	}
	note := fmt.Sprintf("widths are drawn %s times the scale of lengths", trimmed(factor))
	p.text("note", point{planMargin, planHeight - 8}, note)
	const hundred = 100.0
	x := planWidth - planMargin
	p.line("rule", point{x - hundred*p.x.per, planHeight - 22}, point{x, planHeight - 22})
	p.text("note e", point{x, planHeight - 8}, "100 mm along")
	if p.g.Scale > 0 {
		p.text("note m", point{p.x.of(0), planMiddle - planHalf - 14}, "nut")
	}
	if b, ok := p.bridge(); ok {
		p.text("note m", point{p.x.of(b.s), planMiddle - planHalf - 14}, "saddles")
	}
}

// trimmed writes a factor to two digits or so.
func trimmed(x float64) string {
	if x >= 10 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// sideways is the strip below the plan: how far things lie beside the neck's centre line, drawn
// large. It is "" where the error at the bridge is not known.
func sideways(s *scene) template.HTML {
	e := s.named(fit.CentreLineError)
	low, high, _, ok := s.extent()
	b, okBridge := s.bridge()
	if e == nil || !ok || !okBridge {
		return ""
	}
	const height, middle, half = 210.0, 105.0, 74.0
	p := &plan{scene: s, figure: figure{width: planWidth, height: height}}
	p.x = between(low, high, planMargin, planWidth-planMargin)
	per := roundFactor(half/strip(s, e)/p.x.per) * p.x.per
	p.y = s.across(middle, math.Min(per, half/strip(s, e)))
	p.play(b)
	p.centre(low, high)
	p.beside()
	p.error(b, e)
	top, bottom := p.up()
	p.text("side", point{planMargin, 14}, "toward "+top)
	p.text("side", point{planMargin, height - 26}, "toward "+bottom)
	p.text("note", point{planMargin, height - 6}, fmt.Sprintf("sideways drawn %s times the scale of lengths; dots are the residuals of the fingerboard's edges",
		trimmed(math.Abs(p.y.per)/p.x.per)))
	p.text("note", point{p.x.of(0), middle - 8}, "fitted centre line")
	v, u := words.Rounded(e.Value, e.StdUncertainty)
	label := "Sideways from the centre line, magnified: the bridge lies " + v + " ± " + u + " mm from it, positive toward treble; limits " + words.Limits(e) + " mm."
	return p.svg("fig strip", label, "data-x", p.x.data(), "data-y", p.y.data())
}

// strip is the greatest sideways distance, mm, that the strip must show.
func strip(s *scene, e *fit.Characteristic) float64 {
	most := math.Abs(e.Value) + words.Coverage*e.StdUncertainty
	for _, x := range []float64{e.Lower, e.Upper} {
		if !math.IsInf(x, 0) && math.Abs(x) < 4*most {
			most = math.Max(most, math.Abs(x))
		}
	}
	if s.Swing != nil {
		most = math.Max(most, math.Max(math.Abs(s.Swing.Low), math.Abs(s.Swing.High)))
	}
	return math.Max(most, 0.01)
}

// play is the wedge that the pocket's clearance lets the bridge's place take beside the neck.
func (p *plan) play(b place) {
	mouth, _, ok := p.pocket()
	if p.Swing == nil || !ok {
		return
	}
	p.polygon("play", p.at(place{mouth, 0}), p.at(place{b.s, p.Swing.Low}), p.at(place{b.s, p.Swing.High}))
	p.text("note m", point{p.x.of((mouth + b.s) / 2), 14}, "shaded: what the pocket's play allows")
}

// beside draws the residuals of the edges' readings where they were taken.
func (p *plan) beside() {
	data := ""
	for i := range p.Residuals {
		r := &p.Residuals[i]
		if !r.Placed || r.Feature != measure.EdgeBass && r.Feature != measure.EdgeTreble {
			continue
		}
		at := p.at(place{p.frame.of(r.X, r.Y).s, r.Residual})
		if at.y > 2 && at.y < p.height-2 {
			data += dot(at)
		}
	}
	if data != "" {
		p.path("read-dots", data)
	}
}

// error is the bridge's place with its interval, and the limits beside it.
func (p *plan) error(b place, e *fit.Characteristic) {
	x := p.x.of(b.s)
	const reach = 13.0
	clamp := func(o float64) float64 { return math.Min(math.Max(p.y.of(o), 4), p.height-4) }
	if !math.IsInf(e.Lower, 0) && !math.IsInf(e.Upper, 0) {
		low, high := clamp(e.Lower), clamp(e.Upper)
		p.rect("band", x-reach, math.Min(low, high), 2*reach, math.Abs(high-low))
		p.line("limit", point{x - reach, low}, point{x + reach, low})
		p.line("limit", point{x - reach, high}, point{x + reach, high})
	}
	u := words.Coverage * e.StdUncertainty
	p.whisker("whisk "+words.Verdict(e.Verdict), x, clamp(e.Value-u), clamp(e.Value+u))
	p.diamond("bridge-mark", point{x, p.y.of(e.Value)}, 6, "data-error", num(p.y.of(e.Value)))
	v, ux := words.Rounded(e.Value, e.StdUncertainty)
	below := math.Max(clamp(e.Value-u), clamp(e.Value+u)) + 4 // beside the whisker's end that is farther from the line
	if p.y.of(e.Value) < p.y.at {
		below = math.Min(clamp(e.Value-u), clamp(e.Value+u)) - 4
	}
	p.text("strong e", point{x - 20, math.Min(math.Max(below, 26), p.height-12)}, v+" ± "+ux+" mm")
}
