package adjust

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	defaultAlpha = 0.02
	// mostSuspects is where snooping stops in one component: a set with more wrong rows than this wants
	// measuring again, not naming.
	mostSuspects = 5
	// leastRedundancy is the redundancy below which a residual says nothing about its row: an
	// error would have to be a thousand times the residual.
	leastRedundancy = 1e-6
	// claimsHold is the chance of chi-square above which the other rows are taken to agree with
	// their standard deviations, so that Baarda's known-sigma test may stand alone.
	claimsHold = 0.05
	// blunder is how many standard deviations long a misfit is that no gauge scatters by, were it two or three times worse
	// than claimed.
	blunder = 8.0
	// farther is how many times as long, squared, such a misfit is as what is left for a degree of freedom, where that is more
	// than claimed.
	farther = 25.0
	// rivalry is by how much chi-square may be longer with another error set aside for that to be a rival: were one
	// of two wrong, the odds for the better one are exp(rivalry/2), 20 to 1. An error whose residuals have less than
	// alike of theirs squared in common is another matter.
	rivalry = 6.0
	alike   = 0.5
	// linear is to what part of chi-square rows that are linearised about a place that the error itself has moved can tell.
	linear = 0.01
)

// Suspect is an error that would explain why rows do not agree with the others: that one row was misread, or
// that a place which was read more than once leaves the form.
type Suspect struct {
	Row      int     // the row, or the first one of the place
	Place    bool    // it is the place: all its rows are off alike
	W        float64 // misfit along the error over its standard deviation, signed (Baarda)
	Critical float64 // what |W| was held against
	Error    float64 // most likely size: observed less what the others say
	Rivals   []Rival // other errors that explain the misfit about as well, the likeliest first; often empty

	of        *Solution
	component *component
	effects   [][]float64 // along the columns of Q: by how much this error and each rival move the solution, if it is no scatter
}

// Rival is another error that may be meant, as in Suspect.
type Rival struct {
	Row   int
	Place bool
	Error float64
}

// effect is the most by which one of the errors in question moves the quantity that lies along the columns of Q
// of all components as y says, signed.
func (f *Suspect) effect(y []float64) float64 {
	most := 0.0
	for _, effect := range f.effects {
		if by := dot(effect, y[f.component.first:]); math.Abs(by) > math.Abs(most) {
			most = by
		}
	}
	return most
}

// Moves is by how much the error, or that of a rival, may move the quantity with gradient g; 0 where the error
// may be scatter, of which the factor of its component takes account.
func (f *Suspect) Moves(g []float64) float64 {
	var room [roomy]float64
	return f.effect(f.of.alongQ(g, room[:], nil))
}

// Suspects are the errors found by snooping, component by component: the worst first, then what is still beyond
// once that is set aside (linearised at X; five at most). What is so far out that it cannot be scatter does not
// raise a component's factor, but is added to the uncertainty of what it moves.
//
// An error is worst whose misfit is most standard deviations long (Baarda). It must be beyond the normal
// critical value, the chance Alpha spread over all that may be wrong. Besides, either what remains of the component
// must agree with its standard deviations, or the error must stand out even when
// the standard deviation is estimated from the others (Pope); so that gauges worse than they claim do not make
// every row a suspect. One that fails this second test for sitting beside another is still named when setting
// both aside passes it (as in Rosner's generalised test, 1983). With UnknownScale only Pope's test counts, and of
// errors named together only the last need be beyond its Critical; with KnownScale Pope's does not count.
func (s *Solution) Suspects() []Suspect { return s.suspects }

// candidate is an error that may have been made, with what it does to the whitened misfits.
type candidate struct {
	at        int // the row's place in the component, or that of the first row of the place
	block     *block
	signature []float64
	visible   []float64 // of it, what the columns of Q and the errors set aside leave
	length    float64   // of visible
}

// snoop finds the suspects of all components.
func (v *Solver) snoop() {
	alpha := v.options.Alpha
	if alpha == 0 {
		alpha = defaultAlpha
	}
	v.suspects = nil
	each, critical := 0.0, baarda(alpha) // the least that it can be, while nobody knows how many rows are tested
	beyond := func(c *component) bool {
		return c.all.dof > 0 && (v.options.UnknownScale || c.all.chi2 > critical*critical && c.longest() > critical)
	}
	for k := range v.components {
		c := &v.components[k]
		if each == 0 && beyond(c) {
			each = spreadAlpha(alpha, max(1, v.tested(critical)))
			critical = baarda(each)
		}
		if each != 0 && beyond(c) {
			v.snoopIn(c, critical, each)
		}
	}
}

// tested is how many misfits are tested: one a row that others check. Where a component of few degrees of freedom is longer
// than one misfit may be, rows along which its misfit is one and the same are one test.
func (v *Solver) tested(one float64) (n int) {
	const fewChecks, same = 3, 1 - 1e-6 // degrees of freedom; a cosine squared
	for k := range v.components {
		c := &v.components[k]
		if c.all.dof > fewChecks || c.all.chi2 <= one*one {
			for _, i := range c.rows {
				if v.Redundancy(i) > leastRedundancy {
					n++
				}
			}
			continue
		}
		var different [][]float64
		for _, e := range v.candidates(c) {
			length := dot(e.visible, e.visible)
			along := func(d []float64) bool {
				common := dot(d, e.visible)
				return common*common > same*length*dot(d, d)
			}
			if e.block == nil && length > leastRedundancy*dot(e.signature, e.signature) && !slices.ContainsFunc(different, along) {
				different = append(different, e.visible)
			}
		}
		n += len(different)
	}
	return n
}

