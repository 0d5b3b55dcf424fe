package adjust

import "slices"

// formDOF are the degrees of freedom that the standard deviations of Problem.Places are worth. They are common practice,
// good to 0.7 of themselves: 0.7^-2 / 2 (JCGM 100:2008, G.4.2).
const formDOF = 1.0

// leastShown is the share of itself that a place's residual must show to tell how well made the place is.
const leastShown = 0.05

// mostGroups is how many groups of places a problem may have.
const mostGroups = 8

// group is places that are alike in how far they leave the form, in all components: those of one kind on one part.
//
// Of a place's mean two variances are known beforehand: its readings', by the gauge, and that of what it leaves the form by, which is
// only guessed: f times what is claimed, f the same for the group. Whitened by the claims, the mean has variance
// 1 + (f-1) s, with s the form's share. The form's claim being worth formDOF degrees of freedom, the sum of both is worth
// n0 = formDOF/s^2 (Welch and Satterthwaite). With a scaled inverse chi-squared distribution of so many for that variance before
// the readings, and chi-square with n degrees of freedom left in the places' means, afterwards it is
// (n0 + chi2)/(n0 + n), and a mean of the group is Student's with n0 + n (the conjugate prior of a normal variance, as
// in Gelman et al., Bayesian Data Analysis, 2.6; used for uncertainties by Kacker and Jones, Metrologia 40, 2003; both from
// memory). A part with one place that leaves its form by three standard deviations so has longer intervals, without a test
// that finds it or does not, and without a word on other parts.
//
// It is approximate in three ways. Weights stay those of the claims: the adjustment is unbiased whatever f is. Residuals are
// not independent: with M their covariance under the claims, whose eigenvalues are at most 1, chi-square has
// (tr M)^2 / tr M^2 degrees of freedom, and never less than the n = tr M that are counted. And the factor is that of the group's
// mean share s: of a place whose own share is t it is out by (f-1)(t-s), nothing where all are read alike.
type group struct {
	places        float64 // how many
	chi2, freedom float64 // of their means, and their redundancies
	form, share   float64 // the form's share of their variances, summed over places with redundancies as weights, and without
	prior         float64 // degrees of freedom that the claim of a mean's variance is worth
	variance, dof float64 // the factor on their variances, and its degrees of freedom
}

// beyond is by how much the variance of a place that shows a share of itself in its residual is taken to be beyond its likes', of theirs. Where it is
// f times theirs, chi-square over the share is 1 + (f-1) share in the mean, which gives an estimate of f without bias and of one degree
// of freedom; beside it the claim that f is 1 is worth as much as that of the group. None is taken for better made than its likes.
// So intervals grow where a value hangs on the place that is out, at the end of a line more than elsewhere.
func (g *group) beyond(chi2, share float64, by Scatter) float64 {
	if share < leastShown || by == AsClaimed {
		return 0
	}
	return max(0, chi2/(share*g.variance)-1) / (share * (g.prior + 1))
}

// findGroups finds the factors of all groups, once suspects are known: an error that is no scatter counts for none.
func (v *Solver) findGroups() {
	for i := range v.groupOf {
		if v.groupOf[i] = v.p.Rows[i].Group - 1; v.options.UnknownScale {
			v.groupOf[i] = -1
		}
		v.odd[i] = 0
	}
	for k := range v.components {
		c := &v.components[k]
		c.groups, c.whole = c.groups[:0], true
		for _, i := range c.rows {
			g := v.groupOf[i]
			if c.whole = c.whole && g == v.groupOf[c.rows[0]]; g < 0 || slices.Contains(c.groups, g) {
				continue
			}
			for len(v.groups) <= g {
				v.groups = append(v.groups, group{})
			}
			c.groups = append(c.groups, g)
			v.addPlaces(c, g)
		}
	}
	for k := range v.groups {
		v.groups[k].settle(v.options.Scatter)
	}
	for i, g := range v.groupOf {
		if g >= 0 {
			if v.odd[i] = v.groups[g].beyond(v.odd[i], v.free[i], v.options.Scatter); v.odd[i] > 0 {
				v.components[v.rowAt[i].component].whole = false
			}
		}
	}
}

