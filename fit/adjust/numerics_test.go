package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// What the equations give, and what is left of what was read, add up to that; the worst component has the condition number told.
func TestFittedAndResiduals(t *testing.T) {
	p := edges(rand.New(rand.NewPCG(71, 72)).NormFloat64)
	p.Rows = append(p.Rows, Row{Value: 5, Sigma: 0.1, Terms: []Term{{4, 2}}}, Row{Value: 5.3, Sigma: 0.1, Terms: []Term{{4, 2}}})
	p.Start = append(p.Start, 0)
	s := mustSolve(t, p, Options{})
	for i, row := range p.Rows {
		fitted := 0.0
		for _, term := range row.Terms {
			fitted += term.Coef * s.X[term.Unknown]
		}
		if row.Model != nil {
			fitted = row.Model.Eval(s.X, make([]float64, len(s.X)))
		}
		near(t, "residual", s.Residuals[i], row.Value-fitted, 1e-9)
	}
	near(t, "mean", s.X[4], 5.15/2, 1e-12)
	near(t, "its deviation", sd(s, 4), 0.1/2/math.Sqrt2, 1e-12)
	one := mustSolve(t, &Problem{Start: []float64{9}, Rows: []Row{{Value: 5, Sigma: 0.1, Terms: []Term{{0, 1}}}}}, Options{})
	if one.Condition != 1 || one.Iterations != 1 || s.Condition < 1 || s.Iterations < 2 {
		t.Errorf("condition %v and %v, %d and %d steps", one.Condition, s.Condition, one.Iterations, s.Iterations)
	}
	// Columns (1, 1) and (1, 1 + d) of length 1 have singular values whose ratio is 2/d, nearly; R and its inverse bound it from above.
	for _, d := range []float64{0.1, 1e-3} {
		p := &Problem{Start: []float64{0, 0}, Rows: []Row{{Value: 1, Sigma: 1, Terms: []Term{{0, 1}, {1, 1}}}, {Value: 1, Sigma: 1, Terms: []Term{{0, 1}, {1, 1 + d}}}}}
		c := math.Sqrt2 * math.Hypot(1, 1+d) // the columns' cosine is (2 + d) over this
		worst := math.Sqrt((1 + (2+d)/c) / (1 - (2+d)/c))
		if got := mustSolve(t, p, Options{}).Condition; got < worst*(1-1e-6) || got > 2*worst {
			t.Errorf("condition %v, by hand %v", got, worst)
		}
	}
}

// One unknown by itself comes out in closed form as it does by factors: weighted means, by coefficients of any size; a column that says
// nothing, or that moves less than a deviation within the reach, leaves it free.
func TestOneUnknown(t *testing.T) {
	for _, size := range []float64{1, 1e-3, 1e4, 1e-120, 1e120} {
		p := &Problem{Start: []float64{3 / size}, Rows: []Row{
			{Value: 10, Sigma: 0.1, Terms: []Term{{0, size}}}, {Value: 21, Sigma: 0.2, Terms: []Term{{0, size}, {0, size}}}, {Value: -9, Sigma: 0.3, Terms: []Term{{0, -size}}},
		}}
		s := mustSolve(t, p, Options{})
		// Weights 100, 25 and 11.11 of 10, 21/2 (by twice the coefficient: four times the weight) and 9.
		sum := 100 + 100 + 1/0.09
		near(t, "mean", s.X[0]*size, (1000+1050+9/0.09)/sum, 1e-9)
		near(t, "its deviation", s.Uncertainty([]float64{size}).Independent/s.Scale, 1/math.Sqrt(sum), 1e-9)
		for i, leverage := range []float64{100 / sum, 100 / sum, 1 / 0.09 / sum} {
			near(t, "redundancy", s.Redundancy(i), 1-leverage, 1e-9)
		}
		if s.DOF != 2 || len(s.Null) != 0 {
			t.Errorf("%g: dof %d, null %v", size, s.DOF, s.Null)
		}
	}
	for _, c := range []struct {
		coef, reach float64
		free        bool
	}{{0, 0, true}, {1, 0, false}, {1, 0.9, true}, {1, 1.1, false}, {10, 0.09, true}, {10, 0.11, false}} {
		p := &Problem{Start: []float64{7}, Rows: []Row{{Value: 8, Sigma: 1, Terms: []Term{{0, c.coef}}}}}
		if c.reach > 0 {
			p.Reach = []float64{c.reach}
		}
		s := mustSolve(t, p, Options{})
		if free := len(s.Free()) > 0; free != c.free || s.Estimable([]float64{1}) == c.free || c.free && s.X[0] != 7 {
			t.Errorf("coefficient %v, reach %v: free %v, at %v", c.coef, c.reach, free, s.X)
		}
	}
}

