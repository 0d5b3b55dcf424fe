package adjust

import "math"

// judge fills in what the solution says about all rows together.
func (v *Solver) judge() {
	s := &v.solution
	if len(v.nulls) > 0 {
		s.Null = v.nulls
	}
	s.PValue = survival(s.ChiSquare, s.DOF)
	s.Scale = scale(s.ChiSquare, s.DOF, s.options.UnknownScale)
	s.critical = v.criticalFor(s)
}

// judgePart fills in what it says about the rows of one part.
func (v *Solver) judgePart(pt *part) {
	s := &v.solution
	s.DOF -= pt.units.rows
	v.spread(pt)
	for at, i := range pt.rows {
		r := &v.p.Rows[i]
		residual := 0.0
		if pt.misfits != nil {
			residual = pt.misfits[at] * r.Sigma
		} else {
			residual = v.misfit(i)
		}
		leverage := 0.0
		for k := range pt.units.rows {
			q := pt.units.v[k*pt.units.cols+at]
			leverage += q * q
		}
		whitened := residual / r.Sigma
		s.ChiSquare += whitened * whitened
		s.sigma[i], s.Residuals[i], s.Fitted[i], s.Redundancy[i] = r.Sigma, residual, r.Value-residual, redundancy(leverage)
		for _, shift := range r.Shifts {
			s.share(pt, at, shift.Cause, shift.Coef/r.Sigma*s.causes[shift.Cause])
		}
	}
}

// noRedundancy is the redundancy that is only the rounding of zero: leverages are sums of up to
// some hundred squares, each right to 1e-16.
const noRedundancy = 1e-12

func redundancy(leverage float64) float64 {
	r := 1 - leverage
	if r < noRedundancy {
		return 0
	}
	return r
}

// spread writes the part's free directions out over all unknowns.
func (v *Solver) spread(pt *part) {
	pt.firstFree = len(v.nulls)
	for _, d := range pt.null {
		full := v.work.mem.floats.take(len(v.x))
		for j, u := range pt.unknowns {
			full[u] = d[j]
		}
		v.nulls = append(v.nulls, full)
	}
}

// share adds what one sd of a cause does to the part's row at, whitened, and along the part's
// orthonormal columns.
func (s *Solution) share(pt *part, at, cause int, moved float64) {
	s.shifts.v[pt.rows[at]*s.shifts.cols+cause] += moved
	for k := range pt.units.rows {
		s.common.v[(pt.first+k)*s.common.cols+cause] += moved * pt.units.v[k*pt.units.cols+at]
	}
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