// longest is the longest misfit along a row, in standard deviations; with errors that rows share, at the most.
func (c *component) longest() (most float64) {
	if len(c.blocks) > 0 {
		return math.Sqrt(c.all.chi2)
	}
	for at, misfit := range c.misfits {
		if free := 1 - leverage(&c.q, at); free > leastRedundancy {
			most = max(most, math.Abs(misfit)/math.Sqrt(free))
		}
	}
	return most
}

// snoopIn finds those of a component.
func (v *Solver) snoopIn(c *component, critical, each float64) {
	candidates := v.candidates(c)
	left := c.all
	var found []Suspect
	var units [][]float64
	certain, aside, kept := 0, 0, left
	for left.dof > 0 && len(found) < mostSuspects {
		next := v.worst(c, candidates)
		if next == nil {
			break
		}
		w, sure := math.Abs(next.W), true
		if !v.options.UnknownScale && w <= critical {
			break
		}
		best := next.candidate
		before := left.chi2 / float64(left.dof)
		left.chi2, left.dof = max(0, left.chi2-next.W*next.W), left.dof-1
		unit := slices.Clone(best.visible)
		scaleBy(unit, 1/best.length)
		for i := range candidates {
			addTo(candidates[i].visible, -dot(unit, candidates[i].visible), unit)
		}
		pope := math.Inf(1)
		if left.dof > 0 {
			pope = popeTau(each, left.dof+1) * math.Sqrt(before)
		}
		next.Critical = critical
		switch {
		case v.options.UnknownScale:
			next.Critical, sure = pope, w > pope
		case !v.options.KnownScale && survival(left.chi2, left.dof) <= claimsHold:
			far := w > blunder && w*w*float64(left.dof) > farther*left.chi2
			if next.Critical, sure = max(critical, pope), w > pope || far; far {
				next.Critical = critical
			}
		}
		found, units = append(found, next.Suspect), append(units, unit)
		if !sure {
			continue
		}
		certain = len(found)
		if !v.options.UnknownScale && (w > pope || w > blunder) {
			aside, kept = certain, left
		}
	}
	for i := range found[aside:] {
		found[aside+i].effects = nil
	}
	v.suspects = append(v.suspects, found[:certain]...)
	c.all, c.aside = kept, units[:aside]
	v.leaveOut(c, found[:aside])
}

// leaveOut takes what rows add that may be misread out of how the gauges of a component scatter.
func (v *Solver) leaveOut(c *component, misread []Suspect) {
	for k := range c.blocks {
		b := &c.blocks[k]
		in := func(f Suspect) bool { return !f.Place && slices.Contains(b.rows, v.rowAt[f.Row].place) }
		if b.place && slices.ContainsFunc(misread, in) {
			chi2, dof := b.scatter(c.misfits)
			c.pure.chi2, c.pure.dof = max(0, c.pure.chi2-chi2), c.pure.dof-dof
		}
	}
}

// candidates are the rows, and the places that were read more than once.
func (v *Solver) candidates(c *component) []candidate {
	var list []candidate
	add := func(at int, b *block, signature []float64) {
		c.whiten(signature, 1)
		visible := slices.Clone(signature)
		c.project(visible)
		list = append(list, candidate{at: at, block: b, signature: signature, visible: visible})
	}
	for at, i := range c.rows {
		e := make([]float64, len(c.rows))
		e[at] = 1 / v.sigma[i]
		add(at, nil, e)
	}
	for k := range c.blocks {
		if b := &c.blocks[k]; b.place {
			e := make([]float64, len(c.rows))
			for _, at := range b.rows {
				e[at] = 1 / v.sigma[c.rows[at]]
			}
			add(b.rows[0], b, e)
		}
	}
	return list
}

// named is a suspect with the candidate that it is.
type named struct {
	Suspect
	candidate *candidate
}

// worst is the candidate with the longest misfit along it, with its rivals; nil if none can be tested. Of several that
// are alike but for rounding it is the first.
func (v *Solver) worst(c *component, list []candidate) *named {
	const rounding = 1e-9
	along := make([]float64, len(list))
	best := -1
	for k := range list {
		e := &list[k]
		e.length = norm(e.visible)
		if e.length*e.length <= leastRedundancy*dot(e.signature, e.signature) {
			e.length = 0
			continue
		}
		along[k] = dot(e.visible, c.misfits) / e.length
		if best < 0 || math.Abs(along[k]) > math.Abs(along[best])*(1+rounding) {
			best = k
		}
	}
	if best < 0 {
		return nil
	}
	b := &list[best]
	out := &named{candidate: b}
	out.Row, out.Place, out.W, out.Error = c.rows[b.at], b.block != nil, along[best], along[best]/b.length
	out.of, out.component = &v.Solution, c
	out.effects = append(out.effects, c.moved(b, out.Error))
	for k := range list {
		e := &list[k]
		if k == best || e.length == 0 || along[best]*along[best]-along[k]*along[k] > max(rivalry, linear*along[best]*along[best]) {
			continue
		}
		if common := dot(e.visible, b.visible) / (e.length * b.length); common*common < alike {
			continue
		}
		size := along[k] / e.length
		out.Rivals = append(out.Rivals, Rival{c.rows[e.at], e.block != nil, size})
		out.effects = append(out.effects, c.moved(e, size))
	}
	slices.SortStableFunc(out.Rivals, func(a, b Rival) int { return a.Row - b.Row })
	return out
}

// moved is where an error of this size moves the solution, along the columns of Q.
func (c *component) moved(e *candidate, size float64) []float64 {
	y := make([]float64, c.q.rows)
	c.q.times(e.signature, y)
	scaleBy(y, size)
	return y
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

// Critical is what a misfit is held against, in standard deviations, where n are tested and Options.Alpha is this. Of
// rows whose squared misfits come to less than its square all together none is a suspect.
func Critical(n int, alpha float64) float64 { return baarda(spreadAlpha(alpha, n)) }

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
