package adjust

import (
	"math"
	"slices"
)

// Solution is the outcome of Solve. Gradients handed to its methods have one entry per unknown.
type Solution struct {
	X          []float64   // parameters; where the rank is short, the shortest corrections to Start (see Reach)
	Residuals  []float64   // Value less what the equations give at X, a row each
	DOF        int         // rows less rank
	ChiSquare  float64     // sum of (Residual/Sigma)^2
	Scale      float64     // the largest component's factor on its standard deviations, see Uncertainty; at least 1, or the ratio itself with UnknownScale
	Condition  float64     // condition number of the whitened, column-scaled equations, free directions apart; the worst component's
	Null       [][]float64 // orthonormal directions that the rows leave free; empty at full rank
	Iterations int         // Gauss-Newton steps of the component that took most; 1 where every row is linear

	options    Options
	own, sigma []float64 // a row each: without and with the deviation of a place read once
	causes     []float64 // standard deviations
	common     grid      // columns of Q of all components by causes: Q^T shifts; of a component as many as it has unknowns
	alongs     []along   // of the unknowns
	components []component
	unknownAt  []position
	rowAt      []position
	suspects   []Suspect
	scaled     []int // the components with a factor other than 1, or places of groups
	groups     []group
	groupOf    []int     // of each row, from 0; -1 for none
	odd        []float64 // of each row, by how much its place's variance is beyond its likes', of theirs
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
		at := s.unknownAt[u]
		c := &s.components[at.component]
		slope *= c.scale[at.place]
		for k, d := range c.scaled {
			along[c.firstFree+k] += slope * d[at.place]
		}
		all += slope * slope
	}
	return dot(along, along) <= freeTolerance*freeTolerance*all
}

// noRedundancy is the redundancy that is only the rounding of zero: leverages are sums of up to
// some hundred squares, each right to 1e-16.
const noRedundancy = 1e-12

// Redundancy is the share of row i's own error that shows in its residual, 0 to 1.
func (s *Solution) Redundancy(i int) float64 {
	share, _ := s.ownError(i)
	return share
}

// Normalised is what the residuals say of row i's own error, over its standard deviation as claimed (Baarda), positive where the row reads
// more than the others say; 0 where nothing shows.
func (s *Solution) Normalised(i int) float64 {
	_, w := s.ownError(i)
	return w
}

func (s *Solution) ownError(i int) (share, normalised float64) {
	at := s.rowAt[i]
	c := &s.components[at.component]
	if len(c.rows) == c.q.rows {
		return 0, 0
	}
	share = 1 - leverage(&c.q, at.place)
	size, along := 1.0, c.misfits[at.place]
	if len(c.blocks) > 0 {
		var room [roomy]float64
		e := scratch(room[:], len(c.rows))
		e[at.place] = 1
		c.whiten(e, 1)
		size, along = dot(e, e), dot(e, c.misfits)
		c.project(e)
		share = dot(e, e) / size
	}
	if share < noRedundancy {
		return 0, 0
	}
	return share, along / math.Sqrt(share*size)
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
	Independent float64   // from what is each row's or place's alone, scaled
	Common      []float64 // signed, from each cause: gradient . J . shift coefficients . cause's sd
	Doubt       float64   // from suspects: by how much they move the quantity if they are wrong
	DOF         float64   // degrees of freedom of Std; 0 where next to nothing of it was taken from scatter or is a guess of the form, so that there is no end to them
}

// Uncertainty propagates the rows' and the causes' variances to the quantity with gradient g,
// first order: g (A^T W A)^+ g of each component for what is each row's or place's alone, times the factors of the
// groups that places are of (see group), and of the component where its rows scatter more than is claimed (Birge), with degrees
// of freedom of the sum by Welch and Satterthwaite (GUM, G.4.1); and sd . g . J . c for each common cause, where J is the least-squares left inverse
// and c the cause's shifts. Causes are not scaled: what is common to all rows shows in no residual. Ask Estimable
// first: of a quantity that the rows do not determine this is the uncertainty of the part they do.
func (s *Solution) Uncertainty(g []float64) Uncertainty {
	var u Uncertainty
	s.UncertaintyInto(g, &u)
	return u
}

