package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// formulas are those that are recorded as one step, each with the same made of single operations
// on numbers or on lines (a second way), and its inputs' usual values.
var formulas = map[string]struct {
	inputs []float64
	once   func(q []quantity) quantity
	twice  func(x []float64) float64
}{
	"dot": {[]float64{2, 3, 5, 7}, func(q []quantity) quantity { return vector{q[0], q[1]}.dot(vector{q[2], q[3]}) },
		func(x []float64) float64 { return x[0]*x[2] + x[1]*x[3] }},
	"cross": {[]float64{2, 3, 5, 7}, func(q []quantity) quantity { return vector{q[0], q[1]}.cross(vector{q[2], q[3]}) },
		func(x []float64) float64 { return x[0]*x[3] - x[1]*x[2] }},
	"angleTo": {[]float64{2, -3, 5, 1}, func(q []quantity) quantity { return vector{q[0], q[1]}.angleTo(vector{q[2], q[3]}) },
		func(x []float64) float64 { return math.Atan2(x[3], x[2]) - math.Atan2(x[1], x[0]) }},
	"yAt": {[]float64{0.02, 0.99, 40, 300}, func(q []quantity) quantity { return lineOfQuantities(q).yAt(q[3]) },
		func(x []float64) float64 { return (x[2] - x[0]*x[3]) / x[1] }},
	"meet x": {[]float64{0.03, 0.98, 40, 0.97, -0.02, 500}, func(q []quantity) quantity { return meet(lineOfQuantities(q), lineOfQuantities(q[3:])).x },
		func(x []float64) float64 { return (x[2]*x[4] - x[5]*x[1]) / (x[0]*x[4] - x[1]*x[3]) }},
	"meet y": {[]float64{0.03, 0.98, 40, 0.97, -0.02, 500}, func(q []quantity) quantity { return meet(lineOfQuantities(q), lineOfQuantities(q[3:])).y },
		func(x []float64) float64 { return (x[5]*x[0] - x[2]*x[3]) / (x[0]*x[4] - x[1]*x[3]) }},
	"ahead": {[]float64{0.99, 0.02, 90, 80, 12}, func(q []quantity) quantity { return lineOfQuantities(q).ahead(vector{q[3], q[4]}) },
		func(x []float64) float64 { return (x[2]-x[1]*x[4])/x[0] - x[3] }},
	"crossing": {[]float64{0.02, 0.99, 40, 0.03, 0.98, 60, 500}, func(q []quantity) quantity { return lineOfQuantities(q).crossing(lineOfQuantities(q[3:]), q[6]) },
		func(x []float64) float64 { // the place on the centre line, then along its normal to the side
			px, py := x[1]*x[6]+x[0]*x[2], x[1]*x[2]-x[0]*x[6]
			return (x[5] - x[3]*px - x[4]*py) / (x[3]*x[0] + x[4]*x[1])
		}},
	"straight": {[]float64{10, 3, 800, -4, 550}, func(q []quantity) quantity { return straight(vector{q[0], q[1]}, vector{q[2], q[3]}, q[4]) },
		func(x []float64) float64 { return x[1] + (x[3]-x[1])*(x[4]-x[0])/(x[2]-x[0]) }},
	"turn": {[]float64{0.3}, func(q []quantity) quantity { m := turn(q[0]); return m.cos.times(m.sin) },
		func(x []float64) float64 { return math.Sin(2*x[0]) / 2 }},
	"angle between two patterns": {[]float64{10, 3, 70, -5, 41, 30, 13, 5, 72, 1, 40, 38}, func(q []quantity) quantity {
		a, b := places(q[:6]), places(q[6:])
		return angleBetween(a, b, centroid(a), centroid(b))
	}, turnByHalving},
	"shift": {[]float64{0.9, 0.4, 3, 5, 7, 8}, func(q []quantity) quantity {
		m := motion{cos: q[0], sin: q[1]}
		p, to := vector{q[2], q[3]}, vector{q[4], q[5]}
		m.sx, m.sy = m.shiftX(p, to), m.shiftY(p, to)
		return m.sx.times(m.sy)
	}, func(x []float64) float64 {
		return (x[4] - x[0]*x[2] + x[1]*x[3]) * (x[5] - x[1]*x[2] - x[0]*x[3])
	}},
	"motion there, on and back": {[]float64{0.9, 0.4, 3, 5, 7, 8}, func(q []quantity) quantity {
		m := motion{cos: q[0], sin: q[1], sx: q[2], sy: q[3]}
		twice := m.then(m)
		p := m.undo(twice.place(vector{q[4], q[5]}))
		return p.x.plus(p.y.scaled(2))
	}, func(x []float64) float64 { // undone by the turned axes, which is exact where cos and sin are of one angle
		c, s := x[0], x[1]
		size := c*c + s*s
		return size*(c*x[4]-s*x[5]) + c*(c*x[2]-s*x[3]) + s*(s*x[2]+c*x[3]) +
			2*(size*(s*x[4]+c*x[5])-s*(c*x[2]-s*x[3])+c*(s*x[2]+c*x[3]))
	}},
	"middle of two sides, x": {twoSides, func(q []quantity) quantity { mid, _ := halveQuantities(q); return mid.n.x },
		func(x []float64) float64 { return -math.Sin((math.Atan(x[1]) + math.Atan(x[3])) / 2) }},
	"middle of two sides, d": {twoSides, func(q []quantity) quantity { mid, _ := halveQuantities(q); return mid.d },
		func(x []float64) float64 { // where the bisector crosses the y axis: both sides are as far from there
			turn := (math.Atan(x[1]) + math.Atan(x[3])) / 2
			first, second := distanceOf(x[0], x[1], 300), distanceOf(x[2], x[3], 280)
			return (first + second) / (2 * math.Cos(turn-math.Atan(x[1])))
		}},
	"taper's turn": {twoSides, func(q []quantity) quantity { _, t := halveQuantities(q); return t.sin },
		func(x []float64) float64 { return math.Sin((math.Atan(x[3]) - math.Atan(x[1])) / 2) }},
	"taper's other": {twoSides, func(q []quantity) quantity { _, t := halveQuantities(q); return t.cos },
		func(x []float64) float64 { return math.Cos((math.Atan(x[3]) - math.Atan(x[1])) / 2) }},
	"half width": {twoSides, func(q []quantity) quantity { _, t := halveQuantities(q); return t.half },
		func(x []float64) float64 { return (distanceOf(x[2], x[3], 280) - distanceOf(x[0], x[1], 300)) / 2 }},
	"width": {[]float64{0.012, 0.998, 27, 400}, func(q []quantity) quantity { return taper{q[0], q[1], q[2]}.width(q[3]) },
		func(x []float64) float64 {
			treble, bass := (x[2]+x[0]*x[3])/x[1], (-x[2]-x[0]*x[3])/x[1]
			return treble - bass
		}},
}