// Free directions are of length 1, square to each other and felt by no row, whatever the scales of their unknowns; the correction to the
// start is square to them when counted in the reach, or in lengths of columns.
func TestFreeDirections(t *testing.T) {
	r := rand.New(rand.NewPCG(73, 74))
	for k := range 60 {
		n := 4 + r.IntN(3)
		p := &Problem{Start: make([]float64, n)}
		scale := make([]float64, n)
		for j := range n {
			p.Start[j], scale[j] = r.NormFloat64(), math.Pow(10, 2*r.Float64()-2)
		}
		if k%2 == 0 {
			p.Reach = make([]float64, n)
			for j := range n {
				p.Reach[j] = 1e4 * (1 + r.Float64()) * scale[j]
			}
		}
		for range n - 2 {
			row := Row{Value: r.NormFloat64(), Sigma: 2}
			for j := range n {
				row.Terms = append(row.Terms, Term{j, r.NormFloat64() / scale[j]})
			}
			p.Rows = append(p.Rows, row)
		}
		s := mustSolve(t, p, Options{})
		if len(s.Null) != 2 || s.DOF != 0 {
			t.Fatalf("%d free directions, dof %d", len(s.Null), s.DOF)
		}
		near(t, "one's length", norm(s.Null[0]), 1, 1e-12)
		near(t, "the other's length", norm(s.Null[1]), 1, 1e-12)
		near(t, "their product", dot(s.Null[0], s.Null[1]), 0, 1e-9)
		for i, row := range p.Rows {
			near(t, "fitted", s.Residuals[i], 0, 1e-9)
			for _, d := range s.Null {
				moves, of := 0.0, 0.0
				for _, term := range row.Terms {
					moves += term.Coef * d[term.Unknown]
					of += math.Abs(term.Coef * d[term.Unknown])
				}
				near(t, "what a row feels of a free direction", moves/of, 0, 1e-9)
			}
		}
		for _, d := range s.Null {
			product, of := 0.0, 0.0
			for j := range n {
				unit := 0.0 // what counts as one: the reach, or one over the column's length
				for _, row := range p.Rows {
					unit = math.Hypot(unit, row.Terms[j].Coef/row.Sigma)
				}
				unit = 1 / unit
				if p.Reach != nil {
					unit = p.Reach[j]
				}
				by := (s.X[j] - p.Start[j]) / unit * d[j] / unit
				product, of = product+by, of+math.Abs(by)
			}
			near(t, "the correction along a free direction", product/of, 0, 1e-6)
		}
	}
}

// One point on a line, read with any deviation: the correction to the start is the shortest, counted in lengths of columns; with a reach
// in reaches. By hand, 2 mm are missing, to which the value gives a share and the slope twice its own.
func TestShortestCorrection(t *testing.T) {
	for _, sigma := range []float64{0.1, 1, 10} {
		for _, c := range []struct{ reach, want []float64 }{
			{nil, []float64{11, 1}},
			{[]float64{1000, 500}, []float64{11, 1}}, // as the columns' lengths
			{[]float64{1000, 1000}, []float64{10 + 2.0/5, 0.5 + 4.0/5}},
			{[]float64{1000, 250}, []float64{10 + 2*4.0/5, 0.5 + 2.0/10}},
		} {
			p := &Problem{Start: []float64{10, 0.5}, Reach: c.reach, Rows: []Row{{Value: 13, Sigma: sigma, Terms: OnLine(0, 1, 100, 102)}}}
			s := mustSolve(t, p, Options{})
			if diff := cmp.Diff(c.want, s.X, cmpopts.EquateApprox(0, 1e-11)); diff != "" {
				t.Errorf("deviation %v, reach %v (-want +got):\n%s", sigma, c.reach, diff)
			}
			if !s.Estimable([]float64{1, 2}) || s.Estimable([]float64{1, 1.99}) || s.Estimable([]float64{-1, 2}) {
				t.Errorf("deviation %v, reach %v: only the value at the point is known", sigma, c.reach)
			}
		}
	}
}

