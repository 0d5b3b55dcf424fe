package adjust

import "math"

// Uncertainty is the standard uncertainty of a derived quantity, in parts.
type Uncertainty struct {
	Std         float64   // all together
	Independent float64   // from what is each row's alone, scaled
	Common      []float64 // signed, from each cause: gradient . J . shift coefficients . cause's sd
}

// Uncertainty propagates the rows' and the causes' variances to the quantity with gradient g,
// first order: Scale^2 g (A^T W A)^+ g for what is each row's alone, and sd . g . J . c for each
// common cause, where J is the least-squares left inverse and c the cause's shifts. Causes are
// not scaled: what is common to all rows shows in no residual. Ask Estimable first: of a
// quantity that the rows do not determine this is the uncertainty of the part they do.
func (s *Solution) Uncertainty(g []float64) Uncertainty {
	s.mustFit(g)
	u := Uncertainty{Common: make([]float64, len(s.causes))}
	sum := 0.0
	for k := range s.parts {
		pt := &s.parts[k]
		if !pt.moves(g) {
			continue
		}
		y := pt.inward(g)
		sum += dot(y, y)
		s.addCommon(k, pt.outward(y), u.Common)
	}
	u.Independent = s.Scale * math.Sqrt(sum)
	u.total()
	return u
}

func (u *Uncertainty) total() {
	u.Std = math.Sqrt(u.Independent*u.Independent + dot(u.Common, u.Common))
}

// addCommon adds, for each cause, its sd times how it moves sensitivities' weighted sum of part
// k's rows; sens is per whitened row.
func (s *Solution) addCommon(k int, sens, into []float64) {
	moved := make([]float64, len(s.causes))
	s.shifts[k].timesT(sens, moved)
	for c, m := range moved {
		into[c] += m * s.causes[c]
	}
}

// Covariance of the quantities with gradients g and h, common causes included.
func (s *Solution) Covariance(g, h []float64) float64 {
	s.mustFit(g)
	s.mustFit(h)
	own := 0.0
	commonG, commonH := make([]float64, len(s.causes)), make([]float64, len(s.causes))
	for k := range s.parts {
		pt := &s.parts[k]
		if !pt.moves(g) && !pt.moves(h) {
			continue
		}
		y, z := pt.inward(g), pt.inward(h)
		own += dot(y, z)
		s.addCommon(k, pt.outward(y), commonG)
		s.addCommon(k, pt.outward(z), commonH)
	}
	return s.Scale*s.Scale*own + dot(commonG, commonH)
}

// Sensitivity returns, a row each, how the quantity with gradient g moves with that row's Value.
func (s *Solution) Sensitivity(g []float64) []float64 {
	s.mustFit(g)
	sens := make([]float64, len(s.Residuals))
	for k := range s.parts {
		pt := &s.parts[k]
		if !pt.moves(g) {
			continue
		}
		for at, v := range pt.outward(pt.inward(g)) {
			sens[pt.rows[at]] = v / s.sigma[pt.rows[at]]
		}
	}
	return sens
}

// ResidualUncertainty is the standard uncertainty (common causes included) of row i's residual.
func (s *Solution) ResidualUncertainty(i int) float64 {
	k := s.rowPart[i]
	e := s.parts[k].unexplained(s.rowPlace[i])
	u := Uncertainty{
		Independent: s.Scale * s.sigma[i] * math.Sqrt(s.Redundancy[i]),
		Common:      make([]float64, len(s.causes)),
	}
	s.addCommon(k, e, u.Common)
	for c := range u.Common {
		u.Common[c] *= s.sigma[i]
	}
	u.total()
	return u.Std
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
	u.Common = make([]float64, len(s.causes))
	for k := range s.parts {
		e, whitened := s.outside(k, col)
		own += dot(whitened, whitened)
		rest += dot(e, e)
		for at, i := range s.parts[k].rows {
			along += e[at] * s.Residuals[i] / s.sigma[i]
		}
		s.addCommon(k, e, u.Common)
	}
	if rest <= explainedTolerance*explainedTolerance*own {
		return 0, Uncertainty{}, false
	}
	for c := range u.Common {
		u.Common[c] /= rest
	}
	chi2 := max(0, s.ChiSquare-along*along/rest)
	u.Independent = scale(chi2, s.DOF-1, s.options.UnknownScale) / math.Sqrt(rest)
	u.total()
	return along / rest, u, true
}

// outside returns what part k's columns cannot give of col, whitened, and col whitened.
func (s *Solution) outside(k int, col []float64) (e, whitened []float64) {
	pt := &s.parts[k]
	whitened = make([]float64, len(pt.rows))
	for at, i := range pt.rows {
		whitened[at] = col[i] / s.sigma[i]
	}
	c := make([]float64, pt.q.cols)
	pt.q.timesT(whitened, c)
	e = append([]float64(nil), whitened...)
	for at, v := range pt.outward(c) {
		e[at] -= v
	}
	return e, whitened
}

// moves tells whether the quantity with gradient g depends on the part at all.
func (pt *part) moves(g []float64) bool {
	for _, u := range pt.unknowns {
		if g[u] != 0 {
			return true
		}
	}
	return false
}

// inward takes a gradient (one entry per unknown of the problem) to the orthonormal columns.
func (pt *part) inward(g []float64) []float64 {
	y := make([]float64, pt.t.cols)
	for j, u := range pt.unknowns {
		if g[u] == 0 {
			continue
		}
		for k, v := range pt.t.row(j) {
			y[k] += v * g[u]
		}
	}
	return y
}

// outward takes coefficients of the orthonormal columns to the whitened rows.
func (pt *part) outward(y []float64) []float64 {
	rows := make([]float64, len(pt.rows))
	pt.q.times(y, rows)
	return rows
}

// unexplained is the row at of I - q q^T: how the whitened rows move that row's residual.
func (pt *part) unexplained(at int) []float64 {
	e := pt.outward(pt.q.row(at))
	for i := range e {
		e[i] = -e[i]
	}
	e[at]++
	return e
}

// alongFree returns the squared length of g in the part's scaled unknowns, and that of its
// component along the free directions.
func (pt *part) alongFree(g []float64) (all, free float64) {
	scaled := make([]float64, len(pt.unknowns))
	for j, u := range pt.unknowns {
		scaled[j] = g[u] * pt.scale[j]
	}
	for _, d := range pt.basis.scaled {
		along := dot(scaled, d)
		free += along * along
	}
	return dot(scaled, scaled), free
}