// places are the vectors of pairs of quantities.
func places(q []quantity) []vector {
	var list []vector
	for i := 0; i < len(q); i += 2 {
		list = append(list, vector{q[i], q[i+1]})
	}
	return list
}

// turnByHalving is the angle that brings three places nearest to three others, both about their centroids, found
// where the derivative of the sum of squares by the angle changes its sign.
func turnByHalving(x []float64) float64 {
	about := func(x []float64) []float64 {
		out := make([]float64, len(x))
		for i := range x {
			out[i] = x[i] - (x[i%2]+x[i%2+2]+x[i%2+4])/3
		}
		return out
	}
	a, b := about(x[:6]), about(x[6:])
	low, high := -1.5, 1.5
	for range 60 {
		mid := (low + high) / 2
		sin, cos := math.Sincos(mid)
		slope := 0.0
		for i := 0; i < 6; i += 2 {
			px, py := cos*a[i]-sin*a[i+1], sin*a[i]+cos*a[i+1]
			slope += (px-b[i])*-py + (py-b[i+1])*px
		}
		if slope > 0 {
			high = mid
		} else {
			low = mid
		}
	}
	return (low + high) / 2
}

// twoSides are the a and b of a bass and of a treble side.
var twoSides = []float64{30, -0.02, 80, 0.013}

