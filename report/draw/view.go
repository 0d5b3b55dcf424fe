package draw

// Turn is which way the neck points on the page.
type Turn uint8

// The turns.
const (
	NeckUp   Turn = iota // stations run down the page; bass is on the left unless mirrored
	NeckLeft             // stations run to the right; treble is at the top unless mirrored
)

// View lays a drawing on a page, whose x runs to the right and y down, in mm from the top left
// corner. Seen from the front of a right-handed instrument, bass is on the left of a neck that
// points up; Mirrored swaps bass and treble for a left-handed one.
type View struct {
	Turn     Turn
	Mirrored bool
	Scale    float64 // 0 means 1, full size
	Origin   Point   // where on the page station 0 and offset 0 lie
}

func (v View) scale() float64 {
	if v.Scale == 0 {
		return 1
	}
	return v.Scale
}

// vector turns, mirrors and scales; it does not shift.
func (v View) vector(p Point) Point {
	if v.Mirrored {
		p.Y = -p.Y
	}
	p = p.times(v.scale())
	if v.Turn == NeckLeft {
		return Point{p.X, -p.Y}
	}
	return Point{p.Y, p.X}
}

// Apply is where on the page a point of the drawing lies.
func (v View) Apply(p Point) Point { return v.vector(p).plus(v.Origin) }

func (v View) all(points []Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = v.Apply(p)
	}
	return out
}