// Gram and Schmidt's process gives up on columns whose squares under- or overflow, and on one that is the rounding of the others: shorter
// by 1e-13. What is already square it keeps.
func TestGramSchmidtGivesUp(t *testing.T) {
	for _, c := range []struct {
		what string
		a    []float64 // 3 rows of 2
		ok   bool
	}{
		{"square", []float64{1, 0, 0, 1, 0, 0}, true}, {"long and short", []float64{1e6, 0, 0, 1, 0, 0}, true},
		{"all of rounding's size", []float64{1e-90, 0, 0, 1e-90, 0, 0}, true}, {"underflow", []float64{1e-101, 0, 0, 1e-101, 0, 0}, false},
		{"long", []float64{1e99, 0, 0, 1e99, 0, 0}, true}, {"overflow", []float64{1e101, 0, 0, 1e101, 0, 0}, false}, {"one overflows", []float64{1e101, 0, 0, 1e99, 0, 0}, false},
		{"hardly counts", []float64{1, 0, 0, 1.05e-13, 0, 0}, true}, {"rounding", []float64{1, 0, 0, 0.95e-13, 0, 0}, false},
		{"a column of zeros", []float64{1, 0, 2, 0, 3, 0}, false}, {"twice the same", []float64{1, 1, 2, 2, 3, 3}, false},
		{"alike to 1e-7", []float64{1, 1, 0, 1e-7, 0, 0}, true}, {"alike to 1e-9", []float64{1, 1, 0, 1e-9, 0, 0}, false},
	} {
		var mem arena
		var f factor
		if ok := f.gramSchmidt(&mem, grid{3, 2, c.a}, nil); ok != c.ok {
			t.Errorf("%s: %v", c.what, ok)
		} else if ok {
			near(t, c.what+": product", dot(f.q.row(0), f.q.row(1)), 0, 1e-14)
			near(t, c.what+": length", norm(f.q.row(1)), 1, 1e-14)
		}
	}
	// Within a reach that moves nothing by a deviation the rank is in doubt: both columns have length 1, so their directions move by
	// the reach, together by a hypotenuse.
	for reach, ok := range map[float64]bool{1.4: false, 1.42: true} {
		var mem arena
		var f factor
		if got := f.gramSchmidt(&mem, grid{3, 2, []float64{1, 0, 0, 1, 0, 0}}, []float64{reach, reach}); got != ok {
			t.Errorf("reach %v: %v", reach, got)
		}
	}
}

// The rank by singular values: scaled columns alike to 1e-9 are two, to 1e-11 one; and with a reach what moves less than a deviation
// is free.
func TestRankBySingularValues(t *testing.T) {
	for _, c := range []struct {
		apart float64
		reach []float64
		rank  int
	}{
		{3.0e-10, nil, 2}, {2.7e-10, nil, 1}, // the lesser singular value of (1, 1), (1, 1 + d) is d/2 of sqrt 2, so d/(2 sqrt 2) of the other's
		{1, []float64{1e3, 1e3}, 2}, {1, []float64{1e3, 1e-3}, 1}, {1e-4, []float64{1e3, 1e3}, 1}, {1e-2, []float64{1e3, 1e3}, 2},
	} {
		var mem arena
		var f factor
		f.singular(&mem, grid{3, 2, []float64{1, 1, 1, 1, 0, c.apart}}, c.reach)
		if f.q.rows != c.rank || len(f.null) != 2-c.rank {
			t.Errorf("%g apart, reach %v: rank %d, %d free", c.apart, c.reach, f.q.rows, len(f.null))
		}
	}
}

