package adjust

import "math"

type distance struct{ x1, y1, x2, y2 Coord }

// DistanceBetween is the distance of two points in a plane, sqrt((x2-x1)^2 + (y2-y1)^2), each
// coordinate an unknown or fixed. Where the points coincide it has no direction and its
// derivatives are taken as zero, so start them apart.
func DistanceBetween(x1, y1, x2, y2 Coord) Model { return distance{x1, y1, x2, y2} }

func (d distance) AppendUnknowns(list []int) []int {
	return d.y2.appendTo(d.x2.appendTo(d.y1.appendTo(d.x1.appendTo(list))))
}

func (d distance) Eval(x, grad []float64) float64 {
	dx, dy := d.x2.at(x)-d.x1.at(x), d.y2.at(x)-d.y1.at(x)
	length := math.Hypot(dx, dy)
	if length == 0 {
		return 0
	}
	d.x1.slope(-dx/length, grad)
	d.x2.slope(dx/length, grad)
	d.y1.slope(-dy/length, grad)
	d.y2.slope(dy/length, grad)
	return length
}
