package adjust

import "math"

const (
	// leastSquare and mostSquare bound sums of squares that neither underflow nor overflow in parts
	// that matter.
	leastSquare = 1e-200
	mostSquare  = 1e200
)

// lone is an unknown that one row fixes, as a reading of a hole's coordinate does, and nothing else.
type lone struct{ row, unknown, column int }

// solveLones solves and judges them: most rows of a survey are theirs.
func (v *Solver) solveLones() error {
	if len(v.lones) > 0 {
		v.solution.Iterations = 1
	}
	for i := range v.lones {
		if at := &v.lones[i]; !v.solveLone(at) {
			v.own[at.unknown] = 0
			if err := v.solvePart(&v.parts[v.unknownPart[at.unknown]]); err != nil {
				return err
			}
		}
	}
	return nil
}

// solveLone gives up where anything is out of the ordinary. The row fits: it has no redundancy, and
// its whitened column made a unit is its sign.
func (v *Solver) solveLone(at *lone) bool {
	r, s, u := &v.p.Rows[at.row], &v.solution, at.unknown
	c, x := r.Terms[0].Coef, v.x[u]
	weight, inverse := 1/r.Sigma, 1/c
	square, step := c*weight*c*weight, (r.Value-c*x)*inverse
	if !(square > leastSquare && square < mostSquare) || !finite(step) {
		return false
	}
	pt := &v.parts[v.unknownPart[u]]
	if v.reached && square*pt.reach[0]*pt.reach[0] < 1 {
		return false
	}
	if !v.reached {
		pt.scale[0] = powerOfTwo(square)
	}
	x += step
	sign := math.Copysign(1, c)
	v.x[u], v.own[u], v.signs[u] = x, math.Abs(r.Sigma*inverse), sign
	residual := math.FMA(-c, x, r.Value) // rounded once
	s.sigma[at.row], s.Residuals[at.row], s.Fitted[at.row], s.Redundancy[at.row] = r.Sigma, residual, r.Value-residual, 0
	residual *= weight
	s.ChiSquare += residual * residual
	for k := range r.Shifts {
		shift := &r.Shifts[k]
		moved := shift.Coef * weight * s.causes[shift.Cause]
		s.shifts.v[at.row*len(s.causes)+shift.Cause] += moved
		s.common.v[at.column*len(s.causes)+shift.Cause] += moved * sign
	}
	s.DOF--
	return true
}

// single solves a linear part of one unknown with several rows. It gives up where anything is out of
// the ordinary.
func (w *work) single(pt *part) bool {
	column, x := pt.units.v, w.x[pt.unknowns[0]]
	if len(column) == 0 {
		return true // it is where it was
	}
	sum, along := 0.0, 0.0
	for at, i := range pt.rows {
		r := &w.p.Rows[i]
		c := 0.0
		for _, t := range r.Terms {
			c += t.Coef
		}
		weight := 1 / r.Sigma
		b := (r.Value - c*x) * weight
		c *= weight
		column[at] = c
		sum += c * c
		along += c * b
	}
	if !(sum > leastSquare && sum < mostSquare && finite(along)) || pt.reach != nil && sum*pt.reach[0]*pt.reach[0] < 1 {
		return false
	}
	inverse := 1 / math.Sqrt(sum)
	scaleBy(column, inverse)
	pt.t.v[0] = inverse
	if pt.reach == nil {
		pt.scale[0] = powerOfTwo(sum)
	}
	w.x[pt.unknowns[0]] += along / sum
	return true
}

// powerOfTwo brings a column, the sum of whose squares is s, to a length between 0.7 and 1.4: the
// power of two next to 1/sqrt(s). A column of zeros it leaves.
func powerOfTwo(s float64) float64 {
	if s == 0 {
		return 1
	}
	e := int(math.Float64bits(s)>>52) - 1022 // s = m 2^e, m from 1/2 to 1
	if s < leastSquare {
		_, e = math.Frexp(s) // e stands elsewhere in the smallest of all
	}
	half := e >> 1 // rounds down
	return math.Float64frombits(uint64(1023-half) << 52)
}
