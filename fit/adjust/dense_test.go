package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// dense is the equations of all unknowns together at x, whitened, in one matrix, as the textbook has them.
func dense(p *Problem, x []float64) (*mat.Dense, *mat.VecDense) {
	a, b := mat.NewDense(len(p.Rows), len(x), nil), mat.NewVecDense(len(p.Rows), nil)
	for i, r := range p.Rows {
		slopes, fitted := make([]float64, len(x)), 0.0
		for _, term := range r.Terms {
			slopes[term.Unknown] += term.Coef
			fitted += term.Coef * x[term.Unknown]
		}
		if r.Model != nil {
			fitted += r.Model.Eval(x, slopes)
		}
		for j, d := range slopes {
			a.Set(i, j, d/r.Sigma)
		}
		b.SetVec(i, (r.Value-fitted)/r.Sigma)
	}
	return a, b
}

// A second way: the same problems in one dense matrix by LAPACK's QR, with the covariance from the inverse of the
// normal equations. The solution must be stationary, and everything that is said of it must follow.
func TestAgainstDense(t *testing.T) {
	for name, draw := range map[string]func(*rand.Rand) *Problem{
		"kit":          func(r *rand.Rand) *Problem { return kit(r.NormFloat64) },
		"board":        func(r *rand.Rand) *Problem { p, _ := survey(r.NormFloat64); return p },
		"linear":       scattered,
		"wide":         wide,
		"edges":        shaken,
		"weakly fixed": weaklyFixed,
	} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(31, uint64(len(name))))
			var v Solver
			compared := 0
			for i := range 300 {
				p, o := draw(r), Options{UnknownScale: r.IntN(4) == 0, Alpha: 1e-12}
				s, err := v.Solve(p, o)
				if err != nil || len(s.Null) > 0 || s.Scale != 1 && len(s.components) > 1 || len(s.Suspects()) > 0 || s.Condition > 1e5 || o.UnknownScale && s.ChiSquare < 1e-20 {
					continue // the scale is of rounding alone
				}
				compared++
				againstDense(t, r, p, o, s)
				if t.Failed() {
					t.Fatalf("problem %d, condition %g", i, s.Condition)
				}
			}
			if compared < 10 {
				t.Errorf("%d of 300 compared", compared)
			}
		})
	}
}

func againstDense(t *testing.T, r *rand.Rand, p *Problem, o Options, s *Solution) {
	t.Helper()
	n, m := len(p.Start), len(p.Rows)
	a, b := dense(p, s.X)
	within := 1e-14 * (1e2 + s.Condition) * (1e2 + s.Condition) // normal equations have the condition's square
	near(t, "chi-square", s.ChiSquare, mat.Dot(b, b), within*(1+s.ChiSquare))
	for i := range p.Rows {
		near(t, "residual", s.Residuals[i], b.AtVec(i)*p.Rows[i].Sigma, within*(1+math.Abs(p.Rows[i].Value)))
	}
	if s.DOF != m-n {
		t.Errorf("dof %d with %d rows and %d unknowns", s.DOF, m, n)
	}
	if o.UnknownScale && len(s.components) == 1 {
		near(t, "scale", s.Scale, math.Sqrt(mat.Dot(b, b)/float64(s.DOF)), within*(1+s.Scale))
	}
	if n == 0 {
		return
	}
	var qr mat.QR
	var dx mat.VecDense
	qr.Factorize(a)
	if err := qr.SolveVecTo(&dx, false, b); err != nil {
		t.Fatal(err)
	}
	var cofactor, square, left mat.Dense
	square.Mul(a.T(), a)
	if err := cofactor.Inverse(&square); err != nil {
		t.Fatal(err)
	}
	left.Mul(&cofactor, a.T()) // the left inverse
	for j := range n {
		if sd := math.Sqrt(cofactor.At(j, j)); math.Abs(dx.AtVec(j)) > (1e-8+within)*sd*(1+norm(b.RawVector().Data)) {
			t.Errorf("unknown %d is %g standard deviations from stationary", j, dx.AtVec(j)/sd)
		}
	}
	var hat mat.Dense
	hat.Mul(a, &left)
	for i := range p.Rows {
		near(t, "redundancy", s.Redundancy(i), 1-hat.At(i, i), 1e-9+within)
	}
	g, h := make([]float64, n), make([]float64, n)
	for _, u := range r.Perm(n)[:min(n, 1+r.IntN(3))] {
		g[u], h[r.IntN(n)] = r.NormFloat64(), 1
	}
	denseUncertainty(t, p, s, &left, &hat, g, h, 1e-8+within)
}

