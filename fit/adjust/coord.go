package adjust

// Coord is one coordinate of a point: an unknown or a known number. Make it with At or Fixed.
type Coord struct {
	known   bool
	unknown int
	value   float64
}

// At is the coordinate that unknown j holds.
func At(j int) Coord { return Coord{unknown: j} }

// Fixed is a known coordinate.
func Fixed(v float64) Coord { return Coord{known: true, value: v} }

func (c Coord) at(x []float64) float64 {
	if c.known {
		return c.value
	}
	return x[c.unknown]
}

// slope adds to the gradient what the coordinate contributes.
func (c Coord) slope(d float64, grad []float64) {
	if !c.known {
		grad[c.unknown] += d
	}
}

// appendTo adds the unknown, if it is one, to a list.
func (c Coord) appendTo(list []int) []int {
	if c.known {
		return list
	}
	return append(list, c.unknown)
}
