package adjust

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// edges is two sides read at four stations each, all by one calliper, and three widths by
// another: sigma 0.1, tapering from 56 to 62. shake makes the errors.
func edges(shake func() float64) *Problem {
	p := &Problem{Start: make([]float64, 4), Causes: []float64{0.05, 0.03}}
	first, second := Side{0, 1, 200}, Side{2, 3, 200}
	truth := []float64{-28, -0.01, 31, 0.012}
	grad := make([]float64, 4)
	for _, side := range []Side{first, second} {
		for _, x := range []float64{20, 140, 270, 390} {
			y := truth[side.A] + truth[side.B]*(x-200)
			p.Rows = append(p.Rows, Row{Value: y + 0.1*shake(), Sigma: 0.1, Terms: side.On(x), Shifts: []Shift{{0, 1}}})
		}
	}
	for _, x := range []float64{30, 200, 380} {
		m := WidthAcross(first, second, x)
		p.Rows = append(p.Rows, Row{Value: m.Eval(truth, grad) + 0.1*shake(), Sigma: 0.1, Model: m, Shifts: []Shift{{1, 1}}})
	}
	return p
}

func mustSolve(t *testing.T, p *Problem, o Options) *Solution {
	t.Helper()
	s, err := Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSolveFindsTruth(t *testing.T) {
	s := mustSolve(t, edges(func() float64 { return 0 }), Options{})
	// the step before the last was within 1e-9 standard deviations
	if diff := cmp.Diff([]float64{-28, -0.01, 31, 0.012}, s.X, cmpopts.EquateApprox(0, 1e-10)); diff != "" {
		t.Errorf("exact readings (-truth +fit):\n%s", diff)
	}
	if s.DOF != 7 || len(s.Null) != 0 || s.Scale != 1 || !(s.PValue() > 0.999999) {
		t.Errorf("dof %d, null %v, scale %g, p %g", s.DOF, s.Null, s.Scale, s.PValue())
	}
}

// Redundancies sum to the degrees of freedom (trace of the projection).
func TestRedundancySums(t *testing.T) {
	s := mustSolve(t, edges(rand.New(rand.NewPCG(3, 4)).NormFloat64), Options{})
	sum := 0.0
	for i := range s.Residuals {
		sum += s.Redundancy(i)
	}
	near(t, "sum of redundancies", sum, float64(s.DOF), 1e-12) // eleven roundings
}

func TestShuffledRows(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	p := edges(r.NormFloat64)
	p.Rows[2].Value += 2
	s := mustSolve(t, p, Options{})
	order := r.Perm(len(p.Rows))
	q := &Problem{Start: p.Start, Causes: p.Causes}
	for _, i := range order {
		q.Rows = append(q.Rows, p.Rows[i])
	}
	u := mustSolve(t, q, Options{})
	// differs only by rounding: 1e-10 of lengths near 30
	same := cmpopts.EquateApprox(0, 1e-9)
	if diff := cmp.Diff(s.X, u.X, same); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]float64{s.ChiSquare, s.Scale, sd(s, 1)}, []float64{u.ChiSquare, u.Scale, sd(u, 1)}, same); diff != "" {
		t.Error(diff)
	}
	a, b := s.Suspects(), u.Suspects()
	if len(a) != 1 || len(b) != 1 || a[0].Row != 2 || order[b[0].Row] != 2 {
		t.Errorf("suspects %v, shuffled %v; want row 2", a, b)
	}
}

// Another unit of length scales lengths and leaves the rest.
func TestScaledUnits(t *testing.T) {
	p := edges(rand.New(rand.NewPCG(7, 8)).NormFloat64)
	s := mustSolve(t, p, Options{})
	const inch = 1 / 25.4
	q := &Problem{Start: p.Start, Causes: []float64{p.Causes[0] * inch, p.Causes[1] * inch}}
	for i, r := range p.Rows {
		r.Value *= inch
		r.Sigma *= inch
		if r.Model != nil {
			r.Model = WidthAcross(Side{0, 1, 200 * inch}, Side{2, 3, 200 * inch}, []float64{30, 200, 380}[i-8]*inch)
		} else {
			r.Terms = []Term{r.Terms[0], {r.Terms[1].Unknown, r.Terms[1].Coef * inch}}
		}
		q.Rows = append(q.Rows, r)
	}
	u := mustSolve(t, q, Options{})
	want := []float64{s.X[0] * inch, s.X[1], s.X[2] * inch, s.X[3], s.ChiSquare, sd(s, 0) * inch, sd(s, 1)}
	got := []float64{u.X[0], u.X[1], u.X[2], u.X[3], u.ChiSquare, sd(u, 0), sd(u, 1)}
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(1e-9, 0)); diff != "" { // rounding of the conversion, times condition
		t.Errorf("in inches (-want +got):\n%s", diff)
	}
}

