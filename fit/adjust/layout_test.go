package adjust

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// outcome is all that a solution says, in numbers.
func outcome(s *Solution) []any {
	g := make([]float64, len(s.X))
	for j := range g {
		g[j] = math.Sin(float64(j + 1))
	}
	var u Uncertainty
	s.UncertaintyInto(g, &u)
	null := append([][]float64(nil), s.Null...)
	return []any{
		s.X, s.Fitted, s.Residuals, s.Redundancy, s.DOF, s.ChiSquare, s.PValue, s.Scale, s.Condition, null, s.Iterations,
		s.Free(), s.Estimable(g), u, s.Sensitivity(g), s.Covariance(g, g), s.Suspects(),
	}
}

// A Solver that finds the last problem's layout again, or nearly, says what a new one says to the bit:
// other numbers in the same equations, another unknown in one row, a row more, no reach, closed forms
// that give up, numbers that cannot be used and the plain way in between.
func TestLayoutKept(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	draws := []func() *Problem{
		func() *Problem { return kit(r.NormFloat64) },
		func() *Problem { p := kit(r.NormFloat64); p.Reach = nil; return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[12].Terms[0].Unknown++; return p },
		func() *Problem {
			p := kit(r.NormFloat64)
			p.Rows = append(p.Rows, p.Rows[r.IntN(len(p.Rows))])
			return p
		},
		func() *Problem { p := kit(r.NormFloat64); p.Rows[4].Model = p.Rows[5].Model; return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[13].Model = constant(1); return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[11].Terms[0].Coef = 1e-4; return p },  // its unknown is free
		func() *Problem { p := kit(r.NormFloat64); p.Rows[11].Terms[0].Coef = 1e200; return p }, // whose square is no number
		func() *Problem { p := kit(r.NormFloat64); p.Rows[45].Terms[1].Coef = -30.0001; return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[14].Sigma = 0; return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[14].Terms[0].Coef = math.Inf(1); return p },
		func() *Problem { p := kit(r.NormFloat64); p.Rows[14].Shifts[0].Coef = math.NaN(); return p },
		func() *Problem { p := kit(r.NormFloat64); p.Start[9] = math.Inf(-1); return p },
		func() *Problem { return fewRows(r) },
		func() *Problem { return scattered(r) },
		func() *Problem { return weaklyFixed(r) },
	}
	var v Solver
	kept := 0
	for i := range 3000 {
		p := draws[r.IntN(len(draws))]()
		o := Options{plain: r.IntN(20) == 0}
		for range 1 + r.IntN(2) {
			if v.fits(p) {
				kept++
			}
			again, errAgain := v.Solve(p, o)
			fresh, errFresh := Solve(p, o)
			if (errAgain == nil) != (errFresh == nil) || errAgain != nil && errAgain.Error() != errFresh.Error() {
				t.Fatalf("problem %d: %v, by a new Solver %v", i, errAgain, errFresh)
			}
			if errAgain == nil && !reflect.DeepEqual(outcome(again), outcome(fresh)) {
				t.Fatalf("problem %d:\n%v, by a new Solver\n%v", i, outcome(again), outcome(fresh))
			}
		}
	}
	if kept < 500 {
		t.Errorf("a layout was kept %d times", kept)
	}
}

// An index that is not there panics also where the layout is known.
func TestNoSuchCause(t *testing.T) {
	p := kit(func() float64 { return 0 })
	var v Solver
	for range 2 {
		if _, err := v.Solve(p, Options{}); err != nil {
			t.Fatal(err)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	p.Rows[3].Shifts[0].Cause = len(p.Causes)
	_, err := v.Solve(p, Options{})
	t.Error(err)
}
