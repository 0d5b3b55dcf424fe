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

// unknownsOf lists the unknowns among coordinates.
func unknownsOf(coords ...Coord) []int {
	var list []int
	for _, c := range coords {
		if !c.known {
			list = append(list, c.unknown)
		}
	}
	return list
}
