package autodiff

import "math"

// Vector is a place or a direction in a frame: x along the station, y along the offset.
type Vector struct{ X, Y Variable }

// Plus is the sum.
func (a Vector) Plus(b Vector) Vector { return Vector{a.X.Plus(b.X), a.Y.Plus(b.Y)} }

// Minus is the way from b to a.
func (a Vector) Minus(b Vector) Vector { return Vector{a.X.Minus(b.X), a.Y.Minus(b.Y)} }

// Scaled is a times a number.
func (a Vector) Scaled(k float64) Vector { return Vector{a.X.Scaled(k), a.Y.Scaled(k)} }

// Times is a times a quantity.
func (a Vector) Times(k Variable) Vector { return Vector{a.X.Times(k), a.Y.Times(k)} }

// Length is that of a, see Hypot.
func (a Vector) Length() Variable { return a.X.Hypot(a.Y) }

// Dot is the scalar product.
func (a Vector) Dot(b Vector) Variable {
	return Formula(a.X.Value*b.X.Value+a.Y.Value*b.Y.Value, Partial{a.X, b.X.Value}, Partial{a.Y, b.Y.Value}, Partial{b.X, a.X.Value}, Partial{b.Y, a.Y.Value})
}

// Cross is the area of the parallelogram of a and b, positive where b is turned from a toward treble.
func (a Vector) Cross(b Vector) Variable {
	return Formula(a.X.Value*b.Y.Value-a.Y.Value*b.X.Value, Partial{a.X, b.Y.Value}, Partial{a.Y, -b.X.Value}, Partial{b.X, -a.Y.Value}, Partial{b.Y, a.X.Value})
}

// Unit is a at length 1.
func (a Vector) Unit() Vector {
	h := Constant(1).Over(a.Length())
	return a.Times(h)
}

// Direction is a turned by a quarter from y to x: the direction, tailward, of a side whose normal, toward treble, is a.
func (a Vector) Direction() Vector { return Vector{a.Y, a.X.Negated()} }

// Normal undoes Direction: it is the normal of a line whose direction is a.
func (a Vector) Normal() Vector { return Vector{a.Y.Negated(), a.X} }

// AngleTo is the angle from a to b in degrees, positive when b is turned toward treble: its tangent
// is cross over dot.
func (a Vector) AngleTo(b Vector) Variable {
	c, d := a.X.Value*b.Y.Value-a.Y.Value*b.X.Value, a.X.Value*b.X.Value+a.Y.Value*b.Y.Value
	angle := math.Atan2(c, d) * degree
	h := (c*c + d*d) / degree
	c, d = c/h, d/h
	return Formula(angle,
		Partial{a.X, d*b.Y.Value - c*b.X.Value}, Partial{a.Y, -d*b.X.Value - c*b.Y.Value}, Partial{b.X, -d*a.Y.Value - c*a.X.Value}, Partial{b.Y, d*a.X.Value - c*a.Y.Value})
}

// Middle is the place midway between two.
func Middle(a, b Vector) Vector {
	half := func(p, q Variable) Variable { return Formula((p.Value+q.Value)/2, Partial{p, 0.5}, Partial{q, 0.5}) }
	return Vector{half(a.X, b.X), half(a.Y, b.Y)}
}

// Centroid is the mean of one or more places.
func Centroid(ps []Vector) Vector {
	var roomX, roomY [usualParts]Partial
	xs, ys, x, y, share := roomX[:0], roomY[:0], 0.0, 0.0, 1/float64(len(ps))
	for _, p := range ps {
		x += p.X.Value
		y += p.Y.Value
		xs, ys = append(xs, Partial{p.X, share}), append(ys, Partial{p.Y, share})
	}
	return Vector{Formula(x*share, xs...), Formula(y*share, ys...)}
}

// Fixed is a place or direction without its uncertainty.
func (a Vector) Fixed() Vector { return Vector{Constant(a.X.Value), Constant(a.Y.Value)} }
