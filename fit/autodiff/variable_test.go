package autodiff

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// A long formula of every operation: its gradient against central differences (gonum diff/fd),
// and the same again after other gradients have been taken from the same tape.
func TestGradientAgainstDifferences(t *testing.T) {
	formula := func(tp *Tape, x []float64) Variable {
		q := make([]Variable, len(x))
		for i := range x {
			q[i] = tp.Unknown(i, x[i])
		}
		a := Vector{X: q[0], Y: q[1]}
		b := Vector{X: q[2].Plus(Constant(3)), Y: q[3].Scaled(0.5)}
		l := Bisector(Through(a, b), Through(b, a.Plus(Vector{X: q[4], Y: Constant(1)})))
		s := a.Cross(b).Over(b.Length()).Plus(l.SignedDistance(a).Times(q[4]))
		turn := a.AngleTo(b).Radians().Degrees()
		return s.Plus(Least(q[0], q[1].Plus(Constant(9)))).Minus(Greatest(turn, q[3].Negated())).Plus(Mean(q...).Atan2(q[2]))
	}
	r := rand.New(rand.NewPCG(2, 3))
	for range 50 {
		x := make([]float64, 5)
		for i := range x {
			x[i] = 2 + float64(i) + 0.3*r.NormFloat64()
		}
		tp := newTape(len(x))
		y := formula(tp, x)
		first := slices.Clone(tp.Gradient(y))
		tp.Gradient(tp.Unknown(2, x[2]))
		again := tp.Gradient(y)
		want := fd.Gradient(nil, func(x []float64) float64 { return formula(newTape(len(x)), x).Value }, x, &fd.Settings{Formula: fd.Central})
		for i := range x {
			// central differences of values near 10 are good to about 1e-8
			if math.Abs(first[i]-want[i]) > 1e-6*(1+math.Abs(want[i])) {
				t.Errorf("d/dx%d = %g, by differences %g", i, first[i], want[i])
			}
			if first[i] != again[i] {
				t.Errorf("d/dx%d was %g, is %g", i, first[i], again[i])
			}
		}
	}
}

// A tape used again forgets what was on it, and has a gradient for what hangs on nothing, however many unknowns it has by then.
func TestTapeUsedAgain(t *testing.T) {
	tp := newTape(2)
	former := tp.Unknown(1, 5).Times(tp.Unknown(0, 4)).Times(Constant(2))
	if g := tp.Gradient(former); g[0] != 10 || g[1] != 8 {
		t.Errorf("gradient %v, by hand 10 and 8", g)
	}
	for _, unknowns := range []int{1, 40, 3} {
		tp.Reset(unknowns)
		if g := tp.Gradient(Constant(7)); len(g) != unknowns || slices.Max(g) != 0 {
			t.Errorf("a constant has the gradient %v in %d unknowns", g, unknowns)
		}
		last := tp.Unknown(unknowns-1, 3)
		if g := tp.Gradient(last.Times(last)); g[unknowns-1] != 6 || slices.ContainsFunc(g[:unknowns-1], func(slope float64) bool { return slope != 0 }) {
			t.Errorf("a square at 3 has the gradient %v", g)
		}
	}
}

func newTape(unknowns int) *Tape {
	t := new(Tape)
	t.Reset(unknowns)
	return t
}
