package draw

import (
	"fmt"
	"strconv"
)

// drawJoin draws the line on which two sheets meet, as seen on one of them, with two numbered
// marks that lie on the same place of the template on both. Said is what to do at it.
func (g *grid) drawJoin(d *Drawing, j join, v View, said string, other int) {
	from, to := j.from.plus(v.Origin), j.to.plus(v.Origin)
	upright := j.from.X == j.to.X
	style := Style{Width: 0.2, Dash: Dashed, Ink: MidGrey}
	d.Group(Group{ID: "join-" + strconv.Itoa(j.mark), Class: "join"}, func() { d.Line(from, to, style) })
	for n, part := range []float64{0.25, 0.75} {
		d.drawJoinMark(from.along(to, part), j.mark+n, upright)
	}
	// between the second mark and the middle, where the neck's centre line often runs
	middle, f := from.along(to, 0.625), Font{Size: 2.4, Anchor: Middle, Ink: DarkGrey}
	shift := Point{0, 3.2}
	if upright {
		f.Turn = -90
		shift = Point{3.2, 0}
	}
	d.Text(middle.plus(shift), fmt.Sprintf(said, g.first+other), f)
}

// drawJoinMark draws a square standing on a corner, halved by the line, with its number on both
// sides: one half and one number stay on each sheet when it is cut.
func (d *Drawing) drawJoinMark(at Point, number int, upright bool) {
	text := strconv.Itoa(number)
	d.Group(Group{ID: "mark-" + text, Class: "mark"}, func() {
		d.Cross(at, 4, Style{Width: hairWidth})
		const half = 2.5
		d.Polygon([]Point{
			at.plus(Point{half, 0}), at.plus(Point{0, half}), at.plus(Point{-half, 0}), at.plus(Point{0, -half}),
		}, Style{Width: 0.2})
		across, along := Point{0, 4}, Point{3, 0}
		if upright {
			across, along = Point{4, 0}, Point{0, 3}
		}
		f := Font{Size: 3, Bold: true, Anchor: Middle}
		drop := Point{0, 1.1} // half a capital, to centre the writing on its place
		d.Text(at.plus(across).plus(along).plus(drop), text, f)
		d.Text(at.minus(across).plus(along).plus(drop), text, f)
	})
}
