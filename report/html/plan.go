package html

import (
	"html/template"
	"math"

	"neckfit/fit"
	"neckfit/fit/survey"
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

// extent is how far along and across the kit reaches, in mm of the frame; ok is false where that is
// too little to draw.
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
		end := fretAt(s.g.Scale, s.g.LastFret)
		add(place{0, s.frame.offset(s.g.Edges[0], 0)})
		add(place{end, s.frame.offset(s.g.Edges[1], end)})
	}
	if p, ok := s.bridge(); ok {
		add(p)
	}
	const leastLength, leastWidth = 50.0, 5.0
	return low - 8, high + 12, wide + 4, high-low > leastLength && wide > leastWidth
}

// planView is the view from above, from nut to tail, the neck to the left; "" where there is no
// bridge or nut to draw between. Its length and its width have scales of their own, and say so.
func planView(s *scene) template.HTML {
	low, high, wide, ok := s.extent()
	if !ok {
		return ""
	}
	d := &drawing{scene: s, figure: figure{width: planWidth, height: planHeight}}
	d.x = between(low, high, planMargin, planWidth-planMargin)
	d.y = s.across(planMiddle, planHalf/wide)
	d.parts()
	d.line("centre", d.at(place{low, 0}), d.at(place{high, 0}))
	d.readings()
	const half = 28.0 // mm of the saddles' line to either side
	if b, ok := s.bridge(); ok {
		d.saddleLine(b, half)
		d.diamond("bridge-mark", d.at(b), 6, "data-bridge", num(d.x.of(b.s))+" "+num(d.y.of(b.o)))
		d.text("note m", point{d.x.of(b.s), planMiddle - planHalf - 14}, "saddles")
	}
	if s.g.Scale > 0 {
		d.text("note m", point{d.x.of(0), planMiddle - planHalf - 14}, "nut")
	}
	top, bottom := s.up()
	d.text("side", point{planMargin, 16}, top+" side")
	d.text("side", point{planMargin, planHeight - 28}, bottom+" side")
	if s.Info.LeftHanded {
		d.text("side e", point{planWidth - planMargin, 16}, "left-handed: drawn mirrored")
	}
	d.text("note", point{planMargin, planHeight - 8}, words.Magnified("widths are", math.Abs(d.y.per)/d.x.per))
	const hundred, right = 100.0, planWidth - planMargin
	d.line("rule", point{right - hundred*d.x.per, planHeight - 22}, point{right, planHeight - 22})
	d.text("note e", point{right, planHeight - 8}, "100 mm along")
	return d.svg("fig plan", words.PlanLabel,
		"data-x", d.x.data(), "data-y", d.y.data())
}

// parts draws the pocket, open at its mouth; the fingerboard with its frets by the rule of the fitted
// scale; the strings from the nut's slots to the saddles; the holes of the body as rings and those of
// the bridge and the heel as crosses.
func (d *drawing) parts() {
	between := func(class string, sides [2]*fit.Line, from, to float64) {
		corner := func(i int, s float64) point { return d.at(place{s, d.frame.offset(sides[i], s)}) }
		d.polygon(class, corner(0, from), corner(0, to), corner(1, to), corner(1, from))
	}
	if mouth, end, ok := d.pocket(); ok && d.g.Pocket[0] != nil && d.g.Pocket[1] != nil {
		between("pocket", d.g.Pocket, mouth, end)
	}
	if d.g.Scale > 0 && d.g.LastFret > 0 {
		fan := survey.FanOf(&d.Info)
		fret := func(n int) (from, to point) { // of a fan the board's edges are taken for the outer strings
			s, share := fretAt(d.g.Scale, n), fretAt(1, n)
			bass, treble := s+fan.Lead(share, -0.5), s+fan.Lead(share, 0.5)
			return d.at(place{bass, d.frame.offset(d.g.Edges[0], bass)}), d.at(place{treble, d.frame.offset(d.g.Edges[1], treble)})
		}
		nutBass, nutTreble := fret(0)
		lastBass, lastTreble := fret(d.g.LastFret)
		d.polygon("board", nutBass, lastBass, lastTreble, nutTreble)
		frets := ""
		for n := 1; n < d.g.LastFret; n++ {
			frets += stroke(fret(n))
		}
		d.path("fret", frets)
		d.line("nut", nutBass, nutTreble)
	}
	strings, rings, crosses := "", "", ""
	for n := 1; n <= d.g.Strings; n++ {
		from, ok1 := d.byString(measure.NutSlot, n)
		to, ok2 := d.byString(measure.Saddle, n)
		if !ok2 {
			to, ok2 = d.byString(measure.StringHole, n)
		}
		if ok1 && ok2 {
			strings += stroke(d.at(from), d.at(to))
		}
	}
	for _, p := range d.g.Places {
		switch at := d.at(d.of(p)); p.Feature {
		case measure.BridgeScrew, measure.NeckScrew, measure.StringHole:
			rings += dot(at)
		case measure.PlateScrew, measure.HeelScrew, measure.PlateHole:
			crosses += saltire(at, 3)
		}
	}
	d.path("string", strings)
	d.path("ring", rings)
	d.path("ring-in", rings)
	d.path("part", crosses)
}

