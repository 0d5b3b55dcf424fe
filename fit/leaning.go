package fit

import "math"

// leaning is a side as it was fitted, y = a + b (x - c), c a number.
type leaning struct {
	a, b quantity
	c    float64
}

// hesse are the side's normal form and the derivatives of its distance: with h = 1/sqrt(1 + b^2)
// the unit normal toward treble is (-b h, h) and the distance (a - b c) h.
func (l leaning) hesse() (h, d, dByA, dByB float64) {
	h = 1 / math.Sqrt(1+l.b.v*l.b.v)
	return h, (l.a.v - l.b.v*l.c) * h, h, -(l.c + l.a.v*l.b.v) * h * h * h
}

// line is the side's normal form.
func (l leaning) line() line {
	h, d, dByA, dByB := l.hesse()
	return line{
		n: vector{join(-l.b.v*h, by{l.b, -h * h * h}), join(h, by{l.b, -l.b.v * h * h * h})},
		d: join(d, by{l.a, dByA}, by{l.b, dByB}),
	}
}

// taper is two sides seen along their bisector, which is the x axis: the treble side is turned
// by an angle and stands half a width off, the bass side is its mirror image.
type taper struct{ sin, cos, half quantity }

// halve gives the bisector of two sides, bass and treble, and how they lie along it. It is bisector
// in terms of the unknowns themselves: at angles u and v to the x axis the sides have the bisector's
// angle (u + v)/2, they are turned from it by t = (v - u)/2, and its distance is the mean of
// theirs over cos t. An angle grows by h^2 with its slope b.
func halve(bass, treble leaning) (line, taper) {
	hu, du, duByA, duByB := bass.hesse()
	hv, dv, dvByA, dvByB := treble.hesse()
	x, y := -(bass.b.v*hu + treble.b.v*hv), hu+hv
	length := math.Hypot(x, y)
	x, y = x/length, y/length
	cos, sin := length/2, (treble.b.v-bass.b.v)*hu*hv/length
	u, v := hu*hu/2, hv*hv/2 // half angles by slopes
	d := (du + dv) / (2 * cos)
	share, lean := 1/(2*cos), d*sin/cos
	mid := line{
		n: vector{join(x, by{bass.b, -y * u}, by{treble.b, -y * v}), join(y, by{bass.b, x * u}, by{treble.b, x * v})},
		d: join(d, by{bass.a, duByA * share}, by{treble.a, dvByA * share},
			by{bass.b, duByB*share - lean*u}, by{treble.b, dvByB*share + lean*v}),
	}
	return mid, taper{
		sin:  join(sin, by{bass.b, -cos * u}, by{treble.b, cos * v}),
		cos:  join(cos, by{bass.b, sin * u}, by{treble.b, -sin * v}),
		half: join((dv-du)/2, by{bass.a, -duByA / 2}, by{treble.a, dvByA / 2}, by{bass.b, -duByB / 2}, by{treble.b, dvByB / 2}),
	}
}

// sides are the two as lines of the bisector's frame, bass and treble.
func (t taper) sides() [2]line {
	return [2]line{
		{n: vector{t.sin, t.cos}, d: t.half.negated()},
		{n: vector{t.sin.negated(), t.cos}, d: t.half},
	}
}

// width is the distance between the two at x, square to the bisector.
func (t taper) width(x quantity) quantity {
	w, cos := t.half.v+t.sin.v*x.v, t.cos.v
	w *= 2 / cos
	return join(w, by{t.half, 2 / cos}, by{t.sin, 2 * x.v / cos}, by{x, 2 * t.sin.v / cos}, by{t.cos, -w / cos})
}
