package draw

import (
	"math"
	"sort"
)

// hatchPitch is between hatch lines and hatchWidth the stroke of one, in mm: fine enough to show
// in a 6 mm plug, coarse enough to leave the cross-hair readable.
const (
	hatchPitch = 1.1
	hatchWidth = 0.1
)

// ring is a circle as a polygon whose corners lie on it; with 72 sides it falls short of the
// circle by a thousandth of the radius, which a hatch does not show.
func ring(centre Point, r float64) []Point {
	const sides = 72
	points := make([]Point, sides)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		points[i] = centre.plus(Point{r * cos, r * sin})
	}
	return points
}

// maxHatch bounds the lines of one hatch, so that an outline of absurd size costs no absurd file.
const maxHatch = 2000

// hatch fills a polygon with lines at 45 degrees. They are spaced from the page's corner, so
// that neighbouring hatches line up.
func hatch(c canvas, polygon []Point, s Style) {
	normal, along := Point{math.Sqrt2 / 2, math.Sqrt2 / 2}, Point{math.Sqrt2 / 2, -math.Sqrt2 / 2}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range polygon {
		low, high = math.Min(low, p.dot(normal)), math.Max(high, p.dot(normal))
	}
	if high-low > maxHatch*hatchPitch {
		return
	}
	line := Style{Ink: s.Ink, Width: hatchWidth}
	for k := math.Ceil(low / hatchPitch); k*hatchPitch < high; k++ {
		d := k * hatchPitch
		cuts := crossings(polygon, normal, along, d)
		for i := 0; i+1 < len(cuts); i += 2 {
			base := normal.times(d)
			c.path([]Point{base.plus(along.times(cuts[i])), base.plus(along.times(cuts[i+1]))}, false, line)
		}
	}
}

// crossings are the places, sorted along the direction, where the line normal.p = d enters and
// leaves a polygon.
func crossings(polygon []Point, normal, along Point, d float64) []float64 {
	var cuts []float64
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		a, b := p.dot(normal)-d, q.dot(normal)-d
		if (a < 0) != (b < 0) {
			cuts = append(cuts, p.along(q, a/(a-b)).dot(along))
		}
	}
	sort.Float64s(cuts)
	return cuts
}
