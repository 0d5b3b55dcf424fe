package adjust

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// judge fills in what the solution says about the rows.
func (s *Solution) judge(w *work) {
	n := len(w.p.Rows)
	s.Fitted, s.Residuals, s.Redundancy = make([]float64, n), make([]float64, n), make([]float64, n)
	s.sigma, s.rowPart, s.rowPlace = make([]float64, n), make([]int, n), make([]int, n)
	s.DOF = n
	for k := range s.parts {
		pt := &s.parts[k]
		s.DOF -= pt.q.cols
		for at, i := range pt.rows {
			s.rowPart[i], s.rowPlace[i] = k, at
			s.sigma[i] = w.p.Rows[i].Sigma
			s.Residuals[i] = w.misfit(i)
			s.Fitted[i] = w.p.Rows[i].Value - s.Residuals[i]
			s.Redundancy[i] = redundancy(pt.q.row(at))
			s.ChiSquare += math.Pow(s.Residuals[i]/s.sigma[i], 2)
		}
		s.spread(pt)
		s.shifts = append(s.shifts, shiftsOf(w.p, pt))
	}
	s.PValue = 1
	if s.DOF > 0 {
		s.PValue = distuv.ChiSquared{K: float64(s.DOF)}.Survival(s.ChiSquare)
	}
	s.Scale = scale(s.ChiSquare, s.DOF, s.options.UnknownScale)
}

// noRedundancy is the redundancy that is only the rounding of zero: leverages are sums of up to
// some hundred squares, each right to 1e-16.
const noRedundancy = 1e-12

func redundancy(q []float64) float64 {
	r := 1 - dot(q, q)
	if r < noRedundancy {
		return 0
	}
	return r
}

// spread writes the part's free directions out over all unknowns.
func (s *Solution) spread(pt *part) {
	for _, d := range pt.null {
		full := make([]float64, len(s.X))
		for j, u := range pt.unknowns {
			full[u] = d[j]
		}
		s.Null = append(s.Null, full)
	}
}

func shiftsOf(p *Problem, pt *part) grid {
	g := newGrid(len(pt.rows), len(p.Causes))
	for at, i := range pt.rows {
		for _, shift := range p.Rows[i].Shifts {
			g.row(at)[shift.Cause] += shift.Coef / p.Rows[i].Sigma
		}
	}
	return g
}

// scale is the factor that the residuals put on the Sigmas (Birge 1932), raised only unless the
// scale is unknown; 1 without redundancy.
func scale(chi2 float64, dof int, unknown bool) float64 {
	if dof <= 0 {
		return 1
	}
	ratio := math.Sqrt(chi2 / float64(dof))
	if unknown {
		return ratio
	}
	return max(1, ratio)
}
