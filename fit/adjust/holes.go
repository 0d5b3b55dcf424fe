package adjust

// Edge says which spot of a hole a coordinate was read at, in the direction it is read in.
type Edge int

// The spots.
const (
	Centre Edge = iota // the middle
	Near               // the edge at the smaller coordinate
	Far                // the edge at the larger coordinate
)

// half is the share of the diameter from the centre to the spot.
func (e Edge) half() float64 {
	switch e {
	case Centre:
		return 0
	case Near:
		return -0.5
	case Far:
		return 0.5
	}
	panic("adjust: no such edge")
}

// Terms of a coordinate read at the spot: centre, less or plus half the diameter, both unknowns.
// For Centre the diameter is not used.
func (e Edge) Terms(centre, diameter int) []Term {
	if e == Centre {
		return []Term{{centre, 1}}
	}
	return []Term{{centre, 1}, {diameter, e.half()}}
}

// Offset is where the spot lies from the centre when the diameter is known: take it from the
// reading and the centre remains.
func (e Edge) Offset(diameter float64) float64 { return e.half() * diameter }
