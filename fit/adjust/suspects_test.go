package adjust

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// share counts how often a draw comes true.
func share(draws int, f func() bool) float64 {
	hits := 0
	for range draws {
		if f() {
			hits++
		}
	}
	return float64(hits) / float64(draws)
}

// Good readings have a suspect about as seldom as asked: the first test alone would do so with
// probability Alpha, the second takes some away.
func TestCleanSetsHaveFewSuspects(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for _, alpha := range []float64{0.05, 0.2} {
		got := share(4000, func() bool {
			return len(mustSolve(t, edges(r.NormFloat64), Options{Alpha: alpha}).Suspects()) > 0
		})
		t.Logf("alpha %g: %g", alpha, got)
		// 4000 draws are good to 0.0035 and 0.0063; residuals are correlated, hence not quite independent
		if got > alpha+0.02 || got < alpha/2 {
			t.Errorf("alpha %g: a suspect in %g of clean sets", alpha, got)
		}
	}
}

// One reading mistyped by 1 mm among readings good to 0.1 mm is named, with its error.
func TestTypingErrorIsNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	for row := range 11 {
		alone := 0
		named := share(300, func() bool {
			p := edges(r.NormFloat64)
			p.Rows[row].Value += 1
			for _, f := range mustSolve(t, p, Options{}).Suspects() {
				if f.Row == row && len(f.Rivals) == 0 && math.Abs(f.Error-1) < 0.6 {
					alone++
				}
				if f.Row == row || slices.ContainsFunc(f.Rivals, func(r Rival) bool { return r.Row == row }) {
					return true
				}
			}
			return false
		})
		t.Logf("row %d named %g, alone %g", row, named, float64(alone)/300)
		if named < 0.93 {
			t.Errorf("row %d: a wrong reading named in %g of sets", row, named)
		}
	}
}

// Two wrong readings hide neither each other nor behind the raised scale.
func TestTwoTypingErrors(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	named := share(300, func() bool {
		p := edges(r.NormFloat64)
		p.Rows[1].Value += 1.5
		p.Rows[6].Value += 1.5
		found := mustSolve(t, p, Options{}).Suspects()
		return len(found) >= 2 && found[0].Row+found[1].Row == 7 && found[0].Row*found[1].Row == 6
	})
	if named < 0.9 {
		t.Errorf("both named in %g of sets", named)
	}
}

// many is one side read at twenty stations.
func many(shake func() float64) *Problem {
	p := &Problem{Start: make([]float64, 2)}
	for i := range 20 {
		p.Rows = append(p.Rows, Row{Value: 0.1 * shake(), Sigma: 0.1, Terms: OnLine(0, 1, 200, 20*float64(i))})
	}
	return p
}

// A gauge twice as bad as it claims raises the scale and does not make its readings suspects.
func TestBadGaugeIsNotASuspect(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	got := share(1000, func() bool {
		return len(mustSolve(t, many(func() float64 { return 2 * r.NormFloat64() }), Options{}).Suspects()) > 0
	})
	t.Logf("suspects in %g of sets; chance by normal test alone about 0.9", got)
	if got > 0.15 {
		t.Errorf("a gauge twice as bad as claimed made suspects in %g of sets", got)
	}
}

// With an unknown scale Pope's test keeps its size and still finds an error of ten deviations.
func TestSuspectsOfUnknownScale(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	o := Options{UnknownScale: true}
	wild := func() float64 { return 7 * r.NormFloat64() }
	got := share(2000, func() bool { return len(mustSolve(t, many(wild), o).Suspects()) > 0 })
	t.Logf("clean: %g", got)
	if got < 0.008 || got > 0.06 { // 0.02 for the first; the later steps of five add some
		t.Errorf("a suspect in %g of clean sets", got)
	}
	got = share(300, func() bool {
		p := many(wild)
		p.Rows[8].Value += 7 // ten deviations of 0.7
		found := mustSolve(t, p, o).Suspects()
		return len(found) > 0 && found[0].Row == 8
	})
	if got < 0.95 {
		t.Errorf("the wrong row was first in %g of sets", got)
	}
}