func lineOfQuantities(q []quantity) line { return line{n: vector{q[0], q[1]}, d: q[2]} }

func halveQuantities(q []quantity) (line, taper) {
	return halve(leaning{q[0], q[1], 300}, leaning{q[2], q[3], 280})
}

// distanceOf is how far the side y = a + b (x - c) stands from the frame's zero.
func distanceOf(a, b, c float64) float64 { return (a - b*c) * math.Cos(math.Atan(b)) }

// Values against a second way and gradients against central differences of it (gonum diff/fd), at
// random places around the usual ones.
func TestFormulasOfOneStep(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for name, f := range formulas {
		for range 20 {
			x := make([]float64, len(f.inputs))
			tp := newTape(len(x))
			q := make([]quantity, len(x))
			for i := range x {
				x[i] = f.inputs[i] * (1 + 0.2*rng.NormFloat64())
				q[i] = tp.unknown(i, x[i])
			}
			y := f.once(q)
			if want := f.twice(x); math.Abs(y.v-want) > 1e-12*(1+math.Abs(want)) {
				t.Errorf("%s is %v, by a second way %v", name, y.v, want)
			}
			want := fd.Gradient(nil, f.twice, x, &fd.Settings{Formula: fd.Central})
			for i, g := range tp.gradient(y) {
				if math.Abs(g-want[i]) > 1e-5*(1+math.Abs(want[i])) { // central differences of values near 1000
					t.Errorf("%s by input %d is %v, by differences %v", name, i, g, want[i])
				}
			}
		}
	}
}

// The sides seen along their bisector are the sides carried there.
func TestTaperIsTheSidesInTheirOwnFrame(t *testing.T) {
	tp := newTape(4)
	q := make([]quantity, 4)
	for i, v := range twoSides {
		q[i] = tp.unknown(i, v)
	}
	mid, slim := halveQuantities(q)
	own := axes(mid)
	sides := [2]leaning{{q[0], q[1], 300}, {q[2], q[3], 280}}
	other := bisector(sides[0].line(), sides[1].line())
	if math.Abs(mid.d.v-other.d.v)+math.Abs(mid.n.x.v-other.n.x.v)+math.Abs(mid.n.y.v-other.n.y.v) > 1e-12 {
		t.Errorf("the bisector is %v, by way of the sides' normals %v", mid, other)
	}
	for i, got := range slim.sides() {
		want := own.line(sides[i].line())
		for _, pair := range [][2]quantity{{got.n.x, want.n.x}, {got.n.y, want.n.y}, {got.d, want.d}} {
			if math.Abs(pair[0].v-pair[1].v) > 1e-12*(1+math.Abs(pair[1].v)) {
				t.Errorf("side %d: %v, carried %v", i, pair[0].v, pair[1].v)
			}
			a, b := tp.gradient(pair[0]), tp.gradient(pair[1])
			for j := range a {
				if math.Abs(a[j]-b[j]) > 1e-9*(1+math.Abs(b[j])) {
					t.Errorf("side %d by unknown %d: %v, carried %v", i, j, a[j], b[j])
				}
			}
		}
	}
}

// Several gradients at a time are those taken one by one, also after a tape with more unknowns.
func TestGradientsSideBySide(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	tp := new(tape)
	for _, unknowns := range []int{9, 3, 12, 5} {
		tp.reset(unknowns)
		q := make([]quantity, unknowns, 60)
		for i := range q {
			q[i] = tp.unknown(i, rng.NormFloat64())
		}
		for len(q) < cap(q) {
			a, b := q[rng.IntN(len(q))], q[rng.IntN(len(q))]
			q = append(q, a.times(b).plus(a.scaled(0.3)).minus(constant(1)))
		}
		q = append(q, constant(2))
		for range 20 {
			some := make([]quantity, 1+rng.IntN(lanes))
			for k := range some {
				some[k] = q[rng.IntN(len(q))]
			}
			got := tp.gradients(some)
			for k := range some {
				for u, want := range tp.gradient(some[k]) {
					if got[u][k] != want {
						t.Fatalf("lane %d, unknown %d of %d: %v, alone %v", k, u, unknowns, got[u][k], want)
					}
				}
			}
		}
	}
}
