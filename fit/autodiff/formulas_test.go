package autodiff

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// formulas are those that are recorded as one step, each with the same made of single operations
// on numbers or on lines (a second way), and its inputs' usual values.
var formulas = map[string]struct {
	inputs []float64
	once   func(q []Variable) Variable
	twice  func(x []float64) float64
}{
	"dot": {[]float64{2, 3, 5, 7}, func(q []Variable) Variable {
		return Vector{X: q[0], Y: q[1]}.Dot(Vector{X: q[2], Y: q[3]})
	},
		func(x []float64) float64 { return x[0]*x[2] + x[1]*x[3] }},
	"cross": {[]float64{2, 3, 5, 7}, func(q []Variable) Variable {
		return Vector{X: q[0], Y: q[1]}.Cross(Vector{X: q[2], Y: q[3]})
	},
		func(x []float64) float64 { return x[0]*x[3] - x[1]*x[2] }},
	"angleTo": {[]float64{2, -3, 5, 1}, func(q []Variable) Variable {
		return Vector{X: q[0], Y: q[1]}.AngleTo(Vector{X: q[2], Y: q[3]})
	},
		func(x []float64) float64 { return (math.Atan2(x[3], x[2]) - math.Atan2(x[1], x[0])) / math.Pi * 180 }},
	"yAt": {[]float64{0.02, 0.99, 40, 300}, func(q []Variable) Variable { return lineOfQuantities(q).YAt(q[3]) },
		func(x []float64) float64 { return (x[2] - x[0]*x[3]) / x[1] }},
	"meet x": {[]float64{0.03, 0.98, 40, 0.97, -0.02, 500}, func(q []Variable) Variable {
		return Meet(lineOfQuantities(q), lineOfQuantities(q[3:])).X
	},
		func(x []float64) float64 { return (x[2]*x[4] - x[5]*x[1]) / (x[0]*x[4] - x[1]*x[3]) }},
	"meet y": {[]float64{0.03, 0.98, 40, 0.97, -0.02, 500}, func(q []Variable) Variable {
		return Meet(lineOfQuantities(q), lineOfQuantities(q[3:])).Y
	},
		func(x []float64) float64 { return (x[5]*x[0] - x[2]*x[3]) / (x[0]*x[4] - x[1]*x[3]) }},
	"ahead": {[]float64{0.99, 0.02, 90, 80, 12}, func(q []Variable) Variable {
		return lineOfQuantities(q).Ahead(Vector{X: q[3], Y: q[4]})
	},
		func(x []float64) float64 { return (x[2]-x[1]*x[4])/x[0] - x[3] }},
	"crossing": {[]float64{0.02, 0.99, 40, 0.03, 0.98, 60, 500}, func(q []Variable) Variable {
		return lineOfQuantities(q).Crossing(lineOfQuantities(q[3:]), q[6])
	},
		func(x []float64) float64 { // the place on the centre line, then along its normal to the side
			px, py := x[1]*x[6]+x[0]*x[2], x[1]*x[2]-x[0]*x[6]
			return (x[5] - x[3]*px - x[4]*py) / (x[3]*x[0] + x[4]*x[1])
		}},
	"straight": {[]float64{10, 3, 800, -4, 550}, func(q []Variable) Variable {
		return Straight(Vector{X: q[0], Y: q[1]}, Vector{X: q[2], Y: q[3]}, q[4])
	},
		func(x []float64) float64 { return x[1] + (x[3]-x[1])*(x[4]-x[0])/(x[2]-x[0]) }},
	"turn": {[]float64{0.3}, func(q []Variable) Variable { m := rotation(q[0]); return m.Cos.Times(m.Sin) },
		func(x []float64) float64 { return math.Sin(2*x[0]) / 2 }},
	"angle between two patterns": {[]float64{10, 3, 70, -5, 41, 30, 13, 5, 72, 1, 40, 38}, func(q []Variable) Variable {
		a, b := places(q[:6]), places(q[6:])
		return angleBetween(a, b, Centroid(a), Centroid(b))
	}, turnByHalving},
	"shift": {[]float64{0.9, 0.4, 3, 5, 7, 8}, func(q []Variable) Variable {
		m := Motion{Cos: q[0], Sin: q[1]}
		p, to := Vector{X: q[2], Y: q[3]}, Vector{X: q[4], Y: q[5]}
		m.ShiftX, m.ShiftY = m.shiftX(p, to), m.shiftY(p, to)
		return m.ShiftX.Times(m.ShiftY)
	}, func(x []float64) float64 {
		return (x[4] - x[0]*x[2] + x[1]*x[3]) * (x[5] - x[1]*x[2] - x[0]*x[3])
	}},
	"motion there, on and back": {[]float64{0.9, 0.4, 3, 5, 7, 8}, func(q []Variable) Variable {
		m := Motion{Cos: q[0], Sin: q[1], ShiftX: q[2], ShiftY: q[3]}
		twice := m.Then(m)
		p := m.Undo(twice.Place(Vector{X: q[4], Y: q[5]}))
		return p.X.Plus(p.Y.Scaled(2))
	}, func(x []float64) float64 { // undone by the turned axes, which is exact where cos and sin are of one angle
		c, s := x[0], x[1]
		size := c*c + s*s
		return size*(c*x[4]-s*x[5]) + c*(c*x[2]-s*x[3]) + s*(s*x[2]+c*x[3]) +
			2*(size*(s*x[4]+c*x[5])-s*(c*x[2]-s*x[3])+c*(s*x[2]+c*x[3]))
	}},
	"middle of two sides, x": {twoSides, func(q []Variable) Variable { mid, _ := halveQuantities(q); return mid.N.X },
		func(x []float64) float64 { return -math.Sin((math.Atan(x[1]) + math.Atan(x[3])) / 2) }},
	"middle of two sides, d": {twoSides, func(q []Variable) Variable { mid, _ := halveQuantities(q); return mid.D },
		func(x []float64) float64 { // where the bisector crosses the y axis: both sides are as far from there
			turn := (math.Atan(x[1]) + math.Atan(x[3])) / 2
			first, second := distanceOf(x[0], x[1], 300), distanceOf(x[2], x[3], 280)
			return (first + second) / (2 * math.Cos(turn-math.Atan(x[1])))
		}},
	"taper's turn": {twoSides, func(q []Variable) Variable { _, t := halveQuantities(q); return t.Sin },
		func(x []float64) float64 { return math.Sin((math.Atan(x[3]) - math.Atan(x[1])) / 2) }},
	"taper's other": {twoSides, func(q []Variable) Variable { _, t := halveQuantities(q); return t.Cos },
		func(x []float64) float64 { return math.Cos((math.Atan(x[3]) - math.Atan(x[1])) / 2) }},
	"half width": {twoSides, func(q []Variable) Variable { _, t := halveQuantities(q); return t.Half },
		func(x []float64) float64 { return (distanceOf(x[2], x[3], 280) - distanceOf(x[0], x[1], 300)) / 2 }},
	"width": {[]float64{0.012, 0.998, 27, 400}, func(q []Variable) Variable {
		return Taper{Sin: q[0], Cos: q[1], Half: q[2]}.Width(q[3])
	},
		func(x []float64) float64 {
			treble, bass := (x[2]+x[0]*x[3])/x[1], (-x[2]-x[0]*x[3])/x[1]
			return treble - bass
		}},
}

