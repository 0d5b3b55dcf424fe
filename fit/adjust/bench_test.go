package adjust

import (
	"math/rand/v2"
	"testing"
)

// kit is the size of the equations of one instrument: 32 unknowns by themselves with a row or two
// each, six lines, a board with two edges and frets; four gauges' common errors.
func kit(shake func() float64) *Problem {
	const singles, lines = 32, 6
	b := Fretboard{Side{0, 1, 250}, Side{2, 3, 250}, 4, 5}
	truth := []float64{-27.5, -0.013, 27.2, 0.014, 13, 648}
	p := &Problem{
		Start:  []float64{-26, -0.01, 26, 0.01, 10, 640},
		Reach:  []float64{200, 0.3, 200, 0.3, 500, 1000},
		Causes: []float64{0.03, 0.02, 0.3, 0.05},
	}
	add := func(gauge int, terms []Term, m Model) {
		y := 0.0
		for _, t := range terms {
			y += t.Coef * truth[t.Unknown]
		}
		if m != nil {
			y += m.Eval(truth, make([]float64, len(truth)))
		}
		p.Rows = append(p.Rows, Row{Value: y + 0.05*shake(), Sigma: 0.05, Terms: terms, Model: m, Shifts: []Shift{{gauge, 1}}})
	}
	unknown := func(start, true, reach float64) int {
		p.Start, p.Reach, truth = append(p.Start, start), append(p.Reach, reach), append(truth, true)
		return len(p.Start) - 1
	}
	for _, x := range []float64{20, 470} {
		add(0, b.First.On(x), nil)
		add(0, b.Second.On(x), nil)
	}
	add(1, nil, FretOnCentre(b, 0))
	for _, n := range []int{1, 5, 12, 17, 22} {
		add(2, nil, FretAt(b, n, 15))
	}
	for i := range singles {
		u := unknown(100, 100+float64(i), 200)
		for range 1 + i/30 {
			add(i%4, []Term{{u, 1}}, nil)
		}
	}
	for i := range lines {
		side := Side{unknown(0, float64(i), 200), unknown(0, 0.01, 0.3), 40}
		for x := range 2 + i/3 {
			add(3, side.On(float64(10+50*x)), nil)
		}
	}
	return p
}

// gradients are of quantities that depend on a few unknowns each.
func gradients(p *Problem) (list [][]float64) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 16 {
		row := make([]float64, len(p.Start))
		for _, u := range r.Perm(len(p.Start))[:6] {
			row[u] = r.NormFloat64()
		}
		list = append(list, row)
	}
	return list
}

func BenchmarkSolve(b *testing.B) {
	p := kit(rand.New(rand.NewPCG(3, 4)).NormFloat64)
	var v Solver
	b.ReportAllocs()
	for b.Loop() {
		if _, err := v.Solve(p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUncertainty(b *testing.B) {
	p := kit(rand.New(rand.NewPCG(3, 4)).NormFloat64)
	s, err := Solve(p, Options{})
	if err != nil {
		b.Fatal(err)
	}
	full := gradients(p)
	var u Uncertainty
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s.UncertaintyInto(full[i%len(full)], &u)
	}
}

func BenchmarkSuspects(b *testing.B) {
	p := kit(rand.New(rand.NewPCG(3, 4)).NormFloat64)
	s, err := Solve(p, Options{})
	if err != nil {
		b.Fatal(err)
	}
	if len(s.Suspects()) > 0 {
		b.Fatal("clean readings have suspects")
	}
	b.ReportAllocs()
	for b.Loop() {
		s.Suspects()
	}
}

func BenchmarkSuspectsOne(b *testing.B) {
	p := kit(rand.New(rand.NewPCG(3, 4)).NormFloat64)
	p.Rows[7].Value++
	s, err := Solve(p, Options{})
	if err != nil {
		b.Fatal(err)
	}
	if len(s.Suspects()) == 0 {
		b.Fatal("no suspect")
	}
	b.ReportAllocs()
	for b.Loop() {
		s.Suspects()
	}
}