// UncertaintyInto is Uncertainty written to u, in the room that u.Common has.
func (s *Solution) UncertaintyInto(g []float64, u *Uncertainty) {
	var room [roomy]float64
	*u = Uncertainty{Common: slices.Grow(u.Common[:0], len(s.causes))[:len(s.causes)]}
	clear(u.Common)
	y := s.alongQ(g, room[:], u.Common)
	m := mixture{rest: dot(y, y)}
	for _, k := range s.scaled {
		c := &s.components[k]
		along := y[c.first : c.first+c.q.rows]
		square := dot(along, along)
		if square == 0 {
			continue
		}
		rest := square
		if len(c.groups) > 0 {
			rest = s.byGroups(c, along, square, &m)
		}
		m.rest += c.all.scaled(rest, &m.spent) - square
	}
	u.Independent = math.Sqrt(max(0, m.total(s.groups)))
	doubt := 0.0
	for i := range s.suspects {
		effect := s.suspects[i].effect(y)
		doubt += effect * effect
	}
	u.Doubt = math.Sqrt(doubt)
	u.total(m.spent)
}

// scaled is a variance times the factor squared; spent sums the squares of what is scaled over its degrees of freedom.
func (a *spread) scaled(variance float64, spent *float64) float64 {
	if a.scale != 1 {
		variance *= a.scale * a.scale
		*spent += variance * variance / float64(a.by)
	}
	return variance
}

// total sums up; degrees of freedom are the variance squared over what was spent (Welch and Satterthwaite).
func (u *Uncertainty) total(spent float64) {
	variance := u.Independent*u.Independent + dot(u.Common, u.Common) + u.Doubt*u.Doubt
	u.Std = math.Sqrt(variance)
	if dof := variance * variance / spent; dof < manyDOF {
		u.DOF = dof
	}
}

// manyDOF are degrees of freedom of which Student's factors are the normal ones to a thousandth; of far more of them
// its distribution is lost to rounding.
const manyDOF = 2000

// along is an unknown along the columns of Q, of which it takes those from the first on, with what one standard
// deviation of each cause does to it.
type along struct {
	first  int
	parts  []float64
	common []float64
}

// findAlongs takes every unknown to the columns of Q.
func (v *Solver) findAlongs() {
	common := v.mem.grid(len(v.X), len(v.causes))
	v.alongs = slices.Grow(v.alongs[:0], len(v.X))[:len(v.X)]
	for u, at := range v.unknownAt {
		c := &v.components[at.component]
		parts, from := c.rInverse.row(at.place), 0
		if len(c.null) == 0 {
			from = at.place // it is a triangle
		}
		a := &v.alongs[u]
		a.first, a.parts, a.common = c.first+from, parts[from:], common.row(u)
		for k, part := range a.parts {
			addTo(a.common, part, v.common.row(a.first+k))
		}
	}
}

// alongQ takes a gradient to the columns of Q, in the room given if they fit, and adds what one standard deviation of
// each cause does to the quantity to common, if that has room.
func (s *Solution) alongQ(g, room, common []float64) []float64 {
	s.mustFit(g)
	y := scratch(room, len(s.X))
	for u, slope := range g {
		if slope != 0 {
			a := &s.alongs[u]
			addTo(y[a.first:a.first+len(a.parts)], slope, a.parts)
			addTo(common, slope, a.common[:len(common)])
		}
	}
	return y
}

// Covariance of the quantities with gradients g and h, common causes and suspects included.
func (s *Solution) Covariance(g, h []float64) float64 { return s.Covariances([][]float64{g, h})[1][0] }

