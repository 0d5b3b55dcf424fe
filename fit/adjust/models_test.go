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
	for name, m := range map[string]Scoped{
		"width":          WidthAcross(bassSide, trebleSide, 400).(Scoped),
		"distance":       DistanceBetween(0, 1, 2, 3).(Scoped),
		"fret":           FretAt(board, 7, 33).(Scoped),
		"fret on centre": FretOnCentre(board, 7).(Scoped),
		"circle":         OnCircle(Point{30, 40}, 0, 2, 4).(Scoped),
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

// The derivatives against central differences (gonum diff/fd), at ten random points.
func TestBesideDerivatives(t *testing.T) {
	along := Beside{Side: trebleSide, Zero: 6}
	for name, m := range map[string]Scoped{
		"station":           along.Station(7, 8).(Scoped),
		"from":              trebleSide.From(7, 8).(Scoped),
		"fret beside":       FretBeside(board, along, 12, -1.5).(Scoped),
		"fret beside first": FretBeside(board, Beside{Side: bassSide, Zero: 6}, 12, 1.5).(Scoped),
	} {
		r := rand.New(rand.NewPCG(5, 6))
		for range 10 {
			x := append(neck(r), 20+r.NormFloat64(), 700+r.NormFloat64(), 30+r.NormFloat64())
			got := make([]float64, len(x))
			m.Eval(x, got)
			want := fd.Gradient(nil, func(x []float64) float64 {
				return m.Eval(x, make([]float64, len(x)))
			}, x, &fd.Settings{Formula: fd.Central})
			for j := range x {
				// central differences of values near 1000 are good to about 1e-6
				if math.Abs(got[j]-want[j]) > 1e-5*(1+math.Abs(want[j])) {
					t.Errorf("%s: d/dx%d = %g, by differences %g", name, j, got[j], want[j])
				}
			}
		}
	}
}

// A fret read beside a side is where FretAt puts it: the foot's station, seen along that side.
func TestFretBesideAgreesWithFretAt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	x := append(neck(r), 0)
	edge := Beside{Side: trebleSide, Zero: 6}
	grad := make([]float64, len(x))
	n := trebleSide.hesse(x)
	for _, from := range []float64{0, -3} {
		s := FretBeside(board, edge, 12, from).Eval(x, grad)
		// the spot: s along the side, d + from square to it
		px, py := s*n.ny+(n.d+from)*n.nx, -s*n.nx+(n.d+from)*n.ny
		if got := FretAt(board, 12, py).Eval(x, grad); math.Abs(got-px) > 1e-9 { // rounding of numbers near 400
			t.Errorf("from %g: station %.12g, FretAt says %.12g", from, px, got)
		}
	}
}
