package adjust

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Closed forms, Gram-Schmidt and factors that are turned against LAPACK and singular values anew at each
// step: the same problems, solved in used memory one way and plainly the other, one after another.
func TestTwins(t *testing.T) {
	for name, draw := range map[string]func(*rand.Rand) *Problem{
		"kit":          func(r *rand.Rand) *Problem { return kit(r.NormFloat64) },
		"few rows":     fewRows,
		"board":        func(r *rand.Rand) *Problem { p, _ := survey(r.NormFloat64); return p },
		"linear":       scattered,
		"wide":         wide,
		"edges":        shaken,
		"weakly fixed": weaklyFixed,
	} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(31, uint64(len(name))))
			var v Solver
			free := 0
			for i := range 400 {
				p := draw(r)
				o := Options{UnknownScale: r.IntN(4) == 0}
				fast, errFast := v.Solve(p, o)
				o.plain = true
				slow, errSlow := Solve(p, o)
				if (errFast == nil) != (errSlow == nil) {
					t.Fatalf("problem %d: %v, plainly %v", i, errFast, errSlow)
				}
				if errFast != nil || o.UnknownScale && slow.ChiSquare < 1e-20 {
					continue // the scale is of rounding alone
				}
				free += len(slow.Null)
				agreed := 1e-9
				if name == "few rows" {
					agreed = 1e-6 // steps that come to a standstill leave the last factor where it was
				}
				twins(t, r, p, agreed, fast, slow)
				if t.Failed() {
					t.Fatalf("problem %d, condition %g", i, slow.Condition)
				}
			}
			t.Logf("%d free directions", free)
		})
	}
}

// fewRows is a kit with some rows missing and some read twice.
func fewRows(r *rand.Rand) *Problem {
	p := kit(r.NormFloat64)
	r.Shuffle(len(p.Rows), func(i, j int) { p.Rows[i], p.Rows[j] = p.Rows[j], p.Rows[i] })
	p.Rows = p.Rows[:1+r.IntN(len(p.Rows))]
	for range r.IntN(4) {
		p.Rows = append(p.Rows, p.Rows[r.IntN(len(p.Rows))])
	}
	if r.IntN(2) == 0 {
		p.Start, p.Reach = append(p.Start, 7), append(p.Reach, 1)
		p.Rows = append(p.Rows, Row{Value: 1, Sigma: 0.5})
	}
	return p
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

// wide is one linear part of more unknowns than Gram-Schmidt takes, or nearly.
func wide(r *rand.Rand) *Problem {
	n := mostGramSchmidt - 2 + r.IntN(5)
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

// twins holds two solutions of p together.
func twins(t *testing.T, r *rand.Rand, p *Problem, agreed float64, fast, slow *Solution) {
	t.Helper()
	if fast.DOF != slow.DOF || len(fast.Null) != len(slow.Null) || fmt.Sprint(fast.Free()) != fmt.Sprint(slow.Free()) {
		t.Fatalf("dof %d, %d free directions, free %v; plainly %d, %d, %v",
			fast.DOF, len(fast.Null), fast.Free(), slow.DOF, len(slow.Null), slow.Free())
	}
	// Rounding grows with the condition; Gauss-Newton stops 1e-9 standard deviations away.
	rounding := 1e-14 * (1e2 + slow.Condition)
	const stopped = 1e-9
	of := func(what string, got, want, size, share float64) {
		t.Helper()
		if !(math.Abs(got-want) <= share*(size+math.Abs(want))) {
			t.Errorf("%s %.17g, plainly %.17g", what, got, want)
		}
	}
	for i, row := range p.Rows {
		of("residual", fast.Residuals[i], slow.Residuals[i], stopped/rounding*row.Sigma+math.Abs(row.Value), rounding)
		of("fitted", fast.Fitted[i], slow.Fitted[i], stopped/rounding*row.Sigma+math.Abs(row.Value), rounding)
		of("redundancy", fast.Redundancy[i], slow.Redundancy[i], 1, agreed)
		of("its uncertainty", fast.ResidualUncertainty(i), slow.ResidualUncertainty(i), row.Sigma, math.Sqrt(agreed)) // a root of it
	}
	of("chi-square", fast.ChiSquare, slow.ChiSquare, 1, agreed)
	of("chance", fast.PValue, slow.PValue, 1, agreed)
	of("scale", fast.Scale, slow.Scale, 1, agreed)
	for j := range p.Start {
		if std := slow.Uncertainty(unit(len(p.Start), j)).Std; slow.Estimable(unit(len(p.Start), j)) {
			of("unknown", fast.X[j], slow.X[j], stopped/rounding*std, rounding)
		}
	}
	for range 5 {
		quantityTwins(t, r, fast, slow, func(what string, got, want, size float64) { t.Helper(); of(what, got, want, size, agreed) })
	}
	if a, b := named(fast), named(slow); a != b {
		t.Errorf("suspects %s, plainly %s", a, b)
	}
}

// named is the suspects in words, but for those that an unknown scale finds among roundings. Which of
// several rivals is named hangs on roundings, too.
func named(s *Solution) string {
	words := ""
	for _, f := range s.Suspects() {
		if math.Abs(f.W) > 1e-6 {
			rows := append(slices.Clone(f.Rivals), f.Row)
			slices.Sort(rows)
			words += fmt.Sprintf("%v: %.5g of %.5g, ", rows, math.Abs(f.W), f.Critical)
		}
	}
	return words
}

// quantityTwins holds together what they say of a random quantity of few unknowns.
func quantityTwins(t *testing.T, r *rand.Rand, fast, slow *Solution, of func(what string, got, want, size float64)) {
	t.Helper()
	n := len(fast.X)
	g, h := make([]float64, n), make([]float64, n)
	for _, u := range r.Perm(n)[:min(n, 1+r.IntN(3))] {
		g[u], h[r.IntN(n)] = r.NormFloat64(), 1
	}
	if fast.Estimable(g) != slow.Estimable(g) {
		t.Errorf("%v: estimable %v, plainly %v", g, fast.Estimable(g), slow.Estimable(g))
	}
	if !slow.Estimable(g) || !slow.Estimable(h) {
		return
	}
	want, other, u := slow.Uncertainty(g), slow.Uncertainty(h), Uncertainty{Common: []float64{7, 7, 7, 7, 7}}
	of("uncertainty", fast.Uncertainty(g).Std, want.Std, 0)
	fast.UncertaintyInto(g, &u)
	of("uncertainty in a room", u.Std, want.Std, 0)
	of("independent", u.Independent, want.Independent, want.Std)
	for c := range want.Common {
		of("common", u.Common[c], want.Common[c], want.Std)
	}
	of("covariance", fast.Covariance(g, h), slow.Covariance(g, h), want.Std*other.Std)
	sens, plainly := fast.Sensitivity(g), slow.Sensitivity(g)
	for i := range sens {
		of("sensitivity", sens[i]*fast.sigma[i], plainly[i]*fast.sigma[i], want.Std)
	}
}
