package autodiff

import "math"

// Side is one as it was fitted, y = A + B (x - C).
type Side struct {
	A, B Variable
	C    float64
}

// YAt is how far toward treble the side stands at x.
func (l Side) YAt(x float64) Variable {
	return Formula(l.A.Value+l.B.Value*(x-l.C), Partial{l.A, 1}, Partial{l.B, x - l.C})
}

// hesse are the side's normal form and the derivatives of its distance: with h = 1/sqrt(1 + b^2)
// the unit normal toward treble is (-b h, h) and the distance (a - b c) h.
func (l Side) hesse() (h, d, dByA, dByB float64) {
	h = 1 / math.Sqrt(1+l.B.Value*l.B.Value)
	return h, (l.A.Value - l.B.Value*l.C) * h, h, -(l.C + l.A.Value*l.B.Value) * h * h * h
}

// Line is the side's normal form.
func (l Side) Line() Line {
	h, d, dByA, dByB := l.hesse()
	return Line{
		N: Vector{Formula(-l.B.Value*h, Partial{l.B, -h * h * h}), Formula(h, Partial{l.B, -l.B.Value * h * h * h})},
		D: Formula(d, Partial{l.A, dByA}, Partial{l.B, dByB}),
	}
}

// Taper is two sides seen along their bisector, which is the x axis: the treble side is turned
// by an angle and stands half a width off, the bass side is its mirror image.
type Taper struct{ Sin, Cos, Half Variable }

// Halve gives the bisector of two sides, bass and treble, and how they lie along it. It is Bisector
// in terms of the unknowns themselves: at angles u and v to the x axis the sides have the bisector's
// angle (u + v)/2, they are turned from it by t = (v - u)/2, and its distance is the mean of
// theirs over cos t. An angle grows by h^2 with its slope b.
func Halve(bass, treble Side) (Line, Taper) {
	hu, du, duByA, duByB := bass.hesse()
	hv, dv, dvByA, dvByB := treble.hesse()
	x, y := -(bass.B.Value*hu + treble.B.Value*hv), hu+hv
	length := math.Hypot(x, y)
	x, y = x/length, y/length
	cos, sin := length/2, (treble.B.Value-bass.B.Value)*hu*hv/length
	u, v := hu*hu/2, hv*hv/2 // half angles by slopes
	d := (du + dv) / (2 * cos)
	share, lean := 1/(2*cos), d*sin/cos
	mid := Line{
		N: Vector{Formula(x, Partial{bass.B, -y * u}, Partial{treble.B, -y * v}), Formula(y, Partial{bass.B, x * u}, Partial{treble.B, x * v})},
		D: Formula(d, Partial{bass.A, duByA * share}, Partial{treble.A, dvByA * share},
			Partial{bass.B, duByB*share - lean*u}, Partial{treble.B, dvByB*share + lean*v}),
	}
	return mid, Taper{
		Sin:  Formula(sin, Partial{bass.B, -cos * u}, Partial{treble.B, cos * v}),
		Cos:  Formula(cos, Partial{bass.B, sin * u}, Partial{treble.B, -sin * v}),
		Half: Formula((dv-du)/2, Partial{bass.A, -duByA / 2}, Partial{treble.A, dvByA / 2}, Partial{bass.B, -duByB / 2}, Partial{treble.B, dvByB / 2}),
	}
}

// Sides are the two as lines of the bisector's frame, bass and treble.
func (t Taper) Sides() [2]Line {
	return [2]Line{
		{N: Vector{t.Sin, t.Cos}, D: t.Half.Negated()},
		{N: Vector{t.Sin.Negated(), t.Cos}, D: t.Half},
	}
}

// Width is the distance between the two at x, square to the bisector.
func (t Taper) Width(x Variable) Variable {
	w, cos := t.Half.Value+t.Sin.Value*x.Value, t.Cos.Value
	w *= 2 / cos
	return Formula(w, Partial{t.Half, 2 / cos}, Partial{t.Sin, 2 * x.Value / cos}, Partial{x, 2 * t.Sin.Value / cos}, Partial{t.Cos, -w / cos})
}