// One point on a line: the value there is known, the slope is not; the correction to Start is
// the shortest.
func TestOnePointOnALine(t *testing.T) {
	p := &Problem{Start: []float64{10, 0.5}, Rows: []Row{{Value: 13, Sigma: 0.1, Terms: OnLine(0, 1, 100, 102)}}}
	s := mustSolve(t, p, Options{})
	if len(s.Null) != 1 || s.DOF != 0 || s.Scale != 1 || s.PValue() != 1 || s.Redundancy(0) != 0 {
		t.Fatalf("null %v, dof %d, scale %g, p %g, redundancy %v", s.Null, s.DOF, s.Scale, s.PValue(), s.Redundancy(0))
	}
	if diff := cmp.Diff([]int{0, 1}, s.Free()); diff != "" {
		t.Errorf("free unknowns (-want +got):\n%s", diff)
	}
	there := []float64{1, 2}
	if !s.Estimable(there) || s.Estimable([]float64{0, 1}) || s.Estimable([]float64{1, 0}) || s.Estimable([]float64{1, 2.01}) {
		t.Error("only the value at the point is estimable")
	}
	near(t, "value there", dot(there, s.X), 13, 1e-12)
	near(t, "its sd", s.Uncertainty(there).Std, 0.1, 1e-12)
	// 13 - (10 + 2*0.5) = 2 is missing; counted in lengths of their columns, 1 and 2, both unknowns move alike
	if diff := cmp.Diff([]float64{11, 1}, s.X, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("shortest correction (-want +got):\n%s", diff)
	}
}

// Widths alone leave where the sides lie free, but fix how far apart they are.
func TestWidthsAlone(t *testing.T) {
	p := edges(func() float64 { return 0 })
	p.Rows = p.Rows[8:]
	p.Start = []float64{-20, 0, 20, 0}
	p.Reach = []float64{50, 0.3, 50, 0.3}
	s := mustSolve(t, p, Options{})
	if !s.Estimable([]float64{-1, 0, 1, 0}) || s.Estimable([]float64{1, 0, 1, 0}) || s.Estimable([]float64{0, 1, 0, 1}) {
		t.Errorf("three widths fix the distance and not the place: null %v", s.Null)
	}
	if len(s.Null) != 2 || s.DOF != 1 {
		t.Errorf("null %v, dof %d; want two free directions and dof 1", s.Null, s.DOF)
	}
	if len(s.Free()) != 4 {
		t.Errorf("free %v, want all four", s.Free())
	}
}

// An unknown that no row touches stays at its start and is free; the others are not disturbed.
func TestUntouchedUnknown(t *testing.T) {
	p := edges(func() float64 { return 0 })
	p.Start = append(p.Start, 77)
	s := mustSolve(t, p, Options{})
	if s.X[4] != 77 || !cmp.Equal(s.Free(), []int{4}) || s.DOF != 7 {
		t.Errorf("x %v, free %v, dof %d", s.X, s.Free(), s.DOF)
	}
	if s.Estimable(unit(5, 4)) || !s.Estimable(unit(5, 3)) {
		t.Error("only the untouched unknown is not estimable")
	}
}