// places are the vectors of pairs of quantities.
func places(q []Variable) []Vector {
	var list []Vector
	for i := 0; i < len(q); i += 2 {
		list = append(list, Vector{X: q[i], Y: q[i+1]})
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

func lineOfQuantities(q []Variable) Line {
	return Line{N: Vector{X: q[0], Y: q[1]}, D: q[2]}
}

func halveQuantities(q []Variable) (Line, Taper) {
	return Halve(Side{A: q[0], B: q[1], C: 300}, Side{A: q[2], B: q[3], C: 280})
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
			q := make([]Variable, len(x))
			for i := range x {
				x[i] = f.inputs[i] * (1 + 0.2*rng.NormFloat64())
				q[i] = tp.Unknown(i, x[i])
			}
			y := f.once(q)
			if want := f.twice(x); math.Abs(y.Value-want) > 1e-12*(1+math.Abs(want)) {
				t.Errorf("%s is %v, by a second way %v", name, y.Value, want)
			}
			want := fd.Gradient(nil, f.twice, x, &fd.Settings{Formula: fd.Central})
			for i, g := range tp.Gradient(y) {
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
	q := make([]Variable, 4)
	for i, v := range twoSides {
		q[i] = tp.Unknown(i, v)
	}
	mid, slim := halveQuantities(q)
	own := FrameOf(mid)
	sides := [2]Side{{A: q[0], B: q[1], C: 300}, {A: q[2], B: q[3], C: 280}}
	other := Bisector(sides[0].Line(), sides[1].Line())
	if math.Abs(mid.D.Value-other.D.Value)+math.Abs(mid.N.X.Value-other.N.X.Value)+math.Abs(mid.N.Y.Value-other.N.Y.Value) > 1e-12 {
		t.Errorf("the bisector is %v, by way of the sides' normals %v", mid, other)
	}
	for i, got := range slim.Sides() {
		want := own.Line(sides[i].Line())
		for _, pair := range [][2]Variable{{got.N.X, want.N.X}, {got.N.Y, want.N.Y}, {got.D, want.D}} {
			if math.Abs(pair[0].Value-pair[1].Value) > 1e-12*(1+math.Abs(pair[1].Value)) {
				t.Errorf("side %d: %v, carried %v", i, pair[0].Value, pair[1].Value)
			}
			a, b := slices.Clone(tp.Gradient(pair[0])), tp.Gradient(pair[1])
			for j := range a {
				if math.Abs(a[j]-b[j]) > 1e-9*(1+math.Abs(b[j])) {
					t.Errorf("side %d by unknown %d: %v, carried %v", i, j, a[j], b[j])
				}
			}
		}
	}
}
