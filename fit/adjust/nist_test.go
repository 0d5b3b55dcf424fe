package adjust

import (
	"fmt"
	"math"
	"testing"
)

type nistSet struct {
	Parameters int
	Model      string
	Data       [][]float64
	Certified  struct {
		Estimates          []string
		StandardDeviations []string `json:"standard_deviations"`
		ResidualSD         string   `json:"residual_sd"`
		DOF                int      `json:"df_residual"`
		SSResidual         string   `json:"ss_residual"`
	}
}

func (s nistSet) problem() *Problem {
	p := &Problem{Start: make([]float64, s.Parameters)}
	for _, d := range s.Data {
		row := Row{Value: d[0], Sigma: 1}
		for j := range s.Parameters {
			coef := 1.0
			switch {
			case len(d) == 2: // a polynomial
				coef = math.Pow(d[1], float64(j))
			case j > 0:
				coef = d[j]
			}
			row.Terms = append(row.Terms, Term{j, coef})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// NIST Statistical Reference Datasets, Linear Least Squares. Certified values have 15 digits;
// how many double precision keeps depends on the condition of the columns, which are taken as
// they come, without centring.
func TestNIST(t *testing.T) {
	for _, c := range []struct {
		file                  string
		estimates, deviations int // digits asked for
		exact                 bool
	}{
		{"norris", 14, 13, false},
		{"longley", 13, 11, false},
		{"wampler1", 14, 0, true},
		{"wampler2", 13, 0, true},
	} {
		t.Run(c.file, func(t *testing.T) {
			var set nistSet
			published(t, "nist_strd_"+c.file+".json", &set)
			s, err := Solve(set.problem(), Options{UnknownScale: true})
			if err != nil {
				t.Fatal(err)
			}
			if s.DOF != set.Certified.DOF {
				t.Errorf("DOF = %d, certified %d", s.DOF, set.Certified.DOF)
			}
			t.Logf("condition %.3g", s.Condition)
			for j := range s.X {
				sameDigits(t, fmt.Sprintf("estimate %d", j), s.X[j], set.Certified.Estimates[j], c.estimates)
				if !c.exact {
					sameDigits(t, fmt.Sprintf("sd %d", j), sd(s, j), set.Certified.StandardDeviations[j], c.deviations)
				} else if got := sd(s, j); got > 1e-13 { // exact data of size 1: some hundred roundings
					t.Errorf("sd %d = %g, certified 0", j, got)
				}
			}
			if !c.exact {
				sameDigits(t, "residual sd", s.Scale, set.Certified.ResidualSD, 13)
				sameDigits(t, "residual sum of squares", s.ChiSquare, set.Certified.SSResidual, 13)
			} else if s.Scale > 1e-9 { // values up to 3e6 have roundings of 5e-10
				t.Errorf("residual sd = %g, certified 0", s.Scale)
			}
		})
	}
}
