package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// A long formula of every operation: its gradient against central differences (gonum diff/fd),
// and the same again after other gradients have been taken from the same tape.
func TestGradientAgainstDifferences(t *testing.T) {
	formula := func(tp *tape, x []float64) quantity {
		q := make([]quantity, len(x))
		for i := range x {
			q[i] = tp.unknown(i, x[i])
		}
		a := vector{q[0], q[1]}
		b := vector{q[2].plus(constant(3)), q[3].scaled(0.5)}
		l := bisector(through(a, b), through(b, a.plus(vector{q[4], constant(1)})))
		s := a.cross(b).over(b.length()).plus(l.beside(a).times(q[4]))
		turn := a.angleTo(b).degrees().radians()
		return s.plus(least(q[0], q[1].plus(constant(9)))).minus(greatest(turn, q[3].negated())).plus(mean(q...).atan2(q[2]))
	}
	r := rand.New(rand.NewPCG(2, 3))
	for range 50 {
		x := make([]float64, 5)
		for i := range x {
			x[i] = 2 + float64(i) + 0.3*r.NormFloat64()
		}
		tp := newTape(len(x))
		y := formula(tp, x)
		first := tp.gradient(y)
		tp.gradient(tp.unknown(2, x[2]))
		again := tp.gradient(y)
		want := fd.Gradient(nil, func(x []float64) float64 { return formula(newTape(len(x)), x).v }, x, &fd.Settings{Formula: fd.Central})
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

func newTape(unknowns int) *tape {
	t := new(tape)
	t.reset(unknowns)
	return t
}
