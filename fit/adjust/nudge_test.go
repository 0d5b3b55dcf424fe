package adjust

import (
	"math/rand/v2"
	"testing"
)

// A factor that is turned after its equations is theirs: A t = q to rounding, and q is orthonormal but
// for the square of the turn. Rows 0 to 3 are linear and stay.
func TestNudge(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 72))
	for range 200 {
		const rows, cols, linear = 10, 6, 4
		w := work{p: &Problem{Rows: make([]Row, rows)}}
		pt := &part{unknowns: make([]int, cols), rows: make([]int, rows)}
		n := round{
			a: w.mem.grid(rows, cols), factored: w.mem.grid(rows, cols), before: make([]float64, cols),
			turns: w.mem.grid(rows, cols), triangle: w.mem.grid(cols, cols),
		}
		for i := range rows {
			if pt.rows[i] = i; i >= linear {
				w.p.Rows[i].Model = constant(0)
			}
		}
		for i := range n.a.v {
			n.a.v[i] = r.NormFloat64()
		}
		w.follow(pt, &n)
		if n.rank != cols || pt.condition > 1e3 {
			continue
		}
		size := mostTurn * r.Float64() / pt.condition
		for i := linear * cols; i < len(n.a.v); i++ {
			n.a.v[i] += size * r.NormFloat64() / rows
		}
		w.follow(pt, &n)
		if n.turned == 0 || n.drift == 0 {
			t.Fatalf("turned %g, drift %g", n.turned, n.drift)
		}
		for c := range cols {
			for i := range rows {
				along := 0.0
				for j, v := range n.a.row(i) {
					along += v * pt.t.row(j)[c]
				}
				near(t, "A t", along, pt.units.row(c)[i], 1e-14*pt.condition)
			}
			for d := range cols {
				want := 0.0
				if c == d {
					want = 1
				}
				near(t, "product", dot(pt.units.row(c), pt.units.row(d)), want, 1e-14+4*n.turned*n.turned)
			}
		}
		if again := w.turned(pt, &n); again != 0 {
			t.Errorf("turned %g after it was made good", again)
		}
	}
}
