package adjust

import (
	"math"
	"slices"
)

// Covariance of the quantities with gradients g and h, common causes included.
func (s *Solution) Covariance(g, h []float64) float64 {
	var roomG, roomH, roomC, roomD [roomy]float64
	y, z := s.inward(g, roomG[:]), s.inward(h, roomH[:])
	c, d := scratch(roomC[:], len(s.causes)), scratch(roomD[:], len(s.causes))
	s.common.timesT(y, c)
	s.common.timesT(z, d)
	return s.Scale*s.Scale*dot(y, z) + dot(c, d)
}

// Sensitivity returns, a row each, how the quantity with gradient g moves with that row's Value.
func (s *Solution) Sensitivity(g []float64) []float64 { return s.SensitivityInto(g, nil) }

// SensitivityInto is Sensitivity in the room given, if it suffices.
func (s *Solution) SensitivityInto(g, sens []float64) []float64 {
	var room [roomy]float64
	y := s.inward(g, room[:])
	sens = slices.Grow(sens[:0], len(s.Residuals))[:len(s.Residuals)]
	clear(sens)
	for k := range s.parts {
		pt := &s.parts[k]
		for c := range pt.units.rows {
			along := y[pt.first+c]
			if along == 0 {
				continue
			}
			for at, q := range pt.units.row(c) {
				sens[pt.rows[at]] += along * q
			}
		}
	}
	for i := range sens {
		sens[i] /= s.sigma[i]
	}
	return sens
}

// ResidualUncertainty is the standard uncertainty (common causes included) of row i's residual.
func (s *Solution) ResidualUncertainty(i int) float64 {
	pt, at := &s.parts[s.rowPart[i]], s.rowPlace[i]
	var room [roomy]float64
	common := scratch(room[:], len(s.causes))
	copy(common, s.shifts.row(i))
	for k := range pt.units.rows {
		addTo(common, -pt.units.row(k)[at], s.common.row(pt.first+k))
	}
	own := s.Scale * math.Sqrt(s.Redundancy[i])
	return s.sigma[i] * math.Sqrt(own*own+dot(common, common))
}

// explainedTolerance is the share of a column's length that may be left outside the columns
// already there when it is a combination of them: their rounding, with a margin.
const explainedTolerance = 1e-9

// Added estimates one further unknown whose column of coefficients is col (a row each): what it
// would come to, with its uncertainty, were it added to the equations (Frisch, Waugh, Lovell).
// The uncertainty carries the scale of the fit with the column added. Of rows that are not
// linear it takes the equations at X. ok is false where the rows do not determine it.
func (s *Solution) Added(col []float64) (value float64, u Uncertainty, ok bool) {
	if len(col) != len(s.Residuals) {
		panic("adjust: a column needs one entry per row")
	}
	var own, rest, along float64
	var room [roomy]float64
	e := scratch(room[:], len(col))
	u.Common = make([]float64, len(s.causes))
	for i, v := range col {
		pt := &s.parts[s.rowPart[i]]
		if v == 0 || !pt.begins(col, i) { // each part that the column touches, once
			continue
		}
		outside := e[:len(pt.rows)]
		own += s.whiten(pt, col, outside)
		for c := range pt.units.rows {
			addTo(outside, -dot(pt.units.row(c), outside), pt.units.row(c))
		}
		rest += dot(outside, outside)
		for at, i := range pt.rows {
			along += outside[at] * s.Residuals[i] / s.sigma[i]
			addTo(u.Common, outside[at], s.shifts.row(i))
		}
	}
	if rest <= explainedTolerance*explainedTolerance*own {
		return 0, Uncertainty{}, false
	}
	scaleBy(u.Common, 1/rest)
	chi2 := max(0, s.ChiSquare-along*along/rest)
	u.Independent = scale(chi2, s.DOF-1, s.options.UnknownScale) / math.Sqrt(rest)
	u.total()
	return along / rest, u, true
}

// begins tells whether row i is the first of the part that a column touches.
func (pt *part) begins(col []float64, i int) bool {
	for _, j := range pt.rows {
		if col[j] != 0 {
			return i == j
		}
	}
	return false
}

// whiten writes the part's entries of a column over their Sigmas and returns their squared length.
func (s *Solution) whiten(pt *part, col, into []float64) float64 {
	sum := 0.0
	for at, i := range pt.rows {
		into[at] = col[i] / s.sigma[i]
		sum += into[at] * into[at]
	}
	return sum
}

// unexplained is the row at of I - q q^T, q = units^T: how the whitened rows move that row's
// residual.
func (pt *part) unexplained(at int) []float64 {
	e := make([]float64, len(pt.rows))
	for k := range pt.units.rows {
		addTo(e, -pt.units.row(k)[at], pt.units.row(k))
	}
	e[at]++
	return e
}
