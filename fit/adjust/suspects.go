package adjust

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	defaultAlpha = 0.05
	// mostSuspects is where snooping stops: a set with more wrong rows than this wants
	// measuring again, not naming.
	mostSuspects = 5
	// leastRedundancy is the redundancy below which a residual says nothing about its row: an
	// error would have to be a thousand times the residual.
	leastRedundancy = 1e-6
	// sameDirection is the squared correlation of two residuals above which the rows cannot be
	// told apart.
	sameDirection = 1 - 1e-6
	// tie is how much larger, relatively, a standardised residual must be to be worse than that of
	// an earlier row: rows with one misfit have the same up to rounding.
	tie = 1e-9
	// claimsHold is the chance of chi-square above which the other rows are taken to agree with
	// their Sigmas, so that Baarda's known-sigma test may stand alone.
	claimsHold = 0.2
	// popeNeeds is the number of redundant rows, besides the suspect, from which Pope's test has
	// power: with fewer Student's t asks for 7 and more (up to hundreds) standard deviations.
	popeNeeds = 4
)

// Suspects snoops the data, the worst row first, then what is still beyond once that row is set
// aside (linearised at X; five at most). A row is worst whose residual is most standard
// deviations long (Baarda). It must be beyond the normal critical value, the chance Alpha spread
// over the rows. Besides, either the rows that remain must agree with their Sigmas, or be too
// few to tell, or the row must stand out even when the standard deviation is estimated from the
// others (Pope); so that gauges worse than they claim do not make every row a suspect. A row
// that fails this second test for sitting beside another wrong one is still named when
// setting both aside passes it (as in Rosner's generalised test, 1983). With UnknownScale only
// Pope's test counts, and of rows named together only the last need be beyond its Critical.
// Rows that share one misfit, as all do where one row is redundant, cannot be told apart: one is
// named and the others are its Rivals.
func (s *Solution) Suspects() []Suspect {
	alpha, tested := s.testedRows()
	critical := baarda(spreadAlpha(alpha, tested))
	if s.DOF <= 0 || !s.options.UnknownScale && !s.anyBeyond(critical) {
		return nil
	}
	b := newSnooping(s, critical)
	var found []Suspect
	certain := 0
	for b.dof > 0 && len(found) < mostSuspects {
		next, i := b.worst()
		if i < 0 {
			break
		}
		before := b.chi2 / float64(b.dof)
		next.Rivals = b.setAside(i)
		var ok, goOn bool
		next.Critical, ok, goOn = b.held(math.Abs(next.W), before)
		if !goOn {
			break
		}
		found = append(found, next)
		if ok {
			certain = len(found)
		}
	}
	return found[:certain]
}

// anyBeyond reports whether any standardised residual comes near the critical value.
func (s *Solution) anyBeyond(critical float64) bool {
	most := critical * (1 - tie)
	for i, r := range s.Residuals {
		w := r / s.sigma[i]
		if share := s.Redundancy[i]; w*w > most*most*share && share > leastRedundancy {
			return true
		}
	}
	return false
}

// snooping is the state of snooping: whitened residuals and redundancies after some rows have been
// set aside. Setting row i aside is adding an unknown that only row i has, so it is one more
// orthonormal direction taken out of the residuals.
type snooping struct {
	s          *Solution
	critical   float64 // of a standardised residual (Baarda)
	residual   []float64
	redundancy []float64
	taken      [][][]float64 // per component, the directions taken out
	dof        int
	chi2       float64
}

func newSnooping(s *Solution, critical float64) *snooping {
	n := len(s.Residuals)
	b := &snooping{
		s: s, critical: critical, dof: s.DOF, chi2: s.ChiSquare, taken: make([][][]float64, len(s.components)),
		residual: make([]float64, n), redundancy: append(make([]float64, 0, n), s.Redundancy...),
	}
	for i, r := range s.Residuals {
		b.residual[i] = r / s.sigma[i]
	}
	return b
}

// worst is the row with the largest standardised residual, -1 if none can be tested.
func (b *snooping) worst() (Suspect, int) {
	var worst Suspect
	at := -1
	for i, r := range b.residual {
		if b.redundancy[i] <= leastRedundancy {
			continue
		}
		w := r / math.Sqrt(b.redundancy[i])
		if at < 0 || math.Abs(w) > math.Abs(worst.W)*(1+tie) {
			at = i
			worst = Suspect{Row: i, W: w, Error: r / b.redundancy[i] * b.s.sigma[i]}
		}
	}
	return worst, at
}

