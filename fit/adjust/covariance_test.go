package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/stat"
)

// shaken returns edges with errors of the rows and of the common causes (rectangular, as a
// gauge's maximum error is).
func shaken(r *rand.Rand) *Problem {
	p := edges(r.NormFloat64)
	for c, sd := range p.Causes {
		cause := sd * math.Sqrt(3) * (2*r.Float64() - 1)
		for i := range p.Rows {
			for _, s := range p.Rows[i].Shifts {
				if s.Cause == c {
					p.Rows[i].Value += cause * s.Coef
				}
			}
		}
	}
	return p
}

// Propagation of distributions (JCGM 101:2008): the spread of parameters, of a derived quantity
// and of a residual over 4000 simulated sets against the covariance of a set without errors.
func TestCovarianceAgainstMonteCarlo(t *testing.T) {
	const sets = 4000
	r := rand.New(rand.NewPCG(11, 12))
	s := mustSolve(t, edges(func() float64 { return 0 }), Options{})
	middle := []float64{0.5, 50, 0.5, 50} // the centre line's offset at 250, nearly
	var a, slope, centre, residual []float64
	for range sets {
		u := mustSolve(t, shaken(r), Options{})
		a = append(a, u.X[0])
		slope = append(slope, u.X[3])
		centre = append(centre, dot(middle, u.X))
		residual = append(residual, u.Residuals[9])
	}
	// a standard deviation from 4000 is good to 1.1 %, four of those allowed
	const most = 4 / math.Sqrt2 / 63.2
	check := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got/want-1) > most {
			t.Errorf("%s: simulated sd %g, propagated %g", what, got, want)
		}
	}
	check("intercept", stat.StdDev(a, nil), sd(s, 0))
	check("slope", stat.StdDev(slope, nil), sd(s, 3))
	check("centre line", stat.StdDev(centre, nil), s.Uncertainty(middle).Std)
	_, u := s.Deviation([]int{9})
	check("residual", stat.StdDev(residual, nil), u.Std)
	// a correlation from 4000 is good to 0.016
	near(t, "correlation", stat.Correlation(a, centre, nil),
		s.Covariance(unit(4, 0), middle)/(sd(s, 0)*s.Uncertainty(middle).Std), 0.064)
}

// Sensitivity against moving the reading, and common causes against moving all they move.
func TestSensitivityAgainstMoving(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	p := edges(r.NormFloat64)
	s := mustSolve(t, p, Options{})
	g := []float64{1, 40, -1, 3}
	sens := s.Sensitivity(g, nil)
	const move = 1e-4
	for i := range p.Rows {
		p.Rows[i].Value += move
		moved := dot(g, mustSolve(t, p, Options{}).X) - dot(g, s.X)
		p.Rows[i].Value -= move
		near(t, "sensitivity", moved/move, sens[i], 1e-4) // second order of small angles
	}
	u := s.Uncertainty(g)
	for c := range p.Causes {
		want := 0.0
		for i, row := range p.Rows {
			for _, shift := range row.Shifts {
				if shift.Cause == c {
					want += sens[i] * shift.Coef * p.Causes[c]
				}
			}
		}
		near(t, "common part", u.Common[c], want, 1e-12)
	}
	near(t, "variance", s.Covariance(g, g), u.Std*u.Std, 1e-12)
}

// A common error of every reading moves a difference of two not at all and their mean fully.
func TestCommonCauseCancels(t *testing.T) {
	p := &Problem{Start: []float64{0, 0}, Causes: []float64{0.5}, Rows: []Row{
		{Value: 3, Sigma: 0.1, Terms: []Term{{0, 1}}, Shifts: []Shift{{0, 1}}},
		{Value: 5, Sigma: 0.1, Terms: []Term{{1, 1}}, Shifts: []Shift{{0, 1}}},
	}}
	s := mustSolve(t, p, Options{})
	near(t, "difference", s.Uncertainty([]float64{-1, 1}).Std, 0.1*math.Sqrt2, 1e-15)
	near(t, "mean", s.Uncertainty([]float64{0.5, 0.5}).Std, math.Sqrt(0.25+0.01/2), 1e-15)
}

// Added against the fit with the column really there.
func TestAddedAgainstRefit(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for _, o := range []Options{{}, {UnknownScale: true}} {
		p := edges(r.NormFloat64)
		p.Rows = p.Rows[:8] // linear, so that the two are the same
		s := mustSolve(t, p, o)
		col := make([]float64, 8)
		for i := range col {
			x := 100*float64(i%4) - 150
			col[i] = x * x
			p.Rows[i].Terms = append(p.Rows[i].Terms, Term{4, col[i]})
		}
		p.Start = append(p.Start, 0)
		full := mustSolve(t, p, o)
		value, u, _, ok := s.Added(col)
		if !ok {
			t.Fatal("a square in x is not determined by four stations")
		}
		want := full.Uncertainty(unit(5, 4))
		if diff := cmp.Diff(full.X[4], value, cmpopts.EquateApprox(1e-9, 0)); diff != "" { // rounding times condition
			t.Error(diff)
		}
		if diff := cmp.Diff(want, u, cmpopts.EquateApprox(1e-9, 1e-18)); diff != "" {
			t.Error(diff)
		}
	}
}

// What the columns already give cannot be added.
func TestAddedRefuses(t *testing.T) {
	p := edges(func() float64 { return 0 })
	s := mustSolve(t, p, Options{})
	col := make([]float64, len(p.Rows))
	if _, _, _, ok := s.Added(col); ok {
		t.Error("a column of zeros was estimated")
	}
	slopes := make([]float64, 4)
	for i := range col {
		clear(slopes)
		for _, term := range p.Rows[i].Terms {
			slopes[term.Unknown] += term.Coef
		}
		if m := p.Rows[i].Model; m != nil {
			m.Eval(s.X, slopes)
		}
		col[i] = 3*slopes[0] - slopes[3]
	}
	if _, _, _, ok := s.Added(col); ok {
		t.Error("a combination of the columns was estimated")
	}
}