// Covariances are those of many quantities, each with each, by their gradients: the products of what each of them
// becomes once its causes are independent and of one.
func (s *Solution) Covariances(gradients [][]float64) [][]float64 {
	white := make([][]float64, len(gradients))
	for i, g := range gradients {
		v := make([]float64, len(s.causes))
		y := s.alongQ(g, nil, v)
		for k := range s.components {
			c := &s.components[k]
			along, from := y[c.first:c.first+c.q.rows], len(v)
			if len(c.groups) == 0 {
				v = append(v, along...)
				scaleBy(v[from:], c.all.scale)
				continue
			}
			v = append(v, make([]float64, len(c.rows))...)
			c.q.timesT(along, v[from:])
			for at, i := range c.rows {
				v[from+at] *= s.ScaleOf(i)
			}
		}
		for k := range s.suspects {
			v = append(v, s.suspects[k].effect(y))
		}
		white[i] = v
	}
	out := make([][]float64, len(gradients))
	for i := range out {
		out[i] = make([]float64, len(gradients))
		for j := range i + 1 {
			c := dot(white[i], white[j])
			out[i][j], out[j][i] = c, c
		}
	}
	return out
}

// Sensitivity returns, a row each, how the quantity with gradient g moves with that row's Value. It writes to
// the room given, if that suffices.
func (s *Solution) Sensitivity(g, into []float64) []float64 {
	var room, roomE [roomy]float64
	y := s.alongQ(g, room[:], nil)
	into = slices.Grow(into[:0], len(s.Residuals))[:len(s.Residuals)]
	for k := range s.components {
		c := &s.components[k]
		e := scratch(roomE[:], len(c.rows))
		clear(e)
		c.q.timesT(y[c.first:c.first+c.q.rows], e)
		c.whitenT(e)
		for at, i := range c.rows {
			into[i] = e[at] / s.sigma[i]
		}
	}
	return into
}

// ScaleOf is the factor on the standard deviations of row i.
func (s *Solution) ScaleOf(i int) float64 {
	scale := s.components[s.rowAt[i].component].all.scale
	if g := s.groupOf[i]; g >= 0 && s.groups[g].counts(scale) {
		return math.Sqrt(s.groups[g].variance * (1 + s.odd[i]))
	}
	return scale
}

// Deviation is how far a place lies from the form that all its component's places fit best, positive where its
// rows read more than the form says: the mean of the residuals of its rows, weighted by the gauges' own
// variances. Its uncertainty is the gauges' alone, scaled by what the rows of each place scatter among
// themselves, for the deviation is the part's: reading the place more often makes it surer and no smaller.
func (s *Solution) Deviation(rows []int) (value float64, u Uncertainty) {
	c := &s.components[s.rowAt[rows[0]].component]
	var roomE, roomM, roomY [roomy]float64
	m, e := scratch(roomM[:], len(c.rows)), scratch(roomE[:], len(c.rows))
	weights := 0.0
	for _, i := range rows {
		weights += 1 / (s.own[i] * s.own[i])
	}
	for _, i := range rows {
		at := s.rowAt[i].place
		m[at] = 1 / (s.own[i] * s.own[i] * weights)
		value += m[at] * s.Residuals[i]
	}
	// The mean of what the equations give, as a sum over the rows: m^T A J.
	for at, i := range c.rows {
		e[at] = m[at] * s.sigma[i]
	}
	c.unwhitenT(e)
	y := scratch(roomY[:], c.q.rows)
	c.q.times(e, y)
	clear(e)
	c.q.timesT(y, e)
	c.whitenT(e)
	variance, spent := 0.0, 0.0
	for at, i := range c.rows {
		m[at] -= e[at] / s.sigma[i]
		variance += m[at] * m[at] * s.own[i] * s.own[i]
	}
	for k := range c.blocks {
		if b := &c.blocks[k]; !b.place {
			sum := 0.0
			for _, at := range b.rows {
				sum += m[at]
			}
			variance += sum * sum * b.sd * b.sd
		}
	}
	u.Independent = math.Sqrt(c.pure.scaled(variance, &spent))
	u.Common = make([]float64, len(s.causes))
	for at, i := range c.rows {
		addTo(u.Common, m[at]*s.sigma[i], c.raw.row(at))
	}
	u.total(spent)
	return value, u
}