// held tests a row of standardised residual w once it is set aside; before is chi-square over
// dof with it. beyond says that the row may be one of several wrong ones, certain that all up to
// and including it are.
func (b *snooping) held(w, before float64) (critical float64, certain, beyond bool) {
	critical = b.critical
	if b.s.options.UnknownScale {
		pope := b.pope(before)
		return pope, w > pope, true
	}
	if w <= critical {
		return critical, false, false
	}
	if b.dof < popeNeeds || survival(b.chi2, b.dof) > claimsHold {
		return critical, true, true
	}
	pope := b.pope(before)
	if w <= pope {
		return critical, false, true
	}
	return max(critical, pope), true, true
}

// pope is Pope's critical value in units of the Sigmas.
func (b *snooping) pope(before float64) float64 {
	if b.dof <= 0 {
		return math.Inf(1)
	}
	alpha, tested := b.s.testedRows()
	return popeTau(spreadAlpha(alpha, tested), b.dof+1) * math.Sqrt(before)
}

// setAside takes row i out and returns the rows that went with it, whose residuals were the same
// but for a factor.
func (b *snooping) setAside(i int) []int {
	k := b.s.rowAt[i].component
	c := &b.s.components[k]
	e := c.unexplained(b.s.rowAt[i].place)
	removeAlong(e, b.taken[k])
	length := norm(e)
	var rivals []int
	along := 0.0
	for at, row := range c.rows {
		e[at] /= length
		along += e[at] * b.residual[row]
	}
	for at, row := range c.rows {
		share := e[at] * e[at]
		if row != i && b.redundancy[row] > leastRedundancy && share > sameDirection*b.redundancy[row] {
			rivals = append(rivals, row)
		}
		b.residual[row] -= along * e[at]
		b.redundancy[row] = max(0, b.redundancy[row]-share)
	}
	b.redundancy[i] = 0
	b.taken[k] = append(b.taken[k], e)
	b.chi2 = max(0, b.chi2-along*along)
	b.dof--
	slices.Sort(rivals)
	return rivals
}

// unexplained is the row at of I - Q Q^T: how the whitened rows move that row's residual.
func (c *component) unexplained(at int) []float64 {
	e := make([]float64, len(c.rows))
	for k := range c.q.rows {
		addTo(e, -c.q.row(k)[at], c.q.row(k))
	}
	e[at]++
	return e
}

// survival is the chance of a chi-square of dof degrees of freedom above x, 1 without any.
func survival(x float64, dof int) float64 {
	if dof <= 0 {
		return 1
	}
	return distuv.ChiSquared{K: float64(dof)}.Survival(x)
}

// spreadAlpha is the chance of error to allow each of n independent tests, so that all together
// make one with probability alpha (Šidák 1967).
func spreadAlpha(alpha float64, n int) float64 {
	return -math.Expm1(math.Log1p(-alpha) / float64(n))
}

// baarda is the two-sided critical value of a residual over its standard deviation where that is
// known: standard normal (Baarda, A Testing Procedure for Use in Geodetic Networks, 1968).
func baarda(alpha float64) float64 {
	return distuv.UnitNormal.Quantile(1 - alpha/2)
}

// popeTau is the two-sided critical value of the same ratio where the standard deviation is
// estimated from the dof redundant rows, that residual among them: with t Student's at dof-1,
// tau = t sqrt(dof) / sqrt(dof-1+t^2) (Pope, The Statistics of Residuals and the Detection of
// Outliers, 1976). It needs dof of 2 or more; with 1 the ratio is always 1 and tests nothing.
func popeTau(alpha float64, dof int) float64 {
	n := float64(dof)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(1 - alpha/2)
	return t * math.Sqrt(n) / math.Sqrt(n-1+t*t)
}

// testedRows is the chance of error for all rows that can be tested, and their number.
func (s *Solution) testedRows() (alpha float64, tested int) {
	alpha = s.options.Alpha
	if alpha == 0 {
		alpha = defaultAlpha
	}
	for _, r := range s.Redundancy {
		if r > leastRedundancy {
			tested++
		}
	}
	return alpha, max(1, tested)
}
