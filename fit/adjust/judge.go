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
		weight := 1 / r.Sigma
		var residual, whitened float64
		if pt.misfits != nil {
			whitened = pt.misfits[at]
			residual = whitened * r.Sigma
		} else {
			residual = v.misfit(i)
			whitened = residual * weight
		}
		leverage := 0.0
		for k := at; k < len(pt.units.v); k += pt.units.cols {
			q := pt.units.v[k]
			leverage += q * q
		}
		s.ChiSquare += whitened * whitened
		s.sigma[i], s.Residuals[i], s.Fitted[i], s.Redundancy[i] = r.Sigma, residual, r.Value-residual, redundancy(leverage)
		for k := range r.Shifts {
			shift := &r.Shifts[k]
			s.share(pt, at, shift.Cause, shift.Coef*weight*s.causes[shift.Cause])
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
	causes := len(s.causes)
	s.shifts.v[pt.rows[at]*causes+cause] += moved
	into := pt.first*causes + cause
	for k := at; k < len(pt.units.v); k += pt.units.cols {
		s.common.v[into] += moved * pt.units.v[k]
		into += causes
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
