package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

var (
	bassSide   = Side{A: 0, B: 1, C: 250}
	trebleSide = Side{A: 2, B: 3, C: 270}
	board      = Fretboard{bassSide, trebleSide, 4, 5}
)

// neck is two edges some 60 apart, a nut at 12 and a scale of 760, at a heading of some 0.02.
func neck(r *rand.Rand) []float64 {
	return []float64{
		5 + r.NormFloat64(), 0.02 + 0.02*r.NormFloat64(),
		65 + r.NormFloat64(), 0.03 + 0.02*r.NormFloat64(),
		12 + r.NormFloat64(), 760 + r.NormFloat64(),
	}
}

// Every model's derivatives against central differences (gonum diff/fd), at ten random points.
func TestModelDerivatives(t *testing.T) {
	motion := Turned{1, 0, 2}
	for name, m := range map[string]Scoped{
		"width":            WidthAcross(bassSide, trebleSide, 400).(Scoped),
		"distance":         DistanceBetween(At(0), At(1), At(2), At(3)).(Scoped),
		"distance, fixed":  DistanceBetween(At(0), Fixed(7), Fixed(40), At(3)).(Scoped),
		"fret":             FretAt(board, 7, 33).(Scoped),
		"fret on centre":   FretOnCentre(board, 7).(Scoped),
		"moved x":          MovedX(motion, At(4), Fixed(30)).(Scoped),
		"moved y":          MovedY(motion, Fixed(30), At(4)).(Scoped),
		"moved and scaled": moved{motion, 3, At(4), At(5), true},
		"circle":           OnCircle(Point{30, 40}, 0, 2, 4).(Scoped),
	} {
		r := rand.New(rand.NewPCG(1, 2))
		for range 10 {
			x := neck(r)
			got := make([]float64, len(x))
			m.Eval(x, got)
			want := fd.Gradient(nil, func(x []float64) float64 {
				return m.Eval(x, make([]float64, len(x)))
			}, x, &fd.Settings{Formula: fd.Central})
			named := make([]bool, len(x))
			for _, j := range m.AppendUnknowns(nil) {
				named[j] = true
			}
			for j := range x {
				// central differences of values near 1000 are good to about 1e-6
				if math.Abs(got[j]-want[j]) > 1e-5*(1+math.Abs(want[j])) {
					t.Errorf("%s: d/dx%d = %g, by differences %g", name, j, got[j], want[j])
				}
				if !named[j] && got[j] != 0 {
					t.Errorf("%s depends on unknown %d and does not say so", name, j)
				}
			}
		}
	}
}

// Turning both sides about the bisector's point at the station does not change the width, and
// for sides square to the calliper it is the difference of the offsets.
func TestWidthAcrossTurns(t *testing.T) {
	side := func(px, py, angle, half, taper float64) (a, b float64) {
		// the point of the side straight across from (px, py), and its direction
		qx, qy := px-half*math.Sin(angle), py+half*math.Cos(angle)
		b = math.Tan(angle + taper)
		return qy - b*qx, b
	}
	s1, s2 := Side{A: 0, B: 1}, Side{A: 2, B: 3}
	for _, angle := range []float64{0, 0.01, -0.3, 1} {
		for _, taper := range []float64{0, 0.015} {
			x := make([]float64, 4)
			x[0], x[1] = side(120, 40, angle, -28, -taper)
			x[2], x[3] = side(120, 40, angle, 28, taper)
			got := WidthAcross(s1, s2, 120).Eval(x, make([]float64, 4))
			if math.Abs(got-56) > 1e-11 { // some roundings of numbers near 1000
				t.Errorf("turned by %g, taper %g: width %.15g, want 56", angle, taper, got)
			}
		}
	}
}

// A fret's station by geometry: walk from the nut along the bisector, then square to it.
func TestFretPosition(t *testing.T) {
	x := []float64{0, math.Tan(0.05), 60, math.Tan(0.01), 10, 700}
	b := Fretboard{Side{A: 0, B: 1}, Side{A: 2, B: 3}, 4, 5}
	theta := 0.03
	along := 10 + 700*(1-math.Pow(2, -5.0/12))
	grad := make([]float64, 6)
	station := FretAt(b, 5, 25).Eval(x, grad)
	if d := station*math.Cos(theta) + 25*math.Sin(theta) - along; math.Abs(d) > 1e-11 {
		t.Errorf("fret 5 at offset 25 is off by %g", d)
	}
	// On the centre line: the same station as FretAt at the offset where both sides are equally far.
	station = FretOnCentre(b, 5).Eval(x, grad)
	far := func(y float64) float64 {
		d1 := (y - x[1]*station - x[0]) / math.Hypot(1, x[1])
		d2 := (x[3]*station + x[2] - y) / math.Hypot(1, x[3])
		return d1 - d2
	}
	low, high := 0.0, 60.0
	for range 60 { // halving to the last bit
		if mid := (low + high) / 2; far(mid) > 0 {
			high = mid
		} else {
			low = mid
		}
	}
	if want := FretAt(b, 5, low).Eval(x, grad); math.Abs(station-want) > 1e-10 {
		t.Errorf("fret 5 on the centre line at %.12g, by its offset %.12g", station, want)
	}
}

// Fret shares: the twelfth fret halves the string (equal temperament), the nut is at 0.
func TestFretShare(t *testing.T) {
	for n, want := range map[int]float64{0: 0, 12: 0.5, 24: 0.75} {
		if got := FretShare(n); math.Abs(got-want) > 1e-15 {
			t.Errorf("FretShare(%d) = %.16g, want %g", n, got, want)
		}
	}
}
