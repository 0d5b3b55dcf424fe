package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/measure"
)

// deviation is how far one place leaves the ideal form, with the standard uncertainty that the gauges leave of it. It is
// the part's own: the oftener the place is read, the surer it gets, and no smaller.
type deviation struct {
	value, std, common float64
	dof                float64          // degrees of freedom of std; 0 for no end
	reading            *measure.Reading // one of the place
}

// rowsByPlace are the rows of the readings wanted, a list a place.
func (s *solved) rowsByPlace(wanted func(r *measure.Reading) bool) [][]int {
	var list [][]int
	at := map[int]int{}
	for i, r := range s.Source {
		if r == nil || s.Problem.Rows[i].Place == 0 || !wanted(r) {
			continue
		}
		k, seen := at[s.Problem.Rows[i].Place]
		if !seen {
			k = len(list)
			at[s.Problem.Rows[i].Place], list = k, append(list, nil)
		}
		list[k] = append(list[k], i)
	}
	return list
}

// deviations are those of places from the form that all fit best.
func (s *solved) deviations(places [][]int) []deviation {
	list := make([]deviation, len(places))
	for k, rows := range places {
		value, u := s.fit.Deviation(rows)
		list[k] = deviation{value, u.Std, s.common(u.Common), u.DOF, s.Source[rows[0]]}
	}
	return list
}

// A deviation contends in full for being the worst of several up to inContention standard uncertainties behind the largest, and not at all from
// outOfIt on: one that is in truth four behind is picked, and out by more than its interval, with a twentieth of the chance of the largest itself.
// Of 1 to 16 deviations, all nothing or out by up to ten standard uncertainties, the worst's interval so holds 94.3 to 97 % (TestWorstIsHeld).
const (
	inContention = 2.0
	outOfIt      = 4.0
)

// falling is 1 up to one place, 0 from another on, and straight between.
func falling(x, from, to float64) float64 { return max(0, min(1, (to-x)/(to-from))) }

// worstOf is the largest of several deviations, by size. As it was picked, its uncertainty must hold for all that might have
// been: std is the largest of theirs, and among how many there were, each counted the less the farther it is behind, so
// that neither jumps where two change places.
func worstOf(list []deviation) (at int, std, among float64) {
	mean := 0.0
	for k, d := range list {
		mean += d.std / float64(len(list))
		if math.Abs(d.value) > math.Abs(list[at].value) {
			at = k
		}
	}
	for _, d := range list {
		weight := 1.0
		if behind := math.Abs(list[at].value) - math.Abs(d.value); behind > 0 {
			weight = falling(behind, inContention*mean, outOfIt*mean)
		}
		among += weight
		std = max(std, weight*d.std)
	}
	return at, std, among
}

// factorFor is the coverage factor of one of so many values picked as the worst, each normal, or Student's with degrees
// of freedom other than 0: all of them together hold with Confidence (Šidák 1967).
func factorFor(among, dof float64) float64 {
	z := normalFactor
	switch {
	case among != 1:
		z = distuv.UnitNormal.Quantile(1 - (1-math.Pow(Confidence, 1/among))/2)
	case dof == 0:
		return Coverage
	}
	if dof == 0 {
		return z
	}
	return studentQuantile(z, dof)
}

// judgeApart gives a characteristic the worst of several distances between holes and decides it by all of them, each as
// sure as the worst: holes of a pattern are read alike. Of a distance that is more than chance by itself makes of holes right on each other only
// the error along it counts, and of one that may be nothing, the error either way, with standard deviations x and y.
func (a *assembly) judgeApart(c *Characteristic, list []deviation, along deviation, x, y float64) {
	const surely = 1.25 // times what chance makes
	worst := 0.0
	for _, d := range list {
		worst = max(worst, d.value)
	}
	around := max(along.std, x, y)
	chance := lengthWithin(around, math.Sqrt(max(0, x*x+y*y-around*around)), math.Pow(Confidence, 1/float64(len(list))))
	open := falling(worst, chance, surely*chance+math.SmallestNonzeroFloat64)
	std := math.Sqrt(open*around*around + (1-open)*along.std*along.std)
	for k := range list {
		list[k].std, list[k].common, list[k].dof = std, along.common, along.dof
	}
	a.judgeWorst(c, list)
	if open == 0 || c.StdUncertainty == 0 {
		return
	}
	k := c.StdUncertainty * Coverage / std
	longer := 1.0 // Student's distribution than the normal one
	if along.dof != 0 {
		_, _, among := worstOf(list)
		longer = k / factorFor(among, 0)
	}
	c.StdUncertainty = ((1-open)*along.std*k + open*chance*longer) / Coverage
}

// lengthWithin is what the length of two errors square to each other, normal with standard deviations x and y, stays within with
// probability p: their sum of squares is taken for chi-square of as many degrees of freedom as give its variance (Satterthwaite 1946), and that
// for the cube of a normal number (Wilson and Hilferty 1931). Good to 1.5 %.
func lengthWithin(x, y, p float64) float64 {
	sum := x*x + y*y
	if sum == 0 {
		return 0
	}
	bend := 2 * (x*x*x*x + y*y*y*y) / (9 * sum * sum)
	return math.Sqrt(sum * math.Pow(1-bend+distuv.UnitNormal.Quantile(p)*math.Sqrt(bend), 3))
}

// judgeWorst gives a characteristic the worst of several deviations and decides it by all of them: it passes when
// they are all inside together, 1 - sum(1 - p) >= Confidence (Bonferroni), and fails when one alone is beyond a limit with as
// much, after the same allowance.
func (a *assembly) judgeWorst(c *Characteristic, list []deviation) {
	at, std, among := worstOf(list)
	d := list[at]
	c.Value, c.Among, c.DOF = d.value, len(list), d.dof
	c.StdUncertainty, c.Common = std*factorFor(among, d.dof)/Coverage, d.common
	if !c.decidable() {
		return
	}
	outside, alone := 0.0, 1.0
	for _, d := range list {
		below, above := tailsOf(d.value, d.std, d.dof, c.Lower, c.Upper)
		outside += below + above
		alone = min(alone, 1-max(below, above))
	}
	c.P = max(0, 1-outside)
	c.Verdict = decide(a.options.Rule, c, alone*float64(len(list)) <= 1-Confidence)
	a.advise(c, nil)
}

// tailsOf are the probabilities that a true value lies below and above two limits, its estimate y having standard
// uncertainty u, normally distributed or by Student's with degrees of freedom other than 0.
func tailsOf(y, u, dof, lower, upper float64) (below, above float64) {
	tail := func(room float64) float64 {
		switch {
		case math.IsInf(room, 1):
			return 0
		case u == 0 && room < -rounding:
			return 1
		case u == 0:
			return 0
		case dof != 0:
			return studentTail(room/u, dof)
		}
		return tail(room / u)
	}
	return tail(y - lower), tail(upper - y)
}
