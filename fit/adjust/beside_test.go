package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

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