// readings are where something was read; suspects stand out by shape and by word.
func (d *drawing) readings() {
	good := ""
	for i := range d.Residuals {
		r := &d.Residuals[i]
		at := d.at(d.frame.of(r.X, r.Y))
		if !r.Placed || r.Axis == measure.Station || at.x < 0 || at.x > planWidth || at.y < 0 || at.y > planHeight {
			continue
		}
		if r.Suspect {
			d.polygon("suspect", point{at.x, at.y - 7}, point{at.x + 7, at.y + 5}, point{at.x - 7, at.y + 5})
			d.textWhereFree("suspect-word m", at.x, "suspect", at.y-10, at.y+18, at.y-26, at.y+34)
			continue
		}
		good += dot(at)
	}
	d.path("read-dots", good)
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
	const height, middle, half, besides = 210.0, 105.0, 74.0, 150.0 // besides: the mark of what the work leaves, beside the other
	most := s.farthest(e)
	d := &drawing{scene: s, figure: figure{width: planWidth, height: height}}
	d.x = between(low, high, planMargin, planWidth-planMargin)
	per := half / most
	d.y = s.across(middle, math.Min(per, roundFactor(per/d.x.per)*d.x.per))
	if mouth, _, ok := s.pocket(); ok && s.Swing != nil { // the wedge that the pocket's clearance lets the bridge's place take
		d.polygon("play", d.at(place{mouth, 0}), d.at(place{b.s, s.Swing.Low}), d.at(place{b.s, s.Swing.High}))
		d.text("note m", point{d.x.of((mouth + b.s) / 2), 14}, "shaded: what the pocket's play allows")
	}
	d.line("centre", d.at(place{low, 0}), d.at(place{high, 0}))
	edges := ""
	for i := range s.Residuals {
		r := &s.Residuals[i]
		at := d.at(place{s.frame.of(r.X, r.Y).s, r.Residual})
		if r.Placed && (r.Reading.Feature == measure.EdgeBass || r.Reading.Feature == measure.EdgeTreble) && at.y > 2 && at.y < height-2 {
			edges += dot(at)
		}
	}
	d.path("read-dots", edges)
	d.error(d.x.of(b.s), e, "bridge-mark")
	if s.then != nil {
		d.error(d.x.of(b.s)-besides, s.then, "bridge-mark then")
		d.text("note", point{planMargin, 30}, "hollow: as the work is to leave it")
	}
	top, bottom := s.up()
	d.text("side", point{planMargin, 14}, "toward "+top)
	d.text("side", point{planMargin, height - 26}, "toward "+bottom)
	d.text("note", point{planMargin, height - 6}, words.Magnified("sideways", math.Abs(d.y.per)/d.x.per)+
		"; dots are the residuals of the fingerboard's edges")
	d.text("note", point{d.x.of(0), middle - 8}, "fitted centre line")
	return d.svg("fig strip", words.SidewaysLabel(e), "data-x", d.x.data(), "data-y", d.y.data())
}

// farthest is the greatest distance beside the centre line that must show, in mm.
func (s *scene) farthest(e *fit.Characteristic) float64 {
	most := math.Max(math.Abs(e.Value)+words.Coverage*e.StdUncertainty, 0.01)
	for _, x := range []float64{e.Lower, e.Upper} {
		if !math.IsInf(x, 0) && math.Abs(x) < 4*most {
			most = math.Max(most, math.Abs(x))
		}
	}
	if s.Swing != nil {
		most = math.Max(most, math.Max(math.Abs(s.Swing.Low), math.Abs(s.Swing.High)))
	}
	return most
}

// error is the bridge's place with its interval, and the limits beside it.
func (d *drawing) error(x float64, e *fit.Characteristic, mark string) {
	const reach = 13.0
	clamp := func(o float64) float64 { return math.Min(math.Max(d.y.of(o), 4), d.height-4) }
	if !math.IsInf(e.Lower, 0) && !math.IsInf(e.Upper, 0) {
		low, high := clamp(e.Lower), clamp(e.Upper)
		d.rect("band", x-reach, math.Min(low, high), 2*reach, math.Abs(high-low))
		d.line("limit", point{x - reach, low}, point{x + reach, low})
		d.line("limit", point{x - reach, high}, point{x + reach, high})
	}
	u := words.Coverage * e.StdUncertainty
	one, other := clamp(e.Value-u), clamp(e.Value+u)
	d.whisker("whisk "+words.Verdict(e.Verdict), x, one, other)
	d.diamond(mark, point{x, clamp(e.Value)}, 6, "data-error", num(d.y.of(e.Value)))
	below := math.Max(one, other) + 4 // beside the whisker's end that is farther from the line
	if d.y.of(e.Value) < d.y.at {
		below = math.Min(one, other) - 4
	}
	d.text("strong e", point{x - 20, math.Min(math.Max(below, 31), d.height-12)}, words.Value(e))
}