// Three readings of one thing and its two parts: which is wrong cannot be told, and it says so.
func TestRivals(t *testing.T) {
	p := &Problem{Start: []float64{0, 0, 0}, Rows: []Row{
		{Value: 10, Sigma: 0.1, Terms: []Term{{0, 1}}},
		{Value: 20, Sigma: 0.1, Terms: []Term{{1, 1}}},
		{Value: 31, Sigma: 0.1, Terms: []Term{{0, 1}, {1, 1}}},
		{Value: 5, Sigma: 0.1, Terms: []Term{{2, 1}}},
	}}
	found := mustSolve(t, p, Options{}).Suspects()
	if len(found) != 1 || found[0].Row != 0 || len(found[0].Rivals) != 2 || found[0].Rivals[0].Row != 1 || found[0].Rivals[1].Row != 2 {
		t.Fatalf("suspects %+v; want one of rows 0 to 2, the others its rivals", found)
	}
	near(t, "error", math.Abs(found[0].Error), 1, 1e-12)
	near(t, "w", math.Abs(found[0].W), 1/(0.1*math.Sqrt(3)), 1e-12)
}

// What the others say of a reading is as doubtful as a suspect among them makes it, and not where that may be the reading itself: of x, y
// and x + y one is 1 off, so that x is a third of it, 1, less or more where the others are right; and 2 x, read besides with little weight.
func TestWithoutAmongRivals(t *testing.T) {
	const weak = 100.0
	p := &Problem{Start: []float64{0, 0}, Rows: []Row{
		{Value: 10, Sigma: 0.1, Terms: []Term{{0, 1}}},
		{Value: 20, Sigma: 0.1, Terms: []Term{{1, 1}}},
		{Value: 31, Sigma: 0.1, Terms: []Term{{0, 1}, {1, 1}}},
		{Value: 21, Sigma: weak, Terms: []Term{{0, 2}}},
	}}
	s := mustSolve(t, p, Options{})
	found := s.Suspects()
	if len(found) != 1 || len(found[0].Rivals) != 2 {
		t.Fatalf("suspects %+v; want one with two rivals", found)
	}
	for i := range 3 {
		if _, u, ok := s.Without(i); !ok || u.Doubt != 0 {
			t.Errorf("row %d: doubt %v", i, u.Doubt)
		}
	}
	// Without the last x is 10 1/3. Were the first row wrong it would be 11, were another 10: two thirds of a millimetre at most.
	if _, u, ok := s.Without(3); !ok || math.Abs(u.Doubt-2*2./3) > 1e-3 {
		t.Errorf("doubt %v, want %v", u.Doubt, 2*2./3)
	}
}

// A row that alone fixes its unknown has no redundancy and cannot be judged.
func TestNoRedundancyNoSuspect(t *testing.T) {
	p := &Problem{Start: []float64{0}, Rows: []Row{{Value: 1e6, Sigma: 0.1, Terms: []Term{{0, 1}}}}}
	if found := mustSolve(t, p, Options{}).Suspects(); len(found) != 0 {
		t.Errorf("suspects %+v without redundancy", found)
	}
}

// Setting a row aside is solving without it: the error is against the others' prediction, and the
// next row's standardised residual is the one of the smaller set.
func TestSetAsideAgainstRefit(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 30))
	p := many(r.NormFloat64)
	p.Rows[3].Value += 3
	p.Rows[15].Value -= 2
	found := mustSolve(t, p, Options{}).Suspects()
	if len(found) != 2 || found[0].Row != 3 || found[1].Row != 15 {
		t.Fatalf("suspects %+v, want rows 3 and 15", found)
	}
	for _, f := range found {
		last := len(p.Rows) - 1
		at := f.Row
		if f.Row == 15 {
			at-- // row 3 has gone
		}
		row := p.Rows[at]
		whole := mustSolve(t, p, Options{})
		near(t, "w", f.W, whole.Residuals[at]/(row.Sigma*math.Sqrt(whole.Redundancy(at))), 1e-9) // rounding of some tens
		p.Rows = append(append([]Row(nil), p.Rows[:at]...), p.Rows[at+1:]...)
		if len(p.Rows) != last {
			t.Fatal("row not taken out")
		}
		rest := mustSolve(t, p, Options{})
		predicted := 0.0
		for _, term := range row.Terms {
			predicted += term.Coef * rest.X[term.Unknown]
		}
		near(t, "error", f.Error, row.Value-predicted, 1e-10)
	}
}
