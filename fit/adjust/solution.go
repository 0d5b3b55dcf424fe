package adjust

import (
	"math"
	"slices"
)

// Solution is the outcome of Solve. Gradients handed to its methods have one entry per unknown.
type Solution struct {
	X          []float64   // parameters; where the rank is short, the shortest corrections to Start (see Reach)
	Fitted     []float64   // what the equations give at X
	Residuals  []float64   // Value - Fitted, a row each
	Redundancy []float64   // share of a row's own error that shows in its residual, 0 to 1
	DOF        int         // rows less rank
	ChiSquare  float64     // sum of (Residual/Sigma)^2
	Scale      float64     // factor on every Sigma: max(1, Birge ratio), or the ratio itself with UnknownScale
	Condition  float64     // condition number of the whitened, column-scaled equations, free directions apart; the worst component's
	Null       [][]float64 // orthonormal directions that the rows leave free; empty at full rank
	Iterations int         // Gauss-Newton steps of the component that took most; 1 where every row is linear

	options    Options
	sigma      []float64 // a row each
	causes     []float64 // standard deviations
	shifts     grid      // rows by causes: whitened shift coefficients times the cause's sd
	common     grid      // columns of Q of all components by causes: Q^T shifts; of a component as many as it has unknowns
	components []component
	unknownAt  []position
	rowAt      []position
}

// PValue is the chance of a larger ChiSquare when the Sigmas are right; 1 without redundancy.
func (s *Solution) PValue() float64 { return survival(s.ChiSquare, s.DOF) }

// freeTolerance is the share of an estimable gradient that may seem to lie along a free
// direction, and the component below which a free direction does not move an unknown. The
// directions are good to about 1e-10 (rankTolerance bounds what the next direction can leak) and
// gradients come from points that are good to about 1e-8, so a millionth is clear of both.
const freeTolerance = 1e-6

// Estimable reports whether the rows determine the quantity with gradient g. Both g and the free
// directions are compared after column scaling, so that units do not matter; an unknown that no
// row touches counts in its own unit.
func (s *Solution) Estimable(g []float64) bool {
	s.mustFit(g)
	if len(s.Null) == 0 {
		return true
	}
	var room [roomy]float64
	along, all := scratch(room[:], len(s.Null)), 0.0
	for u, slope := range g {
		if slope == 0 {
			continue
		}
		c, place := s.ofUnknown(u)
		slope *= c.scale[place]
		for k, d := range c.scaled {
			along[c.firstFree+k] += slope * d[place]
		}
		all += slope * slope
	}
	return dot(along, along) <= freeTolerance*freeTolerance*all
}

func (s *Solution) ofUnknown(u int) (c *component, place int) {
	at := s.unknownAt[u]
	return &s.components[at.component], at.place
}

// roomy is how many numbers methods keep without asking for memory: the columns of a survey.
const roomy = 64

// scratch is n zeros, in the room given if they fit.
func scratch(room []float64, n int) []float64 {
	if n <= len(room) {
		return room[:n]
	}
	return make([]float64, n)
}

// Free lists, in rising order, the unknowns that the rows do not fix: those that some free
// direction moves.
func (s *Solution) Free() []int {
	var free []int
	for j := range s.X {
		most := 0.0 // of all unit vectors along free directions, squared
		for _, n := range s.Null {
			most += n[j] * n[j]
		}
		if most > freeTolerance*freeTolerance {
			free = append(free, j)
		}
	}
	return free
}

func (s *Solution) mustFit(g []float64) {
	if len(g) != len(s.X) {
		panic("adjust: a gradient needs one entry per unknown")
	}
}

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
	var u Uncertainty
	s.UncertaintyInto(g, &u)
	return u
}

// UncertaintyInto is Uncertainty written to u, in the room that u.Common has.
func (s *Solution) UncertaintyInto(g []float64, u *Uncertainty) {
	var room [roomy]float64
	y := s.alongQ(g, room[:])
	u.Common = slices.Grow(u.Common[:0], len(s.causes))[:len(s.causes)]
	clear(u.Common)
	s.common.timesT(y, u.Common)
	u.Independent = s.Scale * norm(y)
	u.total()
}

// FromCommon is what the common causes bring, all together.
func (u *Uncertainty) FromCommon() float64 { return norm(u.Common) }

func (u *Uncertainty) total() {
	u.Std = math.Sqrt(u.Independent*u.Independent + dot(u.Common, u.Common))
}

// alongQ takes a gradient to the columns of Q, in the room given if they fit.
func (s *Solution) alongQ(g, room []float64) []float64 {
	s.mustFit(g)
	y := scratch(room, s.common.rows)
	for u, slope := range g {
		if slope != 0 {
			c, place := s.ofUnknown(u)
			t, from := c.rInverse.row(place), 0
			if len(c.null) == 0 {
				from = place // it is a triangle
			}
			addTo(y[c.first+from:c.first+len(t)], slope, t[from:])
		}
	}
	return y
}

// Covariance of the quantities with gradients g and h, common causes included.
func (s *Solution) Covariance(g, h []float64) float64 {
	var roomG, roomH, roomC, roomD [roomy]float64
	y, z := s.alongQ(g, roomG[:]), s.alongQ(h, roomH[:])
	c, d := scratch(roomC[:], len(s.causes)), scratch(roomD[:], len(s.causes))
	s.common.timesT(y, c)
	s.common.timesT(z, d)
	return s.Scale*s.Scale*dot(y, z) + dot(c, d)
}

// Sensitivity returns, a row each, how the quantity with gradient g moves with that row's Value. It writes to
// the room given, if that suffices.
func (s *Solution) Sensitivity(g, into []float64) []float64 {
	var room [roomy]float64
	y := s.alongQ(g, room[:])
	into = slices.Grow(into[:0], len(s.Residuals))[:len(s.Residuals)]
	clear(into)
	for k := range s.components {
		c := &s.components[k]
		for column := range c.q.rows {
			if slope := y[c.first+column]; slope != 0 {
				for at, q := range c.q.row(column) {
					into[c.rows[at]] += slope * q
				}
			}
		}
	}
	for i := range into {
		into[i] /= s.sigma[i]
	}
	return into
}

// ResidualUncertainty is the standard uncertainty (common causes included) of row i's residual.
func (s *Solution) ResidualUncertainty(i int) float64 {
	c, at := &s.components[s.rowAt[i].component], s.rowAt[i].place
	var room [roomy]float64
	common := scratch(room[:], len(s.causes))
	copy(common, s.shifts.row(i))
	for k := range c.q.rows {
		addTo(common, -c.q.row(k)[at], s.common.row(c.first+k))
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
	for k := range s.components {
		c := &s.components[k]
		outside := e[:len(c.rows)]
		for at, i := range c.rows {
			outside[at] = col[i] / s.sigma[i]
		}
		square := dot(outside, outside)
		if square == 0 {
			continue
		}
		own += square
		for k := range c.q.rows {
			addTo(outside, -dot(c.q.row(k), outside), c.q.row(k))
		}
		rest += dot(outside, outside)
		along += dot(outside, c.misfits)
		for at, i := range c.rows {
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