// Rows without unknowns still judge the scale.
func TestRowsWithoutUnknowns(t *testing.T) {
	p := &Problem{Rows: []Row{{Value: 0.3, Sigma: 0.1}, {Value: -0.3, Sigma: 0.1}}}
	s := mustSolve(t, p, Options{})
	if s.DOF != 2 || math.Abs(s.ChiSquare-18) > 1e-12 || s.Redundancy(0) != 1 || s.Redundancy(1) != 1 {
		t.Errorf("dof %d, chi-square %g, redundancy %v", s.DOF, s.ChiSquare, s.Redundancy(0))
	}
	near(t, "scale", s.Scale, 3, 1e-12)
}

// unscoped hides which unknowns a model depends on.
type unscoped struct{ m Model }

func (u unscoped) Eval(x, grad []float64) float64 { return u.m.Eval(x, grad) }

// Solved in parts or all together, the answer is the same.
func TestPartsChangeNothing(t *testing.T) {
	p := edges(rand.New(rand.NewPCG(9, 10)).NormFloat64)
	p.Start = append(p.Start, 0, 0)
	for _, x := range []float64{0, 50, 100} {
		p.Rows = append(p.Rows, Row{Value: 3 + x/7, Sigma: 0.2, Terms: OnLine(4, 5, 0, x), Shifts: []Shift{{0, 1}}})
	}
	s := mustSolve(t, p, Options{})
	if len(s.components) != 2 {
		t.Fatalf("%d parts, want 2", len(s.components))
	}
	for i := range p.Rows {
		if m := p.Rows[i].Model; m != nil {
			p.Rows[i].Model = unscoped{m}
		}
	}
	u := mustSolve(t, p, Options{})
	if len(u.components) != 1 {
		t.Fatalf("%d parts, want 1", len(u.components))
	}
	g := []float64{1, 10, 1, -3, 2, 40}
	want := append([]float64{s.ChiSquare, s.Uncertainty(g).Std, s.Covariance(g, unit(6, 4)), s.Residuals[9], s.Residuals[12]}, s.X...)
	got := append([]float64{u.ChiSquare, u.Uncertainty(g).Std, u.Covariance(g, unit(6, 4)), u.Residuals[9], u.Residuals[12]}, u.X...)
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(1e-9, 1e-12)); diff != "" { // rounding
		t.Errorf("parts against whole:\n%s", diff)
	}
}

// away is atan x.
type away struct{}

func (away) Eval(x, grad []float64) float64 {
	grad[0] += 1 / (1 + x[0]*x[0])
	return math.Atan(x[0])
}

func TestNoConvergence(t *testing.T) {
	// atan never reaches 2, so the unknown runs away for ever
	p := &Problem{Start: []float64{0}, Rows: []Row{{Value: 2, Sigma: 0.001, Model: away{}}}}
	if s, err := Solve(p, Options{}); !errors.Is(err, ErrNoConvergence) {
		t.Errorf("got %+v, %v; want ErrNoConvergence", s, err)
	}
	// too few steps for a problem that is not linear
	if _, err := Solve(edges(func() float64 { return 0 }), Options{MaxIterations: 1}); !errors.Is(err, ErrNoConvergence) {
		t.Errorf("one step: %v, want ErrNoConvergence", err)
	}
}

func TestRefusesNumbers(t *testing.T) {
	good := func() *Problem {
		return &Problem{Start: []float64{0}, Rows: []Row{{Value: 1, Sigma: 1, Terms: []Term{{0, 1}}, Shifts: []Shift{{0, 1}}}}, Causes: []float64{1}}
	}
	mustSolve(t, good(), Options{})
	for name, spoil := range map[string]func(*Problem){
		"value": func(p *Problem) { p.Rows[0].Value = math.NaN() },
		"sigma": func(p *Problem) { p.Rows[0].Sigma = 0 },
		"coef":  func(p *Problem) { p.Rows[0].Terms[0].Coef = math.Inf(1) },
		"shift": func(p *Problem) { p.Rows[0].Shifts[0].Coef = math.NaN() },
		"cause": func(p *Problem) { p.Causes[0] = -1 },
		"start": func(p *Problem) { p.Start[0] = math.Inf(-1) },
		"reach": func(p *Problem) { p.Reach = []float64{0} },
	} {
		p := good()
		spoil(p)
		if _, err := Solve(p, Options{}); err == nil {
			t.Errorf("bad %s was taken", name)
		}
	}
}
