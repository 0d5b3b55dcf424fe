package draw

import "fmt"

// bar is the length of the check bars, in mm.
const bar = 100

// furnish adds what every sheet has: the heading, the check bars, and what to check by them.
func (t *Template) furnish(p *page, number, total int) {
	b := p.printable()
	b.Min.X += sideBand
	t.heading(&p.drawing, b, fmt.Sprintf("Sheet %d of %d", number, total))
	across := Point{b.Min.X, b.Max.Y - 6}
	p.drawing.checkBar(across, Point{1, 0}, "bar-across")
	down := Point{b.Min.X - 4, p.window().centre().Y - bar/2}
	p.drawing.checkBar(down, Point{0, 1}, "bar-down")
	said := "Print at 100 %, not fitted to the page. Both bars must measure 100 mm on the paper: if not, do not drill."
	if number > 1 {
		said += " Read sheet 1 first."
	}
	f := Font{Size: 2.4}
	for i, line := range wrap(said, f, b.Max.X-across.X-bar-8, 4) {
		p.drawing.Text(Point{across.X + bar + 8, b.Max.Y - 8 + 3*float64(i)}, line, f)
	}
}

// heading names the kit at the left and the sheet at the right; the word MIRRORED stands between.
func (t *Template) heading(d *Drawing, b Box, sheet string) {
	big := Font{Size: 4.4, Bold: true}
	y, right := b.Min.Y+3.8, b.Max.X
	atRight := big
	atRight.Anchor = Right
	d.Text(Point{right, y}, sheet, atRight)
	right -= Width(sheet, big) + 5
	if t.Left {
		const word = "MIRRORED"
		w := Width(word, big) + 4
		box := Box{Point{right - w, b.Min.Y - 0.6}, Point{right, b.Min.Y + 5.2}}
		d.Group(Group{ID: "mirrored", Class: "mirrored"}, func() {
			d.Polygon(box.corners(), Style{Width: 0.5})
			d.Text(Point{right - 2, y}, word, atRight)
		})
		right -= w + 5
	}
	kit := t.Kit
	if readable(kit) == "" {
		kit = "kit without a name"
	}
	d.Text(Point{b.Min.X, y}, shorten(kit, big, right-b.Min.X), big)
	line := "Drill template, full size (1:1)"
	if t.Left {
		line += ", for a left-handed instrument"
	}
	if t.Scale != "" {
		line += ". " + t.Scale
	}
	small := Font{Size: 2.7}
	d.Text(Point{b.Min.X, b.Min.Y + 8.6}, shorten(line, small, b.Width()), small)
}

// checkBar draws a bar of exactly 100 mm with a tick every 10 mm, along a unit vector.
func (d *Drawing) checkBar(from, along Point, id string) {
	to := from.plus(along.times(bar))
	out := Point{along.Y, along.X} // to the foot of the page, or to its right
	d.Group(Group{ID: id, Class: "bar"}, func() {
		d.Line(from, to, Style{Width: 0.3})
		for k := 0; k <= 10; k++ {
			at, tick := from.plus(along.times(float64(k)*10)), 1.0
			if k%5 == 0 {
				tick = 2
			}
			d.Line(at.minus(out.times(tick)), at.plus(out.times(tick)), Style{Width: 0.2})
		}
	})
	f := Font{Size: 2.4, Anchor: Middle}
	place := Point{0, 4.6}
	if along.Y != 0 {
		f.Turn = -90
		place = Point{-2.6, 0}
	}
	d.Text(from.along(to, 0.25).plus(place), "100 mm", f)
}