// explainedTolerance is the share of a column's length that may be left outside the columns
// already there when it is a combination of them: their rounding, with a margin.
const explainedTolerance = 1e-9

// Added estimates one further unknown whose column of coefficients is col (a row each): what it
// would come to, with its uncertainty, were it added to the equations (Frisch, Waugh, Lovell).
// The uncertainty carries the scale of the fit with the column added, and no group's factor. Of rows that are not
// linear it takes the equations at X. gain is by how much ChiSquare would fall. ok is false where the rows do not determine it.
func (s *Solution) Added(col []float64) (value float64, u Uncertainty, gain float64, ok bool) {
	if len(col) != len(s.Residuals) {
		panic("adjust: a column needs one entry per row")
	}
	var own, rest, along, spent float64
	var with spread // of the components that the column ties together, with it
	var room [roomy]float64
	e := scratch(room[:], len(col))
	u.Common = make([]float64, len(s.causes))
	for k := range s.components {
		c := &s.components[k]
		outside := e[:len(c.rows)]
		for at, i := range c.rows {
			outside[at] = col[i] / s.sigma[i]
		}
		c.whiten(outside, 1)
		square := dot(outside, outside)
		if square == 0 {
			continue
		}
		own += square
		c.project(outside)
		rest += dot(outside, outside)
		along += dot(outside, c.misfits)
		with.chi2 += c.all.chi2
		with.dof += c.all.dof
		for at := range c.rows {
			addTo(u.Common, outside[at], c.shifts.row(at))
		}
	}
	if rest <= explainedTolerance*explainedTolerance*own {
		return 0, Uncertainty{}, 0, false
	}
	scaleBy(u.Common, 1/rest)
	gain = along * along / rest
	with.chi2, with.dof = max(0, with.chi2-gain), with.dof-1
	with.birge(s.options.UnknownScale)
	u.Independent = math.Sqrt(with.scaled(1/rest, &spent))
	u.total(spent)
	return along / rest, u, gain, true
}

// Without is what row i, which shares no error, reads less what the others say of it, with the uncertainty of what they say:
// suspects among them included, but for those that may be this row.
func (s *Solution) Without(i int) (value float64, u Uncertainty, ok bool) {
	c := &s.components[s.rowAt[i].component]
	var room, roomE [roomy]float64
	outside, own := scratch(room[:], len(c.rows)), s.rowAt[i].place
	outside[own] = 1
	c.project(outside)
	free := outside[own]
	if free <= explainedTolerance {
		return 0, Uncertainty{}, false
	}
	for k := range s.suspects {
		f := &s.suspects[k]
		if f.component != c || f.Row == i || slices.ContainsFunc(f.Rivals, func(r Rival) bool { return r.Row == i }) {
			continue
		}
		most := 0.0
		for _, effect := range f.effects {
			fitted := scratch(roomE[:], len(c.rows))
			clear(fitted)
			c.q.timesT(effect, fitted)
			most = max(most, math.Abs(fitted[own]))
		}
		u.Doubt = math.Hypot(u.Doubt, most*s.sigma[i]/free)
	}
	along := dot(outside, c.misfits)
	with := spread{chi2: max(0, c.all.chi2-along*along/free), dof: c.all.dof - 1}
	with.birge(s.options.UnknownScale)
	u.Common = make([]float64, len(s.causes))
	scaleBy(outside, s.sigma[i]/free)
	var m mixture
	rest := 0.0
	for at, row := range c.rows {
		if at == own {
			continue
		}
		addTo(u.Common, outside[at], c.shifts.row(at))
		if g := s.groupOf[row]; g >= 0 && s.groups[g].counts(with.scale) {
			m.groups[g] += outside[at] * outside[at] * (1 + s.odd[row])
		} else {
			rest += outside[at] * outside[at]
		}
	}
	m.rest = with.scaled(rest, &m.spent)
	u.Independent = math.Sqrt(m.total(s.groups))
	u.total(m.spent)
	return s.sigma[i] * along / free, u, true
}