// addPlaces adds what a component has of a group to that.
func (v *Solver) addPlaces(c *component, g int) {
	single := v.mem.floats.take(len(c.rows)) // 1 for a row of the group that shares no place with others
	for at, i := range c.rows {
		if v.groupOf[i] == g {
			single[at] = 1
		}
	}
	misfits := c.misfits
	if len(c.aside) > 0 {
		misfits = slices.Clone(misfits)
		for _, unit := range c.aside {
			addTo(misfits, -dot(unit, misfits), unit)
		}
	}
	// A place's mean is along v of its block, in which all that Q has of it lies.
	for k := range c.blocks {
		b := &c.blocks[k]
		if !b.place || single[b.rows[0]] == 0 {
			continue
		}
		length, free := dot(b.v, b.v), 1.0
		for _, at := range b.rows {
			single[at] = 0
			free -= leverage(&c.q, at)
		}
		for _, unit := range c.aside {
			along := b.along(unit)
			free -= along * along / length
		}
		along := b.along(misfits)
		v.groups[g].add(along*along/length, free, length/(1+length))
		for _, at := range b.rows {
			v.odd[c.rows[at]], v.free[c.rows[at]] = along*along/length, free
		}
	}
	for at, i := range c.rows {
		if single[at] == 0 {
			continue
		}
		free := 1 - leverage(&c.q, at)
		for _, unit := range c.aside {
			free -= unit[at] * unit[at]
		}
		share := free // of a row that holds an unknown of its own to nothing, which the readings of that take a share of
		if v.p.Rows[i].Place > 0 {
			share = 1 - v.own[i]*v.own[i]/(v.sigma[i]*v.sigma[i])
		}
		v.odd[i], v.free[i] = misfits[at]*misfits[at], free
		v.groups[g].add(v.odd[i], free, share)
	}
}

// leverage is the square of a row of Q^T.
func leverage(q *grid, row int) (sum float64) {
	for k := row; k < len(q.v); k += q.cols {
		sum += q.v[k] * q.v[k]
	}
	return sum
}

// add takes in a place.
func (g *group) add(chi2, freedom, share float64) {
	freedom, share = max(0, freedom), max(0, share)
	g.places++
	g.chi2 += chi2
	g.freedom += freedom
	g.form += freedom * share
	g.share += share
}

// settle finds the factor. With fewer than enoughScatter degrees of freedom Student's factor would say more of the guess than of the part.
func (g *group) settle(by Scatter) {
	share := g.share / max(1, g.places)
	if g.freedom > leastRedundancy {
		share = g.form / g.freedom
	}
	g.prior = formDOF / max(share*share, formDOF/manyDOF)
	chi2 := g.chi2
	if by == AsClaimed {
		chi2 = g.freedom
	}
	g.variance = (g.prior + chi2) / (g.prior + g.freedom)
	g.dof = max(enoughScatter, g.prior+g.freedom)
}

// counts tells whether a group's factor is that of its rows in a component of that scale: where all rows scatter by more
// than they claim, and by more than the group, the component's is.
func (g *group) counts(scale float64) bool { return scale == 1 || g.variance > scale*scale }

// byGroups adds what comes from places of groups to those, of the variance of a quantity that lies along the columns of a
// component's Q as y says, and returns the rest.
func (s *Solution) byGroups(c *component, y []float64, variance float64, m *mixture) (rest float64) {
	if g := c.groups[0]; c.whole && s.groups[g].counts(c.all.scale) {
		m.groups[g] += variance
		return 0
	}
	var room [roomy]float64
	byRow := scratch(room[:], len(c.rows))
	c.q.timesT(y, byRow)
	for at, i := range c.rows {
		if g := s.groupOf[i]; g >= 0 && s.groups[g].counts(c.all.scale) {
			square := byRow[at] * byRow[at]
			m.groups[g] += square * (1 + s.odd[i])
			variance -= square
		}
	}
	return max(0, variance)
}

// mixture is a variance by what it comes from: places of each group, and the rest.
type mixture struct {
	groups [mostGroups]float64
	rest   float64 // with its factor
	spent  float64 // squares of what has a factor over the degrees of freedom of that
}

// total is the variance with all factors.
func (m *mixture) total(groups []group) float64 {
	variance := m.rest
	for k := range groups {
		part := m.groups[k] * groups[k].variance
		variance += part
		m.spent += part * part / groups[k].dof
	}
	return variance
}
