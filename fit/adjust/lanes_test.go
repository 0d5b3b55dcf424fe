package adjust

import (
	"math/rand/v2"
	"testing"
)

// Four gradients side by side against one after another, at full rank and short of it, with few causes
// and with more than there is room for.
func TestUncertainties(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	for i := range 300 {
		p := []func(*rand.Rand) *Problem{fewRows, scattered, weaklyFixed, shaken}[i%4](r)
		for range i % 3 * 5 {
			p.Causes = append(p.Causes, r.Float64())
			if len(p.Rows) > 0 {
				row := &p.Rows[r.IntN(len(p.Rows))]
				row.Shifts = append([]Shift{{len(p.Causes) - 1, 1 + r.NormFloat64()}}, row.Shifts...)
			}
		}
		for _, o := range []Options{{}, {plain: true}} {
			s, err := Solve(p, o)
			if err != nil {
				continue
			}
			lanes := make([]Slopes, len(s.X)+2) // longer does no harm
			for range r.IntN(9) {
				lanes[r.IntN(len(s.X))][r.IntN(3)] = r.NormFloat64()
			}
			got := s.Uncertainties(lanes)
			for k := range 4 {
				g := make([]float64, len(s.X))
				for u := range g {
					g[u] = lanes[u][k]
				}
				want := s.Uncertainty(g)
				near(t, "uncertainty", got.Std[k], want.Std, 1e-12*(1e-3+want.Std))
				near(t, "common", got.Common[k], norm(want.Common), 1e-12*(1e-3+want.Std))
			}
		}
	}
}