// denseUncertainty holds what is said of two quantities against the left inverse and the variances it is made of.
func denseUncertainty(t *testing.T, p *Problem, s *Solution, left, hat *mat.Dense, g, h []float64, within float64) {
	t.Helper()
	m := len(p.Rows)
	moved := func(g []float64) (sens []float64, common []float64) {
		sens, common = make([]float64, m), make([]float64, len(p.Causes))
		for i, r := range p.Rows {
			for j, d := range g {
				sens[i] += d * left.At(j, i) / r.Sigma
			}
			for _, shift := range r.Shifts {
				common[shift.Cause] += sens[i] * shift.Coef * p.Causes[shift.Cause]
			}
		}
		return sens, common
	}
	sens, common := moved(g)
	other, commonOther := moved(h)
	own, both := 0.0, dot(common, commonOther)
	for i, r := range p.Rows {
		own += sens[i] * sens[i] * r.Sigma * r.Sigma
		both += s.Scale * s.Scale * sens[i] * other[i] * r.Sigma * r.Sigma
	}
	own = s.Scale * math.Sqrt(own)
	q, std := s.Uncertainty(g), math.Hypot(own, norm(common))
	near(t, "uncertainty", q.Std, std, within*std)
	near(t, "independent", q.Independent, own, within*std)
	near(t, "common", norm(q.Common), norm(common), within*std)
	for k := range common {
		near(t, "common of one cause", q.Common[k], common[k], within*std)
	}
	near(t, "covariance", s.Covariance(g, h), both, within*std*s.Uncertainty(h).Std)
	all := s.Covariances([][]float64{g, h})
	near(t, "covariance among several", all[0][1], both, within*std*s.Uncertainty(h).Std)
	near(t, "covariance the other way", all[1][0], both, within*std*s.Uncertainty(h).Std)
	near(t, "variance among several", all[0][0], std*std, within*std*std)
	for i, got := range s.Sensitivity(g, nil) {
		near(t, "sensitivity", got, sens[i], within*std/p.Rows[i].Sigma)
	}
	i := len(p.Rows) - 1
	shifts := make([]float64, len(p.Causes)) // of the last residual, whitened
	for k, r := range p.Rows {
		share := -hat.At(i, k)
		if k == i {
			share++
		}
		for _, shift := range r.Shifts {
			shifts[shift.Cause] += share * shift.Coef * p.Causes[shift.Cause] / r.Sigma
		}
	}
	want := p.Rows[i].Sigma * math.Sqrt(max(0, 1-hat.At(i, i))+dot(shifts, shifts))
	deviation, u := s.Deviation([]int{i})
	near(t, "deviation of a row's own place", deviation, s.Residuals[i], within*p.Rows[i].Sigma)
	near(t, "its uncertainty", u.Std, want, math.Sqrt(within)*p.Rows[i].Sigma)
}

// scattered is linear rows of one to three of up to nine unknowns, some read twice, some
// combinations of others, each unknown in a unit of its own from a thousandth to a thousand.
func scattered(r *rand.Rand) *Problem {
	n := 1 + r.IntN(9)
	p := &Problem{Start: make([]float64, n), Causes: []float64{0.3, 0, 2}}
	unit := make([]float64, n)
	for j := range unit {
		unit[j] = math.Exp(14*r.Float64() - 7)
		p.Start[j] = unit[j] * r.NormFloat64()
	}
	for range r.IntN(3 * n) {
		row := Row{Value: 10 * r.NormFloat64(), Sigma: math.Exp(r.NormFloat64()), Shifts: []Shift{{r.IntN(3), r.NormFloat64()}}}
		for _, j := range r.Perm(n)[:min(n, 1+r.IntN(3))] {
			row.Terms = append(row.Terms, Term{j, float64(r.IntN(7)-3) / unit[j]})
		}
		p.Rows = append(p.Rows, row)
		if r.IntN(5) == 0 {
			row.Value += row.Sigma * r.NormFloat64()
			p.Rows = append(p.Rows, row)
		}
	}
	return p
}

// wide is one linear component of many unknowns.
func wide(r *rand.Rand) *Problem {
	n := 40 - 2 + r.IntN(5)
	p := &Problem{Start: make([]float64, n), Causes: []float64{0.3}}
	for range n + r.IntN(5) {
		row := Row{Value: r.NormFloat64(), Sigma: 0.5, Shifts: []Shift{{0, 1}}}
		for j := range n {
			row.Terms = append(row.Terms, Term{j, r.NormFloat64()})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// weaklyFixed is lines whose slope hangs on stations close together, with a reach around what they
// fix it to.
func weaklyFixed(r *rand.Rand) *Problem {
	p := &Problem{}
	for range 1 + r.IntN(3) {
		a := len(p.Start)
		p.Start, p.Reach = append(p.Start, 0, 0), append(p.Reach, 50, 0.3)
		for range 2 + r.IntN(3) {
			p.Rows = append(p.Rows, Row{Value: 0.1 * r.NormFloat64(), Sigma: 0.1, Terms: OnLine(a, a+1, 0, math.Exp(2*r.NormFloat64()))})
		}
	}
	return p
}
