package adjust

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A Solver that has seen a problem's size asks for no more memory, nor do the questions of a verdict.
func TestNoMemoryIsAskedForAgain(t *testing.T) {
	p := kit(rand.New(rand.NewPCG(3, 4)).NormFloat64)
	p.Start, p.Reach = append(p.Start, 7), append(p.Reach, 100) // read by no row
	var v Solver
	s, err := v.Solve(p, Options{})
	if err != nil || len(s.Null) != 1 {
		t.Fatal(s, err)
	}
	full := gradients(p)
	u := Uncertainty{Common: make([]float64, 0, len(p.Causes))}
	for name, f := range map[string]func(){
		"Solve": func() {
			if _, err := v.Solve(p, Options{}); err != nil {
				t.Fatal(err)
			}
		},
		"Estimable":       func() { s.Estimable(full[0]) },
		"UncertaintyInto": func() { s.UncertaintyInto(full[0], &u) },
		"Suspects":        func() { s.Suspects() },
	} {
		if n := testing.AllocsPerRun(20, f); n != 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}

// What a Solver hands out stays as it is until its next Solve, also when slabs have to grow, and
// solving a large problem between two small ones changes nothing.
func TestSolverAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	small, large := shaken(r), kit(r.NormFloat64)
	var v Solver
	first, err := v.Solve(small, Options{})
	if err != nil {
		t.Fatal(err)
	}
	x, chi2 := append([]float64(nil), first.X...), first.ChiSquare
	if _, err = v.Solve(large, Options{Alpha: 0.2}); err != nil {
		t.Fatal(err)
	}
	again, err := v.Solve(small, Options{})
	if err != nil || again.ChiSquare != chi2 {
		t.Errorf("chi-square %g, then %g (%v)", chi2, again.ChiSquare, err)
	}
	for j := range x {
		if again.X[j] != x[j] {
			t.Errorf("unknown %d is %g, then %g", j, x[j], again.X[j])
		}
	}
}

// Columns nearly alike are made square to working precision, and what is too near for that is given up.
func TestGramSchmidtIsSquare(t *testing.T) {
	r := rand.New(rand.NewPCG(35, 36))
	given := 0
	for range 2000 {
		var mem arena
		rows, cols := 4+r.IntN(10), 2+r.IntN(3)
		a := mem.grid(rows, cols)
		apart := math.Pow(10, -10*r.Float64())
		for i := range rows {
			common := r.NormFloat64()
			for j := range cols {
				a.row(i)[j] = common + apart*r.NormFloat64()
			}
		}
		var f factor
		if !f.gramSchmidt(&mem, a, nil) {
			given++
			continue
		}
		for k := range cols {
			for l := range cols {
				want := 0.0
				if k == l {
					want = 1
				}
				// ten units in the last place for each of three columns, see mostLost
				near(t, "product of directions", dot(f.q.row(k), f.q.row(l)), want, 5e-14)
			}
		}
	}
	if given == 0 || given > 1000 {
		t.Errorf("gave up %d of 2000", given)
	}
}

// constant is a model of no unknowns.
type constant float64

func (constant) AppendUnknowns(list []int) []int { return list }

func (c constant) Eval(_, _ []float64) float64 { return float64(c) }

// A model without unknowns is a known quantity.
func TestConstantModel(t *testing.T) {
	p := &Problem{Start: []float64{5}, Rows: []Row{
		{Value: 3.2, Sigma: 0.1, Model: constant(3)},
		{Value: 4, Sigma: 0.1, Terms: []Term{{0, 1}}},
	}}
	s := mustSolve(t, p, Options{})
	near(t, "residual", s.Residuals[0], 0.2, 1e-15)
	near(t, "unknown", s.X[0], 4, 1e-15)
	if s.DOF != 1 || s.Redundancy(0) != 1 || len(s.Null) != 0 {
		t.Errorf("dof %d, redundancy %v, null %v", s.DOF, s.Redundancy(0), s.Null)
	}
}