// Numbers that cannot be used are refused, at their limits too; and what only a programmer can have done wrong panics.
func TestLimitsOfNumbers(t *testing.T) {
	problem := func() *Problem {
		return &Problem{
			Start: []float64{0, 0}, Reach: []float64{1, 1}, Causes: []float64{0}, Places: []float64{0}, Steps: []float64{0},
			Rows: []Row{{Value: 1, Sigma: 1e-9, Place: 1, Step: 1, Terms: []Term{{0, 1}}, Shifts: []Shift{{0, 1}}}, {Value: 1, Sigma: 1, Terms: []Term{{1, 1}}}},
		}
	}
	mustSolve(t, problem(), Options{Alpha: 0.999})
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		spoil func(*Problem, float64)
		with  []float64
	}{
		"start":  {func(p *Problem, x float64) { p.Start[1] = x }, []float64{nan, inf}},
		"reach":  {func(p *Problem, x float64) { p.Reach[1] = x }, []float64{0, -1, nan, inf}},
		"cause":  {func(p *Problem, x float64) { p.Causes[0] = x }, []float64{-1e-300, nan, inf}},
		"place":  {func(p *Problem, x float64) { p.Places[0] = x }, []float64{-1e-300, nan, inf}},
		"step":   {func(p *Problem, x float64) { p.Steps[0] = x }, []float64{-1e-300, nan, inf}},
		"value":  {func(p *Problem, x float64) { p.Rows[1].Value = x }, []float64{nan, -inf}},
		"sigma":  {func(p *Problem, x float64) { p.Rows[1].Sigma = x }, []float64{0, -1, nan, inf}},
		"coef":   {func(p *Problem, x float64) { p.Rows[1].Terms[0].Coef = x }, []float64{nan, inf}},
		"shift":  {func(p *Problem, x float64) { p.Rows[0].Shifts[0].Coef = x }, []float64{nan, inf}},
		"none":   {func(*Problem, float64) {}, []float64{0}},
		"reach2": {func(p *Problem, x float64) { p.Reach = nil }, []float64{0}},
	} {
		for _, x := range c.with {
			p := problem()
			c.spoil(p, x)
			if _, err := Solve(p, Options{}); (err == nil) != (x == 0 && (name == "none" || name == "reach2")) {
				t.Errorf("%s of %v: %v", name, x, err)
			}
		}
	}
	for name, f := range map[string]func(){
		"alpha below 0":   func() { Solve(problem(), Options{Alpha: -1e-9}) },
		"alpha of 1":      func() { Solve(problem(), Options{Alpha: 1}) },
		"a reach too few": func() { p := problem(); p.Reach = p.Reach[:1]; Solve(p, Options{}) },
		"no such unknown": func() { p := problem(); p.Rows[0].Terms[0].Unknown = 2; Solve(p, Options{}) },
		"no such cause":   func() { p := problem(); p.Rows[0].Shifts[0].Cause = 1; Solve(p, Options{}) },
		"a long gradient": func() { mustSolve(t, problem(), Options{}).Uncertainty(make([]float64, 3)) },
		"a short column":  func() { mustSolve(t, problem(), Options{}).Added(make([]float64, 1)) },
		"a strange edge":  func() { FretBeside(board, Beside{Side: Side{A: 8, B: 9}}, 3, 0) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			f()
		}()
	}
}

// Points that coincide have no direction, and a point at a circle's centre none outward: slopes are zero there, and values right.
func TestModelsWithoutADirection(t *testing.T) {
	x := []float64{3, 4, 3, 4, 5}
	grad := make([]float64, 5)
	if d := DistanceBetween(0, 1, 2, 3).Eval(x, grad); d != 0 || !cmp.Equal(grad, make([]float64, 5)) {
		t.Errorf("distance %v, slopes %v", d, grad)
	}
	if d := OnCircle(Point{3, 4}, 0, 1, 4).Eval(x, grad); d != -5 || !cmp.Equal(grad, []float64{0, 0, 0, 0, -1}) {
		t.Errorf("a centre lies %v outward, slopes %v", d, grad)
	}
	// Near by they have.
	grad = make([]float64, 5)
	if d := DistanceBetween(0, 1, 2, 3).Eval([]float64{3, 4, 3.3, 3.6, 0}, grad); math.Abs(d-0.5) > 1e-12 || math.Abs(grad[0]+0.6) > 1e-12 || math.Abs(grad[3]+0.8) > 1e-12 {
		t.Errorf("distance %v, slopes %v", d, grad)
	}
	grad = make([]float64, 5)
	if d := OnCircle(Point{3.3, 3.6}, 0, 1, 4).Eval(x, grad); math.Abs(d+4.5) > 1e-12 || math.Abs(grad[0]+0.6) > 1e-12 || math.Abs(grad[1]-0.8) > 1e-12 {
		t.Errorf("%v outward, slopes %v", d, grad)
	}
	// Fret shares, of more frets than there are too.
	for n, want := range map[int]float64{-12: -1, 36: 0.875, 48: 0.9375, 7: 1 - math.Exp2(-7.0/12), 37: 1 - math.Exp2(-37.0/12)} {
		near(t, "share", FretShare(n), want, 1e-15)
	}
}
